// The kernel's STEP, both ways, in a library of our own that is loaded when it is first asked for:
// loading what it needs takes as long as a tenth of a check, which wants none of it.
#pragma once

#include <TopoDS_Shape.hxx>
#include <string>

#include "generator/geometry/geometry_error.h"

namespace leafstack {

/// A MANIFOLD_SOLID_BREP with everything it refers to, numbered from 1.
struct SolidText {
  std::string entities;     ///< "#1 = ...;\n#2 = ...;\n"
  int count = 0;            ///< numbers used: 1 to count
  int brep = 0;             ///< number of the MANIFOLD_SOLID_BREP
  double tolerance_mm = 0;  ///< largest tolerance in the solid
};

/// What the kernel makes of a STEP file, in mm.
struct StepContent {
  bool is_step = false;     ///< else the kernel cannot read it
  int roots = 0, read = 0;  ///< things in it; how many of them `shape` holds
  TopoDS_Shape shape;
};

struct StepLibrary {
  /// Prepares the kernel's STEP translator (mm, no curves in parameter space) and silences its
  /// messenger, which writes to stdout: once in a process, whoever calls. Before that the
  /// translator is not safe in threads.
  void (*prepare)();

  /// Translates `solid`, naming it `mark`.
  ///
  /// Before: it must be one solid with one closed shell, every edge shared by exactly two face
  /// sides of opposite sense, and pass the kernel's full checker. After: as many faces and edges as
  /// the solid has, every edge used twice. Throws GeometryError, naming `mark`, otherwise. Several
  /// solids may be translated at once.
  SolidText (*write)(const TopoDS_Shape& solid, const std::string& mark);

  /// Reads a file's bytes; `name` is for the kernel's own messages, which nobody sees. What names
  /// an entity that is not there makes the kernel fall: ask before. One at a time; a second waits.
  StepContent (*read)(const std::string& bytes, const std::string& name);
};

/// The library is not beside the program, or what it needs is not installed.
class NoStepLibrary : public GeometryError {
 public:
  using GeometryError::GeometryError;
};

/// Loads it the first time. From any thread. Throws NoStepLibrary; std::bad_alloc where memory is
/// too short for it.
const StepLibrary& stepLibrary();

}  // namespace leafstack
