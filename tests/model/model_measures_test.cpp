// What the gate's solids measure, against closed forms written out here.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "generator/layout/figures/hardware.h"
#include "generator/occt/checked.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

namespace hw = hardware;
using gates::Built;
using gates::builtMatrix;
using gates::modelWith;
using gates::onlyPart;

constexpr double kMeasureRelative = 1e-9;
constexpr double kMeasureExactMm = 1e-6;

TEST(ModelClosedForms, RopeVolumeIsItsLengthTimesItsSection) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    const double radius = gate.model.spec.ropes.diameter_mm / 2;
    for (const RopeRun& run : gate.model.ropes) {
      const Part& rope = gate.model.parts[run.part];
      const double expected = M_PI * radius * radius * rope.length_mm;
      EXPECT_NEAR(rope.volume_mm3 / expected, 1, kMeasureRelative) << rope.mark;
      EXPECT_NEAR(massProperties(rope.open_solid).volume_mm3 / expected, 1, kMeasureRelative)
          << rope.mark << " open";
      const double half = gate.model.layout.drive_travel_mm / 2;
      EXPECT_NEAR(massProperties(ropeSolidAt(gate.model, run, half)).volume_mm3 / expected, 1,
                  kMeasureRelative)
          << rope.mark << " half open";
    }
  }
}

/// A circle's segment beyond `distance` from its centre.
struct Segment {
  double area = 0, centroid_off_centre = 0;
};

Segment segmentOf(double radius, double distance) {
  const double half_chord = std::sqrt(radius * radius - distance * distance);
  Segment segment;
  segment.area = radius * radius * std::acos(distance / radius) - distance * half_chord;
  segment.centroid_off_centre = 2.0 / 3 * std::pow(half_chord, 3) / segment.area;
  return segment;
}

// Pappus: a figure turned about an axis sweeps its area times its centroid's path.
TEST(ModelClosedForms, WheelVolume) {
  const Model model = modelWith({});
  const HardwareSpec& shelf = model.spec.hardware;
  const Part& wheel = onlyPart(model, PartKind::kWheel);
  const double outside = shelf.wheel.outside_mm / 2;
  const double bore = shelf.wheel.axle_mm / 2 + hw::kPulleyBoreGapMm;
  const double groove = shelf.track.size_mm / 2 + 0.5;  // half a millimetre wider than the bar
  const double centre = shelf.wheel.running_mm / 2 + groove;
  const Segment cut = segmentOf(groove, centre - outside);
  const double disc = (outside - bore) * shelf.wheel.width_mm * (outside + bore) / 2;
  const double taken = cut.area * (centre - cut.centroid_off_centre);
  EXPECT_NEAR(wheel.volume_mm3 / (2 * M_PI * (disc - taken)), 1, kMeasureRelative);
}

// Groove by the rope maker's rule, radius 0.53 to 0.55 of the rope and throat 35 to 45 degrees
// (pythonrope.com, row W6): 0.54 and 40.
TEST(ModelClosedForms, PulleyVolume) {
  const Model model = modelWith({});
  const HardwareSpec& shelf = model.spec.hardware;
  const double rope = model.spec.ropes.diameter_mm;
  const double pitch = model.layout.ropes.front().pitch_mm;
  const double rim = pitch / 2 + shelf.pulley.flange_mm;
  const double bore = shelf.pulley.bolt_mm / 2 + hw::kPulleyBoreGapMm;
  const double groove = 0.54 * rope;
  const double half_throat = 20 * M_PI / 180;
  const double centre = pitch / 2 - rope / 2 + groove;
  // The round bottom ends where it runs into the flanks; from there a trapezium opens to the rim.
  const double off = groove * std::sin(half_throat);
  const double inner = centre - off;
  const double low = groove * std::cos(half_throat);
  const double high = low + (rim - inner) * std::tan(half_throat);
  const Segment bottom = segmentOf(groove, off);
  const double width = rim - inner;
  const double trapezium = (low + high) * width;
  const double trapezium_at = inner + width * (low + 2 * high) / (3 * (low + high));
  const double disc = (rim - bore) * shelf.pulley.thickness_mm * (rim + bore) / 2;
  const double taken =
      bottom.area * (centre - bottom.centroid_off_centre) + trapezium * trapezium_at;
  EXPECT_NEAR(onlyPart(model, PartKind::kPulley).volume_mm3 / (2 * M_PI * (disc - taken)), 1,
              kMeasureRelative);
}

/// EN 10219-2 section formula: outer radius 2 t, inner t, walls up to 6 mm.
double areaOf(const HollowSection& section) {
  const double t = section.wall_mm;
  return 2 * t * (section.height_mm + section.depth_mm - 2 * t) - (4 - M_PI) * 3 * t * t;
}

/// Sizes "124x24" that follow `words` in a cut-out's text; {0, 0} where it does not hold them.
std::array<double, 2> sizesAfter(const std::string& text, const std::string& words) {
  const std::size_t at = text.find(words);
  if (at == std::string::npos) {
    return {0, 0};
  }
  std::size_t used = 0;
  const std::string rest = text.substr(at + words.size());
  const double first = std::stod(rest, &used);
  return {first, rest[used] == 'x' ? std::stod(rest.substr(used + 1)) : 0};
}

double slotArea(const std::array<double, 2>& size) {
  return (size[0] - size[1]) * size[1] + M_PI / 4 * size[1] * size[1];
}

double roundedArea(const std::array<double, 2>& size, double radius) {
  return size[0] * size[1] - (4 - M_PI) * radius * radius;
}

double circleArea(double diameter) {
  return M_PI / 4 * diameter * diameter;
}

/// Wall taken out of a bottom rail by the holes its own cut-list words describe.
double drilledAreaMm2(const Part& rail) {
  double area = 0;
  for (const std::string& words : rail.cutouts) {
    const std::array<double, 2> pocket = sizesAfter(words, "wheel pocket ");
    area += pocket[0] > 0 ? slotArea(pocket) : 0;
    area += 2 * circleArea(sizesAfter(words, "axle hole dia ")[0]);
    area += 2 * circleArea(sizesAfter(words, "pulley screws: 2 holes dia ")[0]);
    const std::array<double, 2> front = sizesAfter(words, "pulley slots ");
    if (front[0] > 0) {
      const double radius = sizesAfter(words, "corners R")[0];
      area += roundedArea(front, radius) + roundedArea(sizesAfter(words, " in front, "), radius);
    }
  }
  return area;
}

TEST(ModelClosedForms, BottomRailsLoseWhatTheCutListSays) {
  // Cut-list words give slots to a hundredth; that much of a wall is 1e-6 of a rail.
  constexpr double kWordsRelative = 1e-6;
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const Part& part : gate.model.parts) {
      if (part.kind == PartKind::kBottomRail) {
        const HollowSection& section = gate.model.spec.gate.bottom_rail;
        const double expected =
            areaOf(section) * part.length_mm - drilledAreaMm2(part) * section.wall_mm;
        EXPECT_GT(drilledAreaMm2(part), 0);
        EXPECT_NEAR(part.volume_mm3 / expected, 1, kWordsRelative) << part.mark;
      }
    }
  }
}

double massOn(const Model& model, int panel, std::initializer_list<PartKind> kinds) {
  double mass = 0;
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    const bool counts = std::find(kinds.begin(), kinds.end(), part.kind) != kinds.end();
    mass += instance.panel == panel && counts ? part.massKg() : 0;
  }
  return mass;
}

TEST(ModelClosedForms, WholePicketPanelFrame) {
  // Front panel of two, 6000 opening: 3080 long, so 3 uprights at most 2000 apart leave two bays of
  // 1465; pickets of 25 at gaps of at most 50 make 19 a bay.
  const Model model = modelWith({{"/gate/panels", 2}});
  const double length = 3080;
  ASSERT_NEAR(model.layout.panel(2).length_mm, length, kMeasureExactMm);
  const double bay = (length - 3 * 50) / 2;
  const int pickets = static_cast<int>(std::ceil((bay - 50) / (25 + 50)));
  ASSERT_EQ(pickets, 19);
  const double height = 1700 - 50 - 100 - 50;  // top less clearance less both rails
  const HollowSection rail{100, 50, 3, ""};
  const HollowSection square{50, 50, 3, ""};
  const HollowSection picket{25, 25, 2, ""};
  const double pocket = slotArea({116, 24});
  const double axle = M_PI / 4 * 12.4 * 12.4;
  double volume = areaOf(rail) * length - 3 * 2 * (pocket + 2 * axle);
  volume += areaOf(square) * length;
  volume += 3 * areaOf(square) * height;
  volume += 2 * pickets * areaOf(picket) * height;
  const double mass = massOn(
      model, 2, {PartKind::kBottomRail, PartKind::kTopRail, PartKind::kStile, PartKind::kPicket});
  EXPECT_NEAR(mass / (volume * 1e-9 * 7850), 1, kMeasureRelative);
}

}  // namespace
}  // namespace leafstack
