#include "exporters/paper/assemblies/weld_labels.h"

#include <algorithm>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

WeldSign signOf(const WeldRow& row) {
  WeldSign sign;
  sign.is_fillet = row.kind == WeldKind::kFillet;
  sign.size = (sign.is_fillet ? "z" : "s") + shown(row.leg_mm, 1);
  const double each = row.pieces > 1 ? row.length_mm / row.pieces : row.length_mm;
  sign.length = (row.pieces > 1 ? std::to_string(row.pieces) + "x" : "") + shown(each, 0);
  sign.tail = row.mark + (row.joints > 1 ? ", " + std::to_string(row.joints) + "x" : "");
  sign.is_on_site = row.is_on_site;
  return sign;
}

}  // namespace

std::vector<WeldGroup> weldGroups(const std::vector<WeldRow>& welds, int panel) {
  std::vector<WeldGroup> groups;
  for (const WeldRow& row : welds) {
    if (row.panel != panel) {
      continue;
    }
    const std::string key = row.a + " " + row.b;
    auto group = std::find_if(groups.begin(), groups.end(),
                              [&](const WeldGroup& one) { return one.key == key; });
    if (group == groups.end()) {
      groups.push_back({key, row.a, row.b, row.at_mm, {}});
      group = std::prev(groups.end());
    }
    group->signs.push_back(signOf(row));
  }
  return groups;
}

}  // namespace leafstack
