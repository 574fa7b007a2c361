#include "generator/geometry/polygon.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

namespace leafstack {
namespace {

// Triangles must add up to the polygon's area to this share of it.
constexpr double kSameArea = 1e-9;

double turn(const FlatPoint& a, const FlatPoint& b, const FlatPoint& c) {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/// Inside or on the edge of a triangle that turns left.
bool holds(const FlatPoint& a, const FlatPoint& b, const FlatPoint& c, const FlatPoint& p) {
  return turn(a, b, p) >= 0 && turn(b, c, p) >= 0 && turn(c, a, p) >= 0;
}

/// Makes triangles as stout as their corners allow, by Delaunay's flips; each turns left. Ears are
/// needles where holes lie far apart.
class Flips {
 public:
  Flips(std::vector<std::array<int, 3>>& triangles, const std::vector<FlatPoint>& points)
      : triangles_(triangles), points_(points), beside_(triangles.size(), {-1, -1, -1}) {
    pairSides();
  }

  void run() {
    std::vector<int> waiting(triangles_.size());
    std::iota(waiting.rbegin(), waiting.rend(), 0);
    while (!waiting.empty()) {
      const int t = waiting.back();
      waiting.pop_back();
      for (int side = 0; side < 3; ++side) {
        if (isWorse(t, side)) {
          const int other = beside_[t][side];
          flip(t, side);
          waiting.insert(waiting.end(), {t, other});
          break;
        }
      }
    }
  }

 private:
  /// Which triangles lie on either side of a side.
  void pairSides() {
    struct Half {
      std::array<int, 2> ends;
      int triangle, side;
    };
    std::vector<Half> halves;
    for (int t = 0; t < static_cast<int>(triangles_.size()); ++t) {
      for (int side = 0; side < 3; ++side) {
        const auto [low, high] = std::minmax(triangles_[t][side], triangles_[t][(side + 1) % 3]);
        halves.push_back({{low, high}, t, side});
      }
    }
    std::sort(halves.begin(), halves.end(), [](const Half& a, const Half& b) {
      return a.ends != b.ends ? a.ends < b.ends : a.triangle < b.triangle;
    });
    for (std::size_t i = 0; i + 1 < halves.size(); ++i) {
      const Half& a = halves[i];
      const Half& b = halves[i + 1];
      if (a.ends == b.ends) {
        beside_[a.triangle][a.side] = b.triangle;
        beside_[b.triangle][b.side] = a.triangle;
      }
    }
  }

  /// The corner of `t` that is neither end of a side.
  static int placeBeyond(const std::array<int, 3>& t, int a, int b) {
    return t[0] != a && t[0] != b ? 0 : t[1] != a && t[1] != b ? 1 : 2;
  }

  /// Do the two corners across from a side see it under more than half a turn together?
  bool isWorse(int t, int side) const {
    const int other = beside_[t][side];
    if (other < 0) {
      return false;
    }
    const int a = triangles_[t][side];
    const int b = triangles_[t][(side + 1) % 3];
    const FlatPoint& c = points_[triangles_[t][(side + 2) % 3]];
    const FlatPoint& d = points_[triangles_[other][placeBeyond(triangles_[other], a, b)]];
    const FlatPoint ca = {points_[a][0] - c[0], points_[a][1] - c[1]};
    const FlatPoint cb = {points_[b][0] - c[0], points_[b][1] - c[1]};
    const FlatPoint da = {points_[a][0] - d[0], points_[a][1] - d[1]};
    const FlatPoint db = {points_[b][0] - d[0], points_[b][1] - d[1]};
    const double sine_c = ca[0] * cb[1] - ca[1] * cb[0];
    const double sine_d = db[0] * da[1] - db[1] * da[0];
    const double cosine_c = ca[0] * cb[0] + ca[1] * cb[1];
    const double cosine_d = da[0] * db[0] + da[1] * db[1];
    const double lengths =
        std::sqrt((ca[0] * ca[0] + ca[1] * ca[1]) * (cb[0] * cb[0] + cb[1] * cb[1]) *
                  (da[0] * da[0] + da[1] * da[1]) * (db[0] * db[0] + db[1] * db[1]));
    constexpr double kGain = 1e-9;  // above rounding, so that corners on one circle come to rest
    return sine_c * cosine_d + cosine_c * sine_d < -kGain * lengths;
  }

  void flip(int t, int side) {
    const int other = beside_[t][side];
    const int a = triangles_[t][side];
    const int b = triangles_[t][(side + 1) % 3];
    const int c = triangles_[t][(side + 2) % 3];
    const int at_d = placeBeyond(triangles_[other], a, b);
    const int d = triangles_[other][at_d];
    // `other` runs a, d, b.
    const int beyond_bc = beside_[t][(side + 1) % 3];
    const int beyond_ca = beside_[t][(side + 2) % 3];
    const int beyond_db = beside_[other][at_d];
    const int beyond_ad = beside_[other][(at_d + 2) % 3];
    triangles_[t] = {c, a, d};
    beside_[t] = {beyond_ca, beyond_ad, other};
    triangles_[other] = {d, b, c};
    beside_[other] = {beyond_db, beyond_bc, t};
    redirect(beyond_ad, other, t);
    redirect(beyond_bc, t, other);
  }

  /// `triangle` has another neighbour now.
  void redirect(int triangle, int from, int to) {
    if (triangle >= 0) {
      std::replace(beside_[triangle].begin(), beside_[triangle].end(), from, to);
    }
  }

  std::vector<std::array<int, 3>>& triangles_;
  const std::vector<FlatPoint>& points_;
  std::vector<std::array<int, 3>> beside_;  ///< by side, from corner i to i + 1; -1 on the border
};

class EarClipping {
 public:
  explicit EarClipping(const std::vector<std::vector<FlatPoint>>& loops) {
    for (const auto& loop : loops) {
      const int first = static_cast<int>(points_.size());
      points_.insert(points_.end(), loop.begin(), loop.end());
      std::vector<int> ring(loop.size());
      std::iota(ring.begin(), ring.end(), first);
      const bool is_outline = rings_.empty();
      const double area = signedArea(loop);
      area_ += is_outline ? std::abs(area) : -std::abs(area);
      if ((area > 0) != is_outline) {
        std::reverse(ring.begin(), ring.end());
      }
      rings_.push_back(std::move(ring));
    }
  }

  std::vector<std::array<int, 3>> run() {
    std::sort(rings_.begin() + 1, rings_.end(),
              [&](const std::vector<int>& p, const std::vector<int>& q) {
                return points_[rightmost(p)][0] > points_[rightmost(q)][0];
              });
    for (std::size_t hole = 1; hole < rings_.size(); ++hole) {
      if (!bridge(rings_[hole])) {
        return {};
      }
    }
    cutEars();
    double total = 0;
    for (const auto& [a, b, c] : triangles_) {
      total += turn(points_[a], points_[b], points_[c]) / 2;
    }
    if (std::abs(total - area_) > kSameArea * std::abs(area_)) {
      return {};
    }
    Flips(triangles_, points_).run();
    return std::move(triangles_);
  }

 private:
  const FlatPoint& at(std::size_t i) const { return points_[rings_[0][i % rings_[0].size()]]; }

  int rightmost(const std::vector<int>& ring) const {
    return *std::max_element(ring.begin(), ring.end(),
                             [&](int p, int q) { return points_[p] < points_[q]; });
  }

  /// Joins a hole to the outline by two coincident edges from its rightmost point.
  bool bridge(const std::vector<int>& hole) {
    const int from = rightmost(hole);
    const int to = visibleFrom(points_[from]);
    if (to < 0) {
      return false;
    }
    std::vector<int>& outline = rings_[0];
    const auto start = std::find(hole.begin(), hole.end(), from);
    std::vector<int> detour(start, hole.end());
    detour.insert(detour.end(), hole.begin(), start);
    detour.push_back(from);
    detour.push_back(outline[to]);
    outline.insert(outline.begin() + to + 1, detour.begin(), detour.end());
    return true;
  }

  /// Place in the outline of a corner that `p` sees to its right; -1 where there is none.
  int visibleFrom(const FlatPoint& p) const {
    const auto size = static_cast<int>(rings_[0].size());
    double nearest = std::numeric_limits<double>::infinity();
    int corner = -1;
    bool is_level = false;  // the corner lies on the ray itself
    for (int i = 0; i < size; ++i) {
      const FlatPoint& a = at(i);
      const FlatPoint& b = at(i + 1);
      if (a[1] == p[1] && a[0] >= p[0] && a[0] <= nearest) {
        nearest = a[0];
        corner = i;
        is_level = true;
      }
      if (!(a[1] <= p[1] && b[1] > p[1])) {  // the outline turns left: its right side goes up
        continue;
      }
      const double x = a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
      if (x >= p[0] && x < nearest) {
        nearest = x;
        corner = a[0] > b[0] ? i : (i + 1) % size;
        is_level = false;
      }
    }
    if (corner < 0) {
      return -1;
    }
    return copySeenFrom(p, is_level ? corner : unhidden(p, {nearest, p[1]}, corner));
  }

  /// Corners within the triangle of `p`, the ray's hit and `corner` would hide that: of those, the
  /// one seen flattest is seen itself.
  int unhidden(const FlatPoint& p, const FlatPoint& hit, int corner) const {
    const auto size = static_cast<int>(rings_[0].size());
    const FlatPoint& top = at(corner);
    double flattest = std::numeric_limits<double>::infinity();
    double nearest = std::numeric_limits<double>::infinity();
    int seen = corner;
    for (int i = 0; i < size; ++i) {
      const FlatPoint& q = at(i);
      const bool hides = top[1] > p[1] ? holds(p, hit, top, q) : holds(p, top, hit, q);
      if (!hides || q[0] <= p[0] || turn(at(i + size - 1), q, at(i + 1)) > 0) {
        continue;
      }
      const double slope = std::abs(q[1] - p[1]) / (q[0] - p[0]);
      if (slope < flattest || (slope == flattest && q[0] < nearest)) {
        flattest = slope;
        nearest = q[0];
        seen = i;
      }
    }
    return seen;
  }

  /// A corner that ends a bridge already stands in the outline more than once: the copy whose angle
  /// `p` lies in.
  int copySeenFrom(const FlatPoint& p, int corner) const {
    const auto size = static_cast<int>(rings_[0].size());
    for (int i = 0; i < size; ++i) {
      const FlatPoint& q = at(i);
      if (q != at(corner)) {
        continue;
      }
      const FlatPoint& before = at(i + size - 1);
      const FlatPoint& after = at(i + 1);
      const bool left_of_first = turn(before, q, p) > 0;
      const bool left_of_second = turn(q, after, p) > 0;
      const bool is_reflex = turn(before, q, after) <= 0;
      if (is_reflex ? left_of_first || left_of_second : left_of_first && left_of_second) {
        return i;
      }
    }
    return corner;
  }

  // The ring while ears are cut: neighbours by place.
  struct Place {
    int before = 0, after = 0;
    bool is_reflex = false;
  };

  double bendAt(int i) const { return turn(at(places_[i].before), at(i), at(places_[i].after)); }

  /// Only reflex corners can lie within an ear.
  bool isEar(int i) const {
    const FlatPoint& a = at(places_[i].before);
    const FlatPoint& b = at(i);
    const FlatPoint& c = at(places_[i].after);
    const auto [low, high] = std::minmax({a[0], b[0], c[0]});
    constexpr double kRounding = 1e-9;
    const auto first = std::lower_bound(reflex_.begin(), reflex_.end(), low - kRounding,
                                        [&](int other, double x) { return at(other)[0] < x; });
    for (auto one = first; one != reflex_.end() && at(*one)[0] <= high + kRounding; ++one) {
      const int other = *one;
      const FlatPoint& p = at(other);
      if (places_[other].is_reflex && p != a && p != b && p != c && holds(a, b, c, p)) {
        return false;
      }
    }
    return true;
  }

  void cutEars() {
    const std::vector<int>& ring = rings_[0];
    int left = static_cast<int>(ring.size());
    places_.resize(left);
    for (int i = 0; i < left; ++i) {
      places_[i].before = (i + left - 1) % left;
      places_[i].after = (i + 1) % left;
    }
    for (int i = 0; i < left; ++i) {
      places_[i].is_reflex = bendAt(i) <= 0;
      if (places_[i].is_reflex) {
        reflex_.push_back(i);
      }
    }
    std::sort(reflex_.begin(), reflex_.end(),
              [&](int one, int other) { return at(one)[0] < at(other)[0]; });
    int i = 0;
    int passed = 0;  // corners since the last ear
    while (left >= 3 && passed <= left) {
      const double bend = bendAt(i);
      const Place here = places_[i];
      if (bend == 0 || (bend > 0 && isEar(i))) {
        // A corner on a straight run gives a triangle without area, which a flip makes whole: left
        // out, the neighbouring face would have a point that this one lacks.
        if (ring[here.before] != ring[here.after]) {
          triangles_.push_back({ring[here.before], ring[i], ring[here.after]});
        }
        places_[here.before].after = here.after;
        places_[here.after].before = here.before;
        places_[i].is_reflex = false;
        for (int neighbour : {here.before, here.after}) {
          places_[neighbour].is_reflex &= bendAt(neighbour) <= 0;
        }
        --left;
        passed = 0;
        // Every other corner in turn, or one corner would get all the slivers.
        i = here.after;
      } else {
        ++passed;
        i = here.after;
      }
    }
  }

  std::vector<FlatPoint> points_;
  std::vector<std::vector<int>> rings_;
  std::vector<Place> places_;
  std::vector<int> reflex_;  ///< from left to right
  std::vector<std::array<int, 3>> triangles_;
  double area_ = 0;
};

/// What most faces are, without the search; nothing of what is no rectangle. Cut as ears would be:
/// from the corner before the first to that after it.
std::optional<std::array<std::array<int, 3>, 2>> halvesOfRectangle(
    const std::vector<FlatPoint>& loop) {
  constexpr double kSquare = 1e-9;
  for (int i = 0; i < 4; ++i) {
    const FlatPoint& before = loop[(i + 3) % 4];
    const FlatPoint& at = loop[i];
    const FlatPoint& after = loop[(i + 1) % 4];
    const double one[] = {before[0] - at[0], before[1] - at[1]};
    const double other[] = {after[0] - at[0], after[1] - at[1]};
    const double along = one[0] * other[0] + one[1] * other[1];
    const double across = turn(before, at, after);
    if (!(std::abs(along) < kSquare * std::abs(across))) {
      return std::nullopt;
    }
  }
  const bool turns_left = turn(loop[0], loop[1], loop[2]) > 0;
  using Halves = std::array<std::array<int, 3>, 2>;
  return turns_left ? Halves{{{3, 0, 1}, {3, 1, 2}}} : Halves{{{0, 3, 2}, {0, 2, 1}}};
}

}  // namespace

std::vector<std::array<int, 3>> triangulated(const std::vector<std::vector<FlatPoint>>& loops) {
  if (loops.size() == 1 && loops[0].size() == 4) {
    if (const auto halves = halvesOfRectangle(loops[0])) {
      return {(*halves)[0], (*halves)[1]};
    }
  }
  return EarClipping(loops).run();
}

double signedArea(const std::vector<FlatPoint>& loop) {
  double twice = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const FlatPoint& p = loop[i];
    const FlatPoint& q = loop[(i + 1) % loop.size()];
    twice += p[0] * q[1] - p[1] * q[0];
  }
  return twice / 2;
}

}  // namespace leafstack
