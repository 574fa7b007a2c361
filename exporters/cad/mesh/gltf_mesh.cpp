#include "exporters/cad/mesh/gltf_mesh.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>

#include "exporters/bytes/export_error.h"
#include "generator/geometry/geometry_error.h"
#include "generator/geometry/mesh/part_mesh.h"

namespace leafstack {
namespace {

using Position = std::array<float, 3>;
using Triangle = std::array<std::uint32_t, 3>;

/// Normals this near are one: 0.006 degrees, far above rounding and far below what is seen.
constexpr double kNormalPlaces = 1e4;
/// Cosine of the greatest angle between a normal and the triangle it shades.
constexpr double kLeastAgreement = 0.5;
/// The same as written, after the rounding of positions.
constexpr double kLeastFacing = 0.9 * kLeastAgreement;

Position rounded(const std::array<double, 3>& p) {
  // Adding zero turns -0 into 0, which has to weld with it.
  return {static_cast<float>(p[0]) + 0.0F, static_cast<float>(p[1]) + 0.0F,
          static_cast<float>(p[2]) + 0.0F};
}

Position positionOf(const Vec3& p_mm) {
  return rounded(
      toGltfAxes(p_mm[0] * kMetresPerMm, p_mm[1] * kMetresPerMm, p_mm[2] * kMetresPerMm));
}

/// Corners that agree in position, as written, and in normal are one corner.
class Corners {
 public:
  explicit Corners(GltfMesh& mesh) : mesh_(mesh) {}

  std::uint32_t add(const Position& position_m, const Vec3& normal) {
    const std::array<double, 3> turned = toGltfAxes(normal[0], normal[1], normal[2]);
    std::array<int, 3> direction{};
    for (int axis = 0; axis < 3; ++axis) {
      direction[axis] = static_cast<int>(std::lround(turned[axis] * kNormalPlaces));
    }
    const auto next = static_cast<std::uint32_t>(mesh_.positions_m.size());
    const auto [it, is_new] = known_.try_emplace({position_m, direction}, next);
    if (is_new) {
      mesh_.positions_m.push_back(position_m);
      mesh_.normals.push_back(rounded(turned));
    }
    return it->second;
  }

 private:
  GltfMesh& mesh_;
  std::map<std::pair<Position, std::array<int, 3>>, std::uint32_t> known_;
};

void addTriangles(GltfMesh& mesh, const PartMesh& part) {
  Corners corners(mesh);
  for (std::size_t t = 0; t < part.triangles.size(); ++t) {
    const MeshTriangle& triangle = part.triangles[t];
    std::array<Position, 3> at;
    for (int i = 0; i < 3; ++i) {
      at[i] = positionOf(part.points[triangle.points[i]]);
    }
    // Two positions that become one in single precision: the triangle has no area, drop it.
    if (at[0] == at[1] || at[1] == at[2] || at[2] == at[0]) {
      continue;
    }
    const Vec3 flat = part.flatNormal(triangle);
    Triangle written{};
    for (int i = 0; i < 3; ++i) {
      const Vec3& smooth = part.normals[t][i];
      written[i] = corners.add(at[i], dot(smooth, flat) < kLeastAgreement ? flat : smooth);
    }
    mesh.triangles.push_back(written);
  }
}

Vec3 pointOf(const Position& p) {
  return {p[0], p[1], p[2]};
}

/// Twice the area of triangle `t`, as a vector outward; metres.
Vec3 areaVector(const GltfMesh& mesh, const Triangle& t) {
  const Vec3 origin = pointOf(mesh.positions_m[t[0]]);
  return cross(minus(pointOf(mesh.positions_m[t[1]]), origin),
               minus(pointOf(mesh.positions_m[t[2]]), origin));
}

/// Does triangle `t`, as written, have an area, and face as its normals do?
bool agrees(const GltfMesh& mesh, const Triangle& t) {
  const Vec3 area = areaVector(mesh, t);
  return norm(area) > 0 && std::all_of(t.begin(), t.end(), [&](std::uint32_t corner) {
           return dot(area, pointOf(mesh.normals[corner])) > kLeastFacing * norm(area);
         });
}

/// Every directed edge between positions once, and its opposite once.
bool isWatertight(const GltfMesh& mesh) {
  std::map<Position, std::uint64_t> index;
  std::vector<std::uint64_t> edges, opposites;
  for (const Triangle& t : mesh.triangles) {
    std::array<std::uint64_t, 3> ids{};
    for (int i = 0; i < 3; ++i) {
      ids[i] = index.try_emplace(mesh.positions_m[t[i]], index.size()).first->second;
    }
    for (int i = 0; i < 3; ++i) {
      edges.push_back(ids[i] << 32 | ids[(i + 1) % 3]);
      opposites.push_back(ids[(i + 1) % 3] << 32 | ids[i]);
    }
  }
  std::sort(edges.begin(), edges.end());
  std::sort(opposites.begin(), opposites.end());
  return edges == opposites && std::adjacent_find(edges.begin(), edges.end()) == edges.end();
}

bool facesOutward(const GltfMesh& mesh) {
  const Vec3 origin = pointOf(mesh.positions_m.front());  // near, so that little cancels
  double six_volumes = 0;
  for (const Triangle& t : mesh.triangles) {
    six_volumes += dot(areaVector(mesh, t), minus(pointOf(mesh.positions_m[t[0]]), origin));
  }
  return six_volumes > 0;
}

void check(const GltfMesh& mesh, const std::string& mark) {
  if (mesh.triangles.empty() || !isWatertight(mesh)) {
    throw ExportError("GLB: " + mark + ": the mesh is not watertight");
  }
  if (!facesOutward(mesh)) {
    throw ExportError("GLB: " + mark + ": the mesh faces inward");
  }
  for (const Triangle& t : mesh.triangles) {
    if (!agrees(mesh, t)) {
      throw ExportError("GLB: " + mark + ": a triangle does not face as its surface does");
    }
  }
}

}  // namespace

GltfMesh gltfMesh(const Part& part) {
  GltfMesh mesh;
  try {
    addTriangles(mesh, partMesh(part.solid, {kGltfLinearDeflectionMm, kGltfAngularDeflectionRad,
                                             /*with_normals=*/true}));
  } catch (const GeometryError& error) {
    throw ExportError("GLB: " + part.mark + ": " + error.what());
  }
  check(mesh, part.mark);
  return mesh;
}

}  // namespace leafstack
