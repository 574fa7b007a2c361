#include "generator/geometry/moving/relative_motion.h"

#include <cmath>

namespace leafstack {

Placement combined(const Placement& second, const Placement& first) {
  return {second(first.shift), second.cos * first.cos - second.sin * first.sin,
          second.sin * first.cos + second.cos * first.sin};
}

Placement inverse(const Placement& placement) {
  const Vec3 back = placement.turnedBack(placement.shift);
  return {minus({0, 0, 0}, back), placement.cos, -placement.sin};
}

Placement seenFrom(const Placement& frame, const Placement& motion, const Placement& place) {
  Placement seen;
  seen.shift = frame.turnedBack(minus(motion(place.shift), frame.shift));
  const bool alike = frame.cos == place.cos && frame.sin == place.sin;
  if (motion.turns() || !alike) {
    const Placement turn = combined(motion, place);
    seen.cos = frame.cos * turn.cos + frame.sin * turn.sin;
    seen.sin = frame.cos * turn.sin - frame.sin * turn.cos;
  }
  return seen;
}

Placement placementOf(const Pose& pose) {
  return {{pose.x_mm, 0, pose.z_mm}, pose.cos, pose.sin};
}

Placement between(const Placement& p, const Placement& q, double share) {
  return {plus(p.shift, minus(q.shift, p.shift), share), p.cos + share * (q.cos - p.cos),
          p.sin + share * (q.sin - p.sin)};
}

Bounds placedBox(const Placement& placement, const Bounds& box) {
  if (!placement.turns()) {
    return {plus(box.low, placement.shift), plus(box.high, placement.shift)};
  }
  Vec3 middle{};
  Vec3 half{};
  for (int axis = 0; axis < 3; ++axis) {
    middle[axis] = (box.low[axis] + box.high[axis]) / 2;
    half[axis] = (box.high[axis] - box.low[axis]) / 2;
  }
  const double cos = std::abs(placement.cos);
  const double sin = std::abs(placement.sin);
  const Vec3 reach = {cos * half[0] + sin * half[2], half[1], sin * half[0] + cos * half[2]};
  const Vec3 at = placement(middle);
  return {minus(at, reach), plus(at, reach)};
}

}  // namespace leafstack
