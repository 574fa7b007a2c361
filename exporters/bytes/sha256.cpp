#include "exporters/bytes/sha256.h"

#include <openssl/crypto.h>
#include <openssl/evp.h>

#include <array>
#include <cstddef>

#include "exporters/bytes/export_error.h"

namespace leafstack {
namespace {

constexpr std::size_t kDigestBytes = 32;

/// A context of our own, which no settings file of the machine reaches. Never freed: OpenSSL tidies
/// up at exit, before or after us.
OSSL_LIB_CTX* context() {
  static OSSL_LIB_CTX* const made = OSSL_LIB_CTX_new();
  return made;
}

}  // namespace

std::string sha256Hex(std::string_view data) {
  std::array<unsigned char, kDigestBytes> digest{};
  std::size_t size = 0;
  if (context() == nullptr || EVP_Q_digest(context(), "SHA256", nullptr, data.data(), data.size(),
                                           digest.data(), &size) != 1) {
    throw ExportError("the cryptography library gives no SHA-256");
  }
  static constexpr char kDigits[] = "0123456789abcdef";
  std::string hex;
  for (const unsigned char byte : digest) {
    hex.push_back(kDigits[byte >> 4U]);
    hex.push_back(kDigits[byte & 0xFU]);
  }
  return hex;
}

}  // namespace leafstack
