// SHA-256 (FIPS 180-4), for the manifest and the hash of the input.
#pragma once

#include <string>
#include <string_view>

namespace leafstack {

/// Digest of `data` as 64 lower-case hexadecimal digits.
std::string sha256Hex(std::string_view data);

}  // namespace leafstack
