// How long a check takes, by stage. Run: leafstack_bench (built with LEAFSTACK_BENCHMARKS on).
//
// A mesh is kept on its solid once made, so a model is checked once: every iteration of the clash
// check gets a fresh model, built outside the clock.
#include <benchmark/benchmark.h>

#include <stdexcept>
#include <string>
#include <vector>

#include "generator/clash/proof/proof_store.h"
#include "generator/clash/report/clash.h"
#include "generator/model/part_store.h"
#include "tests/bench/gates.h"

namespace leafstack::bench {
namespace {

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

/// One number of a gate to change there and back again, as somebody at a page does.
struct Edit {
  const char* name;
  void (*change)(GateSpec&, double by);
  double by;
};

const Edit kEdits[] = {
    {"opening", [](GateSpec& g, double by) { g.site.opening_mm += by; }, 10},
    {"height", [](GateSpec& g, double by) { g.gate.height_mm += by; }, 10},
    {"overlap", [](GateSpec& g, double by) { g.gate.overlap_mm += by; }, 5},
    {"cladding", [](GateSpec& g, double by) { g.gate.cladding.thickness_mm += by; }, 0.2},
    {"rope_height",
     [](GateSpec& g, double by) {
       g.ropes.heights_mm = std::vector<double>{36 + by, 66};
     },
     0.02},
    {"room", [](GateSpec& g, double by) { g.site.room_mm = 6000 + by; }, 10}};

/// Every iteration edits further: what it touches has not been built for longer than is kept.
void rebuildAfterEdit(benchmark::State& state) {
  const Edit& edit = kEdits[state.range(0)];
  state.SetLabel(edit.name);
  const GateSpec spec = specOf(kBoards);
  PartStore store;
  buildModel(spec, layOut(spec).layout, &store);
  double by = 0;
  const std::size_t before = store.misses();
  for (auto _ : state) {
    GateSpec edited = spec;
    edit.change(edited, by += edit.by);
    benchmark::DoNotOptimize(buildModel(edited, layOut(edited).layout, &store));
    by = by < 10 * PartStore::kModelsKept * edit.by ? by : 0;
  }
  state.counters["built"] =
      static_cast<double>(store.misses() - before) / static_cast<double>(state.iterations());
}

/// From the edited number to a proved verdict, in a process that keeps parts and proofs.
void verdictAfterEdit(benchmark::State& state) {
  const Edit& edit = kEdits[state.range(0)];
  state.SetLabel(edit.name);
  const GateSpec spec = specOf(kBoards);
  PartStore parts;
  ProofStore proofs;
  expectClear(checkClashes(buildModel(spec, layOut(spec).layout, &parts), &proofs));
  double by = 0;
  for (auto _ : state) {
    GateSpec edited = spec;
    edit.change(edited, by += edit.by);
    const Model model = buildModel(edited, layOut(edited).layout, &parts);
    if (!checkClashes(model, &proofs).proved_between_positions) {
      throw std::logic_error("the edited gate is not proved");
    }
    by = by < 10 * PartStore::kModelsKept * edit.by ? by : 0;
  }
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
BENCHMARK(rebuildAfterEdit)->DenseRange(0, 5)->Unit(benchmark::kMillisecond);
BENCHMARK(verdictAfterEdit)->DenseRange(0, 5)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(clash, one_panel, kOnePanel)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(clash, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(clash, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(wholeCheck, one_panel, kOnePanel)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(wholeCheck, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(wholeCheck, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace leafstack::bench
