// Rack on panel 1's rear face, pinion, motor envelope and packer.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kOffAxleMm = 25;         // standoff's centre off an axle's
constexpr double kShortestPieceMm = 150;  // shorter leftovers are shared with the piece before

/// Lengths of the rack's pieces along the panel.
std::vector<double> rackPieces(const HardwareSpec& shelf, double length) {
  std::vector<double> pieces(static_cast<std::size_t>(length / shelf.rack.piece_mm),
                             shelf.rack.piece_mm);
  const double rest = length - static_cast<double>(pieces.size()) * shelf.rack.piece_mm;
  if (rest >= kShortestPieceMm || pieces.empty()) {
    pieces.push_back(rest);
  } else if (rest > kLengthEqualMm) {
    const double shared = (shelf.rack.piece_mm + rest) / 2;
    pieces.back() = shared;
    pieces.push_back(shared);
  }
  return pieces;
}

/// Where a piece of rack is fixed, from its own start.
std::vector<double> fixingPlaces(const RackHardware& rack, double length) {
  const double span = length - 2 * rack.hole_end_mm;
  const int gaps = std::max(1, static_cast<int>(std::ceil(span / rack.hole_pitch_mm)));
  std::vector<double> places;
  for (int i = 0; i <= gaps; ++i) {
    places.push_back(rack.hole_end_mm + i * span / gaps);
  }
  return places;
}

/// An upright slot with round ends about a point, in (X, Z).
Outline uprightSlot(Point2 centre, double height, double width) {
  const double r = width / 2;
  const double s = (height - width) / 2;
  Outline slot({centre.a + r, centre.b - s});
  slot.line({centre.a + r, centre.b + s});
  slot.arc({centre.a, centre.b + s + r}, {centre.a - r, centre.b + s});
  slot.line({centre.a - r, centre.b - s});
  slot.arc({centre.a, centre.b - s - r}, {centre.a + r, centre.b - s});
  return slot.close();
}

/// A piece of rack, its near side on Y 0; feet of its own reach back to the rail's face and, with a
/// slot for height, above it.
TopoDS_Shape rackSolid(const RackHardware& rack, double length) {
  TopoDS_Shape solid = box({0, 0, 0}, {length, rack.thickness_mm, rack.height_mm});
  if (rack.fixing == RackFixing::kStandoff) {
    return solid;
  }
  const double half = rack.foot_length_mm / 2;
  for (double x : fixingPlaces(rack, length)) {
    const Outline foot =
        Outline::rectangle({x - half, 0}, {x + half, rack.height_mm + rack.foot_up_mm});
    const Outline slot = uprightSlot({x, rack.height_mm + rack.foot_up_mm / 2}, rack.slot_height_mm,
                                     rack.slot_width_mm);
    solid = fuse(solid, prism(Plane::kXZ, foot, {slot}, {-rack.offset_mm, 0}));
  }
  return solid;
}

PartSpec rackSpec(const RackHardware& rack, double length) {
  const bool is_nylon = rack.material == RackMaterial::kNylon;
  PartSpec spec{
      PartKind::kRack,
      "module " + shown(rack.module_mm) + ", " + sizes({rack.height_mm, rack.thickness_mm}) +
          (is_nylon ? ", nylon" : "") +
          (rack.fixing == RackFixing::kFoot
               ? ", on feet with slots " + sizes({rack.slot_height_mm, rack.slot_width_mm})
               : ""),
      length};
  spec.material = is_nylon ? "nylon" : "";
  if (rack.fixing == RackFixing::kFoot) {
    std::string at;
    for (double x : fixingPlaces(rack, length)) {
      at += (at.empty() ? "" : ", ") + shown(x);
    }
    spec.cutouts = {"feet " + sizes({rack.foot_length_mm, rack.offset_mm}) + ", slots " +
                    sizes({rack.slot_height_mm, rack.slot_width_mm}) + " for height, at " + at};
  }
  return spec;
}

void addStandoffs(ModelBuilder& builder, const PanelFrame& panel, const Point2& piece, int rack) {
  const HardwareSpec& shelf = builder.hardware();
  const HeightLayout& heights = builder.layout().heights;
  const double radius = shelf.rack.standoff_mm / 2;
  const double centre = std::min(heights.rack_lower_up_mm + shelf.rack.height_mm / 2,
                                 heights.rail_height_mm - 2 * panel.bottom_rail_wall_mm - radius);
  const int part = builder.part(
      {PartKind::kRackStandoff, "dia " + shown(shelf.rack.standoff_mm), shelf.rack.offset_mm}, {},
      [=] {
        return prism(Plane::kXZ, Outline::circle({0, 0}, radius), {0, shelf.rack.offset_mm});
      });
  const double inset = wheelInsetMm(builder.spec(), builder.layout());
  const std::vector<double> places = fixingPlaces(shelf.rack, piece.b);
  for (std::size_t i = 0; i < places.size(); ++i) {
    double x = piece.a + places[i];
    // Stations are those at a part's own height: on a slope axles, lower, stand aside of them.
    const double lean = (centre - shelf.wheel.axle_up_mm) * panel.slope.grade;
    for (double end : {inset, panel.length_mm - inset}) {
      const double axle = end - lean;
      if (!isOnPlate(shelf) && std::abs(x - axle) < kOffAxleMm) {
        x = axle + (i == 0 ? kOffAxleMm : -kOffAxleMm);
      }
    }
    const int standoff = builder.place(part, panel.number, panel.at(x, panel.depth_mm, centre));
    builder.joinTouching(standoff, {PartKind::kBottomRail}, builder.steelOnFrame(),
                         "rack standoffs are fixed to the bottom rail");
    builder.contact(standoff, rack, ContactKind::kBolted, "the rack is bolted to its standoffs");
  }
}

std::vector<int> addRack(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  std::vector<int> placed;
  double x = builder.spec().drive.rack_inset_mm;
  for (double length : rackPieces(shelf, panel.length_mm - x)) {
    const int part = builder.part(rackSpec(shelf.rack, length), {length},
                                  [=] { return rackSolid(shelf.rack, length); });
    const int rack = builder.place(part, panel.number,
                                   panel.at(x, panel.depth_mm + shelf.rack.offset_mm,
                                            builder.layout().heights.rack_lower_up_mm),
                                   panel.slope);
    builder.joinTouching(rack, {PartKind::kRack}, ContactKind::kBolted,
                         "rack pieces butt end to end");
    if (shelf.rack.fixing == RackFixing::kFoot) {
      const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
      builder.contact(rack, rail, ContactKind::kBolted, "the rack's feet are screwed to the rail");
    } else {
      addStandoffs(builder, panel, {x, length}, rack);
    }
    placed.push_back(rack);
    x += length;
  }
  return placed;
}

TopoDS_Shape pinionSolid(const HardwareSpec& shelf) {
  const double tip = pinionPitchRadiusMm(shelf) + shelf.rack.module_mm;
  const double shaft = shelf.motor.pinion_shaft_mm / 2;
  const double wide = shelf.motor.pinion_width_mm;
  const double to_motor = shelf.motor.offset_mm - shelf.motor.pinion_offset_mm;
  return revolution(
      Plane::kXZ,
      Outline::polygon(
          {{0, 0}, {tip, 0}, {tip, wide}, {shaft, wide}, {shaft, to_motor}, {0, to_motor}}));
}

int addPinion(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const int part = builder.part({PartKind::kPinion,
                                 "module " + shown(shelf.rack.module_mm) + ", " +
                                     shown(shelf.motor.pinion_teeth) + " teeth (to the tip circle)",
                                 shelf.motor.pinion_width_mm},
                                {}, [shelf] { return pinionSolid(shelf); });
  const Layout& layout = builder.layout();
  return builder.place(
      part, 0,
      {layout.pinion_mm, panel.origin_mm[1] + panel.depth_mm + shelf.motor.pinion_offset_mm,
       pinionZ(layout)});
}

/// Two flats under the motor's feet, front and back; on a slope they are wedges, for the motor
/// stands level.
void addMotorPackers(ModelBuilder& builder, const Point3& base, double length, int motor) {
  const HardwareSpec& shelf = builder.hardware();
  const MotorPacking packing = motorPacking(builder.spec(), builder.layout());
  if (packing.most() <= kLengthEqualMm) {
    return;
  }
  const double wide = shelf.motor.packer_width_mm;
  const double near = packing.near_mm;
  const double far = packing.far_mm;
  const bool is_flat = packing.isFlat();
  PartSpec spec{PartKind::kMotorPacker, "flat " + sizes({wide, std::max(near, far)}), length};
  if (!is_flat) {
    spec.cutouts.push_back("wedge, " + shown(near) + " thick at the driveway end, " + shown(far) +
                           " at the other");
  }
  const int part = builder.part(spec, {length, near, far}, [=]() -> TopoDS_Shape {
    if (is_flat) {
      return box({0, 0, -near}, {length, wide, 0});
    }
    return prism(Plane::kXZ, Outline::polygon({{0, -near}, {length, -far}, {length, 0}, {0, 0}}),
                 {0, wide});
  });
  for (double from : {0.0, shelf.motor.depth_mm - wide}) {
    const int packer = builder.place(part, 0, {base[0], base[1] + from, base[2]});
    builder.contact(motor, packer, ContactKind::kBolted, "the motor is bolted to its packers");
  }
}

void addMotor(ModelBuilder& builder, const PanelFrame& panel, int pinion) {
  const HardwareSpec& shelf = builder.hardware();
  const MotorSpec& spec = builder.spec().drive.motor;
  const gp_XYZ axis = builder.instance(pinion).at_closed.Transformation().TranslationPart();
  // Its feet stand where they are; the body goes up and down on them.
  const auto body = [=](double over_mm) {
    return box({0, 0, 0}, {spec.length_mm, shelf.motor.depth_mm, shelf.motor.height_mm + over_mm});
  };
  const PartSpec what =
      PartSpec{PartKind::kMotor,
               sizes({spec.length_mm, shelf.motor.depth_mm, shelf.motor.height_mm}), spec.length_mm}
          .called(spec.name + " motor (envelope)");
  const double band = shelf.motor.adjust_mm;
  const int part =
      band > 0 ? builder.adjustablePart(
                     what, {spec.length_mm}, [=] { return body(0); }, [=] { return body(band); })
               : builder.part(what, {spec.length_mm}, [=] { return body(0); });
  const Point3 base = {
      axis.X() - spec.length_mm / 2, panel.origin_mm[1] + panel.depth_mm + shelf.motor.offset_mm,
      axis.Z() - shelf.motor.pinion_up_mm - builder.layout().heights.motor_raise_mm};
  const int motor = builder.place(part, 0, base);
  builder.contact(motor, pinion, ContactKind::kBearing, "the pinion sits on the motor's shaft");
  addMotorPackers(builder, base, spec.length_mm, motor);
}

}  // namespace

void addDrive(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  const PanelFrame& panel = builder.panel(1);
  const std::vector<int> racks = addRack(builder, panel);
  const int pinion = addPinion(builder, panel);
  for (int rack : racks) {
    // Both are drawn to their tooth tips, so in mesh they overlap by the working depth.
    builder
        .contact(rack, pinion, ContactKind::kMesh, "the pinion's teeth enter the rack's", 0,
                 2 * shelf.rack.module_mm)
        .engagements = {{pinion, kAlongX, 0}};
  }
  addMotor(builder, panel, pinion);
}

}  // namespace leafstack
