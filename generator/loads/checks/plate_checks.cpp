#include "generator/loads/checks/plate_checks.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/keepers.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/ground/latch.h"
#include "generator/loads/checks/structure_checks.h"
#include "generator/loads/frame/frame_metal.h"
#include "params/catalogue/catalogue.h"
#include "params/catalogue/welds.h"

namespace leafstack {
namespace {

std::string wholeNewtons(double value) {
  return shown(value, 0) + " N";
}

StructureWeld weldOf(std::string name, double leg_mm, double line_N_mm, std::string_view material) {
  StructureWeld weld;
  weld.name = std::move(name);
  weld.leg_mm = leg_mm;
  weld.line_N_mm = line_N_mm;
  weld.strength_N_mm2 = filletStrength_N_mm2(material);
  weld.use = line_N_mm / (leg_mm / std::numbers::sqrt2 * weld.strength_N_mm2);
  return weld;
}

/// One of the two receivers: how it stands on the catch post.
struct Held {
  double lever_mm = 0;  ///< from the catch post's face to where the panel presses
  double width_mm = 0;  ///< of the plate, upright
  double thick_mm = 0;
  double fillet_mm = 0;  ///< length of each of its two
  double beyond_mm = 0;  ///< from the fillets' middle to the post's face
};

Held bottomOf(const GateSpec& spec, const Layout& layout, const LatchLayout& latch) {
  const ReceiverPlace& place = latch.bottom;
  const double end = std::max(layout.panels.back().leading_closed_mm, latch.face_x_mm);
  Held held;
  held.lever_mm = (end + place.to_x_mm) / 2 - latch.face_x_mm;
  held.width_mm = place.high_z_mm - place.low_z_mm;
  held.thick_mm = spec.hardware.stop.catch_plate_mm;
  held.fillet_mm = latch.face_x_mm - place.from_x_mm;
  held.beyond_mm = held.fillet_mm / 2;
  return held;
}

Held topOf(const GateSpec& spec, const Layout& layout, const LatchLayout& latch) {
  const ReceiverPlace& place = *latch.top;
  const ReceiverHardware& shelf = spec.hardware.receiver;
  const double end = layout.panels.back().leading_closed_mm;
  Held held;
  held.lever_mm = (end + std::max(end, place.to_x_mm - shelf.lead_mm)) / 2 - latch.face_x_mm;
  held.width_mm = place.high_z_mm - place.low_z_mm;
  held.thick_mm = shelf.plate_mm;
  const double front = place.has_front ? place.front_y_mm - shelf.plate_mm : latch.post_front_y_mm;
  held.fillet_mm = std::min(place.rear_y_mm + shelf.plate_mm, latch.post_rear_y_mm) -
                   std::max(front, latch.post_front_y_mm);
  return held;
}

StructurePlate plateOf(const StructureReceiver& receiver, const Held& held) {
  StructurePlate plate;
  plate.name = "the " + receiver.name + "'s plate";
  plate.case_name = receiver.case_name;
  plate.force_N = receiver.force_N;
  plate.lever_mm = held.lever_mm;
  plate.width_mm = held.width_mm;
  plate.thick_mm = held.thick_mm;
  plate.yield_N_mm2 = materialClass("steel").yield_N_mm2;
  plate.use = receiver.force_N * held.lever_mm / plasticMoment_Nmm(held.width_mm, held.thick_mm);
  return plate;
}

StructureWeld weldOf(const StructureReceiver& receiver, const Held& held, double wall_mm,
                     std::optional<double> leg_mm) {
  const double lever = held.lever_mm + held.beyond_mm;
  StructureWeld weld = weldOf("the " + receiver.name + "'s two fillets on the catch post",
                              leg_mm.value_or(filletLeg_mm(held.thick_mm, wall_mm)),
                              twoFillets_N_mm(receiver.force_N, lever, held.fillet_mm), "steel");
  weld.case_name = receiver.case_name;
  weld.formula = "F / (2 l) + 3 F e / l^2, F " + wholeNewtons(receiver.force_N) + ", e " +
                 shown(lever, 1) + " mm, l " + shown(held.fillet_mm, 1) + " mm";
  return weld;
}

/// A saddle's two ends across the rail's flat underside; what is laid along the rail's rounded
/// corners is on top of that.
StructureWeld saddleWeld(const GateSpec& spec, const TrackKeepers& keepers,
                         const StructurePlate& plate, const std::string& keeper) {
  const HollowSection& rail = spec.gate.bottom_rail;
  const double length = rail.depth_mm - 2 * cornerRadii(rail).outer_mm;
  StructureWeld weld =
      weldOf(keeper + "'s saddle, its two fillets across the rail",
             spec.shop.weld_leg_mm.value_or(filletLeg_mm(keepers.saddle_mm, rail.wall_mm)),
             twoFillets_N_mm(plate.force_N, plate.lever_mm, length), frameMaterialName(spec));
  weld.case_name = plate.case_name;
  weld.formula = "F / (2 l) + 3 F e / l^2, F " + wholeNewtons(plate.force_N) + ", e " +
                 shown(plate.lever_mm, 1) + " mm, l " + shown(length, 1) + " mm";
  return weld;
}

/// The hardest pressed of all, as if no groove held anything.
void addKeepers(const GateSpec& spec, StructureReport& report) {
  const StructureWheel* worst = nullptr;
  for (const StructureWheel& wheel : report.wheels) {
    worst = worst == nullptr || wheel.most_lateral_N > worst->most_lateral_N ? &wheel : worst;
  }
  if (worst == nullptr || spec.hardware.keeper.length_mm <= 0) {
    return;
  }
  const KeeperHardware& shelf = spec.hardware.keeper;
  const std::string material = frameMaterialName(spec);
  const double force = spec.checks.wind_factor * worst->most_lateral_N;
  const std::string name = "panel " + std::to_string(worst->panel) + "'s " +
                           (worst->leading ? "leading" : "trailing") + " track keeper";
  StructurePlate plate;
  plate.name = name + "'s plate";
  plate.case_name = "the greatest sideways force of any case";
  plate.force_N = force;
  const TrackKeepers keepers = trackKeepers(spec);
  plate.lever_mm = keeperLeverMm(spec);
  plate.width_mm = shelf.length_mm;
  plate.thick_mm = shelf.plate_mm;
  plate.yield_N_mm2 =
      materialClass(material).welded_yield_N_mm2 / materialClass(material).partial_factor;
  plate.use = keeperUse(spec, worst->most_lateral_N);
  // A couple across the plate, and the force itself.
  const double line = std::hypot(force * plate.lever_mm / (shelf.plate_mm * shelf.length_mm),
                                 force / (2 * shelf.length_mm));
  StructureWeld weld =
      weldOf(name + "'s welds, on both sides of its plate",
             spec.shop.weld_leg_mm.value_or(filletLeg_mm(
                 shelf.plate_mm,
                 keepers.saddle_mm > 0 ? keepers.saddle_mm : spec.gate.bottom_rail.wall_mm)),
             line, material);
  weld.case_name = plate.case_name;
  weld.formula = "sqrt((F e / (t l))^2 + (F / (2 l))^2), F " + wholeNewtons(force) + ", e " +
                 shown(plate.lever_mm, 1) + " mm, t " + shown(shelf.plate_mm) + " mm, l " +
                 shown(shelf.length_mm) + " mm";
  if (keepers.saddle_mm > 0) {
    report.welds.push_back(saddleWeld(spec, keepers, plate, name));
  }
  report.plates.push_back(std::move(plate));
  report.welds.push_back(std::move(weld));
}

}  // namespace

double twoFillets_N_mm(double force_N, double lever_mm, double length_mm) {
  return force_N / (2 * length_mm) + 3 * force_N * lever_mm / (length_mm * length_mm);
}

double allRound_N_mm(const PostPlate& plate, const frame::Inner& foot) {
  const double a = plate.post_along_mm, b = plate.post_across_mm;
  const double normal = std::abs(foot.about_z_Nmm) / (a * b + b * b / 3) +
                        std::abs(foot.about_y_Nmm) / (a * b + a * a / 3) +
                        std::abs(foot.pull_N) / (2 * (a + b));
  const double along =
      std::abs(foot.twist_Nmm) / (2 * a * b) +
      std::max(std::abs(foot.shear_y_N) / (2 * b), std::abs(foot.shear_z_N) / (2 * a));
  return std::hypot(normal, along);
}

StructureWeld postWeld(const GateSpec& spec, const PostPlate& plate, double wall_mm,
                       const frame::Inner& foot) {
  const double line = allRound_N_mm(plate, foot);
  const double leg = spec.shop.weld_leg_mm.value_or(
      filletLegFor_mm(spec.hardware.post.plate_mm, wall_mm, line, filletStrength_N_mm2("steel")));
  StructureWeld weld = weldOf("", leg, line, "steel");
  const double a = plate.post_along_mm, b = plate.post_across_mm;
  weld.formula =
      "sqrt((M / (a b + b^2 / 3) + M' / (a b + a^2 / 3) + N / (2 (a + b)))^2 + "
      "(T / (2 a b) + V / (2 b))^2), a " +
      shown(a, 1) + " along, b " + shown(b, 1) + " mm across, M " +
      shown(std::abs(foot.about_z_Nmm) / kNmmPerNm, 0) + ", M' " +
      shown(std::abs(foot.about_y_Nmm) / kNmmPerNm, 0) + ", T " +
      shown(std::abs(foot.twist_Nmm) / kNmmPerNm, 0) + " N m, V " +
      wholeNewtons(std::hypot(foot.shear_y_N, foot.shear_z_N));
  return weld;
}

StructurePlate overheadEars(const PostHardware& shelf, const frame::Six& held) {
  const double edge_mm = overheadHoleEdgeMm(shelf);
  const double lever_mm = shelf.overhead_ear_mm - edge_mm;   // tube to bolt
  const double apart_mm = shelf.overhead_mm + 2 * lever_mm;  // from ear's bolts to ear's
  const double height_mm = shelf.overhead_mm - 2 * edge_mm;  // between an ear's bolts
  StructurePlate plate;
  plate.name = "the overhead bracket plate's ears, at its hardest pulled bolt";
  plate.force_N = std::abs(held[1]) / 4 + std::abs(held[3]) / (2 * height_mm) +
                  std::abs(held[5]) / (2 * apart_mm);
  plate.lever_mm = lever_mm;
  plate.width_mm = shelf.overhead_mm / 2;
  plate.thick_mm = shelf.plate_mm;
  plate.yield_N_mm2 = materialClass("steel").yield_N_mm2;
  plate.use = plate.force_N * plate.lever_mm / plasticMoment_Nmm(plate.width_mm, plate.thick_mm);
  return plate;
}

void addHoldingPlates(const Model& model, StructureReport& report) {
  const GateSpec& spec = model.spec;
  const LatchLayout latch = latchOf(spec, model.layout);
  for (const StructureReceiver& receiver : report.receivers) {
    const bool is_top = receiver.name == "top receiver";
    const Held held =
        is_top ? topOf(spec, model.layout, latch) : bottomOf(spec, model.layout, latch);
    report.plates.push_back(plateOf(receiver, held));
    if (held.fillet_mm > 0) {
      report.welds.push_back(
          weldOf(receiver, held, spec.hardware.stop.catch_wall_mm, spec.shop.weld_leg_mm));
    }
  }
  addKeepers(spec, report);
}

}  // namespace leafstack
