#include <BRepTools.hxx>
#include <BRep_Tool.hxx>
#include <Geom2dAdaptor_Curve.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <algorithm>

#include "exporters/paper/views/solids/round_face.h"

namespace leafstack {
namespace {

// Faces that meet a flat one smoothly end where their outline is as seen along the flat: the
// angle's rounding errors stay far below this, and no line moves by more than a micrometre.
constexpr double kOnBorderRad = 1e-6;
// Pieces for a border that is curved in the parameters: a mitre, or a hole in a bar.
constexpr int kBorderPieces = 64;
constexpr double kStraightRad = 1e-9;

}  // namespace

FaceDomain::FaceDomain(const TopoDS_Face& face) {
  BRepTools::UVBounds(face, low_[0], high_[0], low_[1], high_[1]);
  is_rectangle_ = true;
  for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
    double from = 0;
    double to = 0;
    const auto curve = BRep_Tool::CurveOnSurface(TopoDS::Edge(edges.Current()), face, from, to);
    if (curve.IsNull()) {
      continue;
    }
    const bool is_line = Geom2dAdaptor_Curve(curve, from, to).GetType() == GeomAbs_Line;
    const int pieces = is_line ? 1 : kBorderPieces;
    for (int i = 0; i < pieces; ++i) {
      const gp_Pnt2d a = curve->Value(std::lerp(from, to, static_cast<double>(i) / pieces));
      const gp_Pnt2d b = curve->Value(std::lerp(from, to, (i + 1.0) / pieces));
      borders_.push_back({{a.X(), a.Y()}, {b.X(), b.Y()}});
      bool is_on_box = false;
      for (int axis : {0, 1}) {
        const double at = borders_.back().from[axis];
        const bool is_square = std::abs(at - borders_.back().to[axis]) < kStraightRad;
        is_on_box |= is_square && (std::abs(at - low_[axis]) < kOnBorderRad ||
                                   std::abs(at - high_[axis]) < kOnBorderRad);
      }
      is_rectangle_ &= is_on_box;
    }
  }
}

/// `value` within the face's range, by whole turns where need be.
std::optional<double> FaceDomain::inRange(double value, int axis) const {
  const double turns = std::ceil((low_[axis] - kOnBorderRad - value) / kTurnRad);
  const double shifted = value >= low_[axis] - kOnBorderRad && value <= high_[axis] + kOnBorderRad
                             ? value
                             : value + turns * kTurnRad;
  if (shifted > high_[axis] + kOnBorderRad) {
    return std::nullopt;
  }
  const double inset = std::min(kOnBorderRad, (high_[axis] - low_[axis]) / 4);
  return std::clamp(shifted, low_[axis] + inset, high_[axis] - inset);
}

std::vector<Interval> FaceDomain::along(Fixed fixed) const {
  const int across = fixed.axis;
  const int way = 1 - across;
  const auto at = inRange(fixed.value, across);
  if (!at) {
    return {};
  }
  if (is_rectangle_) {
    return {{low_[way], high_[way]}};
  }
  std::vector<double> crossings;
  for (const Border& border : borders_) {
    const double from = border.from[across];
    const double to = border.to[across];
    if ((from <= *at) != (to <= *at)) {
      crossings.push_back(std::lerp(border.from[way], border.to[way], (*at - from) / (to - from)));
    }
  }
  std::sort(crossings.begin(), crossings.end());
  std::vector<Interval> stretches;
  for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
    stretches.push_back({crossings[i], crossings[i + 1]});
  }
  return stretches;
}

bool FaceDomain::contains(double u, double v) const {
  const auto at = inRange(v, 1);
  if (!at || !inRange(u, 0)) {
    return false;
  }
  if (is_rectangle_) {
    return true;
  }
  for (const Interval& stretch : along({u, 0})) {
    if (*at >= stretch.from && *at <= stretch.to) {
      return true;
    }
  }
  return false;
}

}  // namespace leafstack
