// What somebody means who gives a key that there is none of.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/table/parameter.h"

namespace leafstack {

/// The key that goes by `key` elsewhere in the trade, or by its name in another group; null where
/// none does. `group` is the pointer of the group it was given in. Case, separators and the unit at
/// the end do not count.
const Parameter* meantBy(std::string_view group, std::string_view key);

/// What to say of something that is no input at all, as a colour; else empty.
std::string_view noInput(std::string_view key);

/// The name that differs from `key` by one letter, or by two swapped ones; else empty. Units at the
/// end do not count.
std::string slipOf(std::string_view key, const std::vector<std::string>& names);

/// Keys of a group, for "did you mean".
std::vector<std::string> keysOf(std::string_view group);

/// Where else a key of this very name stands, for one put into the wrong group.
std::vector<std::string> groupsWithKey(std::string_view key);

/// What a file is that can be read and is no gate, as a report or a price list; an empty message
/// for a gate.
Complaint otherKindOf(const JsonNode& root);

}  // namespace leafstack
