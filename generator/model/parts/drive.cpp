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

/// Where a whole piece of rack is fixed, from its start: as it is bought.
std::vector<double> boughtPlaces(const RackHardware& rack) {
  const double span = rack.piece_mm - 2 * rack.hole_end_mm;
  const int gaps = std::max(1, static_cast<int>(std::ceil(span / rack.hole_pitch_mm)));
  std::vector<double> places;
  for (int i = 0; i <= gaps; ++i) {
    places.push_back(rack.hole_end_mm + i * span / gaps);
  }
  return places;
}

/// From a fixing to an end that is cut, least.
double offCutMm(const RackHardware& rack) {
  constexpr double kEdgeMm = 2;
  return (rack.fixing == RackFixing::kFoot ? rack.foot_length_mm : rack.standoff_mm) / 2 + kEdgeMm;
}

/// Lengths of the rack's pieces along the panel. On feet every one keeps two of them, if it can:
/// into a piece on standoffs another hole may be drilled.
std::vector<double> rackPieces(const RackHardware& rack, double length) {
  std::vector<double> pieces(static_cast<std::size_t>(length / rack.piece_mm), rack.piece_mm);
  const double rest = length - static_cast<double>(pieces.size()) * rack.piece_mm;
  const double least = rack.fixing == RackFixing::kFoot
                           ? std::max(kShortestPieceMm, boughtPlaces(rack)[1] + offCutMm(rack))
                           : kShortestPieceMm;
  if (rest >= least || pieces.empty()) {
    pieces.push_back(rest);
  } else if (rest > kLengthEqualMm) {
    const double shared = (rack.piece_mm + rest) / 2;
    pieces.back() = shared;
    pieces.push_back(shared);
  }
  return pieces;
}

/// Where a piece of rack is fixed, from its own start.
struct Fixings {
  std::vector<double> places;   ///< what is left of the bought ones, and those drilled
  std::vector<double> drilled;  ///< where it has no hole as bought
  double loose_mm = 0;          ///< of its cut end, where too much of it is held by nothing
};

/// A piece is cut from the end of a bought one, and keeps the fixings before the cut. Too much of
/// it beyond the last is more than half of what is between two.
Fixings fixingsOf(const RackHardware& rack, double length) {
  Fixings fixings{boughtPlaces(rack), {}, 0};
  if (length > rack.piece_mm - kLengthEqualMm) {
    return fixings;
  }
  std::vector<double>& places = fixings.places;
  const double pitch = places[1] - places[0];
  const double last_mm = length - offCutMm(rack);
  while (places.size() > 1 && places.back() > last_mm + kLengthEqualMm) {
    places.pop_back();
  }
  const double loose = length - places.back();
  const double another = std::min(length - rack.hole_end_mm, last_mm);
  const bool has_room = another - places.back() >= 2 * offCutMm(rack);
  if (places.size() > 1 && loose <= pitch / 2) {
    return fixings;
  }
  if (rack.fixing == RackFixing::kStandoff && has_room) {
    fixings.drilled.push_back(another);
    places.push_back(another);
  } else if (loose > pitch / 2) {
    fixings.loose_mm = loose;
  }
  return fixings;
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
TopoDS_Shape rackSolid(const RackHardware& rack, double length, const Fixings& fixings) {
  TopoDS_Shape solid = box({0, 0, 0}, {length, rack.thickness_mm, rack.height_mm});
  if (rack.fixing == RackFixing::kStandoff) {
    return solid;
  }
  const double half = rack.foot_length_mm / 2;
  for (double x : fixings.places) {
    const Outline foot =
        Outline::rectangle({x - half, 0}, {x + half, rack.height_mm + rack.foot_up_mm});
    const Outline slot = uprightSlot({x, rack.height_mm + rack.foot_up_mm / 2}, rack.slot_height_mm,
                                     rack.slot_width_mm);
    solid = fuse(solid, prism(Plane::kXZ, foot, {slot}, {-rack.offset_mm, 0}));
  }
  return solid;
}

std::string placesInWords(const std::vector<double>& places) {
  std::string words;
  for (double x : places) {
    words += (words.empty() ? "" : ", ") + shown(x);
  }
  return words;
}

/// What a list of bought items has to say of a piece that is not used as it is bought.
std::string cutWords(const RackHardware& rack, double length, const Fixings& fixings) {
  std::string words;
  if (length < rack.piece_mm - kLengthEqualMm) {
    words += ", cut from " + shown(rack.piece_mm);
  }
  if (!fixings.drilled.empty()) {
    words += ", drilled for a standoff at " + placesInWords(fixings.drilled);
  }
  if (fixings.loose_mm > 0) {
    words += ", its last " + shown(fixings.loose_mm) +
             " beyond any foot: hold it there by one from the offcut";
  }
  return words;
}

PartSpec rackSpec(const RackHardware& rack, double length, const Fixings& fixings) {
  const bool is_nylon = rack.material == RackMaterial::kNylon;
  PartSpec spec{
      PartKind::kRack,
      "module " + shown(rack.module_mm) + ", " + sizes({rack.height_mm, rack.thickness_mm}) +
          (is_nylon ? ", nylon" : "") +
          (rack.fixing == RackFixing::kFoot
               ? ", on feet with slots " + sizes({rack.slot_height_mm, rack.slot_width_mm})
               : "") +
          cutWords(rack, length, fixings),
      length};
  spec.material = is_nylon ? "nylon" : "";
  if (rack.fixing == RackFixing::kFoot) {
    spec.cutouts = {"feet " + sizes({rack.foot_length_mm, rack.offset_mm}) + ", slots " +
                    sizes({rack.slot_height_mm, rack.slot_width_mm}) + " for height, at " +
                    placesInWords(fixings.places)};
  }
  return spec;
}

/// Standoffs stand beside the axles: where a bought hole is over one, another is drilled.
Fixings besideAxles(ModelBuilder& builder, const PanelFrame& panel, double start, Fixings fixings,
                    double centre) {
  const HardwareSpec& shelf = builder.hardware();
  const double inset = wheelInsetMm(builder.spec(), builder.layout());
  // Stations are those at a part's own height: on a slope axles, lower, stand aside of them.
  const double lean = (centre - shelf.wheel.axle_up_mm) * panel.slope.grade;
  for (std::size_t i = 0; i < fixings.places.size(); ++i) {
    double& place = fixings.places[i];
    const double as_bought = place;
    for (double end : {inset, panel.length_mm - inset}) {
      const double axle = end - lean - start;
      if (!isOnPlate(shelf) && std::abs(place - axle) < kOffAxleMm) {
        place = axle + (i == 0 ? kOffAxleMm : -kOffAxleMm);
      }
    }
    if (place != as_bought) {
      std::erase(fixings.drilled, as_bought);
      fixings.drilled.push_back(place);
    }
  }
  return fixings;
}

/// Height of the standoffs' middle in the rail.
double standoffUpMm(const ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const HeightLayout& heights = builder.layout().heights;
  return std::min(
      heights.rack_lower_up_mm + shelf.rack.height_mm / 2,
      heights.rail_height_mm - 2 * panel.bottom_rail_wall_mm - shelf.rack.standoff_mm / 2);
}

void addStandoffs(ModelBuilder& builder, const PanelFrame& panel,
                  const std::vector<double>& stations, int rack) {
  const HardwareSpec& shelf = builder.hardware();
  const double radius = shelf.rack.standoff_mm / 2;
  const double offset = shelf.rack.offset_mm + builder.layout().stack.drive_out_mm;
  const double centre = standoffUpMm(builder, panel);
  const int part = builder.part(
      {PartKind::kRackStandoff, "dia " + shown(shelf.rack.standoff_mm), offset}, {offset}, [=] {
        return prism(Plane::kXZ, Outline::circle({0, 0}, radius), {0, offset});
      });
  for (const double x : stations) {
    const int standoff = builder.place(part, panel.number, panel.at(x, panel.depth_mm, centre));
    builder.joinTouching(standoff, {PartKind::kBottomRail}, builder.steelOnFrame(),
                         "rack standoffs are fixed to the bottom rail");
    builder.contact(standoff, rack, ContactKind::kBolted, "the rack is bolted to its standoffs");
  }
}

std::vector<int> addRack(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const double out = builder.layout().stack.drive_out_mm;
  std::vector<int> placed;
  double x = builder.spec().drive.rack_inset_mm;
  const bool on_feet = shelf.rack.fixing == RackFixing::kFoot;
  for (double length : rackPieces(shelf.rack, panel.length_mm - x)) {
    Fixings fixings = fixingsOf(shelf.rack, length);
    if (!on_feet) {
      fixings = besideAxles(builder, panel, x, std::move(fixings), standoffUpMm(builder, panel));
    }
    std::vector<double> dimensions = fixings.drilled;
    dimensions.push_back(length);
    const int part = builder.part(rackSpec(shelf.rack, length, fixings), dimensions,
                                  [=] { return rackSolid(shelf.rack, length, fixings); });
    const int rack = builder.place(part, panel.number,
                                   panel.at(x, panel.depth_mm + shelf.rack.offset_mm + out,
                                            builder.layout().heights.rack_lower_up_mm),
                                   panel.slope);
    builder.joinTouching(rack, {PartKind::kRack}, ContactKind::kBolted,
                         "rack pieces butt end to end");
    if (on_feet) {
      const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
      builder.contact(rack, rail, ContactKind::kBolted, "the rack's feet are screwed to the rail");
    } else {
      std::vector<double> stations = fixings.places;
      for (double& station : stations) {
        station += x;
      }
      addStandoffs(builder, panel, stations, rack);
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
  return builder.place(part, 0,
                       {layout.pinion_mm,
                        panel.origin_mm[1] + panel.depth_mm + layout.stack.drive_out_mm +
                            shelf.motor.pinion_offset_mm,
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
      axis.X() - spec.length_mm / 2,
      panel.origin_mm[1] + panel.depth_mm + builder.layout().stack.drive_out_mm +
          shelf.motor.offset_mm,
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
