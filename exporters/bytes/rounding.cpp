#include "exporters/bytes/rounding.h"

#include <charconv>
#include <cmath>

#include "exporters/bytes/export_error.h"

namespace leafstack {

double roundedToMillionth(double value) {
  if (!std::isfinite(value)) {
    throw ExportError("a number is not finite");
  }
  // Beyond 2^53 millionths a double holds no smaller step anyway.
  constexpr double kAllDigitsKept = 9e9;
  if (std::abs(value) > kAllDigitsKept) {
    return value;
  }
  return std::round(value * 1e6) / 1e6 + 0.0;
}

std::string fixedDecimals(double value, int decimals) {
  if (!std::isfinite(value)) {
    throw ExportError("a number is not finite");
  }
  char buffer[400];  // the largest double has 309 digits before the point
  // Not printf, which obeys a locale that the caller may have set.
  const auto end =
      std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, decimals);
  std::string text(buffer, end.ptr);
  const bool is_zero = text.find_first_of("123456789") == std::string::npos;
  return is_zero && text.front() == '-' ? text.substr(1) : text;
}

}  // namespace leafstack
