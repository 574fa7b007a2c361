// B-spline curves of ISO 10303-42.
#pragma once

#include <memory>

#include "tests/part21/geometry/curve.h"

namespace leafstack::part21 {

/// B_SPLINE_CURVE_WITH_KNOTS, simple or as a complex instance with RATIONAL_B_SPLINE_CURVE. Null
/// for anything else and for knots that do not fit the control points.
std::unique_ptr<Curve> readSpline(const File& file, const Value& reference);

/// Parameter of the point of `curve` nearest to `point`, found by Newton steps from the best of
/// `starts`. Where `along` is given, distance is measured square to it (for extruded surfaces).
double nearestParameter(const Curve& curve, Vec3 point, const std::vector<double>& starts,
                        const Vec3* along = nullptr);

}  // namespace leafstack::part21
