// Binary STL of one part: watertight, facing outward, with the deflection that was reached.
#pragma once

#include <TopoDS_Shape.hxx>
#include <gp_Trsf.hxx>
#include <string>

#include "generator/model/model.h"

namespace leafstack {

/// Farthest a triangle may leave its surface: half of what a laser cutter holds.
inline constexpr double kStlLinearDeflectionMm = 0.05;
/// Largest turn from facet to facet. Governs radii below some 3 mm; for larger ones the linear
/// deflection asks for more facets than this.
inline constexpr double kStlAngularDeflectionDeg = 20;
/// Of ropes, which are thin and nothing but round: 48 chords enclose 0.3 % less than a circle.
inline constexpr double kStlRopeDeflectionDeg = 7.5;

struct StlMesh {
  std::string file;  ///< the file's bytes, little-endian
  int triangles = 0;
  double volume_mm3 = 0;     ///< enclosed by the triangles as written
  double deflection_mm = 0;  ///< no triangle lies further from its surface
};

/// The mesh of `part.solid`, moved by `motion` from the part's own frame, mm.
///
/// Properties, each checked before returning, of the corners as written: every edge of the mesh is
/// used once in each sense; the volume is positive; no triangle has two equal corners. The 80-byte
/// header never begins with "solid", which readers take for text STL. Throws ExportError, naming
/// the mark.
StlMesh stlMesh(const Part& part, const gp_Trsf& motion = {});

}  // namespace leafstack
