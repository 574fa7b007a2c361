#include "exporters/paper/views/solids/view_solid.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRep_Tool.hxx>
#include <Geom2d_Curve.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <gp_Circ.hxx>
#include <gp_Elips.hxx>
#include <gp_Pln.hxx>
#include <map>

#include "exporters/paper/views/solids/view_types.h"
#include "generator/geometry/mesh/kernel_vec.h"
#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

// Faces that meet at less than this are tangent: their outline, if any, is the round face's own.
constexpr double kTangentDeg = 0.5;
// Places along a round edge where its faces' angle is looked at.
constexpr int kAngleSamples = 8;
// Chords for edges that are neither straight nor round.
constexpr int kOtherPieces = 32;

Ring ringOf(const gp_Ax2& axes, double along_x, double along_y) {
  return {toVec(axes.Location().XYZ()), plus({}, toVec(axes.XDirection().XYZ()), along_x),
          plus({}, toVec(axes.YDirection().XYZ()), along_y)};
}

Vec3 middleOf(const SpacePiece& piece) {
  return piece.is_arc ? piece.ring.at((piece.angles.from + piece.angles.to) / 2)
                      : plus(piece.from, minus(piece.to, piece.from), 0.5);
}

/// Outward normal of a face of any kind beside its edge.
Vec3 normalBeside(const TopoDS_Face& face, const TopoDS_Edge& edge, double parameter) {
  double from = 0;
  double to = 0;
  const auto curve = BRep_Tool::CurveOnSurface(edge, face, from, to);
  if (curve.IsNull()) {
    return {};
  }
  const gp_Pnt2d at = curve->Value(parameter);
  gp_Pnt point;
  gp_Vec along_u;
  gp_Vec along_v;
  BRepAdaptor_Surface(face).D1(at.X(), at.Y(), point, along_u, along_v);
  const Vec3 normal = unit(cross(toVec(along_u.XYZ()), toVec(along_v.XYZ())));
  return face.Orientation() == TopAbs_REVERSED ? minus({}, normal) : normal;
}

}  // namespace

std::shared_ptr<const ViewSolid> viewSolid(const TopoDS_Shape& solid) {
  return std::make_shared<const ViewSolid>(solid);
}

ViewSolid::ViewSolid(const TopoDS_Shape& solid) : mesh_(partMesh(solid, {kMeshDeflectionMm})) {
  TopTools_IndexedMapOfShape edges;
  std::vector<std::vector<EdgeSide>> sides;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    for (TopExp_Explorer around(face, TopAbs_EDGE); around.More(); around.Next()) {
      const std::size_t index = edges.Add(around.Current());
      sides.resize(std::max(sides.size(), index));
      sides[index - 1].push_back(
          {static_cast<int>(faces_.size()), around.Current().Orientation() == TopAbs_FORWARD, {}});
    }
    readFace(face);
  }
  for (std::size_t i = 0; i < sides.size(); ++i) {
    const TopoDS_Edge edge = TopoDS::Edge(edges(static_cast<int>(i) + 1));
    // The seam of a round face has it on both sides; the tip of a cone is no line.
    if (sides[i].size() == 2 && sides[i][0].face != sides[i][1].face &&
        !BRep_Tool::Degenerated(edge)) {
      readEdge(edge, {sides[i][0], sides[i][1]});
    }
  }
  shapes_.clear();
}

void ViewSolid::readFace(const TopoDS_Face& face) {
  const BRepAdaptor_Surface surface(face);
  ViewFace read;
  read.is_flat = surface.GetType() == GeomAbs_Plane;
  if (read.is_flat) {
    const gp_Ax3 frame = surface.Plane().Position();
    const Vec3 normal =
        unit(cross(toVec(frame.XDirection().XYZ()), toVec(frame.YDirection().XYZ())));
    read.normal = face.Orientation() == TopAbs_REVERSED ? minus({}, normal) : normal;
    read.origin = toVec(frame.Location().XYZ());
  } else {
    read.round = RoundFace::of(face, surface);
  }
  read.first_triangle =
      faces_.empty() ? 0 : faces_.back().first_triangle + faces_.back().triangle_count;
  const auto first = mesh_.triangles.begin() + read.first_triangle;
  const auto beyond = std::find_if(first, mesh_.triangles.end(), [&](const MeshTriangle& one) {
    return one.face != static_cast<int>(faces_.size());
  });
  read.triangle_count = static_cast<int>(beyond - first);
  faces_.push_back(read);
  shapes_.push_back(face);
}

void ViewSolid::readEdge(const TopoDS_Edge& edge, const std::array<EdgeSide, 2>& sides) {
  const BRepAdaptor_Curve curve(edge);
  const double from = curve.FirstParameter();
  const double to = curve.LastParameter();
  const auto add = [&](const SpacePiece& piece, double middle) {
    SolidEdge read{piece, sides, false};
    for (EdgeSide& side : read.sides) {
      const ViewFace& face = faces_[side.face];
      side.middle_normal = face.is_flat ? face.normal
                           : face.round ? face.round->normalAt(middleOf(piece))
                                        : normalBeside(shapes_[side.face], edge, middle);
    }
    addEdge(read);
  };
  switch (curve.GetType()) {
    case GeomAbs_Line:
      return add(SpacePiece::straight(toVec(curve.Value(from).XYZ()), toVec(curve.Value(to).XYZ())),
                 (from + to) / 2);
    case GeomAbs_Circle:
      return add(SpacePiece::arc(ringOf(curve.Circle().Position(), curve.Circle().Radius(),
                                        curve.Circle().Radius()),
                                 {from, to}),
                 (from + to) / 2);
    case GeomAbs_Ellipse:
      return add(SpacePiece::arc(ringOf(curve.Ellipse().Position(), curve.Ellipse().MajorRadius(),
                                        curve.Ellipse().MinorRadius()),
                                 {from, to}),
                 (from + to) / 2);
    default:
      for (int i = 0; i < kOtherPieces; ++i) {
        const double a = std::lerp(from, to, static_cast<double>(i) / kOtherPieces);
        const double b = std::lerp(from, to, (i + 1.0) / kOtherPieces);
        add(SpacePiece::straight(toVec(curve.Value(a).XYZ()), toVec(curve.Value(b).XYZ())),
            (a + b) / 2);
      }
  }
}

/// Leaves tangent edges out.
void ViewSolid::addEdge(SolidEdge edge) {
  double least_cosine = dot(edge.sides[0].middle_normal, edge.sides[1].middle_normal);
  const Interval& angles = edge.piece.angles;
  for (int i = 0; i <= kAngleSamples; ++i) {
    const double share = static_cast<double>(i) / kAngleSamples;
    const Vec3 point = edge.piece.is_arc
                           ? edge.piece.ring.at(std::lerp(angles.from, angles.to, share))
                           : plus(edge.piece.from, minus(edge.piece.to, edge.piece.from), share);
    least_cosine =
        std::min(least_cosine, dot(normalAt(edge.sides[0], point), normalAt(edge.sides[1], point)));
  }
  if (least_cosine < std::cos(kTangentDeg / kDegreesPerRadian)) {
    edge.is_shallow = least_cosine > std::cos(kSmoothDeg / kDegreesPerRadian);
    edges_.push_back(edge);
  }
}

Vec3 ViewSolid::normalAt(const EdgeSide& side, const Vec3& point) const {
  const ViewFace& face = faces_[side.face];
  return face.round ? face.round->normalAt(point) : side.middle_normal;
}

std::vector<OutlinePiece> ViewSolid::outlines(int face, const Vec3& toward) const {
  const ViewFace& asked = faces_[face];
  if (asked.is_flat) {
    return {};
  }
  return asked.round ? asked.round->outlines(toward) : meshOutlines(asked, toward);
}

std::vector<OutlinePiece> ViewSolid::meshOutlines(const ViewFace& face, const Vec3& toward) const {
  std::map<std::array<int, 2>, int> fronts_less_backs;  // by border: 0 between a front and a back
  std::map<std::array<int, 2>, int> uses;
  for (int t = face.first_triangle; t < face.first_triangle + face.triangle_count; ++t) {
    const auto& corners = mesh_.triangles[t].points;
    const Vec3 normal = mesh_.flatNormal(mesh_.triangles[t]);
    for (int i = 0; i < 3; ++i) {
      const auto [low, high] = std::minmax(corners[i], corners[(i + 1) % 3]);
      fronts_less_backs[{low, high}] += dot(normal, toward) > 0 ? 1 : -1;
      ++uses[{low, high}];
    }
  }
  std::vector<OutlinePiece> found;
  for (const auto& [ends, sum] : fronts_less_backs) {
    if (sum == 0 && uses[ends] == 2) {
      found.push_back({SpacePiece::straight(mesh_.points[ends[0]], mesh_.points[ends[1]]), false});
    }
  }
  return found;
}

}  // namespace leafstack
