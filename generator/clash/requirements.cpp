#include "generator/clash/requirements.h"

#include <algorithm>

#include "generator/hardware.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// Families of parts; a pair's class follows from its two families.
enum class Family { kBody, kGuide, kHardware, kCatch, kFence };

// Common practice, no source: what stops and catches leave to the panel they hold.
constexpr double kCatchClearanceMm = 3;

// Common practice, no source: the block's jaw off its panel's rear face.
constexpr double kBlockBesidePanelMm = 5;

Family familyOf(PartKind kind) {
  switch (kind) {
    case PartKind::kTopRail:
    case PartKind::kStile:
    case PartKind::kUpright:
    case PartKind::kPicket:
    case PartKind::kSlat:
    case PartKind::kSheet:
    case PartKind::kBoard:
    case PartKind::kBatten:
    case PartKind::kReturnUpright:
    case PartKind::kReturnRail:
    case PartKind::kReturnInfill:
    case PartKind::kGuidePost:
    case PartKind::kGuideArm:
    case PartKind::kCatchPost:
      return Family::kBody;
    case PartKind::kGuideRail:
    case PartKind::kGuideChannel:
    case PartKind::kChannelPacker:
    case PartKind::kGuideBlock:
      return Family::kGuide;
    case PartKind::kBottomRail:
    case PartKind::kWheel:
    case PartKind::kAxle:
    case PartKind::kPulley:
    case PartKind::kPulleyBolt:
    case PartKind::kSpacer:
    case PartKind::kFrontBracket:
    case PartKind::kRearBracket:
    case PartKind::kGroundBracket:
    case PartKind::kRopeStud:
    case PartKind::kRope:
    case PartKind::kBasePlate:
    case PartKind::kRack:
    case PartKind::kRackStandoff:
    case PartKind::kPinion:
    case PartKind::kMotor:
    case PartKind::kMotorPacker:
    case PartKind::kTrack:
    case PartKind::kFooting:
      return Family::kHardware;
    case PartKind::kEndStop:
    case PartKind::kCatchPlate:
    case PartKind::kCatchBuffer:
      return Family::kCatch;
    case PartKind::kFencePost:
      return Family::kFence;
  }
  return Family::kBody;
}

bool isBracket(PartKind kind) {
  return kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket;
}

/// Uprights stand on the bottom rail, flush with its face.
bool isUpright(PartKind kind) {
  return kind == PartKind::kStile || kind == PartKind::kUpright;
}

}  // namespace

Requirement requiredClearance(const GateSpec& spec, PartKind a, PartKind b) {
  const Family one = familyOf(a);
  const Family other = familyOf(b);
  const bool fence = one == Family::kFence || other == Family::kFence;
  if (fence && (one == Family::kHardware || other == Family::kHardware)) {
    return {std::max(spec.checks.hardware_clearance_mm,
                     spec.site.fence_clearance_mm - hw::kAxleProjectionMm),
            "clearance to the fence, less the axle heads before the frame"};
  }
  if (fence) {
    return {spec.site.fence_clearance_mm, "clearance to the fence (site.fence_clearance_mm)"};
  }
  if (one == Family::kCatch || other == Family::kCatch) {
    return {kCatchClearanceMm, "stops and catch plates hold the panel closely"};
  }
  if (one == Family::kGuide && other == Family::kGuide) {
    return {spec.checks.guide_clearance_mm,
            "running clearance of guides (checks.guide_clearance_mm)"};
  }
  if (one == Family::kHardware && other == Family::kHardware) {
    return {spec.checks.hardware_clearance_mm,
            "ropes and hardware pass each other closely (checks.hardware_clearance_mm)"};
  }
  if (a == PartKind::kGuideBlock || b == PartKind::kGuideBlock) {
    return {std::min(kBlockBesidePanelMm, spec.checks.clearance_mm),
            "a guide block runs close behind the panel it guides"};
  }
  if ((isBracket(a) && isUpright(b)) || (isBracket(b) && isUpright(a))) {
    return {std::min(hw::kBracketFaceGapMm, spec.checks.clearance_mm),
            "rope brackets pass the frame's face as closely as the bottom rail's"};
  }
  return {spec.checks.clearance_mm, "moving clearance (checks.clearance_mm)"};
}

}  // namespace leafstack
