// A round face of a solid: where its outline runs as seen from any side, exactly.
#pragma once

#include <BRepAdaptor_Surface.hxx>
#include <TopoDS_Face.hxx>
#include <optional>
#include <vector>

#include "exporters/paper/views/solids/view_geometry.h"

namespace leafstack {

/// Closed set.
enum class RoundKind { kCylinder, kCone, kTorus };

/// What of a surface's parameters belongs to the face: within its borders, even-odd.
class FaceDomain {
 public:
  FaceDomain() = default;
  /// Borders are taken from the edges' curves on `face`.
  explicit FaceDomain(const TopoDS_Face& face);

  /// The stretches of v at one u (or of u at one v) that lie in the face. An angle may be given a
  /// turn off; on the border, to kOnBorderRad, counts as within.
  std::vector<Interval> alongV(double u) const { return along({u, 0}); }
  std::vector<Interval> alongU(double v) const { return along({v, 1}); }
  bool contains(double u, double v) const;
  double low(int axis) const { return low_[axis]; }
  double high(int axis) const { return high_[axis]; }

 private:
  struct Border {
    FlatPoint from{}, to{};
  };
  struct Fixed {
    double value = 0;
    int axis = 0;  ///< 0 for u
  };
  std::vector<Interval> along(Fixed fixed) const;
  std::optional<double> inRange(double value, int axis) const;

  std::vector<Border> borders_;
  FlatPoint low_{}, high_{};
  bool is_rectangle_ = false;
};

/// An outline, and whether the solid itself hides it at once: the face is hollow along the line of
/// sight there.
struct OutlinePiece {
  SpacePiece piece;
  bool is_away = false;
};

/// Cylinder, cone or torus, in the solid's frame, in whatever guise the kernel has it.
class RoundFace {
 public:
  /// Nothing for faces of other kinds.
  static std::optional<RoundFace> of(const TopoDS_Face& face, const BRepAdaptor_Surface& surface);

  RoundKind kind() const { return kind_; }
  /// Outward from the solid, for a point on the face.
  Vec3 normalAt(const Vec3& point) const;
  /// From the surface, outside or inside; small distances are exact to second order.
  double signedDistance(const Vec3& point) const;
  const Vec3& centre() const { return centre_; }
  const Vec3& axis() const { return z_; }
  /// Of a cylinder; of a cone at its centre; of a torus' tube's middle line.
  double radius() const { return radius_; }
  /// From the axis; of a cone at its centre.
  double greatestRadius() const { return radius_ + minor_; }
  /// Where the face turns away from an eye in direction `toward` (unit, solid's frame). On the
  /// border of the face, where it runs into a face seen edge-on, is an outline too.
  std::vector<OutlinePiece> outlines(const Vec3& toward) const;

 private:
  RoundFace() = default;
  bool readSurface(const BRepAdaptor_Surface& surface);
  bool readRevolution(const BRepAdaptor_Surface& surface);
  bool readExtrusion(const BRepAdaptor_Surface& surface);

  Vec3 radialAt(double u) const;
  Vec3 pointAt(double u, double v) const;
  Vec3 rawNormal(const Vec3& point) const;
  void addRulings(const Vec3& toward, std::vector<OutlinePiece>& found) const;
  void addTorusOutlines(const Vec3& toward, std::vector<OutlinePiece>& found) const;
  void addParallel(double v, const Vec3& toward, std::vector<OutlinePiece>& found) const;
  void addMeridian(double u, const Vec3& toward, std::vector<OutlinePiece>& found) const;
  void addSlantOutline(double branch, const Vec3& toward, std::vector<OutlinePiece>& found) const;
  std::vector<double> slantPlaces(double along_axis, double across, double toward_u) const;
  bool isHollow(double u, double v, const Vec3& toward) const;
  /// The face's own parameters for the turned angle v about a torus' tube.
  double ownV(double v) const { return v_sign_ * (v - v_zero_); }
  double turnedV(double own) const { return v_zero_ + v_sign_ * own; }

  RoundKind kind_{};
  Vec3 centre_{}, x_{}, y_{}, z_{};
  double radius_ = 0;  ///< cylinder; cone at the centre; torus: of the tube's centre line
  double minor_ = 0;   ///< torus: of the tube
  double cone_sine_ = 0, cone_cosine_ = 1;
  double v_zero_ = 0, v_sign_ = 1;
  double outward_ = 1;  ///< -1 where the solid is outside the round: bores
  FaceDomain domain_;
};

}  // namespace leafstack
