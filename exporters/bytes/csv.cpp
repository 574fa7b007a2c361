#include "exporters/bytes/csv.h"

#include <algorithm>
#include <iterator>

namespace leafstack {
namespace {

/// A decimal, perhaps with a plane: no spreadsheet takes it for a formula.
bool isNumber(std::string_view text) {
  constexpr std::string_view kDigits = "0123456789";
  text.remove_prefix(text.starts_with('-') ? 1 : 0);
  const std::size_t whole = std::min(text.find_first_not_of(kDigits), text.size());
  std::string_view rest = text.substr(whole);
  if (rest.starts_with('.')) {
    rest.remove_prefix(std::min(rest.find_first_not_of(kDigits, 1), rest.size()));
  }
  return whole > 0 && (rest.empty() || rest == " in elevation");
}

/// Whether a spreadsheet may run it: what formulas begin with, in the widths of East Asian
/// keyboards too, and the blanks that some skip (common practice, no source).
bool mayBeFormula(std::string_view text) {
  constexpr std::string_view kBegin[] = {"=",  "+",      "-",      "@",      "\t",    "\r",
                                         "\n", "\uFF1D", "\uFF0B", "\uFF0D", "\uFF20"};
  return !isNumber(text) && std::any_of(std::begin(kBegin), std::end(kBegin),
                                        [&](auto begin) { return text.starts_with(begin); });
}

}  // namespace

std::string csvField(std::string_view text) {
  std::string field(text);
  if (mayBeFormula(text)) {
    field.insert(0, 1, '\'');
  }
  if (field.find_first_of(",\"\r\n") == std::string::npos) {
    return field;
  }
  std::string quoted(1, '"');
  for (const char c : field) {
    quoted.append(c == '"' ? 2 : 1, c);
  }
  return quoted + "\"";
}

std::string csvLine(const std::vector<std::string>& fields) {
  std::string line;
  for (std::size_t i = 0; i < fields.size(); ++i) {
    line += i == 0 ? "" : ",";
    line += csvField(fields[i]);
  }
  return line + "\r\n";
}

}  // namespace leafstack
