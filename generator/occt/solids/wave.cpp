#include "generator/occt/solids/wave.h"

#include <Geom2d_BSplineCurve.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColgp_Array1OfPnt2d.hxx>
#include <cmath>
#include <gp_Pnt2d.hxx>

#include "generator/geometry/numbers.h"

namespace leafstack {

Handle(Geom2d_Curve) waveOnCylinder(double from_rad, double middle_mm, double amplitude_mm) {
  constexpr int kDegree = 11;
  constexpr int kDerivatives = 6;
  TColgp_Array1OfPnt2d poles(0, kDegree);
  const auto derivative = [&](double t, int order) {
    return amplitude_mm * std::cos(t + order * kQuarter) + (order == 0 ? middle_mm : 0);
  };
  // Bezier's poles near an end from the derivatives there:
  // sum over j of C(k, j) (n - j)! / n! h^j f(j).
  for (int k = 0; k < kDerivatives; ++k) {
    double at_start = 0;
    double at_end = 0;
    double factor = 1;
    for (int j = 0; j <= k; ++j) {
      at_start += factor * derivative(from_rad, j);
      at_end += (j % 2 == 0 ? factor : -factor) * derivative(from_rad + kQuarter, j);
      factor *= kQuarter * (k - j) / ((j + 1.0) * (kDegree - j));
    }
    const double u = kQuarter * k / kDegree;
    poles(k) = gp_Pnt2d(u, at_start);
    poles(kDegree - k) = gp_Pnt2d(kQuarter - u, at_end);
  }
  TColStd_Array1OfReal knots(1, 2);
  knots(1) = from_rad;
  knots(2) = from_rad + kQuarter;
  TColStd_Array1OfInteger multiplicities(1, 2);
  multiplicities.Init(kDegree + 1);
  return new Geom2d_BSplineCurve(poles, knots, multiplicities, kDegree);
}

}  // namespace leafstack
