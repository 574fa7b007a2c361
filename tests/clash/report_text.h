// A report in one text, and instances by what they are.
#pragma once

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

}  // namespace leafstack
