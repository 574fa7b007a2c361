// Gates of every hardware set, and of a shelf unlike any of them, judged through their whole
// travel.
#include <gtest/gtest.h>

#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"
#include "tests/clash/report_text.h"

namespace leafstack {
namespace {

Model modelOf(const std::string& gate) {
  const ReadResult read = readGate(gate, "test");
  EXPECT_TRUE(read.gate) << gate << (read.gate ? "" : toString(read.problems.front()));
  const LayoutResult laid_out = layOut(read.gate->spec);
  EXPECT_TRUE(laid_out.problems.empty())
      << gate << (laid_out.problems.empty() ? "" : laid_out.problems.front().text);
  return buildModel(read.gate->spec, laid_out.layout);
}

std::string gateText(const std::string& hardware, int panels, const std::string& mount,
                     const std::string& top, double grade, bool right, bool flush) {
  return R"({"site": {"opening_mm": )" + std::to_string(1600 + 1900 * panels) + R"(, "opens": ")" +
         (right ? "right" : "left") + R"(", "grade": )" + std::to_string(grade) +
         R"(}, "gate": {"panels": )" + std::to_string(panels) + R"(, "top": ")" + top +
         R"(", "stacking": ")" + (flush ? "flush" : "staggered") + R"("}, "guides": {"mount": ")" +
         mount + R"("}, "hardware": )" + hardware + "}";
}

// Every set with every mount, top and grade; panels, hands and stackings go round with them.
TEST(HardwareClash, EverySetIsClear) {
  int turn = 0;
  for (const BuiltInSet& set : builtInSets()) {
    for (const char* mount : {"post", "overhead", "reach-over"}) {
      for (const char* top : {"raked", "level", "stepped"}) {
        for (const double grade : {-0.05, 0.0, 0.05}) {
          const std::string gate = gateText('"' + std::string(set.name) + '"', 1 + turn % 4, mount,
                                            top, grade, turn % 8 < 4, turn % 3 != 0);
          ++turn;
          const ClashReport clash = checkClashes(modelOf(gate));
          EXPECT_EQ(clash.verdict, Verdict::kClear) << gate << "\n" << allText(clash);
        }
      }
    }
  }
}

/// Lowest or highest point of the only part kind asked for, of one panel; panel 0 is what is fixed.
double lowest(const Model& model, PartKind kind, int panel) {
  double low = 1e9;
  for (const Instance& instance : model.instances) {
    if (model.parts[instance.part].kind == kind && (panel == 0 || instance.panel == panel)) {
      low = std::min(low, instance.bounds.low[2]);
    }
  }
  return low;
}

// A shelf as a workshop would type it in, every figure unlike the sets'. By hand: bar 18 and
// wheel 84 on it, axle 16 over the underside: 18 + 84 / 2 - 16 = 44 from the footing to the rail.
// Pinion 70 over the feet, 16 teeth of module 4, so radius 32: without packers the rack's lower
// edge is at 70 + 32 - 4 - 44 = 54 above the underside.
TEST(HardwareClash, AWorkshopsShelfIsFollowed) {
  const std::string shelf = R"({
      "wheel": {"outside_mm": 94, "running_mm": 84, "width_mm": 22, "axle_mm": 14,
                "axle_up_mm": 16, "axle_head_mm": 23, "inset_mm": 171},
      "track": {"size_mm": 18}, "pulley": {"thickness_mm": 15, "bolt_mm": 10},
      "motor": {"pinion_up_mm": 70, "depth_mm": 210}, "stop": {"gap_mm": 6, "thickness_mm": 10}})";
  const Model model = modelOf(gateText(shelf, 3, "post", "raked", 0, true, true));
  EXPECT_NEAR(lowest(model, PartKind::kBottomRail, 1) - lowest(model, PartKind::kTrack, 0), 44,
              1e-6);
  const auto& heights = model.layout.heights;
  EXPECT_NEAR(heights.rack_lower_up_mm - heights.motor_packing_mm, 54, 1e-9);
  const ClashReport clash = checkClashes(model);
  EXPECT_EQ(clash.verdict, Verdict::kClear) << allText(clash);
}

}  // namespace
}  // namespace leafstack
