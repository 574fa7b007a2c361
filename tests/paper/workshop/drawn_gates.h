// Five gates with all their sheets, drawn once for the tests that read them.
#pragma once

#include <vector>

#include "exporters/paper/sheets/drawings.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "tests/support/built_gates.h"

namespace leafstack::sheets {

struct DrawnGate {
  Model model;
  Schedules schedules;
  std::vector<Sheet> sheets;
};

inline DrawnGate drawnWith(const gates::Changes& changes) {
  DrawnGate gate{gates::modelWith(changes), {}, {}};
  gate.schedules = makeSchedules(gate.model);
  findWelds(gate.model, gate.schedules);
  gate.sheets = gateSheets(gate.model, gate.schedules);
  return gate;
}

/// Left and right hand, raked, level and stepped tops, pickets, slats and boards, both mounts.
inline const std::vector<DrawnGate>& drawnGates() {
  static const std::vector<DrawnGate> all = [] {
    std::vector<DrawnGate> made;
    made.push_back(drawnWith({{"/site/opening_mm", 6150}, {"/gate/panels", 3}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5230},
                              {"/site/opens", "left"},
                              {"/site/grade", -0.08},
                              {"/gate/panels", 2}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5230},
                              {"/site/grade", 0.04},
                              {"/gate/top", "level"},
                              {"/gate/panels", 2}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5100},
                              {"/gate/material", "aluminium"},
                              {"/gate/infill/kind", "slats"},
                              {"/gate/panels", 2}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5100},
                              {"/gate/cladding/kind", "boards"},
                              {"/guides/mount", "overhead"},
                              {"/gate/panels", 2}}));
    return made;
  }();
  return all;
}

}  // namespace leafstack::sheets
