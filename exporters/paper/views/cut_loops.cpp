#include "exporters/paper/views/cut_loops.h"

#include <algorithm>
#include <map>
#include <optional>

namespace leafstack {
namespace {

// The nearest ends meet first. Triangles of neighbouring faces part by the sum of their chords'
// errors; where a plane grazes a face, a bit of it that should lie between may be missing.
constexpr double kPartMm = 2;
// A chord that bends less than this needs no corner in its middle.
constexpr double kBendMm = 1e-6;
// No triangle is further from its surface; a point that is moved more was moved astray.
constexpr double kMostMoveMm = 0.5;
constexpr double kExactMm = 1e-10;
constexpr int kNewtonSteps = 20;
constexpr double kLeastAreaMm2 = 1e-6;
constexpr double kSamePointMm = 1e-7;
constexpr double kAlongAxis = 1e-9;

/// The cut through one face, material on the left.
struct Run {
  int face = 0;
  std::vector<FlatPoint> points;
};

double distance(const FlatPoint& a, const FlatPoint& b) {
  return std::hypot(a[0] - b[0], a[1] - b[1]);
}

class LoopMaker {
 public:
  LoopMaker(const ViewSolid& solid, const ViewFrame& frame, double depth_mm)
      : solid_(solid), frame_(frame), depth_(depth_mm) {
    for (const Vec3& point : solid.mesh().points) {
      points_.push_back(frame.point(point));
    }
  }

  std::vector<std::vector<PathVertex>> loops() {
    for (int face = 0; face < static_cast<int>(solid_.faces().size()); ++face) {
      addRuns(face);
    }
    matchEnds();
    std::vector<bool> used(runs_.size(), false);
    std::vector<std::vector<PathVertex>> result;
    for (int first = 0; first < static_cast<int>(runs_.size()); ++first) {
      std::vector<int> around;
      int run = first;
      while (run >= 0 && !used[run]) {
        used[run] = true;
        around.push_back(run);
        run = next_[run];
      }
      if (run == first && !around.empty()) {  // else it does not close: the mesh has a hole
        std::vector<PathVertex> loop = vertices(around);
        if (std::abs(signedAreaMm2(loop)) > kLeastAreaMm2) {
          result.push_back(std::move(loop));
        }
      }
    }
    return result;
  }

 private:
  using Border = std::array<int, 2>;

  // ---------------------------------------------------------------- runs through faces

  FlatPoint crossing(const Border& border) const {
    const Vec3& a = points_[border[0]];
    const Vec3& b = points_[border[1]];
    const double share = (depth_ - a[2]) / (b[2] - a[2]);
    return {std::lerp(a[0], b[0], share), std::lerp(a[1], b[1], share)};
  }

  void addRuns(int face) {
    const ViewFace& read = solid_.faces()[face];
    std::map<Border, Border> onward;  // from border to border of the triangles
    std::map<Border, bool> is_reached;
    for (int t = read.first_triangle; t < read.first_triangle + read.triangle_count; ++t) {
      const auto& corners = solid_.mesh().triangles[t].points;
      std::optional<Border> enter;
      std::optional<Border> leave;
      for (int i = 0; i < 3; ++i) {
        const int a = corners[i];
        const int b = corners[(i + 1) % 3];
        const Border border = {std::min(a, b), std::max(a, b)};
        if (points_[a][2] < depth_ && points_[b][2] > depth_) {
          leave = border;  // walking round the triangle from outside, the cut leaves on the way up
        } else if (points_[a][2] > depth_ && points_[b][2] < depth_) {
          enter = border;
        }
      }
      if (enter && leave) {
        onward[*enter] = *leave;
        is_reached[*leave] = true;
      }
    }
    std::vector<Border> starts;
    for (const auto& [from, to] : onward) {
      if (!is_reached.count(from)) {
        starts.push_back(from);
      }
    }
    for (const Border& from : starts) {
      addRun(face, from, onward);
    }
    while (!onward.empty()) {
      const Border from = onward.begin()->first;
      addRun(face, from, onward);
    }
  }

  void addRun(int face, Border at, std::map<Border, Border>& onward) {
    Run run{face, {crossing(at)}};
    for (auto step = onward.find(at); step != onward.end(); step = onward.find(at)) {
      at = step->second;
      onward.erase(step);
      run.points.push_back(crossing(at));
    }
    const ViewFace& read = solid_.faces()[face];
    if (read.is_flat) {
      run.points = {run.points.front(), run.points.back()};
    }
    if (read.round) {
      run.points = bent(run);
    }
    runs_.push_back(run);
  }

  /// The points moved onto the round face, and one more on each chord that leaves it.
  std::vector<FlatPoint> bent(const Run& run) const {
    std::vector<FlatPoint> points;
    for (const FlatPoint& point : run.points) {
      const FlatPoint exact = moved(point, run.face, run.face);
      if (!points.empty()) {
        const FlatPoint middle = {(points.back()[0] + exact[0]) / 2,
                                  (points.back()[1] + exact[1]) / 2};
        const FlatPoint on_face = moved(middle, run.face, run.face);
        if (distance(middle, on_face) > kBendMm) {
          points.push_back(on_face);
        }
      }
      points.push_back(exact);
    }
    return points;
  }

  // ---------------------------------------------------------------- exact points

  struct Gap {
    double mm = 0;
    FlatPoint slope{};
  };

  /// How far outside a face's surface a point of the plane lies.
  std::optional<Gap> gapTo(int face, const FlatPoint& point) const {
    const ViewFace& read = solid_.faces()[face];
    const Vec3 own = frame_.own({point[0], point[1], depth_});
    if (!read.is_flat && !read.round) {
      return std::nullopt;
    }
    const Vec3 normal = read.is_flat ? read.normal : read.round->normalAt(own);
    const double mm =
        read.is_flat ? dot(read.normal, minus(own, read.origin)) : read.round->signedDistance(own);
    const Vec3 seen = frame_.direction(normal);
    return Gap{mm, {seen[0], seen[1]}};
  }

  /// `point` moved within the plane onto the surfaces of two faces, or as near as it is sure.
  FlatPoint moved(const FlatPoint& point, int face_a, int face_b) const {
    FlatPoint at = point;
    for (int i = 0; i < kNewtonSteps; ++i) {
      const auto a = gapTo(face_a, at);
      const auto b = gapTo(face_b, at);
      if (!a || !b) {
        return point;
      }
      const FlatPoint step = stepTo(*a, *b);
      at = {at[0] + step[0], at[1] + step[1]};
      if (distance(at, point) > kMostMoveMm || !std::isfinite(at[0] + at[1])) {
        return point;
      }
      if (std::abs(step[0]) + std::abs(step[1]) < kExactMm) {
        break;
      }
    }
    return at;
  }

  static FlatPoint stepTo(const Gap& a, const Gap& b) {
    constexpr double kSameSlope = 1e-3;  // smooth joints: one surface decides
    const double turn = a.slope[0] * b.slope[1] - a.slope[1] * b.slope[0];
    const double squared = a.slope[0] * a.slope[0] + a.slope[1] * a.slope[1];
    if (std::abs(turn) > kSameSlope) {
      return {(b.mm * a.slope[1] - a.mm * b.slope[1]) / turn,
              (a.mm * b.slope[0] - b.mm * a.slope[0]) / turn};
    }
    return squared > kSameSlope
               ? FlatPoint{-a.mm * a.slope[0] / squared, -a.mm * a.slope[1] / squared}
               : FlatPoint{};
  }

  // ---------------------------------------------------------------- loops

  /// Ends to beginnings, the nearest first.
  void matchEnds() {
    next_.assign(runs_.size(), -1);
    std::vector<bool> is_taken(runs_.size(), false);
    struct Pair {
      double mm = 0;
      int from = 0, to = 0;
    };
    std::vector<Pair> pairs;
    for (int i = 0; i < static_cast<int>(runs_.size()); ++i) {
      for (int j = 0; j < static_cast<int>(runs_.size()); ++j) {
        const double mm = distance(runs_[i].points.back(), runs_[j].points.front());
        if (mm < kPartMm) {
          pairs.push_back({mm, i, j});
        }
      }
    }
    std::stable_sort(pairs.begin(), pairs.end(),
                     [](const Pair& a, const Pair& b) { return a.mm < b.mm; });
    for (const Pair& pair : pairs) {
      if (next_[pair.from] < 0 && !is_taken[pair.to]) {
        next_[pair.from] = pair.to;
        is_taken[pair.to] = true;
        join(runs_[pair.from], runs_[pair.to]);
      }
    }
  }

  void join(Run& from, Run& to) const {
    const FlatPoint& a = from.points.back();
    const FlatPoint& b = to.points.front();
    const FlatPoint middle = {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2};
    from.points.back() = to.points.front() = moved(middle, from.face, to.face);
  }

  std::vector<PathVertex> vertices(const std::vector<int>& around) const {
    std::vector<PathVertex> loop;
    for (int index : around) {
      for (const PathVertex& vertex : verticesOf(runs_[index])) {
        const bool is_same = !loop.empty() && loop.back().bulge == 0 &&
                             distance({loop.back().x_mm, loop.back().y_mm},
                                      {vertex.x_mm, vertex.y_mm}) < kSamePointMm;
        if (is_same) {
          loop.back().bulge = vertex.bulge;
        } else {
          loop.push_back(vertex);
        }
      }
    }
    return loop;
  }

  /// All but the last point, which is the next run's first.
  std::vector<PathVertex> verticesOf(const Run& run) const {
    const auto& round = solid_.faces()[run.face].round;
    const bool is_arc = round && round->kind() == RoundKind::kCylinder &&
                        std::abs(dot(round->axis(), frame_.toward())) > 1 - kAlongAxis;
    std::vector<PathVertex> vertices;
    if (!is_arc) {
      for (std::size_t i = 0; i + 1 < run.points.size(); ++i) {
        vertices.push_back({run.points[i][0], run.points[i][1], 0});
      }
      return vertices;
    }
    const Vec3 seen = frame_.point(round->centre());
    const FlatPoint centre = {seen[0], seen[1]};
    double turn = 0;
    for (std::size_t i = 0; i + 1 < run.points.size(); ++i) {
      turn += angleBetween(centre, run.points[i], run.points[i + 1]);
    }
    const double start = std::atan2(run.points[0][1] - centre[1], run.points[0][0] - centre[0]);
    const double radius = round->radius();
    const int pieces = std::abs(turn) > std::numbers::pi * (1 + kAlongAxis) ? 2 : 1;
    vertices.push_back({run.points[0][0], run.points[0][1], 0});
    if (pieces == 2) {
      vertices.push_back({centre[0] + radius * std::cos(start + turn / 2),
                          centre[1] + radius * std::sin(start + turn / 2), 0});
    }
    for (PathVertex& vertex : vertices) {
      vertex.bulge = std::tan(turn / pieces / 4);
    }
    return vertices;
  }

  static double angleBetween(const FlatPoint& centre, const FlatPoint& a, const FlatPoint& b) {
    const double ax = a[0] - centre[0];
    const double ay = a[1] - centre[1];
    const double bx = b[0] - centre[0];
    const double by = b[1] - centre[1];
    return std::atan2(ax * by - ay * bx, ax * bx + ay * by);
  }

  const ViewSolid& solid_;
  const ViewFrame& frame_;
  double depth_ = 0;
  std::vector<Vec3> points_;
  std::vector<Run> runs_;
  std::vector<int> next_;
};

}  // namespace

std::vector<std::vector<PathVertex>> cutLoops(const ViewSolid& solid, const ViewFrame& frame,
                                              double depth_mm) {
  return LoopMaker(solid, frame, depth_mm).loops();
}

double signedAreaMm2(const std::vector<PathVertex>& loop) {
  double area = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const PathVertex& a = loop[i];
    const PathVertex& b = loop[(i + 1) % loop.size()];
    const PathVertex& origin = loop.front();
    area += ((a.x_mm - origin.x_mm) * (b.y_mm - origin.y_mm) -
             (a.y_mm - origin.y_mm) * (b.x_mm - origin.x_mm)) /
            2;
    if (a.bulge != 0) {
      const double turn = 4 * std::atan(a.bulge);
      const double radius = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm) / 2 / std::sin(turn / 2);
      area += radius * radius * (turn - std::sin(turn)) / 2;
    }
  }
  return area;
}

}  // namespace leafstack
