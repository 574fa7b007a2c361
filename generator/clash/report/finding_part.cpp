#include "generator/clash/report/finding_part.h"

namespace leafstack {

std::string inWords(const FindingPart& side) {
  const std::string owner = side.panel > 0 ? "panel " + std::to_string(side.panel) + "'s "
                            : side.floats  ? "the floating "
                                           : "the fixed ";
  return owner + side.name + " " + side.mark;
}

FindingPart describe(const Model& model, int instance) {
  const Instance& placed = model.instances[instance];
  const Part& part = model.parts[placed.part];
  return {part.mark, part.name, placed.panel, placed.body != placed.panel};
}

}  // namespace leafstack
