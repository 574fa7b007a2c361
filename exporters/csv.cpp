#include "exporters/csv.h"

namespace leafstack {
namespace {

/// A signed number, perhaps with a plane: no spreadsheet takes it for a formula.
bool isNumber(std::string_view text) {
  const std::size_t end = text.find_first_not_of("-0123456789.");
  const std::string_view rest = end == std::string_view::npos ? "" : text.substr(end);
  return text.rfind('-') == 0 && text.size() > 1 && (rest.empty() || rest == " in elevation");
}

}  // namespace

std::string csvField(std::string_view text) {
  std::string field(text);
  if (!field.empty() && std::string_view("=+-@\t\r").find(field.front()) != std::string::npos &&
      !isNumber(text)) {
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
