// Edits of a gate file's text that leave the rest of it as it was written: comments, order, layout.
//
// Properties (tests/desk/edit_test.cpp): E1 the text so edited reads as the old one with that one
// value changed; E2 all other bytes stay, but for separators and line ends beside the edit; E3 a
// group that an edit leaves empty goes with it.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace leafstack::desk {

/// One edit. `typed`: as somebody types it, "5,6 m" or "auto"; nothing: back to the default.
struct Edit {
  std::string pointer;
  std::optional<std::string> typed;
};

/// What was typed for a key, as the gate file's JSON. Numbers without a unit are in the key's own,
/// with a decimal point or comma; what is no number of its kind stays a text, which the reader of
/// gate files judges.
std::string jsonOf(const std::string& pointer, const std::string& typed);

/// The text after the edits, one after another. Throws std::invalid_argument for a text that is no
/// JSON object, and for a pointer of no key.
std::string edited(std::string text, std::span<const Edit> edits);

}  // namespace leafstack::desk
