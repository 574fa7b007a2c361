#include "generator/layout/figures/cradle.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/terminal.h"
#include "params/catalogue/holes.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kTongueOffWallMm = 2;  // wide part of the cheeks to the far wall
constexpr double kBesideHeadMm = 1;     // metal of the flange beside a sunk head
constexpr double kBetweenHeadsMm = 1;
constexpr double kDegrees = 180 / std::numbers::pi;

}  // namespace

double PulleyCradle::coverLengthMm() const {
  return (root_deg - mouth_deg) / kDegrees * (cover_inner_mm + cover_outer_mm) / 2;
}

double PulleyCradle::rootMm() const {
  return cover_outer_mm * std::sin(root_deg / kDegrees);
}

double cradleSlotHalfHeightMm(const GateSpec& spec) {
  // Coats: under the cheek, where the bare pin bears, on it, and in the slot.
  const PulleyHardware& pulley = spec.hardware.pulley;
  return pulley.thickness_mm / 2 + hw::kCheekGapMm + pulley.cheek_mm + hw::kCradleSlotGapMm +
         3 * spec.shop.coatMm();
}

PulleyCradle cradleOf(const GateSpec& spec) {
  const PulleyHardware& pulley = spec.hardware.pulley;
  const HollowSection& rail = spec.gate.bottom_rail;
  const double pitch = pulleyPitchMm(spec);
  PulleyCradle c;
  c.rim_mm = pulleyRimMm(spec, pitch);
  c.rail_half_mm = rail.depth_mm / 2;
  c.inside_half_mm = c.rail_half_mm - rail.wall_mm;
  c.cheek_low_mm = pulley.thickness_mm / 2 + hw::kCheekGapMm;
  c.cheek_high_mm = c.cheek_low_mm + pulley.cheek_mm;
  c.slot_half_height_mm = cradleSlotHalfHeightMm(spec);
  c.front_mm = c.rail_half_mm + pulley.cheek_mm;
  c.cover_inner_mm = c.rim_mm + pulley.keeper_gap_mm;
  c.cover_outer_mm = c.cover_inner_mm + pulley.cover_mm;
  const double play = hw::kPulleyEntryGapMm + 2 * spec.shop.coatMm();  // cheek's coat and slot's
  c.entry_half_mm = c.rim_mm + play;
  const double in_wall = std::sqrt(std::pow(c.cover_outer_mm, 2) - std::pow(c.inside_half_mm, 2));
  c.far_half_mm =
      std::min(halvesUp(in_wall + hw::kPulleySlotGapMm + 2 * spec.shop.coatMm()), c.entry_half_mm);
  c.tongue_half_mm = c.far_half_mm - play;
  c.tongue_from_mm = kTongueOffWallMm - c.inside_half_mm;
  // The cover ends where it would come near the strand that leaves the pulley; its other end goes
  // as far into the rail as the slot that it passes lets it.
  const double strand = pitch / 2 + spec.ropes.diameter_mm / 2 + hw::kHardwareClearanceMm;
  c.mouth_deg = std::asin(std::min(1.0, strand / c.cover_inner_mm)) * kDegrees;
  c.root_deg = 180 - std::acos(c.rim_mm / c.cover_outer_mm) * kDegrees;
  // Inboard, where all that passes leaves room for a plate with sunk heads.
  const SunkScrew screw{pulley.screw_mm, spec.shop.coatMm()};
  const double chord = std::sqrt(std::pow(c.rim_mm, 2) - std::pow(c.rail_half_mm, 2));
  c.flange_from_mm = halvesUp(chord + hw::kHardwareClearanceMm);
  c.screw_x_mm = halvesUp(c.entry_half_mm + rail.wall_mm + screw.formRadiusMm());
  const double sunk = halvesUp(screw.sinkRadiusMm());
  c.screw_up_mm = sunk + kBetweenHeadsMm / 2;
  const double edge = std::max(sunk + kBesideHeadMm, leastHoleEdge_mm(2 * screw.holeRadiusMm()));
  c.flange_to_mm = c.screw_x_mm + edge;
  c.flange_half_height_mm = std::max(c.cheek_high_mm, c.screw_up_mm + sunk + kBesideHeadMm);
  return c;
}

bool comesOutInFront(const HardwareSpec& shelf, bool opening) {
  switch (shelf.pulley.removal) {
    case PulleyRemoval::kFreeSide:
      return opening;
    case PulleyRemoval::kFront:
      return true;
    case PulleyRemoval::kRear:
      return false;
  }
  return opening;
}

}  // namespace leafstack
