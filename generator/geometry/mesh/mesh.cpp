#include "generator/geometry/mesh/mesh.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "generator/geometry/triangles.h"

namespace leafstack {

TriangleMesh::TriangleMesh(const TopoDS_Shape& solid, const gp_Trsf& place, double deflection_mm)
    : TriangleMesh(partMesh(solid, {deflection_mm}), place) {}

TriangleMesh::TriangleMesh(PartMesh mesh, const gp_Trsf& place) : mesh_(std::move(mesh)) {
  for (Vec3& point : mesh_.points) {
    const gp_Pnt moved = gp_Pnt(point[0], point[1], point[2]).Transformed(place);
    point = {moved.X(), moved.Y(), moved.Z()};
  }
  tree_ = HullTree(piecesAt(mesh_.points));
}

std::vector<Piece> TriangleMesh::piecesAt(const std::vector<Vec3>& points) const {
  std::vector<Piece> pieces;
  pieces.reserve(mesh_.triangles.size());
  for (const MeshTriangle& triangle : mesh_.triangles) {
    const auto& [a, b, c] = triangle.points;
    pieces.push_back({{points[a], points[b], points[c]}, triangle.error_mm});
  }
  return pieces;
}

namespace {

/// Planes that meet at a point, gathered into the equations of the point they meet at when each is
/// moved by one unit against its normal.
struct Corner {
  std::vector<Vec3> normals;

  void add(const Vec3& normal) {
    constexpr double kSameNormal = 1e-9;
    for (const Vec3& known : normals) {
      if (dot(minus(known, normal), minus(known, normal)) < kSameNormal) {
        return;
      }
    }
    normals.push_back(normal);
  }

  /// Least squares; of all equally good answers the shortest.
  Vec3 step() const {
    constexpr double kDamping = 1e-9;  // picks the shortest where planes leave a direction open
    std::array<Vec3, 3> rows = {Vec3{kDamping, 0, 0}, Vec3{0, kDamping, 0}, Vec3{0, 0, kDamping}};
    Vec3 right{};
    for (const Vec3& n : normals) {
      for (int i = 0; i < 3; ++i) {
        rows[i] = plus(rows[i], n, n[i]);
      }
      right = minus(right, n);
    }
    const double determinant = dot(rows[0], cross(rows[1], rows[2]));
    return {dot(right, cross(rows[1], rows[2])) / determinant,
            dot(rows[0], cross(right, rows[2])) / determinant,
            dot(rows[0], cross(rows[1], right)) / determinant};
  }
};

}  // namespace

HullTree TriangleMesh::drawnIn(double by_mm) const {
  std::vector<Corner> corners(mesh_.points.size());
  for (const MeshTriangle& triangle : mesh_.triangles) {
    const Vec3 normal = mesh_.flatNormal(triangle);
    for (int point : triangle.points) {
      corners[point].add(normal);
    }
  }
  std::vector<Vec3> moved;
  moved.reserve(corners.size());
  for (std::size_t i = 0; i < corners.size(); ++i) {
    moved.push_back(plus(mesh_.points[i], corners[i].step(), by_mm));
  }
  return HullTree(piecesAt(moved));
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
  if (boxDistance(bounds(), {point, point}, 0) > 0) {
    return false;
  }
  // Directions no edge of a gate runs along. A ray may slip between two faces whose chords differ:
  // two of three decide.
  constexpr Vec3 kRays[] = {
      {0.5773, 0.1273, 0.8065}, {-0.2291, 0.9031, 0.3631}, {0.3137, -0.6689, -0.6740}};
  int inside = 0;
  for (const Vec3& ray : kRays) {
    inside += crossesOddly(point, ray) ? 1 : 0;
  }
  return inside >= 2;
}

bool TriangleMesh::crossesOddly(const Vec3& point, const Vec3& direction) const {
  constexpr double kBeyondMm = 1e6;  // leaves any gate
  const std::array<Vec3, 2> ray = {point, plus(point, direction, kBeyondMm)};
  bool inside = false;
  std::vector<int> open = {0};
  while (!open.empty()) {
    const HullTree::Node& node = tree_.nodes()[open.back()];
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
      inside ^= segmentCrosses(ray, tree_.pieces()[i].points, at);
    }
  }
  return inside;
}

double TriangleMesh::surfaceDistance(const Vec3& point) const {
  double nearest = std::numeric_limits<double>::infinity();
  std::vector<int> open = {0};
  while (!open.empty()) {
    const HullTree::Node& node = tree_.nodes()[open.back()];
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
      const Vec3 on_it = nearestOnTriangle(point, tree_.pieces()[i].points);
      nearest = std::min(nearest, norm(minus(on_it, point)));
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

}  // namespace leafstack
