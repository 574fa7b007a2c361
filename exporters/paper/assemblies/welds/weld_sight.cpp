#include "exporters/paper/assemblies/welds/weld_sight.h"

#include <algorithm>
#include <cmath>
#include <gp_XYZ.hxx>
#include <limits>
#include <optional>

#include "exporters/paper/views/solids/view_solid.h"

namespace leafstack {
namespace {

constexpr double kLongSeamMm = 60;  // longer ones are looked at in more than one place
constexpr double kBeforeMm = 1e-3;  // nearer than this is the seam's own face
constexpr std::size_t kMostNamed = 3;

/// In the metal of a seam.
std::vector<Vec3> pointsOf(const WeldSeam& seam) {
  std::vector<Vec3> points;
  const Vec3 along = minus(seam.to, seam.from);
  for (const double share : {0.5, 0.2, 0.8}) {
    points.push_back(plus(plus(seam.from, along, share), seam.into_mm));
    if (norm(along) < kLongSeamMm) {
      break;
    }
  }
  return points;
}

/// Whether a ray meets a triangle, past its start (Moeller and Trumbore's way, from memory).
bool meets(const std::array<Vec3, 3>& corners, const Vec3& from, const Vec3& along) {
  const Vec3 u = minus(corners[1], corners[0]);
  const Vec3 v = minus(corners[2], corners[0]);
  const Vec3 p = cross(along, v);
  const double volume = dot(u, p);
  constexpr double kEdgeOn = 1e-9;
  if (std::abs(volume) < kEdgeOn) {
    return false;
  }
  const Vec3 off = minus(from, corners[0]);
  const double a = dot(off, p) / volume;
  const Vec3 q = cross(off, u);
  const double b = dot(along, q) / volume;
  return a >= 0 && b >= 0 && a + b <= 1 && dot(v, q) / volume > kBeforeMm;
}

/// Whether a triangle comes nearer to a point than so far: its plane within, or one of its sides.
bool isNear(const std::array<Vec3, 3>& corners, const Vec3& point, double mm) {
  for (int axis = 0; axis < 3; ++axis) {
    const auto [low, high] = std::minmax({corners[0][axis], corners[1][axis], corners[2][axis]});
    if (point[axis] < low - mm || point[axis] > high + mm) {
      return false;
    }
  }
  const Vec3 normal = cross(minus(corners[1], corners[0]), minus(corners[2], corners[0]));
  bool is_over = true;
  for (int i = 0; i < 3; ++i) {
    const Vec3 side = minus(corners[(i + 1) % 3], corners[i]);
    const Vec3 off = minus(point, corners[i]);
    is_over = is_over && dot(cross(side, off), normal) >= 0;
    const double share = std::clamp(dot(off, side) / dot(side, side), 0.0, 1.0);
    if (norm(minus(off, plus({}, side, share))) < mm) {
      return true;
    }
  }
  return is_over && std::abs(dot(minus(point, corners[0]), normal)) < mm * norm(normal);
}

/// Whether a ray passes through a box, past its start.
bool meets(const Bounds& box, const Vec3& from, const Vec3& along) {
  double low = 0, high = std::numeric_limits<double>::infinity();
  for (int axis = 0; axis < 3; ++axis) {
    if (std::abs(along[axis]) < kBeforeMm) {
      if (from[axis] < box.low[axis] || from[axis] > box.high[axis]) {
        return false;
      }
      continue;
    }
    const double a = (box.low[axis] - from[axis]) / along[axis];
    const double b = (box.high[axis] - from[axis]) / along[axis];
    low = std::max(low, std::min(a, b));
    high = std::min(high, std::max(a, b));
  }
  return low <= high;
}

Vec3 moved(const gp_Trsf& motion, const Vec3& point) {
  gp_XYZ at(point[0], point[1], point[2]);
  motion.Transforms(at);
  return {at.X(), at.Y(), at.Z()};
}

}  // namespace

std::vector<WeldEye> eyesOfFrame() {
  return {{fromRoad().toward, ""},
          {fromProperty().toward, "from the property side"},
          {fromAbove().toward, "from above"},
          {fromBelow().toward, "from below"}};
}

WeldSight::WeldSight(const GateViews& views, const std::vector<int>& hiders) : views_(views) {
  for (const int i : hiders) {
    hiders_.push_back({i, views.model().instances[i].at_closed.Transformation().Inverted()});
  }
}

bool WeldSight::hides(const Hider& hider, const Vec3& point, const Vec3& toward) const {
  const Instance& one = views_.model().instances[hider.instance];
  const Vec3 from = moved(hider.inverse, point);
  const Vec3 along = minus(moved(hider.inverse, plus(point, toward)), from);
  if (!meets(views_.partOf(one).bounds, from, along)) {
    return false;
  }
  const PartMesh& mesh = views_.solidOf(one.part)->mesh();
  return std::any_of(mesh.triangles.begin(), mesh.triangles.end(),
                     [&](const MeshTriangle& triangle) {
                       const auto& [a, b, c] = triangle.points;
                       return meets({mesh.points[a], mesh.points[b], mesh.points[c]}, from, along);
                     });
}

/// Seams run on across slots and holes of a face, where nothing is laid: beside both parts.
bool WeldSight::isLaid(const Vec3& point, const std::array<int, 2>& parts) const {
  constexpr double kBesideMm = 8;
  return std::all_of(parts.begin(), parts.end(), [&](int i) {
    const Instance& one = views_.model().instances[i];
    const Vec3 at = moved(one.at_closed.Transformation().Inverted(), point);
    const PartMesh& mesh = views_.solidOf(one.part)->mesh();
    return std::any_of(
        mesh.triangles.begin(), mesh.triangles.end(), [&](const MeshTriangle& triangle) {
          const auto& [a, b, c] = triangle.points;
          return isNear({mesh.points[a], mesh.points[b], mesh.points[c]}, at, kBesideMm);
        });
  });
}

std::vector<int> WeldSight::before(const Vec3& point, const Vec3& toward) const {
  std::vector<int> found;
  for (const Hider& hider : hiders_) {
    if (hides(hider, point, toward)) {
      found.push_back(hider.instance);
    }
  }
  return found;
}

/// What comes after the weld; of a weld that only its own two parts hide, which of them it is in.
std::string WeldSight::marksOf(const std::vector<int>& instances, const WeldGroup& group) const {
  std::vector<std::string> marks;
  std::string own;
  for (const int i : instances) {
    const std::string& mark = views_.partOf(views_.model().instances[i]).mark;
    if (mark == group.a || mark == group.b) {
      own = mark;
    } else if (std::find(marks.begin(), marks.end(), mark) == marks.end()) {
      marks.push_back(mark);
    }
  }
  if (marks.empty()) {
    return "within " + own;
  }
  std::string words = "before ";
  for (std::size_t i = 0; i < std::min(marks.size(), kMostNamed); ++i) {
    words += (i > 0 ? ", " : "") + marks[i];
  }
  return words;
}

std::vector<SeenWeld> WeldSight::seen(const WeldGroup& group, const std::vector<WeldEye>& eyes,
                                      const std::function<bool(const Vec3&)>& is_shown) const {
  std::vector<SeenWeld> all;
  for (std::size_t s = 0; s < group.signs.size(); ++s) {
    struct Best {
      std::size_t eye = 0;
      Vec3 at{};
      std::vector<int> hiders;
    };
    std::optional<Best> best;
    for (std::size_t e = 0; e < eyes.size() && (!best || !best->hiders.empty()); ++e) {
      for (const WeldSeam& seam : group.seams[s]) {
        for (const Vec3& point : pointsOf(seam)) {
          if ((best && best->hiders.empty()) || !is_shown(point) ||
              !isLaid(point, group.of_signs[s])) {
            continue;
          }
          std::vector<int> hiders = before(point, eyes[e].toward);
          if (!best || hiders.size() < best->hiders.size()) {
            best = Best{e, point, std::move(hiders)};
          }
        }
      }
    }
    SeenWeld one{0, group};
    one.group.signs = {group.signs[s]};
    one.group.seams = {group.seams[s]};
    one.group.of_signs = {group.of_signs[s]};
    if (best) {
      one.group.at = best->at;
      const bool has_view = eyes[best->eye].words.empty();
      one.eye = has_view ? static_cast<int>(best->eye) : 0;
      std::string words = eyes[best->eye].words;
      if (!best->hiders.empty()) {
        words += (words.empty() ? "" : ", ") + marksOf(best->hiders, group);
      }
      one.group.signs.front().where = words;
    }
    // Signs of a joint that are seen alike stand on one arrow.
    const auto alike = std::find_if(all.begin(), all.end(), [&](const SeenWeld& other) {
      return other.eye == one.eye &&
             other.group.signs.front().where == one.group.signs.front().where;
    });
    if (alike == all.end()) {
      all.push_back(std::move(one));
    } else {
      alike->group.signs.push_back(one.group.signs.front());
      alike->group.seams.push_back(one.group.seams.front());
      alike->group.of_signs.push_back(one.group.of_signs.front());
    }
  }
  return all;
}

std::vector<WeldGroup> WeldSight::inOneView(const std::vector<WeldGroup>& groups,
                                            const std::vector<WeldEye>& eyes) const {
  std::vector<WeldGroup> all;
  for (const WeldGroup& group : groups) {
    for (SeenWeld& one : seen(group, eyes, [](const Vec3&) { return true; })) {
      all.push_back(std::move(one.group));
    }
  }
  return all;
}

}  // namespace leafstack
