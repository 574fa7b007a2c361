// Where in the travel a designed contact must hold.
#pragma once

#include <string_view>

#include "generator/model/model.h"

namespace leafstack {

/// Follows from its kind, unless it takes turns.
enum class ContactHolds {
  kThroughout,  ///< at every position
  kInTurns,     ///< at every position one of its group: pieces of rack or of track
  kAtAnEnd      ///< closed or open: stops
};
ContactHolds holdsOf(const Contact& contact);
std::string_view toString(ContactHolds holds);

}  // namespace leafstack
