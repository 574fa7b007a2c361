// Flat parts in a panel's plane: sheets, boards and battens, cut to slopes where the ground asks
// it.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bored.h"

namespace leafstack {
namespace {

constexpr double kSameMm = 1e-6;

bool isRectangle(const Polygon& polygon) {
  const Field field = extentOf(polygon);
  return polygon.size() == 4 && std::all_of(polygon.begin(), polygon.end(), [&](const Point2& p) {
           return (std::abs(p.a - field.x0) < kSameMm || std::abs(p.a - field.x1) < kSameMm) &&
                  (std::abs(p.b - field.z0) < kSameMm || std::abs(p.b - field.z1) < kSameMm);
         });
}

}  // namespace

Polygon clipped(const Polygon& polygon, Point2 through, double grade, bool above) {
  const auto over = [&](const Point2& p) {
    const double height = p.b - through.b - grade * (p.a - through.a);
    return above ? height : -height;
  };
  Polygon kept;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Point2& p = polygon[i];
    const Point2& q = polygon[(i + 1) % polygon.size()];
    const double at_p = over(p);
    const double at_q = over(q);
    if (at_p >= -kSameMm) {  // on the line, but for rounding: no crossing stands in for it
      kept.push_back(p);
    }
    if ((at_p > kSameMm && at_q < -kSameMm) || (at_p < -kSameMm && at_q > kSameMm)) {
      const double share = at_p / (at_p - at_q);
      kept.push_back({p.a + share * (q.a - p.a), p.b + share * (q.b - p.b)});
    }
  }
  return kept.size() < 3 ? Polygon{} : kept;
}

Field extentOf(const Polygon& polygon) {
  Field field;
  if (polygon.empty()) {
    return field;
  }
  field = {polygon[0].a, polygon[0].a, polygon[0].b, polygon[0].b};
  for (const Point2& p : polygon) {
    field = {std::min(field.x0, p.a), std::max(field.x1, p.a), std::min(field.z0, p.b),
             std::max(field.z1, p.b)};
  }
  return field;
}

Polygon turnedBack(const Polygon& polygon, const Slope& slope) {
  Polygon turned;
  for (const Point2& p : polygon) {
    turned.push_back(
        {p.a * slope.cosine + p.b * slope.sine, p.b * slope.cosine - p.a * slope.sine});
  }
  return turned;
}

int placeFlat(ModelBuilder& builder, int panel, FlatPart flat, double y) {
  const Slope slope = Slope::of(flat.grade);
  flat.outline = turnedBack(flat.outline, slope);
  flat.holes = turnedBack(flat.holes, slope);
  const Field field = extentOf(flat.outline);
  const double t = flat.thickness_mm;
  if (flat.spec.section.words.empty()) {
    flat.spec.section = "sheet " + sizes({field.height(), field.width(), t});
    flat.spec.length_mm = std::max(field.width(), field.height());
  }
  std::vector<double> dimensions = {t};
  for (Point2& corner : flat.outline) {
    corner = {corner.a - field.x0, corner.b - field.z0};
    dimensions.insert(dimensions.end(), {corner.a, corner.b});
  }
  for (Point2& hole : flat.holes) {
    hole = {hole.a - field.x0, hole.b - field.z0};
    dimensions.insert(dimensions.end(), {hole.a, hole.b, flat.hole_mm, flat.sink_mm});
  }
  const int part = builder.part(flat.spec, dimensions, [=]() -> TopoDS_Shape {
    const TopoDS_Shape whole = isRectangle(flat.outline)
                                   ? box({0, 0, 0}, {field.width(), t, field.height()})
                                   : prism(Plane::kXZ, Outline::polygon(flat.outline), {0, t});
    std::vector<RoundHole> holes;
    for (const Point2& hole : flat.holes) {
      holes.push_back({.from_mm = {hole.a, 0, hole.b},
                       .into = {0, 1, 0},
                       .radius_mm = flat.hole_mm / 2,
                       .deep_mm = t,
                       .sink_mm = flat.sink_mm});
    }
    return holes.empty() ? whole : bored(whole, holes);
  });
  return builder.place(part, panel,
                       {field.x0 * slope.cosine - field.z0 * slope.sine, y,
                        field.x0 * slope.sine + field.z0 * slope.cosine},
                       slope);
}

}  // namespace leafstack
