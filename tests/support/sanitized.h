// Under the sanitizers random gates take twenty times as long: then fewer of them have to do.
#pragma once

namespace leafstack {

#ifdef __SANITIZE_ADDRESS__
inline constexpr unsigned kOneIn = 10;
#else
inline constexpr unsigned kOneIn = 1;
#endif

}  // namespace leafstack
