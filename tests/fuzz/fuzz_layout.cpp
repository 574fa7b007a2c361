// Gates from the whole input space, laid out: five bytes a value (tests/trust/whole_space.h).
// Either the reader or the layout says what is wrong, or the layout is finite and keeps its
// properties.
#include "generator/layout/layout.h"

#include <cstring>

#include "tests/fuzz/target.h"
#include "tests/trust/layout_properties.h"
#include "tests/trust/whole_space.h"

// "panels": "auto" weighs whole arrangements, which takes the kernel; it is left to the property
// tests (tests/trust), and none of it is linked here.
namespace leafstack {
LayoutResult layOutAuto(const GateSpec&);
LayoutResult layOutAuto(const GateSpec&) {
  fuzz::broken("a gate with a given number of panels was laid out as if it had none");
}
}  // namespace leafstack

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace leafstack;
  std::vector<whole_space::Draw> draws;
  for (; size >= 5; data += 5, size -= 5) {
    whole_space::Draw draw{data[0], 0};
    std::memcpy(&draw.bits, data + 1, 4);
    draws.push_back(draw);
  }
  const std::string text = whole_space::gateFile(draws).dump();
  const ReadResult result = readGate(text, "fuzz.json");
  fuzz::expectSound(result);
  if (!result.gate) {
    return 0;
  }
  fuzz::expectSameWhenReadBack(*result.gate);
  const GateSpec& spec = result.gate->spec;
  if (!spec.gate.panels) {
    return 0;
  }
  const LayoutResult laid_out = layOut(spec);
  for (const LayoutProblem& problem : laid_out.problems) {
    if (findParameter(problem.pointer) == nullptr || problem.text.empty()) {
      fuzz::broken("a problem that names no input: " + problem.pointer + "\n" + text);
    }
  }
  if (laid_out.problems.empty()) {
    const std::string fault = layoutFault(spec, laid_out.layout);
    if (!fault.empty()) {
      fuzz::broken(fault + "\n" + text);
    }
  }
  return 0;
}
