// Exchange files written by the CAD kernel, for tests of the independent reader.
#pragma once

#include <TopoDS_Shape.hxx>
#include <string>

namespace leafstack::part21 {

/// The text of a STEP file (AP214, mm) that holds `shape`. Throws when the kernel fails.
std::string stepText(const TopoDS_Shape& shape);

}  // namespace leafstack::part21
