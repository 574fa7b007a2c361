// Proofs that a process keeps from one clash check to the next: an edit redoes only what it
// touches.
//
// Property (proof_store_test.cpp): P1 a check with a store says what the one without says, to the
// last bit. What is kept is found again only by all that it follows from, bit by bit: parts by
// Part::identity, how they stand, go and are asked about. Pairs with ropes or bodies that turn, and
// those with a finding, are always judged anew, on kept meshes.
#pragma once

#include <vector>

#include "generator/clash/placed/kept.h"
#include "generator/clash/proof/proof.h"

namespace leafstack {

/// A verdict, and the effort it took: what is left for others follows from that.
struct KeptVerdict {
  PairVerdict verdict;
  Effort effort;
};
struct KeptContact {
  std::vector<Stretch> held;
  bool is_shallow = false;
  bool is_cut = false;  ///< the effort was used up first: neither is known
  Effort effort;
};

struct ProofStore {
  ShapeStore meshes;
  Kept<KeptVerdict> verdicts;
  Kept<KeptContact> contacts;

  /// Ends a check.
  void endCheck() {
    meshes.endCheck();
    verdicts.endCheck();
    contacts.endCheck();
  }
};

}  // namespace leafstack
