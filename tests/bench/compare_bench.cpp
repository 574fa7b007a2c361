// Layouts, comparisons and sweeps for one core. Run: leafstack_bench --benchmark_filter=ompare
#include <benchmark/benchmark.h>

#include <stdexcept>
#include <string>

#include "generator/compare/arrangements.h"
#include "tests/bench/gates.h"

namespace leafstack::bench {
namespace {

constexpr const char* kSite = R"({"site": {"opening_mm": 6000, "room_mm": 3184}})";
constexpr const char* kBank =
    R"({"site": {"opening_mm": 6000, "room_mm": 3100, "bank": 0.2, "grade": 0.03},
        "gate": {"tuck_mm": 40, "top": "level"}})";
constexpr const char* kSurvey =
    R"({"site": {"opening_mm": 6000, "room_mm": 3100,
        "track_survey_mm": [[-500, 0], [2000, 30], [4000, 80], [7000, 90], [10000, 160]]}})";

void compareLayout(benchmark::State& state) {
  GateSpec spec = specOf(kSite);
  spec.gate.panels = static_cast<int>(state.range(0));
  for (auto _ : state) {
    benchmark::DoNotOptimize(layOut(spec));
  }
  state.SetItemsProcessed(state.iterations());
}

/// All arrangements of one site, with fixes and reasons.
void compareSite(benchmark::State& state, const char* gate) {
  const GateSpec spec = specOf(gate);
  for (auto _ : state) {
    benchmark::DoNotOptimize(compareArrangements(spec));
  }
}

/// The same as a sweep needs it.
void compareInSweep(benchmark::State& state, const char* gate) {
  const GateSpec spec = specOf(gate);
  CompareOptions options;
  options.in_words = false;
  for (auto _ : state) {
    benchmark::DoNotOptimize(compareArrangements(spec, options));
  }
  state.SetItemsProcessed(state.iterations());
}

BENCHMARK(compareLayout)->DenseRange(1, 4);
BENCHMARK_CAPTURE(compareSite, level, kSite)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(compareSite, bank, kBank)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(compareSite, survey, kSurvey)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(compareInSweep, level, kSite)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(compareInSweep, bank, kBank)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace leafstack::bench
