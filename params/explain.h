// One key of the gate file, told like a page of a manual.
#pragma once

#include <string>
#include <string_view>

namespace leafstack {

/// What `leafstack explain KEY` prints: title, meaning, unit, allowed, default, choices, examples,
/// source; of a group its keys. `key` is a pointer, "site.opening_mm", or the last word alone where
/// there is one of it. Empty where there is none such: then nearestKeys() may help. Lines of at
/// most `columns` bytes where words allow it.
std::string explained(std::string_view key, std::size_t columns);

/// "did you mean /site/opening_mm?", or where to find all; one line.
std::string nearestKeys(std::string_view key);

}  // namespace leafstack
