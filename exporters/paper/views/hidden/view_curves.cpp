#include <algorithm>
#include <map>
#include <tuple>

#include "exporters/paper/views/hidden/stretches.h"

namespace leafstack {
namespace {

// Ends nearer than this meet.
constexpr double kMeetMm = 0.01;
// Chords of an ellipse.
constexpr double kEllipseSagittaMm = 0.02;
// Corners that turn less than this are none.
constexpr double kStraightOnMm = 1e-4;
constexpr double kWholeTurnRad = 1e-9;

PathVertex vertex(const FlatPoint& p, double bulge = 0) {
  return {p[0], p[1], bulge};
}

double bulgeOf(double turn) {
  return std::tan(turn / 4);
}

bool isWholeTurn(const DrawnStretch& stretch) {
  return stretch.is_arc && stretch.angles.to - stretch.angles.from >
                               kTurnRad - kWholeTurnRad - kMeetMm / stretch.ring.along;
}

/// The angles an arc is drawn through: a circle's in pieces of at most half a turn, an ellipse's
/// chords always at the same places of it.
std::vector<double> anglesOf(const DrawnStretch& stretch) {
  const Interval& angles = stretch.angles;
  const double turn = angles.to - angles.from;
  std::vector<double> places = {angles.from};
  if (stretch.ring.isCircle()) {
    if (turn > kTurnRad / 2 + kWholeTurnRad) {
      places.push_back(angles.from + turn / 2);
    }
  } else {
    const double step =
        kTurnRad /
        (4 * std::ceil(chordSteps(stretch.ring.along, kTurnRad, kEllipseSagittaMm) / 4.0));
    for (double k = std::floor(angles.from / step) + 1; k * step < angles.to; ++k) {
      places.push_back(k * step);
    }
  }
  places.push_back(angles.to);
  return places;
}

std::vector<PathVertex> verticesOf(const DrawnStretch& stretch) {
  if (!stretch.is_arc) {
    return {vertex(stretch.from), vertex(stretch.to)};
  }
  const std::vector<double> angles = anglesOf(stretch);
  std::vector<PathVertex> vertices;
  for (std::size_t i = 0; i < angles.size(); ++i) {
    const bool bends = stretch.ring.isCircle() && i + 1 < angles.size();
    vertices.push_back(
        vertex(stretch.ring.at(angles[i]), bends ? bulgeOf(angles[i + 1] - angles[i]) : 0));
  }
  return vertices;
}

ViewCurve curveOf(const DrawnStretch& stretch) {
  ViewCurve curve;
  curve.solid = stretch.solid;
  curve.is_hidden = stretch.is_hidden;
  curve.is_contour = stretch.is_contour;
  curve.vertices = verticesOf(stretch);
  if (isWholeTurn(stretch)) {
    DrawnStretch whole = stretch;
    whole.angles.to = whole.angles.from + kTurnRad;
    curve.vertices = verticesOf(whole);
    curve.vertices.pop_back();
    curve.is_closed = true;
  }
  return curve;
}

std::vector<PathVertex> reversed(const std::vector<PathVertex>& vertices) {
  std::vector<PathVertex> back(vertices.rbegin(), vertices.rend());
  for (std::size_t i = 0; i + 1 < back.size(); ++i) {
    back[i].bulge = 0 - back[i + 1].bulge;
  }
  back.back().bulge = 0;
  return back;
}

bool meets(const PathVertex& a, const PathVertex& b) {
  return std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm) < kMeetMm;
}

/// Leaves out corners on a straight run.
std::vector<PathVertex> straightened(const std::vector<PathVertex>& vertices) {
  std::vector<PathVertex> kept;
  for (std::size_t i = 0; i < vertices.size(); ++i) {
    if (i > 0 && i + 1 < vertices.size() && kept.back().bulge == 0 && vertices[i].bulge == 0) {
      const PathVertex& a = kept.back();
      const PathVertex& b = vertices[i + 1];
      const double run = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
      const double x = vertices[i].x_mm - a.x_mm;
      const double y = vertices[i].y_mm - a.y_mm;
      const double along = run > 0 ? (x * (b.x_mm - a.x_mm) + y * (b.y_mm - a.y_mm)) / run : -1;
      const double beside =
          run > 0 ? std::abs(x * (b.y_mm - a.y_mm) - y * (b.x_mm - a.x_mm)) / run : 1;
      if (beside < kStraightOnMm && along >= 0 && along <= run) {
        continue;
      }
    }
    kept.push_back(vertices[i]);
  }
  return kept;
}

/// Curves of one kind, joined where exactly two of their ends meet.
class Joiner {
 public:
  explicit Joiner(std::vector<ViewCurve> curves) : curves_(std::move(curves)) {
    for (int i = 0; i < static_cast<int>(curves_.size()); ++i) {
      if (!curves_[i].is_closed) {
        addEnd({i, true});
        addEnd({i, false});
      }
    }
  }

  std::vector<ViewCurve> joined() {
    used_.assign(curves_.size(), false);
    std::vector<ViewCurve> result;
    for (int i = 0; i < static_cast<int>(curves_.size()); ++i) {
      if (!used_[i]) {
        result.push_back(walk(i));
      }
    }
    return result;
  }

 private:
  struct End {
    int curve = 0;
    bool is_front = false;
  };
  using Cell = std::array<long long, 2>;

  const PathVertex& at(const End& end) const {
    const auto& vertices = curves_[end.curve].vertices;
    return end.is_front ? vertices.front() : vertices.back();
  }
  static Cell cellOf(const PathVertex& p) {
    return {static_cast<long long>(std::floor(p.x_mm / kMeetMm)),
            static_cast<long long>(std::floor(p.y_mm / kMeetMm))};
  }
  void addEnd(const End& end) { cells_[cellOf(at(end))].push_back(end); }

  /// The one other end that meets `end`.
  std::optional<End> partner(const End& end) const {
    const Cell cell = cellOf(at(end));
    std::optional<End> found;
    for (int step = 0; step < 9; ++step) {
      const auto known = cells_.find({cell[0] + step % 3 - 1, cell[1] + step / 3 - 1});
      if (known == cells_.end()) {
        continue;
      }
      for (const End& other : known->second) {
        const bool is_self = other.curve == end.curve && other.is_front == end.is_front;
        if (!is_self && meets(at(other), at(end))) {
          if (found) {
            return std::nullopt;
          }
          found = other;
        }
      }
    }
    return found;
  }

  ViewCurve walk(int first) {
    used_[first] = true;
    ViewCurve path = curves_[first];
    if (path.is_closed) {
      return path;
    }
    std::vector<PathVertex> forward = follow({first, false});
    std::vector<PathVertex> vertices = curves_[first].vertices;
    append(vertices, forward);
    if (!closes_) {
      std::vector<PathVertex> back = reversed(vertices);
      append(back, follow({first, true}));
      vertices = reversed(back);
    }
    path.is_closed = closes_;
    path.vertices = straightened(vertices);
    if (path.is_closed) {
      path.vertices.pop_back();
    }
    return path;
  }

  static void append(std::vector<PathVertex>& vertices, const std::vector<PathVertex>& more) {
    if (!more.empty()) {
      vertices.back().bulge = more.front().bulge;
      vertices.insert(vertices.end(), more.begin() + 1, more.end());
    }
  }

  /// What follows from one end on, beginning with that end again.
  std::vector<PathVertex> follow(End end) {
    std::vector<PathVertex> vertices;
    closes_ = false;
    const int first = end.curve;
    while (const auto next = partner(end)) {
      if (used_[next->curve]) {
        closes_ = next->curve == first &&
                  !(next->curve == end.curve && curves_[first].vertices.size() < 3);
        break;
      }
      used_[next->curve] = true;
      const auto& own = curves_[next->curve].vertices;
      const auto run = next->is_front ? own : reversed(own);
      if (vertices.empty()) {
        vertices.push_back(at(end));
        vertices.back().bulge = 0;
      }
      append(vertices, run);
      end = {next->curve, !next->is_front};
    }
    return vertices;
  }

  std::vector<ViewCurve> curves_;
  std::map<Cell, std::vector<End>> cells_;
  std::vector<bool> used_;
  bool closes_ = false;
};

}  // namespace

std::vector<ViewCurve> curvesOf(const std::vector<DrawnStretch>& stretches) {
  std::map<std::tuple<int, bool, bool>, std::vector<ViewCurve>> kinds;
  for (const DrawnStretch& stretch : stretches) {
    kinds[{stretch.solid, stretch.is_hidden, !stretch.is_contour}].push_back(curveOf(stretch));
  }
  std::vector<ViewCurve> result;
  for (auto& [kind, curves] : kinds) {
    for (ViewCurve& curve : Joiner(std::move(curves)).joined()) {
      result.push_back(std::move(curve));
    }
  }
  return result;
}

}  // namespace leafstack
