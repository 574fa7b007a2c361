#include "generator/layout/travel/panel_travel.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>
#include <vector>

#include "generator/geometry/range.h"

namespace leafstack {
namespace {

using namespace ranges;

using Point = std::array<double, 2>;

// Room left around a contact's X for the rounding of its search; a thousand times what that is.
constexpr double kContactRoomMm = 1e-9;
// Sine of the least angle at which rail and channel cross: less is a mistake in the data.
constexpr double kLeastCrossing = 1e-6;
// The promise of FloatingBlockTravel::floatRange.
constexpr double kFloatRangeMm = 1e-3;
// The promise of leastGroundClearance.
constexpr double kSearchStepMm = 2;
constexpr double kFoundMm = 1e-6;

double dotOf(const Point& a, const Point& b) {
  return a[0] * b[0] + a[1] * b[1];
}

Point turnedQuarter(const Point& a) {
  return {-a[1], a[0]};
}

Point unit(const Point& a) {
  const double length = std::hypot(a[0], a[1]);
  if (!(length > 0)) {
    throw std::invalid_argument("a direction needs a length");
  }
  return {a[0] / length, a[1] / length};
}

Point pointAt(const Pose& pose, const Point& point) {
  const auto there = carried(pose, {point[0], 0, point[1]});
  return {there[0], there[2]};
}

Point directionAt(const Pose& pose, const Point& v) {
  return {pose.cos * v[0] - pose.sin * v[1], pose.sin * v[0] + pose.cos * v[1]};
}

double angleOf(const Pose& pose) {
  return std::atan2(pose.sin, pose.cos);
}

}  // namespace

// ------------------------------------------------------------------------------------- PanelTravel

PanelTravel::PanelTravel(WheelPath path, const PanelOnWheels& wheels)
    : path_(std::move(path)),
      wheels_(wheels),
      steepest_(greatestSize(path_.line().slopeRange())),
      closed_() {
  if (!(wheels.base_mm > 0) || std::abs(wheels.trailing_side) != 1) {
    throw std::invalid_argument("a panel needs two wheels, one ahead of the other");
  }
  if (!(steepest_ < 1) || path_.tooTightAt()) {
    throw std::invalid_argument("the ground is too steep or bends too sharply for the wheels");
  }
  closed_ = wheelsAt(0);
}

PanelTravel::Wheels PanelTravel::wheelsWhere(double leading_x_mm) const {
  const WheelStand leading = path_.at(leading_x_mm);
  return {leading, path_.atDistance(leading, wheels_.base_mm, wheels_.trailing_side)};
}

double PanelTravel::pitchOf(const Wheels& wheels) const {
  const Point& from = wheels.leading.centre_mm;
  const Point& to = wheels.trailing.centre_mm;
  return std::atan2(wheels_.trailing_side * (to[1] - from[1]),
                    wheels_.trailing_side * (to[0] - from[0]));
}

std::optional<std::array<double, 2>> PanelTravel::velocity() const {
  if (!path_.line().isStraight() || wheels_.ahead) {
    return std::nullopt;
  }
  return Point{wheels_.speed_ratio, wheels_.speed_ratio * path_.line().slope(0)};
}

Pose PanelTravel::at(double drive_mm) const {
  if (const auto straight = velocity()) {
    return {(*straight)[0] * drive_mm, (*straight)[1] * drive_mm};
  }
  return drive_mm == 0 ? Pose{} : poseWhere(leadingX(drive_mm));
}

Pose PanelTravel::poseWhere(double leading_x_mm) const {
  const Wheels now = wheelsWhere(leading_x_mm);
  const auto wheelLine = [](const Wheels& wheels) {
    return unit({wheels.trailing.centre_mm[0] - wheels.leading.centre_mm[0],
                 wheels.trailing.centre_mm[1] - wheels.leading.centre_mm[1]});
  };
  const Point before = wheelLine(closed_);
  const Point after = wheelLine(now);
  Pose pose;
  pose.sin = dotOf(turnedQuarter(before), after);
  // Of the two, the sine carries the small angle; the cosine follows so that the motion is rigid.
  pose.cos = std::sqrt(1 - pose.sin * pose.sin);
  const Point pivot = directionAt(pose, closed_.leading.centre_mm);
  pose.x_mm = now.leading.centre_mm[0] - pivot[0];
  pose.z_mm = now.leading.centre_mm[1] - pivot[1];
  return pose;
}

// With k = X' of the leading wheel, the wheels at P1 and P2 = P1 + side L (cos phi, sin phi),
// slopes s1 and s2 of the path there and P1' = k (1, s1): P2' = (k - side L phi' sin phi, k s1 +
// side L phi' cos phi) must run along the path, P2'z = s2 P2'x, so
//   phi' = side k (s2 - s1) / (L (cos phi + s2 sin phi)).
// Both wheels go one way only, so their slopes over the stretch are those between their places at
// its ends. phi is the angle of a chord of the path: with S the steepest slope anywhere,
// |tan phi| <= S, so that cos phi + s2 sin phi >= (1 - S S) / sqrt(1 + S S); the rate which that
// gives keeps phi close to its values at the ends, hence the bound that is returned.
TravelRates PanelTravel::rates(double from_mm, double to_mm) const {
  if (const auto straight = velocity()) {
    return {only((*straight)[0]), only((*straight)[1]), {0, 0}};
  }
  const Range k = wheels_.ahead
                      ? only(wheels_.speed_ratio) + wheels_.ahead->slopeRange(from_mm, to_mm)
                      : only(wheels_.speed_ratio);
  const Wheels from = wheelsAt(from_mm);
  const Wheels to = wheelsAt(to_mm);
  const auto slopes = [&](const WheelStand& a, const WheelStand& b) {
    const auto [x0, x1] = std::minmax(a.contact_x_mm, b.contact_x_mm);
    return path_.line().slopeRange(x0 - kContactRoomMm, x1 + kContactRoomMm);
  };
  const Range leading = slopes(from.leading, to.leading);
  const Range trailing = slopes(from.trailing, to.trailing);
  const Range numerator = (wheels_.trailing_side / wheels_.base_mm) * (k * (trailing - leading));
  const double least_divisor = (1 - steepest_ * steepest_) / std::sqrt(1 + steepest_ * steepest_);
  const double rough = greatestSize(numerator) / least_divisor;
  const Range near_ends =
      between(pitchOf(from), pitchOf(to), {-rough, rough}, std::abs(to_mm - from_mm));
  const Turn pitch = turnBy(common(near_ends, widened({0, 0}, std::atan(steepest_))));
  return {k, k * leading, numerator / (pitch.cos + trailing * pitch.sin)};
}

// ----------------------------------------------------------------------------------
// FloatingBlockTravel

FloatingBlockTravel::FloatingBlockTravel(std::shared_ptr<const BodyTravel> rail,
                                         std::shared_ptr<const BodyTravel> channel,
                                         const FloatingBlock& block)
    : rail_(std::move(rail)),
      channel_(std::move(channel)),
      block_{block.at_mm, unit(block.rail), unit(block.channel)} {
  if (block_.channel[1] < 0) {
    block_.channel = {-block_.channel[0], -block_.channel[1]};
  }
  const Point normal = turnedQuarter(block_.rail);
  const double crossing = dotOf(normal, block_.channel);
  if (!(std::abs(crossing) > kLeastCrossing)) {
    throw std::invalid_argument("a guide's rail and channel must cross");
  }
  const auto a = rail_->velocity();
  const auto c = channel_->velocity();
  if (a && c) {
    straight_float_ = dotOf(normal, {(*a)[0] - (*c)[0], (*a)[1] - (*c)[1]}) / crossing;
    velocity_ = Point{(*c)[0] + straight_float_ * block_.channel[0],
                      (*c)[1] + straight_float_ * block_.channel[1]};
  }
}

// Seen at one position: A and C are where the reference point would be if it were fixed to the
// rail's or the channel's body, r and c the directions, n = r turned by a quarter. The block is at
// q = C + f c with n (q - A) = 0: f = n (A - C) / (n c).
double FloatingBlockTravel::floatMm(double drive_mm) const {
  if (velocity_) {
    return straight_float_ * drive_mm;
  }
  const Pose rail = rail_->at(drive_mm);
  const Pose channel = channel_->at(drive_mm);
  const Point a = pointAt(rail, block_.at_mm);
  const Point c = pointAt(channel, block_.at_mm);
  const Point normal = turnedQuarter(directionAt(rail, block_.rail));
  return dotOf(normal, {a[0] - c[0], a[1] - c[1]}) /
         dotOf(normal, directionAt(channel, block_.channel));
}

Pose FloatingBlockTravel::at(double drive_mm) const {
  if (velocity_) {
    return {(*velocity_)[0] * drive_mm, (*velocity_)[1] * drive_mm};
  }
  const double up = floatMm(drive_mm);
  const Pose channel = channel_->at(drive_mm);
  const Point along = directionAt(channel, block_.channel);
  const Point c = pointAt(channel, block_.at_mm);
  Pose pose = rail_->at(drive_mm);
  const Point turned_only = directionAt(pose, block_.at_mm);
  pose.x_mm = c[0] + up * along[0] - turned_only[0];
  pose.z_mm = c[1] + up * along[1] - turned_only[1];
  return pose;
}

/// Ranges over a stretch of what the rates are made of.
struct FloatingBlockTravel::Motion {
  Range float_rate;
  Range2 channel_velocity;  ///< C'
  Range2 channel_direction;
  Range2 along_turning;  ///< omega_C f c turned by a quarter
  Range turn;            ///< of the rail's body
};

namespace {

/// A point fixed to a body over a stretch: where it may be, its velocity, and the body's turn.
struct CarriedPoint {
  Range2 at, velocity;
  Range turn_rate;
  Range angle;
};

CarriedPoint carriedOver(const BodyTravel& body, const Point& point, double from_mm, double to_mm) {
  const double length = to_mm - from_mm;
  const Pose from = body.at(from_mm);
  const Pose to = body.at(to_mm);
  const TravelRates rates = body.rates(from_mm, to_mm);
  const Point pivot = body.pivot_mm();
  CarriedPoint over;
  over.turn_rate = rates.turn;
  over.angle = between(angleOf(from), angleOf(to), rates.turn, length);
  const Range2 arm = turned(turnBy(over.angle), {point[0] - pivot[0], point[1] - pivot[1]});
  over.velocity = Range2{rates.x, rates.z} + over.turn_rate * quarterTurned(arm);
  const Point start = pointAt(from, point);
  const Point end = pointAt(to, point);
  for (int i = 0; i < 2; ++i) {
    over.at[i] = between(start[i], end[i], over.velocity[i], length);
  }
  return over;
}

}  // namespace

// Differentiate n (q - A) = 0, with q - A = g r, n' = -omega_A r and c' = omega_C c turned:
//   f' = (n (A' - C') + omega_A g - omega_C f (r c)) / (n c),
// where g = m (A - C) / (n c) along the rail, m = c turned by a quarter, and n c and r c are sine
// and cosine of the angle between the directions: of that at closed and the turn of one body in the
// other. Every term by its range over the stretch.
FloatingBlockTravel::Motion FloatingBlockTravel::motionOver(double from_mm, double to_mm) const {
  const CarriedPoint a = carriedOver(*rail_, block_.at_mm, from_mm, to_mm);
  const CarriedPoint c = carriedOver(*channel_, block_.at_mm, from_mm, to_mm);
  const Range2 normal = turned(turnBy(a.angle), turnedQuarter(block_.rail));
  const Range2 direction = turned(turnBy(c.angle), block_.channel);
  const Turn between_bodies = turnBy(c.angle - a.angle);
  const double sine = dotOf(turnedQuarter(block_.rail), block_.channel);
  const double cosine = dotOf(block_.rail, block_.channel);
  const Range crossing = sine * between_bodies.cos + cosine * between_bodies.sin;
  const Range leaning = cosine * between_bodies.cos - sine * between_bodies.sin;
  const Range2 apart = a.at - c.at;
  const Range along_channel = dot(normal, apart) / crossing;
  const Range along_rail = dot(quarterTurned(direction), apart) / crossing;
  Motion motion;
  motion.float_rate = (dot(normal, a.velocity - c.velocity) + a.turn_rate * along_rail -
                       c.turn_rate * along_channel * leaning) /
                      crossing;
  motion.channel_velocity = c.velocity;
  motion.channel_direction = direction;
  motion.along_turning = c.turn_rate * along_channel * quarterTurned(direction);
  motion.turn = a.turn_rate;
  return motion;
}

Range FloatingBlockTravel::floatRate(double from_mm, double to_mm) const {
  return velocity_ ? only(straight_float_) : motionOver(from_mm, to_mm).float_rate;
}

// q = C + f c: q' = C' + f' c + omega_C f c turned.
TravelRates FloatingBlockTravel::rates(double from_mm, double to_mm) const {
  if (velocity_) {
    return {only((*velocity_)[0]), only((*velocity_)[1]), {0, 0}};
  }
  const Motion motion = motionOver(from_mm, to_mm);
  const Range2 velocity =
      motion.channel_velocity + motion.float_rate * motion.channel_direction + motion.along_turning;
  return {velocity[0], velocity[1], motion.turn};
}

Range FloatingBlockTravel::floatRange(double travel_mm) const {
  struct FloatPart {
    double from_mm, to_mm, at_start, at_end;
  };
  const double at_end = floatMm(travel_mm);
  Range range = hull({0, at_end});
  if (velocity_) {
    return range;
  }
  // Stretches this short come only from rates that have no bounds.
  const double shortest = travel_mm * 1e-9;
  std::vector<FloatPart> open{{0, travel_mm, 0, at_end}};
  while (!open.empty()) {
    const FloatPart s = open.back();
    open.pop_back();
    const double length = s.to_mm - s.from_mm;
    const Range reach = between(s.at_start, s.at_end, floatRate(s.from_mm, s.to_mm), length);
    if (reach.high <= range.high + kFloatRangeMm && reach.low >= range.low - kFloatRangeMm) {
      continue;
    }
    if (length <= shortest) {
      throw std::runtime_error("the float of a guide block cannot be bounded");
    }
    const double middle = (s.from_mm + s.to_mm) / 2;
    const double value = floatMm(middle);
    range = {std::min(range.low, value), std::max(range.high, value)};
    open.push_back({middle, s.to_mm, value, s.at_end});
    open.push_back({s.from_mm, middle, s.at_start, value});
  }
  return range;
}

// ----------------------------------------------------------------------------- ground clearance

GroundClearance groundClearanceAt(const BodyTravel& body, const GroundLine& ground,
                                  const UnderSegment& underside, double drive_mm) {
  const Pose pose = body.at(drive_mm);
  Point from = pointAt(pose, {underside.x0_mm, underside.z0_mm});
  Point to = pointAt(pose, {underside.x1_mm, underside.z1_mm});
  if (from[0] > to[0]) {
    std::swap(from, to);
  }
  const double slope = (to[1] - from[1]) / (to[0] - from[0]);
  GroundClearance least{from[1] - ground.heightMm(from[0]), drive_mm, from[0]};
  const auto consider = [&](double x, double z) {
    const double clearance = z - ground.heightMm(x);
    if (clearance < least.clearance_mm) {
      least = {clearance, drive_mm, x};
    }
  };
  consider(to[0], to[1]);
  for (double x : ground.whereSlopeIs(slope, from[0], to[0])) {
    consider(x, from[1] + slope * (x - from[0]));
  }
  return least;
}

namespace {

/// Golden section between two positions that hold one dip of the clearance.
template <typename Clearance>
GroundClearance bottomOfDip(const Clearance& clearance, double from_mm, double to_mm) {
  constexpr double kSection = 0.6180339887498949;
  double a = from_mm;
  double b = to_mm;
  GroundClearance left = clearance(b - kSection * (b - a));
  GroundClearance right = clearance(a + kSection * (b - a));
  // A dip is flat at its bottom: this close in travel, clearance differs by far less than kFoundMm.
  constexpr double kCloseMm = 1e-4;
  while (b - a > kCloseMm) {
    if (left.clearance_mm <= right.clearance_mm) {
      b = right.drive_mm;
      right = left;
      left = clearance(b - kSection * (b - a));
    } else {
      a = left.drive_mm;
      left = right;
      right = clearance(a + kSection * (b - a));
    }
  }
  return left.clearance_mm <= right.clearance_mm ? left : right;
}

}  // namespace

GroundClearance leastGroundClearance(const BodyTravel& body, const GroundLine& ground,
                                     const UnderSegment& underside, double travel_mm) {
  const auto clearance = [&](double drive_mm) {
    return groundClearanceAt(body, ground, underside, drive_mm);
  };
  const int steps = 2 + static_cast<int>(travel_mm / kSearchStepMm);
  std::vector<GroundClearance> found;
  for (int i = 0; i <= steps; ++i) {
    found.push_back(clearance(travel_mm * i / steps));
  }
  GroundClearance least = *std::min_element(
      found.begin(), found.end(),
      [](const auto& a, const auto& b) { return a.clearance_mm < b.clearance_mm; });
  for (int i = 0; i <= steps; ++i) {
    // Beyond either end the clearance is taken to be mirrored.
    const GroundClearance& previous = found[i > 0 ? i - 1 : 1];
    const GroundClearance& next = found[i < steps ? i + 1 : steps - 1];
    const double here = found[i].clearance_mm;
    const double before = previous.clearance_mm - here;
    const double after = next.clearance_mm - here;
    // The bottom lies below the lowest of three positions by no more than this, a parabola's eighth
    // eight times over; where that is nothing there is no dip worth going down into.
    const double depth = before + after;
    if (std::min(before, after) >= 0 && depth > kFoundMm && here - depth < least.clearance_mm) {
      const GroundClearance bottom = bottomOfDip(clearance, i > 0 ? previous.drive_mm : 0,
                                                 i < steps ? next.drive_mm : travel_mm);
      least = bottom.clearance_mm < least.clearance_mm ? bottom : least;
    }
  }
  return least;
}

}  // namespace leafstack
