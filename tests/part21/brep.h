// Solids of an exchange file: their topology, checked edge by edge, and their volume and area
// worked out from the faces' own equations.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "tests/part21/geometry/vec.h"
#include "tests/part21/part21.h"

namespace leafstack::part21 {

/// One use of an edge curve by a loop, in the direction the loop runs.
struct EdgeUse {
  long edge = 0;            ///< id of the EDGE_CURVE
  bool forward = true;      ///< from its first to its second vertex
  long start = 0, end = 0;  ///< ids of the VERTEX_POINTs, in the direction of use
};

/// Loops run counter-clockwise seen from the side the face's normal points to.
struct Face {
  long id = 0;
  long surface = 0;
  bool same_sense = true;  ///< face normal = surface normal
  std::vector<std::vector<EdgeUse>> loops;
};

struct Solid {
  long id = 0;
  std::string name;
  std::vector<Face> faces;  ///< of all shells
  int shells = 0;
  int edges = 0, vertices = 0;
  int genus = 0;  ///< from Euler's formula, all shells together; meaningless with problems
  /// Open or overused edges, loops that are not closed, shells in several pieces …
  std::vector<std::string> problems;
};

/// All MANIFOLD_SOLID_BREPs and BREP_WITH_VOIDS, by id.
std::map<long, Solid> readSolids(const File& file);

/// Corners of the solid's loops.
std::vector<Vec3> verticesOf(const File& file, const Solid& solid);

struct Measure {
  bool computed = false;  ///< false: some face is not supported; see problems
  double volume = 0, area = 0;
  Vec3 centroid{};
  std::vector<std::string> problems;
};

/// Volume, area and centroid by Gauss's theorem over the faces, each face turned into an integral
/// along its boundary in the surface's parameters (Green's theorem). Relative error is at rounding
/// level where edges lie exactly on their faces. Problems: faces that are not supported, edges off
/// their surface or vertices off their curve by more than kOffGeometryMm, boundaries that run the
/// wrong way round, and surfaces that do not close (the normals do not add up to nothing).
Measure measure(const File& file, const Solid& solid);

/// How far an edge may leave its face. Intersection curves that are no conics are approximated by
/// the writer; ten times its usual tolerance would still be far below any shop's.
inline constexpr double kOffGeometryMm = 1e-3;

}  // namespace leafstack::part21
