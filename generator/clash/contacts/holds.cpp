#include "generator/clash/contacts/holds.h"

namespace leafstack {

ContactHolds holdsOf(const Contact& contact) {
  if (contact.in_turns) {
    return ContactHolds::kInTurns;
  }
  switch (contact.kind) {
    case ContactKind::kMesh:
      return ContactHolds::kInTurns;
    case ContactKind::kStop:
      return ContactHolds::kAtAnEnd;
    case ContactKind::kWelded:
    case ContactKind::kBolted:
    case ContactKind::kBearing:
    case ContactKind::kRolling:
    case ContactKind::kSliding:
    case ContactKind::kRopeHeld:
    case ContactKind::kStandsOn:
      return ContactHolds::kThroughout;
  }
  return ContactHolds::kThroughout;
}

std::string_view toString(ContactHolds holds) {
  switch (holds) {
    case ContactHolds::kThroughout:
      return "throughout";
    case ContactHolds::kInTurns:
      return "in turns";
    case ContactHolds::kAtAnEnd:
      return "at an end of the travel";
  }
  return "";
}

}  // namespace leafstack
