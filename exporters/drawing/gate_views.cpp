#include "exporters/drawing/gate_views.h"

#include <algorithm>
#include <cmath>

#include "generator/occt/kernel_says.h"

namespace leafstack {
namespace {

TopLoc_Location atClosed(const Instance& instance) {
  return instance.at_closed;
}

}  // namespace

PictureView fromRoad() {
  return {{1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
}
PictureView fromProperty() {
  return {{-1, 0, 0}, {0, 0, 1}, {0, 1, 0}};
}
PictureView fromAbove() {
  return {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
}
PictureView fromBelow() {
  return {{1, 0, 0}, {0, -1, 0}, {0, 0, -1}};
}
PictureView alongOpening(double opening_sign) {
  return {{0, -opening_sign, 0}, {0, 0, 1}, {-opening_sign, 0, 0}};
}
PictureView fromAboveTilted(double grade) {
  const double c = 1 / std::sqrt(1 + grade * grade);
  return {{c, 0, grade * c}, {0, 1, 0}, {-grade * c, 0, c}};
}
PictureView alongOpeningTilted(double opening_sign, double grade) {
  const double c = 1 / std::sqrt(1 + grade * grade);
  const double s = opening_sign;
  return {{0, -s, 0}, {-grade * c, 0, c}, {-s * c, 0, -s * grade * c}};
}

std::shared_ptr<const ViewSolid> GateViews::solidOf(int part) const {
  auto& solid = solids_[part];
  if (!solid) {
    const Part& drawn = model_.parts.at(part);
    kernelSays(drawn.in_words, [&] { solid = viewSolid(drawn.solid); });
  }
  return solid;
}

PlacedViewSolid GateViews::placed(int instance, double drive_mm) const {
  const Instance& one = model_.instances.at(instance);
  PlacedViewSolid made;
  made.solid = solidOf(one.part);
  made.location = drive_mm == 0 ? atClosed(one) : locationAt(model_, one, drive_mm);
  return made;
}

Bounds GateViews::boundsAt(int instance, double drive_mm) const {
  const Instance& one = model_.instances.at(instance);
  const Pose pose = model_.poseAt(one.body, drive_mm);
  Bounds bounds;
  bounds.low.fill(std::numeric_limits<double>::infinity());
  bounds.high.fill(-std::numeric_limits<double>::infinity());
  for (int corner = 0; corner < 8; ++corner) {
    Vec3 point{};
    for (int axis = 0; axis < 3; ++axis) {
      point[axis] = (corner >> axis & 1) != 0 ? one.bounds.high[axis] : one.bounds.low[axis];
    }
    point = carried(pose, point);
    for (int axis = 0; axis < 3; ++axis) {
      bounds.low[axis] = std::min(bounds.low[axis], point[axis]);
      bounds.high[axis] = std::max(bounds.high[axis], point[axis]);
    }
  }
  return bounds;
}

Scene sceneOf(const GateViews& views, double drive_mm,
              const std::function<bool(const Instance&)>& is_in) {
  Scene scene;
  const std::vector<Instance>& instances = views.model().instances;
  for (int i = 0; i < static_cast<int>(instances.size()); ++i) {
    if (is_in(instances[i])) {
      scene.solids.push_back(views.placed(i, drive_mm));
      scene.instances.push_back(i);
    }
  }
  return scene;
}

bool isMainPart(PartKind kind) {
  switch (kind) {
    case PartKind::kBottomRail:
    case PartKind::kTopRail:
    case PartKind::kStile:
    case PartKind::kUpright:
    case PartKind::kReturnUpright:
    case PartKind::kGuidePost:
    case PartKind::kGuideArm:
    case PartKind::kMotor:
    case PartKind::kFencePost:
    case PartKind::kFooting:
    case PartKind::kCatchPost:
    case PartKind::kSheet:
      return true;
    case PartKind::kPicket:
    case PartKind::kSlat:
    case PartKind::kBoard:
    case PartKind::kBatten:
    case PartKind::kReturnRail:
    case PartKind::kReturnInfill:
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
    case PartKind::kGuideRail:
    case PartKind::kGuideChannel:
    case PartKind::kChannelPacker:
    case PartKind::kGuideBlock:
    case PartKind::kBasePlate:
    case PartKind::kRack:
    case PartKind::kRackStandoff:
    case PartKind::kPinion:
    case PartKind::kMotorPacker:
    case PartKind::kTrack:
    case PartKind::kEndStop:
    case PartKind::kCatchPlate:
    case PartKind::kCatchBuffer:
      return false;
  }
  return false;
}

}  // namespace leafstack
