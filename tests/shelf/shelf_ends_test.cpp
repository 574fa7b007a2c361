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

// By hand: the motor's body begins 44 off the rail's face and is 200 deep; what stands 270 off the
// face lets it be less than 226 deep; neither moves, so that they may come as near as they like.
TEST(ShelfEnds, EndWherePartsMeetAndNotBefore) {
  const auto laid_out = layOut(gateWith(R"("medium")")).layout;
  const double face = laid_out.panel(1).front_y_mm + laid_out.stack.frame_depth_mm;
  GateSpec spec = gateWith(R"("medium")");
  spec.site.obstacles = {{"wall",
                          {laid_out.motor_start_mm, face + 270, -100},
                          {laid_out.motor_start_mm + 200, face + 300, 1000}}};
  const ShelfCheck check = checkShelfOnGate(spec);
  TrialStores stores;
  SizeRange motor = rangeOf(check, "/hardware/motor/depth_mm");
  EXPECT_EQ(motor.above, "") << "no rule knows the obstacle";
  const double by_rules = motor.most;
  shortenRange(spec, motor, stores);
  // One part of what lies between the value and the table's limit, and a step.
  const double past = (by_rules - motor.value) / (1 << kEndHalvings) + 0.11;
  EXPECT_LT(motor.most, 226);
  EXPECT_GE(motor.most, 226 - past);
  EXPECT_NE(motor.above.find("wall"), std::string::npos) << motor.above;
  EXPECT_EQ(findingsWith(spec, *motor.row, motor.most), 0U) << motor.most;
  EXPECT_GT(findingsWith(spec, *motor.row, motor.most + past), 0U);
}

// Ends of ranges where parts met, or were left open: refused by a rule with its figure, at which
// nothing meets.
TEST(ShelfEnds, RulesEndWherePartsWouldMeet) {
  const GateSpec spec = gateWith(R"("medium")");
  const ShelfCheck check = checkShelfOnGate(spec);
  for (const char* pointer :
       {"/hardware/wheel/sleeve_wall_mm", "/hardware/bracket/length_mm",
        "/hardware/bracket/foot_mm", "/hardware/guide/channel_height_mm",
        "/hardware/guide/block_jaw_mm", "/hardware/rack/height_mm", "/hardware/rack/standoff_mm",
        "/hardware/rack/hole_pitch_mm", "/hardware/motor/depth_mm", "/hardware/motor/offset_mm",
        "/hardware/motor/pinion_up_mm", "/hardware/motor/pinion_width_mm",
        "/hardware/motor/packer_width_mm", "/hardware/stop/height_up_mm",
        "/hardware/stop/buffer_up_mm", "/hardware/stop/catch_foot_mm", "/hardware/post/wall_mm",
        "/hardware/keeper/plate_mm"}) {
    const SizeRange range = rangeOf(check, pointer);
    EXPECT_EQ(findingsWith(spec, *range.row, range.least), 0U) << pointer << ' ' << range.least;
    EXPECT_EQ(findingsWith(spec, *range.row, range.most), 0U) << pointer << ' ' << range.most;
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

// A thread that fills its hole shares nothing with what it is in, in whichever way it is laid: all
// points looked at lay on the hole's own surface.
TEST(ShelfEnds, PinScrewsAreClearForEitherHand) {
  for (const Hand hand : {Hand::kLeft, Hand::kRight}) {
    GateSpec spec = gateWith(R"({"pulley": {"pin_screw_mm": 4, "cheek_mm": 3.5}})");
    spec.site.opens = hand;
    const LayoutResult result = layOut(spec);
    const ClashReport report = checkClashes(buildModel(spec, result.layout));
    EXPECT_TRUE(report.findings.empty()) << report.findings.front().text;
  }
}

}  // namespace
}  // namespace leafstack
