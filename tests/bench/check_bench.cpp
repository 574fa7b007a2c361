// How long a check takes, by stage. Run: leafstack_bench (built with LEAFSTACK_BENCHMARKS on).
//
// A mesh is kept on its solid once made, so a model is checked once: every iteration of the clash
// check gets a fresh model, built outside the clock.
#include <benchmark/benchmark.h>

#include <stdexcept>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

constexpr const char* kOnePanel = R"({"site": {"opening_mm": 4000}, "gate": {"panels": 1}})";
constexpr const char* kThreePanels = R"({"site": {"opening_mm": 6000}, "gate": {"panels": 3}})";
/// Ten times the pickets of kThreePanels: closer, thinner, and over the widest opening.
constexpr const char* kManyPickets = R"({"site": {"opening_mm": 20000}, "gate": {"panels": 3,
    "infill": {"section": "SHS 15x15x1", "gap_mm": 10}}})";

GateSpec specOf(const char* text) {
  const ReadResult read = readGate(text, "bench");
  if (!read.gate) {
    throw std::invalid_argument(toString(read.problems.front()));
  }
  return read.gate->spec;
}

void countParts(benchmark::State& state, const Model& model) {
  double pickets = 0;
  for (const Instance& instance : model.instances) {
    pickets += model.parts[instance.part].kind == PartKind::kPicket ? 1 : 0;
  }
  state.counters["instances"] = static_cast<double>(model.instances.size());
  state.counters["pickets"] = pickets;
}

void expectClear(const ClashReport& report) {
  if (report.verdict != Verdict::kClear) {
    throw std::logic_error("the gate to be timed is not clear");
  }
}

void read(benchmark::State& state, const char* gate) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(readGate(gate, "bench"));
  }
}

void layOutOnly(benchmark::State& state, const char* gate) {
  const GateSpec spec = specOf(gate);
  for (auto _ : state) {
    benchmark::DoNotOptimize(layOut(spec));
  }
}

void build(benchmark::State& state, const char* gate) {
  const GateSpec spec = specOf(gate);
  const Layout layout = layOut(spec).layout;
  for (auto _ : state) {
    benchmark::DoNotOptimize(buildModel(spec, layout));
  }
  countParts(state, buildModel(spec, layout));
}

void clash(benchmark::State& state, const char* gate) {
  const GateSpec spec = specOf(gate);
  const Layout layout = layOut(spec).layout;
  for (auto _ : state) {
    state.PauseTiming();
    const Model model = buildModel(spec, layout);
    state.ResumeTiming();
    expectClear(checkClashes(model));
  }
  countParts(state, buildModel(spec, layout));
}

/// What `leafstack check` does, from text to verdict.
void wholeCheck(benchmark::State& state, const char* gate) {
  for (auto _ : state) {
    const GateSpec spec = specOf(gate);
    const Layout layout = layOut(spec).layout;
    expectClear(checkClashes(buildModel(spec, layout)));
  }
}

BENCHMARK_CAPTURE(read, three_panels, kThreePanels);
BENCHMARK_CAPTURE(layOutOnly, three_panels, kThreePanels);
BENCHMARK_CAPTURE(build, one_panel, kOnePanel)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(build, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(build, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(clash, one_panel, kOnePanel)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(clash, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(clash, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(wholeCheck, one_panel, kOnePanel)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(wholeCheck, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(wholeCheck, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace leafstack
