// Gates for the tests of cures, read and judged as the program does, but by calls of its own rooms
// alone: nothing of generator/cures.
#pragma once

#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "generator/clash/report/clash.h"
#include "generator/compare/arrangements.h"
#include "generator/layout/layout.h"
#include "generator/loads/loads.h"
#include "generator/model/model.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"
#include "params/read_gate.h"
#include "tests/support/random_gates.h"

namespace leafstack::gates {

inline std::vector<Override> overridesOf(const std::vector<std::string>& sets) {
  std::vector<Override> overrides;
  for (const std::string& set : sets) {
    overrides.push_back({set.substr(0, set.find('=')), set.substr(set.find('=') + 1)});
  }
  return overrides;
}

struct Judged {
  std::string problem;  ///< why there is no such gate
  Model model;
  LoadReport loads;
  ClashReport clash;
  std::vector<Warning> warnings;

  int count(const std::string& id) const {
    int count = 0;
    for (const Warning& warning : warnings) {
      count += warning.id == id ? 1 : 0;
    }
    return count;
  }
  bool isReady() const { return problem.empty() && gateVerdict(warnings, &clash).is_ready; }
  bool isClear() const {
    return clash.verdict == Verdict::kClear || clash.verdict == Verdict::kTight;
  }
};

/// A gate file with settings as after --set.
inline Judged judged(const std::string& text, const std::vector<std::string>& sets = {}) {
  Judged out;
  const ReadResult read = readGate(text, "test gate", gates::overridesOf(sets));
  if (!read.gate) {
    out.problem = toString(read.problems.front());
    return out;
  }
  const LayoutResult result = layOut(withPanelsChosen(read.gate->spec));
  if (!result.problems.empty() || !result.layout.fits) {
    out.problem = result.problems.empty() ? "does not fit" : result.problems.front().text;
    return out;
  }
  out.model = buildModel(read.gate->spec, result.layout);
  out.loads = findLoads(out.model);
  out.clash = checkClashes(out.model);
  out.warnings = warningsOf(out.model, out.loads);
  return out;
}

}  // namespace leafstack::gates
