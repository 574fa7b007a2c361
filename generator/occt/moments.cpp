#include "generator/occt/moments.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRep_Tool.hxx>
#include <Geom2d_Line.hxx>
#include <Geom2d_TrimmedCurve.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

/// Gauss and Legendre's ten points on -1 to 1 (Abramowitz and Stegun, table 25.4), of which each
/// stands for two: exact to the last digit for powers of sines over an eighth of a turn.
constexpr std::array<std::array<double, 2>, 5> kPoints{
    {{0.148874338981631211, 0.295524224714752870},
     {0.433395394129247191, 0.269266719309996355},
     {0.679409568299024406, 0.219086362515982044},
     {0.865063366688984511, 0.149451349150580593},
     {0.973906528517171720, 0.066671344308688138}}};

/// Calls at(t, weight) so that sums of weight times value are integrals from `from` to `to`.
template <typename At>
void integrate(double from, double to, const At& at) {
  const double middle = (from + to) / 2, half = (to - from) / 2;
  for (const auto& [x, weight] : kPoints) {
    at(middle - half * x, half * weight);
    at(middle + half * x, half * weight);
  }
}

/// The same in steps of at most an eighth of a turn.
template <typename At>
void integrateAngles(double from, double to, const At& at) {
  const int steps =
      std::max(1, static_cast<int>(std::ceil(std::abs(to - from) * 4 / std::numbers::pi - 1e-9)));
  for (int i = 0; i < steps; ++i) {
    integrate(from + (to - from) * i / steps, from + (to - from) * (i + 1) / steps, at);
  }
}

bool isForward(const TopoDS_Shape& shape) {
  return shape.Orientation() == TopAbs_FORWARD;
}

/// Edges of a face as the face's own orientation turns them: round its outward normal.
class EdgesOf {
 public:
  explicit EdgesOf(const TopoDS_Face& face) : edges_(face, TopAbs_EDGE) {}

  /// The next one that bounds anything; none at the end.
  const TopoDS_Edge* next() {
    while (edges_.More()) {
      edge_ = TopoDS::Edge(edges_.Current());
      edges_.Next();
      const bool bounds =
          edge_.Orientation() == TopAbs_FORWARD || edge_.Orientation() == TopAbs_REVERSED;
      if (bounds && !BRep_Tool::Degenerated(edge_)) {
        return &edge_;
      }
    }
    return nullptr;
  }

 private:
  TopExp_Explorer edges_;
  TopoDS_Edge edge_;
};

/// Area and its first moments in the plane's own axes, by Green's theorem.
struct PlaneSums {
  double area = 0, x = 0, y = 0;

  void add(const gp_XYZ& at, const gp_XYZ& step, double weight) {
    area += weight * (at.X() * step.Y() - at.Y() * step.X()) / 2;
    x += weight * at.X() * at.X() * step.Y() / 2;
    y -= weight * at.Y() * at.Y() * step.X() / 2;
  }
};

bool addPlane(const TopoDS_Face& face, const gp_Pln& plane, Moments& sum) {
  const gp_XYZ origin = plane.Location().XYZ();
  const gp_XYZ along = plane.XAxis().Direction().XYZ();
  // Outward, with axes that are right-handed about it.
  gp_XYZ out = plane.Axis().Direction().XYZ();
  if (plane.Direct() != isForward(face)) {
    out.Reverse();
  }
  const gp_XYZ across = out.Crossed(along);
  const auto inPlane = [&](const gp_XYZ& vector) {
    return gp_XYZ(vector.Dot(along), vector.Dot(across), 0);
  };
  PlaneSums sums;
  EdgesOf edges(face);
  while (const TopoDS_Edge* edge = edges.next()) {
    BRepAdaptor_Curve curve;
    double first = 0, last = 0;
    if (BRep_Tool::Curve(*edge, first, last).IsNull()) {
      return false;
    }
    curve.Initialize(*edge);
    const double sign = isForward(*edge) ? 1 : -1;
    const auto add = [&](double t, double weight) {
      gp_Pnt at;
      gp_Vec step;
      curve.D1(t, at, step);
      sums.add(inPlane(at.XYZ() - origin), inPlane(step.XYZ()), sign * weight);
    };
    switch (curve.GetType()) {
      case GeomAbs_Line: {
        // Simpson's rule: exact for the squares along a line.
        const double half = (last - first) / 2;
        add(first, half / 3);
        add(first + half, half * 4 / 3);
        add(last, half / 3);
        break;
      }
      case GeomAbs_Circle:
      case GeomAbs_Ellipse:
        integrateAngles(first, last, add);
        break;
      default:
        return false;
    }
  }
  // A cone from the origin upon the face.
  const double height = origin.Dot(out);
  const gp_XYZ moment = origin * sums.area + along * sums.x + across * sums.y;
  sum.volume_mm3 += height * sums.area / 3;
  sum.first_mm4 += moment * (height / 4);
  return true;
}

bool addCylinder(const TopoDS_Face& face, const gp_Cylinder& cylinder, Moments& sum) {
  const gp_XYZ origin = cylinder.Location().XYZ();
  const gp_XYZ x = cylinder.XAxis().Direction().XYZ();
  const gp_XYZ y = cylinder.YAxis().Direction().XYZ();
  const gp_XYZ z = cylinder.Axis().Direction().XYZ();
  const double radius = cylinder.Radius();
  // In u (angle) and v (height) the surface's own normal points away from the axis when its axes
  // are right-handed.
  const double out = cylinder.Direct() == isForward(face) ? 1 : -1;
  const double around = isForward(face) ? 1 : -1;
  double volume = 0;
  gp_XYZ moment(0, 0, 0);
  EdgesOf edges(face);
  while (const TopoDS_Edge* edge = edges.next()) {
    double first = 0, last = 0;
    Handle(Geom2d_Curve) curve = BRep_Tool::CurveOnSurface(*edge, face, first, last);
    if (const auto trimmed = Handle(Geom2d_TrimmedCurve)::DownCast(curve)) {
      curve = trimmed->BasisCurve();
    }
    const Handle(Geom2d_Line) line = Handle(Geom2d_Line)::DownCast(curve);
    if (line.IsNull()) {
      return false;
    }
    const gp_Pnt2d start = line->Value(first), end = line->Value(last);
    const double sign = (isForward(*edge) ? 1 : -1) * around;
    if (start.X() == end.X()) {
      continue;  // along the axis: u does not change
    }
    const double slope = (end.Y() - start.Y()) / (end.X() - start.X());
    integrateAngles(start.X(), end.X(), [&](double u, double weight) {
      const double v = start.Y() + slope * (u - start.X());
      const gp_XYZ away = x * std::cos(u) + y * std::sin(u);
      const double height = origin.Dot(away) + radius;
      // Green's: over (u, v) of g(u) is minus round the edge of g(u) v du.
      volume -= sign * weight * height * radius * v / 3;
      moment -=
          ((origin + away * radius) * v + z * (v * v / 2)) * (sign * weight * height * radius / 4);
    });
  }
  sum.volume_mm3 += out * volume;
  sum.first_mm4 += moment * out;
  return true;
}

}  // namespace

std::optional<Moments> flatAndRoundMoments(const TopoDS_Shape& solid) {
  Moments sum;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face& face = TopoDS::Face(faces.Current());
    if (face.Orientation() != TopAbs_FORWARD && face.Orientation() != TopAbs_REVERSED) {
      continue;
    }
    const BRepAdaptor_Surface surface(face, /*Restriction=*/false);
    const bool is_taken = surface.GetType() == GeomAbs_Plane ? addPlane(face, surface.Plane(), sum)
                          : surface.GetType() == GeomAbs_Cylinder
                              ? addCylinder(face, surface.Cylinder(), sum)
                              : false;
    if (!is_taken) {
      return std::nullopt;
    }
  }
  return sum;
}

}  // namespace leafstack
