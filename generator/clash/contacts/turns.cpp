#include "generator/clash/contacts/turns.h"

#include <limits>
#include <map>

#include "generator/clash/contacts/holds.h"
#include "generator/clash/findings/measure.h"

namespace leafstack {

bool isInTurns(const Contact& contact) {
  return holdsOf(contact) == ContactHolds::kInTurns;
}

std::vector<TurnGroup> turnGroups(PlacedShapes& shapes) {
  std::map<int, TurnGroup> groups;  // by what they share
  for (const Contact& contact : shapes.model().contacts) {
    if (!isInTurns(contact)) {
      continue;
    }
    const int inner = contact.engagements.empty() ? contact.b : contact.engagements.front().inner;
    const int holder = contact.a == inner ? contact.b : contact.a;
    TurnGroup& group = groups[inner];
    if (group.contacts.empty()) {
      group.outer = holder;
      group.held_by = emptyBox();
    }
    group.contacts.push_back(&contact);
    const Bounds bounds = shapes.boundsSeenFrom(group.outer, holder);
    include(group.held_by, bounds.low);
    include(group.held_by, bounds.high);
  }
  std::vector<TurnGroup> all;
  for (auto& [inner, group] : groups) {
    all.push_back(std::move(group));
  }
  return all;
}

void nameNearest(PlacedShapes& shapes, const TurnGroup& group, PairFinding& lost) {
  const double at = lostAtMm(shapes, lost.below);
  double nearest = std::numeric_limits<double>::infinity();
  for (const Contact* contact : group.contacts) {
    const Clearance there =
        leastBetween(shapes, {contact->a, contact->b}, {at, at}, {.enough_mm = nearest});
    if (there.clearance_mm < nearest) {
      nearest = there.clearance_mm;
      lost.a = contact->a;
      lost.b = contact->b;
    }
  }
}

}  // namespace leafstack
