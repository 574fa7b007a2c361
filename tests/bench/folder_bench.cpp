// How long `build` takes from a gate's text to a folder in its place. Run: leafstack_bench
// --benchmark_filter=Folder (built with LEAFSTACK_BENCHMARKS on).
#include <benchmark/benchmark.h>
#include <unistd.h>

#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

#include "exporters/cad/ifc/ifc.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/commands/program.h"
#include "exporters/folder/gate_folder.h"
#include "tests/bench/gates.h"

namespace leafstack::bench {
namespace {

namespace fs = std::filesystem;

/// A folder of outputs, gone with the object; on the disk, since that is waited for as well.
struct Target {
  fs::path path = fs::temp_directory_path() / ("leafstack_bench-" + std::to_string(getpid()));
  ~Target() { remove(); }
  void remove() const {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
};

/// `only` names the outputs; all but those on request where it is empty. Everything is made anew in
/// every iteration.
void buildFolder(benchmark::State& state, const std::vector<std::string>& only) {
  keepMemory();  // as the program does
  const Target target;
  Progress nothing_told(/*quiet=*/true, /*timings=*/false);
  OutputChoice choice;
  choice.only = only;
  int files = 0;
  for (auto _ : state) {
    Prepared prepared;
    prepared.gate = resolve(kThreePanels, "bench", {});
    prepared.provenance = {"2024-01-01T00:00:00Z", std::string(64, '0')};
    prepared.layout = layOut(prepared.gate.spec).layout;
    OutputFolder folder(target.path, /*force=*/false);
    const Built built = buildAll(prepared, /*with_areas=*/true, nothing_told);
    if (built.clash.verdict != Verdict::kClear) {
      throw std::logic_error("the gate to be timed is not clear");
    }
    files = writeGateFolder(folder, {prepared.gate, built.model, built.schedules, built.clash, {}},
                            choice, prepared.provenance, [](std::string_view, int, int) {});
    state.PauseTiming();
    target.remove();
    state.ResumeTiming();
  }
  state.counters["files"] = files;
}

void stepAndStlFolder(benchmark::State& state) {
  buildFolder(state, {"step", "stl"});
}

void wholeFolder(benchmark::State& state) {
  buildFolder(state, {});
}

/// gate.ifc of a gate that is built: goal 150 ms.
void ifcOfAGate(benchmark::State& state) {
  keepMemory();
  const ResolvedGate gate = resolve(kThreePanels, "bench", {});
  const Model model = buildModel(gate.spec, layOut(gate.spec).layout);
  for (auto _ : state) {
    benchmark::DoNotOptimize(ifcFile(model, {"2024-01-01T00:00:00Z", std::string(64, '0')}));
  }
}
BENCHMARK(ifcOfAGate)->Unit(benchmark::kMillisecond)->UseRealTime();

BENCHMARK(stepAndStlFolder)
    ->Name("stepAndStlFolder/three_panels")
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();
BENCHMARK(wholeFolder)
    ->Name("wholeFolder/three_panels")
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

}  // namespace
}  // namespace leafstack::bench
