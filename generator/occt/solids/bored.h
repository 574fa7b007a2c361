// Round holes in solids between flat faces, made face by face: no boolean operation.
#pragma once

#include <TopoDS_Face.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <gp_Dir.hxx>
#include <vector>

namespace leafstack {

/// A round hole from one flat face on, square to it: through to another flat face, or blind. It may
/// begin wider, or sunk for a screw's head. Holes lie inside their faces, apart from each other.
struct RoundHole {
  std::array<double, 3> from_mm{};  ///< its middle in the first face
  std::array<double, 3> into{};     ///< unit, along the hole
  double radius_mm = 0, deep_mm = 0;
  double wide_radius_mm = 0, wide_deep_mm = 0;  ///< 0: it is not wider
  double sink_mm = 0;  ///< widened by this where it begins, at 45 degrees; less than it is deep
  bool is_blind = false;
};

/// Throws GeometryError where there is no flat face at either end, or a hole is sunk too deep.
TopoDS_Shape bored(const TopoDS_Shape& solid, const std::vector<RoundHole>& bores);

/// `face`, a plane one, with one more hole, drawn winding about `winding`.
TopoDS_Face withHole(const TopoDS_Face& face, const TopoDS_Shape& hole, const gp_Dir& winding);

/// The solid that `faces`, which share their edges, enclose.
TopoDS_Shape enclosedBy(const std::vector<TopoDS_Face>& faces);

}  // namespace leafstack
