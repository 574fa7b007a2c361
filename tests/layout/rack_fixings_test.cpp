// Where a rack is fixed: at the holes and feet that a bought piece has, whole or cut. Places by
// hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "params/read_gate.h"

namespace leafstack::rack_fixings {
namespace {

constexpr double kSameMm = 1e-6;

GateSpec specWith(double opening_mm, const std::string& hardware) {
  const ReadResult read = readGate(R"({"site": {"opening_mm": )" + shown(opening_mm) +
                                       R"(}, "gate": {"panels": 2}, "hardware": )" + hardware + "}",
                                   "test");
  EXPECT_TRUE(read.gate) << (read.gate ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

Model modelOf(const GateSpec& spec) {
  const LayoutResult laid_out = layOut(spec);
  EXPECT_TRUE(laid_out.problems.empty())
      << (laid_out.problems.empty() ? "" : laid_out.problems.front().text);
  return buildModel(spec, laid_out.layout);
}

/// Middles along the rail of all that is of a kind, from panel 1's leading end.
std::vector<double> stationsOf(const Model& model, PartKind kind) {
  std::vector<double> stations;
  for (const Instance& one : model.instances) {
    if (model.parts[one.part].kind == kind) {
      stations.push_back((one.bounds.low[0] + one.bounds.high[0]) / 2 -
                         model.layout.panel(1).leading_closed_mm);
    }
  }
  std::sort(stations.begin(), stations.end());
  return stations;
}

std::string rackDescribed(const Model& model, double length_mm) {
  for (const BillRow& row : makeSchedules(model).bill) {
    if (row.name == "rack" && std::abs(row.length_mm - length_mm) < kSameMm) {
      return row.description;
    }
  }
  return "no such piece";
}

// Panel 1 of 5600 by two is 3100 long and its rack starts 20 in: two whole pieces of 1000, and as
// 80 would be too short a rest, two of (1000 + 80) / 2 = 540. A whole piece has holes at 50, 500
// and 950; 540 keeps those at 50 and 500.
TEST(RackFixings, ACutPieceKeepsTheHolesThatItHas) {
  const Model model = modelOf(specWith(5600, "\"medium\""));
  const std::vector<double> by_hand = {70, 520, 970, 1070, 1520, 1970, 2070, 2520, 2610, 3060};
  const std::vector<double> stations = stationsOf(model, PartKind::kRackStandoff);
  ASSERT_EQ(stations.size(), by_hand.size());
  for (std::size_t i = 0; i < by_hand.size(); ++i) {
    EXPECT_NEAR(stations[i], by_hand[i], kSameMm);
  }
  EXPECT_NE(rackDescribed(model, 540).find("cut from 1000"), std::string::npos);
  EXPECT_EQ(rackDescribed(model, 1000).find("cut"), std::string::npos);
}

// Of 4920, the rack 2740 long: pieces of 1000, 1000 and 740, which keeps 50 and 500 and has 240
// beyond, more than half of 450. Steel is drilled once more, 50 from its cut end.
TEST(RackFixings, ALongLooseEndIsDrilledForAStandoff) {
  const Model model = modelOf(specWith(4920, "\"medium\""));
  EXPECT_NE(rackDescribed(model, 740).find("drilled for a standoff at 690"), std::string::npos)
      << rackDescribed(model, 740);
  const std::vector<double> stations = stationsOf(model, PartKind::kRackStandoff);
  ASSERT_EQ(stations.size(), 9U);
  EXPECT_NEAR(stations.back(), 20 + 2000 + 690, kSameMm);
}

// Feet are where they are: the bill says what of the last piece none of them holds.
TEST(RackFixings, ALooseEndOfARackOnFeetIsInTheBill) {
  const GateSpec spec = specWith(4920, R"({"set": "medium", "rack": {"material": "nylon",
      "fixing": "foot"}})");
  const Model model = modelOf(spec);
  EXPECT_NE(rackDescribed(model, 740).find("its last 240 beyond any foot"), std::string::npos)
      << rackDescribed(model, 740);
}

// Pinion off the rail's face, medium set with a rope of 3 and eyes of 20: strands 10 + 3 + 2 = 15
// off, an eye reaches 25, and 2 of clearance: 27, the shelf has 23. With screws the widest is a
// pulley's cover: rim 36.5 + 3.5, gap and cover 1.5 each, less 25: 18, and with 2 more 20.
TEST(RackFixings, ThePinionStandsPastWhatEndsTheRopes) {
  const GateSpec eyes = specWith(6000, R"({"set": "medium", "terminal": {"kind": "eye"}})");
  const Layout with_eyes = layOut(eyes).layout;
  EXPECT_NEAR(with_eyes.stack.drive_out_mm, 4, kSameMm);
  const GateSpec screws = specWith(6000, "\"medium\"");
  const Layout with_screws = layOut(screws).layout;
  EXPECT_EQ(with_screws.stack.drive_out_mm, 0);
  // Rack, motor and pinion go together: 20, 44 and 23 off on the shelf.
  const Model model = modelOf(eyes);
  const double face = with_eyes.panel(1).front_y_mm + with_eyes.stack.frame_depth_mm;
  const std::pair<PartKind, double> near_sides[] = {
      {PartKind::kRack, 24}, {PartKind::kPinion, 27}, {PartKind::kMotor, 48}};
  for (const auto& [kind, off] : near_sides) {
    for (const Instance& one : model.instances) {
      if (model.parts[one.part].kind == kind) {
        EXPECT_NEAR(one.bounds.low[1] - face, off, kSameMm) << rowOf(kind).words;
      }
    }
  }
  // Feet hold a rack where they do: refused with what would do.
  const GateSpec feet = specWith(6000, R"({"set": "medium", "terminal": {"kind": "eye"},
      "rack": {"fixing": "foot"}})");
  const std::vector<LayoutProblem> problems = layOut(feet).problems;
  ASSERT_FALSE(problems.empty());
  EXPECT_EQ(problems.front().pointer, "/hardware/rack/offset_mm");
  EXPECT_NE(problems.front().text.find("24 mm"), std::string::npos) << problems.front().text;
}

}  // namespace
}  // namespace leafstack::rack_fixings
