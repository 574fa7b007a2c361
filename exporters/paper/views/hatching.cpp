#include <algorithm>
#include <cmath>
#include <numbers>

#include "exporters/paper/views/projection.h"

namespace leafstack {
namespace {

// More lines than this are no hatching: the spacing is wrong.
constexpr double kMostLines = 20000;
constexpr double kLeastStrokeMm = 1e-6;

/// Turned so that hatch lines run along x: one is at each whole multiple of the spacing in y.
struct Turned {
  double x = 0, y = 0;
};

struct HatchFrame {
  double cosine = 1, sine = 0;

  Turned into(double x, double y) const { return {cosine * x + sine * y, cosine * y - sine * x}; }
  PathVertex outOf(const Turned& p) const {
    return {cosine * p.x - sine * p.y, sine * p.x + cosine * p.y, 0};
  }
};

/// A piece of outline that goes up or down all the way: it crosses each line once at most.
struct Climb {
  Turned from, to;
  bool is_arc = false;
  Turned centre;
  double radius = 0, side = 1;  ///< arcs: +1 on the right of the centre

  double xAt(double y) const {
    if (!is_arc) {
      return from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y);
    }
    const double up = y - centre.y;
    return centre.x + side * std::sqrt(std::max(0.0, radius * radius - up * up));
  }
};

/// Cuts an arc where it turns from up to down.
void addArc(const Turned& from, const Turned& to, double bulge, std::vector<Climb>& climbs) {
  const double half = 2 * std::atan(bulge);
  const double x = (to.x - from.x) / 2;
  const double y = (to.y - from.y) / 2;
  Climb climb;
  climb.is_arc = true;
  climb.centre = {from.x + x - y / std::tan(half), from.y + y + x / std::tan(half)};
  climb.radius = std::hypot(x, y) / std::abs(std::sin(half));
  const double start = std::atan2(from.y - climb.centre.y, from.x - climb.centre.x);
  const double low = std::min(start, start + 2 * half);
  const double high = std::max(start, start + 2 * half);
  constexpr double kQuarter = std::numbers::pi / 2;
  std::vector<double> places = {low};
  for (double k = 2 * std::floor((low / kQuarter + 1) / 2) + 1; k * kQuarter < high; k += 2) {
    if (k * kQuarter > low) {
      places.push_back(k * kQuarter);
    }
  }
  places.push_back(high);
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    const auto at = [&](std::size_t place) -> Turned {
      // Its ends are the corners themselves, to the last bit, so that no line slips between.
      if (place == 0 || place + 1 == places.size()) {
        return (place == 0) == (half > 0) ? from : to;
      }
      return {climb.centre.x + climb.radius * std::cos(places[place]),
              climb.centre.y + climb.radius * std::sin(places[place])};
    };
    climb.from = at(i);
    climb.to = at(i + 1);
    climb.side = std::cos((places[i] + places[i + 1]) / 2) >= 0 ? 1 : -1;
    climbs.push_back(climb);
  }
}

std::vector<Climb> climbsOf(const std::vector<std::vector<PathVertex>>& loops,
                            const HatchFrame& frame) {
  std::vector<Climb> climbs;
  for (const auto& loop : loops) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const PathVertex& a = loop[i];
      const PathVertex& b = loop[(i + 1) % loop.size()];
      const Turned from = frame.into(a.x_mm, a.y_mm);
      const Turned to = frame.into(b.x_mm, b.y_mm);
      if (a.bulge != 0) {
        addArc(from, to, a.bulge, climbs);
      } else {
        Climb climb;
        climb.from = from;
        climb.to = to;
        climbs.push_back(climb);
      }
    }
  }
  return climbs;
}

}  // namespace

std::vector<Path> hatching(const std::vector<std::vector<PathVertex>>& loops, double spacing_mm,
                           double angle_deg) {
  const double angle = angle_deg * std::numbers::pi / 180;
  const HatchFrame frame{std::cos(angle), std::sin(angle)};
  const std::vector<Climb> climbs = climbsOf(loops, frame);
  std::vector<Path> lines;
  if (climbs.empty() || !(spacing_mm > 0)) {
    return lines;
  }
  double low = climbs.front().from.y;
  double high = low;
  for (const Climb& climb : climbs) {
    low = std::min({low, climb.from.y, climb.to.y});
    high = std::max({high, climb.from.y, climb.to.y});
  }
  if (!((high - low) / spacing_mm < kMostLines)) {
    return lines;
  }
  for (double k = std::ceil(low / spacing_mm); k * spacing_mm <= high; ++k) {
    const double y = k * spacing_mm;
    std::vector<double> crossings;
    for (const Climb& climb : climbs) {
      if ((climb.from.y <= y) != (climb.to.y <= y)) {
        crossings.push_back(climb.xAt(y));
      }
    }
    std::sort(crossings.begin(), crossings.end());
    for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
      if (crossings[i + 1] - crossings[i] > kLeastStrokeMm) {
        lines.push_back({LineRole::kHatch,
                         {frame.outOf({crossings[i], y}), frame.outOf({crossings[i + 1], y})},
                         false});
      }
    }
  }
  return lines;
}

}  // namespace leafstack
