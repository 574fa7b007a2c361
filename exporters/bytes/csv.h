// CSV as RFC 4180 has it: comma, CRLF, UTF-8 without a mark.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace leafstack {

/// `text`, in double quotes where it holds a comma, quote or line break, quotes doubled. A text
/// that a spreadsheet would take for a formula (starts with = + - @ and is no number) is given a
/// leading apostrophe.
std::string csvField(std::string_view text);

/// Fields with commas, ended by CRLF.
std::string csvLine(const std::vector<std::string>& fields);

}  // namespace leafstack
