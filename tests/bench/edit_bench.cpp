// One edited number in a process that keeps parts and proofs: from the number to a verdict. Every
// round sets another number, one that was not set before, so that nothing is known of the gate but
// what the edit leaves as it was. Run: leafstack_bench --benchmark_filter=^edited
#include <benchmark/benchmark.h>

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "generator/clash/clash.h"
#include "generator/clash/proof_store.h"
#include "generator/layout.h"
#include "generator/model.h"
#include "generator/part_store.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

using Json = nlohmann::json;

/// A number of the gate, its first value, and by how much each round goes on.
struct Edit {
  const char* pointer;
  double from, step;
};

Json gateOf(const Edit& edit, double value) {
  Json gate = Json::parse(R"({"site": {"opening_mm": 6000}, "gate": {"panels": 3,
      "cladding": {"kind": "boards"}}})");
  gate[Json::json_pointer(edit.pointer)] = value;
  return gate;
}

void verdictOf(const Json& gate, PartStore* parts, ProofStore* proofs) {
  const ReadResult read = readGate(gate.dump(), "bench");
  if (!read.gate) {
    throw std::invalid_argument(toString(read.problems.front()));
  }
  const GateSpec& spec = read.gate->spec;
  const LayoutResult laid = layOut(spec);
  if (!laid.problems.empty()) {
    throw std::invalid_argument(laid.problems.front().text);
  }
  const Model model = buildModel(spec, laid.layout, parts);
  const ClashReport report = checkClashes(model, proofs);
  if (report.verdict == Verdict::kUnresolved) {
    throw std::logic_error("the gate to be timed is not settled");
  }
}

void edited(benchmark::State& state, Edit edit, bool keeps) {
  PartStore parts;
  ProofStore proofs;
  double value = edit.from;
  for (auto _ : state) {
    value += edit.step;
    verdictOf(gateOf(edit, value), keeps ? &parts : nullptr, keeps ? &proofs : nullptr);
  }
}

#define LEAFSTACK_EDIT(name, ...)                                                      \
  BENCHMARK_CAPTURE(edited, name, Edit{__VA_ARGS__}, true)                             \
      ->Unit(benchmark::kMillisecond)                                                  \
      ->Iterations(15);                                                                \
  BENCHMARK_CAPTURE(edited, name##_nothing_kept, Edit{__VA_ARGS__}, false)             \
      ->Unit(benchmark::kMillisecond)                                                  \
      ->Iterations(15)

LEAFSTACK_EDIT(opening, "/site/opening_mm", 6000, 2);
LEAFSTACK_EDIT(height, "/gate/height_mm", 1700, 2);
LEAFSTACK_EDIT(overlap, "/gate/overlap_mm", 80, 1);
LEAFSTACK_EDIT(cladding, "/gate/cladding/thickness_mm", 15, 0.25);
LEAFSTACK_EDIT(rope_height, "/ropes/bracket_clearance_mm", 48, 0.25);
LEAFSTACK_EDIT(room, "/site/room_mm", 4200, 5);

}  // namespace
}  // namespace leafstack
