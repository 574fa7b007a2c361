#include "exporters/paper/blocks/gate_views.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "generator/geometry/in_parallel.h"
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

GateViews::GateViews(const Model& model) : model_(model), solids_(model.parts.size()) {
  inParallel(static_cast<int>(solids_.size()), [&](int part) {
    const Part& drawn = model.parts.at(part);
    kernelSays(drawn.in_words, [&] { solids_.at(part) = viewSolid(drawn.solid); });
  });
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

}  // namespace leafstack
