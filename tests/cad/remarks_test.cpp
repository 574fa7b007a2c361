// Topics of BCF files read back in: what is read, what is left out, and what each broken file is
// told.
#include <gtest/gtest.h>

#include <algorithm>

#include "exporters/cad/bcf/bcf.h"
#include "exporters/cad/bcf/remarks.h"
#include "exporters/cad/bcf/zip_file.h"
#include "tests/support/faulty_gates.h"

namespace leafstack {
namespace {

constexpr const char* kGuid = "11111111-2222-4333-8444-555555555555";
constexpr const char* kTime = "2026-01-02T03:04:05Z";

std::string zipOf(std::vector<ZipEntry> files, const std::string& version = "3.0") {
  files.insert(files.begin(), {"bcf.version", "<Version VersionId=\"" + version + "\"/>"});
  return zipFile(files, kTime);
}

ZipEntry markup(const std::string& inside) {
  return {std::string(kGuid) + "/markup.bcf", std::string("<Markup><Topic Guid=\"") + kGuid +
                                                  "\" TopicStatus=\"Open\">" + inside +
                                                  "</Topic></Markup>"};
}

std::string problemOf(const std::string& bytes) {
  const ReadRemarks read = readRemarks(bytes, "r.bcf");
  EXPECT_TRUE(read.remarks.empty());
  return read.problems.empty() ? "" : read.problems.front();
}

TEST(Remarks, BrokenFilesAreToldWhatTheyAre) {
  EXPECT_NE(problemOf("no zip").find("is no BCF file"), std::string::npos);
  EXPECT_NE(problemOf(zipFile({{"a.txt", "a"}}, kTime)).find("without bcf.version"),
            std::string::npos);
  EXPECT_NE(problemOf(zipOf({}, "2.1")).find("is BCF 2.1; 3.0 is read"), std::string::npos);
  EXPECT_NE(problemOf(zipOf({markup("<Title>a")})).find("is no XML"), std::string::npos);
  EXPECT_NE(problemOf(zipOf({markup("<Priority>a</Priority>")})).find("Guid and a Title"),
            std::string::npos);
  ZipEntry outside = markup("<Title>a</Title>");
  outside.path = "../" + outside.path;
  EXPECT_NE(problemOf(zipOf({outside})).find("topics stand in folders of their own"),
            std::string::npos);
  std::string damaged = zipOf({markup("<Title>a</Title>")});
  damaged.resize(damaged.size() / 2);
  EXPECT_NE(problemOf(damaged).find("is no BCF file"), std::string::npos);
  EXPECT_TRUE(readRemarks(zipOf({}), "r.bcf").problems.empty());
}

// What acts on what stands around it (bidirectional marks, terminal codes) and an entity's
// expansion do not get in.
TEST(Remarks, TextsOfStrangersStayTexts) {
  const ReadRemarks read =
      readRemarks(zipOf({markup("<Title>a \u202E b \u009B31m <![CDATA[<script>]]></Title><Labels>"
                                "<Label>travel 12.5 mm</Label></Labels>")}),
                  "r.bcf");
  ASSERT_EQ(read.remarks.size(), 1U);
  EXPECT_EQ(read.remarks.front().title, "a   b  31m <script>");
  EXPECT_EQ(read.remarks.front().travel_mm, 12.5);
  const std::string bomb = "<!DOCTYPE a [<!ENTITY x \"xxxxxxxxxx\"><!ENTITY y \"&x;&x;&x;&x;\">]>";
  ZipEntry topic = markup("<Title>&y;</Title>");
  topic.contents = bomb + topic.contents;
  const ReadRemarks swollen = readRemarks(zipOf({topic}), "r.bcf");
  ASSERT_EQ(swollen.remarks.size(), 1U);
  EXPECT_LE(swollen.remarks.front().title.size(), 8U);
}

// Our own topics that nobody touched are made anew; one with a comment or another status is kept,
// and takes the finding's place.
TEST(Remarks, OursComeBackOnlyWithSomethingSaid) {
  const gates::Faulty& gate = gates::faultyGates().front();
  const std::string ours = bcfFile(gate.model, gate.clash, gates::kFaultyProvenance);
  EXPECT_TRUE(readRemarks(ours, "r.bcf").remarks.empty());
  std::vector<ZipEntry> files = zipEntries(ours, 1 << 24);
  const auto first = std::find_if(files.begin(), files.end(), [](const ZipEntry& one) {
    return one.path.ends_with("/markup.bcf");
  });
  const std::size_t at = first->contents.find("TopicStatus=\"Open\"");
  ASSERT_NE(at, std::string::npos);
  first->contents.replace(at, 18, "TopicStatus=\"Closed\"");
  const ReadRemarks read = readRemarks(zipFile(files, kTime), "r.bcf");
  ASSERT_EQ(read.remarks.size(), 1U);
  EXPECT_EQ(read.remarks.front().finding, gate.clash.findings.front().id);
  const RemarkParts parts = partsOf(read.remarks.front(), gate.model);
  EXPECT_EQ(parts.gone, 0);
  EXPECT_EQ(parts.instances, (std::vector<int>{gate.clash.findings.front().instance_a,
                                               gate.clash.findings.front().instance_b}));
  const auto topics = [](const std::string& bytes) {
    const auto all = zipEntries(bytes, 1 << 24);
    return std::count_if(all.begin(), all.end(),
                         [](const ZipEntry& one) { return one.path.ends_with("/markup.bcf"); });
  };
  EXPECT_EQ(topics(bcfFile(gate.model, gate.clash, gates::kFaultyProvenance, {&read.remarks})),
            topics(ours));
}

}  // namespace
}  // namespace leafstack
