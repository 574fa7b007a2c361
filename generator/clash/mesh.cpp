#include "generator/clash/mesh.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <IMeshTools_Parameters.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>
#include <numbers>
#include <numeric>

#include "generator/clash/triangles.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

constexpr int kLeafTriangles = 8;

bool isFlatSided(const TopoDS_Shape& solid) {
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    if (BRepAdaptor_Surface(TopoDS::Face(faces.Current()), false).GetType() != GeomAbs_Plane) {
      return false;
    }
  }
  for (TopExp_Explorer edges(solid, TopAbs_EDGE); edges.More(); edges.Next()) {
    if (BRepAdaptor_Curve(TopoDS::Edge(edges.Current())).GetType() != GeomAbs_Line) {
      return false;
    }
  }
  return true;
}

Triangle corner(const TriangleMesh& mesh, int triangle, double shift_x = 0) {
  Triangle corners;
  for (int i = 0; i < 3; ++i) {
    corners[i] = mesh.points()[mesh.triangles()[triangle][i]];
    corners[i][0] += shift_x;
  }
  return corners;
}

void include(Bounds& box, const Vec3& point) {
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] = std::min(box.low[axis], point[axis]);
    box.high[axis] = std::max(box.high[axis], point[axis]);
  }
}

Bounds emptyBox() {
  constexpr double kFar = std::numeric_limits<double>::infinity();
  return {{kFar, kFar, kFar}, {-kFar, -kFar, -kFar}};
}

}  // namespace

TriangleMesh::TriangleMesh(const TopoDS_Shape& solid, const TopLoc_Location& location) {
  IMeshTools_Parameters parameters;
  parameters.Deflection = kMeshDeflectionMm;
  parameters.Angle = kMeshAngleRad;
  parameters.MeshAlgo = IMeshTools_MeshAlgoType_Delabella;  // the quicker of the two here
  BRepMesh_IncrementalMesh(solid, parameters);
  error_mm_ = isFlatSided(solid) ? 0 : kMeshErrorMm;
  const gp_Trsf motion = location.Transformation();
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    TopLoc_Location inner;
    const auto triangulation = BRep_Tool::Triangulation(TopoDS::Face(faces.Current()), inner);
    if (triangulation.IsNull()) {
      throw GeometryError("the kernel could not mesh a face");
    }
    const gp_Trsf placed = motion * inner.Transformation();
    const int base = static_cast<int>(points_.size()) - 1;
    for (int i = 1; i <= triangulation->NbNodes(); ++i) {
      const gp_Pnt point = triangulation->Node(i).Transformed(placed);
      points_.push_back({point.X(), point.Y(), point.Z()});
    }
    for (int i = 1; i <= triangulation->NbTriangles(); ++i) {
      int a = 0;
      int b = 0;
      int c = 0;
      triangulation->Triangle(i).Get(a, b, c);
      triangles_.push_back({base + a, base + b, base + c});
    }
  }
  if (triangles_.empty()) {
    throw GeometryError("the kernel meshed nothing");
  }
  buildTree();
}

TriangleMesh::TriangleMesh(const std::vector<Vec3>& line, double radius_mm,
                           const TopLoc_Location& location) {
  // Twelve sides of a rope up to 6 mm thick keep well within the deflection. The line is plane
  // (level), so each ring stands on the vertical and the line's horizontal normal.
  constexpr int kSides = 12;
  error_mm_ = kMeshErrorMm;
  const gp_Trsf motion = location.Transformation();
  const int rings = static_cast<int>(line.size());
  for (int i = 0; i < rings; ++i) {
    const Vec3 along = minus(line[std::min(i + 1, rings - 1)], line[std::max(i - 1, 0)]);
    const double length = std::sqrt(dot(along, along));
    const Vec3 normal = {-along[1] / length, along[0] / length, 0};
    for (int side = 0; side < kSides; ++side) {
      const double turn = 2 * std::numbers::pi * side / kSides;
      Vec3 at = plus(line[i], normal, radius_mm * std::cos(turn));
      at[2] += radius_mm * std::sin(turn);
      const gp_Pnt point = gp_Pnt(at[0], at[1], at[2]).Transformed(motion);
      points_.push_back({point.X(), point.Y(), point.Z()});
    }
  }
  const auto index = [](int ring, int side) { return ring * kSides + side % kSides; };
  for (int side = 0; side < kSides; ++side) {
    for (int i = 0; i + 1 < rings; ++i) {
      triangles_.push_back({index(i, side), index(i + 1, side), index(i + 1, side + 1)});
      triangles_.push_back({index(i, side), index(i + 1, side + 1), index(i, side + 1)});
    }
  }
  for (int side = 1; side + 1 < kSides; ++side) {
    triangles_.push_back({index(0, 0), index(0, side), index(0, side + 1)});
    triangles_.push_back({index(rings - 1, 0), index(rings - 1, side + 1), index(rings - 1, side)});
  }
  buildTree();
}

void TriangleMesh::buildTree() {
  for (int i = 0; i < static_cast<int>(triangles_.size()); ++i) {
    const Triangle t = corner(*this, i);
    boxes_.push_back(emptyBox());
    for (const Vec3& point : t) {
      include(boxes_.back(), point);
    }
    centres_.push_back({(t[0][0] + t[1][0] + t[2][0]) / 3, (t[0][1] + t[1][1] + t[2][1]) / 3,
                        (t[0][2] + t[1][2] + t[2][2]) / 3});
  }
  order_.resize(triangles_.size());
  std::iota(order_.begin(), order_.end(), 0);
  buildNode(0, static_cast<int>(order_.size()));
}

Bounds TriangleMesh::boxOf(int first, int count) const {
  Bounds box = emptyBox();
  for (int i = first; i < first + count; ++i) {
    include(box, boxes_[order_[i]].low);
    include(box, boxes_[order_[i]].high);
  }
  return box;
}

int TriangleMesh::buildNode(int first, int count) {
  const int index = static_cast<int>(nodes_.size());
  nodes_.push_back({boxOf(first, count), -1, -1, first, count});
  if (count <= kLeafTriangles) {
    return index;
  }
  Bounds spread = emptyBox();
  for (int i = first; i < first + count; ++i) {
    include(spread, centres_[order_[i]]);
  }
  int axis = 0;
  for (int candidate = 1; candidate < 3; ++candidate) {
    if (spread.high[candidate] - spread.low[candidate] > spread.high[axis] - spread.low[axis]) {
      axis = candidate;
    }
  }
  const int half = count / 2;
  std::nth_element(order_.begin() + first, order_.begin() + first + half,
                   order_.begin() + first + count, [&](int p, int q) {
                     return centres_[p][axis] != centres_[q][axis]
                                ? centres_[p][axis] < centres_[q][axis]
                                : p < q;
                   });
  const int left = buildNode(first, half);
  const int right = buildNode(first + half, count - half);
  nodes_[index].left = left;
  nodes_[index].right = right;
  return index;
}

namespace {

/// Slab test: does the segment pass through the box?
bool passesBox(const std::array<Vec3, 2>& segment, const Bounds& box) {
  double from = 0;
  double to = 1;
  for (int axis = 0; axis < 3; ++axis) {
    const double run = segment[1][axis] - segment[0][axis];
    double enter = (box.low[axis] - segment[0][axis]) / run;
    double leave = (box.high[axis] - segment[0][axis]) / run;
    if (enter > leave) {
      std::swap(enter, leave);
    }
    from = std::max(from, enter);
    to = std::min(to, leave);
  }
  return from <= to;
}

}  // namespace

bool TriangleMesh::contains(const Vec3& point) const {
  // A direction no edge of a gate runs along; long enough to leave any gate.
  constexpr double kBeyondMm = 1e6;
  const std::array<Vec3, 2> ray = {point, plus(point, {0.5773, 0.1273, 0.8065}, kBeyondMm)};
  if (boxDistance(bounds(), {point, point}, 0) > 0) {
    return false;
  }
  bool inside = false;
  std::vector<int> open = {0};
  while (!open.empty()) {
    const Node& node = nodes_[open.back()];
    open.pop_back();
    if (!passesBox(ray, node.box)) {
      continue;
    }
    if (node.left >= 0) {
      open.push_back(node.left);
      open.push_back(node.right);
      continue;
    }
    Vec3 at{};
    for (int i = node.first; i < node.first + node.count; ++i) {
      inside ^= segmentCrosses(ray, corner(*this, order_[i]), at);
    }
  }
  return inside;
}

double TriangleMesh::surfaceDistance(const Vec3& point) const {
  double nearest = std::numeric_limits<double>::infinity();
  std::vector<int> open = {0};
  while (!open.empty()) {
    const Node& node = nodes_[open.back()];
    open.pop_back();
    if (boxDistance(node.box, {point, point}, 0) >= nearest) {
      continue;
    }
    if (node.left >= 0) {
      open.push_back(node.left);
      open.push_back(node.right);
      continue;
    }
    for (int i = node.first; i < node.first + node.count; ++i) {
      const Vec3 off = minus(nearestOnTriangle(point, corner(*this, order_[i])), point);
      nearest = std::min(nearest, std::sqrt(dot(off, off)));
    }
  }
  return nearest;
}

double boxDistance(const Bounds& a, const Bounds& b, double shift_x) {
  double squared = 0;
  for (int axis = 0; axis < 3; ++axis) {
    const double shift = axis == 0 ? shift_x : 0;
    const double gap =
        std::max({0.0, a.low[axis] - b.high[axis] - shift, b.low[axis] + shift - a.high[axis]});
    squared += gap * gap;
  }
  return std::sqrt(squared);
}

/// Depth-first search over both trees, nearer child first.
class MeshDistance {
 public:
  MeshDistance(const TriangleMesh& a, const TriangleMesh& b, double shift_x, double enough)
      : a_(a), b_(b), shift_x_(shift_x) {
    best_.distance_mm = enough;
    search(0, 0);
  }
  const Approach& best() const { return best_; }

 private:
  void search(int i, int j) {
    const auto& p = a_.nodes_[i];
    const auto& q = b_.nodes_[j];
    if (best_.distance_mm == 0 || boxDistance(p.box, q.box, shift_x_) >= best_.distance_mm) {
      return;
    }
    if (p.left < 0 && q.left < 0) {
      measureLeaves(p.first, p.count, q.first, q.count);
      return;
    }
    const bool split_a = q.left < 0 || (p.left >= 0 && p.count >= q.count);
    const std::array<std::pair<int, int>, 2> next =
        split_a ? std::array<std::pair<int, int>, 2>{{{p.left, j}, {p.right, j}}}
                : std::array<std::pair<int, int>, 2>{{{i, q.left}, {i, q.right}}};
    const double first = distanceOf(next[0]);
    const double second = distanceOf(next[1]);
    const int nearer = second < first ? 1 : 0;
    search(next[nearer].first, next[nearer].second);
    search(next[1 - nearer].first, next[1 - nearer].second);
  }

  double distanceOf(const std::pair<int, int>& nodes) const {
    return boxDistance(a_.nodes_[nodes.first].box, b_.nodes_[nodes.second].box, shift_x_);
  }

  void measureLeaves(int first_a, int count_a, int first_b, int count_b) {
    for (int i = first_a; i < first_a + count_a; ++i) {
      // Long thin triangles share leaves across a tube, so leaf boxes alone cull too little.
      const Bounds& box = a_.boxes_[a_.order_[i]];
      const Triangle one = corner(a_, a_.order_[i]);
      for (int j = first_b; j < first_b + count_b; ++j) {
        if (boxDistance(box, b_.boxes_[b_.order_[j]], shift_x_) >= best_.distance_mm) {
          continue;
        }
        const Approach found = leafstack::nearestApproach(one, corner(b_, b_.order_[j], shift_x_));
        if (found.distance_mm < best_.distance_mm) {
          best_ = found;
        }
      }
    }
  }

  const TriangleMesh& a_;
  const TriangleMesh& b_;
  double shift_x_;
  Approach best_;
};

Approach nearestApproach(const TriangleMesh& a, const TriangleMesh& b, double shift_x,
                         double enough_mm) {
  return MeshDistance(a, b, shift_x, enough_mm).best();
}

double deepestPoint(const TriangleMesh& a, const TriangleMesh& b, double shift_x) {
  const auto deepestOf = [](const TriangleMesh& points, const TriangleMesh& solid, double shift) {
    double deepest = 0;
    for (Vec3 point : points.points()) {
      point[0] += shift;
      if (solid.contains(point)) {
        deepest = std::max(deepest, solid.surfaceDistance(point));
      }
    }
    return deepest;
  };
  return std::max(deepestOf(a, b, -shift_x), deepestOf(b, a, shift_x));
}

}  // namespace leafstack
