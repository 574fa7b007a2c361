// Any bytes as a request to the desk: whole, refused or waiting, and never more than its limits.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "exporters/desk/http/rules.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

[[noreturn]] void broken(const char* what) {
  std::fprintf(stderr, "broken: %s\n", what);
  std::abort();
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace leafstack::desk;
  std::string_view bytes(reinterpret_cast<const char*>(data), size);
  const std::size_t piece = size == 0 ? 1 : 1 + data[0] % 64;
  RequestReader reader;
  while (!bytes.empty() && reader.state() == RequestReader::State::kReading) {
    const std::string_view some = bytes.substr(0, std::min(piece, bytes.size()));
    bytes.remove_prefix(some.size());
    reader.take(some);
  }
  if (reader.state() == RequestReader::State::kRefused &&
      (reader.refusal().status < 400 || reader.refusal().status > 505)) {
    broken("refused with no status of a refusal");
  }
  if (reader.state() != RequestReader::State::kWhole) {
    return 0;
  }
  const Request& request = reader.request();
  if (!request.target.starts_with("/") || request.body.size() > kMostBodyBytes) {
    broken("a whole request that is none");
  }
  const Route call{"/check", true};
  const Guard guard{"127.0.0.1:4000", "00000000000000000000000000000000"};
  if (!refusalOf(request, &call, guard) && request.only("host") != guard.host) {
    broken("answered for another host");
  }
  return 0;
}
