// One member's matrices, for space_frame.cpp. A Vector12 holds three displacements (or forces) and
// three turns (or moments) of end a, then of end b.
#pragma once

#include <Eigen/Core>

#include "generator/loads/frame/frame_types.h"

namespace leafstack::frame {

using Matrix12 = Eigen::Matrix<double, 12, 12>;
using Vector12 = Eigen::Matrix<double, 12, 1>;

/// The member's own axes as rows, in the frame's.
std::array<Vec3, 3> axesOf(const Frame& frame, const Member& member);
Vec3 turned(const std::array<Vec3, 3>& axes, const Vec3& v);

/// In its own axes.
Matrix12 ownStiffness(const Frame& frame, const Member& member);
/// What an even load, own axes, N/mm, brings to its ends: equal and opposite to what would hold
/// them fixed.
Vector12 evenLoad(const Frame& frame, const Member& member, const Vec3& own);

/// In the frame's axes: stiffness, and consistent mass of a thin beam, kg.
Matrix12 stiffnessOf(const Frame& frame, const Member& member);
Matrix12 massOf(const Frame& frame, const Member& member);

Vector12 toOwn(const Frame& frame, const Member& member, const Six& at_a, const Six& at_b);
Vector12 toFrame(const Frame& frame, const Member& member, const Vector12& own);

}  // namespace leafstack::frame
