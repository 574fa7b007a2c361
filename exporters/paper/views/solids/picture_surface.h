// A solid as a picture needs it: triangles to fill, and the edges a draughtsman would draw.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <vector>

#include "generator/geometry/mesh/mesh.h"

namespace leafstack {

/// Faces that meet at less than this run smoothly into each other: no edge is drawn.
inline constexpr double kSmoothDeg = 25;

struct SurfaceTriangle {
  std::array<Vec3, 3> corners{};  ///< anticlockwise from outside
  std::array<Vec3, 3> normals{};  ///< of the surface at the corners, outward
  Vec3 shade_normal{};            ///< decides the tone; a small rounding takes its neighbour's
  bool curved = false;            ///< its outline is where it turns away from the eye
  bool slender = false;           ///< of a bar or bolt: too narrow for more than one tone
};

/// A line between two faces. All lists are equally long.
struct SurfaceEdge {
  std::vector<Vec3> points;
  std::vector<Vec3> normals_a, normals_b;  ///< of either face, at the points
  std::vector<Vec3> into_a, into_b;        ///< along either face, away from the line
  double rounding_mm = 0;                  ///< of the rounding it stands for; 0 for a sharp edge
};

/// In the solid's own frame.
struct PictureSurface {
  std::vector<SurfaceTriangle> triangles;
  std::vector<SurfaceEdge> edges;
};

/// Reads `solid`. Uses its triangles, which it makes if missing, at the clash check's settings. The
/// rounding of a hollow section's corner counts as one sharp edge along its middle: at the scale
/// of a picture it is narrower than two lines. Throws ExportError on a face without triangles.
PictureSurface pictureSurface(const TopoDS_Shape& solid);

PictureSurface placed(const PictureSurface& surface, const TopLoc_Location& location);

}  // namespace leafstack
