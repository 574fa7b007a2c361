#include "generator/shop/welds/weld_group.h"

#include <algorithm>
#include <cmath>
#include <gp_Mat.hxx>
#include <gp_XYZ.hxx>
#include <limits>

namespace leafstack {

double weldGroupStress_N_mm2(const std::vector<WeldThroat>& welds, const Vec3& at_mm,
                             const Vec3& force_N) {
  const auto middleOf = [](const WeldThroat& weld) {
    return gp_XYZ(weld.from[0] + weld.to[0], weld.from[1] + weld.to[1], weld.from[2] + weld.to[2]) /
           2;
  };
  const auto alongOf = [](const WeldThroat& weld) {
    const Vec3 along = minus(weld.to, weld.from);
    return gp_XYZ(along[0], along[1], along[2]);
  };
  double area = 0;
  gp_XYZ centre;
  for (const WeldThroat& weld : welds) {
    const double throat = weld.throat_mm * alongOf(weld).Modulus();
    area += throat;
    centre += throat * middleOf(weld);
  }
  if (area <= 0) {
    return std::numeric_limits<double>::infinity();
  }
  centre /= area;
  // Of r r^T over the throats, and from that of (r x (turn x r)).
  double second[3][3] = {};
  for (const WeldThroat& weld : welds) {
    const gp_XYZ along = alongOf(weld), middle = middleOf(weld) - centre;
    const double throat = weld.throat_mm * along.Modulus();
    for (int i = 0; i < 3; ++i) {
      for (int j = 0; j < 3; ++j) {
        second[i][j] += throat * (middle.Coord(i + 1) * middle.Coord(j + 1) +
                                  along.Coord(i + 1) * along.Coord(j + 1) / 12);
      }
    }
  }
  const double trace = second[0][0] + second[1][1] + second[2][2];
  gp_Mat turning;
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) {
      turning.SetValue(i + 1, j + 1, (i == j ? trace : 0) - second[i][j]);
    }
  }
  constexpr double kHolds = 1e-6;  // of what an even group has
  if (turning.Determinant() <= kHolds * std::pow(trace / 3, 3)) {
    return std::numeric_limits<double>::infinity();
  }
  const gp_XYZ force(force_N[0], force_N[1], force_N[2]);
  const gp_XYZ moment = (gp_XYZ(at_mm[0], at_mm[1], at_mm[2]) - centre).Crossed(force);
  const gp_XYZ turn = moment.Multiplied(turning.Inverted());
  double most = 0;
  for (const WeldThroat& weld : welds) {
    for (const double end : {-0.5, 0.5}) {
      const gp_XYZ off = middleOf(weld) + end * alongOf(weld) - centre;
      most = std::max(most, (force / area + turn.Crossed(off)).Modulus());
    }
  }
  return most;
}

}  // namespace leafstack
