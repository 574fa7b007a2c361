// Solids that were given as triangles. What has few of them becomes a solid of plane faces like any
// other; many stay triangles, on one face without a surface, which only meshes can be made of.
#pragma once

#include <TopoDS_Shape.hxx>

#include "generator/geometry/bounds.h"
#include "generator/geometry/mesh/part_mesh.h"

namespace leafstack {

/// Up to here the kernel takes part: overlaps get volumes, and files of solids have the part.
inline constexpr std::size_t kMostFacedTriangles = 300;

/// Of closed triangles, outward.
TopoDS_Shape solidOfTriangles(const PartMesh& mesh);

/// Whether a solid has triangles in place of surfaces: the kernel can neither cut, measure nor
/// write it.
bool isOfTriangles(const TopoDS_Shape& solid);
/// Its triangles, without error.
PartMesh trianglesOf(const TopoDS_Shape& solid);

/// What is enclosed by triangles that are closed and outward.
struct GivenMass {
  double volume_mm3 = 0, area_mm2 = 0;
  Vec3 centroid_mm{};
  Bounds bounds;
};
GivenMass massOf(const PartMesh& mesh);

/// Mirrored in the YZ plane: X becomes -X.
TopoDS_Shape mirroredTriangles(const TopoDS_Shape& solid);

}  // namespace leafstack
