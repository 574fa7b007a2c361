// Binary STL of one part: watertight, facing outward, with the deflection that was reached.
#pragma once

#include <TopoDS_Shape.hxx>
#include <string>

#include "generator/model.h"

namespace leafstack {

/// Farthest a chord may leave its curve or surface: about what a laser cutter holds.
inline constexpr double kStlLinearDeflectionMm = 0.1;
/// Largest turn from facet to facet. Governs radii below about 3 mm only; for larger ones the
/// linear deflection asks for more facets than this.
inline constexpr double kStlAngularDeflectionRad = 0.5;

struct StlMesh {
  std::string file;  ///< the file's bytes, little-endian
  int triangles = 0;
  double volume_mm3 = 0;     ///< enclosed by the triangles as written
  double deflection_mm = 0;  ///< largest distance found between surface and triangles
};

/// Meshes `part.solid` in the part's own frame, mm.
///
/// Properties, each checked before returning: every edge of the mesh is used once in each sense
/// after welding equal corners; the volume is positive; no triangle has two equal corners. The
/// deflection is measured at the middle of each triangle and of its sides, at the matching surface
/// parameters. The 80-byte header never begins with "solid", which readers take for text STL.
/// Throws ExportError, naming the mark. Leaves no triangulation behind in the solid.
StlMesh stlMesh(const Part& part);

}  // namespace leafstack
