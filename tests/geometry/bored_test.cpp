// Round holes made face by face, against the same holes cut off by the kernel's booleans, and
// against the volumes of cylinder and cone frustum.
#include "generator/occt/solids/bored.h"

#include <gtest/gtest.h>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <gp_Ax2.hxx>
#include <numbers>

#include "generator/geometry/geometry_error.h"
#include "generator/geometry/mesh/part_mesh.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

constexpr double kThick = 8;

TopoDS_Shape plate() {
  return BRepPrimAPI_MakeBox(gp_Pnt(0, 0, 0), 100, kThick, 60).Shape();
}

/// From the plate's front (Y = 0) or, `back`, from its back.
RoundHole sunkHole(double x, double z, bool back) {
  return {.from_mm = {x, back ? kThick : 0, z},
          .into = {0, back ? -1.0 : 1.0, 0},
          .radius_mm = 2.5,
          .deep_mm = kThick,
          .sink_mm = 3};
}

TopoDS_Shape cutByKernel(const TopoDS_Shape& body, const RoundHole& hole) {
  const gp_Ax2 axis(gp_Pnt(hole.from_mm[0], hole.from_mm[1], hole.from_mm[2]),
                    gp_Dir(hole.into[0], hole.into[1], hole.into[2]));
  const double wide = hole.radius_mm + hole.sink_mm;
  const TopoDS_Shape drilled =
      BRepAlgoAPI_Cut(body, BRepPrimAPI_MakeCylinder(axis, hole.radius_mm, hole.deep_mm).Shape());
  return BRepAlgoAPI_Cut(drilled,
                         BRepPrimAPI_MakeCone(axis, wide, hole.radius_mm, hole.sink_mm).Shape());
}

TEST(Bored, SunkHolesAreThoseThatTheKernelCutsOff) {
  const std::vector<RoundHole> holes = {sunkHole(20, 20, false), sunkHole(50, 30, true),
                                        sunkHole(80, 42, false)};
  const TopoDS_Shape made = bored(plate(), holes);
  TopoDS_Shape expected = plate();
  for (const RoundHole& hole : holes) {
    expected = cutByKernel(expected, hole);
  }
  EXPECT_TRUE(BRepCheck_Analyzer(made).IsValid());
  EXPECT_EQ(faceCount(made), faceCount(expected));
  const MassProperties own = massProperties(made);
  const MassProperties cut = massProperties(expected);
  // A frustum's volume, pi h (R^2 + R r + r^2) / 3: elementary geometry.
  const double hole = std::numbers::pi * (2.5 * 2.5 * 5 + (5.5 * 5.5 + 5.5 * 2.5 + 2.5 * 2.5));
  EXPECT_NEAR(own.volume_mm3, 100 * kThick * 60 - 3 * hole, 1e-6);
  EXPECT_NEAR(own.volume_mm3, cut.volume_mm3, 1e-6);
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_NEAR(own.centroid_mm[axis], cut.centroid_mm[axis], 1e-9);
  }
  EXPECT_NEAR(surfaceArea(made), surfaceArea(expected), 1e-6);
  // Walls look into the hole: the same volume by triangles, to their error.
  const PartMesh mesh = partMesh(made, {0.01});
  EXPECT_NEAR(mesh.volumeMm3(), own.volume_mm3, mesh.areaMm2() * mesh.errorMm());
}

TEST(Bored, HolesThatCannotBeAreRefused) {
  RoundHole deep = sunkHole(20, 20, false);
  deep.sink_mm = kThick;
  EXPECT_THROW(bored(plate(), {deep}), GeometryError);
  EXPECT_THROW(bored(plate(), {sunkHole(120, 20, false)}), GeometryError);  // beside the plate
}

}  // namespace
}  // namespace leafstack
