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

#include "generator/loads/frame/frame_types.h"

namespace leafstack::frame {

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

}  // namespace leafstack::frame
