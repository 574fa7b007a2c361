// The one mesh of a part: properties P1 to P6 of part_mesh.h on every part of many gates, at every
// accuracy that some output asks for. Judges: the solid's own topology (Euler and Poincaré's
// formula), the kernel's exact volumes, and the surfaces' formulas.
#include "generator/geometry/mesh/part_mesh.h"

#include <gtest/gtest.h>

#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRep_Tool.hxx>
#include <GeomAPI_ProjectPointOnSurf.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "generator/occt/checked.h"
#include "tests/support/built_gates.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

constexpr double kDegree = std::numbers::pi / 180;
// The kernel's own tolerance, with which its edges lie on its faces.
constexpr double kMeshOnFaceMm = 2e-7;

/// Those of the clash check, of STL, of GLB, and coarse.
const std::vector<MeshAccuracy>& accuracies() {
  static const std::vector<MeshAccuracy> all = {
      {0.05}, {0.01}, {0.1, 20 * kDegree}, {0.2, 12 * kDegree, true}, {0.8}};
  return all;
}

/// Vertices - edges + faces - holes in faces: 2 (shells - holes through the solid), whatever the
/// solid is cut into. Seams count, tips of cones do not.
int eulerOf(const TopoDS_Shape& solid) {
  TopTools_IndexedMapOfShape vertices, edges, faces;
  TopExp::MapShapes(solid, TopAbs_VERTEX, vertices);
  TopExp::MapShapes(solid, TopAbs_EDGE, edges);
  TopExp::MapShapes(solid, TopAbs_FACE, faces);
  int count = vertices.Extent() + faces.Extent();
  for (int i = 1; i <= edges.Extent(); ++i) {
    count -= BRep_Tool::Degenerated(TopoDS::Edge(edges(i))) ? 0 : 1;
  }
  for (int i = 1; i <= faces.Extent(); ++i) {
    int wires = 0;
    for (TopExp_Explorer around(faces(i), TopAbs_WIRE); around.More(); around.Next()) {
      ++wires;
    }
    count -= wires - 1;
  }
  return count;
}

int eulerOf(const PartMesh& mesh) {
  std::vector<std::pair<int, int>> edges;
  for (const MeshTriangle& triangle : mesh.triangles) {
    for (int i = 0; i < 3; ++i) {
      edges.push_back(std::minmax(triangle.points[i], triangle.points[(i + 1) % 3]));
    }
  }
  std::sort(edges.begin(), edges.end());
  edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
  return static_cast<int>(mesh.points.size()) - static_cast<int>(edges.size()) +
         static_cast<int>(mesh.triangles.size());
}

/// What a mesh is held against.
struct Judge {
  explicit Judge(const TopoDS_Shape& solid)
      : euler(eulerOf(solid)),
        volume_mm3(massProperties(solid).volume_mm3),
        area_mm2(surfaceArea(solid)) {}
  int euler;
  double volume_mm3, area_mm2;
};

/// P1, P2, P4's limit.
void expectSound(const PartMesh& mesh, const Judge& solid, const MeshAccuracy& accuracy) {
  ASSERT_TRUE(mesh.isClosed());
  EXPECT_EQ(eulerOf(mesh), solid.euler) << "as many holes through it";
  constexpr double kRounding = 1e-9;
  EXPECT_NEAR(mesh.volumeMm3(), solid.volume_mm3,
              solid.area_mm2 * mesh.errorMm() + kRounding * solid.volume_mm3);
  constexpr double kSteepest = 0.3;  // the steepest cut of the gates here rises less for every mm
  EXPECT_LE(mesh.errorMm(), accuracy.deflection_mm * std::hypot(1, kSteepest));
  for (const MeshTriangle& triangle : mesh.triangles) {
    EXPECT_GT(norm(mesh.flatNormal(triangle)), 0.5) << "a triangle without an area";
  }
}

/// P6.
void expectSameAgain(const PartMesh& mesh, const PartMesh& again) {
  EXPECT_EQ(again.points, mesh.points);
  ASSERT_EQ(again.triangles.size(), mesh.triangles.size());
  for (std::size_t i = 0; i < again.triangles.size(); ++i) {
    EXPECT_EQ(again.triangles[i].points, mesh.triangles[i].points);
  }
}

/// Every part at every accuracy; those of one identity, which are one solid, once in all gates.
void expectPartsSound(const Model& model, const std::string& gate) {
  static std::set<std::string> seen;
  for (const Part& part : model.parts) {
    if (!seen.insert(part.identity).second) {
      continue;
    }
    SCOPED_TRACE(part.mark + " " + part.name + " of " + gate);
    const Judge judge(part.solid);
    for (const MeshAccuracy& accuracy : accuracies()) {
      ASSERT_NO_FATAL_FAILURE(expectSound(partMesh(part.solid, accuracy), judge, accuracy));
    }
    const MeshAccuracy coarse = accuracies().back();
    expectSameAgain(partMesh(part.solid, coarse), partMesh(part.solid, coarse));
  }
}

TEST(PartMesh, EveryPartOfTheMatrixIsClosedOutwardAndTrue) {
  for (const gates::Built& built : gates::builtMatrix()) {
    expectPartsSound(built.model, built.text);
  }
}

TEST(PartMesh, EveryPartOfRandomGatesIsClosedOutwardAndTrue) {
  gates::GateDice dice(1771);
  for (int i = 0; i < gates::rounds(5, 12); ++i) {
    gates::Json file = dice.gate();
    file["site"]["grade"] = 0.02 * (i % 4);
    const GateSpec spec = gates::specOf(file);
    const LayoutResult laid_out = layOut(spec);
    if (laid_out.problems.empty()) {
      expectPartsSound(buildModel(spec, laid_out.layout), file.dump());
    }
  }
}

/// P3, and normals that are the surface's own.
void expectOnFaces(const PartMesh& mesh, const TopoDS_Shape& solid) {
  std::vector<Handle(Geom_Surface)> surfaces;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    surfaces.push_back(BRep_Tool::Surface(TopoDS::Face(faces.Current())));
  }
  ASSERT_EQ(static_cast<int>(surfaces.size()), mesh.face_count);
  constexpr std::size_t kMostOfAPart = 60;  // the kernel's projections are slow
  const std::size_t stride = 1 + mesh.triangles.size() / kMostOfAPart;
  for (std::size_t i = 0; i < mesh.triangles.size(); i += stride) {
    const MeshTriangle& triangle = mesh.triangles[i];
    const Handle(Geom_Surface)& surface = surfaces[triangle.face];
    for (int corner = 0; corner < 3; ++corner) {
      const Vec3& at = mesh.points[triangle.points[corner]];
      const GeomAPI_ProjectPointOnSurf nearest(gp_Pnt(at[0], at[1], at[2]), surface);
      ASSERT_GT(nearest.NbPoints(), 0);
      EXPECT_LE(nearest.LowerDistance(), kMeshOnFaceMm);
      EXPECT_NEAR(norm(mesh.normals[i][corner]), 1, 1e-9);
      EXPECT_GT(dot(mesh.normals[i][corner], mesh.flatNormal(triangle)), std::cos(20 * kDegree));
    }
  }
}

TEST(PartMesh, PointsLieOnTheirFacesAndNormalsAreTheirs) {
  const Model model = gates::modelWith({{"/gate/panels", 2}, {"/site/grade", 0.04}});
  for (const Part& part : model.parts) {
    SCOPED_TRACE(part.mark + " " + part.name);
    expectOnFaces(partMesh(part.solid, {0.2, 12 * kDegree, true}), part.solid);
  }
}

TEST(PartMesh, TheAngleLimitsEveryStep) {  // P5
  for (double limit_deg : {45.0, 20.0, 7.0}) {
    // Coarse enough for the angle to govern: chords of a circle of 10 in equal steps.
    const PartMesh rod =
        partMesh(BRepPrimAPI_MakeCylinder(10, 30).Solid(), {5, limit_deg * kDegree});
    const int steps = static_cast<int>(std::ceil(360 / limit_deg));
    EXPECT_EQ(rod.points.size(), 2U * steps);
    EXPECT_NEAR(rod.errorMm(), 10 * (1 - std::cos(std::numbers::pi / steps)), 1e-9);
  }
}

TEST(PartMesh, PolesTipsAndSeamsAreSinglePoints) {
  const TopoDS_Shape solids[] = {
      BRepPrimAPI_MakeSphere(40).Solid(), BRepPrimAPI_MakeCone(30, 0, 80).Solid(),
      BRepPrimAPI_MakeTorus(30, 6).Solid(), BRepPrimAPI_MakeTorus(30, 6, 2.0).Solid(),
      BRepPrimAPI_MakeCylinder(15, 80, 2.1).Solid()};
  for (const TopoDS_Shape& solid : solids) {
    for (const MeshAccuracy& accuracy : accuracies()) {
      ASSERT_NO_FATAL_FAILURE(expectSound(partMesh(solid, accuracy), Judge(solid), accuracy));
    }
  }
}

TEST(PartMesh, AnotherFaceGoesToTheKernelsMesher) {
  // Two round bars that cross: their common curve is of no kind that our own steps follow.
  const TopoDS_Shape crossed =
      BRepAlgoAPI_Cut(BRepPrimAPI_MakeCylinder(15, 80).Shape(),
                      BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(0, -40, 40), gp::DY()), 9, 80).Shape())
          .Shape();
  const PartMesh mesh = partMesh(crossed, {0.1});
  EXPECT_TRUE(mesh.isClosed());
  EXPECT_EQ(eulerOf(mesh), 0) << "one hole through it";
  const double volume = massProperties(crossed).volume_mm3;
  EXPECT_NEAR(mesh.volumeMm3(), volume, surfaceArea(crossed) * mesh.errorMm());
}

TEST(PartMesh, AnOpenMeshIsSeen) {
  PartMesh mesh = partMesh(BRepPrimAPI_MakeBox(1, 2, 3).Shape(), {0.1});
  ASSERT_TRUE(mesh.isClosed());
  PartMesh turned = mesh;
  std::swap(turned.triangles[5].points[0], turned.triangles[5].points[1]);
  EXPECT_FALSE(turned.isClosed());
  mesh.triangles.pop_back();
  EXPECT_FALSE(mesh.isClosed());
}

}  // namespace
}  // namespace leafstack
