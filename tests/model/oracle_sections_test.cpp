// Outside check: hollow sections as solids against section tables to EN 10219-2.
//
// Source of the rows: open data set steelsnakes (waynemaranga/steelsnakes, files of cold-formed SHS
// and RHS to EN 10219; row R4). Steel 7850 kg/m3: tatasteelbluebook.com, "Dimensions of sections"
// (row R5). Formulas: EN 10219-2 section formulas (row R3).
#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <cmath>
#include <gp_Mat.hxx>
#include <string>
#include <variant>

#include "generator/layout/figures/sections.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/outline.h"
#include "generator/occt/solids/tube.h"
#include "params/spec/section.h"

namespace leafstack {
namespace {

constexpr double kSteelKgPerM3 = 7850;
constexpr double kLengthMm = 1000;

HollowSection sectionNamed(const std::string& designation) {
  const auto read = parseSection(designation);
  if (!std::holds_alternative<HollowSection>(read)) {
    throw std::invalid_argument(designation);
  }
  return std::get<HollowSection>(read);
}

/// A figure as the table prints it: half a unit of its last digit is its rounding.
struct Printed {
  explicit Printed(const char* text) : value(std::stod(text)) {
    const std::string digits = text;
    const std::size_t point = digits.find('.');
    const double unit =
        point == std::string::npos ? 1 : std::pow(10.0, -double(digits.size() - point - 1));
    rounding = unit / 2 * (1 + 1e-9);
  }
  double value = 0, rounding = 0;
};

struct Row {
  const char* designation;
  const char *kg_per_m, *area_cm2;
  const char *iyy_cm4, *izz_cm4, *wyy_cm3, *wzz_cm3;
};

// RHS rows: height x depth x wall, y the axis across the height's middle.
const Row kRows[] = {
    {"SHS 40x40x3", "3.30", "4.21", "9.32", "9.32", "4.66", "4.66"},
    {"SHS 50x50x2.5", "3.60", "4.59", "16.9", "16.9", "6.78", "6.78"},
    {"SHS 50x50x3", "4.25", "5.41", "19.5", "19.5", "7.79", "7.79"},
    {"SHS 50x50x4", "5.45", "6.95", "23.7", "23.7", "9.49", "9.49"},
    {"SHS 60x60x3", "5.19", "6.61", "35.1", "35.1", "11.7", "11.7"},
    {"SHS 60x60x4", "6.71", "8.55", "43.6", "43.6", "14.5", "14.5"},
    {"SHS 80x80x3", "7.07", "9.01", "87.8", "87.8", "22.0", "22.0"},
    {"SHS 80x80x4", "9.22", "11.7", "111", "111", "27.8", "27.8"},
    {"SHS 100x100x3", "8.96", "11.4", "177", "177", "35.4", "35.4"},
    {"SHS 100x100x4", "11.7", "14.9", "226", "226", "45.3", "45.3"},
    {"SHS 100x100x5", "14.4", "18.4", "271", "271", "54.2", "54.2"},
    {"SHS 120x120x5", "17.5", "22.4", "485", "485", "80.9", "80.9"},
    {"RHS 50x25x3", "3.07", "3.91", "11.2", "3.67", "4.47", "2.93"},
    {"RHS 50x30x3", "3.30", "4.21", "12.8", "5.70", "5.13", "3.80"},
    {"RHS 60x40x3", "4.25", "5.41", "25.4", "13.4", "8.46", "6.72"},
    {"RHS 60x40x4", "5.45", "6.95", "31.0", "16.3", "10.3", "8.14"},
    {"RHS 80x40x3", "5.19", "6.61", "52.3", "17.6", "13.1", "8.78"},
    {"RHS 80x40x4", "6.71", "8.55", "64.8", "21.5", "16.2", "10.7"},
    {"RHS 100x50x3", "6.60", "8.41", "106", "36.1", "21.3", "14.4"},
    {"RHS 100x50x4", "8.59", "10.9", "134", "44.9", "26.8", "18.0"},
    {"RHS 100x60x4", "9.22", "11.7", "153", "68.7", "30.5", "22.9"},
    {"RHS 120x60x4", "10.5", "13.3", "241", "81.2", "40.1", "27.1"},
};

void expectPrinted(double value, const char* printed, const char* what) {
  const Printed table(printed);
  EXPECT_NEAR(value, table.value, table.rounding) << what;
}

double sectionVolume(const TopoDS_Shape& solid) {
  return massProperties(checkedSolid(solid, "section")).volume_mm3;
}

TEST(OracleSections, MassAndAreaWithinTheTablesRounding) {
  for (const Row& row : kRows) {
    SCOPED_TRACE(row.designation);
    const HollowSection section = sectionNamed(row.designation);
    for (Plane along : {Plane::kXY, Plane::kXZ, Plane::kYZ}) {
      const double volume = sectionVolume(hollowSection(along, section, kLengthMm));
      expectPrinted(volume * 1e-9 * kSteelKgPerM3, row.kg_per_m, "kg/m");
      expectPrinted(volume / kLengthMm / 100, row.area_cm2, "area, cm2");
    }
  }
}

/// The square end at X = 0 of a section along X.
TopoDS_Face endFace(const TopoDS_Shape& solid) {
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    GProp_GProps properties;
    BRepGProp::SurfaceProperties(face, properties);
    if (std::abs(properties.CentreOfMass().X()) < 1e-9) {
      return face;
    }
  }
  throw std::logic_error("no end at X = 0");
}

// The formulas that the member checks use (row R3) against the same rows, and against the solids'
// own end faces to a millionth.
TEST(OracleSections, FormulasWithinTheTablesRounding) {
  for (const Row& row : kRows) {
    SCOPED_TRACE(row.designation);
    const HollowSection section = sectionNamed(row.designation);
    const SectionProperties upright = bendingUpright(section);
    const SectionProperties across = bendingAcross(section);
    expectPrinted(upright.area_mm2 / 100, row.area_cm2, "area, cm2");
    expectPrinted(upright.second_moment_mm4 / 1e4, row.iyy_cm4, "Iyy, cm4");
    expectPrinted(across.second_moment_mm4 / 1e4, row.izz_cm4, "Izz, cm4");
    expectPrinted(upright.modulus_mm3 / 1e3, row.wyy_cm3, "Wyy, cm3");
    expectPrinted(across.modulus_mm3 / 1e3, row.wzz_cm3, "Wzz, cm3");
    GProp_GProps properties;
    BRepGProp::SurfaceProperties(endFace(hollowSection(Plane::kYZ, section, kLengthMm)),
                                 properties);
    EXPECT_NEAR(properties.MatrixOfInertia().Value(2, 2) / upright.second_moment_mm4, 1, 1e-6);
    EXPECT_NEAR(properties.MatrixOfInertia().Value(3, 3) / across.second_moment_mm4, 1, 1e-6);
  }
}

// Extruded aluminium has next to no corner radius (EN 755-9, from memory): its area is a rectangle's
// less a rectangle's to 0.1 %, where a cold-formed section of these sizes has 2 % less.
TEST(OracleSections, ExtrudedCornersAreNearlySharp) {
  HollowSection section = sectionNamed("RHS 100x80x3");
  section.is_extruded = true;
  const double sharp = 100 * 80 - 94 * 74;
  const double volume = sectionVolume(hollowSection(Plane::kYZ, section, kLengthMm));
  EXPECT_NEAR(volume / kLengthMm / sharp, 1, 0.001);
  EXPECT_LT(volume / kLengthMm, sharp);
  EXPECT_NEAR(bendingAcross(section).area_mm2, volume / kLengthMm, 1e-6);
  const double second = (80 * 1e6 - 74 * 94 * 94 * 94) / 12.0;
  EXPECT_NEAR(bendingUpright(section).second_moment_mm4 / second, 1, 0.001);
  section.is_extruded = false;
  EXPECT_LT(bendingAcross(section).area_mm2 / sharp, 0.98);
}

// Bredt's formulas, from any handbook: a square tube of side a on its middle line has cell a^2 and
// torsion constant a^3 t; the round corners take a little off both.
TEST(OracleSections, TwistOfASquareTube) {
  const SectionProperties p = bendingAcross(sectionNamed("SHS 100x100x3"));
  const double a = 97;
  EXPECT_LT(p.cell_mm2, a * a);
  EXPECT_NEAR(p.cell_mm2 / (a * a), 1, 0.005);
  EXPECT_NEAR(p.torsion_mm4 / (a * a * a * 3), 1, 0.02);
}

/// Calculated from EN 10219-2's section formulas (row T5), printed to a tenth of a mm3.
struct ExactRow {
  const char* designation;
  double volume_mm3;
};

const ExactRow kExactRows[] = {{"SHS 50x50x3", 540823.0},
                               {"RHS 60x40x3", 540823.0},
                               {"RHS 100x50x4", 1094796.4},
                               {"SHS 80x80x4", 1174796.4}};

/// EN 10219-2: area of a hollow section with outer radius 2 t and inner radius t (t <= 6).
double exactAreaMm2(const HollowSection& section) {
  const double t = section.wall_mm;
  const double outer = 2 * t;
  return 2 * t * (section.height_mm + section.depth_mm - 2 * t) -
         (4 - M_PI) * (outer * outer - t * t);
}

TEST(OracleSections, ExactVolumes) {
  for (const ExactRow& row : kExactRows) {
    SCOPED_TRACE(row.designation);
    const HollowSection section = sectionNamed(row.designation);
    const double volume = sectionVolume(hollowSection(Plane::kYZ, section, kLengthMm));
    EXPECT_NEAR(volume, row.volume_mm3, 0.05);
    EXPECT_NEAR(volume / (exactAreaMm2(section) * kLengthMm), 1, 1e-9);
  }
}

// ---------------------------------------------------------------- holes

TEST(OracleSections, HoleInTheRoundCornersIsRefused) {
  // Walls of a section without flats cannot be found, and are not guessed.
  const HollowSection round{20, 20, 5, "without flats"};
  EXPECT_ANY_THROW(drilledSection(round, 100, {{Wall::kFront, Outline::circle({50, 10}, 2)}}));
}

}  // namespace
}  // namespace leafstack
