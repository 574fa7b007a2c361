// The form's rows from the one table of the gate file: keys, units, ranges, choices, texts.
#pragma once

#include <string>

namespace leafstack::desk {

/// JSON: [{ pointer, kind, unit, default, required, choices, allowed, meaning, source, is_common
/// }], in table order. Common are the keys that `leafstack new` writes.
std::string formJson();

}  // namespace leafstack::desk
