// One solid as STEP entities: the kernel's translation, checked before and after.
#pragma once

#include "generator/occt/step/step_library.h"

namespace leafstack {

/// StepLibrary::prepare().
void prepareStep();

/// StepLibrary::write(); throws ExportError where that throws, WriteError where there is none.
SolidText stepSolid(const TopoDS_Shape& solid, const std::string& mark);

}  // namespace leafstack
