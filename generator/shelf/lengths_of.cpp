#include "generator/shelf/lengths_of.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepTools.hxx>
#include <ElCLib.hxx>
#include <TopExp.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Torus.hxx>
#include <numbers>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

Vec3 of(const gp_XYZ& p) {
  return {p.X(), p.Y(), p.Z()};
}

bool isAlong(const Vec3& direction, int axis) {
  return std::abs(std::abs(direction[axis]) - 1) < kLengthEqualMm;
}

bool isSquareTo(const Vec3& direction, int axis) {
  return std::abs(direction[axis]) < kLengthEqualMm;
}

Bounds around(const Vec3& a, const Vec3& b) {
  Bounds box;
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] = std::min(a[axis], b[axis]);
    box.high[axis] = std::max(a[axis], b[axis]);
  }
  return box;
}

constexpr double kTurn = 2 * std::numbers::pi;

bool isTurn(double from, double to) {
  return to - from > kTurn - kLengthEqualMm;
}

/// Of an angle, in whatever turn.
bool isWithin(double angle, double from, double to) {
  const double turns = std::floor((angle - from) / kTurn);
  return angle - turns * kTurn < to;
}

struct Span {
  double from = 0, to = 0;
};

class Measured {
 public:
  explicit Measured(Lengths& lengths) : lengths_(lengths) {}

  void edge(const TopoDS_Edge& edge) {
    if (BRep_Tool::Degenerated(edge)) {
      return;
    }
    const BRepAdaptor_Curve curve(edge);
    if (curve.GetType() == GeomAbs_Line) {
      const Vec3 a = of(curve.Value(curve.FirstParameter()).XYZ());
      const Vec3 b = of(curve.Value(curve.LastParameter()).XYZ());
      line(Mark::Kind::kEdge, a, b);
      slant(a, b);
    } else if (curve.GetType() == GeomAbs_Circle) {
      const gp_Circ circle = curve.Circle();
      const bool is_whole = isTurn(curve.FirstParameter(), curve.LastParameter());
      round(of(circle.Location().XYZ()), of(circle.Axis().Direction().XYZ()), circle.Radius(),
            is_whole);
      if (!is_whole) {
        arc(circle, {curve.FirstParameter(), curve.LastParameter()});
      }
    }
  }

  void face(const TopoDS_Face& face) {
    const BRepAdaptor_Surface surface(face, /*restriction=*/false);
    if (surface.GetType() == GeomAbs_Plane) {
      return;  // its edges say all
    }
    double u0 = 0, u1 = 0, v0 = 0, v1 = 0;
    BRepTools::UVBounds(face, u0, u1, v0, v1);
    if (surface.GetType() == GeomAbs_Cylinder) {
      const gp_Cylinder cylinder = surface.Cylinder();
      const Vec3 along = of(cylinder.Axis().Direction().XYZ());
      const Vec3 from = of(cylinder.Location().XYZ());
      tube(plus(from, along, v0), plus(from, along, v1), cylinder.Radius(), isTurn(u0, u1));
    } else if (surface.GetType() == GeomAbs_Torus) {
      const gp_Torus torus = surface.Torus();
      const Vec3 centre = of(torus.Location().XYZ());
      const Vec3 normal = of(torus.Axis().Direction().XYZ());
      const bool is_whole = isTurn(u0, u1);
      if (isWithin(std::numbers::pi, v0, v1)) {
        round(centre, normal, torus.MajorRadius() - torus.MinorRadius(), is_whole);
      }
      round(centre, normal, torus.MajorRadius(), is_whole, Mark::Kind::kAxis);
    } else if (surface.GetType() == GeomAbs_SurfaceOfRevolution) {
      waist(surface, {u0, u1}, {v0, v1});
    } else if (surface.GetType() == GeomAbs_Cone) {
      const double half = std::abs(surface.Cone().SemiAngle()) * kDegreesPerRadian;
      const Vec3 at = of(surface.Value((u0 + u1) / 2, (v0 + v1) / 2).XYZ());
      // Between the flanks of a groove, and of a point.
      lengths_.tapers.push_back({180 - 2 * half, at});
      lengths_.tapers.push_back({2 * half, at});
    }
  }

 private:
  /// Where a revolved arc comes nearest to its axis: the bottom of a groove.
  void waist(const BRepAdaptor_Surface& surface, const Span& u, const Span& v) {
    const Handle(Adaptor3d_Curve) basis = surface.BasisCurve();
    if (basis->GetType() != GeomAbs_Circle) {
      return;
    }
    const gp_Ax1 axis = surface.AxeOfRevolution();
    const gp_Circ arc = basis->Circle();
    const Vec3 normal = of(axis.Direction().XYZ());
    const Vec3 out = minus(of(arc.Location().XYZ()), of(axis.Location().XYZ()));
    const Vec3 centre = plus(of(axis.Location().XYZ()), normal, dot(out, normal));
    const Vec3 away = plus(out, normal, -dot(out, normal));
    const double least = norm(away) - arc.Radius();
    if (least <= 0) {
      return;
    }
    const Vec3 bottom = plus(centre, away, least / norm(away));
    if (isWithin(ElCLib::Parameter(arc, gp_Pnt(bottom[0], bottom[1], bottom[2])), v.from, v.to)) {
      round(centre, normal, least, isTurn(u.from, u.to));
    }
  }

  /// Where part of a circle reaches furthest along an axis, well within its ends: there one can
  /// set calipers to it.
  void arc(const gp_Circ& circle, const Span& turn) {
    constexpr double kWithin = 0.1;
    const Vec3 normal = of(circle.Axis().Direction().XYZ());
    for (int axis = 0; axis < 3; ++axis) {
      for (const double side : {-circle.Radius(), circle.Radius()}) {
        Vec3 at = of(circle.Location().XYZ());
        at[axis] += side;
        if (isSquareTo(normal, axis) &&
            isWithin(ElCLib::Parameter(circle, gp_Pnt(at[0], at[1], at[2])), turn.from + kWithin,
                     turn.to - kWithin)) {
          point(Mark::Kind::kSilhouette, axis, at);
        }
      }
    }
  }

  void line(Mark::Kind kind, const Vec3& a, const Vec3& b) {
    for (int axis = 0; axis < 3; ++axis) {
      if (std::abs(a[axis] - b[axis]) < kLengthEqualMm) {
        lengths_.marks.push_back({kind, axis, a[axis], around(a, b)});
      }
    }
  }

  void slant(const Vec3& a, const Vec3& b) {
    const Vec3 along = minus(b, a);
    const double length = norm(along);
    if (length > kLengthEqualMm && std::none_of(along.begin(), along.end(), [&](double one) {
          return std::abs(std::abs(one) - length) < kLengthEqualMm;
        })) {
      lengths_.slants.push_back({length, plus(a, along, 0.5)});
    }
  }

  void round(const Vec3& centre, const Vec3& normal, double radius, bool is_whole,
             Mark::Kind kind = Mark::Kind::kSilhouette) {
    lengths_.rounds.push_back({2 * radius, centre, normal});
    for (int axis = 0; axis < 3; ++axis) {
      if (isAlong(normal, axis)) {
        Vec3 reach{radius, radius, radius};
        reach[axis] = 0;
        lengths_.marks.push_back({Mark::Kind::kEdge, axis, centre[axis],
                                  around(minus(centre, reach), plus(centre, reach))});
      } else if (isSquareTo(normal, axis)) {
        point(Mark::Kind::kAxis, axis, centre);
        for (const double side : {-radius, radius}) {
          Vec3 at = centre;
          at[axis] += side;
          if (is_whole) {
            point(kind, axis, at);
          }
        }
      }
    }
  }

  void point(Mark::Kind kind, int axis, const Vec3& at) {
    lengths_.marks.push_back({kind, axis, at[axis], around(at, at)});
  }

  void tube(const Vec3& a, const Vec3& b, double radius, bool is_whole) {
    line(Mark::Kind::kAxis, a, b);
    for (int axis = 0; axis < 3 && is_whole; ++axis) {
      for (const double side : {-radius, radius}) {
        Vec3 from = a;
        Vec3 to = b;
        from[axis] += side;
        to[axis] += side;
        if (std::abs(a[axis] - b[axis]) < kLengthEqualMm) {
          lengths_.marks.push_back({Mark::Kind::kSilhouette, axis, from[axis], around(from, to)});
        }
      }
    }
  }

  Lengths& lengths_;
};

}  // namespace

Lengths lengthsOf(const TopoDS_Shape& solid, const TopLoc_Location& at) {
  Lengths lengths;
  Measured measured(lengths);
  const TopoDS_Shape placed = solid.Moved(at);
  TopTools_IndexedMapOfShape edges;
  TopTools_IndexedMapOfShape faces;
  TopExp::MapShapes(placed, TopAbs_EDGE, edges);
  TopExp::MapShapes(placed, TopAbs_FACE, faces);
  for (int i = 1; i <= edges.Extent(); ++i) {
    measured.edge(TopoDS::Edge(edges(i)));
  }
  for (int i = 1; i <= faces.Extent(); ++i) {
    measured.face(TopoDS::Face(faces(i)));
  }
  return lengths;
}

}  // namespace leafstack
