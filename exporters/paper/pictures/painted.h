// What is seen of every flat piece of placed solids, as polygons: a view painted, without its
// lines.
//
// Frame of results: PictureView's, mm to the right and up.
//
// A piece is a flat face, or one strip of a round face's mesh. Of two pieces the one on the eye's
// side of the other's plane hides it; where each lies on both sides, the line where they are
// equally deep divides them. So every region is exact for the meshes, whatever the scale, and the
// work is bounded by pieces times pieces that they overlap with as seen.
//
// Properties (tests/paper/painted_test.cpp): Q1 regions of a view do not overlap; Q2 together they cover
// what the solids cover; Q3 at every point the region is that of the nearest piece; Q4 the same
// input gives the same output.
#pragma once

#include <TopLoc_Location.hxx>
#include <array>
#include <memory>
#include <vector>

#include "exporters/paper/views/solids/picture_view.h"
#include "generator/geometry/mesh/part_mesh.h"

namespace leafstack {

/// A solid's flat pieces in its own frame, read once for all its instances.
struct FlatPieces {
  struct Piece {
    int face = 0;  ///< of the solid
    bool is_curved = false;
    Vec3 normal{};                        ///< outward, unit
    std::vector<std::vector<int>> loops;  ///< points; the outline turns left as seen from outside
  };
  std::vector<Vec3> points;
  std::vector<Piece> pieces;
  bool is_convex = false;  ///< no piece of it hides another

  explicit FlatPieces(const PartMesh& mesh);
};

struct PlacedPieces {
  std::shared_ptr<const FlatPieces> solid;
  TopLoc_Location location;
};

using ViewPoint = std::array<double, 2>;

/// What is seen of one piece: outlines anticlockwise, holes clockwise.
struct SeenRegion {
  int solid = 0, piece = 0;  ///< indices into what was given
  Vec3 normal{};             ///< in the gate's frame
  std::vector<std::vector<ViewPoint>> loops;
};

/// Ordered by solid, then piece; those of which nothing is seen are left out.
std::vector<SeenRegion> painted(const std::vector<PlacedPieces>& solids, const PictureView& view);

}  // namespace leafstack
