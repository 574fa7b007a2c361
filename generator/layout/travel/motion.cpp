#include "generator/layout/travel/motion.h"

#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

namespace leafstack {
namespace {

// Ratios are small whole numbers for any sane anchoring; a rope off by more than this contradicts.
constexpr double kRatioTolerance = 1e-9;

void checkBody(int body, int panel_count) {
  if (body < 0 || body > panel_count) {
    throw std::invalid_argument("rope refers to body " + std::to_string(body) + ", but there are " +
                                std::to_string(panel_count) + " panels");
  }
}

}  // namespace

std::vector<RopeAnchors> anchorsOneBehind(int panel_count) {
  std::vector<RopeAnchors> ropes;
  for (int carrier = 1; carrier < panel_count; ++carrier) {
    ropes.push_back({carrier, carrier + 1, carrier - 1});
  }
  return ropes;
}

std::vector<double> speedRatios(int panel_count, const std::vector<RopeAnchors>& ropes) {
  constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  std::vector<double> ratio(panel_count + 1, kUnknown);
  ratio[0] = 0;
  if (panel_count >= 1) {
    ratio[1] = 1;
  }
  // Each pass settles at least one body while anything can be settled.
  for (int pass = 0; pass < panel_count; ++pass) {
    for (const RopeAnchors& rope : ropes) {
      checkBody(rope.carrier, panel_count);
      checkBody(rope.front_end, panel_count);
      checkBody(rope.rear_end, panel_count);
      const double moved = 2 * ratio[rope.carrier] - ratio[rope.rear_end];
      if (std::isnan(moved)) {
        continue;
      }
      double& front = ratio[rope.front_end];
      if (std::isnan(front)) {
        front = moved;
      } else if (std::abs(front - moved) > kRatioTolerance) {
        throw std::invalid_argument("the rope on panel " + std::to_string(rope.carrier) +
                                    " contradicts the speed of panel " +
                                    std::to_string(rope.front_end));
      }
    }
  }
  for (int body = 1; body <= panel_count; ++body) {
    if (std::isnan(ratio[body])) {
      throw std::invalid_argument("no rope moves panel " + std::to_string(body));
    }
  }
  return ratio;
}

}  // namespace leafstack
