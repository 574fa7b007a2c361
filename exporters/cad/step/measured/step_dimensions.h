// What a part measures, as product data of AP242: overall sizes between faces, round holes with
// their diameters and places, and the faces that both count from.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <gp_Trsf.hxx>
#include <optional>
#include <string>
#include <vector>

namespace leafstack {

/// Faces are numbered from 0 as TopExp_Explorer finds them.
struct PartDimensions {
  /// Faces that are flat and square to an axis and bound the solid along it: low and high.
  struct Extent {
    std::optional<int> low_face, high_face;
    double size_mm = 0;
  };
  /// A hole that is round all about.
  struct Hole {
    int face = 0;
    double diameter_mm = 0;
    /// Of its axis from the low face along X, Y and Z; none along the hole, or without that face.
    std::array<std::optional<double>, 3> from_low_mm{};
  };
  std::array<Extent, 3> extents;  ///< along X, Y, Z
  std::vector<Hole> holes;
};

/// Of a solid in the frame that `motion` takes it to: turned by quarters, at most.
PartDimensions dimensionsOf(const TopoDS_Shape& solid, const gp_Trsf& motion);

/// Numbers of the ADVANCED_FACEs of a translated solid, in the order of the solid's own faces.
/// Throws ExportError where they are not those.
std::vector<int> faceNumbers(const std::string& entities, const TopoDS_Shape& solid,
                             const std::string& mark);

}  // namespace leafstack
