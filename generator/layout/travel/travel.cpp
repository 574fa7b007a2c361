#include "generator/layout/travel/travel.h"

namespace leafstack {

Travels levelTravels(const std::vector<double>& speed_ratio) {
  Travels travels;
  for (double ratio : speed_ratio) {
    travels.push_back(std::make_shared<StraightTravel>(ratio, 0));
  }
  return travels;
}

}  // namespace leafstack
