// Solids of revolution.
#pragma once

#include <TopoDS_Shape.hxx>

namespace leafstack {

/// True where every face lies on a surface of revolution about the Y axis of the shape's frame, so
/// that a solid which they bound is the same however it is turned about it. Within 1e-9 mm; false
/// for surfaces that it does not know.
bool isRoundAboutY(const TopoDS_Shape& shape);

}  // namespace leafstack
