#include "generator/numbers.h"

#include <cstdio>

namespace leafstack {

std::string shown(double value, int decimals) {
  char text[400];  // the largest double has 309 digits before the point
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  std::string result = text;
  if (result.find('.') != std::string::npos) {
    result.erase(result.find_last_not_of('0') + 1);
    if (result.back() == '.') {
      result.pop_back();
    }
  }
  return result == "-0" ? "0" : result;
}

}  // namespace leafstack
