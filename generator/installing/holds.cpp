#include "generator/installing/holds.h"

#include <algorithm>
#include <limits>

#include "generator/layout/ground/site_extents.h"

namespace leafstack {
namespace {

int stepOf(const Installation& plan, int instance) {
  for (std::size_t s = 0; s < plan.steps.size(); ++s) {
    for (const InstallGroup& group : plan.steps[s].groups) {
      if (std::find(group.instances.begin(), group.instances.end(), instance) !=
          group.instances.end()) {
        return static_cast<int>(s) + 1;
      }
    }
  }
  return 0;
}

}  // namespace

PanelHolds holdsOf(const Model& model, const Installation& plan, int panel) {
  const PanelLayout& laid = model.layout.panels.at(panel - 1);
  const double middle_mm = (laid.leading_closed_mm + laid.trailing_closed_mm) / 2;
  PanelHolds holds;
  for (const Contact& contact : model.contacts) {
    if (contact.kind != ContactKind::kStop) {
      continue;
    }
    const bool is_a = model.instances[contact.a].panel == panel;
    const int stop = is_a ? contact.b : contact.a;
    if (model.instances[is_a ? contact.a : contact.b].panel != panel) {
      continue;
    }
    const bool is_open = model.opening_sign * model.instances[stop].bounds.low[0] > middle_mm;
    (is_open ? holds.open : holds.closed) = {model.parts[model.instances[stop].part].mark,
                                             stepOf(plan, stop)};
  }
  holds.clamp_from_mm = trackEnds(model.spec, model.layout, panel).from_x_mm;
  holds.clamp_to_mm = std::numeric_limits<double>::infinity();
  for (const Instance& one : model.instances) {
    if (one.panel == panel && model.parts[one.part].kind == PartKind::kWheel) {
      const double low = model.opening_sign > 0 ? one.bounds.low[0] : -one.bounds.high[0];
      holds.clamp_to_mm = std::min(holds.clamp_to_mm, low);
    }
  }
  return holds;
}

}  // namespace leafstack
