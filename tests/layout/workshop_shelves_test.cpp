// Shelves as a workshop types them in, no size like our sets', and their gates: what the layout
// makes of them, recomputed by hand with the formula beside it. tests/run.sh builds the same gates
// whole and has them read back by programs that did not write them.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <set>
#include <sstream>
#include <string>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/layout.h"
#include "generator/shelf/measured_gate.h"
#include "params/read_gate.h"
#include "params/table/hardware_rows.h"
#include "tests/support/random_gates.h"

namespace leafstack::workshop_shelves {
namespace {

constexpr double kExactMm = 1e-9;
const std::string kFolder = std::string(LEAFSTACK_SOURCE_DIR) + "/tests/gates/";

FileText fileText(const std::string& path) {
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return {text.str(), file ? "" : "cannot be read"};
}

GateSpec specOfText(const std::string& text, const std::string& name,
                    const std::vector<Override>& overrides = {}) {
  HardwareInput input;
  input.gate_folder = kFolder;
  input.read = fileText;
  const ReadResult read = readGate(text, name, overrides, input);
  EXPECT_TRUE(read.gate) << (read.gate ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

GateSpec specOf(const std::string& gate, const std::vector<Override>& overrides = {}) {
  return specOfText(fileText(kFolder + gate).text, gate, overrides);
}

constexpr const char* kBarAndEyes = R"({"hardware": "shelves/bar-and-eyes.json",
    "site": {"opening_mm": 7350, "opens": "left"}, "guides": {"channel_width_mm": 86, "post_mm": 100},
    "gate": {"panels": 3, "height_mm": 1620, "bottom_rail": "RHS 120x60x4",
             "top_rail": "SHS 60x60x3", "stile": "SHS 60x60x3"}})";
constexpr const char* kCarriersOnFlat = R"({"hardware": "shelves/carriers-on-flat.json",
    "site": {"opening_mm": 8150}, "guides": {"mount": "reach-over", "channel_width_mm": 74,
    "post_mm": 100, "rail_mm": 35, "channel_depth_mm": 52},
    "gate": {"panels": 4, "height_mm": 1800, "stacking": "staggered", "bottom_rail": "RHS 150x70x5",
             "top_rail": "SHS 70x70x4", "stile": "SHS 70x70x4"}})";

constexpr const char* kBarAndStuds = R"({"hardware": "shelves/bar-and-studs.json",
    "site": {"opening_mm": 5450, "opens": "left"}, "guides": {"channel_width_mm": 90, "rail_mm": 40},
    "gate": {"panels": 3, "height_mm": 1550, "bottom_rail": "RHS 120x60x4",
             "top_rail": "SHS 60x60x3", "stile": "SHS 60x60x3"}})";

constexpr const char* kAngleAndEyes = R"({"hardware": "shelves/angle-and-eyes.json",
    "site": {"opening_mm": 8700, "grade": "1:40", "fence_height_mm": 2400},
    "guides": {"mount": "overhead", "channel_width_mm": 96, "rail_mm": 40, "post_mm": 100},
    "gate": {"panels": 4, "height_mm": 1900, "top": "level", "bottom_rail": "RHS 150x70x5",
             "top_rail": "SHS 70x70x4", "stile": "SHS 70x70x4"}, "drive": {"motor": "narrow"}})";

// 80 wheels on an angle 30x30x3, nylon rack 22 high of module 4 on feet, pinion 95 over the motor's
// feet, 70 wide channel, pivoted blocks; 5200 by two panels, flush, level here.
TEST(WorkshopShelves, AngleAndFeet) {
  const GateSpec spec = specOf("shelf-angle-feet.json", {{"/site/grade", "0"}});
  const Layout layout = gates::laidOut(spec);
  // Underside over the footing: track (leg + thickness) / sqrt 2, wheel's radius on it, axle 17 up.
  const double underside = (30 + 3) / std::sqrt(2) + 63.0 / 2 - 17;
  EXPECT_NEAR(undersideOverFootingMm(spec.hardware), underside, kExactMm);
  EXPECT_NEAR(layout.heights.footing_top_mm, 50 - underside, kExactMm);
  // Reach. M8 nuts are 13 / cos 30 = 15.01 over corners, 7.5 radius; strands 7.5 + 2 + 2 up to
  // halves = 12 off a rail 50 deep: pitch 74, rim 37 + 4 = 41, inset 41 + 2 + 2 = 45. Bracket: its
  // edge 25 + 6 = 31 off the middle clears the rim's 41 + 2 at sqrt(43^2 - 31^2) = 29.8, half of
  // 34 more and 2 for welding: 48.8, up to 49.
  EXPECT_NEAR(layout.pulley_pitch_mm, 74, kExactMm);
  EXPECT_NEAR(layout.reach_mm, 45 + std::ceil(std::sqrt(43.0 * 43 - 31 * 31) + 17 + 2), kExactMm);
  // Overlap: the most of 80, the channel's 70 and reach + bracket inset of -12.
  EXPECT_NEAR(layout.panel(1).overlap_mm, 94 - 12, kExactMm);
  // Pinion: gap 20, post 80, gap 10 and half of a 270 motor past the opening; the rack reaches 55
  // further when closed. Room: where panel 1's end is when open.
  EXPECT_NEAR(layout.pinion_mm, 5200 + 20 + 80 + 10 + 135, kExactMm);
  EXPECT_NEAR(layout.extension_mm, 245 + 55, kExactMm);
  EXPECT_NEAR(layout.room_mm, 300 + 5200.0 / 2, kExactMm);
  // Rack: bare, its lower edge is at pinion 95 + pitch radius 36 - module 4 - underside; the slots
  // of its feet end in the rail's flat, 100 - 2 x 3 - 0.5, at most: less 22, half of 15 and half of
  // a slot of 10.5. The base lowers the pinion by up to 12; the rest, by whole mm, is the
  // footing's.
  const double bare = 95 + 36 - 4 - underside;
  const double highest = 93.5 - 22 - (15 + 10.5) / 2;
  const double drop = std::ceil((bare - 12 - highest) / 5) * 5;  // steps of 5 are cast
  EXPECT_NEAR(footingDropMm(spec, layout), drop, kExactMm);
  EXPECT_NEAR(layout.heights.motor_packing_mm, 0, kExactMm);
  EXPECT_NEAR(layout.heights.motor_raise_mm, highest + drop - bare, kExactMm);
  EXPECT_NEAR(layout.heights.rack_lower_up_mm, highest, kExactMm);
}

// 120 wheels in carriers, on a round bar of 20, studs on the ropes' ends; 6400 by three panels,
// staggered.
TEST(WorkshopShelves, PlatesOnBar) {
  const GateSpec spec = specOf("shelf-plates-bar.json");
  const Layout layout = gates::laidOut(spec);
  // Underside over the footing: bar, radius on it, axle 76 below.
  EXPECT_NEAR(undersideOverFootingMm(spec.hardware), 20 + 106.0 / 2 + 76, kExactMm);
  // Reach: rim 72 / 2 + 3 = 39, inset 39 + 2 + 2 = 43. A stud's mouth is half a bracket 15, half of
  // the range 12 and 30 of swaged part before the bracket's middle, 12 more when let out; its 6.5
  // clears the rim's 39 + 2 at sqrt(41^2 - (36 - 3.25)^2); 2 for welding.
  const double along = std::sqrt(41.0 * 41 - 32.75 * 32.75);
  EXPECT_NEAR(layout.reach_mm, 43 + std::ceil(along + 15 + 12 + 30 + 12 + 2), kExactMm);
  const double r = 139;
  EXPECT_NEAR(layout.reach_mm, r, kExactMm);
  // Overlap r - 12; stagger: overlap and stagger make up the most of overlap + r + 12 and 2 r.
  const double overlap = r - 12;
  const double stagger = std::max(overlap + r + 12, 2 * r) - overlap;
  for (const int number : {1, 2}) {
    EXPECT_NEAR(layout.panel(number).overlap_mm, overlap, kExactMm);
    EXPECT_NEAR(layout.panel(number).stagger_mm, stagger, kExactMm);
  }
  // The ground rope: both staggers and 2 r past the opening when closed.
  EXPECT_EQ(layout.binding, Binding::kRopeGround);
  EXPECT_NEAR(layout.extension_mm, 2 * stagger + 2 * r, kExactMm);
  EXPECT_NEAR(layout.room_mm, 2 * stagger + 2 * r + 6400.0 / 3, kExactMm);
  // Packing: middle of the ropes 20 up and half of their 16 apart, half of those 16, a pulley's 15
  // and its running gaps of 0.5, 5 of clearance; bare, the rack is at 130 + 30 - 3 - 149.
  EXPECT_NEAR(layout.heights.motor_packing_mm,
              20 + 8 + (16 + 15 + 2 * 0.5) / 2 + 5 - (130 + 30 - 3 - 149), kExactMm);
}

// 92 wheels on a bar of 22, eyes on the ropes' ends, a rack of module 5; 7350 by three panels,
// flush, rail 120x60x4.
TEST(WorkshopShelves, BarAndEyes) {
  const GateSpec spec = specOfText(kBarAndEyes, "bar");
  const Layout layout = gates::laidOut(spec);
  EXPECT_NEAR(undersideOverFootingMm(spec.hardware), 22 + 81.0 / 2 - 21, kExactMm);
  // Eyes of 22 reach 11 to the side, over cradles 3.5 thick, 2 clear: strands 16.5 off a rail 60
  // deep. Rim 93 / 2 + 4.5 = 51; inset 51 + 2 + 2.
  EXPECT_NEAR(layout.pulley_pitch_mm, 60 + 2 * 16.5, kExactMm);
  // An eye before its bracket: half of 38, half of the range 13, eye and thimble of 22 less a ring
  // of 4.5 each, ferrule 19, and 13 more when let out; past the rim's 51 + 2 where its edge is
  // 46.5 - 11 from the axis. 2 for welding.
  const double eye = 19 + 13 + 2 * (22 - 4.5) + 19 + 13;
  const double reach = 55 + std::ceil(eye + std::sqrt(53.0 * 53 - 35.5 * 35.5) + 2);
  EXPECT_NEAR(layout.reach_mm, reach, kExactMm);
  EXPECT_NEAR(reach, 196, kExactMm);
  // Overlaps: the front one reach - 12; the one behind that and reach + 12 more.
  EXPECT_NEAR(layout.panel(2).overlap_mm, reach - 12, kExactMm);
  EXPECT_NEAR(layout.panel(1).overlap_mm, 2 * reach, kExactMm);
  // Room: a third of the opening; the bracket on panel 2 goes past the ground bracket's pulley.
  EXPECT_EQ(layout.binding, Binding::kRopeBracket);
  EXPECT_NEAR(layout.room_mm, 7350.0 / 3 + 2 * reach + reach + 12, kExactMm);
  // Rack: pinion 84 over the feet and 15 teeth of 5 hold it at 84 + 37.5 - 5 - 41.5 = 75 without
  // packers, 5 over all of the ropes: 24, half of 23 between them, half a bracket of 42.
  EXPECT_NEAR(layout.heights.rope_heights_mm[0], 24 + 23 / 2.0, kExactMm);
  EXPECT_LT(35.5 + 21 + 5, 75);
  EXPECT_NEAR(layout.heights.motor_packing_mm, 0, kExactMm);
  EXPECT_NEAR(layout.heights.rack_lower_up_mm, 75, kExactMm);
}

// 110 wheels in carriers on an angle of 35 that is welded on a flat, hollow screws, a nylon rack of
// module 3 on feet; 8150 by four panels, staggered, rail 150x70x5.
TEST(WorkshopShelves, CarriersOnFlat) {
  const GateSpec spec = specOfText(kCarriersOnFlat, "carriers");
  const Layout layout = gates::laidOut(spec);
  const double underside = 14 + (35 + 4.5) / std::sqrt(2) + 86.0 / 2 + 83;
  EXPECT_NEAR(undersideOverFootingMm(spec.hardware), underside, kExactMm);
  // Nuts 19 over flats are 10.97 in radius, past axle ends of 2.5, 2 clear: up to halves 15.5.
  EXPECT_NEAR(layout.pulley_pitch_mm, 70 + 2 * 15.5, kExactMm);
  // Rim 50.5 + 3.8; inset 54.3 + 4 up to 59. The bracket's edge, 35 + 8 off the middle, clears the
  // rim's 56.3; half of 37, and 2 for welding.
  const double reach = 59 + std::ceil(std::sqrt(56.3 * 56.3 - 43 * 43) + 18.5 + 2);
  EXPECT_NEAR(layout.reach_mm, reach, kExactMm);
  EXPECT_NEAR(reach, 116, kExactMm);
  for (const int number : {1, 2, 3}) {
    EXPECT_NEAR(layout.panel(number).overlap_mm, reach - 12, kExactMm);
    EXPECT_NEAR(layout.panel(number).stagger_mm, reach + 12, kExactMm);
  }
  EXPECT_NEAR(layout.room_mm, 8150.0 / 4 + 3 * (reach + 12) + 2 * reach, kExactMm);
  // Lower ropes: 10.5 up the rail's corner, half a slot of 13 + 2 x 0.5 + 2 x 2.8 + 2 x 1, half of
  // 20 between them. Packing: from there half a bracket of 41 and 5, less what 22 teeth of 3 on an
  // axis 112 over the feet hold; more than flats and the base's 9 make up.
  const double low = 10.5 + (13 + 1 + 5.6 + 2) / 2 + 10;
  EXPECT_NEAR(layout.heights.rope_heights_mm[0], low, kExactMm);
  EXPECT_NEAR(layout.heights.rack_lower_up_mm, low + 41 / 2.0 + 5, kExactMm);
  EXPECT_NEAR(layout.heights.motor_packing_mm, low + 25.5 - (112 + 33 - 3 - underside), kExactMm);
}

// Only what differs from a set of ours: 104 wheels on a bar of 25, studs M10, a pinion 102 over the
// feet; 5450 by three panels, flush.
TEST(WorkshopShelves, BarAndStuds) {
  const GateSpec spec = specOfText(kBarAndStuds, "studs");
  const Layout layout = gates::laidOut(spec);
  EXPECT_NEAR(undersideOverFootingMm(spec.hardware), 25 + 92.0 / 2 - 19, kExactMm);
  // Nuts 17 over flats are 9.81 in radius, past axle ends of 2, 2 clear: up to halves 14 off a rail
  // 60 deep.
  EXPECT_NEAR(layout.pulley_pitch_mm, 60 + 2 * 14, kExactMm);
  // Rim 44 + 4 = 48; inset 48 + 2 + 2. A stud's mouth is half a bracket 18, half of the range 11
  // and 36 of swaged part before the bracket's middle, 11 more when let out; its M10, thicker than
  // the 8 swaged, clears the rim's 48 + 2 at sqrt(50^2 - (44 - 5)^2); 2 for welding.
  const double reach = 52 + std::ceil(std::sqrt(50.0 * 50 - 39 * 39) + 18 + 11 + 36 + 11 + 2);
  EXPECT_NEAR(reach, 162, kExactMm);
  EXPECT_NEAR(layout.reach_mm, reach, kExactMm);
  EXPECT_NEAR(layout.panel(2).overlap_mm, reach - 12, kExactMm);
  EXPECT_NEAR(layout.panel(1).overlap_mm, 2 * reach, kExactMm);
  EXPECT_EQ(layout.binding, Binding::kRopeBracket);
  EXPECT_NEAR(layout.room_mm, 5450.0 / 3 + 2 * reach + reach + 12, kExactMm);
  // Pinion: gap 20, post 80, gap 10 and half of a motor of 265. Its 17 teeth of 4 hold the rack at
  // 102 + 34 - 4 - 52 without packers.
  EXPECT_NEAR(layout.pinion_mm, 5450 + 20 + 80 + 10 + 265 / 2.0, kExactMm);
  EXPECT_NEAR(layout.heights.motor_packing_mm, 0, kExactMm);
  EXPECT_NEAR(layout.heights.rack_lower_up_mm, 80, kExactMm);
}

// 112 V wheels in the rail on an angle of 40, eyes, a steel rack of module 6 on feet; 8700 by four
// panels, flush, level tops on a rise of 1 in 40, overhead bracket, narrow motor.
TEST(WorkshopShelves, AngleAndEyes) {
  const GateSpec spec = specOfText(kAngleAndEyes, "eyes");
  const Layout layout = gates::laidOut(spec);
  const double underside = (40 + 5) / std::sqrt(2) + 84.0 / 2 - 24;
  EXPECT_NEAR(undersideOverFootingMm(spec.hardware), underside, kExactMm);
  // Eyes of 24 reach 12 to the side, over cradles 4.2 thick, 2 clear: up to halves 18.5 off a rail
  // 70 deep. Rim 107 / 2 + 5 = 58.5; inset 58.5 + 2 + 2 up to 63.
  EXPECT_NEAR(layout.pulley_pitch_mm, 70 + 2 * 18.5, kExactMm);
  // An eye before its bracket: half of 44, half of the range 14, eye and thimble of 24 less a ring
  // of 5 each, ferrule 24, and 14 more when let out; past the rim's 58.5 + 2 where its edge is
  // 53.5 - 12 from the axis. 2 for welding.
  const double eye = 22 + 14 + 2 * (24 - 5) + 24 + 14;
  const double reach = 63 + std::ceil(eye + std::sqrt(60.5 * 60.5 - 41.5 * 41.5) + 2);
  EXPECT_NEAR(reach, 222, kExactMm);
  EXPECT_NEAR(layout.reach_mm, reach, kExactMm);
  // Overlaps lie along the track: reach - 12 in front, then 2 x reach, then that and reach + 12.
  const double level = std::cos(std::atan(1 / 40.0));
  EXPECT_NEAR(layout.panel(3).overlap_mm, (reach - 12) * level, kExactMm);
  EXPECT_NEAR(layout.panel(2).overlap_mm, 2 * reach * level, kExactMm);
  EXPECT_NEAR(layout.panel(1).overlap_mm, (3 * reach + 12) * level, kExactMm);
  EXPECT_EQ(layout.binding, Binding::kRopeBracket);
  EXPECT_NEAR(layout.room_mm, 8700 / 4.0 + (4 * reach + 24) * level, kExactMm);
  // Packing of the stack: the guide rail's 40 and the channel's depth of 49, nothing more.
  EXPECT_NEAR(layout.panel(1).front_y_mm - layout.panel(2).front_y_mm, 70 + 40 + 49, kExactMm);
  // Rack on level ground: an axis 98 over the feet and 14 teeth of 6 hold it, bare, at 98 + 42 - 6
  // over the footing; its feet end in the rail's flat, 150 - 2 x 5 - 0.5, at most: less 34, half of
  // 21 and half of a slot of 15.
  const GateSpec even = specOfText(kAngleAndEyes, "eyes", {{"/site/grade", "0"}});
  const Layout flat = gates::laidOut(even);
  EXPECT_NEAR(flat.heights.rack_lower_up_mm, 98 + 42 - 6 - underside, kExactMm);
  EXPECT_LT(flat.heights.rack_lower_up_mm, 139.5 - 34 - (21 + 15) / 2.0);
  EXPECT_NEAR(flat.heights.motor_packing_mm, 0, kExactMm);
  EXPECT_NEAR(footingDropMm(even, flat), 0, kExactMm);
  // On the slope the motor's 180 want a wedge of half their rise over a plate of 3; the footing
  // gives way by the whole mm that the feet then stand too high.
  EXPECT_NEAR(layout.heights.motor_packing_mm, 180 / 40.0 / 2 + 3, kExactMm);
  const double wedged = 98 + 42 - 6 - underside + 180 / 40.0 / 2 + 3;
  EXPECT_NEAR(footingDropMm(spec, layout),
              std::ceil((wedged - (139.5 - 34 - (21 + 15) / 2.0)) / 5) * 5, kExactMm);
  EXPECT_NEAR(layout.heights.rack_lower_up_mm, wedged - footingDropMm(spec, layout), 0.01);
}

// Typed from scratch: but for the module that was asked for, square angles, a bar of 20, no flat
// under it and rows of kinds that a shelf does not have, no figure is one of the sets'.
TEST(WorkshopShelves, NoSizeIsASets) {
  const std::set<std::string_view> asked = {"/hardware/rack/module_mm", "/hardware/track/size_mm",
                                            "/hardware/track/flat_mm",
                                            "/hardware/wheel/groove_deg"};
  const std::string gates[] = {fileText(kFolder + "shelf-angle-feet.json").text,
                               fileText(kFolder + "shelf-plates-bar.json").text, kBarAndEyes,
                               kCarriersOnFlat, kAngleAndEyes};
  for (const std::string& gate : gates) {
    const GateSpec spec = specOfText(gate, "gate");
    int own = 0;
    int alike = 0;
    for (const Parameter& row : hardwareRows()) {
      const auto value = row.kind == Kind::kNumber ? numberOf(row, spec) : std::nullopt;
      if (!value || asked.contains(row.pointer)) {
        continue;
      }
      bool is_a_sets = false;
      for (const char* set : {"\"light\"", "\"medium\"", "\"heavy\""}) {
        const GateSpec other = specOfText(gate, "gate", {{"/hardware", set}});
        is_a_sets = is_a_sets || numberOf(row, other) == value;
      }
      (is_a_sets ? alike : own) += 1;
    }
    EXPECT_GT(own, 70) << gate;
    EXPECT_LT(alike, 32) << gate;
    RecordProperty(spec.hardware.set, alike);
  }
}

}  // namespace
}  // namespace leafstack::workshop_shelves
