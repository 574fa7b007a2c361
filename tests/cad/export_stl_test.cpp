// STL files read back as bytes: closed, outward, true to the solid within the deflection stated.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <map>
#include <string>
#include <vector>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/mesh/stl.h"
#include "generator/geometry/vec.h"
#include "tests/support/export_toy_model.h"

namespace leafstack {
namespace {

using Point = std::array<float, 3>;

struct Facet {
  Point normal{};
  std::array<Point, 3> corners{};
};

/// The format's own layout: 80 bytes, a count, 50 bytes a triangle.
std::vector<Facet> facets(const std::string& file) {
  std::uint32_t count = 0;
  if (file.size() < 84) {
    ADD_FAILURE() << "too short";
    return {};
  }
  std::memcpy(&count, file.data() + 80, 4);
  EXPECT_EQ(file.size(), 84 + 50 * std::size_t{count});
  std::vector<Facet> read(count);
  for (std::size_t i = 0; i < count; ++i) {
    std::memcpy(&read[i], file.data() + 84 + 50 * i, sizeof(Facet));
  }
  return read;
}

Vec3 minus(const Point& a, const Point& b) {
  return {double{a[0]} - b[0], double{a[1]} - b[1], double{a[2]} - b[2]};
}

double volumeOf(const std::vector<Facet>& mesh) {
  double volume = 0;
  for (const Facet& f : mesh) {
    const Point& origin = mesh.front().corners[0];
    volume += dot(minus(f.corners[0], origin),
                  cross(minus(f.corners[1], origin), minus(f.corners[2], origin)));
  }
  return volume / 6;
}

class StlOfToy : public testing::TestWithParam<Hand> {};

TEST_P(StlOfToy, IsWatertightOutwardAndWithinItsDeflection) {
  for (const Part& part : toy::model(GetParam()).parts) {
    const StlMesh mesh = stlMesh(part);
    EXPECT_NE(mesh.file.substr(0, 5), "solid");
    const std::vector<Facet> read = facets(mesh.file);
    ASSERT_EQ(static_cast<int>(read.size()), mesh.triangles);
    std::map<std::pair<Point, Point>, int> uses;
    for (const Facet& f : read) {
      for (int i = 0; i < 3; ++i) {
        ++uses[{f.corners[i], f.corners[(i + 1) % 3]}];
      }
      const auto n = cross(minus(f.corners[1], f.corners[0]), minus(f.corners[2], f.corners[0]));
      EXPECT_GT(dot(n, Vec3{f.normal[0], f.normal[1], f.normal[2]}), 0) << part.mark;
    }
    for (const auto& [edge, count] : uses) {
      ASSERT_EQ(count, 1) << part.mark;
      ASSERT_EQ((uses[{edge.second, edge.first}]), 1) << part.mark;
    }
    const double volume_mm3 = volumeOf(read);
    EXPECT_NEAR(volume_mm3, mesh.volume_mm3, 1e-9 * volume_mm3);
    EXPECT_LE(mesh.deflection_mm, kStlLinearDeflectionMm) << part.mark;
    // A shell as thick as the deflection bounds the volume between surface and triangles; float
    // coordinates up to 1 m add about 1e-4 mm.
    EXPECT_NEAR(volume_mm3, part.volume_mm3, part.area_mm2 * (mesh.deflection_mm + 1e-4))
        << part.mark;
  }
}

INSTANTIATE_TEST_SUITE_P(Hands, StlOfToy, testing::Values(Hand::kRight, Hand::kLeft),
                         [](const auto& hand) {
                           return hand.param == Hand::kRight ? "Right" : "Left";
                         });

TEST(Stl, FlatPartsAreExact) {
  const Part box = toy::part("BX1", "box", "steel", BRepPrimAPI_MakeBox(100, 50, 25).Shape());
  const StlMesh mesh = stlMesh(box);
  EXPECT_EQ(mesh.triangles, 12);
  EXPECT_EQ(mesh.deflection_mm, 0);
  EXPECT_DOUBLE_EQ(mesh.volume_mm3, 125000);
}

TEST(Stl, DeflectionIsThatOfTheChordsWritten) {
  // A circle of radius 40 in n chords: the sag is 40 (1 - cos(pi / n)), whatever was asked for.
  const Part rod = toy::part("RD1", "rod", "steel", BRepPrimAPI_MakeCylinder(40, 10).Shape());
  const StlMesh mesh = stlMesh(rod);
  int rim = 0;
  std::map<Point, int> corners;
  for (const Facet& f : facets(mesh.file)) {
    for (const Point& p : f.corners) {
      rim += p[2] == 0 && std::hypot(p[0], p[1]) > 39.9F && corners[p]++ == 0 ? 1 : 0;
    }
  }
  ASSERT_GE(rim, 8);
  EXPECT_NEAR(mesh.deflection_mm, 40 * (1 - std::cos(M_PI / rim)), 1e-9);
}

TEST(Stl, SameSolidSameBytes) {
  const Part wheel = toy::model().parts[2];
  const StlMesh first = stlMesh(wheel);
  EXPECT_EQ(stlMesh(wheel).file, first.file);
  EXPECT_EQ(stlMesh(toy::model().parts[2]).file, first.file);
}

}  // namespace
}  // namespace leafstack
