// One part's triangles as glTF wants them: metres, Y up, a normal at every corner.
//
// Model (X, Y, Z up, mm) to glTF (X, Y up, Z, m) is a quarter turn about X: (x, y, z) to
// (x, z, -y). A turn and no reflection, so that triangles keep their winding.
#pragma once

#include <array>
#include <cstdint>
#include <numbers>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// Farthest a chord may leave its surface: seen from arm's length, nothing.
inline constexpr double kGltfLinearDeflectionMm = 0.2;
/// Largest turn from facet to facet: 30 sides to a circle, whose outline still looks round.
/// Governs radii below 37 mm, so every tube's corners and ropes.
inline constexpr double kGltfAngularDeflectionRad = 12 * std::numbers::pi / 180;

inline constexpr double kMetresPerMm = 1e-3;

/// A direction of the model's frame in glTF's.
inline std::array<double, 3> toGltfAxes(double x, double y, double z) {
  return {x, z, 0.0 - y};  // not -y: no -0 in the file
}

struct GltfMesh {
  std::vector<std::array<float, 3>> positions_m;  ///< in the part's own frame, turned Y up
  std::vector<std::array<float, 3>> normals;      ///< one for each position, of unit length
  std::vector<std::array<std::uint32_t, 3>> triangles;
};

/// Meshes `part.solid` (of a rope, the closed one).
///
/// Properties, each checked before returning: every edge is used once in each sense after welding
/// equal positions; the volume is positive; no triangle is degenerate: as written, each has an area
/// and faces within 65 degrees of its corners' normals. Positions are doubled where faces meet at
/// an edge and shared where the surface goes on smoothly.
///
/// Throws ExportError, naming the mark.
GltfMesh gltfMesh(const Part& part);

}  // namespace leafstack
