// How long reading and resolving a hardware set takes, with the gate file that names it. Under 2 ms
// is what an editor that reads it at every change does not notice.
#include <benchmark/benchmark.h>

#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>

#include "params/read_gate.h"

namespace leafstack::bench {
namespace {

const std::string& shelfText() {
  static const std::string kText = [] {
    std::ifstream file(std::string(LEAFSTACK_SOURCE_DIR) +
                       "/tests/gates/shelves/angle-and-feet.json");
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
  }();
  return kText;
}

/// The gate's own keys with a set of ours, or a file that gives every size (already in memory).
void readWith(benchmark::State& state, const char* set) {
  HardwareInput input;
  input.chosen = set;
  input.read = [](const std::string&) { return FileText{shelfText(), ""}; };
  const auto read = [&] {
    return readGate(R"({"site": {"opening_mm": 5200}, "guides": {"channel_width_mm": 70}})",
                    "bench", {}, input);
  };
  if (!read().gate) {
    throw std::invalid_argument(toString(read().problems.front()));
  }
  for (auto _ : state) {
    benchmark::DoNotOptimize(read());
  }
}
BENCHMARK_CAPTURE(readWith, medium, "medium")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(readWith, heavy, "heavy")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(readWith, fileOfEverySize, "shelf.json")->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace leafstack::bench
