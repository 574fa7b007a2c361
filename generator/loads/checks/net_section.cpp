#include "generator/loads/checks/net_section.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

/// A strip that is missing, from the tube's middle: y across, z up.
struct Strip {
  double width_mm = 0, height_mm = 0;  ///< along y and z
  double y_mm = 0, z_mm = 0;

  double area() const { return width_mm * height_mm; }
};

bool isSide(TubeWall wall) {
  return wall == TubeWall::kFront || wall == TubeWall::kRear;
}

Strip stripOf(const HollowSection& tube, const WallGap& gap) {
  const double t = tube.wall_mm, long_mm = gap.high_mm - gap.low_mm;
  const double middle = (gap.low_mm + gap.high_mm) / 2;
  if (isSide(gap.wall)) {
    const double y = (tube.depth_mm - t) / 2;
    return {t, long_mm, gap.wall == TubeWall::kFront ? -y : y, middle - tube.height_mm / 2};
  }
  const double z = (tube.height_mm - t) / 2;
  return {long_mm, t, middle - tube.depth_mm / 2, gap.wall == TubeWall::kBottom ? -z : z};
}

double cubed(double x) {
  return x * x * x;
}

/// Of what is left, about its own centroid `off_mm` from the tube's middle.
double modulus(double second_mm4, double area_mm2, double off_mm, double half_mm) {
  const double left = second_mm4 - area_mm2 * off_mm * off_mm;
  return std::max(left, 0.0) / (half_mm + std::abs(off_mm));
}

double leftOf(const HollowSection& tube, std::span<const WallGap> gaps, TubeWall wall) {
  const double width = (isSide(wall) ? tube.height_mm : tube.depth_mm) - tube.wall_mm;
  double gone = 0;
  for (const WallGap& gap : gaps) {
    gone += gap.wall == wall ? gap.high_mm - gap.low_mm : 0;
  }
  return std::max(0.0, 1 - gone / width);
}

}  // namespace

NetSection netSection(const HollowSection& tube, std::span<const WallGap> gaps) {
  const SectionProperties across = bendingAcross(tube), upright = bendingUpright(tube);
  double area = across.area_mm2, first_y = 0, first_z = 0;
  double second_y = across.second_moment_mm4, second_z = upright.second_moment_mm4;
  for (const WallGap& gap : gaps) {
    const Strip strip = stripOf(tube, gap);
    area -= strip.area();
    first_y -= strip.area() * strip.y_mm;
    first_z -= strip.area() * strip.z_mm;
    second_y -=
        strip.height_mm * cubed(strip.width_mm) / 12 + strip.area() * strip.y_mm * strip.y_mm;
    second_z -=
        strip.width_mm * cubed(strip.height_mm) / 12 + strip.area() * strip.z_mm * strip.z_mm;
  }
  NetSection net;
  net.area_mm2 = std::max(area, 0.0);
  if (net.area_mm2 > 0) {
    net.across_mm3 = modulus(second_y, area, first_y / area, tube.depth_mm / 2);
    net.upright_mm3 = modulus(second_z, area, first_z / area, tube.height_mm / 2);
  }
  net.sides_left =
      std::min(leftOf(tube, gaps, TubeWall::kFront), leftOf(tube, gaps, TubeWall::kRear));
  net.flanges_left =
      std::min(leftOf(tube, gaps, TubeWall::kBottom), leftOf(tube, gaps, TubeWall::kTop));
  return net;
}

}  // namespace leafstack
