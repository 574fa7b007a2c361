// What leafstack_step.so holds; step_library.h says what each does.
#pragma once

#include "generator/occt/step/step_library.h"

namespace leafstack {

void prepareStepTranslator();
SolidText writtenSolid(const TopoDS_Shape& solid, const std::string& mark);
StepContent readContent(const std::string& bytes, const std::string& name);

}  // namespace leafstack
