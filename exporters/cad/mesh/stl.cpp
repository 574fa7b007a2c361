#include "exporters/cad/mesh/stl.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <unordered_map>
#include <vector>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/provenance.h"
#include "generator/geometry/geometry_error.h"
#include "generator/geometry/mesh/part_mesh.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr std::size_t kHeaderBytes = 80;
constexpr std::size_t kTriangleBytes = 50;

using Corner = std::array<float, 3>;

struct CornerHash {
  std::size_t operator()(const Corner& c) const {
    std::size_t hash = 0;
    for (const float value : c) {
      hash = hash * 0x9E3779B97F4A7C15ULL + std::bit_cast<std::uint32_t>(value);
    }
    return hash ^ (hash >> 29);
  }
};

/// A part's mesh as it is written, in single precision.
struct Mesh {
  std::vector<Corner> corners;
  std::vector<std::array<int, 3>> triangles;

  Vec3 at(int i) const { return {corners[i][0], corners[i][1], corners[i][2]}; }
};

/// Points that are one as written are one corner; a triangle with two of the same is left out.
Mesh written(const PartMesh& mesh) {
  Mesh result;
  std::vector<int> corner_of;
  std::unordered_map<Corner, int, CornerHash> known;
  for (const Vec3& point : mesh.points) {
    // Adding zero turns -0 into 0, which has to weld with it.
    const Corner corner = {static_cast<float>(point[0]) + 0.0F, static_cast<float>(point[1]) + 0.0F,
                           static_cast<float>(point[2]) + 0.0F};
    const auto [it, is_new] = known.try_emplace(corner, static_cast<int>(result.corners.size()));
    if (is_new) {
      result.corners.push_back(corner);
    }
    corner_of.push_back(it->second);
  }
  for (const MeshTriangle& triangle : mesh.triangles) {
    const int a = corner_of[triangle.points[0]];
    const int b = corner_of[triangle.points[1]];
    const int c = corner_of[triangle.points[2]];
    if (a != b && b != c && c != a) {
      result.triangles.push_back({a, b, c});
    }
  }
  return result;
}

void appendFloat(std::string& out, double value) {
  const auto bits = std::bit_cast<std::uint32_t>(static_cast<float>(value));
  for (int shift = 0; shift < 32; shift += 8) {
    out.push_back(static_cast<char>((bits >> shift) & 0xFF));
  }
}

std::string fileOf(const Mesh& mesh, const std::string& mark) {
  std::string out = programName();
  out.append(" binary STL, mm, part ").append(mark);
  out.resize(kHeaderBytes, ' ');
  out.reserve(kHeaderBytes + 4 + mesh.triangles.size() * kTriangleBytes);
  for (int shift = 0; shift < 32; shift += 8) {
    out.push_back(static_cast<char>((mesh.triangles.size() >> shift) & 0xFF));
  }
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.at(t[0]);
    Vec3 normal = cross(minus(mesh.at(t[1]), a), minus(mesh.at(t[2]), a));
    const double length = norm(normal);
    normal = length > 0 ? plus({}, normal, 1 / length) : Vec3{};
    for (const double along : normal) {
      appendFloat(out, along);
    }
    for (const int corner : t) {
      for (const float value : mesh.corners[corner]) {
        appendFloat(out, value);
      }
    }
    out.append(2, '\0');
  }
  return out;
}

PartMesh exactMesh(const Part& part) {
  const double turn_deg =
      part.kind == PartKind::kRope ? kStlRopeDeflectionDeg : kStlAngularDeflectionDeg;
  try {
    return partMesh(part.solid, {kStlLinearDeflectionMm, turn_deg / kDegreesPerRadian});
  } catch (const GeometryError& error) {
    throw ExportError("STL: " + part.mark + ": " + error.what());
  }
}

}  // namespace

StlMesh stlMesh(const Part& part, const gp_Trsf& motion) {
  PartMesh exact = exactMesh(part);
  for (Vec3& point : exact.points) {
    motion.Transforms(point[0], point[1], point[2]);
  }
  const Mesh mesh = written(exact);
  PartMesh read_back;
  for (int i = 0; i < static_cast<int>(mesh.corners.size()); ++i) {
    read_back.points.push_back(mesh.at(i));
  }
  for (const auto& triangle : mesh.triangles) {
    read_back.triangles.push_back({triangle, 0, 0});
  }
  if (mesh.triangles.empty() || !read_back.isClosed()) {
    throw ExportError("STL: " + part.mark + ": the mesh is not watertight");
  }
  StlMesh result;
  result.deflection_mm = exact.errorMm();
  result.volume_mm3 = read_back.volumeMm3();
  if (!(result.volume_mm3 > 0)) {
    throw ExportError("STL: " + part.mark + ": the mesh faces inward");
  }
  result.triangles = static_cast<int>(mesh.triangles.size());
  result.file = fileOf(mesh, part.mark);
  return result;
}

}  // namespace leafstack
