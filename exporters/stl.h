// Binary STL of one part: watertight, facing outward, with the deflection that was reached.
#pragma once

#include <TopoDS_Shape.hxx>
#include <string>

#include "generator/clash/mesh.h"
#include "generator/model.h"

namespace leafstack {

// The clash check's own settings: where it has meshed a solid already, those triangles are used,
// and where it has not, the same ones are made.
/// Farthest a chord may leave its curve or surface: about what a laser cutter holds.
inline constexpr double kStlLinearDeflectionMm = kMeshDeflectionMm;
/// Largest turn from facet to facet. Governs radii below about 2 mm only; for larger ones the
/// linear deflection asks for more facets than this.
inline constexpr double kStlAngularDeflectionRad = kMeshAngleRad;

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
/// Triangles found in the solid are used if they keep to kStlLinearDeflectionMm, else replaced.
/// Throws ExportError, naming the mark. Leaves the triangles in the solid.
StlMesh stlMesh(const Part& part);

}  // namespace leafstack
