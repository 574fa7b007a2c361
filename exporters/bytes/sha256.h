// SHA-256 (FIPS 180-4) by libcrypto, for the manifest and the hash of the input.
#pragma once

#include <string>
#include <string_view>

namespace leafstack {

/// Digest of `data` as 64 lower-case hexadecimal digits. From any thread. Throws ExportError where the
/// library fails, which only want of memory should bring about.
std::string sha256Hex(std::string_view data);

}  // namespace leafstack
