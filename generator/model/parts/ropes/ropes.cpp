// Rope pulleys with their bolts, and the ropes themselves.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/model/builder.h"
#include "generator/model/parts/ropes/rope_ends.h"
#include "generator/model/parts/ropes/rope_solid.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kBoltShortMm = 1;  // of the rail's upper wall, above the plate that it screws into
constexpr double kNutPlateSideGapMm = 1;  // the plate slides in from the rail's end
constexpr double kNutPlatePerBolt = 3;    // its length
// Groove by the rope maker's rule: radius 0.53 to 0.55 of the rope, throat 35 to 45 degrees.
constexpr double kGrooveRadiusPerRope = 0.54;
constexpr double kHalfThroatDeg = 20;

double radians(double degrees) {
  return degrees * std::numbers::pi / 180;
}

TopoDS_Shape pulleySolid(const HardwareSpec& shelf, double pitch, double rope, double rim) {
  const double half = shelf.pulley.thickness_mm / 2;
  const double bore = shelf.pulley.bolt_mm / 2 + hw::kPulleyBoreGapMm;
  const double groove = kGrooveRadiusPerRope * rope;
  const double bottom = pitch / 2 - rope / 2;
  const double turn = radians(90 - kHalfThroatDeg);
  const Point2 flank{bottom + groove - groove * std::cos(turn), groove * std::sin(turn)};
  const double at_rim = flank.b + (rim - flank.a) * std::tan(radians(kHalfThroatDeg));
  Outline outline({bore, -half});
  outline.line({rim, -half}).line({rim, -at_rim}).line({flank.a, -flank.b});
  outline.arc({bottom, 0}, flank);
  outline.line({rim, at_rim}).line({rim, half}).line({bore, half}).close();
  return revolution(Plane::kXY, outline);
}

TopoDS_Shape boltSolid(const HardwareSpec& shelf, double length) {
  const double shank = shelf.pulley.bolt_mm / 2;
  return revolution(Plane::kXY,
                    Outline::polygon({{0, -shelf.pulley.bolt_head_mm},
                                      {shelf.pulley.bolt_across_mm / 2, -shelf.pulley.bolt_head_mm},
                                      {shelf.pulley.bolt_across_mm / 2, 0},
                                      {shank, 0},
                                      {shank, length},
                                      {0, length}}));
}

/// A pulley's axis: square to the rail, through the rope's height at a station along it.
struct PulleyAxis {
  const PanelFrame& panel;
  double along_mm = 0, rope_height_mm = 0;

  Point3 at(double up) const {
    return panel.at(along_mm + (rope_height_mm - up) * panel.slope.grade, panel.depth_mm / 2, up);
  }
};

/// A spacer from `low` to `high` above the rail's underside; none where there is no room for one.
void addSpacer(ModelBuilder& builder, const PulleyAxis& axis, int bolt, double low, double high) {
  const HardwareSpec& shelf = builder.hardware();
  const double length = high - low - kSleeveEndGapMm;
  if (length < kSleeveEndGapMm) {
    return;
  }
  const int part = sleevePart(builder, Plane::kXY, length, shelf.pulley.bolt_mm);
  const int sleeve =
      builder.place(part, axis.panel.number, axis.at(low + kSleeveEndGapMm / 2), axis.panel.slope);
  builder.contact(sleeve, bolt, ContactKind::kBearing, "sits on the pulley bolt",
                  2 * hw::kPulleyBoreGapMm);
}

/// Under the upper wall, so that no thread is cut in a wall or heated by the stile's weld.
int addNutPlate(ModelBuilder& builder, const PulleyAxis& axis, double low) {
  const HardwareSpec& shelf = builder.hardware();
  const PanelFrame& panel = axis.panel;
  const double width = panel.depth_mm - 2 * (cornerRadii(builder.spec().gate.bottom_rail).outer_mm +
                                             kNutPlateSideGapMm);
  const double length = kNutPlatePerBolt * shelf.pulley.bolt_mm;
  const double thick = shelf.pulley.nut_plate_mm;
  const int part = builder.part(
      {PartKind::kNutPlate,
       "flat " + sizes({width, thick}),
       length,
       {},
       {"thread M" + shown(shelf.pulley.bolt_mm) + " in the middle"}},
      {width}, [=] {
        return prism(Plane::kXY,
                     Outline::rectangle({-length / 2, -width / 2}, {length / 2, width / 2}),
                     {Outline::circle({0, 0}, shelf.pulley.bolt_mm / 2)}, {0, thick});
      });
  const int plate = builder.place(part, panel.number, axis.at(low), panel.slope);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(plate, rail, builder.steelOnFrame(),
                  "the pulley bolt's plate lies under the rail's upper wall");
  return plate;
}

/// Pulley, bolt, its plate and spacers at `x` along the panel; returns the pulley's instance.
int addPulley(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope,
              bool opening) {
  const HardwareSpec& shelf = builder.hardware();
  const GateSpec& spec = builder.spec();
  const double wall = panel.bottom_rail_wall_mm;
  const double up = rope.heightOfMm(opening);
  const double under_wall = spec.gate.bottom_rail.height_mm - wall;
  const double rim = pulleyRimMm(spec, rope.pitch_mm);
  const double inset = builder.layout().pulley_inset_mm;
  const int pulley_part =
      builder.part(PartSpec{PartKind::kPulley,
                            "pitch dia " + shown(rope.pitch_mm) + ", outside " + shown(2 * rim) +
                                ", for rope " + shown(spec.ropes.diameter_mm),
                            2 * rim}
                       .given({spec.ropes.diameter_mm}),
                   {rope.pitch_mm, rim},
                   [=] { return pulleySolid(shelf, rope.pitch_mm, spec.ropes.diameter_mm, rim); });
  const double bolt_length = under_wall - kBoltShortMm;
  const int bolt_part = builder.part(
      {PartKind::kPulleyBolt,
       "M" + shown(shelf.pulley.bolt_mm) + ", shank cut to length, screws into the nut plate",
       bolt_length},
      {bolt_length}, [=] { return boltSolid(shelf, bolt_length); });
  const PulleyAxis axis{panel, opening ? panel.length_mm - inset : inset, up};
  const int pulley = builder.place(pulley_part, panel.number, axis.at(up), panel.slope);
  const int bolt = builder.place(bolt_part, panel.number, axis.at(0), panel.slope);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(rail, bolt, ContactKind::kBolted, "the pulley bolt is held by the bottom rail",
                  hw::kHardwareClearanceMm);
  builder.contact(pulley, bolt, ContactKind::kBearing, "turns on its bolt",
                  2 * hw::kPulleyBoreGapMm);
  const double plate_low = under_wall - shelf.pulley.nut_plate_mm;
  const int plate = addNutPlate(builder, axis, plate_low);
  builder.contact(plate, bolt, ContactKind::kBolted, "the pulley bolt screws into its plate");
  const double half = shelf.pulley.thickness_mm / 2;
  addSpacer(builder, axis, bolt, wall, up - half);
  addSpacer(builder, axis, bolt, up + half, plate_low);
  return pulley;
}

void addRope(ModelBuilder& builder, const RopeLayout& rope, bool opening,
             const RopeBrackets& brackets, int pulley) {
  const PanelFrame& panel = builder.panel(rope.carrier);
  RopeRun run;
  run.carrier = rope.carrier;
  run.opening = opening;
  const Layout& layout = builder.layout();
  const RopePath closed = ropePathAt(builder.spec(), layout, run, 0);
  const RopePath open = ropePathAt(builder.spec(), layout, run, layout.drive_travel_mm);
  const double length =
      closed.frontMm() + closed.rearMm() + std::numbers::pi * closed.pitch_radius_mm;
  const RopeSpec& spec = builder.spec().ropes;
  run.part = builder.ropePart(
      PartSpec{PartKind::kRope,
               std::string(spec.construction == RopeConstruction::k7x19 ? "7x19" : "7x7") +
                   " dia " + shown(spec.diameter_mm) + ", panel " + std::to_string(rope.carrier) +
                   ", length with its ends in their terminals",
               length}
          .called(opening ? "opening rope" : "closing rope")
          .given(figuresOf(closed, open)),
      ropeBounds(closed), [closed] { return ropeSolid(closed); },
      [open] { return ropeSolid(open); });
  run.instance = builder.place(run.part, panel.number, panel.origin_mm, panel.slope);
  run.mark = builder.model().parts[run.part].mark;
  builder.contact(run.instance, pulley, ContactKind::kBearing, "the rope lies in its pulley",
                  kGrooveRadiusPerRope * spec.diameter_mm);
  addTerminals(builder, run, rope, brackets);
  builder.addRope(run);
}

}  // namespace

void addRopes(ModelBuilder& builder) {
  for (const RopeLayout& rope : builder.layout().ropes) {
    const PanelFrame& panel = builder.panel(rope.carrier);
    const int leading = addPulley(builder, panel, rope, /*opening=*/false);
    const int trailing = addPulley(builder, panel, rope, /*opening=*/true);
    const RopeBrackets brackets = addBrackets(builder, rope);
    addRope(builder, rope, /*opening=*/true, brackets, trailing);
    addRope(builder, rope, /*opening=*/false, brackets, leading);
  }
}

}  // namespace leafstack
