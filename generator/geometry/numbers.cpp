#include "generator/geometry/numbers.h"

#include <charconv>

namespace leafstack {

std::string shown(double value, int decimals) {
  char text[400];  // the largest double has 309 digits before the point
  // Not printf, which obeys a locale that the caller may have set.
  const auto end =
      std::to_chars(text, text + sizeof text, value, std::chars_format::fixed, decimals);
  std::string result(text, end.ptr);
  if (result.find('.') != std::string::npos) {
    result.erase(result.find_last_not_of('0') + 1);
    if (result.back() == '.') {
      result.pop_back();
    }
  }
  return result == "-0" ? "0" : result;
}

}  // namespace leafstack
