#include "exporters/gltf_mesh.h"

#include <BRepBuilderAPI_Copy.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Plane.hxx>
#include <Geom_Surface.hxx>
#include <IMeshTools_Parameters.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>

#include "exporters/export_error.h"

namespace leafstack {
namespace {

using Position = std::array<float, 3>;
using Triangle = std::array<std::uint32_t, 3>;

/// Normals this near are one: 0.006 degrees, far above rounding and far below what is seen.
constexpr double kNormalPlaces = 1e4;
/// Cosine of the greatest angle between a normal and the triangle it shades.
constexpr double kLeastAgreement = 0.5;
/// The same as written, after the rounding of positions.
constexpr double kLeastFacing = 0.9 * kLeastAgreement;

Position rounded(const std::array<double, 3>& p) {
  // Adding zero turns -0 into 0, which has to weld with it.
  return {static_cast<float>(p[0]) + 0.0F, static_cast<float>(p[1]) + 0.0F,
          static_cast<float>(p[2]) + 0.0F};
}

Position positionOf(const gp_XYZ& p_mm) {
  const gp_XYZ p = p_mm * kMetresPerMm;
  return rounded(toGltfAxes(p.X(), p.Y(), p.Z()));
}

/// Corners that agree in position, as written, and in normal are one corner.
class Corners {
 public:
  explicit Corners(GltfMesh& mesh) : mesh_(mesh) {}

  std::uint32_t add(const Position& position_m, const gp_XYZ& normal) {
    const std::array<double, 3> turned = toGltfAxes(normal.X(), normal.Y(), normal.Z());
    std::array<int, 3> direction{};
    for (int axis = 0; axis < 3; ++axis) {
      direction[axis] = static_cast<int>(std::lround(turned[axis] * kNormalPlaces));
    }
    const auto next = static_cast<std::uint32_t>(mesh_.positions_m.size());
    const auto [it, is_new] = known_.try_emplace({position_m, direction}, next);
    if (is_new) {
      mesh_.positions_m.push_back(position_m);
      mesh_.normals.push_back(rounded(turned));
    }
    return it->second;
  }

 private:
  GltfMesh& mesh_;
  std::map<std::pair<Position, std::array<int, 3>>, std::uint32_t> known_;
};

/// One face of the meshed copy: what its nodes are in the part's frame.
struct FaceNodes {
  std::vector<gp_XYZ> points;       ///< mm
  std::vector<gp_XYZ> normals;      ///< of the surface, outward; null where it has none: at a pole
  std::vector<Triangle> triangles;  ///< outward
};

/// Sine of the sum of the angles under which `c` and `d` see the side from `a` to `b`: negative
/// when they add up to more than a half turn.
double sineOfSum(const std::array<gp_XY, 4>& corners) {
  const auto& [a, b, c, d] = corners;
  const gp_XY from_c[] = {a - c, b - c};
  const gp_XY from_d[] = {b - d, a - d};
  const double lengths =
      from_c[0].Modulus() * from_c[1].Modulus() * from_d[0].Modulus() * from_d[1].Modulus();
  return ((from_c[0] ^ from_c[1]) * (from_d[0] * from_d[1]) +
          (from_c[0] * from_c[1]) * (from_d[0] ^ from_d[1])) /
         lengths;
}

/// Makes the triangles of a flat face as stout as its corners allow, by Delaunay's flips. The
/// kernel fills a rail's side with needles from hole to far end, half a micrometre high and three
/// metres long, whose facing single precision hardly keeps. Triangles are counterclockwise in `at`.
void makeStout(std::vector<Triangle>& triangles, const std::vector<gp_XY>& at) {
  constexpr double kGain = 1e-9;  // above rounding, so that corners on one circle come to rest
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::size_t> owner;  // by side, directed
  const auto own = [&](std::size_t t) {
    for (int i = 0; i < 3; ++i) {
      owner[{triangles[t][i], triangles[t][(i + 1) % 3]}] = t;
    }
  };
  std::vector<std::size_t> waiting;
  for (std::size_t t = 0; t < triangles.size(); ++t) {
    own(t);
    waiting.push_back(t);
  }
  while (!waiting.empty()) {
    const std::size_t t = waiting.back();
    waiting.pop_back();
    for (int i = 0; i < 3; ++i) {
      const std::uint32_t a = triangles[t][i];
      const std::uint32_t b = triangles[t][(i + 1) % 3];
      const std::uint32_t c = triangles[t][(i + 2) % 3];
      const auto beyond = owner.find({b, a});
      if (beyond == owner.end()) {
        continue;
      }
      const std::size_t other = beyond->second;
      const Triangle& neighbour = triangles[other];
      const std::uint32_t d = *std::find_if(neighbour.begin(), neighbour.end(), [&](auto corner) {
        return corner != a && corner != b;
      });
      if (sineOfSum({at[a], at[b], at[c], at[d]}) < -kGain) {
        owner.erase({a, b});
        owner.erase({b, a});
        triangles[t] = {c, a, d};
        triangles[other] = {d, b, c};
        own(t);
        own(other);
        waiting.insert(waiting.end(), {t, other});
        break;
      }
    }
  }
}

/// Normal of the surface towards dU x dV; null where the two are parallel or vanish.
gp_XYZ surfaceNormal(const Geom_Surface& surface, const gp_Pnt2d& uv) {
  gp_Pnt point;
  gp_Vec along_u, along_v;
  surface.D1(uv.X(), uv.Y(), point, along_u, along_v);
  const gp_XYZ normal = along_u.XYZ() ^ along_v.XYZ();
  // Against the derivatives' own size: parameters may run in mm or in radians.
  constexpr double kParallel = 1e-9;
  const double size = std::max(along_u.SquareMagnitude(), along_v.SquareMagnitude());
  const double length = normal.Modulus();
  return length > kParallel * size ? normal / length : gp_XYZ(0, 0, 0);
}

std::vector<Triangle> trianglesOf(const Poly_Triangulation& mesh, bool is_flat) {
  std::vector<Triangle> triangles;
  for (int t = 1; t <= mesh.NbTriangles(); ++t) {
    int a = 0, b = 0, c = 0;
    mesh.Triangle(t).Get(a, b, c);
    triangles.push_back({static_cast<std::uint32_t>(a - 1), static_cast<std::uint32_t>(b - 1),
                         static_cast<std::uint32_t>(c - 1)});
  }
  if (is_flat) {  // a plane's parameters are mm along it
    std::vector<gp_XY> at;
    for (int n = 1; n <= mesh.NbNodes(); ++n) {
      at.push_back(mesh.UVNode(n).XY());
    }
    makeStout(triangles, at);
  }
  return triangles;
}

FaceNodes nodesOf(const TopoDS_Face& face, const std::string& mark) {
  FaceNodes nodes;
  TopLoc_Location location;
  const Handle(Poly_Triangulation) mesh = BRep_Tool::Triangulation(face, location);
  if (mesh.IsNull() || !mesh->HasUVNodes()) {
    throw ExportError("GLB: " + mark + ": the kernel left a face without triangles");
  }
  const gp_Trsf motion = location.Transformation();
  const bool reversed = face.Orientation() == TopAbs_REVERSED;
  const Handle(Geom_Surface) surface = BRep_Tool::Surface(face, location);
  for (int n = 1; n <= mesh->NbNodes(); ++n) {
    nodes.points.push_back(mesh->Node(n).Transformed(motion).XYZ());
    const gp_Vec normal = surfaceNormal(*surface, mesh->UVNode(n));
    nodes.normals.push_back(normal.Transformed(motion).XYZ() * (reversed ? -1.0 : 1.0));
  }
  nodes.triangles = trianglesOf(*mesh, surface->IsKind(STANDARD_TYPE(Geom_Plane)));
  if (reversed != motion.IsNegative()) {
    for (Triangle& triangle : nodes.triangles) {
      std::swap(triangle[1], triangle[2]);
    }
  }
  return nodes;
}

void addFace(GltfMesh& mesh, Corners& corners, const FaceNodes& face) {
  for (const Triangle& nodes : face.triangles) {
    std::array<Position, 3> at;
    for (int i = 0; i < 3; ++i) {
      at[i] = positionOf(face.points[nodes[i]]);
    }
    // Two positions that become one in single precision: the triangle has no area, drop it.
    if (at[0] == at[1] || at[1] == at[2] || at[2] == at[0]) {
      continue;
    }
    const gp_XYZ& origin = face.points[nodes[0]];
    gp_XYZ flat = (face.points[nodes[1]] - origin) ^ (face.points[nodes[2]] - origin);
    flat /= std::max(flat.Modulus(), gp::Resolution());
    Triangle triangle{};
    for (int i = 0; i < 3; ++i) {
      // At a pole, or where three nodes of a strip lie along it, the triangle's own normal.
      const gp_XYZ& smooth = face.normals[nodes[i]];
      triangle[i] = corners.add(at[i], smooth * flat < kLeastAgreement ? flat : smooth);
    }
    mesh.triangles.push_back(triangle);
  }
}

gp_XYZ pointOf(const Position& p) {
  return {p[0], p[1], p[2]};
}

/// Twice the area of triangle `t`, as a vector outward; metres.
gp_XYZ areaVector(const GltfMesh& mesh, const Triangle& t) {
  const gp_XYZ origin = pointOf(mesh.positions_m[t[0]]);
  return (pointOf(mesh.positions_m[t[1]]) - origin) ^ (pointOf(mesh.positions_m[t[2]]) - origin);
}

/// Does triangle `t`, as written, have an area, and face as its normals do?
bool agrees(const GltfMesh& mesh, const Triangle& t) {
  const gp_XYZ area = areaVector(mesh, t);
  return area.Modulus() > 0 && std::all_of(t.begin(), t.end(), [&](std::uint32_t corner) {
           return area * pointOf(mesh.normals[corner]) > kLeastFacing * area.Modulus();
         });
}

/// Every directed edge between positions once, and its opposite once.
bool isWatertight(const GltfMesh& mesh) {
  std::map<Position, std::uint64_t> index;
  std::vector<std::uint64_t> edges, opposites;
  for (const Triangle& t : mesh.triangles) {
    std::array<std::uint64_t, 3> ids{};
    for (int i = 0; i < 3; ++i) {
      ids[i] = index.try_emplace(mesh.positions_m[t[i]], index.size()).first->second;
    }
    for (int i = 0; i < 3; ++i) {
      edges.push_back(ids[i] << 32 | ids[(i + 1) % 3]);
      opposites.push_back(ids[(i + 1) % 3] << 32 | ids[i]);
    }
  }
  std::sort(edges.begin(), edges.end());
  std::sort(opposites.begin(), opposites.end());
  return edges == opposites && std::adjacent_find(edges.begin(), edges.end()) == edges.end();
}

bool facesOutward(const GltfMesh& mesh) {
  const gp_XYZ origin = pointOf(mesh.positions_m.front());  // near, so that little cancels
  double six_volumes = 0;
  for (const Triangle& t : mesh.triangles) {
    six_volumes += areaVector(mesh, t) * (pointOf(mesh.positions_m[t[0]]) - origin);
  }
  return six_volumes > 0;
}

void check(const GltfMesh& mesh, const std::string& mark) {
  if (mesh.triangles.empty() || !isWatertight(mesh)) {
    throw ExportError("GLB: " + mark + ": the mesh is not watertight");
  }
  if (!facesOutward(mesh)) {
    throw ExportError("GLB: " + mark + ": the mesh faces inward");
  }
  for (const Triangle& t : mesh.triangles) {
    if (!agrees(mesh, t)) {
      throw ExportError("GLB: " + mark + ": a triangle does not face as its surface does");
    }
  }
}

TopoDS_Shape meshedCopy(const TopoDS_Shape& solid) {
  BRepBuilderAPI_Copy copy(solid, /*copyGeom=*/false, /*copyMesh=*/false);
  IMeshTools_Parameters parameters;
  // Measured: a circle gets twice the sides that the angle asked for would need.
  constexpr double kMesherHalves = 2;
  parameters.Deflection = kGltfLinearDeflectionMm;
  parameters.Angle = kMesherHalves * kGltfAngularDeflectionRad;
  parameters.MeshAlgo = IMeshTools_MeshAlgoType_Delabella;  // the quicker of the two here
  parameters.InParallel = false;                            // same bytes on every machine
  BRepMesh_IncrementalMesh mesher(copy.Shape(), parameters);
  return copy.Shape();
}

}  // namespace

GltfMesh gltfMesh(const Part& part) {
  GltfMesh mesh;
  Corners corners(mesh);
  const TopoDS_Shape solid = meshedCopy(part.solid);
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    addFace(mesh, corners, nodesOf(TopoDS::Face(faces.Current()), part.mark));
  }
  check(mesh, part.mark);
  return mesh;
}

}  // namespace leafstack
