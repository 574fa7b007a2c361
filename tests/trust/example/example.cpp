// The libraries without the program: one gate, laid out, built, checked, one part written.
#include <fstream>
#include <iostream>

#include "exporters/cad/mesh/stl.h"
#include "generator/clash/report/clash.h"
#include "generator/compare/arrangements.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "generator/occt/step/step_library.h"
#include "params/read_gate.h"

int main() {
  using namespace leafstack;
  const ReadResult read = readGate(R"({"site": {"opening_mm": 6000}})", "example");
  for (const Diagnostic& problem : read.problems) {
    std::cerr << toString(problem) << "\n";
  }
  if (!read.gate) {
    return 1;
  }
  const LayoutResult laid_out = layOut(withPanelsChosen(read.gate->spec));
  for (const LayoutProblem& problem : laid_out.problems) {
    std::cerr << problem.pointer << ": " << problem.text << "\n";
  }
  if (!laid_out.problems.empty()) {
    return 1;
  }
  const Model model = buildModel(read.gate->spec, laid_out.layout);
  std::cout << "room " << laid_out.layout.room_mm << " mm, " << model.parts.size() << " parts, "
            << toString(checkClashes(model).verdict) << "\n";
  const SolidText first = stepLibrary().write(model.parts.front().solid, model.parts.front().mark);
  return first.count > 0 ? 0 : 1;
}
