// A report in one text, instances by what they are, and how to move them.
#pragma once

#include <gp_Trsf.hxx>
#include <stdexcept>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/model/model.h"

namespace leafstack {

inline std::string allText(const ClashReport& report) {
  std::string text = std::string(toString(report.verdict));
  for (const Finding& finding : report.findings) {
    text += "\n  " + finding.id + " | " + finding.text;
  }
  return text;
}

inline int instanceOf(const Model& model, PartKind kind, int panel) {
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    if (model.instances[i].panel == panel && model.parts[model.instances[i].part].kind == kind) {
      return i;
    }
  }
  throw std::logic_error("no such instance");
}

inline void shift(Model& model, int instance, const Vec3& by) {
  gp_Trsf move;
  move.SetTranslation(gp_Vec(by[0], by[1], by[2]));
  Instance& placed = model.instances[instance];
  placed.at_closed = TopLoc_Location(move * placed.at_closed.Transformation());
  for (int axis = 0; axis < 3; ++axis) {
    placed.bounds.low[axis] += by[axis];
    placed.bounds.high[axis] += by[axis];
  }
}

}  // namespace leafstack
