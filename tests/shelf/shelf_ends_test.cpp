// Ends of a size's range where parts meet, against clash checks made without what finds them.
#include "generator/cures/shelf/shelf_ends.h"

#include <gtest/gtest.h>

#include <string>
#include <variant>

#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

GateSpec gateWith(const std::string& hardware) {
  const ReadResult read = readGate(
      R"({"site": {"opening_mm": 4500}, "gate": {"panels": 2}, "hardware": )" + hardware + "}",
      "gate.json");
  EXPECT_TRUE(read.gate) << (read.problems.empty() ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

std::size_t findingsWith(GateSpec spec, const Parameter& row, double value) {
  *std::get<double*>(row.slot(spec)) = value;
  const LayoutResult result = layOut(spec);
  EXPECT_TRUE(result.problems.empty()) << row.pointer << ' ' << value;
  return checkClashes(buildModel(spec, result.layout)).findings.size();
}

SizeRange rangeOf(const ShelfCheck& check, std::string_view pointer) {
  for (const SizeRange& range : check.ranges) {
    if (range.row->pointer == pointer) {
      return range;
    }
  }
  ADD_FAILURE() << pointer;
  return {};
}

// By hand for the first: a pinion 12 wide from 23 off the rail ends 35 off it, and there the
// motor's case begins at the least.
TEST(ShelfEnds, EndWherePartsMeetAndNotBefore) {
  const GateSpec spec = gateWith(R"("medium")");
  const ShelfCheck check = checkShelfOnGate(spec);
  TrialStores stores;
  SizeRange motor = rangeOf(check, "/hardware/motor/offset_mm");
  EXPECT_EQ(motor.below, "") << "no rule knows the pinion's width";
  shortenRange(spec, motor, stores);
  // One part of what lies between the value and the table's limit, and a step.
  EXPECT_NEAR(motor.least, 35, (motor.value - 10) / (1 << kEndHalvings) + 0.1);
  EXPECT_NE(motor.below.find("pinion"), std::string::npos) << motor.below;
  for (const char* pointer :
       {"/hardware/motor/offset_mm", "/hardware/rack/standoff_mm", "/hardware/bracket/length_mm"}) {
    SizeRange range = rangeOf(check, pointer);
    const SizeRange by_rules = range;
    shortenRange(spec, range, stores);
    EXPECT_GE(range.least, by_rules.least) << pointer;
    EXPECT_LE(range.most, by_rules.most) << pointer;
    EXPECT_EQ(findingsWith(spec, *range.row, range.least), 0U) << pointer << ' ' << range.least;
    EXPECT_EQ(findingsWith(spec, *range.row, range.most), 0U) << pointer << ' ' << range.most;
    if (range.most < by_rules.most) {
      const double past = (by_rules.most - range.value) / (1 << kEndHalvings) + 0.11;
      EXPECT_GT(findingsWith(spec, *range.row, range.most + past), 0U) << pointer;
    }
  }
}

// Eyes of any size are one solid that stands before its bracket, and racks cut before their first
// bought hole have two of their own.
TEST(ShelfEnds, EyesAndCutRacksAreClear) {
  for (const char* hardware :
       {R"({"terminal": {"kind": "eye", "eye_mm": 12}})",
        R"({"terminal": {"kind": "eye", "eye_mm": 24}})",
        R"({"terminal": {"kind": "eye", "eye_mm": 30}})", R"({"rack": {"hole_end_mm": 300}})",
        R"({"rack": {"hole_end_mm": 300, "fixing": "foot"}})"}) {
    const GateSpec spec = gateWith(hardware);
    const LayoutResult result = layOut(spec);
    ASSERT_TRUE(result.problems.empty()) << hardware;
    EXPECT_TRUE(checkClashes(buildModel(spec, result.layout)).findings.empty()) << hardware;
  }
}

}  // namespace
}  // namespace leafstack
