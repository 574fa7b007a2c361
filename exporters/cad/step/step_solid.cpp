#include "exporters/cad/step/step_solid.h"

#include "exporters/bytes/export_error.h"
#include "generator/geometry/geometry_error.h"

namespace leafstack {

void prepareStep() {
  try {
    stepLibrary().prepare();
  } catch (const GeometryError& error) {
    throw ExportError(std::string("STEP: ") + error.what());
  }
}

SolidText stepSolid(const TopoDS_Shape& solid, const std::string& mark) {
  try {
    return stepLibrary().write(solid, mark);
  } catch (const GeometryError& error) {
    throw ExportError(std::string("STEP: ") + error.what());
  }
}

}  // namespace leafstack
