#include "generator/numbers.h"

#include <cstdio>

namespace leafstack {

std::string shown(double value) {
  char text[64];
  std::snprintf(text, sizeof text, "%.2f", value);
  std::string result = text;
  while (result.back() == '0') {
    result.pop_back();
  }
  if (result.back() == '.') {
    result.pop_back();
  }
  return result == "-0" ? "0" : result;
}

}  // namespace leafstack
