#include "generator/compare/cost/estimate.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/keepers.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/spacing.h"
#include "generator/layout/figures/terminal.h"
#include "generator/model/density.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kKgPerMm3 = 1e-9;  // of a density in kg/m3
constexpr double kReturnOverRailMm = 10;
constexpr double kCladdingClearMm = 5;  // off channel and return
constexpr int kStandoffsPerPiece = 3;

double discMm3(double radius_mm, double thickness_mm) {
  return std::numbers::pi * radius_mm * radius_mm * thickness_mm;
}

/// A wheel with its bore and its groove, a segment of a circle turned about the axle (Pappus).
double roundWheelMm3(const HardwareSpec& shelf) {
  const double outside = shelf.wheel.outside_mm / 2;
  const double bore = shelf.wheel.axle_mm / 2;
  const double groove = wheelGrooveRadiusMm(shelf);
  const double off = shelf.wheel.running_mm / 2 + groove - outside;
  const double half_chord = std::sqrt(groove * groove - off * off);
  const double area = groove * groove * std::acos(off / groove) - off * half_chord;
  const double centroid = outside + off - 2 * half_chord * half_chord * half_chord / (3 * area);
  return discMm3(outside, shelf.wheel.width_mm) - discMm3(bore, shelf.wheel.width_mm) -
         2 * std::numbers::pi * centroid * area;
}

/// The same with a V groove, a triangle turned about the axle, and the relief under its root.
double vWheelMm3(const HardwareSpec& shelf) {
  const double running = shelf.wheel.running_mm / 2;
  const double depth = shelf.wheel.outside_mm / 2 - running;
  const double root = shelf.wheel.root_mm / 2;
  const double under = hw::kRootUnderHeelMm;
  const double groove = depth * depth * (running + 2 * depth / 3);
  const double relief = 2 * root * under * (running - under / 2);
  return discMm3(shelf.wheel.outside_mm / 2, shelf.wheel.width_mm) -
         discMm3(shelf.wheel.axle_mm / 2, shelf.wheel.width_mm) -
         2 * std::numbers::pi * (groove + relief);
}

double wheelMm3(const HardwareSpec& shelf) {
  return shelf.wheel.groove == GrooveKind::kV ? vWheelMm3(shelf) : roundWheelMm3(shelf);
}

/// Plate, cheeks (trapezes about the axle) and bolts of a wheel's carrier.
double carrierMm3(const HardwareSpec& shelf) {
  const WheelHardware& wheel = shelf.wheel;
  const ThreadClass& bolt = threadClass(wheel.plate_bolt_mm);
  const double plate = wheel.plate_length_mm * wheel.plate_width_mm * wheel.plate_mm;
  const double tall = plateUndersideMm(shelf) - wheel.axle_up_mm + cheekLowHalfMm(shelf);
  const double cheek = tall * (cheekLowHalfMm(shelf) + cheekHighHalfMm(shelf)) * wheel.cheek_mm;
  const double packer = wheel.plate_length_mm * wheel.plate_width_mm * wheel.packing_mm;
  return plate + packer + 2 * cheek + 4 * discMm3(bolt.across_corners_mm / 2, bolt.head_mm);
}

double axleMm3(const HardwareSpec& shelf, double depth_mm) {
  return discMm3(shelf.wheel.axle_mm / 2, depth_mm) +
         2 * discMm3(shelf.wheel.axle_head_mm / 2, shelf.wheel.axle_ring_mm);
}

/// Both track keepers of a wheel, and their saddle.
double keeperPairMm3(const GateSpec& spec) {
  const KeeperHardware& shelf = spec.hardware.keeper;
  const TrackKeepers keepers = trackKeepers(spec);
  return 2 * shelf.length_mm *
         (shelf.plate_mm * keepers.height_mm + keepers.saddle_mm * keepers.outer_half_mm);
}

double pulleyMm3(const HardwareSpec& shelf, double rim_mm, double pitch_mm, double rope_mm) {
  const double half_throat = std::tan(shelf.pulley.throat_deg / 2 * std::numbers::pi / 180);
  const double depth = rim_mm - (pitch_mm - rope_mm) / 2;
  const double groove = depth * rope_mm + half_throat * depth * depth;
  return discMm3(rim_mm, shelf.pulley.thickness_mm) -
         discMm3(shelf.pulley.bolt_mm / 2, shelf.pulley.thickness_mm) -
         2 * std::numbers::pi * (rim_mm - depth / 2) * groove;
}

/// Cheeks, flange, covers and pin of a pulley's cradle.
double cradleMm3(const GateSpec& spec) {
  const PulleyHardware& pulley = spec.hardware.pulley;
  const PulleyCradle c = cradleOf(spec);
  const double cheek = 2 * (c.rim_mm * (c.rail_half_mm - c.tongue_from_mm) +
                            c.tongue_half_mm * (c.rail_half_mm + c.tongue_from_mm));
  const double flange = 2 * c.flange_half_height_mm * (c.flange_to_mm - c.flange_from_mm);
  const double covers = 2 * c.coverLengthMm() * c.pinLengthMm() * pulley.cover_mm;
  return (2 * cheek + flange) * pulley.cheek_mm + covers +
         discMm3(pulley.bolt_mm / 2, c.pinLengthMm());
}

/// Strips laid over a stretch, as the cladding's courses: visits each with start and width.
template <typename Visit>
void eachCourse(double stretch_mm, const CladdingSpec& clad, double cosine, const Visit& visit) {
  const double width = clad.width_mm / cosine;
  const double gap = clad.gap_mm / cosine;
  double from = 0;
  double last = -1;  // start of the last whole one, which may yet share with the rest
  for (; stretch_mm - from > width - kLengthEqualMm; from += width + gap) {
    if (last >= 0) {
      visit(last, width);
    }
    last = from;
  }
  const double rest = stretch_mm - from;
  if (rest >= width / 2) {
    if (last >= 0) {
      visit(last, width);
    }
    visit(from, rest);
  } else if (last >= 0 && rest > kLengthEqualMm) {
    const double shared = (stretch_mm - last - gap) / 2;
    visit(last, shared);
    visit(last + shared + gap, shared);
  } else if (last >= 0) {
    visit(last, rest < -kLengthEqualMm ? stretch_mm - last : width);
  }
}

/// Area of a strip `width_mm` wide that starts `from_mm` below the top of a field whose depth goes
/// evenly from `depth.low` to `depth.high` over `run_mm`.
double stripMm2(double run_mm, const Range& depth, double from_mm, double width_mm) {
  const double low = depth.low - from_mm;
  const double high = depth.high - from_mm;
  const auto within = [&](double t) { return std::clamp(t, 0.0, width_mm); };
  if (std::abs(high - low) < kLengthEqualMm) {
    return run_mm * within(low);
  }
  // Of what is within, summed up from nothing.
  const auto sum = [&](double t) { return within(t) * (t - within(t) / 2); };
  return run_mm * (sum(high) - sum(low)) / (high - low);
}

}  // namespace

double Bill::massKg() const {
  double sum = 0;
  for (const Quantity& row : rows) {
    sum += row.mass_kg;
  }
  return sum;
}

/// One panel, with what is asked of it again and again.
struct Estimator::Panel {
  const GateSpec& spec;
  const Layout& layout;
  const PanelLayout& row;
  double cosine, top_cosine;
  int bays;
  double bay_mm;  ///< clear width of a bay

  Panel(const GateSpec& gate, const Layout& laid_out, const PanelLayout& panel)
      : spec(gate), layout(laid_out), row(panel), cosine(panel.cosine()) {
    top_cosine = 1 / std::sqrt(1 + row.top_grade * row.top_grade);
    const double width = spec.gate.stile.height_mm;
    const double between = row.frame_length_mm - width;
    bays = std::max(1, static_cast<int>(std::ceil(between / spec.gate.bay_mm)));
    bay_mm = between / bays - width;
  }
  bool carriesRope() const { return row.number < layout.panel_count; }
  double x(double from_leading_mm) const { return row.leading_closed_mm + from_leading_mm; }
  double middleX() const { return x(row.frame_length_mm / 2); }
  double railTopZ(double at_x) const {
    return row.undersideZ(at_x) + spec.gate.bottom_rail.height_mm / cosine;
  }
  /// Clear height between the rails.
  double clearMm(double at_x) const {
    return row.topZ(at_x) - spec.gate.top_rail.height_mm / top_cosine - railTopZ(at_x);
  }
  /// X of the middle of a bay.
  double bayX(int bay) const {
    const double width = spec.gate.stile.height_mm;
    return x(width + bay * (bay_mm + width) + bay_mm / 2);
  }
};

Estimator::Estimator(const GateSpec& spec) {
  const bool is_steel = spec.gate.material == FrameMaterial::kSteel;
  steel_ = densityOf("steel", spec) * kKgPerMm3;
  frame_ = is_steel ? steel_ : densityOf("aluminium", spec) * kKgPerMm3;
  nylon_ = densityOf("nylon", spec) * kKgPerMm3;
  timber_ = densityOf("timber", spec) * kKgPerMm3;
  const double diameter = spec.ropes.diameter_mm;
  rope_kg_mm_ = densityOf("rope", spec) * kKgPerMm3 * std::numbers::pi / 4 * diameter * diameter;
  bottom_mm2_ = bendingAcross(spec.gate.bottom_rail).area_mm2;
  top_mm2_ = bendingAcross(spec.gate.top_rail).area_mm2;
  stile_mm2_ = bendingAcross(spec.gate.stile).area_mm2;
  infill_mm2_ = bendingAcross(spec.gate.infill.section).area_mm2;
  const HardwareSpec& shelf = spec.hardware;
  const double held = isOnPlate(shelf)
                          ? carrierMm3(shelf) + axleMm3(shelf, 2 * cheekHalfWidthMm(shelf))
                          : axleMm3(shelf, spec.gate.bottom_rail.depth_mm);
  wheel_kg_ = shelf.wheel.bought.mass_kg.value_or(wheelMm3(shelf) * steel_) + held * steel_ +
              keeperPairMm3(spec) * frame_;
}

void Estimator::addFrame(const Panel& panel, Bill& bill) const {
  const double rail = panel.row.length_mm / panel.cosine;
  bill.of(Stock::kBottomRail).add(rail, rail * bottom_mm2_ * frame_);
  const double top = panel.row.frame_length_mm / panel.top_cosine;
  bill.of(Stock::kTopRail).add(top, top * top_mm2_ * frame_);
  const double pitch = panel.bay_mm + panel.spec.gate.stile.height_mm;
  for (int i = 0; i <= panel.bays; ++i) {
    const double length = panel.clearMm(panel.x(i * pitch + panel.spec.gate.stile.height_mm / 2));
    bill.of(Stock::kStile).add(length, length * stile_mm2_ * frame_);
  }
}

void Estimator::addInfill(const Panel& panel, Bill& bill) const {
  const InfillSpec& infill = panel.spec.gate.infill;
  const double size = infill.section.height_mm;
  const double taper = std::abs(panel.row.grade - panel.row.top_grade) * panel.bay_mm;
  for (int bay = 0; bay < panel.bays; ++bay) {
    const double height = panel.clearMm(panel.bayX(bay));
    if (infill.kind == InfillKind::kPickets) {
      const int count = evenSpacing(panel.bay_mm, size, infill.gap_mm).count;
      const double length = count * height;
      bill.of(Stock::kInfill).add(length, length * infill_mm2_ * frame_, count);
    } else if (infill.kind == InfillKind::kSlats) {
      const double plumb = size / panel.top_cosine;
      const Spacing spacing =
          evenSpacing(height - taper / 2, plumb, infill.gap_mm / panel.top_cosine);
      // Shorter ones go on below where the bottom rail rises towards the top.
      const double more = taper / 2 / (plumb + spacing.gap_mm);
      const double length = (spacing.count + more) * panel.bay_mm / panel.top_cosine;
      bill.of(Stock::kInfill)
          .add(length, length * infill_mm2_ * frame_, spacing.count + static_cast<int>(2 * more));
    } else if (infill.kind == InfillKind::kSheet) {
      bill.of(Stock::kSheet)
          .add(panel.bay_mm, panel.bay_mm * height * infill.thickness_mm * frame_);
    }
  }
}

void Estimator::addCladding(const Panel& panel, Bill& bill) const {
  const CladdingSpec& clad = panel.spec.gate.cladding;
  if (clad.kind == CladdingKind::kNone) {
    return;
  }
  const PanelLayout& row = panel.row;
  double width = row.frame_length_mm;
  if (row.number == 1 && panel.layout.demands[Binding::kReturn].applies) {
    width = panel.layout.return_start_mm - kCladdingClearMm - row.leading_closed_mm;
  }
  const double up = panel.layout.heights.cladding_bottom_up_mm / panel.cosine;
  const auto depth = [&](double x) { return row.topZ(x) - row.undersideZ(x) - up; };
  const Range ends{depth(panel.x(0)), depth(panel.x(width))};
  const double area = width * (ends.low + ends.high) / 2;
  double mm2 = 0;
  if (clad.kind == CladdingKind::kBoards) {
    eachCourse(width, clad, 1, [&](double, double wide) { mm2 += wide * area / width; });
  } else {
    eachCourse(std::max(ends.low, ends.high), clad, panel.top_cosine,
               [&](double from, double wide) { mm2 += stripMm2(width, ends, from, wide); });
  }
  if (panel.carriesRope() && area > 0) {
    const GuideLayout& guide = panel.layout.guides[row.number];
    const double along =
        guide.x_mm + panel.spec.guides.channel_width_mm / 2 + kCladdingClearMm - panel.x(0);
    const double channel =
        guide.z_mm + guide.channel_low_mm * guide.channelCosine() - kCladdingClearMm;
    mm2 -= mm2 / area * along * std::max(0.0, row.topZ(guide.x_mm) - channel);
  }
  bill.of(Stock::kCladding).add(mm2 / clad.width_mm, mm2 * clad.thickness_mm * timber_);
}

void Estimator::addReturn(const Panel& panel, Bill& bill) const {
  const GateSpec& spec = panel.spec;
  if (!spec.gate.has_return || panel.layout.panel_count < 2) {
    return;
  }
  const InfillSpec& infill = spec.gate.infill;
  const double x = panel.layout.return_start_mm + spec.gate.stile.height_mm / 2;
  const double across = panel.layout.ground.others_over_mm;
  const double height = panel.row.topZ(x) - panel.railTopZ(x) - kReturnOverRailMm - across;
  const double wide = panel.row.front_y_mm - spec.offFenceMm() - spec.gate.stile.depth_mm;
  bill.of(Stock::kStile).add(height, height * stile_mm2_ * frame_);
  const double clear = height - 2 * infill.section.height_mm;
  double length = 2 * wide;
  int count = 2;
  const bool pickets =
      infill.kind == InfillKind::kPickets ||
      (infill.kind == InfillKind::kOpen && spec.gate.cladding.kind != CladdingKind::kNone);
  if (pickets) {
    const int more = evenSpacing(wide, infill.section.depth_mm, infill.gap_mm).count;
    length += more * clear;
    count += more;
  } else if (infill.kind == InfillKind::kSlats) {
    const int more = evenSpacing(clear, infill.section.height_mm, infill.gap_mm).count;
    length += more * wide;
    count += more;
  } else if (infill.kind == InfillKind::kSheet) {
    bill.of(Stock::kSheet).add(wide, wide * clear * infill.thickness_mm * frame_);
  }
  bill.of(Stock::kInfill).add(length, length * infill_mm2_ * frame_, count);
}

void Estimator::addGear(const Panel& panel, Bill& bill) const {
  bill.of(Stock::kWheel).add(0, 2 * wheel_kg_, 2);
  if (panel.row.number != 1) {
    return;
  }
  const double rack = panel.row.length_mm / panel.cosine - panel.spec.drive.rack_inset_mm;
  const double pieces = std::ceil(rack / panel.spec.hardware.rack.piece_mm);
  const RackHardware& made = panel.spec.hardware.rack;
  const double bar = rack * made.height_mm * made.thickness_mm;
  const double per_kg = made.material == RackMaterial::kNylon ? nylon_ : steel_;
  const bool has_feet = made.fixing == RackFixing::kFoot;
  const double feet = has_feet ? std::ceil(rack / made.hole_pitch_mm) * made.foot_length_mm *
                                     made.offset_mm * (made.height_mm + made.foot_up_mm)
                               : 0;
  const double standoffs =
      has_feet ? 0 : pieces * kStandoffsPerPiece * discMm3(made.standoff_mm / 2, made.offset_mm);
  const double rack_kg =
      made.bought.mass_kg ? *made.bought.mass_kg * rack / made.piece_mm : (bar + feet) * per_kg;
  bill.of(Stock::kRack).add(rack, rack_kg + standoffs * frame_);  // welded to the frame
}

void Estimator::addRopes(const Panel& panel, Bill& bill) const {
  const RopeSpec& spec = panel.spec.ropes;
  const StackLayout& stack = panel.layout.stack;
  const double high = bracketHeightMm(panel.spec);
  const double arm = panel.spec.hardware.bracket.length_mm * high *
                     (stack.gap_mm - panel.spec.hardware.bracket.face_gap_mm);
  const double wrap =
      std::max(0.0, (panel.spec.hardware.bracket.length_mm / 2) - spec.bracket_inset_mm) * high *
      stack.frame_depth_mm;
  if (panel.row.number > 1) {  // front bracket of the ropes behind
    bill.of(Stock::kRopeBracket).add(0, (arm + wrap) * frame_);
  }
  if (panel.row.number + 1 < panel.layout.panel_count) {  // rear bracket of those in front
    bill.of(Stock::kRopeBracket).add(0, arm * frame_);
  }
  if (!panel.carriesRope()) {
    return;
  }
  const RopeLayout& rope = panel.layout.ropes[panel.row.number - 1];
  const double rim = pulleyRimMm(panel.spec, rope.pitch_mm);
  const double pulley = panel.spec.hardware.pulley.bought.mass_kg.value_or(
      pulleyMm3(panel.spec.hardware, rim, rope.pitch_mm, spec.diameter_mm) * steel_);
  bill.of(Stock::kPulley).add(0, 2 * (pulley + cradleMm3(panel.spec) * steel_), 2);
  const double both = 2 * (rope.trailing_pulley_mm - rope.leading_pulley_mm) / panel.cosine +
                      std::numbers::pi * rope.pitch_mm;
  bill.of(Stock::kRope).add(both, both * rope_kg_mm_, 2);
}

void Estimator::addGuides(const Panel& panel, Bill& bill) const {
  const GuideSpec& spec = panel.spec.guides;
  const GuideLayout& own = panel.layout.guides[panel.row.number - 1];
  const double thin = spec.rail_mm - panel.spec.hardware.guide.rail_thickness_mm;
  const double angle = spec.rail_mm * spec.rail_mm - thin * thin;
  const double length = panel.row.frame_length_mm / own.cosine();
  bill.of(Stock::kGuideRail).add(length, length * angle * frame_);
  if (!panel.carriesRope()) {
    return;
  }
  const GuideLayout& held = panel.layout.guides[panel.row.number];
  const double height = held.channel_high_mm - held.channel_low_mm;
  const double depth = spec.channel_depth_mm - panel.spec.hardware.guide.lip_gap_mm;
  const double t = panel.spec.hardware.guide.channel_wall_mm;
  const double folded =
      spec.channel_width_mm + 2 * (depth - t) + 2 * (panel.spec.hardware.guide.lip_mm - t);
  const double packer = std::max(0.0, panel.layout.stack.packing_mm - spec.recess_mm);
  const GuideHardware& guide = panel.spec.hardware.guide;
  const double lugs = 2 * (guide.lip_mm - hardware::kLugOffNeckMm) *
                      (guide.lip_gap_mm + guide.rail_thickness_mm) *
                      panel.spec.hardware.keeper.lift_plate_mm;
  bill.of(Stock::kGuideChannel)
      .add(height, height * (folded * t * steel_ + spec.channel_width_mm * packer * frame_) +
                       lugs * steel_);
  const double run = t + panel.spec.hardware.guide.running_gap_mm;
  const double body = (spec.channel_width_mm - 2 * run) * (depth - 2 * run);
  const double neck = (spec.channel_width_mm - 2 * panel.spec.hardware.guide.lip_mm) *
                      (panel.spec.hardware.guide.lip_gap_mm + t);
  bill.of(Stock::kGuideBlock)
      .add(0, panel.spec.hardware.guide.bought.mass_kg.value_or(
                  (body + neck) * panel.spec.hardware.guide.block_height_mm * nylon_));
}

std::vector<Bill> Estimator::panelsOf(const GateSpec& spec, const Layout& layout) const {
  std::vector<Bill> bills(layout.panels.size());
  for (const PanelLayout& row : layout.panels) {
    const Panel panel(spec, layout, row);
    Bill& bill = bills[row.number - 1];
    addFrame(panel, bill);
    addInfill(panel, bill);
    addCladding(panel, bill);
    addGear(panel, bill);
    addRopes(panel, bill);
    addGuides(panel, bill);
  }
  addReturn(Panel(spec, layout, layout.panels.front()), bills.front());
  return bills;
}

}  // namespace leafstack
