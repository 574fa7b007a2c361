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
#include <limits>
#include <numbers>
#include <vector>

namespace leafstack {
namespace {

/// Gauss and Legendre's points on 0 to 1 and their weights (Abramowitz and Stegun, table 25.4):
/// three are exact for powers to the fifth, ten to the last digit for those of sines over a quarter
/// of a turn.
struct Rule {
  std::vector<std::array<double, 2>> points;

  /// From places and weights on the upper half of -1 to 1.
  explicit Rule(const std::vector<std::array<double, 2>>& upper) {
    for (const auto& [x, weight] : upper) {
      points.push_back({(1 + x) / 2, weight / 2});
      if (x > 0) {
        points.push_back({(1 - x) / 2, weight / 2});
      }
    }
  }
};

const Rule& straightRule() {
  static const Rule rule({{0, 0.888888888888888889}, {0.774596669241483377, 0.555555555555555556}});
  return rule;
}

const Rule& roundRule() {
  static const Rule rule({{0.148874338981631211, 0.295524224714752870},
                          {0.433395394129247191, 0.269266719309996355},
                          {0.679409568299024406, 0.219086362515982044},
                          {0.865063366688984511, 0.149451349150580593},
                          {0.973906528517171720, 0.066671344308688138}});
  return rule;
}

/// Calls at(t, weight) so that sums of weight times value are integrals from `from` to `to`, in
/// steps of at most a quarter of a turn where t is an angle.
template <typename At>
void integrate(double from, double to, bool is_angle, const At& at) {
  const Rule& rule = is_angle ? roundRule() : straightRule();
  constexpr double kWhole = 1e-9;  // of a step: what is more only by rounding
  const int steps =
      is_angle
          ? std::max(
                1, static_cast<int>(std::ceil(std::abs(to - from) * 2 / std::numbers::pi - kWhole)))
          : 1;
  const double step = (to - from) / steps;
  for (int i = 0; i < steps; ++i) {
    for (const auto& [share, weight] : rule.points) {
      at(from + step * (i + share), step * weight);
    }
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

/// Round the face's outward normal along its edges: at(point, step) so that sums over steps are
/// integrals. False where an edge is neither straight nor a circle nor an ellipse.
template <typename At>
bool walkEdges(const TopoDS_Face& face, const At& at) {
  EdgesOf edges(face);
  while (const TopoDS_Edge* edge = edges.next()) {
    double first = 0, last = 0;
    if (BRep_Tool::Curve(*edge, first, last).IsNull()) {
      return false;
    }
    const BRepAdaptor_Curve curve(*edge);
    const GeomAbs_CurveType type = curve.GetType();
    if (type != GeomAbs_Line && type != GeomAbs_Circle && type != GeomAbs_Ellipse) {
      return false;
    }
    const double sign = isForward(*edge) ? 1 : -1;
    integrate(first, last, /*is_angle=*/type != GeomAbs_Line, [&](double t, double weight) {
      gp_Pnt point;
      gp_Vec step;
      curve.D1(t, point, step);
      at(point.XYZ(), step.XYZ() * (sign * weight));
    });
  }
  return true;
}

/// Area and its first moments in the plane's own axes, by Green's theorem.
struct PlaneSums {
  double area = 0, x = 0, y = 0;

  void add(const gp_XYZ& at, const gp_XYZ& step) {
    area += (at.X() * step.Y() - at.Y() * step.X()) / 2;
    x += at.X() * at.X() * step.Y() / 2;
    y -= at.Y() * at.Y() * step.X() / 2;
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
  const bool is_walked = walkEdges(face, [&](const gp_XYZ& at, const gp_XYZ& step) {
    sums.add(inPlane(at - origin), inPlane(step));
  });
  if (!is_walked) {
    return false;
  }
  // A cone from the origin upon the face.
  const double height = origin.Dot(out);
  const gp_XYZ moment = origin * sums.area + along * sums.x + across * sums.y;
  sum.volume_mm3 += height * sums.area / 3;
  sum.first_mm4 += moment * (height / 4);
  sum.area_mm2 += sums.area;
  return true;
}

/// Whatever circles, ellipses and lines bound: of each point's height along the axis, integrals
/// from the axis' origin, which Green's theorem turns into ones along the edges by their angle.
bool addCylinder(const TopoDS_Face& face, const gp_Cylinder& cylinder, Moments& sum) {
  const gp_XYZ origin = cylinder.Location().XYZ();
  const gp_XYZ axis = cylinder.Axis().Direction().XYZ();
  const double square = cylinder.Radius() * cylinder.Radius();
  const double outward = cylinder.Direct() == isForward(face) ? 1 : -1;
  return walkEdges(face, [&](const gp_XYZ& at, const gp_XYZ& step) {
    const double height = (at - origin).Dot(axis);
    const gp_XYZ radial = at - origin - axis * height;
    const double turn = -axis.Dot(radial.Crossed(step)) / square;
    const double cone = (origin.Dot(radial) + square) * turn;
    sum.area_mm2 += outward * cylinder.Radius() * height * turn;
    sum.volume_mm3 += cone * height / 3;
    sum.first_mm4 += ((origin + radial) * height + axis * (height * height / 2)) * (cone / 4);
  });
}

/// The face's rectangle in its surface's parameters; nothing where it is not one.
struct Patch {
  double u[2], v[2];

  static std::optional<Patch> of(const TopoDS_Face& face) {
    constexpr double kFar = std::numeric_limits<double>::max();
    Patch patch{{kFar, -kFar}, {kFar, -kFar}};
    double area = 0;
    EdgesOf edges(face);
    while (const TopoDS_Edge* edge = edges.next()) {
      double first = 0, last = 0;
      Handle(Geom2d_Curve) curve = BRep_Tool::CurveOnSurface(*edge, face, first, last);
      if (const auto trimmed = Handle(Geom2d_TrimmedCurve)::DownCast(curve)) {
        curve = trimmed->BasisCurve();
      }
      if (Handle(Geom2d_Line)::DownCast(curve).IsNull()) {
        return std::nullopt;
      }
      const gp_Pnt2d start = curve->Value(first), end = curve->Value(last);
      for (const gp_Pnt2d& at : {start, end}) {
        patch.u[0] = std::min(patch.u[0], at.X());
        patch.u[1] = std::max(patch.u[1], at.X());
        patch.v[0] = std::min(patch.v[0], at.Y());
        patch.v[1] = std::max(patch.v[1], at.Y());
      }
      area += (isForward(*edge) ? 1 : -1) * (start.X() * end.Y() - start.Y() * end.X()) / 2;
    }
    // What lies within a rectangle and is as large as that is the rectangle.
    const double whole = (patch.u[1] - patch.u[0]) * (patch.v[1] - patch.v[0]);
    constexpr double kSame = 1e-9;
    return std::abs(std::abs(area) - whole) <= kSame * whole ? std::optional(patch) : std::nullopt;
  }
};

bool addRound(const TopoDS_Face& face, const BRepAdaptor_Surface& surface, Moments& sum) {
  const std::optional<Patch> patch = Patch::of(face);
  if (!patch) {
    return false;
  }
  const double sign = isForward(face) ? 1 : -1;
  integrate(patch->u[0], patch->u[1], /*is_angle=*/true, [&](double u, double weight_u) {
    integrate(patch->v[0], patch->v[1], /*is_angle=*/surface.GetType() == GeomAbs_Torus,
              [&](double v, double weight_v) {
                gp_Pnt at;
                gp_Vec along_u, along_v;
                surface.D1(u, v, at, along_u, along_v);
                const gp_XYZ square = along_u.XYZ().Crossed(along_v.XYZ()) * (weight_u * weight_v);
                const double height = sign * at.XYZ().Dot(square);
                sum.area_mm2 += square.Modulus();
                sum.volume_mm3 += height / 3;
                sum.first_mm4 += at.XYZ() * (height / 4);
              });
  });
  return true;
}

/// False for surfaces of other kinds.
bool add(const TopoDS_Face& face, Moments& sum) {
  const BRepAdaptor_Surface surface(face, /*Restriction=*/false);
  switch (surface.GetType()) {
    case GeomAbs_Plane:
      return addPlane(face, surface.Plane(), sum);
    case GeomAbs_Cylinder:
      return addCylinder(face, surface.Cylinder(), sum);
    case GeomAbs_Cone:
    case GeomAbs_Torus:
      return addRound(face, surface, sum);
    default:
      return false;
  }
}

}  // namespace

std::optional<Moments> flatAndRoundMoments(const TopoDS_Shape& solid) {
  Moments sum;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face& face = TopoDS::Face(faces.Current());
    if (face.Orientation() != TopAbs_FORWARD && face.Orientation() != TopAbs_REVERSED) {
      continue;
    }
    if (!add(face, sum)) {
      return std::nullopt;
    }
  }
  return sum;
}

}  // namespace leafstack
