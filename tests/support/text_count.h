// How often something stands in a text.
#pragma once

#include <cstddef>
#include <string>

namespace leafstack {

inline std::size_t countOf(const std::string& text, const std::string& what) {
  std::size_t count = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
    ++count;
  }
  return count;
}

}  // namespace leafstack
