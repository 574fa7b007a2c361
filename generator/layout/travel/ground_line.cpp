#include "generator/layout/travel/ground_line.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <utility>

#include "generator/geometry/range.h"

namespace leafstack {
namespace {

using ranges::hull;

constexpr double kInfinite = std::numeric_limits<double>::infinity();
// Points this near one straight line lie on it: rounding of heights of some metres is a thousand
// times less, and no survey sees a millionth of this.
constexpr double kOnLineMm = 1e-9;
// Newton's last step: the one after it would be far below the rounding of X.
constexpr double kSolvedMm = 1e-9;
// Curvature is judged on stretches down to this; what is still open there counts as too tight.
constexpr double kTightStretchMm = 1e-3;

using Points = std::vector<std::array<double, 2>>;

void checkPoints(const Points& points) {
  if (points.size() < 2) {
    throw std::invalid_argument("a line of the ground needs at least 2 points");
  }
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!std::isfinite(points[i][0]) || !std::isfinite(points[i][1])) {
      throw std::invalid_argument("points of the ground must be finite");
    }
    if (i > 0 && !(points[i - 1][0] < points[i][0])) {
      throw std::invalid_argument("points of the ground must follow one another in X");
    }
  }
}

double chordSlope(const std::array<double, 2>& from, const std::array<double, 2>& to) {
  return (to[1] - from[1]) / (to[0] - from[0]);
}

bool onOneLine(const Points& points) {
  const double slope = chordSlope(points.front(), points.back());
  return std::all_of(points.begin(), points.end(), [&](const auto& point) {
    const double z = points.front()[1] + slope * (point[0] - points.front()[0]);
    return std::abs(point[1] - z) <= kOnLineMm;
  });
}

/// Second derivatives at the points of the natural spline: for every inner point
///   h0 m0 + 2 (h0 + h1) m1 + h1 m2 = 6 (chord slope after - before),
/// and none at the ends; eliminated downwards, which a dominant diagonal makes safe.
std::vector<double> bendsAt(const Points& points) {
  const std::size_t count = points.size();
  std::vector<double> bend(count, 0.0);
  std::vector<double> share(count, 0.0);
  for (std::size_t i = 1; i + 1 < count; ++i) {
    const double before = points[i][0] - points[i - 1][0];
    const double after = points[i + 1][0] - points[i][0];
    const double turn =
        6 * (chordSlope(points[i], points[i + 1]) - chordSlope(points[i - 1], points[i]));
    const double diagonal = 2 * (before + after) - before * share[i - 1];
    share[i] = after / diagonal;
    bend[i] = (turn - before * bend[i - 1]) / diagonal;
  }
  for (std::size_t i = count - 1; i-- > 1;) {
    bend[i] -= share[i] * bend[i + 1];
  }
  return bend;
}

/// Root of a rising function in a bracket: Newton's steps, halving where one would leave it. The
/// function gives its value and its derivative.
template <typename Function>
double risingRoot(const Function& function, Range bracket, double start) {
  constexpr int kMostSteps = 200;
  double x = std::clamp(start, bracket.low, bracket.high);
  for (int step = 0; step < kMostSteps; ++step) {
    const auto [value, rate] = function(x);
    const double newton = rate > 0 ? x - value / rate : kInfinite;
    if (std::abs(newton - x) <= kSolvedMm) {
      return newton;
    }
    (value < 0 ? bracket.low : bracket.high) = x;
    if (bracket.high - bracket.low <= kSolvedMm) {
      break;
    }
    const bool is_inside = newton > bracket.low && newton < bracket.high;
    x = is_inside ? newton : (bracket.low + bracket.high) / 2;
  }
  return (bracket.low + bracket.high) / 2;
}

double curvatureOf(double bend, double slope) {
  const double length = std::sqrt(1 + slope * slope);
  return bend / (length * length * length);
}

double leastSize(const Range& a) {
  return a.low <= 0 && a.high >= 0 ? 0 : std::min(std::abs(a.low), std::abs(a.high));
}

}  // namespace

// ------------------------------------------------------------------------------------ GroundLine

GroundPoint GroundLine::Piece::at(double x_mm) const {
  const double t = x_mm - start_mm;
  return {z_mm + t * (slope + t * (half_bend + t * twist)),
          slope + t * (2 * half_bend + 3 * t * twist), 2 * half_bend + 6 * t * twist};
}

GroundLine GroundLine::straight(double grade) {
  GroundLine line;
  line.pieces_.push_back({0, 0, grade, 0, 0});
  return line;
}

GroundLine GroundLine::through(const Points& points_mm) {
  checkPoints(points_mm);
  GroundLine line;
  const auto& first = points_mm.front();
  if (onOneLine(points_mm)) {
    line.pieces_.push_back({first[0], first[1], chordSlope(first, points_mm.back()), 0, 0});
    return line;
  }
  const std::vector<double> bend = bendsAt(points_mm);
  for (std::size_t i = 0; i + 1 < points_mm.size(); ++i) {
    const double length = points_mm[i + 1][0] - points_mm[i][0];
    const double slope =
        chordSlope(points_mm[i], points_mm[i + 1]) - length * (2 * bend[i] + bend[i + 1]) / 6;
    if (i == 0) {
      line.pieces_.push_back({first[0], first[1], slope, 0, 0});
    }
    line.pieces_.push_back({points_mm[i][0], points_mm[i][1], slope, bend[i] / 2,
                            (bend[i + 1] - bend[i]) / (6 * length)});
  }
  const auto& last = points_mm.back();
  line.pieces_.push_back({last[0], last[1], line.pieces_.back().at(last[0]).slope, 0, 0});
  return line;
}

std::size_t GroundLine::indexAt(double x_mm) const {
  const auto after = std::upper_bound(pieces_.begin() + 1, pieces_.end(), x_mm,
                                      [](double x, const Piece& p) { return x < p.start_mm; });
  return static_cast<std::size_t>(after - pieces_.begin()) - 1;
}

double GroundLine::endOf(std::size_t index) const {
  return index + 1 < pieces_.size() ? pieces_[index + 1].start_mm : kInfinite;
}

GroundLine GroundLine::raised(double by_mm) const {
  GroundLine line = *this;
  for (Piece& piece : line.pieces_) {
    piece.z_mm += by_mm;
  }
  return line;
}

GroundPoint GroundLine::at(double x_mm) const {
  return pieces_[indexAt(x_mm)].at(x_mm);
}

Range GroundLine::slopeRange(double x0_mm, double x1_mm) const {
  const auto [from, to] = std::minmax(x0_mm, x1_mm);
  Range range{kInfinite, -kInfinite};
  const auto include = [&](double slope) {
    range = {std::min(range.low, slope), std::max(range.high, slope)};
  };
  for (std::size_t i = indexAt(from); i < pieces_.size(); ++i) {
    const Piece& piece = pieces_[i];
    const double end = endOf(i);
    const double stretch_from = i == 0 ? from : std::max(from, piece.start_mm);
    const double stretch_to = std::min(to, end);
    include(piece.at(stretch_from).slope);
    include(piece.at(stretch_to).slope);
    // The slope's own turning point, where the bend changes sign.
    const double turning = piece.start_mm - piece.half_bend / (3 * piece.twist);
    if (turning > stretch_from && turning < stretch_to) {
      include(piece.at(turning).slope);
    }
    if (to <= end) {
      break;
    }
  }
  return range;
}

Range GroundLine::slopeRange() const {
  return slopeRange(pieces_.front().start_mm, pieces_.back().start_mm);
}

std::vector<double> GroundLine::whereSlopeIs(double slope, double x0_mm, double x1_mm) const {
  std::vector<double> found;
  if (isStraight()) {
    return found;  // nowhere, or everywhere
  }
  for (std::size_t i = indexAt(x0_mm); i < pieces_.size(); ++i) {
    const Piece& piece = pieces_[i];
    if (i > 0 && piece.start_mm > x1_mm) {
      break;
    }
    const double from = i == 0 ? x0_mm : std::max(x0_mm, piece.start_mm);
    const double to = std::min(x1_mm, endOf(i));
    // a t^2 + 2 b t + c = 0, both roots without cancellation; what is not a number is in no
    // stretch.
    const double a = 3 * piece.twist;
    const double b = piece.half_bend;
    const double c = piece.slope - slope;
    const double reached = b * b - a * c;
    if (reached < 0) {
      continue;
    }
    const double q = -(b + std::copysign(std::sqrt(reached), b));
    for (double t : {q / a, c / q}) {
      const double x = piece.start_mm + t;
      if (x >= from && x <= to) {
        found.push_back(x);
      }
    }
  }
  return found;
}

Range GroundLine::heightRange(double x0_mm, double x1_mm) const {
  const auto [from, to] = std::minmax(x0_mm, x1_mm);
  Range range = hull({heightMm(from), heightMm(to)});
  for (double x : whereSlopeIs(0, from, to)) {
    const double height = heightMm(x);
    range = {std::min(range.low, height), std::max(range.high, height)};
  }
  return range;
}

std::optional<double> GroundLine::whereCurvatureReaches(double curvature_per_mm) const {
  std::vector<Range> open;
  for (std::size_t i = 1; i + 1 < pieces_.size(); ++i) {
    open.push_back({pieces_[i].start_mm, endOf(i)});
  }
  while (!open.empty()) {
    const Range stretch = open.back();
    open.pop_back();
    const double middle = (stretch.low + stretch.high) / 2;
    const GroundPoint there = at(middle);
    // Within a piece the bend is greatest at one end.
    const Piece& piece = pieces_[indexAt(middle)];
    const double most_bend =
        std::max(piece.at(stretch.low).bend_per_mm, piece.at(stretch.high).bend_per_mm);
    const double least_slope = leastSize(slopeRange(stretch.low, stretch.high));
    if (most_bend <= 0 || curvatureOf(most_bend, least_slope) < curvature_per_mm) {
      continue;
    }
    if (curvatureOf(there.bend_per_mm, there.slope) >= curvature_per_mm ||
        stretch.high - stretch.low <= kTightStretchMm) {
      return middle;
    }
    open.push_back({stretch.low, middle});
    open.push_back({middle, stretch.high});
  }
  return std::nullopt;
}

// ------------------------------------------------------------------------------------- WheelPath

WheelPath::WheelPath(GroundLine line, double off_mm) : line_(std::move(line)), off_mm_(off_mm) {}

WheelStand WheelPath::standAt(double contact_x_mm) const {
  const GroundPoint ground = line_.at(contact_x_mm);
  const double cosine = 1 / std::sqrt(1 + ground.slope * ground.slope);
  return {contact_x_mm,
          {contact_x_mm - off_mm_ * ground.slope * cosine, ground.height_mm + off_mm_ * cosine},
          ground.slope};
}

// The centre is at x - off sin a over the contact x, a the line's slope angle there; that moves
// 1 - off * curvature for every mm of x.
WheelStand WheelPath::at(double centre_x_mm) const {
  const auto ahead = [&](double x) {
    const GroundPoint ground = line_.at(x);
    const double cosine = 1 / std::sqrt(1 + ground.slope * ground.slope);
    return std::pair(x - off_mm_ * ground.slope * cosine - centre_x_mm,
                     1 - off_mm_ * ground.bend_per_mm * cosine * cosine * cosine);
  };
  const double slope = line_.slope(centre_x_mm);
  const double guess = centre_x_mm + off_mm_ * slope / std::sqrt(1 + slope * slope);
  return standAt(risingRoot(ahead, {centre_x_mm - off_mm_, centre_x_mm + off_mm_}, guess));
}

Range WheelPath::slopeRange(double x0_mm, double x1_mm) const {
  // The path is square over its line: the same slopes, one for one in the same order.
  return line_.slopeRange(at(x0_mm).contact_x_mm, at(x1_mm).contact_x_mm);
}

// Solved for the contact, not for the centre: one search instead of one within another. With the
// slopes of path and chord below 1 the distance grows all the way, and the centre lies between
// base / sqrt 2 and base away in X.
WheelStand WheelPath::atDistance(const WheelStand& other, double base_mm, int side) const {
  const auto too_far = [&](double outward) {
    const double x = side * outward;
    const GroundPoint ground = line_.at(x);
    const double cosine = 1 / std::sqrt(1 + ground.slope * ground.slope);
    const double run = x - off_mm_ * ground.slope * cosine - other.centre_mm[0];
    const double rise = ground.height_mm + off_mm_ * cosine - other.centre_mm[1];
    const double centre_rate = 1 - off_mm_ * ground.bend_per_mm * cosine * cosine * cosine;
    const double distance = std::hypot(run, rise);
    return std::pair(distance - base_mm,
                     side * centre_rate * (run + ground.slope * rise) / distance);
  };
  const double start = side * other.centre_mm[0];
  const Range bracket = {start + base_mm * std::numbers::sqrt2 / 2 - off_mm_,
                         start + base_mm + off_mm_};
  const double guess = side * other.contact_x_mm + base_mm;
  return standAt(side * risingRoot(too_far, bracket, guess));
}

std::optional<double> WheelPath::tooTightAt() const {
  return off_mm_ > 0 ? line_.whereCurvatureReaches(1 / off_mm_) : std::nullopt;
}

std::vector<double> GroundLine::stations(double from_mm, double to_mm, double sagitta_mm) const {
  // Nearer ones are one: a piece's end and the next one's start differ by rounding.
  constexpr double kApartMm = 1e-3;
  std::vector<double> found = {from_mm};
  for (std::size_t i = 0; i + 1 < pieces_.size(); ++i) {
    const double start = pieces_[i].start_mm;
    const double length = pieces_[i + 1].start_mm - start;
    // The second derivative of a cubic is greatest at one of its ends.
    const double sharpest =
        2 * std::max(std::abs(pieces_[i].half_bend),
                     std::abs(pieces_[i].half_bend + 3 * pieces_[i].twist * length));
    const int count =
        std::max(1, static_cast<int>(std::ceil(length * std::sqrt(sharpest / (8 * sagitta_mm)))));
    for (int k = 0; k <= count; ++k) {
      const double x = start + length * k / count;
      if (x > found.back() + kApartMm && x < to_mm - kApartMm) {
        found.push_back(x);
      }
    }
  }
  found.push_back(to_mm);
  return found;
}

}  // namespace leafstack
