#include "generator/loads/loads.h"

#include <algorithm>

#include "generator/loads/loads_parts.h"
#include "generator/loads/structure.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {

LoadReport findLoads(const Model& model) {
  LoadReport report;
  report.resistance = wheelResistance(model.spec.drive, model.spec.hardware);
  report.panels = panelLoads(model);
  const std::vector<ChainCase> cases = chainCases(model, report);
  report.ropes = ropeRows(model, cases);
  report.drive = driveRow(model, report, cases);
  report.wind = windReport(model);
  report.structure = structureOf(model, report.wind);
  return report;
}

std::vector<std::pair<std::string, double>> computedLoads(const GateSpec& spec,
                                                          const LoadReport& loads) {
  std::vector<std::pair<std::string, double>> rows;
  if (!spec.gate.yield_N_mm2) {
    rows.emplace_back("/gate/yield_N_mm2", frameYield_N_mm2(spec));
  }
  if (!spec.ropes.adjuster_mm && !loads.ropes.empty()) {
    double longest = 0;
    for (const RopeRow& row : loads.ropes) {
      longest = std::max(longest, row.adjuster_mm);
    }
    rows.emplace_back("/ropes/adjuster_mm", longest);
  }
  if (!spec.ropes.grade_N_mm2) {
    rows.emplace_back("/ropes/grade_N_mm2", ropeGrade_N_mm2(spec.ropes));
  }
  if (!spec.checks.deflection_mm) {
    rows.emplace_back("/checks/deflection_mm", loads.structure.deflection_limit_mm);
  }
  if (!spec.drive.rolling_resistance) {
    rows.emplace_back("/drive/rolling_resistance", loads.resistance.total);
  }
  if (!spec.checks.wind_Pa) {
    rows.emplace_back("/checks/wind_Pa", loads.wind.velocity_pressure_Pa);
  }
  return rows;
}

}  // namespace leafstack
