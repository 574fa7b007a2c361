// What a frame in space consists of; units and axes: space_frame.h.
#pragma once

#include <array>
#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack::frame {

/// Three displacements, mm, then three turns, radians; or three forces, N, then moments, N mm.
using Six = std::array<double, 6>;
inline constexpr int kAcross = 1;  ///< index of Y in a Six
inline constexpr Six kFree = {0, 0, 0, 0, 0, 0};

/// What a member's cross-section gives. All >= 0; area > 0.
struct Section {
  double area_mm2 = 0;
  double about_y_mm4 = 0, about_z_mm4 = 0;  ///< second moments, about the member's own axes
  double torsion_mm4 = 0;
  /// That carries shear along y and z; 0: rigid in shear, a thin beam.
  double shear_y_mm2 = 0, shear_z_mm2 = 0;
};

struct Metal {
  double elastic_N_mm2 = 0, shear_N_mm2 = 0, density_kg_m3 = 0;
};

struct Member {
  int a = 0, b = 0;  ///< nodes, apart from each other
  Section section;
  Metal metal;
  Vec3 up{};             ///< not along the member
  bool is_link = false;  ///< carries nothing but its own pull or push; of the section only the area
};

struct Node {
  Vec3 at{};
  std::array<bool, 6> held{};  ///< which of its six movements are none
  double mass_kg = 0;          ///< besides its members', for the frequencies
};

struct Frame {
  std::vector<Node> nodes;
  std::vector<Member> members;
};

/// Length of a member, mm.
double lengthMm(const Frame& frame, const Member& member);

}  // namespace leafstack::frame
