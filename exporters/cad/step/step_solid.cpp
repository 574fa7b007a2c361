#include "exporters/cad/step/step_solid.h"

#include "exporters/bytes/export_error.h"

namespace leafstack {
namespace {

template <typename Work>
auto orExportError(const Work& work) {
  try {
    return work(stepLibrary());
  } catch (const NoStepLibrary& error) {
    throw WriteError(std::string("STEP: ") + error.what());
  } catch (const GeometryError& error) {
    throw ExportError(std::string("STEP: ") + error.what());
  }
}

}  // namespace

void prepareStep() {
  orExportError([](const StepLibrary& library) { library.prepare(); });
}

SolidText stepSolid(const TopoDS_Shape& solid, const std::string& mark) {
  return orExportError([&](const StepLibrary& library) { return library.write(solid, mark); });
}

}  // namespace leafstack
