// Obstacles of the site: found where they are in the way, proved clear where they are not, by where
// the parts' own bounds say that they reach. Bounds are tight to a thousandth (M5).
#include <gtest/gtest.h>

#include <algorithm>

#include "generator/clash/report/clash.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;

constexpr double kLowMm = 900,
                 kHighMm = 1000;  // of obstacles: stiles and pickets are there, no rails

struct Reach {
  double high_x = -1e9, low_y = 1e9, high_y = -1e9;
};

/// Of a closed panel at the obstacles' height.
Reach reachOf(const Model& model, int panel) {
  Reach reach;
  for (const Instance& one : model.instances) {
    if (one.panel == panel && one.bounds.low[2] < kHighMm && one.bounds.high[2] > kLowMm) {
      reach.high_x = std::max(reach.high_x, one.bounds.high[0]);
      reach.low_y = std::min(reach.low_y, one.bounds.low[1]);
      reach.high_y = std::max(reach.high_y, one.bounds.high[1]);
    }
  }
  return reach;
}

class Obstacles : public testing::Test {
 protected:
  static Json gate() {
    return Json::parse(
        R"({"leafstack":1,"site":{"opening_mm":5650,"room_mm":4000},"gate":{"panels":3,"height_mm":1500,"return":false}})");
  }
  static Model built(const Json& gate) {
    const GateSpec spec = gates::specOf(gate);
    return buildModel(spec, gates::laidOut(spec));
  }
  /// The check of the gate with one box.
  static ClashReport with(std::array<double, 3> low, std::array<double, 3> high,
                          double clearance_mm = 2) {
    Json file = gate();
    file["site"]["obstacles"] = Json::array({{{"name", "bollard"}, {"box_mm", {low, high}}}});
    file["site"]["obstacle_clearance_mm"] = clearance_mm;
    return checkClashes(built(file));
  }
};

// In the way of panel 2 from 40 % of the travel on; and 5 mm beyond where it ends up.
TEST_F(Obstacles, BehindAPanelAreFoundFromWhereItGetsThere) {
  const Model model = built(gate());
  const Reach reach = reachOf(model, 2);
  const double travel = model.layout.drive_travel_mm;
  double thick = 0;  // in the middle of panel 2's stiles
  for (const Instance& one : model.instances) {
    if (one.panel == 2 && model.parts[one.part].kind == PartKind::kStile) {
      thick = 0.5 * (one.bounds.low[1] + one.bounds.high[1]);
    }
  }
  const double met = reach.high_x + model.shiftMm(2, 0.4 * travel);
  const ClashReport inside = with({met, thick - 5, kLowMm}, {met + 80, thick + 5, kHighMm}, 0);
  ASSERT_FALSE(inside.findings.empty());
  double from = 1e9;
  for (const Finding& finding : inside.findings) {
    EXPECT_TRUE(finding.a.name == "bollard" || finding.b.name == "bollard") << finding.text;
    from = std::min(from, finding.stretches_mm.front().from_mm);
  }
  EXPECT_NEAR(from, 0.4 * travel, 1.1);  // told to the millimetre
  EXPECT_EQ(inside.verdict, Verdict::kClash);

  const double beyond = reach.high_x + model.shiftMm(2, travel) + 5;
  const ClashReport outside = with({beyond, thick - 5, kLowMm}, {beyond + 80, thick + 5, kHighMm});
  EXPECT_EQ(outside.verdict, Verdict::kClear);
  for (const Finding& finding : outside.findings) {
    ADD_FAILURE() << finding.text;
  }
}

// Beside the front panel, 5 mm into what it sweeps and 5 mm before it.
TEST_F(Obstacles, BesideAPanelByFiveMillimetres) {
  const Model model = built(gate());
  const Reach reach = reachOf(model, 3);
  const double x = reach.high_x + model.shiftMm(3, 0.4 * model.layout.drive_travel_mm);
  for (const double by : {5.0, -5.0}) {
    const ClashReport report =
        with({x, reach.low_y + by - 60, kLowMm}, {x + 60, reach.low_y + by, kHighMm});
    EXPECT_EQ(report.verdict, by > 0 ? Verdict::kClash : Verdict::kClear) << by;
  }
  // What is asked of the distance is told where it is less.
  const ClashReport near = with({x, reach.low_y - 65, kLowMm}, {x + 60, reach.low_y - 5, kHighMm},
                                /*clearance_mm=*/20);
  EXPECT_EQ(near.verdict, Verdict::kTight);
  double least = 1e9;
  for (const Finding& finding : near.findings) {
    least = std::min(least, finding.clearance_mm);
  }
  EXPECT_NEAR(least, 5, 0.05);
}

// It stands on the footing or in it, beside a fence post: that is not the gate's to keep apart.
TEST_F(Obstacles, MayStandOnWhatIsTheSites) {
  EXPECT_EQ(with({-400, -100, -200}, {-50, -20, 800}).verdict, Verdict::kClear);
}

TEST_F(Obstacles, AllThatIsWrongIsTold) {
  const ReadResult read = readGate(
      R"({"leafstack":1,"site":{"opening_mm":5000,"obstacles":[
           {"nam":"a","box_mm":[[0,0,0],[1000,1000]]},
           {"name":"flat","box_mm":[[0,0,0],[900,900,0]]},
           {"name":"metres","box_mm":[[5,1,0],[6,2,1]]},
           {"name":"far","box_mm":[[0,0,0],[900,900,1e9]]},
           7]}})",
      "obstacles");
  EXPECT_FALSE(read.gate);
  std::string told;
  for (const Diagnostic& problem : read.problems) {
    told += toString(problem) + "\n";
  }
  for (const char* wanted :
       {"/site/obstacles/0/nam", "did you mean \"name\"", "is no corner", "without a name",
        "without extent along Z", "if it was in m", "too far off", "7 is no obstacle"}) {
    EXPECT_NE(told.find(wanted), std::string::npos) << wanted << " in\n" << told;
  }
}

}  // namespace
}  // namespace leafstack
