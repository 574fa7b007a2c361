// Contacts declared on purpose, checked through the whole travel: that they hold where they must,
// that what slides or rolls stays on what it runs on, and that none is deeper than it may be.
#pragma once

#include <vector>

#include "generator/clash/contacts/holds.h"
#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/pair_finding.h"
#include "generator/clash/report/clash.h"

namespace leafstack {

struct ContactsChecked {
  std::vector<ContactReport> rows;
  std::vector<PairFinding> findings;  ///< lost contacts, and those deeper than permitted
};

/// `store`: verdicts known already, where there is one. What `scope` leaves out has no row.
ContactsChecked checkContacts(PlacedShapes& shapes, ProofStore* store, const CheckScope& scope);

}  // namespace leafstack
