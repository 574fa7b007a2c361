// Contacts declared on purpose, checked through the whole travel: that they hold where they must,
// that what slides or rolls stays on what it runs on, and that none is deeper than it may be.
#pragma once

#include <string>
#include <vector>

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/pair_finding.h"
#include "generator/clash/report/clash.h"
#include "generator/clash/report/finding_part.h"

namespace leafstack {

/// Where in the travel a contact must hold, which follows from its kind.
enum class ContactHolds {
  kThroughout,  ///< at every position
  kInTurns,     ///< at every position one of its group: pieces of rack with the pinion
  kAtAnEnd      ///< closed or open: stops
};
ContactHolds holdsOf(ContactKind kind);
std::string_view toString(ContactHolds holds);

struct ContactsChecked {
  std::vector<ContactReport> rows;
  std::vector<PairFinding> findings;  ///< lost contacts, and those deeper than permitted
};

/// `store`: verdicts known already, where there is one.
ContactsChecked checkContacts(PlacedShapes& shapes, ProofStore* store = nullptr);

}  // namespace leafstack
