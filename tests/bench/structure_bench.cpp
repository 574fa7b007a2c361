// How long the frame analysis takes: three positions of the drive, all cases, members, wheels,
// posts and blocks. Run on one core: taskset -c 0 leafstack_bench --benchmark_filter=frame
#include <benchmark/benchmark.h>

#include <stdexcept>

#include "generator/loads/loads.h"
#include "generator/loads/structure.h"
#include "tests/bench/gates.h"

namespace leafstack::bench {
namespace {

void frameAnalysis(benchmark::State& state, const char* gate) {
  const Model model = modelOf(gate);
  const WindReport wind = findLoads(model).wind;
  for (auto _ : state) {
    const StructureReport report = structureOf(model, wind);
    if (!report.problem.empty()) {
      throw std::logic_error(report.problem);
    }
    benchmark::DoNotOptimize(report.mostUse());
  }
}

BENCHMARK_CAPTURE(frameAnalysis, one_panel, kOnePanel)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(frameAnalysis, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(frameAnalysis, boards, kBoards)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace leafstack::bench
