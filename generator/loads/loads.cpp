#include "generator/loads/loads.h"

#include <algorithm>
#include <functional>
#include <map>

#include "generator/geometry/numbers.h"
#include "generator/loads/loads_parts.h"
#include "generator/loads/structure.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {

LoadReport findLoads(const Model& model, Frequencies frequencies) {
  LoadReport report;
  report.resistance = wheelResistance(model.spec.drive, model.spec.hardware);
  report.panels = panelLoads(model);
  const std::vector<ChainCase> cases = chainCases(model, report);
  report.ropes = ropeRows(model, cases);
  report.drive = driveRow(model, report, cases);
  findHeldPulls(model, report.drive, report.ropes);
  report.wind = windReport(model);
  report.structure = structureOf(model, report.wind, frequencies == Frequencies::kFound);
  detail_rows::addRopeBracketDetails(model, bracketPulls(report.ropes), report.structure);
  return report;
}

std::vector<detail_rows::BracketPull> bracketPulls(const std::vector<RopeRow>& ropes) {
  std::map<int, detail_rows::BracketPull> by_carrier;
  for (const RopeRow& rope : ropes) {
    detail_rows::BracketPull& pull = by_carrier[rope.carrier];
    pull.carrier = rope.carrier;
    pull.work_N = std::max(pull.work_N, rope.working_tension_N);
    pull.held_N = std::max(pull.held_N, rope.held_pull_N);
  }
  std::vector<detail_rows::BracketPull> pulls;
  for (const auto& [carrier, pull] : by_carrier) {
    pulls.push_back(pull);
  }
  return pulls;
}

namespace {

/// A side or the depth of the blocks under the posts.
ComputedLoad blockSize(const char* pointer, const StructureReport& structure,
                       double PostBlock::*size) {
  ComputedLoad out;
  out.pointer = pointer;
  for (const StructurePost& post : structure.posts) {
    if (post.block) {
      out.values.push_back((*post.block).*size);
      out.why += (out.why.empty() ? "" : "; ") + shown(out.values.back()) + " mm under the " +
                 post.name + ", tipping at " + shown(100 * post.block->use, 0) + " % (" +
                 post.block->case_name + ")";
    }
  }
  if (std::adjacent_find(out.values.begin(), out.values.end(), std::not_equal_to<>()) ==
      out.values.end()) {
    out.values.resize(1);
  }
  out.why = "the smallest in steps of 100 that holds, without steel in it: " + out.why;
  return out;
}

void addBlockSizes(const FootingSpec& footing, const StructureReport& structure,
                   std::vector<ComputedLoad>& rows) {
  const bool any = std::any_of(structure.posts.begin(), structure.posts.end(),
                               [](const StructurePost& post) { return post.block.has_value(); });
  if (!any) {
    return;
  }
  if (!footing.block_along_mm) {
    rows.push_back(blockSize("/footing/block_along_mm", structure, &PostBlock::along_mm));
  }
  if (!footing.block_across_mm) {
    rows.push_back(blockSize("/footing/block_across_mm", structure, &PostBlock::across_mm));
  }
  if (!footing.block_depth_mm) {
    rows.push_back(blockSize("/footing/block_depth_mm", structure, &PostBlock::depth_mm));
  }
}

}  // namespace

std::vector<ComputedLoad> computedLoads(const GateSpec& spec, const LoadReport& loads) {
  std::vector<ComputedLoad> rows;
  if (!spec.gate.yield_N_mm2) {
    rows.push_back({"/gate/yield_N_mm2", {frameYield_N_mm2(spec)}});
  }
  if (!spec.ropes.adjuster_mm && !loads.ropes.empty()) {
    double longest = 0;
    for (const RopeRow& row : loads.ropes) {
      longest = std::max(longest, row.adjuster_mm);
    }
    rows.push_back({"/ropes/adjuster_mm", {longest}});
  }
  if (!spec.ropes.grade_N_mm2) {
    rows.push_back({"/ropes/grade_N_mm2", {ropeGrade_N_mm2(spec.ropes)}});
  }
  if (!spec.checks.deflection_mm) {
    rows.push_back({"/checks/deflection_mm", {loads.structure.deflection_limit_mm}});
  }
  if (!spec.drive.rolling_resistance) {
    rows.push_back({"/drive/rolling_resistance", {loads.resistance.total}});
  }
  if (!spec.checks.wind_Pa) {
    rows.push_back({"/checks/wind_Pa", {loads.wind.velocity_pressure_Pa}});
  }
  addBlockSizes(spec.footing, loads.structure, rows);
  return rows;
}

}  // namespace leafstack
