#include "generator/clash/proof/requirements.h"

#include <algorithm>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Common practice, no source: what stops and catches leave to the panel they hold.
constexpr double kCatchClearanceMm = 3;

// Common practice, no source: the block's jaw off its panel's rear face.
constexpr double kBlockBesidePanelMm = 5;

bool isBracket(PartKind kind) {
  return kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket;
}

bool isOfBlock(PartKind kind) {
  return kind == PartKind::kGuideBlock || kind == PartKind::kGuideJaws ||
         kind == PartKind::kPivotBolt;
}

/// The row of the shelf that says how closely a part that catches or keeps stands, with what would
/// do; "" where there is none.
std::string closelyBy(PartKind kind, double required_mm) {
  const char* row = kind == PartKind::kCatchBuffer  ? "hardware.stop.gap_mm"
                    : kind == PartKind::kCatchPlate ? "hardware.stop.catch_gap_mm"
                    : kind == PartKind::kReceiver   ? "hardware.receiver.gap_mm"
                    : kind == PartKind::kLiftKeeper ? "hardware.keeper.lift_play_mm"
                                                    : nullptr;
  return row == nullptr ? "" : std::string(row) + " at least " + shown(required_mm) + " mm";
}

}  // namespace

Requirement requiredClearance(const GateSpec& spec, PartKind a, PartKind b) {
  const PartFamily one = rowOf(a).family;
  const PartFamily other = rowOf(b).family;
  if (one == PartFamily::kObstacle || other == PartFamily::kObstacle) {
    return {spec.site.obstacle_clearance_mm, "clearance to obstacles (site.obstacle_clearance_mm)"};
  }
  const bool fence = one == PartFamily::kFence || other == PartFamily::kFence;
  if (fence && (one == PartFamily::kHardware || other == PartFamily::kHardware)) {
    return {std::max(spec.checks.hardware_clearance_mm,
                     spec.site.fence_clearance_mm - spec.hardware.wheel.axle_projection_mm),
            "clearance to the fence, less the axle heads before the frame"};
  }
  if (fence) {
    return {spec.site.fence_clearance_mm, "clearance to the fence (site.fence_clearance_mm)"};
  }
  if (one == PartFamily::kCatch || other == PartFamily::kCatch) {
    const std::string row = closelyBy(one == PartFamily::kCatch ? a : b, kCatchClearanceMm);
    return {kCatchClearanceMm, "stops and catch plates hold the panel closely" +
                                   (row.empty() ? row : " (" + row + ")")};
  }
  if (one == PartFamily::kGuide && other == PartFamily::kGuide) {
    const double needed = spec.checks.guide_clearance_mm;
    const std::string row = closelyBy(a, needed) + closelyBy(b, needed);
    return {needed, "running clearance of guides (checks.guide_clearance_mm" +
                        (row.empty() ? row : "; " + row) + ")"};
  }
  if (one == PartFamily::kHardware && other == PartFamily::kHardware) {
    return {spec.checks.hardware_clearance_mm,
            "ropes and hardware pass each other closely (checks.hardware_clearance_mm)"};
  }
  if (isOfBlock(a) || isOfBlock(b)) {
    return {std::min(kBlockBesidePanelMm, spec.checks.clearance_mm),
            "a guide block runs close behind the panel it guides"};
  }
  // Uprights stand on the bottom rail, flush with its face.
  if ((isBracket(a) && b == PartKind::kStile) || (isBracket(b) && a == PartKind::kStile)) {
    return {std::min(spec.hardware.bracket.face_gap_mm, spec.checks.clearance_mm),
            "rope brackets pass the frame's face as closely as the bottom rail's"};
  }
  return {spec.checks.clearance_mm, "moving clearance (checks.clearance_mm)"};
}

Requirement withCoats(Requirement required, const ShopSpec& shop, const Part& a, const Part& b) {
  const double coats = coatOn_mm(shop, a) + coatOn_mm(shop, b);
  if (coats > 0) {
    required.clearance_mm += coats;
    required.coats_mm = coats;
    required.reason += ", and " + shown(coats) + " for what coats both (shop.coat_mm)";
  }
  return required;
}

}  // namespace leafstack
