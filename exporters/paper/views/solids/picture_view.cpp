#include "exporters/paper/views/solids/picture_view.h"

#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/geometry/triangles.h"

namespace leafstack {
namespace {

// Chosen by eye. The gate is five times as long as it is high and a fortieth as deep: a true
// isometric view would climb 30 degrees and leave most of the sheet white.
constexpr double kTurnDeg = 29;
constexpr double kRaiseDeg = 24;

}  // namespace

PictureView roadView(double opening_sign) {
  const double side = std::sin(kTurnDeg / kDegreesPerRadian) * opening_sign;
  const double ahead = std::cos(kTurnDeg / kDegreesPerRadian);
  const double level = std::cos(kRaiseDeg / kDegreesPerRadian);
  const double above = std::sin(kRaiseDeg / kDegreesPerRadian);
  PictureView view;
  view.right = {ahead, -side, 0};
  view.up = {above * side, above * ahead, level};
  view.toward = {-level * side, -level * ahead, above};
  return view;
}

Vec3 seen(const PictureView& view, const Vec3& point) {
  return {dot(view.right, point), dot(view.up, point), dot(view.toward, point)};
}

}  // namespace leafstack
