// Volumes of what is flat and round, from its edges alone.
#pragma once

#include <TopoDS_Shape.hxx>
#include <gp_XYZ.hxx>
#include <optional>

namespace leafstack {

/// Volume and its first moments about the origin, negative for an inside-out solid; and the area
/// of its faces.
struct Moments {
  double volume_mm3 = 0;
  gp_XYZ first_mm4;
  double area_mm2 = 0;
};

/// Of a solid, or only the area of a face, where faces are planes and cylinders, bounded by straight
/// lines, circles and ellipses, and whole patches, from u to u and v to v, of cones and tori;
/// nothing of any other. By the divergence theorem; of planes and cylinders only edges are walked
/// (Green's theorem). The kernel, which takes as many points over every face for each of its edges,
/// needs ten times as long (and is what tests compare with).
std::optional<Moments> flatAndRoundMoments(const TopoDS_Shape& solid);

}  // namespace leafstack
