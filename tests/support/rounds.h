// How many cases a test takes: few under the sanitizers, which are slow, some in every run, all by
// hand.
#pragma once

#include <cstdlib>

namespace leafstack {

#ifdef __SANITIZE_ADDRESS__
inline constexpr unsigned kOneIn = 10;
#else
inline constexpr unsigned kOneIn = 1;
#endif

}  // namespace leafstack

namespace leafstack::gates {

/// `few`; `many` where LEAFSTACK_LONG is set in the environment (DEVELOPERS.md, "Trust").
inline int rounds(int few, int many) {
  return std::getenv("LEAFSTACK_LONG") == nullptr ? few : many;
}

}  // namespace leafstack::gates
