// The outer skin of a tube, unrolled: four flats and four round corners found in the B-rep, and the
// loops that bound them.
#pragma once

#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <gp_Pnt.hxx>
#include <gp_XYZ.hxx>
#include <string>
#include <vector>

#include "generator/shop/wrap/wrap_shapes.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// A closed boundary. Y is not brought back to one girth: after a full turn of an end it has gone
/// up or down by the girth (`turns` = 1 or -1); cut-outs have `turns` 0.
struct SkinLoop {
  std::vector<WrapPoint> points;
  int turns = 0;
  std::optional<WrapCircle> circle;
};

class TubeSkin {
 public:
  /// `what` names the part in errors. Throws GeometryError when the solid has no four corners of
  /// `section` along one of its axes.
  TubeSkin(const TopoDS_Shape& solid, const HollowSection& section, std::string what);

  /// Y = 0 is the start of the first flat. Throws GeometryError for loops that touch.
  std::vector<SkinLoop> loops() const;
  /// Flats in the order of Y, from Y = 0.
  const std::array<WrapWall, 4>& flats() const { return flats_; }
  double girthMm() const { return girth_mm_; }
  double cornerMm() const { return radius_mm_; }
  std::string datum() const;

 private:
  /// Where on the skin: flat 0 to 3, or the corner behind that flat.
  struct Place {
    int flat = 0;
    bool is_corner = false;
  };
  struct SkinFace {
    TopoDS_Face face;
    Place place;
  };

  bool takeAxis(const TopoDS_Shape& solid, const HollowSection& section, int axis);
  void setDirections(double middle_mm);
  void layFlats();
  std::string wallName(const gp_XYZ& outward) const;
  std::optional<Place> placeOf(const TopoDS_Face& face) const;
  WrapPoint unrolled(const Place& place, const gp_Pnt& point) const;
  std::vector<WrapPoint> unrolledEdge(const Place& place, const TopoDS_Edge& edge) const;

  std::string what_;
  std::vector<SkinFace> faces_;
  int axis_ = 0;
  double radius_mm_ = 0, girth_mm_ = 0;
  gp_XYZ along_, across_, up_;       ///< up_ = across_ x along_: girth runs from across_ to up_
  gp_XYZ centre_;                    ///< of the section; its component along the tube is 0
  std::array<double, 3> half_mm_{};  ///< half the section's size, by the part's axes
  double half_across_mm_ = 0, half_up_mm_ = 0;
  std::array<WrapWall, 4> flats_;
};

}  // namespace leafstack
