#include "generator/verdict/ratings.h"

#include <algorithm>

#include "params/table/hardware_rows.h"

namespace leafstack {

std::vector<RatedLoad> ratedLoads(const GateSpec& spec, const LoadReport& report) {
  double wheel = 0;
  double guide = 0;
  double pulley = 0;
  double rope = 0;
  for (const PanelLoad& panel : report.panels) {
    wheel = std::max({wheel, panel.leading_wheel_N, panel.trailing_wheel_N});
  }
  for (const StructureBlock& block : report.structure.blocks) {
    guide = std::max(guide, block.force_N);
  }
  for (const RopeRow& row : report.ropes) {
    pulley = std::max(pulley, row.pulley_load_N);
    rope = std::max(rope, row.working_tension_N);
  }
  const double push = std::max(report.drive.required_force_N, report.drive.braking_force_N);
  std::vector<RatedLoad> loads = {
      {"wheel", "a track wheel", "/hardware/wheel/rating_N", wheel, {}},
      {"pulley", "a rope pulley", "/hardware/pulley/rating_N", pulley, {}},
      {"terminal", "a rope terminal", "/hardware/terminal/rating_N", rope, {}},
      {"bracket", "a rope bracket", "/hardware/bracket/rating_N", rope, {}},
      {"guide", "a guide block", "/hardware/guide/rating_N", guide, {}},
      {"rack", "the rack", "/hardware/rack/rating_N", push, {}}};
  if (report.ropes.empty()) {
    std::erase_if(loads, [](const RatedLoad& one) {
      return one.group == "pulley" || one.group == "terminal" || one.group == "bracket";
    });
  }
  for (RatedLoad& one : loads) {
    one.rated_N = boughtItem(spec.hardware, one.group)->rating_N;
  }
  return loads;
}

}  // namespace leafstack
