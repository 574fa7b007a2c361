#include "generator/shop/wrap/wrap_skin.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Vertex.hxx>
#include <algorithm>
#include <cmath>
#include <functional>
#include <gp_Cylinder.hxx>
#include <gp_Pln.hxx>
#include <map>

#include "generator/geometry/bounds.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/sections.h"
#include "generator/occt/checked.h"
#include "generator/shop/wrap/wrap_curves.h"

namespace leafstack {
namespace {

// Skin faces lie where the section says to rounding; bores are a wall's thickness away.
constexpr double kOnSkinMm = 1e-6;

gp_XYZ unit(int axis) {
  gp_XYZ direction(0, 0, 0);
  direction.SetCoord(axis + 1, 1);
  return direction;
}

bool runsAlong(const gp_Dir& direction, int axis) {
  return std::abs(std::abs(direction.Coord(axis + 1)) - 1) < kOnSkinMm;
}

/// Size of a section along one axis of a part whose tube runs along `tube_axis`.
double sizeAlong(const HollowSection& section, int axis, int tube_axis) {
  const bool in_plane = axis == kAlongZ || (axis == kAlongX && tube_axis == kAlongZ);
  return in_plane ? section.height_mm : section.depth_mm;
}

struct Spread {
  double low = 1e300, high = -1e300;
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
};

double distanceToChord(const WrapPoint& p, const WrapPoint& from, const WrapPoint& to) {
  const double dx = to.x_mm - from.x_mm;
  const double dy = to.y_mm - from.y_mm;
  const double length = std::hypot(dx, dy);
  const double px = p.x_mm - from.x_mm;
  const double py = p.y_mm - from.y_mm;
  return length < kOnSkinMm ? std::hypot(px, py) : std::abs(px * dy - py * dx) / length;
}

/// Points of a curve after its first, so near each other that chords will do.
class Sampler {
 public:
  Sampler(std::function<WrapPoint(double)> curve, std::vector<WrapPoint>& points)
      : curve_(std::move(curve)), points_(points) {}

  void walk(double from, double to, int depth = 0) {
    constexpr int kDeepest = 14;
    const WrapPoint start = curve_(from);
    const WrapPoint end = curve_(to);
    // Probes may miss the widest place: half the allowance makes up for it.
    double stray = 0;
    for (double share : {0.25, 0.5, 0.75}) {
      stray = std::max(stray, distanceToChord(curve_(from + share * (to - from)), start, end));
    }
    if (stray <= kWrapCurveMm / 2 || depth == kDeepest) {
      points_.push_back(end);
      return;
    }
    const double middle = (from + to) / 2;
    walk(from, middle, depth + 1);
    walk(middle, to, depth + 1);
  }

 private:
  std::function<WrapPoint(double)> curve_;
  std::vector<WrapPoint>& points_;
};

/// The bulge of the arc from `from` through its middle to `to`.
double bulgeOf(const WrapPoint& from, const WrapPoint& middle, const WrapPoint& to, double angle) {
  const double turn = (middle.x_mm - from.x_mm) * (to.y_mm - middle.y_mm) -
                      (middle.y_mm - from.y_mm) * (to.x_mm - middle.x_mm);
  return std::copysign(std::tan(angle / 4), turn);
}

}  // namespace

TubeSkin::TubeSkin(const TopoDS_Shape& solid, const HollowSection& section, std::string what)
    : what_(std::move(what)), radius_mm_(cornerRadii(section).outer_mm) {
  if (!takeAxis(solid, section, kAlongX) && !takeAxis(solid, section, kAlongY) &&
      !takeAxis(solid, section, kAlongZ)) {
    throw GeometryError(what_ + ": not the four corners of " + section.designation);
  }
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    if (const std::optional<Place> place = placeOf(face)) {
      faces_.push_back({face, *place});
    }
  }
}

/// True when the solid has the section's outer corners along `axis`; takes its place from them.
bool TubeSkin::takeAxis(const TopoDS_Shape& solid, const HollowSection& section, int axis) {
  std::array<Spread, 3> centres;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const BRepAdaptor_Surface surface(TopoDS::Face(faces.Current()), /*restriction=*/false);
    if (surface.GetType() != GeomAbs_Cylinder) {
      continue;
    }
    const gp_Cylinder cylinder = surface.Cylinder();
    if (runsAlong(cylinder.Axis().Direction(), axis) &&
        std::abs(cylinder.Radius() - radius_mm_) < kOnSkinMm) {
      for (int i = 0; i < 3; ++i) {
        centres[i].take(cylinder.Location().Coord(i + 1));
      }
    }
  }
  centre_ = gp_XYZ(0, 0, 0);
  for (int i = 0; i < 3; ++i) {
    if (i == axis) {
      continue;
    }
    half_mm_[i] = sizeAlong(section, i, axis) / 2;
    const double apart = 2 * (half_mm_[i] - radius_mm_);
    if (std::abs(centres[i].high - centres[i].low - apart) > kOnSkinMm) {
      return false;
    }
    centre_.SetCoord(i + 1, (centres[i].low + centres[i].high) / 2);
  }
  axis_ = axis;
  const Bounds bounds = tightBounds(solid);
  setDirections((bounds.low[axis] + bounds.high[axis]) / 2);
  layFlats();
  return true;
}

void TubeSkin::setDirections(double middle_mm) {
  along_ = unit(axis_) * (middle_mm < 0 ? -1.0 : 1.0);
  const int across = axis_ == kAlongY ? kAlongX : kAlongY;
  across_ = unit(across);
  up_ = across_.Crossed(along_);
  half_across_mm_ = half_mm_[across];
  half_up_mm_ = half_mm_[3 - axis_ - across];
}

void TubeSkin::layFlats() {
  const std::array<gp_XYZ, 4> outward = {across_, up_, across_ * -1.0, up_ * -1.0};
  double y = 0;
  for (int i = 0; i < 4; ++i) {
    const double flat = 2 * ((i % 2 == 0 ? half_up_mm_ : half_across_mm_) - radius_mm_);
    flats_[i] = {wallName(outward[i]), y, y + flat};
    y += flat + kQuarter * radius_mm_;
  }
  girth_mm_ = y;
}

/// By the part's frame. A mirrored part lies on the other side of its origin, so that its leading
/// side is the one at the origin all the same.
std::string TubeSkin::wallName(const gp_XYZ& outward) const {
  if (std::abs(outward.Y()) > 0.5) {
    return outward.Y() < 0 ? "front" : "rear";
  }
  if (std::abs(outward.Z()) > 0.5) {
    return outward.Z() < 0 ? "underside" : "top";
  }
  return outward.X() * centre_.X() < 0 ? "leading side" : "trailing side";
}

std::string TubeSkin::datum() const {
  switch (axis_) {
    case kAlongX:
      return "leading end, at the underside";
    case kAlongY:
      return "front end";
    default:
      return "lower end, at the leading side";
  }
}

std::optional<TubeSkin::Place> TubeSkin::placeOf(const TopoDS_Face& face) const {
  const BRepAdaptor_Surface surface(face, /*restriction=*/false);
  const auto at = [&](const gp_Pnt& point, double u, double v) {
    const gp_XYZ from_centre = point.XYZ() - centre_;
    return std::abs(from_centre.Dot(across_) - u) < kOnSkinMm &&
           std::abs(from_centre.Dot(up_) - v) < kOnSkinMm;
  };
  if (surface.GetType() == GeomAbs_Plane) {
    const gp_Pln plane = surface.Plane();
    const gp_XYZ normal = plane.Axis().Direction().XYZ();
    const gp_XYZ from_centre = plane.Location().XYZ() - centre_;
    for (const bool is_across : {true, false}) {
      const gp_XYZ& way = is_across ? across_ : up_;
      const double half = is_across ? half_across_mm_ : half_up_mm_;
      const double off = from_centre.Dot(way);
      if (std::abs(std::abs(normal.Dot(way)) - 1) < kOnSkinMm &&
          std::abs(std::abs(off) - half) < kOnSkinMm) {
        return Place{(is_across ? 0 : 1) + (off < 0 ? 2 : 0), false};
      }
    }
  } else if (surface.GetType() == GeomAbs_Cylinder) {
    const gp_Cylinder cylinder = surface.Cylinder();
    if (!runsAlong(cylinder.Axis().Direction(), axis_) ||
        std::abs(cylinder.Radius() - radius_mm_) > kOnSkinMm) {
      return {};
    }
    const double u = half_across_mm_ - radius_mm_;
    const double v = half_up_mm_ - radius_mm_;
    const gp_Pnt centre = cylinder.Location();
    if (at(centre, u, v)) return Place{0, true};
    if (at(centre, -u, v)) return Place{1, true};
    if (at(centre, -u, -v)) return Place{2, true};
    if (at(centre, u, -v)) return Place{3, true};
  }
  return {};
}

WrapPoint TubeSkin::unrolled(const Place& place, const gp_Pnt& point) const {
  const gp_XYZ from_centre = point.XYZ() - centre_;
  const double x = point.XYZ().Dot(along_);
  // As seen with this flat's outward direction turned to `across`.
  const std::array<double, 2> seen = {from_centre.Dot(across_), from_centre.Dot(up_)};
  const bool swapped = place.flat % 2 == 1;
  const double out = (place.flat < 2 ? 1 : -1) * (swapped ? seen[1] : seen[0]);
  const double left = (place.flat == 0 || place.flat == 3 ? 1 : -1) * (swapped ? seen[0] : seen[1]);
  const double half_out = (swapped ? half_up_mm_ : half_across_mm_) - radius_mm_;
  const double half_left = (swapped ? half_across_mm_ : half_up_mm_) - radius_mm_;
  const WrapWall& flat = flats_[place.flat];
  if (!place.is_corner) {
    return {x, flat.from_mm + half_left + left};
  }
  return {x, flat.to_mm + radius_mm_ * std::atan2(left - half_left, out - half_out)};
}

/// The edge in its own direction; the last point is the next edge's first.
std::vector<WrapPoint> TubeSkin::unrolledEdge(const Place& place, const TopoDS_Edge& edge) const {
  const BRepAdaptor_Curve curve(edge);
  double from = curve.FirstParameter();
  double to = curve.LastParameter();
  if (edge.Orientation() == TopAbs_REVERSED) {
    std::swap(from, to);
  }
  const auto at = [&](double t) { return unrolled(place, curve.Value(t)); };
  std::vector<WrapPoint> points = {at(from)};
  if (curve.GetType() == GeomAbs_Circle && !place.is_corner) {
    // In halves, so that a whole circle is two arcs.
    const double middle = (from + to) / 2;
    const double angle = std::abs(to - from) / 2;
    points.push_back(at(middle));
    points.push_back(at(to));
    points[0].bulge = bulgeOf(points[0], at((from + middle) / 2), points[1], angle);
    points[1].bulge = points[0].bulge;
    if (2 * angle < kQuarter + kOnSkinMm) {  // a fillet stays one arc
      points[0].bulge = bulgeOf(points[0], points[1], points[2], 2 * angle);
      points.erase(points.begin() + 1);
    }
  } else {
    Sampler(at, points).walk(from, to);
  }
  return points;
}

namespace {

/// A boundary edge of the skin, unrolled: on one skin face only.
struct BoundaryEdge {
  std::vector<WrapPoint> points;
  int from_vertex = 0, to_vertex = 0;
};

/// The circle that every piece of a loop lies on, if there is one.
std::optional<WrapCircle> wholeCircle(const std::vector<WrapPoint>& points) {
  std::optional<WrapCircle> found;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const WrapPiece piece{points[i], points[(i + 1) % points.size()]};
    if (!piece.isArc()) {
      return {};
    }
    const WrapCircle circle = piece.circle();
    if (found && (std::hypot(circle.x_mm - found->x_mm, circle.y_mm - found->y_mm) > kOnSkinMm ||
                  std::abs(circle.radius_mm - found->radius_mm) > kOnSkinMm)) {
      return {};
    }
    found = circle;
  }
  return found;
}

/// The edges from `start` on, end to end, taken out of `leaving` (edge by the vertex it leaves).
SkinLoop chained(const std::vector<BoundaryEdge>& edges, std::map<int, int>& leaving, int start,
                 double girth_mm) {
  SkinLoop loop;
  double shift = 0;
  int vertex = start;
  double last_y = 0;
  for (auto next = leaving.find(vertex); next != leaving.end(); next = leaving.find(vertex)) {
    const BoundaryEdge& edge = edges[next->second];
    leaving.erase(next);
    if (!loop.points.empty()) {
      shift = std::round((last_y - edge.points.front().y_mm) / girth_mm) * girth_mm;
    }
    for (std::size_t i = 0; i + 1 < edge.points.size(); ++i) {
      loop.points.push_back(edge.points[i]);
      loop.points.back().y_mm += shift;
    }
    last_y = edge.points.back().y_mm + shift;
    vertex = edge.to_vertex;
  }
  if (vertex != start) {
    throw GeometryError("an outline on the tube's skin does not close");
  }
  loop.turns = static_cast<int>(std::lround((last_y - loop.points.front().y_mm) / girth_mm));
  loop.circle = wholeCircle(loop.points);
  return loop;
}

}  // namespace

std::vector<SkinLoop> TubeSkin::loops() const {
  TopTools_IndexedMapOfShape known;
  std::vector<int> uses;
  const auto indexOf = [&](const TopoDS_Shape& edge) {
    const int index = known.Add(edge) - 1;
    uses.resize(std::max<std::size_t>(uses.size(), index + 1));
    return index;
  };
  for (const SkinFace& skin : faces_) {
    for (TopExp_Explorer each(skin.face, TopAbs_EDGE); each.More(); each.Next()) {
      ++uses[indexOf(each.Current())];
    }
  }
  TopTools_IndexedMapOfShape vertices;
  std::vector<BoundaryEdge> edges;
  std::map<int, int> leaving;
  for (const SkinFace& skin : faces_) {
    for (TopExp_Explorer each(skin.face, TopAbs_EDGE); each.More(); each.Next()) {
      const TopoDS_Edge edge = TopoDS::Edge(each.Current());
      if (uses[indexOf(edge)] != 1) {
        continue;
      }
      const int from = vertices.Add(TopExp::FirstVertex(edge, /*CumOri=*/true));
      const int to = vertices.Add(TopExp::LastVertex(edge, /*CumOri=*/true));
      edges.push_back({unrolledEdge(skin.place, edge), from, to});
      if (!leaving.emplace(from, static_cast<int>(edges.size()) - 1).second) {
        throw GeometryError(what_ + ": cut-outs touch each other at a point");
      }
    }
  }
  std::vector<SkinLoop> loops;
  while (!leaving.empty()) {
    // The first edge found, for the same order every time.
    const auto first =
        std::min_element(leaving.begin(), leaving.end(),
                         [](const auto& a, const auto& b) { return a.second < b.second; });
    loops.push_back(chained(edges, leaving, first->first, girth_mm_));
  }
  return loops;
}

}  // namespace leafstack
