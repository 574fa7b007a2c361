// One solid as STEP entities: the kernel's translation, checked before and after.
#pragma once

#include <TopoDS_Shape.hxx>
#include <string>

namespace leafstack {

/// A MANIFOLD_SOLID_BREP with everything it refers to, numbered from 1.
struct SolidText {
  std::string entities;     ///< "#1 = ...;\n#2 = ...;\n"
  int count = 0;            ///< numbers used: 1 to count
  int brep = 0;             ///< number of the MANIFOLD_SOLID_BREP
  double tolerance_mm = 0;  ///< largest tolerance in the solid
};

/// Prepares the kernel's STEP translator (mm, no curves in parameter space) and silences its
/// messenger, which writes to stdout: once in a process, whoever calls. Before that the translator
/// is not safe in threads.
void prepareStep();

/// Translates `solid`, naming it `mark`.
///
/// Before: it must be one solid with one closed shell, every edge shared by exactly two face sides
/// of opposite sense, and pass the kernel's full checker. After: as many faces and edges as the
/// solid has, every edge used twice. Throws ExportError, naming `mark`, otherwise. Several solids
/// may be translated at once.
SolidText stepSolid(const TopoDS_Shape& solid, const std::string& mark);

}  // namespace leafstack
