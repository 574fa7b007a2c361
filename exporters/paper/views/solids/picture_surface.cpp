#include "exporters/paper/views/solids/picture_surface.h"

#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <IMeshTools_Parameters.hxx>
#include <Poly_PolygonOnTriangulation.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedDataMapOfShapeListOfShape.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Cylinder.hxx>
#include <gp_Trsf.hxx>
#include <numbers>

#include "exporters/bytes/export_error.h"
#include "generator/geometry/numbers.h"
#include "generator/geometry/triangles.h"

namespace leafstack {
namespace {

// A rounding: a cylinder of about a quarter turn, as small as a hollow section's corner.
constexpr double kRoundingMm = 16;
constexpr double kRoundingLeastDeg = 45, kRoundingMostDeg = 135;

Vec3 vec(const gp_XYZ& p) {
  return {p.X(), p.Y(), p.Z()};
}

Vec3 unit(const Vec3& v) {
  const double length = std::sqrt(dot(v, v));
  return length > 0 ? Vec3{v[0] / length, v[1] / length, v[2] / length} : v;
}

/// One face, read.
struct FaceData {
  Handle(Poly_Triangulation) triangulation;
  TopLoc_Location location;
  std::vector<Vec3> points, normals;  ///< by node
};

class SurfaceReader {
 public:
  explicit SurfaceReader(const TopoDS_Shape& solid) {
    TopExp::MapShapes(solid, TopAbs_FACE, face_index_);
    for (int i = 1; i <= face_index_.Extent(); ++i) {
      readFace(TopoDS::Face(face_index_(i)));
    }
    TopTools_IndexedDataMapOfShapeListOfShape faces_of;
    TopExp::MapShapesAndAncestors(solid, TopAbs_EDGE, TopAbs_FACE, faces_of);
    for (int i = 1; i <= faces_of.Extent(); ++i) {
      const TopTools_ListOfShape& sides = faces_of(i);
      if (sides.Extent() == 2 && !sides.First().IsSame(sides.Last())) {
        readEdge(TopoDS::Edge(faces_of.FindKey(i)), face_index_.FindIndex(sides.First()) - 1,
                 face_index_.FindIndex(sides.Last()) - 1);
      }
    }
  }

  PictureSurface take() { return std::move(result_); }

 private:
  static Vec3 normalAt(const BRepAdaptor_Surface& surface, double u, double v, bool reversed) {
    gp_Pnt point;
    gp_Vec along_u, along_v;
    surface.D1(u, v, point, along_u, along_v);
    const gp_XYZ normal = along_u.XYZ() ^ along_v.XYZ();
    return unit(vec(reversed ? normal.Reversed() : normal));
  }

  void readFace(const TopoDS_Face& face) {
    FaceData data;
    data.triangulation = BRep_Tool::Triangulation(face, data.location);
    if (data.triangulation.IsNull() || !data.triangulation->HasUVNodes()) {
      throw ExportError("picture: the kernel could not mesh a face");
    }
    const BRepAdaptor_Surface surface(face);
    const bool reversed = face.Orientation() == TopAbs_REVERSED;
    const gp_Trsf motion = data.location.Transformation();
    for (int n = 1; n <= data.triangulation->NbNodes(); ++n) {
      const gp_Pnt2d at = data.triangulation->UVNode(n);
      data.points.push_back(vec(data.triangulation->Node(n).Transformed(motion).XYZ()));
      data.normals.push_back(normalAt(surface, at.X(), at.Y(), reversed));
    }
    const bool is_rounding = readRounding(surface, reversed);
    addTriangles(data, surface, {reversed, is_rounding});
    faces_.push_back(std::move(data));
  }

  /// Adds the middle line of a rounding, with the normals of what it joins.
  bool readRounding(const BRepAdaptor_Surface& surface, bool reversed) {
    if (surface.GetType() != GeomAbs_Cylinder || surface.Cylinder().Radius() > kRoundingMm) {
      return false;
    }
    const double from = surface.FirstUParameter();
    const double to = surface.LastUParameter();
    if (to - from < kRoundingLeastDeg / kDegreesPerRadian ||
        to - from > kRoundingMostDeg / kDegreesPerRadian) {
      return false;
    }
    SurfaceEdge edge;
    edge.rounding_mm = surface.Cylinder().Radius();
    for (double v : {surface.FirstVParameter(), surface.LastVParameter()}) {
      const gp_Pnt middle = surface.Value((from + to) / 2, v);
      edge.points.push_back(vec(middle.XYZ()));
      edge.normals_a.push_back(normalAt(surface, from, v, reversed));
      edge.normals_b.push_back(normalAt(surface, to, v, reversed));
      edge.into_a.push_back(unit(vec(surface.Value(from, v).XYZ() - middle.XYZ())));
      edge.into_b.push_back(unit(vec(surface.Value(to, v).XYZ() - middle.XYZ())));
    }
    result_.edges.push_back(edge);
    return true;
  }

  struct FaceTraits {
    bool reversed = false, is_rounding = false;
  };

  static bool isSlender(const BRepAdaptor_Surface& surface) {
    return surface.GetType() == GeomAbs_Cylinder && surface.Cylinder().Radius() <= kRoundingMm;
  }

  void addTriangles(const FaceData& data, const BRepAdaptor_Surface& surface, FaceTraits traits) {
    const bool flat = surface.GetType() == GeomAbs_Plane;
    const bool slender = !traits.is_rounding && isSlender(surface);
    for (int t = 1; t <= data.triangulation->NbTriangles(); ++t) {
      std::array<int, 3> nodes{};
      data.triangulation->Triangle(t).Get(nodes[0], nodes[1], nodes[2]);
      if (traits.reversed) {
        std::swap(nodes[1], nodes[2]);
      }
      SurfaceTriangle triangle;
      for (int i = 0; i < 3; ++i) {
        triangle.corners[i] = data.points[nodes[i] - 1];
        triangle.normals[i] = data.normals[nodes[i] - 1];
      }
      const auto& c = triangle.corners;
      triangle.shade_normal = unit(cross(minus(c[1], c[0]), minus(c[2], c[0])));
      triangle.curved = !flat && !traits.is_rounding;
      triangle.slender = slender;
      if (traits.is_rounding) {
        const SurfaceEdge& edge = result_.edges.back();
        const Vec3& a = edge.normals_a.front();
        const Vec3& b = edge.normals_b.front();
        const Vec3& own = triangle.shade_normal;
        triangle.shade_normal = dot(own, a) >= dot(own, b) ? a : b;
      }
      result_.triangles.push_back(triangle);
    }
  }

  void readEdge(const TopoDS_Edge& edge, int a, int b) {
    const auto on_a =
        BRep_Tool::PolygonOnTriangulation(edge, faces_[a].triangulation, faces_[a].location);
    const auto on_b =
        BRep_Tool::PolygonOnTriangulation(edge, faces_[b].triangulation, faces_[b].location);
    if (on_a.IsNull() || on_b.IsNull() || on_a->NbNodes() != on_b->NbNodes()) {
      return;  // the point of a cone: no line
    }
    SurfaceEdge line;
    for (int i = 1; i <= on_a->NbNodes(); ++i) {
      line.points.push_back(faces_[a].points[on_a->Node(i) - 1]);
      line.normals_a.push_back(faces_[a].normals[on_a->Node(i) - 1]);
      line.normals_b.push_back(faces_[b].normals[on_b->Node(i) - 1]);
    }
    addInto(line, isForward(edge, a), isForward(edge, b));
    const std::size_t middle = line.points.size() / 2;
    if (dot(line.normals_a[middle], line.normals_b[middle]) <
        std::cos(kSmoothDeg / kDegreesPerRadian)) {
      result_.edges.push_back(std::move(line));
    }
  }

  /// Whether face `index` (anticlockwise about its outward normal) runs along the edge's own sense.
  bool isForward(const TopoDS_Edge& edge, int index) const {
    for (TopExp_Explorer edges(face_index_(index + 1), TopAbs_EDGE); edges.More(); edges.Next()) {
      if (edges.Current().IsSame(edge)) {
        return edges.Current().Orientation() == TopAbs_FORWARD;
      }
    }
    return true;
  }

  static void addInto(SurfaceEdge& line, bool forward_a, bool forward_b) {
    const std::size_t count = line.points.size();
    for (std::size_t i = 0; i < count; ++i) {
      const Vec3 along =
          minus(line.points[std::min(i + 1, count - 1)], line.points[i == 0 ? 0 : i - 1]);
      const Vec3 back = minus({}, along);
      // The face lies to the left of an edge that it runs along.
      line.into_a.push_back(unit(cross(line.normals_a[i], forward_a ? along : back)));
      line.into_b.push_back(unit(cross(line.normals_b[i], forward_b ? along : back)));
    }
  }

  TopTools_IndexedMapOfShape face_index_;
  std::vector<FaceData> faces_;  ///< by index less one
  PictureSurface result_;
};

bool isMeshed(const TopoDS_Shape& solid) {
  TopTools_IndexedMapOfShape faces;
  TopExp::MapShapes(solid, TopAbs_FACE, faces);
  for (int i = 1; i <= faces.Extent(); ++i) {
    TopLoc_Location location;
    if (BRep_Tool::Triangulation(TopoDS::Face(faces(i)), location).IsNull()) {
      return false;
    }
  }
  return true;
}

}  // namespace

PictureSurface pictureSurface(const TopoDS_Shape& solid) {
  TopoDS_Shape meshed = solid;
  if (!isMeshed(solid)) {
    meshed = BRepBuilderAPI_Copy(solid).Shape();  // others may read the solid at this moment
    IMeshTools_Parameters parameters;
    parameters.Deflection = kMeshDeflectionMm;
    constexpr double kMeshAngleRad = 0.7;
    parameters.Angle = kMeshAngleRad;
    parameters.MeshAlgo = IMeshTools_MeshAlgoType_Delabella;
    BRepMesh_IncrementalMesh(meshed, parameters);
  }
  return SurfaceReader(meshed).take();
}

PictureSurface placed(const PictureSurface& surface, const TopLoc_Location& location) {
  const gp_Trsf motion = location.Transformation();
  const auto move = [&](Vec3& point) {
    gp_XYZ p(point[0], point[1], point[2]);
    motion.Transforms(p);
    point = vec(p);
  };
  const auto turn = [&](Vec3& direction) {
    direction = vec(gp_Vec(direction[0], direction[1], direction[2]).Transformed(motion).XYZ());
  };
  PictureSurface moved = surface;
  for (SurfaceTriangle& triangle : moved.triangles) {
    for (int i = 0; i < 3; ++i) {
      move(triangle.corners[i]);
      turn(triangle.normals[i]);
    }
    turn(triangle.shade_normal);
  }
  for (SurfaceEdge& edge : moved.edges) {
    for (std::size_t i = 0; i < edge.points.size(); ++i) {
      move(edge.points[i]);
      turn(edge.normals_a[i]);
      turn(edge.normals_b[i]);
      turn(edge.into_a[i]);
      turn(edge.into_b[i]);
    }
  }
  return moved;
}

}  // namespace leafstack
