#include "generator/surroundings/bodies_of_triangles.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <map>
#include <numeric>
#include <set>
#include <unordered_map>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

struct SameBits {
  std::size_t operator()(const Vec3& p) const {
    std::size_t hash = 0;
    for (const double figure : p) {
      std::uint64_t bits = 0;
      std::memcpy(&bits, &figure, sizeof bits);
      hash = (hash ^ bits) * 0x9E3779B97F4A7C15u;
      hash ^= hash >> 29;
    }
    return hash;
  }
};

std::string at(const Vec3& point) {
  return "(" + shown(point[0], 1) + ", " + shown(point[1], 1) + ", " + shown(point[2], 1) + ")";
}

/// Sets of points that hang together.
class Islands {
 public:
  explicit Islands(std::size_t count) : up_(count) { std::iota(up_.begin(), up_.end(), 0); }
  int of(int point) {
    while (up_[point] != point) {
      point = up_[point] = up_[up_[point]];
    }
    return point;
  }
  void join(int p, int q) { up_[of(p)] = of(q); }

 private:
  std::vector<int> up_;
};

/// Edges by how often they are gone along, one way less the other: 0 where two neighbours agree.
std::string edgeFault(const PartMesh& mesh) {
  std::vector<std::array<int, 3>> edges;  // ends, and the way
  for (const MeshTriangle& triangle : mesh.triangles) {
    for (int i = 0; i < 3; ++i) {
      const auto [low, high] = std::minmax(triangle.points[i], triangle.points[(i + 1) % 3]);
      edges.push_back({low, high, triangle.points[i] == low ? 1 : -1});
    }
  }
  std::sort(edges.begin(), edges.end());
  int open = 0, crowded = 0, against = 0;
  Vec3 first{};
  for (std::size_t i = 0, next = 0; i < edges.size(); i = next) {
    int ways = 0;
    for (next = i;
         next < edges.size() && edges[next][0] == edges[i][0] && edges[next][1] == edges[i][1];
         ++next) {
      ways += edges[next][2];
    }
    const std::size_t count = next - i;
    if (count == 2 && ways == 0) {
      continue;
    }
    if (open + crowded + against == 0) {
      first = mesh.points[edges[i][0]];
    }
    ++(count == 1 ? open : count == 2 ? against : crowded);
  }
  const auto said = [&](int count, const char* what) {
    return std::to_string(count) + (count == 1 ? " edge" : " edges") + what + ", the first at " +
           at(first);
  };
  return open > 0      ? "is open: it has " + said(open, " of one triangle only")
         : crowded > 0 ? "has " + said(crowded, " where more than two triangles meet")
         : against > 0 ? "has " + said(against, " whose two triangles face opposite ways")
                       : "";
}

}  // namespace

ClosedBodies closedBodies(const LooseTriangles& loose, double mm_per_unit) {
  PartMesh all;
  std::unordered_map<Vec3, int, SameBits> known;
  known.reserve(loose.corners.size());
  for (const auto& corners : loose.corners) {
    MeshTriangle triangle;
    for (int i = 0; i < 3; ++i) {
      Vec3 point{};
      for (int axis = 0; axis < 3; ++axis) {
        point[axis] = corners[i][axis] * mm_per_unit + 0.0;  // -0 is 0
        if (!std::isfinite(point[axis])) {
          return {{}, "has a corner that is no number"};
        }
      }
      const auto [place, is_new] = known.try_emplace(point, static_cast<int>(all.points.size()));
      if (is_new) {
        all.points.push_back(point);
      }
      triangle.points[i] = place->second;
    }
    all.add(triangle, nullptr);
  }
  Islands islands(all.points.size());
  for (const MeshTriangle& triangle : all.triangles) {
    islands.join(triangle.points[0], triangle.points[1]);
    islands.join(triangle.points[0], triangle.points[2]);
  }
  std::map<int, PartMesh> bodies;
  std::vector<int> own(all.points.size(), -1);
  for (const MeshTriangle& triangle : all.triangles) {
    PartMesh& body = bodies[islands.of(triangle.points[0])];
    MeshTriangle mine;
    for (int i = 0; i < 3; ++i) {
      int& index = own[triangle.points[i]];
      if (index < 0) {
        index = static_cast<int>(body.points.size());
        body.points.push_back(all.points[triangle.points[i]]);
      }
      mine.points[i] = index;
    }
    body.triangles.push_back(mine);
  }
  ClosedBodies out;
  for (auto& [first, body] : bodies) {
    if (const std::string fault = edgeFault(body); !fault.empty()) {
      return {{}, fault};
    }
    body.face_count = 1;
    const double volume = body.volumeMm3();
    if (std::abs(volume) <= 1e-9 * body.areaMm2()) {
      return {{}, "has a body without thickness at " + at(body.points.front())};
    }
    if (volume < 0) {
      for (MeshTriangle& triangle : body.triangles) {
        std::swap(triangle.points[1], triangle.points[2]);
      }
    }
    out.bodies.push_back(std::move(body));
  }
  return out;
}

}  // namespace leafstack
