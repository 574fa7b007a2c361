#include "generator/geometry/mesh/part_mesh.h"

#include <algorithm>
#include <numeric>

namespace leafstack {

double PartMesh::errorMm() const {
  double worst = 0;
  for (const MeshTriangle& triangle : triangles) {
    worst = std::max(worst, triangle.error_mm);
  }
  return worst;
}

double PartMesh::areaMm2() const {
  double twice = 0;
  for (const MeshTriangle& triangle : triangles) {
    const auto& [a, b, c] = triangle.points;
    twice += norm(cross(minus(points[b], points[a]), minus(points[c], points[a])));
  }
  return twice / 2;
}

double PartMesh::volumeMm3() const {
  double six_volumes = 0;
  const Vec3& origin = points.front();  // near, so that little cancels
  for (const MeshTriangle& triangle : triangles) {
    const auto& [a, b, c] = triangle.points;
    six_volumes +=
        dot(minus(points[a], origin), cross(minus(points[b], origin), minus(points[c], origin)));
  }
  return six_volumes / 6;
}

bool PartMesh::isClosed() const {
  // Sides by their lower point: to the higher one, doubled, and one more where they run downward.
  std::vector<int> first(points.size() + 1, 0);
  const auto eachSide = [&](const auto& take) {
    for (const MeshTriangle& triangle : triangles) {
      for (int i = 0; i < 3; ++i) {
        const int from = triangle.points[i];
        const int to = triangle.points[(i + 1) % 3];
        take(std::min(from, to), 2 * std::max(from, to) + (from < to ? 0 : 1));
      }
    }
  };
  eachSide([&](int low, int) { ++first[low + 1]; });
  std::partial_sum(first.begin(), first.end(), first.begin());
  std::vector<int> sides(3 * triangles.size());
  std::vector<int> next(first.begin(), first.end() - 1);
  eachSide([&](int low, int side) { sides[next[low]++] = side; });
  for (std::size_t point = 0; point < points.size(); ++point) {
    const auto begin = sides.begin() + first[point];
    const auto end = sides.begin() + first[point + 1];
    std::sort(begin, end);
    for (auto side = begin; side != end; side += 2) {
      if (end - side < 2 || side[0] % 2 != 0 || side[1] != side[0] + 1) {
        return false;
      }
    }
  }
  return true;
}

Vec3 PartMesh::flatNormal(const MeshTriangle& triangle) const {
  const auto& [a, b, c] = triangle.points;
  const Vec3 normal = cross(minus(points[b], points[a]), minus(points[c], points[a]));
  const double length = norm(normal);
  return length > 0 ? plus({}, normal, 1 / length) : Vec3{};
}

void PartMesh::add(const MeshTriangle& triangle, const std::array<Vec3, 3>* corner_normals) {
  const auto& [a, b, c] = triangle.points;
  if (a == b || b == c || c == a) {
    return;
  }
  triangles.push_back(triangle);
  if (corner_normals != nullptr) {
    normals.push_back(*corner_normals);
    for (Vec3& normal : normals.back()) {
      normal = normal == Vec3{} ? flatNormal(triangle) : normal;
    }
  }
}

}  // namespace leafstack
