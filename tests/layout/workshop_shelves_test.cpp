// Two shelves as a workshop types them in, no size like our sets', and their gates: what the layout
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

GateSpec specOf(const std::string& gate, const std::vector<Override>& overrides = {}) {
  HardwareInput input;
  input.gate_folder = kFolder;
  input.read = fileText;
  const ReadResult read = readGate(fileText(kFolder + gate).text, gate, overrides, input);
  EXPECT_TRUE(read.gate) << (read.gate ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

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
  const double drop = std::ceil(bare - 12 - highest);
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

// Typed from scratch: but for the module that was asked for, square angles, a bar of 20, no flat
// under it and rows of kinds that a shelf does not have, no figure is one of the sets'.
TEST(WorkshopShelves, NoSizeIsASets) {
  const std::set<std::string_view> asked = {"/hardware/rack/module_mm", "/hardware/track/size_mm",
                                            "/hardware/track/flat_mm",
                                            "/hardware/wheel/groove_deg"};
  for (const char* gate : {"shelf-angle-feet.json", "shelf-plates-bar.json"}) {
    const GateSpec spec = specOf(gate);
    int own = 0;
    int alike = 0;
    for (const Parameter& row : hardwareRows()) {
      const auto value = row.kind == Kind::kNumber ? numberOf(row, spec) : std::nullopt;
      if (!value || asked.contains(row.pointer)) {
        continue;
      }
      bool is_a_sets = false;
      for (const char* set : {"\"light\"", "\"medium\"", "\"heavy\""}) {
        const GateSpec other = specOf(gate, {{"/hardware", set}});
        is_a_sets = is_a_sets || numberOf(row, other) == value;
      }
      (is_a_sets ? alike : own) += 1;
    }
    EXPECT_GT(own, 70) << gate;
    EXPECT_LT(alike, 32) << gate;
    RecordProperty(std::string("alike in ") + gate, alike);
  }
}

}  // namespace
}  // namespace leafstack::workshop_shelves
