// --set /json/pointer=value, applied to the tree before anything is validated.
#pragma once

#include <span>

#include "params/override.h"
#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"

namespace leafstack {

/// Applies the overrides in order; a later one wins. Objects on the way are created, list elements
/// are addressed by index ("-" or the list's length appends). Malformed pointers and pointers
/// through values that hold nothing are reported.
void applyOverrides(std::span<const Override> overrides, JsonNode& root, Reporter& reporter);

}  // namespace leafstack
