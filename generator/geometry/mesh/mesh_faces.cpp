#include "generator/geometry/mesh/mesh_faces.h"
#include "generator/geometry/mesh/given_mesh.h"

#include <Adaptor3d_Curve.hxx>
#include <BRep_Tool.hxx>
#include <ElSLib.hxx>
#include <Geom2d_Curve.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Lin.hxx>
#include <gp_Sphere.hxx>
#include <gp_Torus.hxx>
#include <numeric>

#include "generator/geometry/geometry_error.h"
#include "generator/geometry/mesh/kernel_vec.h"
#include "generator/geometry/polygon.h"

namespace leafstack {
namespace {

// Where an edge lies on the border of its face's parameters.
constexpr double kOnBorder = 1e-6;

bool isNear(double a, double b) {
  return std::abs(a - b) < kOnBorder;
}

}  // namespace

// ---------------------------------------------------------------- planes

struct FlatFace::Loops {
  std::vector<int> points;
  std::vector<std::vector<FlatPoint>> flat;
  std::vector<double> errors;  ///< by point: of the arcs it lies on

  /// The outline is the largest loop; the others keep their order.
  void putOutlineFirst() {
    const auto area = [](const std::vector<FlatPoint>& loop) { return std::abs(signedArea(loop)); };
    const auto outline = std::max_element(
        flat.begin(), flat.end(),
        [&](const auto& one, const auto& other) { return area(one) < area(other); });
    std::size_t before = 0;
    for (auto loop = flat.begin(); loop != outline; ++loop) {
      before += loop->size();
    }
    const auto here = static_cast<std::ptrdiff_t>(before);
    const auto end = static_cast<std::ptrdiff_t>(before + outline->size());
    std::rotate(points.begin(), points.begin() + here, points.begin() + end);
    std::rotate(errors.begin(), errors.begin() + here, errors.begin() + end);
    std::rotate(flat.begin(), outline, outline + 1);
  }
};

namespace {

/// An edge of a loop as it is walked, one way or the other.
struct Walked {
  const MeshEdge* edge = nullptr;
  int index = 0;  ///< among the edges
  bool is_backward = false;

  int from() const { return is_backward ? edge->chain.back() : edge->chain.front(); }
  int to() const { return is_backward ? edge->chain.front() : edge->chain.back(); }
  int at(std::size_t i) const { return edge->chain[is_backward ? edge->chain.size() - 1 - i : i]; }
};

/// Edges of a wire, each from where the one before ends; empty where they do not close one loop, or
/// more than one goes on from some point.
std::vector<Walked> walked(const TopoDS_Wire& wire, const MeshEdges& edges) {
  std::vector<Walked> loop;
  for (TopExp_Explorer all(wire, TopAbs_EDGE); all.More(); all.Next()) {
    const int index = edges.indexOf(TopoDS::Edge(all.Current()));
    loop.push_back({&edges.at(index), index, all.Current().Orientation() == TopAbs_REVERSED});
  }
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const auto goesOn = [end = loop[i].to()](const Walked& other) { return other.from() == end; };
    if (i + 1 == loop.size()) {
      return goesOn(loop.front()) ? loop : std::vector<Walked>();
    }
    const auto next = std::find_if(loop.begin() + i + 1, loop.end(), goesOn);
    if (next == loop.end() || std::count_if(loop.begin(), loop.end(), goesOn) != 1) {
      return {};
    }
    std::swap(loop[i + 1], *next);
  }
  return {};
}

}  // namespace

bool FlatFace::addLoop(const TopoDS_Wire& wire, const MeshEdges& edges, const PartMesh& mesh,
                       Loops& loops) const {
  const std::size_t first = loops.points.size();
  double last_error = 0;
  for (const Walked& side : walked(wire, edges)) {
    const double error = edges.errorMm(side.index);
    for (std::size_t i = 0; i + 1 < side.edge->chain.size(); ++i) {
      loops.points.push_back(side.at(i));
      // A corner belongs to both its edges.
      loops.errors.push_back(i == 0 ? std::max(error, last_error) : error);
    }
    last_error = error;
  }
  if (loops.points.size() < first + 3) {
    return false;
  }
  loops.errors[first] = std::max(loops.errors[first], last_error);
  loops.flat.emplace_back();
  for (std::size_t i = first; i < loops.points.size(); ++i) {
    const Vec3& at = mesh.points[loops.points[i]];
    double u = 0;
    double v = 0;
    ElSLib::Parameters(plane_, gp_Pnt(at[0], at[1], at[2]), u, v);
    loops.flat.back().push_back({u, v});
  }
  return true;
}

bool FlatFace::addTo(PartMesh& mesh, const MeshEdges& edges, bool with_normals) const {
  Loops loops;
  for (TopExp_Explorer wires(face_, TopAbs_WIRE); wires.More(); wires.Next()) {
    if (!addLoop(TopoDS::Wire(wires.Current()), edges, mesh, loops)) {
      return false;
    }
  }
  loops.putOutlineFirst();
  const bool is_reversed = face_.Orientation() == TopAbs_REVERSED;
  const gp_Ax3& frame = plane_.Position();
  Vec3 normal = cross(toVec(frame.XDirection().XYZ()), toVec(frame.YDirection().XYZ()));
  normal = is_reversed ? minus({}, normal) : normal;
  const std::array<Vec3, 3> normals = {normal, normal, normal};
  const auto triangles = triangulated(loops.flat);
  for (auto [a, b, c] : triangles) {
    // Only a triangle with a side on an arc borders what the arc cuts off.
    std::array<double, 3> at = {loops.errors[a], loops.errors[b], loops.errors[c]};
    std::sort(at.begin(), at.end());
    if (is_reversed) {
      std::swap(b, c);
    }
    mesh.add({{loops.points[a], loops.points[b], loops.points[c]},
              mesh.face_count,
              at[1] > 0 ? at[2] : 0},
             with_normals ? &normals : nullptr);
  }
  return !triangles.empty();
}

// ---------------------------------------------------------------- round faces

std::optional<RoundPatch> RoundPatch::of(const TopoDS_Face& face,
                                         const BRepAdaptor_Surface& surface,
                                         const MeshEdges& edges) {
  RoundPatch patch;
  patch.surface_ = surface;
  patch.is_reversed_ = face.Orientation() == TopAbs_REVERSED;
  if (!patch.readSides(face, edges) || !patch.readRadii(surface)) {
    return std::nullopt;
  }
  return patch;
}

/// False for surfaces of other kinds.
bool RoundPatch::readRadii(const BRepAdaptor_Surface& surface) {
  gp_Ax1 axis;
  switch (surface.GetType()) {
    case GeomAbs_Cylinder:
      u_radius_ = surface.Cylinder().Radius();
      return true;
    case GeomAbs_Torus:
      v_radius_ = surface.Torus().MinorRadius();
      u_radius_ = surface.Torus().MajorRadius() + v_radius_;
      return true;
    case GeomAbs_Sphere:
      u_radius_ = v_radius_ = surface.Sphere().Radius();
      return true;
    case GeomAbs_Cone:
      axis = surface.Cone().Axis();
      break;
    case GeomAbs_SurfaceOfExtrusion: {
      // A circle drawn out, squarely or aslant: strips between its chords leave it by their
      // sagitta.
      const Handle(Adaptor3d_Curve) profile = surface.BasisCurve();
      if (profile->GetType() != GeomAbs_Circle) {
        return false;
      }
      u_radius_ = profile->Circle().Radius();
      return true;
    }
    case GeomAbs_SurfaceOfRevolution: {
      const Handle(Adaptor3d_Curve) profile = surface.BasisCurve();
      if (profile->GetType() != GeomAbs_Circle) {
        return false;
      }
      axis = surface.AxeOfRevolution();
      v_radius_ = profile->Circle().Radius();
      break;
    }
    default:
      return false;
  }
  for (double v : v_) {
    u_radius_ = std::max(u_radius_, gp_Lin(axis).Distance(surface.Value(u_[0], v)));
  }
  u_radius_ += v_radius_;
  return true;
}

/// An edge as its face's parameters have it.
struct RoundPatch::Drawn {
  Side side;
  std::array<gp_Pnt2d, 4> at;  ///< its start, a quarter of it, its middle, its end

  bool isStill(double (*along)(const gp_Pnt2d&)) const {
    return std::all_of(at.begin(), at.end(),
                       [&](const gp_Pnt2d& point) { return isNear(along(point), along(at[0])); });
  }
};

namespace {

double uOf(const gp_Pnt2d& at) {
  return at.X();
}
double vOf(const gp_Pnt2d& at) {
  return at.Y();
}

}  // namespace

std::vector<RoundPatch::Drawn> RoundPatch::drawnOf(const TopoDS_Face& face,
                                                   const MeshEdges& edges) {
  std::vector<Drawn> drawn;
  for (TopExp_Explorer around(face, TopAbs_EDGE); around.More(); around.Next()) {
    const TopoDS_Edge edge = TopoDS::Edge(around.Current());
    double from = 0;
    double to = 0;
    const auto curve = BRep_Tool::CurveOnSurface(edge, face, from, to);
    if (curve.IsNull() || (!BRep_Tool::Degenerated(edge) && !BRep_Tool::SameParameter(edge))) {
      return {};
    }
    drawn.push_back({{edges.indexOf(edge), false},
                     {curve->Value(from), curve->Value(std::lerp(from, to, 0.25)),
                      curve->Value(std::midpoint(from, to)), curve->Value(to)}});
  }
  // Of two edges from end to end of u the lower comes first.
  std::sort(drawn.begin(), drawn.end(),
            [](const Drawn& a, const Drawn& b) { return a.at[2].Y() < b.at[2].Y(); });
  return drawn;
}

/// False unless four edges bound the face: two along v at either end of u, and two from end to end
/// of u, at either end of v or, on a cylinder, aslant.
bool RoundPatch::readSides(const TopoDS_Face& face, const MeshEdges& edges) {
  const std::vector<Drawn> drawn = drawnOf(face, edges);
  if (drawn.size() != 4) {
    return false;
  }
  u_ = {uOf(drawn[0].at[0]), uOf(drawn[0].at[0])};
  v_ = {vOf(drawn[0].at[0]), vOf(drawn[0].at[0])};
  for (const Drawn& one : drawn) {
    for (const gp_Pnt2d& at : one.at) {
      u_ = {std::min(u_[0], uOf(at)), std::max(u_[1], uOf(at))};
      v_ = {std::min(v_[0], vOf(at)), std::max(v_[1], vOf(at))};
    }
  }
  return std::all_of(
             drawn.begin(), drawn.end(),
             [&](const Drawn& one) { return one.isStill(uOf) ? takeFlank(one) : takeRim(one); }) &&
         along_u_[1].edge >= 0 && along_v_[0].edge >= 0 && along_v_[1].edge >= 0;
}

/// An edge along v.
bool RoundPatch::takeFlank(const Drawn& drawn) {
  const bool is_high = isNear(uOf(drawn.at[0]), u_[1]);
  Side& side = along_v_[is_high ? 1 : 0];
  if (side.edge >= 0 || (!is_high && !isNear(uOf(drawn.at[0]), u_[0]))) {
    return false;
  }
  side = {drawn.side.edge, vOf(drawn.at[0]) > vOf(drawn.at[3])};
  return true;
}

/// An edge from end to end of u, which turns as u does.
bool RoundPatch::takeRim(const Drawn& drawn) {
  Side& side = along_u_[along_u_[0].edge >= 0 ? 1 : 0];
  const bool is_backward = isNear(uOf(drawn.at[0]), u_[1]);
  const double low = is_backward ? u_[1] : u_[0];
  const double high = is_backward ? u_[0] : u_[1];
  const bool turns_evenly = isNear(uOf(drawn.at[0]), low) &&
                            isNear(uOf(drawn.at[1]), std::lerp(low, high, 0.25)) &&
                            isNear(uOf(drawn.at[2]), std::midpoint(low, high));
  const bool may_slant = surface_.GetType() == GeomAbs_Cylinder;
  if (side.edge >= 0 || !turns_evenly || !(may_slant || drawn.isStill(vOf))) {
    return false;
  }
  side = {drawn.side.edge, is_backward};
  return true;
}

void RoundPatch::askFor(MeshEdges& edges, const MeshAccuracy& accuracy) const {
  edges.tie(along_u_[0].edge, along_u_[1].edge);
  edges.tie(along_v_[0].edge, along_v_[1].edge);
  // A surface round both ways shares the deflection between them.
  MeshAccuracy share = accuracy;
  share.deflection_mm = v_radius_ > 0 ? accuracy.deflection_mm / 2 : accuracy.deflection_mm;
  edges.askFor(along_u_[0].edge, stepsOf(u_radius_, u_[1] - u_[0], share));
  if (v_radius_ > 0) {
    edges.askFor(along_v_[0].edge, stepsOf(v_radius_, v_[1] - v_[0], share));
  }
}

/// Of a cylinder cut aslant the greater half axis of the ellipse counts.
double RoundPatch::errorMm(const MeshEdges& edges) const {
  const int nu = edges.steps(along_u_[0].edge);
  const int nv = edges.steps(along_v_[0].edge);
  double widest = u_radius_;
  if (v_radius_ == 0) {
    for (const Side& side : along_u_) {
      widest = std::max(widest, edges.at(side.edge).greatest_radius);
    }
  }
  return sagitta(widest, (u_[1] - u_[0]) / nu) +
         (v_radius_ > 0 ? sagitta(v_radius_, (v_[1] - v_[0]) / nv) : 0);
}

std::vector<int> RoundPatch::chainOf(const Side& side, const MeshEdges& edges) const {
  std::vector<int> chain = edges.at(side.edge).chain;
  if (side.is_backward) {
    std::reverse(chain.begin(), chain.end());
  }
  return chain;
}

/// Points of the face, v the quicker: its edges', and within them its own.
struct RoundPatch::Grid {
  int nu = 0, nv = 0;
  std::vector<int> points;

  int& at(int i, int j) { return points[i * (nv + 1) + j]; }
};

RoundPatch::Grid RoundPatch::gridOf(PartMesh& mesh, const MeshEdges& edges) const {
  Grid grid{edges.steps(along_u_[0].edge), edges.steps(along_v_[0].edge), {}};
  grid.points.assign(static_cast<std::size_t>(grid.nu + 1) * (grid.nv + 1), -1);
  const std::array<std::vector<int>, 2> rims = {chainOf(along_u_[0], edges),
                                                chainOf(along_u_[1], edges)};
  const std::array<std::vector<int>, 2> flanks = {chainOf(along_v_[0], edges),
                                                  chainOf(along_v_[1], edges)};
  for (int i = 0; i <= grid.nu; ++i) {
    grid.at(i, 0) = rims[0][i];
    grid.at(i, grid.nv) = rims[1][i];
  }
  for (int j = 1; j < grid.nv; ++j) {
    grid.at(0, j) = flanks[0][j];
    grid.at(grid.nu, j) = flanks[1][j];
  }
  for (int i = 1; i < grid.nu; ++i) {
    for (int j = 1; j < grid.nv; ++j) {
      const double share_u = static_cast<double>(i) / grid.nu;
      const double share_v = static_cast<double>(j) / grid.nv;
      const Vec3& low = mesh.points[rims[0][i]];
      const Vec3& high = mesh.points[rims[1][i]];
      grid.at(i, j) = static_cast<int>(mesh.points.size());
      mesh.points.push_back(v_radius_ > 0 ? toVec(surface_
                                                      .Value(std::lerp(u_[0], u_[1], share_u),
                                                             std::lerp(v_[0], v_[1], share_v))
                                                      .XYZ())
                                          : plus(low, minus(high, low), share_v));
    }
  }
  return grid;
}

/// Outward; null at the tip of a cone.
Vec3 RoundPatch::normalAt(double u, double v) const {
  gp_Pnt point;
  gp_Vec along_u;
  gp_Vec along_v;
  surface_.D1(u, v, point, along_u, along_v);
  const Vec3 normal = cross(toVec(along_u.XYZ()), toVec(along_v.XYZ()));
  const double length = norm(normal);
  constexpr double kNoNormal = 1e-9;  // against a turn about an axis a nanometre away
  return length > kNoNormal ? plus({}, normal, (is_reversed_ ? -1 : 1) / length) : Vec3{};
}

void RoundPatch::addTo(PartMesh& mesh, const MeshEdges& edges, bool with_normals) const {
  Grid grid = gridOf(mesh, edges);
  std::vector<Vec3> normals;
  for (int i = 0; with_normals && i <= grid.nu; ++i) {
    for (int j = 0; j <= grid.nv; ++j) {
      normals.push_back(normalAt(std::lerp(u_[0], u_[1], static_cast<double>(i) / grid.nu),
                                 std::lerp(v_[0], v_[1], static_cast<double>(j) / grid.nv)));
    }
  }
  const double error_mm = errorMm(edges);
  const auto add = [&](std::array<int, 3> cells) {
    if (is_reversed_) {
      std::swap(cells[1], cells[2]);
    }
    std::array<Vec3, 3> corners{};
    for (int i = 0; with_normals && i < 3; ++i) {
      corners[i] = normals[cells[i]];
    }
    mesh.add({{grid.points[cells[0]], grid.points[cells[1]], grid.points[cells[2]]},
              mesh.face_count,
              error_mm},
             with_normals ? &corners : nullptr);
  };
  for (int i = 0; i < grid.nu; ++i) {
    for (int j = 0; j < grid.nv; ++j) {
      const int corner = i * (grid.nv + 1) + j;
      const int beside = corner + grid.nv + 1;
      add({corner, beside, beside + 1});
      add({corner, beside + 1, corner + 1});
    }
  }
}

// ---------------------------------------------------------------- whole solids

namespace {

/// Nothing where a face is of another kind.
std::optional<PartMesh> ownMesh(const TopoDS_Shape& solid, const MeshAccuracy& accuracy) {
  MeshEdges edges(solid, accuracy);
  std::vector<TopoDS_Face> faces;
  std::vector<std::optional<RoundPatch>> patches;
  std::vector<BRepAdaptor_Surface> surfaces;
  for (TopExp_Explorer all(solid, TopAbs_FACE); all.More(); all.Next()) {
    faces.push_back(TopoDS::Face(all.Current()));
    surfaces.emplace_back(faces.back(), /*restriction=*/false);
    patches.emplace_back();
    if (surfaces.back().GetType() != GeomAbs_Plane) {
      patches.back() = RoundPatch::of(faces.back(), surfaces.back(), edges);
      if (!patches.back()) {
        return std::nullopt;
      }
      patches.back()->askFor(edges, accuracy);
    }
  }
  PartMesh mesh;
  if (!edges.canBeRead()) {
    return std::nullopt;
  }
  edges.cut(mesh.points);
  for (std::size_t i = 0; i < faces.size(); ++i, ++mesh.face_count) {
    if (patches[i]) {
      patches[i]->addTo(mesh, edges, accuracy.with_normals);
    } else if (!FlatFace(faces[i], surfaces[i]).addTo(mesh, edges, accuracy.with_normals)) {
      return std::nullopt;
    }
  }
  return mesh.isClosed() ? std::optional(std::move(mesh)) : std::nullopt;
}

}  // namespace

PartMesh partMesh(const TopoDS_Shape& solid, const MeshAccuracy& accuracy) {
  if (!TopExp_Explorer(solid, TopAbs_FACE).More()) {
    throw GeometryError("a solid without faces");
  }
  if (isOfTriangles(solid)) {
    PartMesh given = trianglesOf(solid);
    for (std::size_t i = 0; accuracy.with_normals && i < given.triangles.size(); ++i) {
      given.normals.push_back({});
      given.normals.back().fill(given.flatNormal(given.triangles[i]));
    }
    return given;
  }
  // Chords of a thin ring's two rims may cross each other; finer ones do not.
  constexpr int kTries = 4;
  MeshAccuracy finer = accuracy;
  for (int i = 0; i < kTries; ++i, finer.deflection_mm /= 4) {
    if (auto mesh = ownMesh(solid, finer)) {
      return std::move(*mesh);
    }
  }
  return kernelMesh(solid, accuracy);
}

}  // namespace leafstack
