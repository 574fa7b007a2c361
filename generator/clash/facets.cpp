#include "generator/clash/facets.h"

#include <Adaptor3d_Curve.hxx>
#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepTools.hxx>
#include <BRepTools_WireExplorer.hxx>
#include <BRep_Tool.hxx>
#include <ElSLib.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Elips.hxx>
#include <gp_Lin.hxx>
#include <gp_Pln.hxx>
#include <gp_Torus.hxx>
#include <numbers>
#include <optional>

#include "generator/clash/polygon.h"
#include "generator/geometry_error.h"

namespace leafstack {
namespace {

// A turn finer than this needs no chord at all.
constexpr double kNoTurnRad = 1e-9;
// Where an edge lies on the border of its face's parameters.
constexpr double kOnBorder = 1e-6;

/// Height of an arc of `turn` radians over its chord.
double sagitta(double radius, double turn) {
  return radius * (1 - std::cos(turn / 2));
}

/// Equal steps for an arc of `turn` radians, so that each keeps to `deflection`; the same for every
/// face that shares the arc.
int stepsOf(double radius, double turn, double deflection) {
  if (std::abs(turn) < kNoTurnRad) {
    return 1;
  }
  constexpr double kWidestStep = std::numbers::pi / 2;
  const double cosine = 1 - deflection / std::max(radius, deflection);
  const double step = std::min(2 * std::acos(cosine), kWidestStep);
  return std::max(1, static_cast<int>(std::ceil(std::abs(turn) / step - kOnBorder)));
}

Vec3 toVec(const gp_Pnt& point) {
  return {point.X(), point.Y(), point.Z()};
}

// ---------------------------------------------------------------- planes

/// One loop of a plane face: its points, and the sagitta of the arcs each of them lies on.
struct Loop {
  std::vector<gp_Pnt> points;
  std::vector<double> errors;  ///< by point
  std::vector<double> edges;   ///< by edge
};

/// Adds an edge's points but its last, in the loop's direction. False for a curve of another kind.
bool addEdge(const TopoDS_Edge& edge, double deflection, Loop& loop) {
  const BRepAdaptor_Curve curve(edge);
  const bool reversed = edge.Orientation() == TopAbs_REVERSED;
  const double from = reversed ? curve.LastParameter() : curve.FirstParameter();
  const double to = reversed ? curve.FirstParameter() : curve.LastParameter();
  int steps = 1;
  double error = 0;
  switch (curve.GetType()) {
    case GeomAbs_Line:
      break;
    case GeomAbs_Circle: {
      const double radius = curve.Circle().Radius();
      steps = stepsOf(radius, to - from, deflection);
      error = sagitta(radius, (to - from) / steps);
      break;
    }
    case GeomAbs_Ellipse: {
      // A round bar or bore cut aslant: as many steps as that takes, wherever the plane lies.
      steps = stepsOf(curve.Ellipse().MinorRadius(), to - from, deflection);
      error = sagitta(curve.Ellipse().MajorRadius(), (to - from) / steps);
      break;
    }
    default:
      return false;
  }
  for (int i = 0; i < steps; ++i) {
    loop.points.push_back(curve.Value(from + (to - from) * i / steps));
    // A corner belongs to both its edges.
    const double before = i == 0 && !loop.edges.empty() ? loop.edges.back() : error;
    loop.errors.push_back(std::max(before, error));
  }
  loop.edges.push_back(error);
  return true;
}

std::optional<Loop> loopOf(const TopoDS_Wire& wire, const TopoDS_Face& face, double deflection) {
  Loop loop;
  int walked = 0;
  for (BRepTools_WireExplorer edges(wire, face); edges.More(); edges.Next()) {
    if (!addEdge(edges.Current(), deflection, loop)) {
      return std::nullopt;
    }
    ++walked;
  }
  int count = 0;
  for (TopExp_Explorer edges(wire, TopAbs_EDGE); edges.More(); edges.Next()) {
    ++count;
  }
  if (walked != count || loop.points.size() < 3) {
    return std::nullopt;
  }
  loop.errors.front() = std::max(loop.errors.front(), loop.edges.back());
  return loop;
}

std::optional<Facets> planeFacets(const TopoDS_Face& face, const gp_Pln& plane, double deflection) {
  Facets facets;
  std::vector<std::vector<FlatPoint>> flat;
  std::vector<double> errors;
  const TopoDS_Wire outline = BRepTools::OuterWire(face);
  std::vector<TopoDS_Wire> wires = {outline};
  for (TopExp_Explorer more(face, TopAbs_WIRE); more.More(); more.Next()) {
    if (!more.Current().IsSame(outline)) {
      wires.push_back(TopoDS::Wire(more.Current()));
    }
  }
  for (const TopoDS_Wire& wire : wires) {
    const auto loop = loopOf(wire, face, deflection);
    if (!loop) {
      return std::nullopt;
    }
    flat.emplace_back();
    for (const gp_Pnt& point : loop->points) {
      double u = 0;
      double v = 0;
      ElSLib::Parameters(plane, point, u, v);
      flat.back().push_back({u, v});
      facets.points.push_back(toVec(point));
    }
    errors.insert(errors.end(), loop->errors.begin(), loop->errors.end());
  }
  facets.triangles = triangulated(flat);
  if (facets.triangles.empty()) {
    return std::nullopt;
  }
  const bool inward = face.Orientation() == TopAbs_REVERSED;
  for (auto& triangle : facets.triangles) {
    // Only a triangle with a side on an arc borders what the arc cuts off.
    std::array<double, 3> at = {errors[triangle[0]], errors[triangle[1]], errors[triangle[2]]};
    std::sort(at.begin(), at.end());
    facets.errors_mm.push_back(at[1] > 0 ? at[2] : 0);
    if (inward) {
      std::swap(triangle[1], triangle[2]);
    }
  }
  return facets;
}

// ---------------------------------------------------------------- round faces

/// A surface whose u turns about an axis, and whose v is straight or turns about a circle.
struct RoundSurface {
  double u_radius = 0;  ///< greatest distance from the axis within the face
  double v_radius = 0;  ///< 0 where v is straight
};

struct Rectangle {
  double u[2] = {0, 0}, v[2] = {0, 0};
};

std::optional<RoundSurface> roundSurface(const BRepAdaptor_Surface& surface, const Rectangle& uv) {
  RoundSurface round;
  gp_Ax1 axis;
  switch (surface.GetType()) {
    case GeomAbs_Cylinder:
      return RoundSurface{surface.Cylinder().Radius(), 0};
    case GeomAbs_Cone:
      axis = surface.Cone().Axis();
      break;
    case GeomAbs_Torus:
      return RoundSurface{surface.Torus().MajorRadius() + surface.Torus().MinorRadius(),
                          surface.Torus().MinorRadius()};
    case GeomAbs_SurfaceOfRevolution: {
      const Handle(Adaptor3d_Curve) profile = surface.BasisCurve();
      if (profile->GetType() != GeomAbs_Circle) {
        return std::nullopt;
      }
      axis = surface.AxeOfRevolution();
      round.v_radius = profile->Circle().Radius();
      break;
    }
    default:
      return std::nullopt;
  }
  for (double v : uv.v) {
    round.u_radius = std::max(round.u_radius, gp_Lin(axis).Distance(surface.Value(uv.u[0], v)));
  }
  round.u_radius += round.v_radius;
  return round;
}

/// Every edge runs along the border of the face's parameters, so that the face is all within.
bool fillsRectangle(const TopoDS_Face& face, const Rectangle& uv) {
  int wires = 0;
  for (TopExp_Explorer more(face, TopAbs_WIRE); more.More(); more.Next()) {
    ++wires;
  }
  if (wires != 1) {
    return false;
  }
  const auto isOn = [](double at, const double(&border)[2]) {
    return std::abs(at - border[0]) < kOnBorder || std::abs(at - border[1]) < kOnBorder;
  };
  for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
    double from = 0;
    double to = 0;
    const auto curve = BRep_Tool::CurveOnSurface(TopoDS::Edge(edges.Current()), face, from, to);
    if (curve.IsNull()) {
      return false;
    }
    const gp_Pnt2d middle = curve->Value((from + to) / 2);
    const gp_Pnt2d quarter = curve->Value((3 * from + to) / 4);
    const bool along_u = isOn(middle.Y(), uv.v) && isOn(quarter.Y(), uv.v);
    const bool along_v = isOn(middle.X(), uv.u) && isOn(quarter.X(), uv.u);
    if (!along_u && !along_v) {
      return false;
    }
  }
  return true;
}

/// A grid of points, `nv` + 1 by `nu` + 1, v the quicker.
struct Grid {
  int nu = 0, nv = 0;
  std::vector<Vec3> points;
};

Facets gridFacets(Grid grid, double error, TopAbs_Orientation orientation) {
  Facets facets;
  facets.points = std::move(grid.points);
  for (int i = 0; i < grid.nu; ++i) {
    for (int j = 0; j < grid.nv; ++j) {
      const int corner = i * (grid.nv + 1) + j;
      const int beside = corner + grid.nv + 1;
      std::array<std::array<int, 3>, 2> halves = {
          {{corner, beside, beside + 1}, {corner, beside + 1, corner + 1}}};
      for (auto& half : halves) {
        if (orientation == TopAbs_REVERSED) {
          std::swap(half[1], half[2]);
        }
        facets.triangles.push_back(half);
        facets.errors_mm.push_back(error);
      }
    }
  }
  return facets;
}

/// An edge across a cylinder's face, from one border in u to the other.
struct Rim {
  TopoDS_Edge edge;
  double at_low_u = 0, at_high_u = 0;  ///< its parameters there
  double middle_v = 0;
  double greatest_radius = 0;
};

/// Empty unless the edge is a circle or an ellipse, whose parameter turns as u does.
std::optional<Rim> rimOf(const TopoDS_Edge& edge, const TopoDS_Face& face, const Rectangle& uv) {
  const BRepAdaptor_Curve curve(edge);
  Rim rim;
  rim.edge = edge;
  if (curve.GetType() == GeomAbs_Circle) {
    rim.greatest_radius = curve.Circle().Radius();
  } else if (curve.GetType() == GeomAbs_Ellipse) {
    rim.greatest_radius = curve.Ellipse().MajorRadius();
  } else {
    return std::nullopt;
  }
  const auto drawn = BRep_Tool::CurveOnSurface(edge, face, rim.at_low_u, rim.at_high_u);
  if (drawn.IsNull() || !BRep_Tool::SameParameter(edge)) {
    return std::nullopt;
  }
  if (drawn->Value(rim.at_low_u).X() > drawn->Value(rim.at_high_u).X()) {
    std::swap(rim.at_low_u, rim.at_high_u);
  }
  for (double share : {0.0, 0.25, 0.5, 1.0}) {
    const gp_Pnt2d at = drawn->Value(std::lerp(rim.at_low_u, rim.at_high_u, share));
    if (std::abs(at.X() - std::lerp(uv.u[0], uv.u[1], share)) > kOnBorder) {
      return std::nullopt;
    }
    rim.middle_v = share == 0.5 ? at.Y() : rim.middle_v;
  }
  return rim;
}

/// The two rims of a face that they and two of the cylinder's straight lines bound, the lower
/// first.
std::optional<std::array<Rim, 2>> rimsOf(const TopoDS_Face& face, const Rectangle& uv) {
  std::vector<Rim> rims;
  int edge_count = 0;
  for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
    const TopoDS_Edge edge = TopoDS::Edge(edges.Current());
    ++edge_count;
    if (BRepAdaptor_Curve(edge).GetType() == GeomAbs_Line) {
      continue;
    }
    const auto rim = rimOf(edge, face, uv);
    if (!rim) {
      return std::nullopt;
    }
    rims.push_back(*rim);
  }
  if (edge_count != 4 || rims.size() != 2) {
    return std::nullopt;
  }
  if (rims[0].middle_v > rims[1].middle_v) {
    std::swap(rims[0], rims[1]);
  }
  return std::array<Rim, 2>{rims[0], rims[1]};
}

/// A cylinder between planes that may lie aslant. Its flat strips leave it by the sagitta of their
/// turn, and its rims, where these are ellipses, by that of the ellipse.
std::optional<Facets> cylinderFacets(const TopoDS_Face& face, double radius, const Rectangle& uv,
                                     double deflection) {
  const auto rims = rimsOf(face, uv);
  if (!rims) {
    return std::nullopt;
  }
  const double du = uv.u[1] - uv.u[0];
  Grid grid{stepsOf(radius, du, deflection), 1, {}};
  const std::array<BRepAdaptor_Curve, 2> curves = {BRepAdaptor_Curve((*rims)[0].edge),
                                                   BRepAdaptor_Curve((*rims)[1].edge)};
  for (int i = 0; i <= grid.nu; ++i) {
    for (int rim : {0, 1}) {
      const Rim& at = (*rims)[rim];
      const double along = at.at_low_u + (at.at_high_u - at.at_low_u) * i / grid.nu;
      grid.points.push_back(toVec(curves[rim].Value(along)));
    }
  }
  const double widest = std::max((*rims)[0].greatest_radius, (*rims)[1].greatest_radius);
  return gridFacets(std::move(grid), sagitta(widest, du / grid.nu), face.Orientation());
}

std::optional<Facets> roundFacets(const TopoDS_Face& face, const BRepAdaptor_Surface& surface,
                                  double deflection) {
  Rectangle uv;
  BRepTools::UVBounds(face, uv.u[0], uv.u[1], uv.v[0], uv.v[1]);
  const auto round = roundSurface(surface, uv);
  if (!round) {
    return std::nullopt;
  }
  if (!fillsRectangle(face, uv)) {
    return surface.GetType() == GeomAbs_Cylinder
               ? cylinderFacets(face, surface.Cylinder().Radius(), uv, deflection)
               : std::nullopt;
  }
  const double du = uv.u[1] - uv.u[0];
  const double dv = uv.v[1] - uv.v[0];
  // A surface round both ways shares the deflection between them.
  const double share = round->v_radius > 0 ? deflection / 2 : deflection;
  Grid grid{stepsOf(round->u_radius, du, share),
            round->v_radius > 0 ? stepsOf(round->v_radius, dv, share) : 1,
            {}};
  for (int i = 0; i <= grid.nu; ++i) {
    for (int j = 0; j <= grid.nv; ++j) {
      grid.points.push_back(
          toVec(surface.Value(uv.u[0] + du * i / grid.nu, uv.v[0] + dv * j / grid.nv)));
    }
  }
  const double error =
      sagitta(round->u_radius, du / grid.nu) + sagitta(round->v_radius, dv / grid.nv);
  return gridFacets(std::move(grid), error, face.Orientation());
}

// ---------------------------------------------------------------- any other face

// The mesher keeps its deflection only roughly.
constexpr double kMesherStrays = 2;
constexpr double kMesherAngleRad = 0.2;
// Finer than this it takes minutes over a single face.
constexpr double kMesherFinestMm = 0.005;

Facets meshedFacets(const TopoDS_Face& face, double wanted) {
  const double deflection = std::max(wanted, kMesherFinestMm);
  // On a copy: meshes kept on the solid serve other outputs.
  const TopoDS_Face copy =
      TopoDS::Face(BRepBuilderAPI_Copy(face, /*copyGeom=*/false, /*copyMesh=*/false).Shape());
  BRepMesh_IncrementalMesh(copy, deflection, /*isRelative=*/false, kMesherAngleRad);
  TopLoc_Location location;
  const auto triangulation = BRep_Tool::Triangulation(copy, location);
  if (triangulation.IsNull()) {
    throw GeometryError("the kernel could not mesh a face");
  }
  Facets facets;
  for (int i = 1; i <= triangulation->NbNodes(); ++i) {
    facets.points.push_back(toVec(triangulation->Node(i).Transformed(location.Transformation())));
  }
  for (int i = 1; i <= triangulation->NbTriangles(); ++i) {
    std::array<int, 3> nodes{};
    triangulation->Triangle(i).Get(nodes[0], nodes[1], nodes[2]);
    if (face.Orientation() == TopAbs_REVERSED) {
      std::swap(nodes[1], nodes[2]);
    }
    facets.triangles.push_back({nodes[0] - 1, nodes[1] - 1, nodes[2] - 1});
    facets.errors_mm.push_back(kMesherStrays * deflection);
  }
  return facets;
}

}  // namespace

Facets facetsOf(const TopoDS_Face& face, double deflection_mm) {
  const BRepAdaptor_Surface surface(face, /*restriction=*/false);
  const auto facets = surface.GetType() == GeomAbs_Plane
                          ? planeFacets(face, surface.Plane(), deflection_mm)
                          : roundFacets(face, surface, deflection_mm);
  return facets ? *facets : meshedFacets(face, deflection_mm);
}

}  // namespace leafstack
