// What the proof over the whole travel costs, beside what it replaces: solids cut with each other,
// and a library's distances, both position by position. Run: leafstack_bench --benchmark_filter=^by
// (built with LEAFSTACK_BENCHMARKS on).
//
// Both others are given the easier task: pairs of different panels only, no ropes, nothing said of
// what lies between two positions; and their shapes are made outside the clock. The whole check has
// all of that inside. Designed contacts, which meet throughout the travel, are timed apart: whoever
// cuts or measures all that moves has them to do as well.
// FCL: Pan, Chitta, Manocha, "FCL: A general purpose library for collision and proximity queries",
// ICRA 2012; here version 0.7.
#include <benchmark/benchmark.h>
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/narrowphase/distance.h>

#include <BRepAlgoAPI_Common.hxx>
#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "generator/clash/placed/exact.h"
#include "generator/clash/findings/findings.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/proof/requirements.h"
#include "generator/clash/report/clash.h"
#include "tests/bench/gates.h"

namespace leafstack::bench {
namespace {

constexpr double kStepMm = 1;

void expect(bool is_so, const char* otherwise) {
  if (!is_so) {
    throw std::logic_error(otherwise);
  }
}

int stepsOf(const Model& model) {
  return static_cast<int>(std::floor(model.layout.drive_travel_mm / kStepMm)) + 1;
}

struct Pair {
  int a = 0, b = 0;
  double required_mm = 0;
  double margin_mm = 0;  ///< the check looks this far: least clearances are reported as well
};

enum class Which { kUndeclared, kContacts };

/// Pairs of different panels, neither of them a rope: designed contacts, or all others.
std::vector<Pair> movingPairs(const Model& model, const PlacedShapes& shapes,
                              Which which = Which::kUndeclared) {
  std::set<std::pair<int, int>> declared;
  for (const Contact& contact : model.contacts) {
    declared.insert({contact.a, contact.b});
  }
  std::vector<Pair> pairs;
  const int count = static_cast<int>(model.instances.size());
  for (int a = 0; a < count; ++a) {
    for (int b = a + 1; b < count; ++b) {
      const bool is_rope = shapes.isRope(a) || shapes.isRope(b);
      if (!is_rope && !shapes.isOneBody(a, b) &&
          declared.count({a, b}) == (which == Which::kContacts)) {
        const double required =
            requiredClearance(model.spec, shapes.kindOf(a), shapes.kindOf(b)).clearance_mm;
        const double asked = required - kClearanceToleranceMm;
        pairs.push_back({a, b, required, std::max(asked, kMeasureWithinMm)});
      }
    }
  }
  return pairs;
}

double boxGap(const PlacedShapes& shapes, const Pair& pair, double drive_mm) {
  const Placement apart = shapes.seenFrom(pair.a, pair.b, drive_mm);
  return boxDistance(shapes.ownBounds(pair.a), placedBox(apart, shapes.ownBounds(pair.b)), 0);
}

/// Those of `pairs` whose bounds come within the margin somewhere.
std::vector<Pair> nearPairs(const PlacedShapes& shapes, std::vector<Pair> pairs) {
  const auto is_far = [&](const Pair& pair) {
    return !nearStretch(shapes, pair.a, pair.b, pair.margin_mm);
  };
  pairs.erase(std::remove_if(pairs.begin(), pairs.end(), is_far), pairs.end());
  return pairs;
}

void count(benchmark::State& state, const Model& model, std::size_t pairs) {
  state.counters["instances"] = static_cast<double>(model.instances.size());
  state.counters["pairs"] = static_cast<double>(pairs);
}

/// `queries`: positions at which a pair's bounds were near enough to be asked about.
void countSteps(benchmark::State& state, const Model& model, double queries) {
  state.counters["steps"] = stepsOf(model);
  state.counters["queries"] = queries;
}

/// The whole check, meshing, designed contacts and ropes included: a fresh model every time, since
/// the kernel keeps meshes on its solids.
void byProof(benchmark::State& state, const char* gate) {
  std::size_t pairs = 0;
  for (auto _ : state) {
    state.PauseTiming();
    const Model model = modelOf(gate);
    state.ResumeTiming();
    const ClashReport report = checkClashes(model);
    expect(report.verdict == Verdict::kClear, "the gate to be timed is not clear");
    pairs = static_cast<std::size_t>(report.pairs_checked);
  }
  count(state, modelOf(gate), pairs);
}

/// The proof alone, of the pairs FCL is given, on meshes made outside the clock.
void bySweep(benchmark::State& state, const char* gate) {
  const Model model = modelOf(gate);
  PlacedShapes shapes(model);
  const std::vector<Pair> pairs = nearPairs(shapes, movingPairs(model, shapes));
  const auto judgeAll = [&] {
    for (const Pair& pair : pairs) {
      const auto near = nearStretch(shapes, pair.a, pair.b, pair.margin_mm);
      Effort effort;
      const PairVerdict verdict =
          judgePair(shapes, {pair.a, pair.b, pair.required_mm, *near}, effort);
      expect(verdict.state == PairState::kProved, "the gate to be timed is not clear");
    }
  };
  judgeAll();  // meshes
  for (auto _ : state) {
    judgeAll();
  }
  count(state, model, pairs.size());
}

/// FCL's form of the check's own coarse meshes.
class FclShapes {
 public:
  using Surface = fcl::BVHModel<fcl::OBBRSSd>;

  explicit FclShapes(PlacedShapes& shapes) : shapes_(shapes) {}

  const Surface& surface(int instance) {
    const TriangleMesh& mesh = shapes_.mesh(instance, Fineness::kCoarse);
    std::unique_ptr<Surface>& slot = surfaces_[&mesh];
    if (!slot) {
      std::vector<fcl::Vector3d> points;
      for (const Vec3& point : mesh.points()) {
        points.emplace_back(point[0], point[1], point[2]);
      }
      std::vector<fcl::Triangle> triangles;
      for (const MeshTriangle& triangle : mesh.mesh().triangles) {
        const auto& [p, q, r] = triangle.points;
        triangles.emplace_back(p, q, r);
      }
      slot = std::make_unique<Surface>();
      slot->beginModel();
      slot->addSubModel(points, triangles);
      slot->endModel();
    }
    return *slot;
  }

  fcl::Transform3d placeOf(int instance) {
    const Vec3& at = shapes_.place(instance).shift;  // level gates: nothing leans
    return fcl::Transform3d(fcl::Translation3d(at[0], at[1], at[2]));
  }

 private:
  PlacedShapes& shapes_;
  std::map<const TriangleMesh*, std::unique_ptr<Surface>> surfaces_;
};

/// FCL's distance at every step where the bounds are within the margin; it is told so and need not
/// look further.
void byFclSteps(benchmark::State& state, const char* gate, Which which) {
  const Model model = modelOf(gate);
  PlacedShapes shapes(model);
  FclShapes fcl_shapes(shapes);
  const std::vector<Pair> pairs = nearPairs(shapes, movingPairs(model, shapes, which));
  for (const Pair& pair : pairs) {
    fcl_shapes.surface(pair.a);
    fcl_shapes.surface(pair.b);
  }
  const int steps = stepsOf(model);
  double queries = 0;
  for (auto _ : state) {
    queries = 0;
    for (const Pair& pair : pairs) {
      const auto& a = fcl_shapes.surface(pair.a);
      const auto& b = fcl_shapes.surface(pair.b);
      const fcl::Transform3d at = fcl_shapes.placeOf(pair.a);
      const fcl::Transform3d start = fcl_shapes.placeOf(pair.b);
      const double start_apart = shapes.seenFrom(pair.a, pair.b, 0).shift[0];
      for (int i = 0; i < steps; ++i) {
        if (boxGap(shapes, pair, i * kStepMm) >= pair.margin_mm) {
          continue;
        }
        const double shift = shapes.seenFrom(pair.a, pair.b, i * kStepMm).shift[0] - start_apart;
        fcl::DistanceResultd result(pair.margin_mm);
        fcl::distance(&a, at, &b, fcl::Transform3d(fcl::Translation3d(shift, 0, 0)) * start,
                      fcl::DistanceRequestd(), result);
        expect(which == Which::kContacts ||
                   result.min_distance >= pair.required_mm - kClearanceToleranceMm,
               "the gate to be timed is not clear");
        ++queries;
      }
    }
  }
  count(state, model, pairs.size());
  countSteps(state, model, queries);
}

double sharedVolume(const PlacedShapes& shapes, const Pair& pair, double drive_mm) {
  BRepAlgoAPI_Common common(shapes.shapeAt(pair.a, drive_mm), shapes.shapeAt(pair.b, drive_mm));
  GProp_GProps properties;
  BRepGProp::VolumeProperties(common.Shape(), properties);
  return properties.Mass();
}

/// What the pairs have in common, cut by the kernel wherever their bounds meet: that they clash or
/// not, and nothing of clearances. Every position is done, none estimated: bounds meet near the
/// ends of the travel for the most part, where an even sample would count them many times over.
void byBooleanSteps(benchmark::State& state, const char* gate) {
  const Model model = modelOf(gate);
  const PlacedShapes shapes(model);
  const std::vector<Pair> pairs = nearPairs(shapes, movingPairs(model, shapes));
  const int steps = stepsOf(model);
  std::set<std::pair<int, int>> met;
  double booleans = 0;
  for (auto _ : state) {
    booleans = 0;
    for (const Pair& pair : pairs) {
      for (int i = 0; i < steps; ++i) {
        if (boxGap(shapes, pair, i * kStepMm) == 0) {
          const double shared = sharedVolume(shapes, pair, i * kStepMm);
          expect(shared < kNoVolumeMm3, "the gate to be timed is not clear");
          met.insert({pair.a, pair.b});
          ++booleans;
        }
      }
    }
  }
  count(state, model, met.size());
  countSteps(state, model, booleans);
}

/// The same for designed contacts, at every hundredth step: they meet throughout, so a hundred
/// times the time is what all steps take.
void byBooleanContacts(benchmark::State& state, const char* gate) {
  constexpr int kEvery = 100;
  const Model model = modelOf(gate);
  const PlacedShapes shapes(model);
  const std::vector<Pair> pairs = nearPairs(shapes, movingPairs(model, shapes, Which::kContacts));
  double booleans = 0;
  for (auto _ : state) {
    booleans = 0;
    for (const Pair& pair : pairs) {
      for (int i = 0; i < stepsOf(model); i += kEvery) {
        if (boxGap(shapes, pair, i * kStepMm) == 0) {
          benchmark::DoNotOptimize(sharedVolume(shapes, pair, i * kStepMm));
          ++booleans;
        }
      }
    }
  }
  count(state, model, pairs.size());
  countSteps(state, model, booleans);
  state.counters["factor"] = kEvery;
}

BENCHMARK_CAPTURE(byProof, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(byProof, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(bySweep, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(bySweep, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(byFclSteps, three_panels, kThreePanels, Which::kUndeclared)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(byFclSteps, many_pickets, kManyPickets, Which::kUndeclared)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(byFclSteps, contacts, kThreePanels, Which::kContacts)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(byBooleanSteps, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(byBooleanSteps, many_pickets, kManyPickets)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(byBooleanContacts, three_panels, kThreePanels)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace leafstack::bench
