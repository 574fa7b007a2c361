#include "exporters/stl.h"

#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepTools.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Plane.hxx>
#include <IMeshTools_Parameters.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <unordered_map>
#include <vector>

#include "exporters/export_error.h"
#include "exporters/provenance.h"

namespace leafstack {
namespace {

constexpr std::size_t kHeaderBytes = 80;
constexpr std::size_t kTriangleBytes = 50;

using Corner = std::array<float, 3>;
using Triangle = std::array<std::uint32_t, 3>;

/// Corners that are equal as written are one corner.
struct CornerHash {
  std::size_t operator()(const Corner& c) const {
    std::size_t hash = 0;
    for (const float value : c) {
      hash = hash * 0x9E3779B97F4A7C15ULL + std::bit_cast<std::uint32_t>(value);
    }
    return hash ^ (hash >> 29);
  }
};

struct Mesh {
  std::vector<Corner> corners;
  std::vector<Triangle> triangles;
  std::unordered_map<Corner, std::uint32_t, CornerHash> index;

  std::uint32_t corner(const gp_Pnt& p) {
    // Adding zero turns -0 into 0, which has to weld with it.
    const Corner c = {static_cast<float>(p.X()) + 0.0F, static_cast<float>(p.Y()) + 0.0F,
                      static_cast<float>(p.Z()) + 0.0F};
    const auto [it, is_new] = index.try_emplace(c, static_cast<std::uint32_t>(corners.size()));
    if (is_new) {
      corners.push_back(c);
    }
    return it->second;
  }
  gp_XYZ at(std::uint32_t i) const { return {corners[i][0], corners[i][1], corners[i][2]}; }
};

/// One face's triangulation with its surface, both in the face's own location.
struct FaceMesh {
  Handle(Poly_Triangulation) triangulation;
  Handle(Geom_Surface) surface;
  TopLoc_Location location;
  bool reversed = false;
};

/// Distance of the surface at the mean of the corners' parameters from the flat between them.
double sag(const FaceMesh& face, const std::array<int, 3>& nodes, const gp_XYZ& weights) {
  const Poly_Triangulation& mesh = *face.triangulation;
  gp_XYZ flat(0, 0, 0);
  gp_XY parameters(0, 0);
  for (int i = 0; i < 3; ++i) {
    flat += weights.Coord(i + 1) * mesh.Node(nodes[i]).XYZ();
    parameters += weights.Coord(i + 1) * mesh.UVNode(nodes[i]).XY();
  }
  const gp_XYZ offset = face.surface->Value(parameters.X(), parameters.Y()).XYZ() - flat;
  const gp_XYZ a = mesh.Node(nodes[0]).XYZ();
  const gp_XYZ normal = (mesh.Node(nodes[1]).XYZ() - a) ^ (mesh.Node(nodes[2]).XYZ() - a);
  const double length = normal.Modulus();
  // A sliver has no normal to speak of; the whole offset is the safe answer.
  return length < gp::Resolution() ? offset.Modulus() : std::abs(offset * normal) / length;
}

double deflectionOf(const FaceMesh& face) {
  if (face.surface->IsKind(STANDARD_TYPE(Geom_Plane)) || !face.triangulation->HasUVNodes()) {
    return 0;
  }
  static const gp_XYZ kProbes[] = {
      {1. / 3, 1. / 3, 1. / 3}, {0.5, 0.5, 0}, {0, 0.5, 0.5}, {0.5, 0, 0.5}};
  double worst = 0;
  for (int t = 1; t <= face.triangulation->NbTriangles(); ++t) {
    std::array<int, 3> nodes{};
    face.triangulation->Triangle(t).Get(nodes[0], nodes[1], nodes[2]);
    for (const gp_XYZ& weights : kProbes) {
      worst = std::max(worst, sag(face, nodes, weights));
    }
  }
  return worst;
}

void addFace(Mesh& mesh, const FaceMesh& face) {
  const bool moved = !face.location.IsIdentity();
  const gp_Trsf motion = face.location.Transformation();
  std::vector<std::uint32_t> ids;
  for (int n = 1; n <= face.triangulation->NbNodes(); ++n) {
    const gp_Pnt p = face.triangulation->Node(n);
    ids.push_back(mesh.corner(moved ? p.Transformed(motion) : p));
  }
  for (int t = 1; t <= face.triangulation->NbTriangles(); ++t) {
    int a = 0, b = 0, c = 0;
    face.triangulation->Triangle(t).Get(a, b, c);
    if (face.reversed != motion.IsNegative()) {
      std::swap(b, c);
    }
    const Triangle triangle = {ids[a - 1], ids[b - 1], ids[c - 1]};
    // Two corners that become one in single precision: the triangle has no area, drop it.
    if (triangle[0] != triangle[1] && triangle[1] != triangle[2] && triangle[2] != triangle[0]) {
      mesh.triangles.push_back(triangle);
    }
  }
}

/// Every directed edge once, and its opposite once.
bool isWatertight(const Mesh& mesh) {
  std::vector<std::uint64_t> edges, opposites;
  edges.reserve(mesh.triangles.size() * 3);
  opposites.reserve(mesh.triangles.size() * 3);
  for (const Triangle& t : mesh.triangles) {
    for (int i = 0; i < 3; ++i) {
      const std::uint64_t from = t[i];
      const std::uint64_t to = t[(i + 1) % 3];
      edges.push_back(from << 32 | to);
      opposites.push_back(to << 32 | from);
    }
  }
  std::sort(edges.begin(), edges.end());
  std::sort(opposites.begin(), opposites.end());
  return edges == opposites && std::adjacent_find(edges.begin(), edges.end()) == edges.end();
}

double volume(const Mesh& mesh) {
  const gp_XYZ origin = mesh.at(mesh.triangles.front()[0]);  // near, so that little cancels
  double six_volumes = 0;
  for (const Triangle& t : mesh.triangles) {
    const gp_XYZ a = mesh.at(t[0]) - origin;
    six_volumes += a * ((mesh.at(t[1]) - origin) ^ (mesh.at(t[2]) - origin));
  }
  return six_volumes / 6;
}

void appendFloat(std::string& out, double value) {
  const auto bits = std::bit_cast<std::uint32_t>(static_cast<float>(value));
  for (int shift = 0; shift < 32; shift += 8) {
    out.push_back(static_cast<char>((bits >> shift) & 0xFF));
  }
}

std::string fileOf(const Mesh& mesh, const std::string& mark) {
  std::string out = programName();
  out.append(" binary STL, mm, part ").append(mark);
  out.resize(kHeaderBytes, ' ');
  out.reserve(kHeaderBytes + 4 + mesh.triangles.size() * kTriangleBytes);
  for (int shift = 0; shift < 32; shift += 8) {
    out.push_back(static_cast<char>((mesh.triangles.size() >> shift) & 0xFF));
  }
  for (const Triangle& t : mesh.triangles) {
    const gp_XYZ a = mesh.at(t[0]);
    gp_XYZ normal = (mesh.at(t[1]) - a) ^ (mesh.at(t[2]) - a);
    const double length = normal.Modulus();
    normal = length > 0 ? normal / length : gp_XYZ(0, 0, 0);
    for (int axis = 1; axis <= 3; ++axis) {
      appendFloat(out, normal.Coord(axis));
    }
    for (const std::uint32_t corner : t) {
      for (const float value : mesh.corners[corner]) {
        appendFloat(out, value);
      }
    }
    out.append(2, '\0');
  }
  return out;
}

bool isMeshed(const TopoDS_Shape& solid) {
  TopLoc_Location location;
  for (TopExp_Explorer it(solid, TopAbs_FACE); it.More(); it.Next()) {
    if (BRep_Tool::Triangulation(TopoDS::Face(it.Current()), location).IsNull()) {
      return false;
    }
  }
  return true;
}

void triangulate(const TopoDS_Shape& solid) {
  BRepTools::Clean(solid);
  IMeshTools_Parameters parameters;
  parameters.Deflection = kStlLinearDeflectionMm;
  parameters.Angle = kStlAngularDeflectionRad;
  parameters.MeshAlgo = IMeshTools_MeshAlgoType_Delabella;  // the quicker of the two here
  parameters.InParallel = false;                            // same bytes on every machine
  BRepMesh_IncrementalMesh mesher(solid, parameters);
}

struct MeasuredMesh {
  Mesh mesh;
  double deflection_mm = 0;
};

MeasuredMesh collect(const Part& part) {
  MeasuredMesh result;
  for (TopExp_Explorer it(part.solid, TopAbs_FACE); it.More(); it.Next()) {
    const TopoDS_Face& topo_face = TopoDS::Face(it.Current());
    FaceMesh face;
    face.triangulation = BRep_Tool::Triangulation(topo_face, face.location);
    if (face.triangulation.IsNull()) {
      throw ExportError("STL: " + part.mark + ": the kernel left a face without triangles");
    }
    TopLoc_Location surface_location;  // the same as the triangulation's
    face.surface = BRep_Tool::Surface(topo_face, surface_location);
    face.reversed = topo_face.Orientation() == TopAbs_REVERSED;
    addFace(result.mesh, face);
    result.deflection_mm = std::max(result.deflection_mm, deflectionOf(face));
  }
  return result;
}

}  // namespace

StlMesh stlMesh(const Part& part) {
  const bool was_meshed = isMeshed(part.solid);
  if (!was_meshed) {
    triangulate(part.solid);
  }
  MeasuredMesh measured = collect(part);
  if (was_meshed && measured.deflection_mm > kStlLinearDeflectionMm) {
    triangulate(part.solid);  // what was there is too coarse
    measured = collect(part);
  }
  const Mesh& mesh = measured.mesh;
  if (mesh.triangles.empty() || !isWatertight(mesh)) {
    throw ExportError("STL: " + part.mark + ": the mesh is not watertight");
  }
  StlMesh result;
  result.deflection_mm = measured.deflection_mm;
  result.volume_mm3 = volume(mesh);
  if (!(result.volume_mm3 > 0)) {
    throw ExportError("STL: " + part.mark + ": the mesh faces inward");
  }
  result.triangles = static_cast<int>(mesh.triangles.size());
  result.file = fileOf(mesh, part.mark);
  return result;
}

}  // namespace leafstack
