// Any bytes as overrides, one a line, /pointer=value, of a gate with lists and a motor to aim at.
#include "tests/fuzz/target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace leafstack;
  constexpr std::string_view kGate = R"({"leafstack": 1, "site": {"opening_mm": 6000,
    "track_survey_mm": [[0, 0], [3000, 20], [9000, 0]]}, "gate": {"panels": 3},
    "ropes": {"heights_mm": [36, 64]}, "drive": {"motor": {"length_mm": 300}}})";
  std::vector<Override> overrides;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find('\n', from), text.size());
    const std::string_view line = text.substr(from, to - from);
    const std::size_t equals = std::min(line.find('='), line.size());
    const std::string_view value = line.substr(std::min(equals + 1, line.size()));
    overrides.push_back({std::string(line.substr(0, equals)), std::string(value)});
    from = to + 1;
  }
  const ReadResult result = readGate(kGate, "fuzz.json", overrides);
  fuzz::expectSound(result);
  if (result.gate) {
    fuzz::expectSameWhenReadBack(*result.gate);
  }
  return 0;
}
