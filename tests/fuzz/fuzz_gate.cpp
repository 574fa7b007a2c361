// Any bytes as a gate file: a gate that reads back as itself, or problems, one line each.
#include "tests/fuzz/target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace leafstack;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const ReadResult result = readGate(text, "fuzz.json");
  fuzz::expectSound(result);
  if (result.gate) {
    fuzz::expectSameWhenReadBack(*result.gate);
  }
  return 0;
}
