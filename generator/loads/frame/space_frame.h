// Frames of straight members in space, linear and elastic, small movements.
//
// Any frame with Z up or down serves; units N, mm, N/mm2 and, for masses, kg. A member's own axes:
// x along it from `a` to `b`, y square to it and to `up`, z the part of `up` square to it.
//
// Properties (tested): F1 every node is in equilibrium with members, loads and holds; F2 the work
// of the loads is the energy of the members, twice; F3 results do not depend on the order of
// members or nodes but for rounding.
//
// Sources: the stiffness matrix of a beam with shear deformation and the consistent mass matrix are
// those of any handbook of matrix structural analysis (Przemieniecki 1968, from memory); numbers to
// check against stand in tests/loads/space_frame_test.cpp.
#pragma once

#include <array>
#include <memory>
#include <string>
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

/// Loads of one case, in the frame's axes.
struct Loads {
  std::vector<std::pair<int, Six>> on_nodes;
  std::vector<std::pair<int, Vec3>> along_members;  ///< evenly, N for every mm of the member
};

/// Forces on a member at a place, in its own axes, on the part towards `a` from the part beyond.
struct Inner {
  double pull_N = 0, shear_y_N = 0, shear_z_N = 0;
  double twist_Nmm = 0, about_y_Nmm = 0, about_z_Nmm = 0;
};

struct Response {
  std::vector<Six> moved;                    ///< by node
  std::vector<Six> held;                     ///< what the holds do to each node
  std::vector<std::array<double, 12>> ends;  ///< on each member's ends a and b, its own axes
  std::vector<Vec3> along;                   ///< each member's even load, its own axes, N/mm
  double energy_Nmm = 0;                     ///< of the members
  double work_Nmm = 0;                       ///< half of load times movement

  /// Inside `member` at `share` (0 to 1) of its length.
  Inner inside(const Frame& frame, int member, double share) const;
};

/// A frame made ready once for any number of load cases.
class Solver {
 public:
  /// Throws std::domain_error, with the place, for a member without length, and where the holds
  /// leave the frame or a part of it free to move.
  explicit Solver(const Frame& frame);
  ~Solver();
  Solver(Solver&&) noexcept;

  Response solve(const Loads& loads) const;
  /// The lowest `count` natural frequencies, Hz, rising; fewer where the frame has fewer.
  /// `shapes` takes each one's movements by node, greatest 1.
  std::vector<double> frequencies(int count, std::vector<std::vector<Six>>* shapes = nullptr) const;

 private:
  struct Ready;
  std::unique_ptr<Ready> ready_;
};

/// Length of a member, mm.
double lengthMm(const Frame& frame, const Member& member);

}  // namespace leafstack::frame
