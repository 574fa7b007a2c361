// Curves of ISO 10303-42 that solids' edges lie on, evaluated without the kernel.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "tests/part21/geometry/vec.h"
#include "tests/part21/part21.h"

namespace leafstack::part21 {

class Curve {
 public:
  virtual ~Curve() = default;
  virtual Vec3 at(double t) const = 0;
  virtual Vec3 derivative(double t) const = 0;
  /// Parameter of the point of the curve nearest to `point`.
  virtual double parameterOf(Vec3 point) const = 0;
  /// 0 for a curve that does not close on itself.
  virtual double period() const { return 0; }
  /// [from, to] cut so finely that the 10-point rule is exact to rounding on each piece; first
  /// element is `from`, last is `to`; `to` may be less than `from`.
  virtual std::vector<double> pieces(double from, double to) const = 0;
};

/// LINE, CIRCLE, ELLIPSE and (rational) B_SPLINE_CURVE_WITH_KNOTS, also behind TRIMMED_CURVE,
/// SURFACE_CURVE and SEAM_CURVE. Null for anything else.
std::unique_ptr<Curve> readCurve(const File& file, const Value& reference);

std::optional<Vec3> readPoint(const File& file, const Value& reference);
/// DIRECTION, normalised; empty where it is missing or has no length.
std::optional<Vec3> readDirection(const File& file, const Value& reference);
/// VECTOR with its magnitude.
std::optional<Vec3> readVector(const File& file, const Value& reference);
/// AXIS2_PLACEMENT_3D with the defaults of ISO 10303-42; empty when it is malformed.
std::optional<Frame> readFrame(const File& file, const Value& reference);

/// [from, to] in equal pieces no longer than `longest`.
std::vector<double> equalPieces(double from, double to, double longest);

}  // namespace leafstack::part21
