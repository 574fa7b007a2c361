// What an installer has to set so that a gate as built works: the fewest and smallest changes
// within the hardware's ranges, found by a mixed linear program over proved clearances and proved
// again; and where none do, the least that has to be made anew.
//
// What the rules hold besides clearances, all linear in what is set (corrections.cpp):
//  R1 an open panel stands before its end stop, and the closed front panel before the catch post,
//     no nearer than 0 and no further than the shelf's gap
//  R2 teeth enter no deeper than drawn and no more than a quarter of the module less
//     and of the rack enough is left past the pinion
//  R3 every guide block stays in its channel, and in its rail at both ends of the travel
//  R4 every rope reaches its brackets within its terminals' range
//  R5 ropes leave their brackets no more aslant than terminals turn
#pragma once

#include "generator/as_built/corrected.h"
#include "generator/clash/proof/proof_store.h"

namespace leafstack {

struct CorrectionStores {
  PartStore* parts = nullptr;
  ProofStore* proofs = nullptr;
};
Corrected correct(const BuiltGate& gate, const CorrectionStores& stores);

}  // namespace leafstack
