// GLB files read back as bytes, by the reader of glb_reader.h: structure, names, units, axes,
// placements, and closed meshes true to the solids.
#include <gtest/gtest.h>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRep_Tool.hxx>
#include <TopExp_Explorer.hxx>

#include <array>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/mesh/gltf.h"
#include "exporters/cad/mesh/gltf_mesh.h"
#include "exporters/cad/mesh/stl.h"
#include "tests/support/built_gates.h"
#include "tests/support/export_toy_model.h"
#include "tests/support/glb_reader.h"

namespace leafstack {
namespace {

using namespace glb;

const Provenance kProvenance = {"2024-05-01T12:00:00Z", std::string(64, 'a')};
/// 32-bit floats of up to 8 m are good to half of this.
constexpr double kFloatMm = 1e-3;

Model gateOf(int panels, const char* hand, double grade) {
  return gates::modelWith({{"/site/opening_mm", 3000 + 1200 * panels},
                           {"/gate/panels", panels},
                           {"/site/opens", hand},
                           {"/site/grade", grade}});
}

struct Sample {
  std::string name;
  Model model;
  Glb glb = Glb(glbFile(model, kProvenance));
};

/// Toy and real gates, both hands, level and sloping, built and written once.
const std::vector<Sample>& samples() {
  static const std::vector<Sample> all = {{"toy, right", toy::model(Hand::kRight)},
                                          {"toy, left", toy::model(Hand::kLeft)},
                                          {"1 panel", gateOf(1, "right", 0)},
                                          {"2 panels", gateOf(2, "left", 0)},
                                          {"3 panels on a slope", gateOf(3, "right", 0.1)},
                                          {"4 panels on a slope", gateOf(4, "left", 0.1)}};
  return all;
}

Model modelOf(const Part& part) {
  Model model;
  model.speed_ratio = {0};
  model.travels = levelTravels(model.speed_ratio);
  model.parts = {part};
  toy::place(model, 0, 0, TopLoc_Location());
  return model;
}

Model modelOf(const TopoDS_Shape& shape) {
  return modelOf(toy::part("XX1", "thing", "steel", shape));
}

TEST(Gltf, EveryInstanceStandsWhereTheModelHasIt) {
  for (const auto& [name, model, glb] : samples()) {
    for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
      const std::string what = name + ", " + model.instanceName(i);
      const json& node = glb.node(model.instanceName(i));
      const Box bounds = gltfBox(model.instances[i].bounds);
      const Box found = worldBox(glb, node);
      expectWithin(found, bounds, kBoundsSlackMm + kFloatMm, what);
      // The model's bounds of turned parts are somewhere from those of the solid to those of its
      // box; of others, both are one. The kernel's are loose on the toy wheel's groove.
      if (name.find("toy") == std::string::npos || model.instanceName(i) != "WH1.1") {
        expectWithin(bounds, worldBoxOfBox(glb, node), 2 * kGltfLinearDeflectionMm, what);
      }
    }
  }
}

TEST(Gltf, MetresAndYUp) {
  // 3000 along the driveway, 50 across, 30 high.
  const Glb glb(glbFile(modelOf(BRepPrimAPI_MakeBox(3000, 50, 30).Shape()), kProvenance));
  const Box box = glb.mesh(0).box();
  expectNear(box, {{0, 0, -0.05}, {3, 0.03, 0}}, kFloatMm, "box");
}

TEST(Gltf, TurnsKeepTheirSense) {
  // A quarter turn about the vertical takes +X to the model's +Y, which is glTF's -Z.
  Model model = modelOf(BRepPrimAPI_MakeBox(100, 20, 10).Shape());
  model.instances[0].at_closed = toy::at(0, 0, 500) * toy::turned(90, gp::OZ());
  const Glb glb(glbFile(model, kProvenance));
  expectNear(worldBox(glb, glb.node("XX1.1")), {{-0.02, 0.5, -0.1}, {0, 0.51, 0}}, kFloatMm, "box");
}

TEST(Gltf, MeshesAreClosedAndTrueToTheirSolids) {
  for (const auto& [name, model, glb] : samples()) {
    for (std::size_t p = 0; p < model.parts.size(); ++p) {
      const Part& part = model.parts[p];
      const Mesh mesh = glb.mesh(static_cast<int>(p));
      std::map<std::pair<Vec, Vec>, int> uses;
      for (const auto& t : mesh.triangles) {
        for (int i = 0; i < 3; ++i) {
          ++uses[{mesh.positions[t[i]], mesh.positions[t[(i + 1) % 3]]}];
        }
      }
      for (const auto& [edge, count] : uses) {
        ASSERT_EQ(count, 1) << name << ", " << part.mark;
        ASSERT_EQ(uses.count({edge.second, edge.first}), 1U) << name << ", " << part.mark;
      }
      // A shell as thick as the deflection holds whatever lies between surface and triangles.
      EXPECT_NEAR(mesh.volumeMm3(), part.volume_mm3,
                  surfaceArea(part.solid) * (kGltfLinearDeflectionMm + kFloatMm))
          << name << ", " << part.mark;
      // 30 chords to a circle leave out 0.73 % of a disc; bores and grooves gain as much.
      EXPECT_NEAR(mesh.volumeMm3() / part.volume_mm3, 1, 0.01) << name << ", " << part.mark;
    }
  }
}

void expectSoundTriangles(const Mesh& mesh, const std::string& what) {
  constexpr double kLeastHeightMm = 1e-3;
  const double cosine = std::cos(65 * M_PI / 180);
  for (const Vec& normal : mesh.normals) {
    ASSERT_NEAR(norm(normal), 1, 1e-6) << what;
  }
  for (const auto& t : mesh.triangles) {
    const Vec area = mesh.area(t);
    for (int i = 0; i < 3; ++i) {
      EXPECT_GT(dot(mesh.normals[t[i]], area), cosine * norm(area)) << what;
    }
    EXPECT_GT(mesh.heightMm(t), kLeastHeightMm) << what;
  }
}

TEST(Gltf, NormalsAgreeWithTheWindingAndNoTriangleIsDegenerate) {
  for (const auto& [name, model, glb] : samples()) {
    for (std::size_t p = 0; p < model.parts.size(); ++p) {
      expectSoundTriangles(glb.mesh(static_cast<int>(p)), name + ", " + model.parts[p].mark);
    }
  }
}

TEST(Gltf, NormalsPointOutOfASphereAndItsPoles) {
  const Glb glb(glbFile(modelOf(BRepPrimAPI_MakeSphere(100).Shape()), kProvenance));
  const Mesh mesh = glb.mesh(0);
  expectSoundTriangles(mesh, "sphere");
  for (std::size_t i = 0; i < mesh.positions.size(); ++i) {
    EXPECT_GT(dot(mesh.normals[i], mesh.positions[i]) / norm(mesh.positions[i]), std::cos(0.2));
  }
  const Glb cone(glbFile(modelOf(BRepPrimAPI_MakeCone(30, 0, 80).Shape()), kProvenance));
  expectSoundTriangles(cone.mesh(0), "cone");
}

TEST(Gltf, LongRailsWithHolesHaveNoNeedles) {
  // As the kernel fills this side, its lowest triangle is under 0.001 mm high.
  TopoDS_Shape rail = BRepPrimAPI_MakeBox(6000, 60, 4).Shape();
  for (const double x_mm : {160.0, 5840.0}) {
    const gp_Ax2 axis(gp_Pnt(x_mm, 7.2, -1), gp::DZ());
    rail = BRepAlgoAPI_Cut(rail, BRepPrimAPI_MakeCylinder(axis, 6.2, 6).Shape()).Shape();
  }
  const Mesh mesh = Glb(glbFile(modelOf(rail), kProvenance)).mesh(0);
  for (const auto& t : mesh.triangles) {
    EXPECT_GT(mesh.heightMm(t), 5e-3);
  }
  expectSoundTriangles(mesh, "rail");
}

TEST(Gltf, AMirroredSolidIsMirroredCornerForCorner) {
  // The toy's bracket has no symmetry: a turned one could not pass for its mirror image.
  const auto corners = [](Hand hand, double sign) {
    const Glb glb(glbFile(toy::model(hand), kProvenance));
    std::set<std::array<long, 3>> rounded_um;
    for (const Vec& p : glb.mesh(1).positions) {
      rounded_um.insert(
          {std::lround(sign * p[0] * 1e6), std::lround(p[1] * 1e6), std::lround(p[2] * 1e6)});
    }
    return rounded_um;
  };
  EXPECT_EQ(corners(Hand::kLeft, -1), corners(Hand::kRight, 1));
  EXPECT_NE(corners(Hand::kLeft, 1), corners(Hand::kRight, 1));
}

TEST(Gltf, MaterialsAreInLinearLightAndNotAllMetal) {
  const Glb glb(glbFile(toy::model(), kProvenance));
  std::set<std::string> names;
  for (const json& material : glb.j["materials"]) {
    EXPECT_TRUE(names.insert(material["name"]).second);
    EXPECT_FALSE(material.contains("doubleSided"));
    const json& pbr = material["pbrMetallicRoughness"];
    EXPECT_LT(pbr["metallicFactor"].get<double>(), 1);
    EXPECT_GT(pbr["roughnessFactor"].get<double>(), 0.2);
    EXPECT_EQ(pbr["baseColorFactor"][3], 1);
    if (material["name"] == "steel") {  // sRGB 0.36, 0.43, 0.49, by hand
      EXPECT_NEAR(pbr["baseColorFactor"][0], 0.1065, 1e-4);
      EXPECT_NEAR(pbr["baseColorFactor"][1], 0.1549, 1e-4);
      EXPECT_NEAR(pbr["baseColorFactor"][2], 0.2049, 1e-4);
    }
  }
  EXPECT_EQ(names, (std::set<std::string>{"steel", "nylon", "concrete", "rope"}));
}

TEST(Gltf, LeavesTheSolidsAsTheyWere) {
  const Model model = toy::model();
  glbFile(model, kProvenance);
  for (std::size_t p = 0; p < model.parts.size(); ++p) {
    stlMesh(model.parts[p]);
    TopLoc_Location location;
    for (TopExp_Explorer it(model.parts[p].solid, TopAbs_FACE); it.More(); it.Next()) {
      EXPECT_TRUE(BRep_Tool::Triangulation(TopoDS::Face(it.Current()), location).IsNull());
    }
  }
}

// An edit's file by a store that knows the gate before it: the same bytes as without, and only what
// the edit touches is meshed.
TEST(Gltf, StoresChangeNoByte) {
  GltfStore store;
  const Model first = gateOf(2, "right", 0), second = gateOf(2, "right", 0.02);
  const std::string one = glbFile(first, kProvenance, &store);
  EXPECT_EQ(one, glbFile(first, kProvenance));
  const std::size_t kept = store.size();
  EXPECT_EQ(kept, first.parts.size());
  EXPECT_EQ(glbFile(second, kProvenance, &store), glbFile(second, kProvenance));
  EXPECT_LT(store.size(), kept + second.parts.size())
      << "no part is alike on level and sloping ground";
  EXPECT_EQ(glbFile(first, kProvenance, &store), one);
  // What eight files did not use is forgotten.
  for (int i = 0; i <= GltfStore::kFilesKept; ++i) {
    glbFile(first, kProvenance, &store);
  }
  EXPECT_EQ(store.size(), kept);
}

std::string complaint(const Model& model) {
  try {
    glbFile(model, kProvenance);
  } catch (const ExportError& error) {
    return error.what();
  }
  return "none";
}

TEST(Gltf, RefusesWhatIsNotClosedOutwardOrRigid) {
  const TopoDS_Shape box = BRepPrimAPI_MakeBox(100, 50, 25).Shape();
  Part part = toy::part("BX1", "box", "steel", box);
  part.solid = box.Reversed();
  EXPECT_EQ(complaint(modelOf(part)), "GLB: BX1: the mesh faces inward");

  part.solid = toy::openBox();
  EXPECT_EQ(complaint(modelOf(part)), "GLB: BX1: the mesh is not watertight");

  gp_Trsf mirror;
  mirror.SetMirror(gp_Ax2(gp::Origin(), gp::DX()));
  Model model = modelOf(box);
  model.instances[0].at_closed = TopLoc_Location(mirror);
  EXPECT_EQ(complaint(model), "GLB: the placement of XX1.1 is no rigid motion");
}

}  // namespace
}  // namespace leafstack
