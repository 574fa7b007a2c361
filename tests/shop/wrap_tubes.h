// Tubes for the tests of wrap-around templates, and the way back from a template onto its tube.
#pragma once

#include <cmath>
#include <gp_XYZ.hxx>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "generator/shop/wrap/wrap_template.h"
#include "params/spec/section.h"
#include "tests/support/built_gates.h"

namespace leafstack::wrap_tubes {

inline constexpr double kPi = std::numbers::pi;
inline constexpr double kLaidMm = 0.01;  // what the templates are good to

/// The tube as the templates say it is, written without the generator's own unrolling: from the
/// part's bounds, the section's closed forms and the names of the walls.
struct Tube {
  HollowSection section;
  double radius = 0;
  int axis = 0;
  Bounds bounds;
  double sign = 1;  // of X of the template along the axis

  explicit Tube(const Part& part) {
    section = std::get<HollowSection>(parseSection(part.section));
    radius = (section.wall_mm <= 6 ? 2.0 : 2.5) * section.wall_mm;
    bounds = part.bounds;
    for (int i = 1; i < 3; ++i) {
      if (size(i) > size(axis)) axis = i;
    }
    sign = bounds.low[axis] + bounds.high[axis] < 0 ? -1 : 1;
  }
  double size(int i) const { return bounds.high[i] - bounds.low[i]; }

  gp_XYZ outward(const std::string& wall) const {
    if (wall == "front") return {0, -1, 0};
    if (wall == "rear") return {0, 1, 0};
    if (wall == "underside") return {0, 0, -1};
    if (wall == "top") return {0, 0, 1};
    const double away = bounds.low[0] + bounds.high[0] < 0 ? -1 : 1;  // from the part's origin
    return {wall == "leading side" ? -away : away, 0, 0};
  }
  gp_XYZ middle() const {
    gp_XYZ at((bounds.low[0] + bounds.high[0]) / 2, (bounds.low[1] + bounds.high[1]) / 2,
              (bounds.low[2] + bounds.high[2]) / 2);
    at.SetCoord(axis + 1, 0);
    return at;
  }
  double halfAlong(const gp_XYZ& way) const {
    return (std::abs(way.X()) * size(0) + std::abs(way.Y()) * size(1) +
            std::abs(way.Z()) * size(2)) /
           2;
  }

  /// Where a template's point lies in space.
  gp_XYZ laid(const WrapTemplate& made, double x, double y) const {
    gp_XYZ along(0, 0, 0);
    along.SetCoord(axis + 1, sign);
    const WrapWall* below = &made.walls.front();
    for (const WrapWall& wall : made.walls) {
      if (wall.from_mm <= y + 1e-9) below = &wall;
    }
    const gp_XYZ out = outward(below->name);
    const gp_XYZ left = out.Crossed(along);  // seen from outside, X to the right
    gp_XYZ at = middle() + along * x;
    const double to_end = halfAlong(left) - radius;
    const double past = y - below->to_mm;
    if (past <= 0) {
      // The first wall lacks its lower part, the last its upper one.
      const bool is_last = below == &made.walls.back();
      const double from_middle = is_last ? y - below->from_mm - to_end : past + to_end;
      return at + out * halfAlong(out) + left * from_middle;
    }
    const double turn = past / radius;
    at += out * (halfAlong(out) - radius) + left * to_end;
    return at + out * (radius * std::cos(turn)) + left * (radius * std::sin(turn));
  }
};

// Per piece; chords of the widest corner are then within 0.002 mm of it.
inline constexpr int kSteps = 64;

/// Points along a curve of the template, from its own definition.
inline std::vector<std::pair<double, double>> sampled(const WrapCurve& curve) {
  std::vector<std::pair<double, double>> points;
  if (curve.circle) {
    for (int i = 0; i < 2 * kSteps; ++i) {
      points.push_back({curve.circle->x_mm + curve.circle->radius_mm * std::cos(i * kPi / kSteps),
                        curve.circle->y_mm + curve.circle->radius_mm * std::sin(i * kPi / kSteps)});
    }
    return points;
  }
  const std::size_t count = curve.points.size();
  for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < count; ++i) {
    const WrapPoint& a = curve.points[i];
    const WrapPoint& b = curve.points[(i + 1) % count];
    for (int step = 0; step <= kSteps; ++step) {
      const double share = static_cast<double>(step) / kSteps;
      // A bulge b is an arc through the point b/2 of the chord's length to the right of its middle.
      const double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm;
      const double angle = 4 * std::atan(a.bulge);
      if (a.bulge == 0) {
        points.push_back({a.x_mm + share * dx, a.y_mm + share * dy});
        continue;
      }
      const double half = std::hypot(dx, dy) / 2;
      const double radius = half / std::sin(angle / 2);
      // From a, along the tangent, turning by share of the angle.
      const double heading = std::atan2(dy, dx) - angle / 2;
      const double chord = 2 * radius * std::sin(share * angle / 2);
      const double to = heading + share * angle / 2;
      points.push_back({a.x_mm + chord * std::cos(to), a.y_mm + chord * std::sin(to)});
    }
  }
  return points;
}

inline std::vector<const WrapCurve*> curvesOf(const WrapTemplate& made) {
  std::vector<const WrapCurve*> curves;
  for (const WrapCurve& curve : made.cutouts) curves.push_back(&curve);
  for (const WrapCurve& curve : made.ends) curves.push_back(&curve);
  return curves;
}

struct Case {
  const char* name;
  std::vector<std::pair<const char*, gates::Json>> changes;
};

inline Model modelOf(const Case& one, const char* hand, double grade) {
  gates::Json file = gates::gateFile({{"/site/opens", hand}, {"/site/grade", grade}});
  for (const auto& [pointer, value] : one.changes) {
    file[gates::Json::json_pointer(pointer)] = value;
  }
  const GateSpec spec = gates::specOf(file);
  return buildModel(spec, gates::laidOut(spec));
}

inline const std::vector<Case>& cases() {
  static const std::vector<Case> all = {
      {"100x50x3", {}},
      {"120x60x4",
       {{"/gate/bottom_rail", "RHS 120x60x4"},
        {"/gate/top_rail", "RHS 40x60x4"},
        {"/gate/stile", "RHS 40x60x4"},
        {"/ropes/pulley_inset_mm", 52},
        {"/gate/infill/kind", "slats"}}},
      {"recessed",
       {{"/guides/recess_mm", 12}, {"/gate/panels", 3}, {"/gate/infill/kind", "open"}}}};
  return all;
}

inline std::vector<WrapTemplate> templatesOf(const Model& model) {
  std::vector<WrapTemplate> all;
  for (const Part& part : model.parts) {
    if (auto made = wrapTemplateOf(part)) all.push_back(std::move(*made));
  }
  return all;
}

}  // namespace leafstack::wrap_tubes
