// The rack on panel 1's rear face: its pieces, standoffs or feet, and the screws that hold it.
#include <algorithm>
#include <cmath>
#include <optional>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bored.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kOffAxleMm = 25;  // standoff's centre off an axle's

/// Where a piece of rack is fixed, from its own start.
struct Fixings {
  std::vector<double> places;   ///< what is left of the bought ones, and those drilled
  std::vector<double> drilled;  ///< where it has no hole as bought
  double loose_mm = 0;          ///< of its cut end, where too much of it is held by nothing
};

/// A piece is cut from the end of a bought one, and keeps the fixings before the cut. Too much of
/// it beyond the last is more than half of what is between two.
Fixings fixingsOf(const RackHardware& rack, double length) {
  Fixings fixings{boughtRackPlaces(rack), {}, 0};
  if (length > rack.piece_mm - kLengthEqualMm) {
    return fixings;
  }
  std::vector<double>& places = fixings.places;
  const double pitch = places[1] - places[0];
  const double last_mm = length - offRackCutMm(rack);
  while (places.size() > 1 && places.back() > last_mm + kLengthEqualMm) {
    places.pop_back();
  }
  // Cut before its first bought hole: a standoff's are drilled at its quarters.
  if (places.back() > last_mm + kLengthEqualMm) {
    if (rack.fixing == RackFixing::kFoot) {
      places.clear();
      fixings.loose_mm = length;
    } else {
      places = fixings.drilled = {length / 4, length * 3 / 4};
    }
    return fixings;
  }
  const double loose = length - places.back();
  const double another = std::min(length - rack.hole_end_mm, last_mm);
  const bool has_room = another - places.back() >= 2 * offRackCutMm(rack);
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

/// The screw that holds a rack to its standoffs, its head sunk in the rack's far side.
struct RackScrew {
  ScrewSizes sizes;
  double up_mm = 0;    ///< above the rack's lower edge
  double sunk_mm = 0;  ///< depth of the counterbore
  double bore_mm = 0;  ///< of the standoff, tapped from its end

  const ThreadClass& thread() const { return threadClass(sizes.thread_mm); }
};

/// The thickest whose head lies between the teeth's roots and the upper edge and clears the
/// pinion's tips, with enough of the rack under it, and whose thread leaves enough of the standoff.
/// None where rack or standoff is too small for any.
std::optional<RackScrew> rackScrew(const HardwareSpec& shelf, double clearance_mm, double offset_mm,
                                   double up_mm) {
  constexpr double kToothMm = 2.25;        // in modules: ISO 53
  constexpr double kOverHeadMm = 0.4;      // counterbore beyond the head: DIN 974-1, from memory
  constexpr double kLeastUnderHeadMm = 4;  // of the rack. Common practice, no source
  constexpr double kEdgeMm = 1;
  constexpr double kBeyondMm = 2;  // bore past the screw, and standoff left behind it
  const RackHardware& rack = shelf.rack;
  const double body =
      2 * std::min(up_mm - kToothMm * rack.module_mm, rack.height_mm - kEdgeMm - up_mm);
  const double off_tips = 2 * (up_mm - hw::kToothDepth * rack.module_mm - clearance_mm);
  std::optional<RackScrew> taken;
  for (const ThreadClass& thread : threadClasses()) {
    RackScrew screw{{ScrewKind::kSocket, thread.thread_mm}, up_mm};
    screw.sizes.is_tapped = true;
    screw.sunk_mm = thread.thread_mm + kOverHeadMm;
    screw.sizes.grip_mm = rack.thickness_mm - screw.sunk_mm;
    const double most = screw.sizes.grip_mm + offset_mm - 2 * kBeyondMm;
    screw.sizes.length_mm = std::min(
        screwNoShorter_mm(screw.sizes.grip_mm + 1.5 * thread.thread_mm), screwNoLonger_mm(most));
    const double hold = screw.sizes.length_mm - screw.sizes.grip_mm;
    screw.bore_mm = hold + kBeyondMm;
    if (thread.counterbore_mm <= body && thread.socket_head_mm <= off_tips &&
        screw.sizes.grip_mm >= kLeastUnderHeadMm && 2 * thread.thread_mm <= rack.standoff_mm &&
        hold >= thread.thread_mm && screw.bore_mm < offset_mm) {
      taken = screw;
    }
  }
  return taken;
}

/// Through holes, sunk for the heads on the far side.
TopoDS_Shape boredRack(const TopoDS_Shape& bar, const RackHardware& rack,
                       const std::vector<double>& places, const RackScrew& screw) {
  std::vector<RoundHole> bores;
  for (const double x : places) {
    bores.push_back({{x, rack.thickness_mm, screw.up_mm},
                     {0, -1, 0},
                     screw.thread().hole_mm / 2,
                     rack.thickness_mm,
                     screw.thread().counterbore_mm / 2,
                     screw.sunk_mm});
  }
  return bored(bar, bores);
}

/// A piece of rack, its near side on Y 0; feet of its own reach back to the rail's face and, with a
/// slot for height, above it.
TopoDS_Shape rackSolid(const RackHardware& rack, double length, const Fixings& fixings,
                       const std::optional<RackScrew>& screw) {
  TopoDS_Shape solid = box({0, 0, 0}, {length, rack.thickness_mm, rack.height_mm});
  if (rack.fixing == RackFixing::kStandoff) {
    return screw ? boredRack(solid, rack, fixings.places, *screw) : solid;
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

/// A piece of rack as it lies on its panel: along the rail, and where it is laid to the pinion's
/// path higher and tilted.
struct LaidPiece {
  double length_mm = 0;
  double start_mm = 0;    ///< as PanelFrame::at() has it, at the rack's height
  double up_mm = 0;       ///< its lower edge's start over where it would lie straight
  double tilt = 0;        ///< sine of its angle to the rail
  double dressed_mm = 0;  ///< off its end, which would meet the next one's, that leans towards it

  double tiltCosine() const { return std::sqrt(1 - tilt * tilt); }
  /// Along the rail and square to it, from its start, of what is so far along it and up from it.
  Point2 turned(double along, double up) const {
    return {along * tiltCosine() - up * tilt, along * tilt + up * tiltCosine()};
  }
};

std::vector<LaidPiece> laidPieces(const ModelBuilder& builder, const PanelFrame& panel) {
  const std::vector<double>& ups = builder.layout().ground.rack_up_mm;
  std::vector<LaidPiece> pieces;
  double x = builder.spec().drive.rack_inset_mm;
  const PanelLayout& cut_for = laidBy(builder.layout()).panel(panel.number);
  const double room = std::min(panel.length_mm, cut_for.length_mm / cut_for.cosine());
  for (const double length : rackPieces(builder.hardware().rack, room - x)) {
    LaidPiece piece{length, x};
    if (const std::size_t i = pieces.size(); i + 1 < ups.size()) {
      piece.up_mm = ups[i];
      piece.tilt = (ups[i + 1] - ups[i]) / length;
    }
    if (!pieces.empty()) {
      LaidPiece& before = pieces.back();
      before.dressed_mm =
          builder.hardware().rack.height_mm * std::max(0.0, piece.tilt - before.tilt);
    }
    pieces.push_back(piece);
    x += length * piece.tiltCosine();
  }
  return pieces;
}

PartSpec rackSpec(const RackHardware& rack, double length, const Fixings& fixings,
                  const std::optional<RackScrew>& screw) {
  const bool is_nylon = rack.material == RackMaterial::kNylon;
  PartSpec spec{
      PartKind::kRack,
      "module " + shown(rack.module_mm) + ", " +
          sizes({rack.height_mm, rack.thickness_mm, length}) + (is_nylon ? ", nylon" : "") +
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
  } else if (screw) {
    spec.cutouts = {"holes dia " + shown(screw->thread().hole_mm) + ", sunk dia " +
                    shown(screw->thread().counterbore_mm) + " x " + shown(screw->sunk_mm) +
                    " for M" + shown(screw->sizes.thread_mm) + " socket screws, at " +
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
  // One that had to move may come to another, which then holds for both.
  constexpr double kBetweenMm = 4;
  for (std::size_t i = 1; i < fixings.places.size() && fixings.places.size() > 2;) {
    if (fixings.places[i] - fixings.places[i - 1] >= shelf.rack.standoff_mm + kBetweenMm) {
      ++i;
      continue;
    }
    const std::size_t less = i + 1 < fixings.places.size() ? i : i - 1;
    std::erase(fixings.drilled, fixings.places[less]);
    fixings.places.erase(fixings.places.begin() + static_cast<std::ptrdiff_t>(less));
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

/// How far the rack's face that it is fixed by stands off the rail.
double rackOutMm(const ModelBuilder& builder) {
  return builder.hardware().rack.offset_mm + builder.layout().stack.drive_out_mm;
}

/// Tapped from the end that the rack lies on, its other end on Y 0.
int standoffPart(ModelBuilder& builder, const std::optional<RackScrew>& screw) {
  const double radius = builder.hardware().rack.standoff_mm / 2;
  const double offset = rackOutMm(builder);
  const auto plain = [=] {
    return prism(Plane::kXZ, Outline::circle({0, 0}, radius), {0, offset});
  };
  PartSpec spec{PartKind::kRackStandoff, "dia " + sizes({2 * radius, offset}), offset};
  if (!screw) {
    return builder.part(spec, {offset}, plain);
  }
  const ThreadClass& thread = screw->thread();
  spec.section.words +=
      ", tapped M" + shown(thread.thread_mm) + " x " + shown(screw->bore_mm) + " in one end";
  return builder.part(spec, {offset, thread.thread_mm, screw->bore_mm}, [=, deep = screw->bore_mm] {
    RoundHole bore{{0, offset, 0}, {0, -1, 0}, thread.tap_mm / 2, deep};
    bore.is_blind = true;
    return bored(plain(), {bore});
  });
}

/// `middles`: on the rail's rear face.
void addStandoffs(ModelBuilder& builder, const PanelFrame& panel,
                  const std::vector<Point3>& middles, const std::optional<RackScrew>& screw,
                  int rack) {
  const char* what = "the rack is bolted to its standoffs";
  const int part = standoffPart(builder, screw);
  for (const Point3& middle : middles) {
    const int standoff = builder.place(part, panel.number, middle);
    builder.joinTouching(standoff, {PartKind::kBottomRail}, ContactKind::kWelded,
                         "rack standoffs are fixed to the bottom rail");
    builder.contact(standoff, rack, ContactKind::kBolted, what);
    if (screw) {
      addScrew(builder, screw->sizes, {rack, standoff, what},
               {{middle[0], middle[1] + rackOutMm(builder) + screw->sizes.grip_mm, middle[2]},
                {0, 1, 0}});
    }
  }
}

/// Cylinder heads: a socket or a spanner has no room above the rack.
void addFootScrews(ModelBuilder& builder, const PanelFrame& panel, const Fixings& fixings,
                   const Point3& corner, const Slope& slope,
                   const std::array<int, 2>& rack_and_rail) {
  constexpr double kBesideRackMm = 0.5;
  const RackHardware& rack = builder.hardware().rack;
  const ThreadClass& thread = threadClass(rackFootThreadMm(rack));
  ScrewSizes screw{ScrewKind::kSocket, thread.thread_mm};
  screw.has_washer = rack.foot_up_mm / 2 >= thread.washer_mm / 2 + kBesideRackMm;
  screw.grip_mm = rack.offset_mm + (screw.has_washer ? thread.washer_thickness_mm : 0);
  screw.length_mm = screwNoShorter_mm(screw.grip_mm + hw::kThreadWalls * panel.bottom_rail_wall_mm);
  const double up = rack.height_mm + rack.foot_up_mm / 2;
  for (const double place : fixings.places) {
    addScrew(builder, screw,
             {rack_and_rail[0], rack_and_rail[1], "the rack's feet are screwed to the rail"},
             {{corner[0] + place * slope.cosine - up * slope.sine, corner[1],
               corner[2] + place * slope.sine + up * slope.cosine},
              {0, 1, 0}});
  }
}

/// Highest edge of the holes for axles and pulleys in the bottom rail's sides.
double openedUpToMm(const ModelBuilder& builder, const PanelFrame& panel) {
  constexpr double kBetweenMm = 1;
  const HardwareSpec& shelf = builder.hardware();
  double up = isOnPlate(shelf) ? 0 : shelf.wheel.axle_up_mm + axleHoleMm(shelf) / 2;
  if (panel.carries_rope) {
    const RopeLayout& rope = builder.layout().ropes.at(panel.number - 1);
    const double half = std::max(cradleOf(builder.spec()).slot_half_height_mm,
                                 cradleOf(builder.spec()).flange_half_height_mm);
    up = std::max({up, rope.heightOfMm(true) + half, rope.heightOfMm(false) + half});
  }
  return up + kBetweenMm;
}

}  // namespace

std::vector<int> addRack(ModelBuilder& builder, const PanelFrame& panel) {
  const RackHardware& rack = builder.hardware().rack;
  std::vector<int> placed;
  const bool on_feet = rack.fixing == RackFixing::kFoot;
  const double lower = builder.layout().heights.rack_lower_up_mm;
  const double centre = on_feet ? 0 : standoffUpMm(builder, panel);
  const double clearance =
      std::max(hw::kHardwareClearanceMm, builder.spec().checks.hardware_clearance_mm);
  const std::optional<RackScrew> screw =
      on_feet ? std::nullopt
              : rackScrew(builder.hardware(), clearance, rackOutMm(builder), centre - lower);
  // On a slope what is higher on the rail has its station, taken at its own height, further back.
  const double lean = on_feet ? 0 : (centre - lower) * panel.slope.grade;
  for (const LaidPiece& laid : laidPieces(builder, panel)) {
    const double x = laid.start_mm;
    const double length = laid.length_mm - laid.dressed_mm;
    Fixings fixings = fixingsOf(rack, laid.length_mm);
    if (!on_feet) {
      fixings = besideAxles(builder, panel, x - lean, std::move(fixings), centre);
    }
    std::vector<double> dimensions = fixings.drilled;
    dimensions.insert(dimensions.end(), fixings.places.begin(), fixings.places.end());
    dimensions.push_back(length);
    dimensions.push_back(centre - lower);
    const int part = builder.part(rackSpec(rack, length, fixings, screw), dimensions,
                                  [=] { return rackSolid(rack, length, fixings, screw); });
    const bool is_tilted = laid.up_mm != 0 || laid.tilt != 0;
    Point3 corner = panel.at(x, panel.depth_mm + rackOutMm(builder), lower);
    Slope slope = panel.slope;
    if (is_tilted) {
      corner[0] -= laid.up_mm * panel.slope.sine;
      corner[2] += laid.up_mm * panel.slope.cosine;
      slope = Slope::of(std::tan(std::atan(panel.slope.grade) + std::asin(laid.tilt)));
    }
    const int piece = builder.place(part, panel.number, corner, slope);
    constexpr const char* kButt = "rack pieces butt end to end";
    if (placed.empty() || builder.layout().ground.rack_up_mm.empty()) {
      builder.joinTouching(piece, {PartKind::kRack}, ContactKind::kBolted, kButt);
    } else {
      // Tilted they meet at an edge, as near as rounding has it.
      constexpr double kEdgesMm = 0.1;
      builder.contact(placed.back(), piece, ContactKind::kBolted, kButt, kEdgesMm);
    }
    if (on_feet) {
      const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
      builder.contact(piece, rail, ContactKind::kBolted, "the rack's feet are screwed to the rail");
      if (!rackFootScrews(builder, panel).empty()) {
        addFootScrews(builder, panel, fixings, corner, slope, {piece, rail});
      }
    } else {
      std::vector<Point3> middles;
      const double up = centre - lower;
      for (const double place : fixings.places) {
        middles.push_back(is_tilted ? Point3{corner[0] + place * slope.cosine - up * slope.sine,
                                             panel.origin_mm[1] + panel.depth_mm,
                                             corner[2] + place * slope.sine + up * slope.cosine}
                                    : panel.at(place + (x - lean), panel.depth_mm, centre));
      }
      addStandoffs(builder, panel, middles, screw, piece);
    }
    placed.push_back(piece);
  }
  return placed;
}

double rackFootThreadMm(const RackHardware& rack) {
  constexpr double kPlayMm = 0.3;  // of a screw in its slot
  double taken = 0;
  for (const ThreadClass& thread : threadClasses()) {
    if (thread.form_mm > 0 && thread.thread_mm <= rack.slot_width_mm - kPlayMm) {
      taken = thread.thread_mm;
    }
  }
  return taken;
}

std::vector<Point2> rackFootScrews(const ModelBuilder& builder, const PanelFrame& panel) {
  const RackHardware& rack = builder.hardware().rack;
  std::vector<Point2> screws;
  const double thread = rackFootThreadMm(rack);
  const double lower = builder.layout().heights.rack_lower_up_mm;
  const double up = lower + rack.height_mm + rack.foot_up_mm / 2;
  if (rack.fixing != RackFixing::kFoot || thread == 0 ||
      up - threadClass(thread).form_mm / 2 < openedUpToMm(builder, panel)) {
    return screws;
  }
  for (const LaidPiece& laid : laidPieces(builder, panel)) {
    for (const double place : fixingsOf(rack, laid.length_mm).places) {
      const double edge = panel.edgeMm(laid.start_mm, lower);
      if (laid.tilt == 0 && laid.up_mm == 0) {
        screws.push_back({edge + place, up});
        continue;
      }
      const Point2 there = laid.turned(place, up - lower);
      screws.push_back({edge + there.a, lower + laid.up_mm + there.b});
    }
  }
  return screws;
}

}  // namespace leafstack
