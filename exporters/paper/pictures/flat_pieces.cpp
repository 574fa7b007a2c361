#include <algorithm>
#include <map>

#include "exporters/paper/pictures/painted.h"

namespace leafstack {
namespace {

// Triangles of one flat piece have their normals alike to rounding.
constexpr double kSameNormal = 1e-9;
// Points no further than this before a plane lie in it.
constexpr double kInPlaneMm = 1e-3;

bool isFlatWith(const Vec3& normal, const Vec3& other) {
  return norm(minus(normal, other)) < kSameNormal;
}

/// The sides that only one of some triangles has, in turn.
std::vector<std::vector<int>> loopsOf(const PartMesh& mesh, std::size_t first, std::size_t beyond) {
  std::map<int, std::vector<int>> next;
  for (std::size_t t = first; t < beyond; ++t) {
    const auto& points = mesh.triangles[t].points;
    for (int i = 0; i < 3; ++i) {
      const int from = points[i];
      const int to = points[(i + 1) % 3];
      auto& back = next[to];
      const auto opposite = std::find(back.begin(), back.end(), from);
      if (opposite != back.end()) {
        back.erase(opposite);
      } else {
        next[from].push_back(to);
      }
    }
  }
  std::vector<std::vector<int>> loops;
  for (auto& [start, ways] : next) {
    while (!ways.empty()) {
      std::vector<int> loop;
      for (int at = start; loop.empty() || at != start;) {
        loop.push_back(at);
        std::vector<int>& onward = next[at];
        at = onward.back();
        onward.pop_back();
      }
      loops.push_back(std::move(loop));
    }
  }
  return loops;
}

/// Whether all of a solid lies behind every piece's plane.
bool isConvex(const FlatPieces& solid) {
  return std::all_of(solid.pieces.begin(), solid.pieces.end(), [&](const FlatPieces::Piece& piece) {
    const double offset = dot(piece.normal, solid.points[piece.loops.front().front()]);
    return std::all_of(solid.points.begin(), solid.points.end(), [&](const Vec3& point) {
      return dot(piece.normal, point) <= offset + kInPlaneMm;
    });
  });
}

}  // namespace

FlatPieces::FlatPieces(const PartMesh& mesh) : points(mesh.points) {
  const std::size_t count = mesh.triangles.size();
  std::vector<bool> is_curved_face(mesh.face_count, false);
  for (std::size_t first = 0; first < count;) {
    const Vec3 normal = mesh.flatNormal(mesh.triangles[first]);
    const int face = mesh.triangles[first].face;
    std::size_t beyond = first + 1;
    while (beyond < count && mesh.triangles[beyond].face == face &&
           isFlatWith(normal, mesh.flatNormal(mesh.triangles[beyond]))) {
      ++beyond;
    }
    if (!pieces.empty() && pieces.back().face == face) {
      is_curved_face[face] = true;
    }
    pieces.push_back({face, false, normal, loopsOf(mesh, first, beyond)});
    first = beyond;
  }
  for (Piece& piece : pieces) {
    piece.is_curved = is_curved_face[piece.face];
  }
  is_convex = isConvex(*this);
}

}  // namespace leafstack
