// A rack that is laid to the path of the pinion on uneven ground. By hand: on z = c x^2 a panel on
// two wheels sees the pinion go along a parabola of the same c, which pieces of length L are off by
// c L^2 / 4 in all.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;
using Line = std::vector<std::pair<double, double>>;

GateSpec onLine(const Line& line, const Json& changes = Json::object()) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  file["site"]["track_survey_mm"] = line;
  file.merge_patch(changes);
  return gates::specOf(file);
}

Line bowl(double per_mm) {
  Line line;
  for (double x = -1000; x <= 11000; x += 250) {
    line.emplace_back(x, per_mm * (x - 5000) * (x - 5000));
  }
  return line;
}

TEST(RackPath, PiecesOfAMetreAreOffAParabolaByItsSagitta) {
  constexpr double kPerMm = 2e-6;
  const Layout layout = gates::laidOut(onLine(bowl(kPerMm)));
  const GroundLayout& ground = layout.ground;
  ASSERT_FALSE(ground.rack_up_mm.empty());
  EXPECT_NEAR(ground.rack_off_mm.high - ground.rack_off_mm.low, kPerMm * 1000 * 1000 / 4, 0.06);
  EXPECT_GE(ground.rack_off_mm.low, -1e-9) << "deeper than two modules";
  EXPECT_GT(ground.rack_rise_mm.high - ground.rack_rise_mm.low,
            3 * (ground.rack_off_mm.high - ground.rack_off_mm.low));
  EXPECT_EQ(*std::min_element(ground.rack_up_mm.begin(), ground.rack_up_mm.end()), 0);
}

TEST(RackPath, OnGroundThatIsNearlyStraightItIsStraight) {
  for (const Line& line :
       {Line{{-1000, 0}, {11000, 0}}, Line{{-1000, -20}, {11000, 220}}, bowl(1e-7)}) {
    const Layout layout = gates::laidOut(onLine(line));
    EXPECT_TRUE(layout.ground.rack_up_mm.empty());
    EXPECT_EQ(layout.ground.rack_pinion_up_mm, 0);
  }
}

/// A point of a part, carried with panel 1 to a position of the drive.
gp_Pnt carriedTo(const Model& model, const Instance& instance, const gp_Pnt& point, double drive) {
  return point.Transformed(locationAt(model, instance, drive).Transformation());
}

// The pinion's tip circle enters by as much as the layout says, measured from the placed parts; and
// pieces meet end to end.
void partsLieAsLaid(const Line& line) {
  const GateSpec spec = onLine(line);
  const Model model = buildModel(spec, gates::laidOut(spec));
  const GroundLayout& ground = model.layout.ground;
  std::vector<const Instance*> racks;
  const Instance* pinion = nullptr;
  for (const Instance& one : model.instances) {
    const PartKind kind = model.parts[one.part].kind;
    if (kind == PartKind::kRack) {
      racks.push_back(&one);
    } else if (kind == PartKind::kPinion) {
      pinion = &one;
    }
  }
  ASSERT_EQ(racks.size() + 1, ground.rack_up_mm.size());
  ASSERT_NE(pinion, nullptr);
  const auto endOf = [&](const Instance& rack) {
    return gp_Pnt(model.parts[rack.part].length_mm, 0, 0);
  };
  for (std::size_t i = 1; i < racks.size(); ++i) {
    const gp_Pnt end = carriedTo(model, *racks[i - 1], endOf(*racks[i - 1]), 0);
    EXPECT_LT(end.Distance(carriedTo(model, *racks[i], {}, 0)), 0.5) << "dressed by what it leans";
  }
  const HardwareSpec& shelf = spec.hardware;
  const double tip = pinionPitchRadiusMm(shelf) + shelf.rack.module_mm;
  const gp_XYZ axis = pinion->at_closed.Transformation().TranslationPart();
  double least = 1e9;
  double most = -1e9;
  for (int i = 0; i <= 200; ++i) {
    const double drive = model.layout.drive_travel_mm * i / 200;
    for (const Instance* rack : racks) {
      const gp_Pnt a = carriedTo(model, *rack, {}, drive);
      const gp_Pnt b = carriedTo(model, *rack, endOf(*rack), drive);
      if (axis.X() >= a.X() && axis.X() <= b.X()) {
        const double off =
            ((b.X() - a.X()) * (a.Z() - axis.Z()) - (b.Z() - a.Z()) * (a.X() - axis.X())) /
            a.Distance(b);
        least = std::min(least, tip - off);
        most = std::max(most, tip - off);
      }
    }
  }
  const double full = 2 * shelf.rack.module_mm;
  EXPECT_NEAR(least, full - ground.rack_off_mm.high, 0.05);
  EXPECT_NEAR(most, full - ground.rack_off_mm.low, 0.05);
  EXPECT_LE(most, full + 1e-3);
}

/// 15 deep over a metre about `at`, a multiple of 500, read every 250 mm there and 500 elsewhere.
Line gutter(double at = 5000) {
  Line line;
  for (double x = -500; x <= 12000; x += x >= at - 500 && x < at + 500 ? 250 : 500) {
    const double aside = std::abs(x - at);
    line.emplace_back(x, aside < 100 ? -15 : aside < 300 ? -11.25 : 0);
  }
  return line;
}

TEST(RackPath, ThePartsLieAsLaid) {
  partsLieAsLaid(bowl(5e-6));
  partsLieAsLaid(gutter());
}

// By hand, from memory of ISO 53 and ISO 21771: 16 teeth of module 4 have a pitch radius of 32, a
// base radius of 32 cos 20 = 30.070 and tips at 36, so a recess of sqrt(36^2 - 30.07^2) - 32 sin 20
// = 19.794 - 10.945 = 8.849. At the working depth the approach ends where the involute begins,
// 10.945: (8.849 + 10.945) / (4 pi cos 20 = 11.809) = 1.676. It is 1 where the approach is 2.960,
// that is with the rack 4 - 2.960 sin 20 = 2.988 off.
TEST(RackPath, TeethLetGoBelowAContactRatioOfOne) {
  const GateSpec spec = onLine(bowl(1e-7));
  ASSERT_EQ(spec.hardware.motor.pinion_teeth, 16);
  ASSERT_EQ(spec.hardware.rack.module_mm, 4);
  EXPECT_NEAR(contactRatio(spec.hardware, 0), 1.676, 1e-3);
  EXPECT_NEAR(contactRatio(spec.hardware, 2.988), 1, 1e-3);
  EXPECT_NEAR(contactLostMm(spec.hardware), 2.988, 1e-3);
}

// Just before and just past that.
TEST(RackPath, ARackThatLetsGoIsNotReady) {
  Layout layout = gates::laidOut(onLine(bowl(1e-7)));
  const GateSpec spec = onLine(bowl(1e-7));
  const auto isAgainst = [&](double rise) {
    layout.ground.rack_rise_mm = {0, rise};
    for (const Warning& warning : warningsOf(spec, layout)) {
      if (warning.id == "teeth-let-go") {
        return warning.against == Against::kTrack;
      }
    }
    return false;
  };
  EXPECT_FALSE(isAgainst(2.95));
  EXPECT_TRUE(isAgainst(3.03));
}

// Wherever a gutter lies under the back panel, no tooth enters deeper than it should, and where one
// enters by so little that the next has not taken over, the gate is not ready.
TEST(RackPath, IsJudgedWhereverAGutterLies) {
  int laid = 0;
  for (double at = 2500; at <= 9000; at += 500) {
    const GateSpec spec = onLine(gutter(at));
    const LayoutResult result = layOut(spec);
    if (!result.problems.empty()) {
      continue;  // a keeper or a wheel is in the way, and said to be
    }
    ++laid;
    const Layout& layout = result.layout;
    EXPECT_GE(layout.ground.rack_off_mm.low, -1e-9) << at;
    bool is_told = false;
    for (const Warning& warning : warningsOf(spec, layout)) {
      is_told = is_told || (warning.id == "teeth-let-go" && warning.against == Against::kTrack);
    }
    EXPECT_EQ(is_told, contactRatio(spec.hardware, mostLessMm(layout)) < 1) << at;
  }
  EXPECT_GT(laid, 7);
}

}  // namespace
}  // namespace leafstack
