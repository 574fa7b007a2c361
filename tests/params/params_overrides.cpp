// --set /json/pointer=value.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "params/read_gate.h"

namespace leafstack {
namespace {

constexpr const char* kLeast = R"({"site": {"opening_mm": 6000}})";

GateSpec specWith(const std::vector<Override>& overrides, const std::string& text = kLeast) {
  const ReadResult result = readGate(text, "gate.json", overrides);
  for (const Diagnostic& problem : result.problems) {
    ADD_FAILURE() << toString(problem);
  }
  return result.gate ? result.gate->spec : GateSpec{};
}

std::vector<Diagnostic> problemsWith(const std::vector<Override>& overrides,
                                     const std::string& text = kLeast) {
  const ReadResult result = readGate(text, "gate.json", overrides);
  EXPECT_EQ(result.gate.has_value(), result.problems.empty());
  return result.problems;
}

/// The one problem, which must be about the --set.
Diagnostic onlyOverrideProblem(const Override& item) {
  const auto problems = problemsWith({item});
  EXPECT_EQ(problems.size(), 1U) << item.pointer << '=' << item.value;
  const Diagnostic problem = problems.empty() ? Diagnostic{} : problems.front();
  EXPECT_EQ(problem.source, "--set");
  EXPECT_EQ(problem.line, 0);
  EXPECT_EQ(problem.column, 0);
  return problem;
}

TEST(Overrides, ReplaceAndCreate) {
  EXPECT_EQ(specWith({{"/site/opening_mm", "5000"}}).site.opening_mm, 5000);
  EXPECT_EQ(specWith({{"/site/opening_mm", "5000"}}, "{}").site.opening_mm, 5000);
  EXPECT_EQ(specWith({{"/gate/cladding/thickness_mm", "60"}}).gate.cladding.thickness_mm, 60);
  EXPECT_EQ(specWith({{"/guides/packing_mm", "0"}}).guides.packing_mm, 0);
  EXPECT_EQ(specWith({{"/site/setback_mm", "0"}}).site.setback_mm, 0);
  EXPECT_EQ(specWith({{"/site", R"({"opening_mm": 4000, "opens": "left"})"}}).site.opens,
            Hand::kLeft);
}

TEST(Overrides, LaterOnesWin) {
  EXPECT_EQ(specWith({{"/gate/panels", "3"}, {"/gate/panels", "4"}}).gate.panels, 4);
}

TEST(Overrides, RepairAFaultyFile) {
  EXPECT_EQ(
      specWith({{"/gate/panels", "3"}}, R"({"site": {"opening_mm": 6000}, "gate": {"panels": 9}})")
          .gate.panels,
      3);
}

TEST(Overrides, ValuesAreJsonElseText) {
  EXPECT_EQ(specWith({{"/site/opens", "left"}}).site.opens, Hand::kLeft);
  EXPECT_EQ(specWith({{"/site/opens", "\"left\""}}).site.opens, Hand::kLeft);
  EXPECT_EQ(specWith({{"/gate/panels", "auto"}}).gate.panels, std::nullopt);
  EXPECT_EQ(specWith({{"/gate/return", "false"}}).gate.has_return, false);
  EXPECT_EQ(specWith({{"/gate/stile", "RHS 40x50x3"}}).gate.stile.height_mm, 40);
  EXPECT_EQ(specWith({{"/job/title", "Yard, north {2}"}}).job.title, "Yard, north {2}");
  EXPECT_EQ(specWith({{"/job/title", ""}}).job.title, "");
  EXPECT_EQ(specWith({{"/job/client", "Nan"}}).job.client, "Nan");
  EXPECT_EQ(specWith({{"/job/number", "12"}}).job.number, "12") << "a key of texts takes words";
  EXPECT_EQ(specWith({{"/job/number", "\"12\""}}).job.number, "12");
  EXPECT_EQ(specWith({{"/gate/panels", "3"}, {"/ropes/heights_mm", "[36,66]"}}).ropes.heights_mm,
            (std::vector<double>{36, 66}));
}

TEST(Overrides, ReachListElements) {
  const std::string text =
      R"({"site": {"opening_mm": 6000}, "gate": {"panels": 3}, "ropes": {"heights_mm": [36, 40]}})";
  EXPECT_EQ(specWith({{"/ropes/heights_mm/1", "66"}}, text).ropes.heights_mm,
            (std::vector<double>{36, 66}));
  EXPECT_EQ(specWith({{"/gate/panels", "4"}, {"/ropes/heights_mm/-", "30"}}, text).ropes.heights_mm,
            (std::vector<double>{36, 40, 30}));
  EXPECT_EQ(specWith({{"/gate/panels", "4"}, {"/ropes/heights_mm/2", "30"}}, text).ropes.heights_mm,
            (std::vector<double>{36, 40, 30}));
  for (const char* index : {"3", "01", "x", "", "-1", "99999999999999999999"}) {
    const auto problems = problemsWith({{std::string("/ropes/heights_mm/") + index, "30"}}, text);
    ASSERT_EQ(problems.size(), 1U) << index;
    EXPECT_NE(problems[0].message.find("is not an index"), std::string::npos);
    EXPECT_EQ(problems[0].allowed, "0 to 2");
  }
}

TEST(Overrides, ACustomMotorCanBeSetPartByPart) {
  const ReadResult result =
      readGate(kLeast, "gate.json", std::vector<Override>{{"/drive/motor/length_mm", "200"}});
  ASSERT_TRUE(result.gate);
  EXPECT_EQ(result.gate->spec.drive.motor.name, "custom");
  EXPECT_EQ(result.gate->spec.drive.motor.length_mm, 200);
  EXPECT_EQ(result.gate->spec.drive.motor.overrun_closed_mm, 60);
}

TEST(Overrides, BadValuesAreReportedAtTheirPointer) {
  EXPECT_EQ(onlyOverrideProblem({"/gate/panels", "9"}).pointer, "/gate/panels");
  EXPECT_EQ(onlyOverrideProblem({"/gate/panels", "9"}).message, "9 is too large");
  EXPECT_EQ(onlyOverrideProblem({"/gate/height_mm", "1e400"}).message,
            "1e400 is not a finite number");
  EXPECT_EQ(onlyOverrideProblem({"/gate/height_mm", "NaN"}).message, "NaN is not a finite number");
  EXPECT_EQ(onlyOverrideProblem({"/gate/height_mm", "tall"}).message, "\"tall\" is not a number");
  EXPECT_EQ(onlyOverrideProblem({"/gate/height", "1700"}).suggestion,
            "did you mean \"height_mm\"?");
  EXPECT_EQ(onlyOverrideProblem({"/gate/infill/section", "SHS 50x50x3"}).pointer,
            "/gate/infill/section");
  EXPECT_EQ(onlyOverrideProblem({"/gate", "3"}).message, "3 is not an object");
  EXPECT_EQ(onlyOverrideProblem({"/gate", R"({"panels": 2, "panels": 3})"}).pointer,
            "/gate/panels");
}

TEST(Overrides, MalformedPointersAreReported) {
  for (const char* pointer : {"", "site/opening_mm", "opening_mm", "#/site/opening_mm"}) {
    EXPECT_NE(onlyOverrideProblem({pointer, "1"}).message.find("must start with \"/\""),
              std::string::npos);
  }
  for (const char* pointer : {"/site/a~", "/site/a~2b", "/~"}) {
    EXPECT_NE(onlyOverrideProblem({pointer, "1"}).message.find("followed by 0 or 1"),
              std::string::npos);
  }
  EXPECT_EQ(onlyOverrideProblem({"/", "1"}).message, "unknown key \"\"");
  EXPECT_EQ(onlyOverrideProblem({"/a~1b", "1"}).message, "unknown key \"a/b\"");
  std::string deep;
  for (int i = 0; i < 100000; ++i) {
    deep += "/a";
  }
  EXPECT_NE(onlyOverrideProblem({deep, "1"}).message.find("deeper than"), std::string::npos);
  EXPECT_NE(onlyOverrideProblem({"/job/title", "\xFF"}).message.find("UTF-8"), std::string::npos);
}

TEST(Overrides, ValuesThatHoldNothingAreNotEntered) {
  const Diagnostic problem = onlyOverrideProblem({"/site/opening_mm/x", "1"});
  EXPECT_EQ(problem.message, "/site/opening_mm is 6000, which holds no \"x\"");
  EXPECT_EQ(problem.suggestion, "set /site/opening_mm as a whole");
}

}  // namespace
}  // namespace leafstack
