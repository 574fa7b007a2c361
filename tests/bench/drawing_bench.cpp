// How long views take, beside the kernel's exact hidden-line removal. Run: leafstack_bench.
#include <benchmark/benchmark.h>
#include <HLRAlgo_Projector.hxx>
#include <HLRBRep_Algo.hxx>
#include <HLRBRep_HLRToShape.hxx>

#include <stdexcept>
#include <string>

#include "exporters/paper/views/projection.h"
#include "tests/bench/gates.h"

namespace leafstack::bench {
namespace {

constexpr PictureView kRoad{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
constexpr PictureView kPlan{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
constexpr PictureView kEnd{{0, 1, 0}, {0, 0, 1}, {1, 0, 0}};

std::vector<PlacedViewSolid> placedOf(const Model& model, bool shows_hidden = false) {
  std::vector<std::shared_ptr<const ViewSolid>> read;
  for (const Part& part : model.parts) {
    read.push_back(viewSolid(part.solid));
  }
  std::vector<PlacedViewSolid> solids;
  for (const Instance& instance : model.instances) {
    solids.push_back({read[instance.part], instance.at_closed, shows_hidden, false});
  }
  return solids;
}

void viewRead(benchmark::State& state, const char* gate) {
  const Model model = modelOf(gate);
  for (auto _ : state) {
    benchmark::DoNotOptimize(placedOf(model));
  }
}

void viewOf(benchmark::State& state, const char* gate, const PictureView& view) {
  const Model model = modelOf(gate);
  const auto solids = placedOf(model);
  std::size_t curves = 0;
  for (auto _ : state) {
    curves = projected(solids, view).size();
  }
  state.counters["curves"] = static_cast<double>(curves);
  state.counters["instances"] = static_cast<double>(model.instances.size());
}

void viewWithHidden(benchmark::State& state, const char* gate, const PictureView& view) {
  const Model model = modelOf(gate);
  const auto solids = placedOf(model, true);
  for (auto _ : state) {
    benchmark::DoNotOptimize(projected(solids, view));
  }
}

void viewReadAndSeen(benchmark::State& state, const char* gate, const PictureView& view) {
  const Model model = modelOf(gate);
  for (auto _ : state) {
    benchmark::DoNotOptimize(projected(placedOf(model), view));
  }
}

void viewCut(benchmark::State& state, const char* gate) {
  const auto solids = placedOf(modelOf(gate));
  for (auto _ : state) {
    benchmark::DoNotOptimize(cutView(solids, kEnd, {{1, 0, 0}, 1500}));
  }
}

/// Five views of the whole gate and fifteen of single parts with hidden lines: a set of sheets.
void viewSheets(benchmark::State& state, const char* gate) {
  const Model model = modelOf(gate);
  for (auto _ : state) {
    const auto solids = placedOf(model);
    for (const PictureView& view : {kRoad, kRoad, kPlan, kEnd}) {
      benchmark::DoNotOptimize(projected(solids, view));
    }
    benchmark::DoNotOptimize(cutView(solids, kEnd, {{1, 0, 0}, 1500}));
    for (std::size_t part = 0; part < 5 && part < model.parts.size(); ++part) {
      const std::vector<PlacedViewSolid> one = {
          {viewSolid(model.parts[part].solid), {}, true, false}};
      for (const PictureView& view : {kRoad, kPlan, kEnd}) {
        benchmark::DoNotOptimize(projected(one, view));
      }
    }
  }
}

/// The instances of one panel, or of all.
std::vector<int> instancesOf(const Model& model, int panel) {
  std::vector<int> found;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    if (panel < 0 || model.instances[i].panel == panel) {
      found.push_back(i);
    }
  }
  return found;
}

void panelOwn(benchmark::State& state, const char* gate) {
  const Model model = modelOf(gate);
  const auto all = placedOf(model);
  std::vector<PlacedViewSolid> solids;
  for (int i : instancesOf(model, 1)) {
    solids.push_back(all[i]);
  }
  for (auto _ : state) {
    benchmark::DoNotOptimize(projected(solids, kRoad));
  }
  state.counters["instances"] = static_cast<double>(solids.size());
}

void panelKernel(benchmark::State& state, const char* gate) {
  const Model model = modelOf(gate);
  for (auto _ : state) {
    Handle(HLRBRep_Algo) algorithm = new HLRBRep_Algo();
    for (int i : instancesOf(model, 1)) {
      const Instance& instance = model.instances[i];
      algorithm->Add(model.parts[instance.part].solid.Moved(instance.at_closed), 0);
    }
    algorithm->Projector(
        HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, -1, 0), gp_Dir(1, 0, 0))));
    algorithm->Update();
    algorithm->Hide();
    HLRBRep_HLRToShape shapes(algorithm);
    benchmark::DoNotOptimize(shapes.VCompound());
    benchmark::DoNotOptimize(shapes.OutLineVCompound());
  }
}

BENCHMARK_CAPTURE(viewRead, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewReadAndSeen, three_panels_road, kThreePanels, kRoad)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, three_panels_road, kThreePanels, kRoad)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, three_panels_plan, kThreePanels, kPlan)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, three_panels_end, kThreePanels, kEnd)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, three_panels_slant, kThreePanels, roadView(1))
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewWithHidden, three_panels_road, kThreePanels, kRoad)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewCut, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewSheets, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, many_pickets_road, kManyPickets, kRoad)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, many_pickets_plan, kManyPickets, kPlan)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, many_pickets_end, kManyPickets, kEnd)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewOf, many_pickets_slant, kManyPickets, roadView(1))
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(viewWithHidden, many_pickets_end, kManyPickets, kEnd)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(panelOwn, one_of_three, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(panelKernel, one_of_three, kThreePanels)
    ->Unit(benchmark::kMillisecond)
    ->Iterations(1);

}  // namespace
}  // namespace leafstack::bench
