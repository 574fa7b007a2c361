// Which way a round face looks.
#pragma once

#include <TopoDS_Face.hxx>
#include <gp_Dir.hxx>
#include <gp_Pnt.hxx>

namespace leafstack {

/// True where the middle of a face looks towards the line through `centre` along `axis`: the wall
/// of a hole in a solid's skin does, the wall of a bar looks away.
bool looksAtAxis(const TopoDS_Face& face, const gp_Pnt& centre, const gp_Dir& axis);

}  // namespace leafstack
