// Track wheels, axles and their sleeves.
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kRingOffFaceMm = 0.05;  // rings turn free of the faces that they hold the axle by

/// Groove's corners from one rim to the other, in (radius, along the axle): flanks of 45 degrees
/// that would meet on the running diameter, and below them a relief, so that flanks alone carry.
void cutVGroove(const HardwareSpec& shelf, Outline& outline) {
  const double outside = shelf.wheel.outside_mm / 2;
  const double running = shelf.wheel.running_mm / 2;
  const double root = shelf.wheel.root_mm / 2;
  const double floor = running - hw::kRootUnderHeelMm;
  outline.line({outside, running - outside}).line({running + root, -root}).line({floor, -root});
  outline.line({floor, root}).line({running + root, root}).line({outside, outside - running});
}

/// The groove is wider than the bar, so that wheel and bar meet in one line at the bottom.
void cutRoundGroove(const HardwareSpec& shelf, Outline& outline) {
  const double outside = shelf.wheel.outside_mm / 2;
  const double groove = wheelGrooveRadiusMm(shelf);
  const double centre = shelf.wheel.running_mm / 2 + groove;
  const double half_groove = std::sqrt(groove * groove - std::pow(centre - outside, 2));
  outline.line({outside, -half_groove});
  outline.arc({(shelf.wheel.running_mm / 2), 0}, {outside, half_groove});
}

TopoDS_Shape wheelSolid(const HardwareSpec& shelf) {
  const double outside = shelf.wheel.outside_mm / 2;
  const double half = shelf.wheel.width_mm / 2;
  const double bore = shelf.wheel.axle_mm / 2 + hw::kPulleyBoreGapMm;
  Outline outline({bore, -half});
  outline.line({outside, -half});
  if (shelf.wheel.groove == GrooveKind::kV) {
    cutVGroove(shelf, outline);
  } else {
    cutRoundGroove(shelf, outline);
  }
  outline.line({outside, half}).line({bore, half}).close();
  return revolution(Plane::kXZ, outline);
}

/// A pin that goes in from the side, turned: `between_mm` is what it goes through, and its ends
/// stand out with a groove each, in which a ring fits.
TopoDS_Shape axleSolid(const HardwareSpec& shelf, double between_mm) {
  const double radius = shelf.wheel.axle_mm / 2;
  const double groove = axleGrooveMm(shelf) / 2;
  const double ring = shelf.wheel.axle_ring_mm;
  const double near = -kRingOffFaceMm;
  const double far = between_mm + kRingOffFaceMm;
  Outline outline({0, -shelf.wheel.axle_projection_mm});
  outline.line({radius, -shelf.wheel.axle_projection_mm});
  outline.line({radius, near - ring}).line({groove, near - ring}).line({groove, near});
  outline.line({radius, near}).line({radius, far}).line({groove, far}).line({groove, far + ring});
  outline.line({radius, far + ring}).line({radius, between_mm + shelf.wheel.axle_projection_mm});
  outline.line({0, between_mm + shelf.wheel.axle_projection_mm}).close();
  return revolution(Plane::kXZ, outline);
}

int ringPart(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  return builder.part({PartKind::kAxleRing,
                       "retaining ring for a shaft of " + shown(shelf.wheel.axle_mm) + ", " +
                           sizes({shelf.wheel.axle_head_mm, shelf.wheel.axle_ring_mm}),
                       shelf.wheel.axle_head_mm},
                      {}, [=] {
                        return prism(Plane::kXZ,
                                     Outline::circle({0, 0}, shelf.wheel.axle_head_mm / 2),
                                     {Outline::circle({0, 0}, axleGrooveMm(shelf) / 2)},
                                     {0, shelf.wheel.axle_ring_mm});
                      });
}

/// "groove for a 20 bar", "V groove for a 40x40x4 angle".
std::string grooveWords(const HardwareSpec& shelf) {
  const TrackHardware& track = shelf.track;
  return shelf.wheel.groove == GrooveKind::kV
             ? "V groove for a " + sizes({track.size_mm, track.size_mm, track.thickness_mm}) +
                   " angle"
             : "groove for a " + shown(track.size_mm) + " bar";
}

int wheelPart(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  return builder.part(
      {PartKind::kWheel, "dia " + shown(shelf.wheel.outside_mm) + ", " + grooveWords(shelf),
       shelf.wheel.outside_mm},
      {}, [shelf] { return wheelSolid(shelf); });
}

struct GearParts {
  int wheel = 0, sleeve = 0;
  double sleeve_length_mm = 0;
};

GearParts gearParts(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  GearParts parts;
  parts.wheel = wheelPart(builder);
  parts.sleeve_length_mm =
      (panel.depth_mm - shelf.wheel.width_mm) / 2 - panel.bottom_rail_wall_mm - kSleeveEndGapMm;
  parts.sleeve = sleevePart(builder, Plane::kXZ, parts.sleeve_length_mm, shelf.wheel.axle_mm);
  return parts;
}

void addWheelAt(ModelBuilder& builder, const PanelFrame& panel, const GearParts& parts,
                double along_mm) {
  const HardwareSpec& shelf = builder.hardware();
  // Round about an axis across the track: what lies there leans with nothing.
  const auto [x, front, z] = panel.at(along_mm, 0, shelf.wheel.axle_up_mm);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  const int wheel = builder.place(parts.wheel, panel.number, {x, front + panel.depth_mm / 2, z});
  const int axle = addAxle(builder, panel.number, {x, front, z}, panel.depth_mm);
  const double wall = panel.bottom_rail_wall_mm + kSleeveEndGapMm / 2;
  const int near = builder.place(parts.sleeve, panel.number, {x, front + wall, z});
  const int far = builder.place(parts.sleeve, panel.number,
                                {x, front + panel.depth_mm - wall - parts.sleeve_length_mm, z});
  builder.contact(rail, axle, ContactKind::kBolted,
                  "the axle goes through both walls of the bottom rail", hw::kHardwareClearanceMm);
  for (int turning : {wheel, near, far}) {
    builder.contact(turning, axle, ContactKind::kBearing, "turns on its axle",
                    2 * hw::kPulleyBoreGapMm);
  }
}

}  // namespace

int addAxle(ModelBuilder& builder, int panel, const Point3& at, double between_mm) {
  const HardwareSpec& shelf = builder.hardware();
  const int part = builder.part(
      {PartKind::kAxle,
       "dia " + shown(shelf.wheel.axle_mm) + ", grooves dia " + shown(axleGrooveMm(shelf)) +
           " for two retaining rings, " + shown(between_mm + 2 * kRingOffFaceMm) + " between them",
       between_mm + 2 * shelf.wheel.axle_projection_mm},
      {between_mm}, [=] { return axleSolid(shelf, between_mm); });
  const int axle = builder.place(part, panel, at);
  const int ring = ringPart(builder);
  for (const double y : {-kRingOffFaceMm - shelf.wheel.axle_ring_mm, between_mm + kRingOffFaceMm}) {
    const int placed = builder.place(ring, panel, {at[0], at[1] + y, at[2]});
    builder.contact(placed, axle, ContactKind::kBolted, "the ring sits in its axle's groove");
  }
  return axle;
}

int sleevePart(ModelBuilder& builder, Plane axis, double length_mm, double bolt_mm) {
  const double bore = bolt_mm / 2 + hw::kPulleyBoreGapMm;
  const double outside = bore + builder.hardware().wheel.sleeve_wall_mm;
  const double direction = axis == Plane::kXY ? 1 : 0;
  constexpr double kThickestRingMm = 3;  // longer ones are turned
  const PartSpec spec =
      length_mm <= kThickestRingMm
          ? PartSpec{PartKind::kSpacer, "plate " + sizes({2 * outside, 2 * outside, length_mm}),
                     2 * outside}
                .called("spacer ring")
                .from(Supply::kCutPlate)
          : PartSpec{PartKind::kSpacer,
                     "sleeve dia " + shown(2 * outside) + ", bore " + shown(2 * bore), length_mm};
  return builder.part(spec, {length_mm, direction}, [=] {
    return prism(axis, Outline::circle({0, 0}, outside), {Outline::circle({0, 0}, bore)},
                 {0, length_mm});
  });
}

void addRunningGear(ModelBuilder& builder, const PanelFrame& panel) {
  addTrackKeepers(builder, panel);
  const double inset = wheelInsetMm(builder.spec(), builder.layout());
  if (isOnPlate(builder.hardware())) {
    const int wheel = wheelPart(builder);
    addCarrier(builder, panel, wheel, inset);
    addCarrier(builder, panel, wheel, panel.length_mm - inset);
    return;
  }
  const GearParts parts = gearParts(builder, panel);
  addWheelAt(builder, panel, parts, inset);
  addWheelAt(builder, panel, parts, panel.length_mm - inset);
}

}  // namespace leafstack
