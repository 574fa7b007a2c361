#include "generator/loads/frame/member_matrices.h"

#include <algorithm>

namespace leafstack::frame {
namespace {

constexpr double kMm3PerM3 = 1e9;

Vec3 unit(const Vec3& v) {
  const double length = norm(v);
  return {v[0] / length, v[1] / length, v[2] / length};
}

/// The 12 x 12 matrix that turns the frame's axes into the member's own.
Matrix12 turnOf(const Frame& frame, const Member& member) {
  const std::array<Vec3, 3> axes = axesOf(frame, member);
  Matrix12 out = Matrix12::Zero();
  for (int block = 0; block < 4; ++block) {
    for (int row = 0; row < 3; ++row) {
      for (int column = 0; column < 3; ++column) {
        out(3 * block + row, 3 * block + column) = axes[row][column];
      }
    }
  }
  return out;
}

/// Bending in one plane: `move` is the index of the displacement, `turn` of the turn at end a; a
/// turn in the plane of y is positive with the slope, in that of z against it.
struct Plane {
  int move = 0, turn = 0;
  double sign = 1;
};
constexpr Plane kPlaneY{1, 5, 1}, kPlaneZ{2, 4, -1};

void addPair(Matrix12& matrix, int row, int column, double value) {
  matrix(row, column) += value;
  if (row != column) {
    matrix(column, row) += value;
  }
}

void addBending(Matrix12& k, const Plane& p, double bending_N_mm, double length, double phi) {
  const double base = bending_N_mm / (1 + phi);
  const double lever = base * 6 * length * p.sign;
  const double near = (4 + phi) * length * length * base, far = (2 - phi) * length * length * base;
  addPair(k, p.move, p.move, 12 * base);
  addPair(k, p.move + 6, p.move + 6, 12 * base);
  addPair(k, p.move, p.move + 6, -12 * base);
  addPair(k, p.move, p.turn, lever);
  addPair(k, p.move, p.turn + 6, lever);
  addPair(k, p.turn, p.move + 6, -lever);
  addPair(k, p.move + 6, p.turn + 6, -lever);
  addPair(k, p.turn, p.turn, near);
  addPair(k, p.turn + 6, p.turn + 6, near);
  addPair(k, p.turn, p.turn + 6, far);
}

void addBendingMass(Matrix12& m, const Plane& p, double mass, double length) {
  const double unit = mass / 420, arm = unit * length * p.sign;
  addPair(m, p.move, p.move, 156 * unit);
  addPair(m, p.move + 6, p.move + 6, 156 * unit);
  addPair(m, p.move, p.move + 6, 54 * unit);
  addPair(m, p.move, p.turn, 22 * arm);
  addPair(m, p.move, p.turn + 6, -13 * arm);
  addPair(m, p.turn, p.move + 6, 13 * arm);
  addPair(m, p.move + 6, p.turn + 6, -22 * arm);
  addPair(m, p.turn, p.turn, 4 * unit * length * length);
  addPair(m, p.turn + 6, p.turn + 6, 4 * unit * length * length);
  addPair(m, p.turn, p.turn + 6, -3 * unit * length * length);
}

void addAlong(Matrix12& matrix, int index, double near, double far) {
  addPair(matrix, index, index, near);
  addPair(matrix, index + 6, index + 6, near);
  addPair(matrix, index, index + 6, far);
}

/// 12 E I / (G A_s L^2); 0 where the member is rigid in shear.
double shearShare(double bending_Nmm2, double shear_N, double length) {
  return shear_N > 0 ? 12 * bending_Nmm2 / (shear_N * length * length) : 0;
}

}  // namespace

double lengthMm(const Frame& frame, const Member& member) {
  return norm(minus(frame.nodes[member.b].at, frame.nodes[member.a].at));
}

std::array<Vec3, 3> axesOf(const Frame& frame, const Member& member) {
  const Vec3 x = unit(minus(frame.nodes[member.b].at, frame.nodes[member.a].at));
  const Vec3 y = unit(cross(member.up, x));
  return {x, y, cross(x, y)};
}

Vec3 turned(const std::array<Vec3, 3>& axes, const Vec3& v) {
  return {dot(axes[0], v), dot(axes[1], v), dot(axes[2], v)};
}

Matrix12 ownStiffness(const Frame& frame, const Member& member) {
  const double length = lengthMm(frame, member);
  const Section& section = member.section;
  const double e = member.metal.elastic_N_mm2, g = member.metal.shear_N_mm2;
  Matrix12 k = Matrix12::Zero();
  addAlong(k, 0, e * section.area_mm2 / length, -e * section.area_mm2 / length);
  if (member.is_link) {
    return k;
  }
  addAlong(k, 3, g * section.torsion_mm4 / length, -g * section.torsion_mm4 / length);
  const double cube = length * length * length;
  const double in_y = e * section.about_z_mm4, in_z = e * section.about_y_mm4;
  addBending(k, kPlaneY, in_y / cube, length, shearShare(in_y, g * section.shear_y_mm2, length));
  addBending(k, kPlaneZ, in_z / cube, length, shearShare(in_z, g * section.shear_z_mm2, length));
  return k;
}

Vector12 evenLoad(const Frame& frame, const Member& member, const Vec3& own) {
  const double length = lengthMm(frame, member);
  Vector12 out = Vector12::Zero();
  for (int i = 0; i < 3; ++i) {
    out[i] = out[i + 6] = own[i] * length / 2;
  }
  if (member.is_link) {
    return out;
  }
  const double square = length * length / 12;
  out[4] = -own[2] * square;
  out[10] = own[2] * square;
  out[5] = own[1] * square;
  out[11] = -own[1] * square;
  return out;
}

Matrix12 stiffnessOf(const Frame& frame, const Member& member) {
  const Matrix12 turn = turnOf(frame, member);
  return turn.transpose() * ownStiffness(frame, member) * turn;
}

Matrix12 massOf(const Frame& frame, const Member& member) {
  const double length = lengthMm(frame, member);
  const double mass = member.metal.density_kg_m3 * member.section.area_mm2 * length / kMm3PerM3;
  Matrix12 m = Matrix12::Zero();
  if (member.is_link || mass == 0) {
    return m;
  }
  addAlong(m, 0, mass / 3, mass / 6);
  const double polar =
      (member.section.about_y_mm4 + member.section.about_z_mm4) / member.section.area_mm2 * mass;
  addAlong(m, 3, polar / 3, polar / 6);
  addBendingMass(m, kPlaneY, mass, length);
  addBendingMass(m, kPlaneZ, mass, length);
  const Matrix12 turn = turnOf(frame, member);
  return turn.transpose() * m * turn;
}

Vector12 toOwn(const Frame& frame, const Member& member, const Six& at_a, const Six& at_b) {
  Vector12 both;
  std::copy(at_a.begin(), at_a.end(), both.begin());
  std::copy(at_b.begin(), at_b.end(), both.begin() + 6);
  return turnOf(frame, member) * both;
}

Vector12 toFrame(const Frame& frame, const Member& member, const Vector12& own) {
  return turnOf(frame, member).transpose() * own;
}

}  // namespace leafstack::frame
