// clashes.bcf by an independent reader (tests/readers/bcf.py: Python's own zip and XML), which also
// checks it against the sequences of the BCF 3.0 schemas; and the pieces it is made of.
#include <gtest/gtest.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/xml_text.h"
#include "exporters/cad/bcf/bcf.h"
#include "exporters/cad/bcf/guid.h"
#include "exporters/cad/bcf/zip_file.h"
#include "tests/support/faulty_gates.h"
#include "tests/support/run_program.h"

namespace leafstack {
namespace {

using gates::kFaultyProvenance;
using Json = nlohmann::json;

// Lengths are written to a millionth of a millimetre.
constexpr double kRoundingM = 1e-9;

/// The file as the reader sees it, problems included.
Json readBack(const std::string& bytes) {
  const fs::path path =
      fs::temp_directory_path() / ("leafstack-bcf-test-" + std::to_string(getpid()) + ".bcf");
  std::ofstream(path, std::ios::binary) << bytes;
  const std::string printed = outputOf(std::string("/usr/bin/python3 '") + LEAFSTACK_SOURCE_DIR +
                                       "/tests/readers/bcf.py' '" + path.string() + "' --json")
                                  .out;
  fs::remove(path);
  return Json::parse(printed);
}

std::string bytesOf(const gates::Faulty& gate, const Provenance& provenance = kFaultyProvenance) {
  return bcfFile(gate.model, gate.clash, provenance);
}

Vec3 vec(const Json& triple) {
  return {triple.at(0).get<double>(), triple.at(1).get<double>(), triple.at(2).get<double>()};
}

/// In millimetres, which the finding has, from metres, which the file has.
Vec3 millimetres(const Json& triple) {
  return plus({0, 0, 0}, vec(triple), 1000);
}

class BcfOfGate : public testing::TestWithParam<std::size_t> {
 protected:
  /// By the reader, once a gate.
  const Json& read() const {
    static std::map<std::size_t, Json> known;
    const auto [place, is_new] = known.try_emplace(GetParam());
    if (is_new) {
      place->second = readBack(bytesOf(gate()));
    }
    return place->second;
  }
  const gates::Faulty& gate() const { return gates::faultyGates().at(GetParam()); }
  const Finding& finding(std::size_t index) const { return gate().clash.findings.at(index); }
  const Json& topics() const { return read().at("topics"); }
};

TEST_P(BcfOfGate, KeepsToTheFormat) {
  EXPECT_EQ(read().at("problems"), Json::array());
  ASSERT_FALSE(gate().clash.findings.empty());
  EXPECT_EQ(topics().size(), gate().clash.findings.size());
}

TEST_P(BcfOfGate, TopicsTellTheFindings) {
  ASSERT_EQ(topics().size(), gate().clash.findings.size());
  for (std::size_t i = 0; i < topics().size(); ++i) {
    const Json& topic = topics()[i];
    SCOPED_TRACE(finding(i).id);
    EXPECT_EQ(topic.at("type"), "Clash");
    EXPECT_EQ(topic.at("status"), "Open");
    EXPECT_EQ(topic.at("created"), kFaultyProvenance.timestamp);
    EXPECT_EQ(topic.at("author"), programName());
    const std::string title = topic.at("title");
    const std::string start = title.substr(0, title.find(" \u2026"));
    EXPECT_TRUE(finding(i).text.starts_with(start));
    EXPECT_TRUE(title == finding(i).text || (title.size() > 60 && title.size() < 130)) << title;
    const std::string description = topic.at("description");
    EXPECT_TRUE(description.starts_with(finding(i).text)) << description;
    EXPECT_NE(description.find("Finding " + finding(i).id + "."), std::string::npos);
    const Json labels = topic.at("labels");
    const std::string name(toString(finding(i).finding_class));
    EXPECT_NE(std::find(labels.begin(), labels.end(), name), labels.end());
  }
}

TEST_P(BcfOfGate, PenetrationsComeFirstAndStateTheirVolume) {
  for (std::size_t i = 0; i < topics().size(); ++i) {
    const bool penetrates = finding(i).finding_class == FindingClass::kPenetration;
    const bool is_close = finding(i).finding_class == FindingClass::kBelowClearance;
    EXPECT_EQ(topics()[i].at("priority"), penetrates ? "Critical" : is_close ? "Normal" : "High");
    const std::string description = topics()[i].at("description");
    std::smatch stated;
    ASSERT_EQ(std::regex_search(description, stated, std::regex("Overlap: ([0-9.]+) mm3")),
              penetrates)
        << description;
    if (penetrates) {  // to a decimal
      EXPECT_NEAR(std::stod(stated[1]), finding(i).volume_mm3, 0.05 + 1e-9);
    }
  }
}

TEST_P(BcfOfGate, BothPartsAreSelectedByTheirNames) {
  std::map<std::string, std::string> guid_of;
  std::set<std::string> guids;
  for (std::size_t i = 0; i < topics().size(); ++i) {
    const Json& selected = topics()[i].at("selected");
    ASSERT_EQ(selected.size(), 2U);
    EXPECT_EQ(selected[0].at("id"), gate().model.instanceName(finding(i).instance_a));
    EXPECT_EQ(selected[1].at("id"), gate().model.instanceName(finding(i).instance_b));
    EXPECT_TRUE(topics()[i].at("all_visible"));
    for (const Json& one : selected) {
      EXPECT_EQ(one.at("system"), "leafstack");
      const std::string guid = one.at("ifc_guid");
      const auto [known, is_new] = guid_of.try_emplace(one.at("id"), guid);
      EXPECT_EQ(known->second, guid) << one;
      EXPECT_EQ(guids.insert(guid).second, is_new) << one;
    }
  }
}

TEST_P(BcfOfGate, CameraLooksAtTheWorstPointFromOutside) {
  double front = 1e9;
  double back = -1e9;
  for (const Instance& instance : gate().model.instances) {
    front = std::min(front, instance.bounds.low[kAlongY]);
    back = std::max(back, instance.bounds.high[kAlongY]);
  }
  for (std::size_t i = 0; i < topics().size(); ++i) {
    SCOPED_TRACE(finding(i).id);
    const Vec3 eye = millimetres(topics()[i].at("eye_m"));
    const Vec3 direction = vec(topics()[i].at("direction"));
    const auto& [p, q] = finding(i).points_mm;
    const Vec3 target = plus(p, minus(q, p), 0.5);
    const Vec3 sight = minus(target, eye);
    // Both the eye and the points are rounded.
    EXPECT_LT(norm(cross(sight, direction)), 2 * kRoundingM * 1000);
    EXPECT_GT(dot(sight, direction), 300);
    EXPECT_LT(dot(sight, direction), 6000);
    EXPECT_TRUE(eye[kAlongY] < front - 499 || eye[kAlongY] > back + 499);
    // From the nearer side, and from above.
    EXPECT_EQ(eye[kAlongY] < front, target[kAlongY] - front <= back - target[kAlongY]);
    EXPECT_GT(eye[kAlongZ], target[kAlongZ]);
    EXPECT_GT(topics()[i].at("up")[2], 0);
  }
}

TEST_P(BcfOfGate, LineJoinsThePointsInMetres) {
  int lines = 0;
  for (std::size_t i = 0; i < topics().size(); ++i) {
    const auto& points = finding(i).points_mm;
    const Json& drawn = topics()[i].at("lines_m");
    ASSERT_EQ(drawn.size(), norm(minus(points[0], points[1])) > 1e-6 ? 1U : 0U);
    for (std::size_t end = 0; end < 2 && !drawn.empty(); ++end) {
      const Vec3 at = vec(drawn[0][end]);
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_NEAR(at[axis], points[end][axis] / 1000, kRoundingM);
      }
      ++lines;
    }
  }
  if (GetParam() == 0) {
    EXPECT_GT(lines, 0);  // this gate has parts that only come near
  }
}

INSTANTIATE_TEST_SUITE_P(Gates, BcfOfGate, testing::Range<std::size_t>(0, gates::kFaultyGates),
                         [](const auto& which) {
                           return std::string(gates::faultyName(which.param));
                         });

TEST(Bcf, SameGateSameBytesInEveryTimeZone) {
  const std::string first = bytesOf(gates::faultyGates().at(3));
  const char* const zone = getenv("TZ");
  const std::string before = zone == nullptr ? "" : zone;
  for (const char* other : {"UTC0", "EST5EDT", "<+14>-14"}) {
    setenv("TZ", other, 1);
    tzset();
    EXPECT_EQ(bytesOf(gates::faultyGates().at(3)), first) << other;
  }
  if (zone == nullptr) {
    unsetenv("TZ");
  } else {
    setenv("TZ", before.c_str(), 1);
  }
  tzset();
  EXPECT_EQ(bytesOf(gates::builtFaulty(gates::kLeftHand)), first);
}

TEST(Bcf, OtherInputOtherTopics) {
  Provenance other = kFaultyProvenance;
  other.input_sha256.back() = 'b';
  const gates::Faulty& gate = gates::faultyGates().at(1);
  const Json one = readBack(bytesOf(gate));
  const Json two = readBack(bytesOf(gate, other));
  ASSERT_EQ(one.at("topics").size(), two.at("topics").size());
  std::set<std::string> guids;
  for (const Json* read : {&one, &two}) {
    for (const Json& topic : read->at("topics")) {
      EXPECT_TRUE(guids.insert(topic.at("guid")).second);
      EXPECT_TRUE(guids.insert(topic.at("viewpoint_guid")).second);
    }
  }
}

TEST(Bcf, AnyTitleIsXml) {
  gates::Faulty gate = gates::faultyGates().at(2);
  gate.model.spec.job.title = "<Tor & \"Zaun\"> für O'Neil \x01 門 \xC3 \xED\xA0\x80";
  const Json read = readBack(bytesOf(gate));
  EXPECT_EQ(read.at("problems"), Json::array());
  // What is no UTF-8 is replaced once a sequence: a lead byte without its end, half of a surrogate
  // pair.
  EXPECT_EQ(read.at("project"), "<Tor & \"Zaun\"> für O'Neil \uFFFD 門 \uFFFD \uFFFD");
}

TEST(Bcf, NoFindingNoTopic) {
  const gates::Faulty& gate = gates::faultyGates().at(2);
  const Json read = readBack(bcfFile(gate.model, ClashReport(), kFaultyProvenance));
  EXPECT_EQ(read.at("problems"), Json::array());
  EXPECT_EQ(read.at("topics"), Json::array());
}

TEST(Bcf, DamageIsSeen) {
  const std::string good = bytesOf(gates::faultyGates().at(2));
  const auto problems = [&](const std::string& from, const std::string& to) {
    std::string bytes = good;
    const std::size_t at = bytes.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return readBack(bytes.replace(at, from.size(), to)).at("problems");
  };
  EXPECT_EQ(problems("Clash", "Clash"), Json::array());
  EXPECT_NE(problems("RB1.1", "RB1.2"), Json::array());
}

TEST(BcfReader, TellsWhatBreaksTheFormat) {
  const std::string guid = "11111111-2222-8333-8444-555555555555";
  const std::string title = "<Title>a</Title>";
  const std::string made =
      "<CreationDate>2024-05-01T12:00:00Z</CreationDate>"
      "<CreationAuthor>u</CreationAuthor>";
  const std::string view = "<Viewpoints><ViewPoint Guid=\"" + guid + "\"/></Viewpoints>";
  const auto problems = [&](const std::string& version, const std::string& topic) {
    const std::string markup = "<Markup><Topic Guid=\"" + guid +
                               "\" TopicType=\"t\" TopicStatus=\"s\">" + topic +
                               "</Topic></Markup>";
    const std::string bytes =
        zipFile({{"bcf.version", "<Version VersionId=\"" + version + "\"/>"},
                 {"project.bcfp", "<ProjectInfo><Project ProjectId=\"p\"/></ProjectInfo>"},
                 {"extensions.xml", "<Extensions/>"},
                 {guid + "/markup.bcf", markup}},
                kFaultyProvenance.timestamp);
    return readBack(bytes).at("problems").dump();
  };
  const auto holds = [](const std::string& text, const std::string& what) {
    EXPECT_NE(text.find(what), std::string::npos) << text;
  };
  holds(problems("2.1", title + made), "VersionId");
  holds(problems("3.0", made + title), "out of place in Topic");
  holds(problems("3.0", title + made + view + "<Index>1</Index>"), "out of place in Topic");
  holds(problems("3.0", title), "holds 0 of CreationDate");
  holds(problems("3.0", "<Title> </Title>" + made), "Title holds");
  holds(problems("3.0", title + made + view), "is missing");
  holds(problems("3.0", title + made), "is not in the extensions");
  EXPECT_EQ(problems("3.0", title + made).find("out of place"), std::string::npos);
}

TEST(Guid, IsWhatPythonMakesOfTheSameHash) {
  const std::string script =
      "import hashlib, uuid\n"
      "b = bytearray(hashlib.sha256(b\"scope\\nname\").digest()[:16])\n"
      "b[6] = b[6] & 0x0F | 0x80\n"  // RFC 9562, 5.8
      "b[8] = b[8] & 0x3F | 0x80\n"
      "u = uuid.UUID(bytes=bytes(b))\n"
      "d = \"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$\"\n"
      "print(u, \"\".join(d[u.int >> 6 * i & 63] for i in reversed(range(22))), end=\"\")\n";
  const std::string guid = nameGuid("scope", "name");
  EXPECT_EQ(outputOf("/usr/bin/python3 -c '" + script + "'").out, guid + " " + ifcGuid(guid));
  EXPECT_NE(nameGuid("scope", "names"), guid);
  EXPECT_NE(nameGuid("scopen", "ame"), guid);
}

TEST(ZipFile, EntriesBearTheDayAtNoon) {
  const auto time = [](const char* timestamp) {
    return readBack(zipFile({{"bcf.version", "a"}}, timestamp)).at("times").dump();
  };
  EXPECT_EQ(time("2024-05-01T23:59:59Z"), "[[2024,5,1,12,0,0]]");
  EXPECT_EQ(time("2107-12-31T00:00:00Z"), "[[2107,12,31,12,0,0]]");
  EXPECT_EQ(time("1970-01-01T00:00:00Z"), "[[1980,1,1,12,0,0]]");
  EXPECT_EQ(time("2108-01-01T00:00:00Z"), "[[1980,1,1,12,0,0]]");
}

TEST(ZipFile, NameTwiceIsAnError) {
  EXPECT_THROW(zipFile({{"a", "1"}, {"a", "2"}}, kFaultyProvenance.timestamp), ExportError);
}

TEST(XmlText, NumbersReadBack) {
  const auto written = [](double value) { return XmlText().leaf("X", value).text(); };
  EXPECT_NE(written(-0.0).find("<X>0</X>"), std::string::npos);
  EXPECT_NE(written(0.1).find("<X>0.1</X>"), std::string::npos);
  EXPECT_THROW(written(std::nan("")), ExportError);
  EXPECT_THROW(written(INFINITY), ExportError);
}

TEST(XmlText, AttributesKeepTheirLineFeeds) {
  const std::string text = XmlText().empty("a", {{"k", "x\n\"<"}}).text();
  EXPECT_NE(text.find("<a k=\"x&#10;&quot;&lt;\"/>"), std::string::npos) << text;
}

}  // namespace
}  // namespace leafstack
