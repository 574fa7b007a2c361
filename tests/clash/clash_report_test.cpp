// What is told of a clash check: the comparison with an earlier run, report.json and clashes.csv.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "exporters/lists/report/clash_report.h"
#include "exporters/lists/report/earlier_report.h"
#include "generator/clash/report/comparison.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using Json = nlohmann::json;

Finding findingOf(const std::string& id) {
  Finding finding;
  finding.id = id;
  finding.text = "about " + id;
  finding.stretches_mm = {{1, 2}, {5, 8}};
  finding.below_required_mm = {{0.5, 9}};
  return finding;
}

ClashReport reportOf(const std::vector<std::string>& ids) {
  ClashReport report;
  for (const std::string& id : ids) {
    report.findings.push_back(findingOf(id));
  }
  return report;
}

EarlierFindings earlierOf(const std::vector<std::string>& ids) {
  EarlierFindings earlier;
  earlier.input_sha256 = "abc";
  for (const std::string& id : ids) {
    earlier.findings.push_back({id, "then " + id});
  }
  return earlier;
}

TEST(ClashComparison, NewStillThereAndResolved) {
  ClashReport report =
      reportOf({"penetration:A@1:B@2", "touch:C@1:D@0", "below-clearance:E@1:F@2"});
  compareWith(report,
              earlierOf({"penetration:A@1:B@2", "below-clearance:C@1:D@0", "touch:G@1:H@0"}));
  EXPECT_EQ(report.findings[0].status, FindingStatus::kStillThere);
  EXPECT_EQ(report.findings[1].status, FindingStatus::kStillThere) << "worse, but the same parts";
  EXPECT_EQ(report.findings[1].was_id, "below-clearance:C@1:D@0");
  EXPECT_EQ(report.findings[2].status, FindingStatus::kNew);
  ASSERT_TRUE(report.against);
  EXPECT_EQ(report.against->new_ones, 1);
  EXPECT_EQ(report.against->still_there, 2);
  ASSERT_EQ(report.against->resolved.size(), 1U);
  EXPECT_EQ(report.against->resolved[0].id, "touch:G@1:H@0");
}

TEST(ClashComparison, EachEarlierFindingCountsOnce) {
  ClashReport report = reportOf({"penetration:A@1:B@2", "below-clearance:A@1:B@2"});
  compareWith(report, earlierOf({"below-clearance:A@1:B@2"}));
  EXPECT_EQ(report.findings[0].status, FindingStatus::kNew);
  EXPECT_EQ(report.findings[1].status, FindingStatus::kStillThere);
  EXPECT_TRUE(report.against->resolved.empty());
}

TEST(ClashComparison, OtherPanelsAreOtherFindings) {
  ClashReport report = reportOf({"penetration:A@1:B@2"});
  compareWith(report, earlierOf({"penetration:A@2:B@3"}));
  EXPECT_EQ(report.findings[0].status, FindingStatus::kNew);
  EXPECT_EQ(report.against->resolved.size(), 1U);
}

TEST(EarlierReport, ReadsWhatIsWritten) {
  Json report;
  report["input_sha256"] = "def";
  report["clash"] = Json::parse(clashJson(reportOf({"touch:A@1:B@2"})).dump());
  const EarlierFindings earlier = earlierFindings(report.dump(), "old.json");
  EXPECT_EQ(earlier.input_sha256, "def");
  ASSERT_EQ(earlier.findings.size(), 1U);
  EXPECT_EQ(earlier.findings[0].id, "touch:A@1:B@2");
  EXPECT_EQ(earlier.findings[0].text, "about touch:A@1:B@2");
}

std::string complaintOf(const std::string& text) {
  try {
    earlierFindings(text, "old.json");
  } catch (const ReportError& error) {
    return error.what();
  }
  return "";
}

TEST(EarlierReport, RefusesWhatIsNone) {
  for (const char* text : {"", "{", "[]", "{}", R"({"clash": null})", R"({"clash": {}})",
                           R"({"clash": {"findings": 3}})"}) {
    EXPECT_EQ(complaintOf(text).find("old.json: "), 0U) << text;
  }
  const std::string two = complaintOf(R"({"clash": {"findings": [{}, {"id": 4}, {"id": "a"}]}})");
  EXPECT_NE(two.find("/clash/findings/0/id"), std::string::npos) << two;
  EXPECT_NE(two.find("/clash/findings/1/id"), std::string::npos)
      << "every problem at once: " << two;
  EXPECT_EQ(two.find("/clash/findings/2"), std::string::npos) << two;
}

TEST(ClashReportJson, TellsEveryStretch) {
  const Json json = Json::parse(clashJson(reportOf({"touch:A@1:B@2"})).dump());
  const Json& finding = json["findings"][0];
  EXPECT_EQ(finding["from_mm"], 1);
  EXPECT_EQ(finding["to_mm"], 8);
  EXPECT_EQ(finding["stretches_mm"], Json::parse("[[1,2],[5,8]]"));
  EXPECT_EQ(finding["below_required_mm"], Json::parse("[[0.5,9]]"));
  EXPECT_FALSE(finding.contains("status")) << "nothing was compared";
  EXPECT_TRUE(json["against"].is_null());
  EXPECT_TRUE(json["as_built"].is_null());
}

TEST(ClashesCsv, OneRowAFinding) {
  const std::string csv = clashesCsv(reportOf({"touch:A@1:B@2", "penetration:C@1:D@0"}));
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), 3);
  EXPECT_NE(csv.find("touch:A@1:B@2,"), std::string::npos);
  EXPECT_NE(csv.find(",1.00,8.00,1.00 to 2.00; 5.00 to 8.00,"), std::string::npos) << csv;
  const std::string none = clashesCsv({});
  EXPECT_EQ(std::count(none.begin(), none.end(), '\n'), 1) << "header alone";
}

}  // namespace
}  // namespace leafstack
