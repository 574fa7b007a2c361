// What stands around the gate as somebody else drew it: bodies read from STEP, STL and GLB files.
//
// Frame: the file's own, mm, Z upwards (GLB: its Y). Bodies are closed; what a mesh has inside
// another of its bodies counts as solid, and bodies that cross each other are taken as they are.
#pragma once

#include <TopoDS_Shape.hxx>
#include <string>
#include <string_view>
#include <vector>

#include "generator/geometry/mesh/part_mesh.h"
#include "params/shelf/hardware_set.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

inline constexpr std::size_t kMostSurroundingBytes = 64u << 20;
inline constexpr std::size_t kMostSurroundingBodies = 200;

/// One closed body: a solid, or triangles where `solid` is null.
struct SurroundingBody {
  TopoDS_Shape solid;
  PartMesh mesh;
};

class SurroundingShapes {
 public:
  std::vector<SurroundingBody> bodies;
  long serial = 0;  ///< another for every file read: of this run of the program only
};

/// Reads a file's bytes. What is wrong with it is said in `fault`: something else, damaged, open,
/// without thickness, too large, or of a size as if another unit was meant.
SurroundingFile readShapes(const std::string& bytes, const std::string& path,
                           const std::string& unit);

/// Where body `index` stands, in the frame of the files written: turned, then moved.
TopoDS_Shape placedBody(const Surrounding& surrounding, std::size_t index);

}  // namespace leafstack
