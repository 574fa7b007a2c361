// The independent STEP reader: grammar, references, product structure, and that damage is seen.
#include "tests/part21/part21.h"

#include <gtest/gtest.h>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>

#include <regex>

#include "tests/part21/brep.h"
#include "tests/part21/lexer.h"
#include "tests/part21/structure.h"
#include "tests/readback/kernel_files.h"

namespace leafstack::part21 {
namespace {

std::string wrapped(const std::string& data) {
  return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('one','two'),'2;1');\n"
         "FILE_NAME('n','2024-01-01T00:00:00',('a'),('o'),'pre','sys','auth');\n"
         "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n" +
         data + "ENDSEC;\nEND-ISO-10303-21;\n";
}

std::string problemsOf(const std::string& text) {
  std::string all;
  for (const Problem& problem : parse(text).problems)
    all += std::to_string(problem.line) + ": " + problem.text + "\n";
  return all;
}

void expectProblem(const std::string& text, const std::string& part) {
  const std::string problems = problemsOf(text);
  EXPECT_NE(problems.find(part), std::string::npos) << "wanted: " << part << "\ngot: " << problems;
}

Value onlyParameter(const std::string& literal) {
  const File file = parse(wrapped("#1=E(" + literal + ");\n"));
  for (const Problem& problem : file.problems) ADD_FAILURE() << problem.text;
  const Instance* instance = file.find(1);
  return instance == nullptr ? Value{} : parameter(instance->records.front(), 0);
}

TEST(Part21Grammar, HeaderIsRead) {
  const File file = parse(wrapped(""));
  EXPECT_TRUE(file.problems.empty());
  EXPECT_EQ(file.header.description, (std::vector<std::string>{"one", "two"}));
  EXPECT_EQ(file.header.implementation_level, "2;1");
  EXPECT_EQ(file.header.name, "n");
  EXPECT_EQ(file.header.author, std::vector<std::string>{"a"});
  EXPECT_EQ(file.header.originating_system, "sys");
  EXPECT_EQ(file.header.schemas.at(0), "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }");
}

TEST(Part21Grammar, EveryKindOfValue) {
  using Kind = Value::Kind;
  EXPECT_EQ(onlyParameter("$").kind, Kind::kUnset);
  EXPECT_EQ(onlyParameter("*").kind, Kind::kDerived);
  EXPECT_EQ(onlyParameter("-12").kind, Kind::kInteger);
  EXPECT_EQ(onlyParameter("-12").number, -12);
  EXPECT_EQ(onlyParameter("1.").kind, Kind::kReal);
  EXPECT_EQ(onlyParameter("+1.5E-3").number, 0.0015);
  EXPECT_EQ(onlyParameter(".MILLI.").text, "MILLI");
  EXPECT_EQ(onlyParameter("\"0F7\"").kind, Kind::kBinary);
  EXPECT_EQ(onlyParameter("#1").id, 1);
  EXPECT_EQ(onlyParameter("(1,(2,3),())").items.at(1).items.at(1).number, 3);
  const Value typed = onlyParameter("LENGTH_MEASURE(2.5)");
  EXPECT_EQ(typed.kind, Kind::kTyped);
  EXPECT_EQ(typed.text, "LENGTH_MEASURE");
  EXPECT_EQ(typed.items.at(0).number, 2.5);
}

TEST(Part21Grammar, StringsAreDecoded) {
  EXPECT_EQ(onlyParameter("'it''s'").text, "it's");
  EXPECT_EQ(onlyParameter("''").text, "");
  EXPECT_EQ(onlyParameter(R"('a\\b')").text, "a\\b");
  EXPECT_EQ(onlyParameter(R"('K\X2\00E400F6\X0\fer')").text, "Käöfer");
  EXPECT_EQ(onlyParameter(R"('\X2\D83DDE00\X0\')").text, "\xF0\x9F\x98\x80");
  EXPECT_EQ(onlyParameter(R"('\X4\0001F600\X0\')").text, "\xF0\x9F\x98\x80");
  EXPECT_EQ(onlyParameter(R"('\X\E4')").text, "ä");
  EXPECT_EQ(onlyParameter(R"('\S\d')").text, "ä");
  EXPECT_EQ(onlyParameter(R"('\PA\x')").text, "x");
  EXPECT_EQ(onlyParameter("'a;b/*c*/'").text, "a;b/*c*/");
}

TEST(Part21Grammar, CommentsAndComplexInstances) {
  const File file =
      parse(wrapped("#1 /* one; */ = ( NAMED_UNIT(*) /* ' */ SI_UNIT($,.METRE.) );\n"));
  EXPECT_TRUE(file.problems.empty());
  ASSERT_NE(file.find(1), nullptr);
  EXPECT_EQ(file.find(1)->typeName(), "NAMED_UNIT+SI_UNIT");
  EXPECT_EQ(parameter(*file.find(1)->record("SI_UNIT"), 1).text, "METRE");
}

TEST(Part21Grammar, FaultsAreReported) {
  expectProblem("", "expected ISO-10303-21");
  expectProblem(wrapped("#1=E(#2);\n"), "#1 E refers to #2, which does not exist");
  expectProblem(wrapped("#1=E();\n#1=F();\n"), "9: #1 is defined twice, first on line 8");
  expectProblem(wrapped("#1=E(1 2);\n"), "expected ','");
  expectProblem(wrapped("#1=E('a);\n"), "string is not closed");
  expectProblem(wrapped("#1=E('\\X2\\00E4');\n"), "not closed by");
  expectProblem(wrapped("#1=E('\\X2\\D83D\\X0\\');\n"), "lone high surrogate");
  expectProblem(wrapped("#1=E('\\Q\\');\n"), "unknown escape");
  expectProblem(wrapped("#1=E('\xC3\xA4');\n"), "byte outside the basic alphabet");
  expectProblem(wrapped("#1=E(.MILLI);\n"), "malformed enumeration");
  expectProblem(wrapped("#1=E(1.E);\n"), "malformed number");
  expectProblem(wrapped("#1=E(nan);\n"), "character not allowed");
  expectProblem(wrapped("#0=E();\n"), "malformed instance name");
  expectProblem(wrapped("/* open\n"), "comment is not closed");
  expectProblem(wrapped("") + "#9=E();", "text after the end");
  expectProblem(wrapped("#1=E" + std::string(5000, '(')), "nested too deeply");
}

TEST(Part21Grammar, HeaderFaultsAreReported) {
  expectProblem("ISO-10303-21;HEADER;ENDSEC;DATA;ENDSEC;END-ISO-10303-21;", "lacks FILE_SCHEMA");
  std::string dotted = wrapped("");
  dotted.replace(dotted.find("AUTOMOTIVE"), 10, "AP242.MODE");
  expectProblem(dotted, "malformed schema name");
}

// ---- Damage to a real file
// -----------------------------------------------------------------------

std::string drilledPlate() {
  const TopoDS_Shape drill =
      BRepPrimAPI_MakeCylinder(gp_Ax2({50, 25, -1}, {0, 0, 1}), 6., 20.).Shape();
  return stepText(BRepAlgoAPI_Cut(BRepPrimAPI_MakeBox(100., 50., 8.).Shape(), drill).Shape());
}

// Everything any stage finds wrong with the only solid of a file.
std::string faults(const std::string& text) {
  std::string all = problemsOf(text);
  const File file = parse(text);
  for (const auto& [id, solid] : readSolids(file)) {
    for (const std::string& problem : solid.problems) all += problem + "\n";
    for (const std::string& problem : measure(file, solid).problems) all += problem + "\n";
  }
  return all;
}

TEST(Part21Damage, SoundFileHasNoFault) {
  EXPECT_EQ(faults(drilledPlate()), "");
}

TEST(Part21Damage, TopologyIsCounted) {
  const File file = parse(drilledPlate());
  const auto solids = readSolids(file);
  ASSERT_EQ(solids.size(), 1U);
  const Solid& plate = solids.begin()->second;
  EXPECT_EQ(plate.faces.size(), 7U);
  EXPECT_EQ(plate.edges, 15);
  EXPECT_EQ(plate.vertices, 10);
  EXPECT_EQ(plate.genus, 1);
}

TEST(Part21Damage, WholeSolidInsideOut) {
  std::string text = drilledPlate();
  // Every face and every bound the other way: sound topology, but the material is outside.
  const std::regex face("(ADVANCED_FACE\\([^;]*,)\\.(T|F)\\.\\);"),
      bound("(FACE_BOUND\\('',#\\d+,)\\.(T|F)\\.\\);");
  for (const std::regex& pattern : {face, bound}) {
    text = std::regex_replace(text, pattern, "$1.x$2.);");
    text = std::regex_replace(text, std::regex("\\.xT\\."), ".F.");
    text = std::regex_replace(text, std::regex("\\.xF\\."), ".T.");
  }
  EXPECT_NE(faults(text).find("is inside out"), std::string::npos);
}

TEST(Part21Damage, FileCutShortAnywhere) {
  const std::string text = drilledPlate();
  const std::size_t end = text.find("END-ISO-10303-21");
  for (std::size_t at = 0; at < end; at += 997)
    EXPECT_FALSE(parse(text.substr(0, at)).problems.empty()) << at;
}

// ---- Product structure
// ---------------------------------------------------------------------------

// Two occurrences of one product in an assembly, the second turned a quarter about Z and moved.
std::string assembly() {
  std::string data;
  const auto product = [&data](int base, const std::string& name) {
    const auto id = [base](int n) { return std::string("#").append(std::to_string(base + n)); };
    data += id(0) + "=PRODUCT('" + name + "','" + name + "','',());\n";
    data += id(1) + "=PRODUCT_DEFINITION_FORMATION('',''," + id(0) + ");\n";
    data += id(2) + "=PRODUCT_DEFINITION('design',''," + id(1) + ",$);\n";
    data += id(3) + "=PRODUCT_DEFINITION_SHAPE('',''," + id(2) + ");\n";
  };
  product(10, "GATE");
  product(20, "PK1");
  for (const int n : {1, 2}) {
    const auto id = [n](int i) { return std::string("#").append(std::to_string(100 * n + i)); };
    data += id(0) + "=NEXT_ASSEMBLY_USAGE_OCCURRENCE('" + std::to_string(n) + "','PK1." +
            std::to_string(n) + "','',#12,#22,$);\n";
    data += id(1) + "=PRODUCT_DEFINITION_SHAPE('',''," + id(0) + ");\n";
    data += id(2) + "=ITEM_DEFINED_TRANSFORMATION('','',#30,#3" + std::to_string(n) + ");\n";
    data += id(3) +
            "=(REPRESENTATION_RELATIONSHIP('','',$,$)"
            "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(" +
            id(2) + ")SHAPE_REPRESENTATION_RELATIONSHIP());\n";
    data += id(4) + "=CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(" + id(3) + "," + id(1) + ");\n";
  }
  return wrapped(
      data +
      "#30=AXIS2_PLACEMENT_3D('',#40,#50,#51);\n#31=AXIS2_PLACEMENT_3D('',#40,#50,#51);\n"
      "#32=AXIS2_PLACEMENT_3D('',#41,#50,#52);\n#40=CARTESIAN_POINT('',(0.,0.,0.));\n"
      "#41=CARTESIAN_POINT('',(100.,20.,3.));\n#50=DIRECTION('',(0.,0.,1.));\n"
      "#51=DIRECTION('',(1.,0.,0.));\n#52=DIRECTION('',(0.,1.,0.));\n"
      "#60=(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNIT_ASSIGNED_CONTEXT((#61,#62))"
      "REPRESENTATION_CONTEXT('',''));\n#61=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));\n"
      "#62=(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.));\n"
      "#70=STYLED_ITEM('',(#71),#80);\n#71=PRESENTATION_STYLE_ASSIGNMENT((#72));\n"
      "#72=SURFACE_STYLE_USAGE(.BOTH.,#73);\n#73=COLOUR_RGB('',0.25,0.5,1.);\n"
      "#80=MANIFOLD_SOLID_BREP('',$);\n#81=PRESENTATION_LAYER_ASSIGNMENT('panel 1','',(#80));\n"
      "#82=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#80),#60);\n"
      "#83=SHAPE_DEFINITION_REPRESENTATION(#23,#82);\n"
      "#90=PROPERTY_DEFINITION('material property','density',#22);\n"
      "#91=REPRESENTATION('',(#92),#60);\n"
      "#92=(MEASURE_REPRESENTATION_ITEM()MEASURE_WITH_UNIT(DENSITY_MEASURE(7850.),#61)"
      "REPRESENTATION_ITEM('density'));\n#93=PROPERTY_DEFINITION_REPRESENTATION(#90,#91);\n");
}

TEST(Part21Structure, TreeNamesAndPlacements) {
  const File file = parse(assembly());
  for (const Problem& problem : file.problems) ADD_FAILURE() << problem.text;
  const Structure structure = readStructure(file);
  for (const std::string& problem : structure.problems) ADD_FAILURE() << problem;
  ASSERT_EQ(structure.roots, std::vector<long>{12});
  const Product& gate = structure.products.at(12);
  ASSERT_EQ(gate.components.size(), 2U);
  EXPECT_EQ(gate.components[1].name, "PK1.2");
  EXPECT_EQ(structure.products.at(22).used, 2);
  const Vec3 moved = gate.components[1].placement.toWorld({1, 0, 0});
  EXPECT_NEAR(moved.x, 100, 1e-12);
  EXPECT_NEAR(moved.y, 21, 1e-12);
  EXPECT_NEAR(moved.z, 3, 1e-12);
}

TEST(Part21Structure, UnitsColoursLayersProperties) {
  const Structure structure = readStructure(parse(assembly()));
  EXPECT_EQ(structure.length_unit, "mm");
  EXPECT_EQ(structure.colours.at(80), (std::array<double, 3>{0.25, 0.5, 1}));
  EXPECT_EQ(structure.layers.at("panel 1"), std::vector<long>{80});
  EXPECT_EQ(structure.products.at(22).solids, std::vector<long>{80});
  const Property& density = structure.products.at(22).properties.at(0);
  EXPECT_EQ(density.description, "density");
  EXPECT_EQ(density.items.at(0).number, 7850);
}

TEST(Part21Structure, FaultsAreReported) {
  const auto firstProblem = [](const std::string& from, const std::string& to) {
    std::string text = assembly();
    text.replace(text.find(from), from.size(), to);
    const Structure structure = readStructure(parse(text));
    return structure.problems.empty() ? structure.length_unit : structure.problems.front();
  };
  EXPECT_EQ(firstProblem("#12,#22,$", "#12,#23,$"), "occurrence #100 does not join two products");
  EXPECT_EQ(firstProblem("#12,#22,$", "#22,#22,$"), "a product contains itself");
  EXPECT_EQ(firstProblem("SI_UNIT(.MILLI.,.METRE.)", "SI_UNIT($,.METRE.)"), "m");
  EXPECT_EQ(firstProblem("RADIAN", "DEGREE"), "angles are not in radians");
  EXPECT_EQ(firstProblem("('',#41,#50,#52)", "('',#41,#50,#50)"),
            "placement #204 of PK1.2 is malformed");
}

}  // namespace
}  // namespace leafstack::part21
