#include "generator/shop/welds/contact_patch.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepTools.hxx>
#include <BRepTools_WireExplorer.hxx>
#include <GCPnts_QuasiUniformDeflection.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedDataMapOfShapeListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Pln.hxx>
#include <limits>
#include <polyclipping/clipper.hpp>
#include <utility>

namespace leafstack {
namespace {

using ClipperLib::IntPoint;
using ClipperLib::Path;
using ClipperLib::Paths;

constexpr double kPlacesPerMm = 1e5;  // 20 m are 2e9 places, far inside the library's range
constexpr double kChordHeightMm = 0.02;
constexpr double kOnePlaneMm = 1e-3;    // beyond the gap that the contact permits
constexpr double kOpposite = 1 - 1e-9;  // of unit normals
constexpr double kSameEdgeMm = 1e-3;    // from a patch's edge to the face's that it lies on
constexpr double kLeastPatchMm2 = 1;    // less is a line that two parts share, no face
constexpr double kStraightPlaces = 3;   // corners of a straight run that rounding left
constexpr double kLeaving = 1e-3;       // cosine: flatter than this a ray runs along a side
constexpr double kInsideMm = 0.25;      // of an edge, where a thickness is looked for

Vec3 vec(const gp_XYZ& v) {
  return {v.X(), v.Y(), v.Z()};
}
gp_Pnt pnt(const Vec3& v) {
  return {v[0], v[1], v[2]};
}

/// A cylinder that a plane runs into without a corner: its axis lies along the plane.
bool isRounding(const TopoDS_Face& face, const Vec3& normal) {
  constexpr double kAlong = 1e-6;
  const BRepAdaptor_Surface surface(face, false);
  return surface.GetType() == GeomAbs_Cylinder &&
         std::abs(dot(vec(surface.Cylinder().Axis().Direction().XYZ()), normal)) < kAlong;
}

void addBorders(const TopoDS_Edge& edge, bool rounds_off, std::vector<Border>& borders) {
  BRepAdaptor_Curve curve(edge);
  std::vector<Vec3> points;
  if (curve.GetType() == GeomAbs_Line) {
    points = {vec(curve.Value(curve.FirstParameter()).XYZ()),
              vec(curve.Value(curve.LastParameter()).XYZ())};
  } else {
    const GCPnts_QuasiUniformDeflection chords(curve, kChordHeightMm);
    for (int i = 1; i <= chords.NbPoints(); ++i) {
      points.push_back(vec(chords.Value(i).XYZ()));
    }
  }
  if (edge.Orientation() == TopAbs_REVERSED) {
    std::reverse(points.begin(), points.end());
  }
  for (std::size_t i = 1; i < points.size(); ++i) {
    borders.push_back({points[i - 1], points[i], rounds_off});
  }
}

/// The plane that two faces share, as the first one's: the patch's own coordinates.
class SharedPlane {
 public:
  explicit SharedPlane(const FlatSide& side) : origin_(side.origin), normal_(side.normal) {
    const int least = std::abs(normal_[0]) < 0.5 ? 0 : 1;
    Vec3 axis{};
    axis[least] = 1;
    u_ = cross(axis, normal_);
    u_ = plus({}, u_, 1 / norm(u_));
    v_ = cross(normal_, u_);
  }

  IntPoint flat(const Vec3& at) const {
    const Vec3 from = minus(at, origin_);
    return {std::llround(dot(from, u_) * kPlacesPerMm), std::llround(dot(from, v_) * kPlacesPerMm)};
  }
  Vec3 at(double u, double v) const {
    return plus(plus(origin_, u_, u / kPlacesPerMm), v_, v / kPlacesPerMm);
  }
  Vec3 direction(double u, double v) const { return plus(plus({}, u_, u), v_, v); }

  Path outline(const FlatSide& side) const {
    Path path;
    for (const Border& border : side.borders) {
      path.push_back(flat(border.from));
    }
    if (!ClipperLib::Orientation(path)) {
      ClipperLib::ReversePath(path);
    }
    return path;
  }

 private:
  Vec3 origin_{}, normal_{}, u_{}, v_{};
};

double offLine(const IntPoint& p, const IntPoint& from, const IntPoint& to) {
  const double x = static_cast<double>(to.X - from.X), y = static_cast<double>(to.Y - from.Y);
  const double length = std::hypot(x, y);
  const double px = static_cast<double>(p.X - from.X), py = static_cast<double>(p.Y - from.Y);
  return length > 0 ? std::abs(px * y - py * x) / length : std::hypot(px, py);
}

/// Is the middle of a patch's edge on a piece of the face's outline behind which it rounds off?
bool roundsOffAt(const FlatSide& side, const Vec3& middle) {
  for (const Border& border : side.borders) {
    const Vec3 run = minus(border.to, border.from);
    const double square = dot(run, run);
    const double share =
        square > 0 ? std::clamp(dot(minus(middle, border.from), run) / square, 0.0, 1.0) : 0;
    const Vec3 off = minus(middle, plus(border.from, run, share));
    const double across = dot(off, side.normal);  // the faces' gap
    if (dot(off, off) - across * across < kSameEdgeMm * kSameEdgeMm) {
      return border.rounds_off;
    }
  }
  return false;
}

/// Is the point, in the side's plane, within its outline? By the crossings of a ray in it.
bool isWithin(const FlatSide& side, const Vec3& point) {
  const int skipped = std::abs(side.normal[2]) > 0.5 ? 2 : std::abs(side.normal[1]) > 0.5 ? 1 : 0;
  const int u = (skipped + 1) % 3, v = (skipped + 2) % 3;
  bool within = false;
  for (const Border& border : side.borders) {
    if ((border.from[v] > point[v]) != (border.to[v] > point[v])) {
      const double share = (point[v] - border.from[v]) / (border.to[v] - border.from[v]);
      within ^= point[u] < border.from[u] + share * (border.to[u] - border.from[u]);
    }
  }
  return within;
}

class Patches {
 public:
  /// All flat sides of both, and those of others.
  struct About {
    std::array<const std::vector<FlatSide>*, 2> own;
    const std::vector<std::vector<FlatSide>>* others;
  };
  Patches(const FlatSide& first, const FlatSide& second, const About& about,
          const PatchReach& reach)
      : sides_{&first, &second}, about_(about), plane_(first), reach_(reach) {
    for (int solid : {0, 1}) {
      outlines_.at(solid) = plane_.outline(*sides_.at(solid));
      for (const std::vector<Vec3>& hole : sides_.at(solid)->holes) {
        Path& path = holes_.emplace_back();
        for (const Vec3& corner : hole) {
          path.push_back(plane_.flat(corner));
        }
      }
    }
  }

  void addTo(std::vector<ContactPatch>& patches) const {
    ClipperLib::Clipper clipper;
    clipper.AddPath(outlines_[0], ClipperLib::ptSubject, /*closed=*/true);
    clipper.AddPath(outlines_[1], ClipperLib::ptClip, /*closed=*/true);
    Paths shared;
    clipper.Execute(ClipperLib::ctIntersection, shared, ClipperLib::pftNonZero,
                    ClipperLib::pftNonZero);
    for (Path& path : shared) {
      const double area = ClipperLib::Area(path) / (kPlacesPerMm * kPlacesPerMm);
      if (area > kLeastPatchMm2) {
        const double gap = dot(minus(sides_[1]->origin, sides_[0]->origin), sides_[0]->normal);
        ContactPatch patch{sides_[0]->normal, gap, area, {}};
        addEdges(withoutNeedless(path), patch);
        patches.push_back(std::move(patch));
      }
    }
  }

 private:
  static Path withoutNeedless(const Path& path) {
    Path kept;
    for (std::size_t i = 0; i < path.size(); ++i) {
      const IntPoint& before = kept.empty() ? path.back() : kept.back();
      if (offLine(path[i], before, path[(i + 1) % path.size()]) > kStraightPlaces) {
        kept.push_back(path[i]);
      }
    }
    return kept;
  }

  /// Shares of the way from one corner to the next that lie over no hole.
  std::vector<std::pair<double, double>> overMetal(const IntPoint& from, const IntPoint& to,
                                                   const Paths& beside) const {
    Paths open = holes_;
    open.insert(open.end(), beside.begin(), beside.end());
    const double x = static_cast<double>(to.X - from.X), y = static_cast<double>(to.Y - from.Y);
    std::vector<double> shares = {0, 1};
    for (const Path& hole : open) {
      for (std::size_t i = 0; i < hole.size(); ++i) {
        const IntPoint& p = hole[i];
        const IntPoint& q = hole[(i + 1) % hole.size()];
        const double u = static_cast<double>(q.X - p.X), v = static_cast<double>(q.Y - p.Y);
        const double turn = x * v - y * u;
        const double px = static_cast<double>(p.X - from.X);
        const double py = static_cast<double>(p.Y - from.Y);
        const double share = (px * v - py * u) / turn, of_hole = (px * y - py * x) / turn;
        if (turn != 0 && share > 0 && share < 1 && of_hole >= 0 && of_hole <= 1) {
          shares.push_back(share);
        }
      }
    }
    std::sort(shares.begin(), shares.end());
    std::vector<std::pair<double, double>> over;
    for (std::size_t i = 1; i < shares.size(); ++i) {
      const double middle = (shares[i - 1] + shares[i]) / 2;
      const IntPoint at(std::llround(static_cast<double>(from.X) + middle * x),
                        std::llround(static_cast<double>(from.Y) + middle * y));
      const bool is_in_hole = std::any_of(open.begin(), open.end(), [&](const Path& hole) {
        return ClipperLib::PointInPolygon(at, hole) == 1;
      });
      if (!is_in_hole && !over.empty() && over.back().second == shares[i - 1]) {
        over.back().second = shares[i];
      } else if (!is_in_hole) {
        over.emplace_back(shares[i - 1], shares[i]);
      }
    }
    return over;
  }

  /// Does one of the two turn a corner here that the other fills?
  bool isInCorner(const PatchEdge& edge, const Vec3& middle) const {
    constexpr double kInto = 1;  // mm
    if (edge.goes_on[0] || edge.goes_on[1]) {
      return false;
    }
    for (const int solid : {0, 1}) {
      const Vec3 into_other = plus(middle, sides_[0]->normal, solid == 0 ? kInto : -kInto);
      for (const FlatSide& side : *about_.own.at(solid)) {
        if (dot(side.normal, edge.outward) < -kOpposite &&
            std::abs(dot(minus(middle, side.origin), side.normal)) < reach_.gap_mm + kOnePlaneMm &&
            isWithin(side, into_other)) {
          return true;
        }
      }
    }
    return false;
  }

  /// What lies beside the edge in its plane, on the side of the part that ends there, moved to the
  /// edge from as far as a torch has no room.
  Paths besideOf(const PatchEdge& edge) const {
    constexpr double kBeside_mm[] = {1, 4, 8};  // common practice, no source
    Paths beside;
    if (edge.goes_on[0] == edge.goes_on[1]) {
      return beside;
    }
    const FlatSide& ends = *sides_.at(edge.goes_on[0] ? 1 : 0);
    for (const std::vector<FlatSide>& other : *about_.others) {
      for (const FlatSide& side : other) {
        if (dot(side.normal, ends.normal) < kOpposite ||
            std::abs(dot(minus(side.origin, ends.origin), ends.normal)) > kOnePlaneMm) {
          continue;
        }
        for (const double off : kBeside_mm) {
          FlatSide moved = side;
          for (Border& border : moved.borders) {
            border.from = plus(border.from, edge.outward, -off);
          }
          beside.push_back(plane_.outline(moved));
        }
      }
    }
    return beside;
  }

  void addEdges(const Path& path, ContactPatch& patch) const {
    for (std::size_t i = 0; i < path.size(); ++i) {
      const IntPoint& from = path[i];
      const IntPoint& to = path[(i + 1) % path.size()];
      const double x = static_cast<double>(to.X - from.X), y = static_cast<double>(to.Y - from.Y);
      const double length = std::hypot(x, y);
      const double out_u = y / length, out_v = -x / length;  // the path runs anticlockwise
      PatchEdge edge;
      edge.from = plane_.at(static_cast<double>(from.X), static_cast<double>(from.Y));
      edge.to = plane_.at(static_cast<double>(to.X), static_cast<double>(to.Y));
      edge.outward = plane_.direction(out_u, out_v);
      const double u = static_cast<double>(from.X) + x / 2 + out_u * reach_.room_mm * kPlacesPerMm;
      const double v = static_cast<double>(from.Y) + y / 2 + out_v * reach_.room_mm * kPlacesPerMm;
      const Vec3 middle = plus(edge.from, minus(edge.to, edge.from), 0.5);
      for (int solid : {0, 1}) {
        edge.goes_on.at(solid) = ClipperLib::PointInPolygon({std::llround(u), std::llround(v)},
                                                            outlines_.at(solid)) != 0;
        edge.rounds_off.at(solid) = roundsOffAt(*sides_.at(solid), middle);
      }
      const Vec3 start = edge.from, way = minus(edge.to, edge.from);
      if (isInCorner(edge, middle)) {
        patch.is_broken = true;
        continue;
      }
      const auto over = overMetal(from, to, besideOf(edge));
      patch.is_broken |= over.size() != 1 || over[0] != std::pair(0.0, 1.0);
      for (const auto& [begin, end] : over) {
        edge.from = plus(start, way, begin);
        edge.to = plus(start, way, end);
        if (edge.lengthMm() > kSameEdgeMm) {
          patch.edges.push_back(edge);
        }
      }
    }
  }

  std::array<const FlatSide*, 2> sides_;
  About about_;
  SharedPlane plane_;
  PatchReach reach_;
  std::array<Path, 2> outlines_;
  Paths holes_;  ///< of both
};

/// The way out of the solid from a point inside it.
double wayOut(const std::vector<FlatSide>& solid, const Vec3& from, const Vec3& direction) {
  double least = std::numeric_limits<double>::infinity();
  for (const FlatSide& side : solid) {
    const double leaving = dot(direction, side.normal);
    if (leaving < kLeaving) {
      continue;
    }
    const double way = dot(minus(side.origin, from), side.normal) / leaving;
    if (way > 0 && way < least && isWithin(side, plus(from, direction, way))) {
      least = way;
    }
  }
  return least;
}

bool areNear(const FlatSide& a, const FlatSide& b, double gap_mm) {
  for (int axis = 0; axis < 3; ++axis) {
    if (a.low[axis] > b.high[axis] + gap_mm || b.low[axis] > a.high[axis] + gap_mm) {
      return false;
    }
  }
  return true;
}

void findExtents(FlatSide& side) {
  constexpr double kFar = std::numeric_limits<double>::infinity();
  side.low = {kFar, kFar, kFar};
  side.high = {-kFar, -kFar, -kFar};
  for (const Border& border : side.borders) {
    for (int axis = 0; axis < 3; ++axis) {
      side.low[axis] = std::min(side.low[axis], border.from[axis]);
      side.high[axis] = std::max(side.high[axis], border.from[axis]);
    }
  }
}

}  // namespace

std::vector<FlatSide> flatSides(const TopoDS_Shape& solid) {
  TopTools_IndexedDataMapOfShapeListOfShape faces_at;
  TopExp::MapShapesAndAncestors(solid, TopAbs_EDGE, TopAbs_FACE, faces_at);
  std::vector<FlatSide> sides;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face& face = TopoDS::Face(faces.Current());
    const BRepAdaptor_Surface surface(face, false);
    if (surface.GetType() != GeomAbs_Plane) {
      continue;
    }
    FlatSide side;
    side.normal = vec(surface.Plane().Axis().Direction().XYZ());
    if ((face.Orientation() == TopAbs_REVERSED) != !surface.Plane().Direct()) {
      side.normal = {-side.normal[0], -side.normal[1], -side.normal[2]};
    }
    side.origin = vec(surface.Plane().Location().XYZ());
    const TopoDS_Wire outer = BRepTools::OuterWire(face);
    for (BRepTools_WireExplorer edges(outer, face); edges.More(); edges.Next()) {
      bool rounds_off = false;
      for (const TopoDS_Shape& beside : faces_at.FindFromKey(edges.Current())) {
        rounds_off |= !beside.IsSame(face) && isRounding(TopoDS::Face(beside), side.normal);
      }
      addBorders(edges.Current(), rounds_off, side.borders);
    }
    for (TopExp_Explorer wires(face, TopAbs_WIRE); wires.More(); wires.Next()) {
      if (!wires.Current().IsSame(outer)) {
        std::vector<Border> borders;
        for (BRepTools_WireExplorer edges(TopoDS::Wire(wires.Current()), face); edges.More();
             edges.Next()) {
          addBorders(edges.Current(), /*rounds_off=*/false, borders);
        }
        std::vector<Vec3>& hole = side.holes.emplace_back();
        for (const Border& border : borders) {
          hole.push_back(border.from);
        }
      }
    }
    findExtents(side);
    sides.push_back(std::move(side));
  }
  return sides;
}

std::vector<FlatSide> moved(const std::vector<FlatSide>& sides, const gp_Trsf& motion) {
  const auto at = [&](const Vec3& point) { return vec(pnt(point).Transformed(motion).XYZ()); };
  std::vector<FlatSide> there = sides;
  for (FlatSide& side : there) {
    side.normal = vec(gp_Vec(pnt({}), pnt(side.normal)).Transformed(motion).XYZ());
    side.origin = at(side.origin);
    for (Border& border : side.borders) {
      border.from = at(border.from);
      border.to = at(border.to);
    }
    for (std::vector<Vec3>& hole : side.holes) {
      for (Vec3& corner : hole) {
        corner = at(corner);
      }
    }
    findExtents(side);
  }
  return there;
}

std::vector<ContactPatch> contactPatches(const std::vector<FlatSide>& first,
                                         const std::vector<FlatSide>& second,
                                         const PatchReach& reach,
                                         const std::vector<std::vector<FlatSide>>& others) {
  std::vector<ContactPatch> patches;
  const Patches::About about{{&first, &second}, &others};
  const double gap = reach.gap_mm + kOnePlaneMm;
  for (const FlatSide& side : first) {
    for (const FlatSide& other : second) {
      if (dot(side.normal, other.normal) < -kOpposite && areNear(side, other, gap) &&
          std::abs(dot(minus(other.origin, side.origin), side.normal)) < gap) {
        Patches(side, other, about, reach).addTo(patches);
      }
    }
  }
  return patches;
}

double thicknessBehindMm(const std::vector<FlatSide>& solid, const ContactPatch& patch,
                         bool is_second) {
  const Vec3 inward = plus({}, patch.normal, is_second ? 1 : -1);
  const double deep = kInsideMm + (is_second ? patch.gap_mm : 0);
  std::vector<const PatchEdge*> longest;
  for (const PatchEdge& edge : patch.edges) {
    longest.push_back(&edge);
  }
  constexpr std::size_t kLooked = 4;  // a rectangle's sides
  const std::size_t count = std::min(kLooked, longest.size());
  std::partial_sort(
      longest.begin(), longest.begin() + static_cast<std::ptrdiff_t>(count), longest.end(),
      [](const PatchEdge* a, const PatchEdge* b) { return a->lengthMm() > b->lengthMm(); });
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < count; ++i) {
    const PatchEdge& edge = *longest[i];
    const Vec3 middle = plus(edge.from, minus(edge.to, edge.from), 0.5);
    const Vec3 inside = plus(plus(middle, edge.outward, -kInsideMm), inward, deep);
    const Vec3 along = {-edge.outward[0], -edge.outward[1], -edge.outward[2]};
    least = std::min({least, wayOut(solid, inside, inward) + kInsideMm,
                      wayOut(solid, inside, along) + kInsideMm});
  }
  return least;
}

}  // namespace leafstack
