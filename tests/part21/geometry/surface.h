// Surfaces of ISO 10303-42 that solids' faces lie on, evaluated without the kernel.
#pragma once

#include <memory>
#include <vector>

#include "tests/part21/geometry/curve.h"

namespace leafstack::part21 {

struct Parameters {
  double u = 0, v = 0;
};

/// A parametric surface. The normal of the standard's parametrisation is at_u x at_v.
class Surface {
 public:
  virtual ~Surface() = default;
  virtual Vec3 at(Parameters p) const = 0;
  virtual Vec3 alongU(Parameters p) const = 0;
  virtual Vec3 alongV(Parameters p) const = 0;
  /// Parameters of a point that lies on the surface.
  virtual Parameters parametersOf(Vec3 point) const = 0;
  virtual double periodU() const { return 0; }
  virtual double periodV() const { return 0; }
  /// Longest step in u and in v over which the 10-point rule is exact to rounding.
  virtual Parameters longestStep() const { return {1e30, 1e30}; }
  /// v where the surface shrinks to a point, lowest first.
  virtual std::vector<double> poles() const { return {}; }
  /// True for surfaces that enclose a volume by themselves (sphere, torus), whose faces may cover
  /// all of them but a hole.
  virtual bool isClosed() const { return false; }
};

/// PLANE, CYLINDRICAL_, CONICAL_, SPHERICAL_ and TOROIDAL_SURFACE, SURFACE_OF_LINEAR_EXTRUSION, and
/// SURFACE_OF_REVOLUTION of a profile that lies in a plane with the axis and does not reach it.
/// Null for anything else, for malformed ones and for tori that cut themselves.
std::unique_ptr<Surface> readSurface(const File& file, const Value& reference);

}  // namespace leafstack::part21
