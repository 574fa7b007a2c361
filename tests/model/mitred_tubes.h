// Tubes with ends cut aslant, and what the closed forms need of them.
#pragma once

#include <TopExp.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "generator/occt/checked.h"
#include "generator/occt/solids/mitre.h"
#include "generator/occt/solids/tube.h"

namespace leafstack::mitred {

using std::numbers::pi;

inline constexpr double kRelative = 1e-9;

/// Of a tube: what the closed forms need.
struct Tube {
  Plane along = Plane::kYZ;
  HollowSection section;
  double length_mm = 0;
  EndSlopes ends;

  TopoDS_Shape solid() const { return mitredSection(along, section, length_mm, ends); }
  /// At height `q` (Z, or X of an upright).
  double lengthAt(double q) const { return length_mm + (ends.end - ends.start) * q; }
  double middleLength() const { return lengthAt(section.height_mm / 2); }
};

/// EN 10219-2 section formulas, as in oracle_sections_test.cpp: outer radius 2 t, inner t (t <= 6).
inline double areaMm2(const HollowSection& s) {
  const double t = s.wall_mm;
  return 2 * t * (s.height_mm + s.depth_mm - 2 * t) - (4 - pi) * 3 * t * t;
}
inline double perimetersMm(const HollowSection& s) {
  const double t = s.wall_mm;
  const double outer = 2 * (s.height_mm + s.depth_mm) - (8 - 2 * pi) * 2 * t;
  return outer + 2 * (s.height_mm + s.depth_mm - 4 * t) - (8 - 2 * pi) * t;
}

inline const std::vector<Tube>& tubes() {
  static const std::vector<Tube> all = {{Plane::kYZ, {50, 50, 3, ""}, 1000, {0.1, 0.1}},
                                        {Plane::kYZ, {100, 50, 4, ""}, 3000, {-0.05, 0.3}},
                                        {Plane::kYZ, {80, 40, 3, ""}, 400, {0.3, -0.3}},
                                        {Plane::kYZ, {60, 40, 4, ""}, 700, {0, 0.2}},
                                        {Plane::kXY, {50, 50, 3, ""}, 1200, {0.12, 0.25}},
                                        {Plane::kXY, {60, 40, 3, ""}, 900, {-0.3, -0.3}},
                                        {Plane::kXY, {25, 25, 2, ""}, 60, {0.002, 0}},
                                        {Plane::kXY, {120, 60, 4, ""}, 100, {0.3, -0.3}}};
  return all;
}

inline std::string nameOf(const Tube& tube) {
  return std::string(tube.along == Plane::kYZ ? "along X " : "upright ") +
         std::to_string(tube.section.height_mm) + " " + std::to_string(tube.ends.start) + " " +
         std::to_string(tube.ends.end);
}

inline double volumeOf(const TopoDS_Shape& solid) {
  return massProperties(checkedSolid(solid, "mitred")).volume_mm3;
}

inline int countOf(const TopoDS_Shape& solid, TopAbs_ShapeEnum kind) {
  TopTools_IndexedMapOfShape all;
  TopExp::MapShapes(solid, kind, all);
  return all.Extent();
}

/// Ends are the section's area stretched by the slope.
inline double expectedSurface(const Tube& tube) {
  return perimetersMm(tube.section) * tube.middleLength() +
         areaMm2(tube.section) * (std::hypot(1, tube.ends.start) + std::hypot(1, tube.ends.end));
}

}  // namespace leafstack::mitred
