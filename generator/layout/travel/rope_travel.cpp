#include "generator/layout/travel/rope_travel.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

using Point = std::array<double, 2>;

Point placed(const Pose& pose, const Point& point) {
  const auto there = carried(pose, {point[0], 0, point[1]});
  return {there[0], there[2]};
}

double lengthOf(const RopeWay& way, const Pose& front, const Pose& carrier, const Pose& rear) {
  const Point pulley = placed(carrier, way.pulley_mm);
  const auto strand = [&](const Point& end) {
    return std::hypot(end[0] - pulley[0], end[1] - pulley[1]);
  };
  return strand(placed(front, way.front_mm)) + strand(placed(rear, way.rear_mm));
}

/// How much longer the opening rope's way is than the closing one's: falls by all but 2 for every
/// mm that the front panel goes on.
double differenceOf(const RopesOfCarrier& ropes, const Pose& front, const Pose& carrier,
                    const Pose& rear) {
  return lengthOf(ropes.opening, front, carrier, rear) -
         lengthOf(ropes.closing, front, carrier, rear);
}

}  // namespace

double wayMm(const RopeWay& way, const Travels& travels, double drive_mm) {
  return lengthOf(way, travels.at(way.front)->at(drive_mm), travels.at(way.carrier)->at(drive_mm),
                  travels.at(way.rear)->at(drive_mm));
}

double wrapUnsureMm(double pitch_mm, double steepest) {
  return std::numbers::pi / 4 * pitch_mm * steepest * steepest;
}

RopesFollowed followRopes(const std::vector<std::shared_ptr<const PanelTravel>>& rides,
                          const std::vector<RopesOfCarrier>& ropes, double travel_mm) {
  constexpr int kRounds = 6;
  constexpr double kSettledMm = 1e-10;
  const int steps = std::max(2, static_cast<int>(std::ceil(travel_mm / kFollowedStepMm)));
  std::vector<std::vector<Point>> ahead(rides.size());
  std::vector<Pose> poses(rides.size() + 1);  // by body, the ground first
  std::vector<double> closed, closed_length;
  for (const RopesOfCarrier& pair : ropes) {
    closed.push_back(differenceOf(pair, {}, {}, {}));
    closed_length.push_back(lengthOf(pair.opening, {}, {}, {}));
  }
  std::vector<Range> longer(ropes.size());  // each rope; both alike
  std::vector<double> last(rides.size(), 0);
  for (int i = 0; i <= steps; ++i) {
    const double drive = travel_mm * i / steps;
    for (std::size_t k = 0; k < rides.size(); ++k) {
      const double even = rides[k]->evenLeadingX(drive);
      poses[k + 1] = rides[k]->poseWhere(even + last[k]);
      for (int round = 0; round < kRounds && k > 0 && i > 0; ++round) {
        const double off =
            differenceOf(ropes[k - 1], poses[k + 1], poses[k], poses[k - 1]) - closed[k - 1];
        if (std::abs(off) < kSettledMm) {
          break;
        }
        last[k] += off / 2;
        poses[k + 1] = rides[k]->poseWhere(even + last[k]);
      }
      ahead[k].push_back({drive, last[k]});
      if (k > 0) {
        const double more = lengthOf(ropes[k - 1].opening, poses[k + 1], poses[k], poses[k - 1]) -
                            closed_length[k - 1];
        Range& range = longer[k - 1];
        range = {std::min(range.low, more), std::max(range.high, more)};
      }
    }
  }
  RopesFollowed followed;
  for (const auto& points : ahead) {
    followed.ahead.push_back(GroundLine::through(points));
  }
  for (const Range& range : longer) {
    followed.left_mm.push_back(range.high - range.low + kFollowedWithinMm);
  }
  return followed;
}

}  // namespace leafstack
