// Surroundings as others drew them: the same body as a box of the gate file, as STL, as GLB and as
// STEP is the same obstacle; one of many triangles is met where arithmetic says; and each way in
// which a file can be wrong has its own words.
#include <gtest/gtest.h>
#include <BRepPrimAPI_MakeBox.hxx>
#include <STEPControl_Writer.hxx>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <iterator>
#include <map>
#include <numbers>
#include <sstream>

#include "generator/clash/report/clash.h"
#include "generator/geometry/mesh/given_mesh.h"
#include "generator/surroundings/surroundings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;
using Corners = std::vector<std::array<Vec3, 3>>;

Corners boxOf(const Vec3& low, const Vec3& high) {
  std::array<Vec3, 8> v;
  for (int i = 0; i < 8; ++i) {
    v[i] = {i & 4 ? high[0] : low[0], i & 2 ? high[1] : low[1], i & 1 ? high[2] : low[2]};
  }
  Corners out;
  for (const auto& [a, b, c, d] : std::array<std::array<int, 4>, 6>{
           {{0, 1, 3, 2}, {4, 6, 7, 5}, {0, 4, 5, 1}, {2, 3, 7, 6}, {0, 2, 6, 4}, {1, 5, 7, 3}}}) {
    out.push_back({v[a], v[b], v[c]});
    out.push_back({v[a], v[c], v[d]});
  }
  return out;
}

/// Of `rows` rows from pole to pole and twice as many columns.
Corners ballOf(const Vec3& middle, double radius, int rows) {
  const auto at = [&](int row, int column) {
    const double down = std::numbers::pi * row / rows;
    const double round =
        row == 0 || row == rows ? 0 : std::numbers::pi * (column % (2 * rows)) / rows;
    const double out = row == 0 || row == rows ? 0 : radius * std::sin(down);
    return Vec3{middle[0] + out * std::cos(round), middle[1] + out * std::sin(round),
                middle[2] + radius * std::cos(down)};
  };
  Corners out;
  for (int row = 0; row < rows; ++row) {
    for (int column = 0; column < 2 * rows; ++column) {
      if (row > 0) {
        out.push_back({at(row, column), at(row + 1, column), at(row, column + 1)});
      }
      if (row < rows - 1) {
        out.push_back({at(row, column + 1), at(row + 1, column), at(row + 1, column + 1)});
      }
    }
  }
  return out;
}

template <class Value>
void put(std::string& bytes, Value value) {
  char raw[sizeof value];
  std::memcpy(raw, &value, sizeof value);
  bytes.append(raw, sizeof value);
}

std::string stl(const Corners& triangles, double unit = 1) {
  std::string bytes(80, ' ');
  put(bytes, static_cast<std::uint32_t>(triangles.size()));
  for (const auto& triangle : triangles) {
    bytes.append(12, '\0');
    for (const Vec3& point : triangle) {
      for (const double figure : point) {
        put(bytes, static_cast<float>(figure / unit));
      }
    }
    bytes.append(2, '\0');
  }
  return bytes;
}

std::string stlInWords(const Corners& triangles) {
  std::ostringstream text;
  text << "solid one\n";
  for (const auto& triangle : triangles) {
    text << "facet normal 0 0 0\n outer loop\n";
    for (const Vec3& p : triangle) {
      text << "  vertex " << p[0] << ' ' << p[1] << " +" << std::abs(p[2]) << "e0\n";
    }
    text << " endloop\nendfacet\n";
  }
  text << "endsolid one\n";
  return text.str();
}

/// Metres, Y upwards, under a node that is turned half about Y and moved: what the reader must
/// undo.
std::string glb(const Corners& triangles) {
  std::string points;
  for (const auto& triangle : triangles) {
    for (const Vec3& p : triangle) {
      const Vec3 up = {p[0] / 1000 - 1, p[2] / 1000, -p[1] / 1000};  // before the node's shift
      for (const double figure : {-up[0], up[1], -up[2]}) {          // before its half turn
        put(points, static_cast<float>(figure));
      }
    }
  }
  const std::size_t count = 3 * triangles.size();
  Json file = {{"asset", {{"version", "2.0"}}},
               {"scene", 0},
               {"scenes", {{{"nodes", {0}}}}},
               {"nodes", {{{"translation", {1, 0, 0}}, {"rotation", {0, 1, 0, 0}}, {"mesh", 0}}}},
               {"meshes", {{{"primitives", {{{"attributes", {{"POSITION", 0}}}}}}}}},
               {"accessors",
                {{{"bufferView", 0}, {"componentType", 5126}, {"count", count}, {"type", "VEC3"}}}},
               {"bufferViews", {{{"buffer", 0}, {"byteLength", points.size()}}}},
               {"buffers", {{{"byteLength", points.size()}}}}};
  std::string words = file.dump();
  words.append((4 - words.size() % 4) % 4, ' ');
  std::string bytes = "glTF";
  put(bytes, std::uint32_t{2});
  put(bytes, static_cast<std::uint32_t>(12 + 8 + words.size() + 8 + points.size()));
  put(bytes, static_cast<std::uint32_t>(words.size()));
  bytes += "JSON" + words;
  put(bytes, static_cast<std::uint32_t>(points.size()));
  bytes += std::string("BIN\0", 4) + points;
  return bytes;
}

std::string step(const Vec3& low, const Vec3& high) {
  STEPControl_Writer writer;
  writer.Transfer(
      BRepPrimAPI_MakeBox(gp_Pnt(low[0], low[1], low[2]), gp_Pnt(high[0], high[1], high[2]))
          .Solid(),
      STEPControl_AsIs);
  const std::string path = testing::TempDir() + "leafstack-surrounding.step";
  EXPECT_EQ(writer.Write(path.c_str()), IFSelect_RetDone);
  std::ifstream file(path);
  std::string text{std::istreambuf_iterator<char>(file), {}};
  std::remove(path.c_str());
  return text;
}

class Surroundings : public testing::Test {
 protected:
  /// Files by name, in place of a folder.
  std::map<std::string, std::string> files;

  ReadResult read(const Json& gate) const {
    HardwareInput input;
    input.gate_folder = "";
    input.read_surroundings = [this](const std::string& path, const std::string& unit) {
      return readShapes(files.at(path), path, unit);
    };
    return readGate(gate.dump(), "gate", {}, input);
  }
  static Json gate(const Json& surroundings) {
    Json file = Json::parse(
        R"({"leafstack":1,"site":{"opening_mm":5650,"room_mm":4000},"gate":{"panels":3,"height_mm":1500,"return":false}})");
    file["site"]["surroundings"] = surroundings;
    return file;
  }
  Model modelWith(const Json& file) const {
    const ReadResult result = read(file);
    EXPECT_TRUE(result.gate) << (result.problems.empty() ? "" : toString(result.problems.front()));
    return buildModel(result.gate->spec, gates::laidOut(result.gate->spec));
  }
  std::string problemsOf(const Json& surroundings) const {
    std::string told;
    for (const Diagnostic& problem : read(gate(surroundings)).problems) {
      told += toString(problem) + "\n";
    }
    return told;
  }
  /// Findings in words, without the volume, which triangles have none of.
  static std::string told(const ClashReport& report) {
    std::string text(toString(report.verdict));
    for (const Finding& one : report.findings) {
      text += "\n" + one.a.name + " and " + one.b.name;
      for (const Stretch& stretch : one.stretches_mm) {
        text += ", " + std::to_string(std::lround(10 * stretch.from_mm)) + " to " +
                std::to_string(std::lround(10 * stretch.to_mm));
      }
    }
    return text;
  }
};

TEST_F(Surroundings, TheSameBodyIsTheSameObstacleInEveryFormat) {
  const Vec3 low = {2000, -400, 300}, high = {2200, 100, 1300};
  files = {{"a.stl", stl(boxOf(low, high))},
           {"m.stl", stl(boxOf(low, high), 1000)},
           {"words.stl", stlInWords(boxOf(low, high))},
           {"a.glb", glb(boxOf(low, high))},
           {"a.step", step(low, high)}};
  Json with_box = gate(Json::array());
  with_box["site"]["obstacles"] = Json::array({{{"name", "pier"}, {"box_mm", {low, high}}}});
  const std::string wanted = told(checkClashes(modelWith(with_box)));
  EXPECT_NE(wanted.find("pier"), std::string::npos);
  const auto named = [](const char* file) { return Json{{"file", file}, {"name", "pier"}}; };
  Json in_metres = named("m.stl");
  in_metres["unit"] = "m";
  for (const Json& one :
       {named("a.stl"), in_metres, named("words.stl"), named("a.glb"), named("a.step")}) {
    EXPECT_EQ(told(checkClashes(modelWith(gate(Json::array({one}))))), wanted) << one;
  }
}

// Turned a quarter to the left and moved: as worked out by hand.
TEST_F(Surroundings, StandWhereTheyArePut) {
  files = {{"a.stl", stl(boxOf({0, 0, 0}, {300, 100, 900}))},
           {"a.step", step({0, 0, 0}, {300, 100, 900})}};
  for (const char* hand : {"right", "left"}) {
    for (const char* name : {"a.stl", "a.step"}) {
      Json file = gate({{{"file", name}, {"at_mm", {-2000, 700, 10}}, {"turned_deg", 90}}});
      file["site"]["opens"] = hand;
      const Model model = modelWith(file);
      const auto one = std::find_if(model.instances.begin(), model.instances.end(),
                                    [&](const Instance& instance) {
                                      return model.parts[instance.part].kind == PartKind::kObstacle;
                                    });
      ASSERT_NE(one, model.instances.end());
      const Bounds wanted{{-2100, 700, 10}, {-2000, 1000, 910}};
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_NEAR(one->bounds.low[axis], wanted.low[axis], 1e-3) << hand << name;
        EXPECT_NEAR(one->bounds.high[axis], wanted.high[axis], 1e-3) << hand << name;
      }
    }
  }
}

// A ball whose nearest point stands `gap` before the front panel's pickets; its triangles lie up to
// r (1 - cos(pi / 2 rows)) / cos inside it.
TEST_F(Surroundings, OfManyTrianglesAreMetWhereTheyStand) {
  const Model bare = modelWith(gate(Json::array()));
  const double radius = 300, sag = radius * (1 - std::pow(std::cos(std::numbers::pi / 120), 2));
  double front_y = 1e9, low_x = 0, high_x = 0;
  for (const Instance& one : bare.instances) {
    if (one.panel == 3 && bare.parts[one.part].kind == PartKind::kStile &&
        one.bounds.low[1] < front_y) {
      front_y = one.bounds.low[1];
      low_x = one.bounds.low[0];
      high_x = one.bounds.high[0];
    }
  }
  for (const double gap : {5.0, 1.0, -3.0}) {
    const Vec3 middle = {(low_x + high_x) / 2 + 1000, front_y - gap - radius, 900};
    files = {{"ball.stl", stl(ballOf(middle, radius, 60))}};
    const Model model = modelWith(gate({"ball.stl"}));
    ASSERT_TRUE(model.parts.back().kind != PartKind::kObstacle || model.parts.back().is_triangles);
    const ClashReport report = checkClashes(model);
    const Verdict wanted = gap > 2 ? Verdict::kClear : gap > 0 ? Verdict::kTight : Verdict::kClash;
    EXPECT_EQ(report.verdict, wanted) << gap;
    for (const Finding& finding : report.findings) {
      if (gap > 0) {
        EXPECT_GE(finding.clearance_mm, gap - 1e-3) << finding.text;
      } else {
        EXPECT_EQ(finding.finding_class, FindingClass::kPenetration) << finding.text;
        EXPECT_LE(finding.depth_mm, -gap + 1e-3) << finding.text;
      }
    }
    if (gap > 0 && gap < 2) {
      ASSERT_FALSE(report.findings.empty());
      EXPECT_LE(report.findings.front().clearance_mm, gap + sag + 1e-3);
    }
  }
}

TEST_F(Surroundings, EveryWayToBeWrongHasItsWords) {
  Corners open = boxOf({0, 0, 0}, {300, 300, 900});
  open.pop_back();
  Corners inside_out = boxOf({0, 0, 0}, {300, 300, 900});
  std::swap(inside_out[3][1], inside_out[3][2]);
  const Corners leaf = {{{{0, 0, 0}, {1000, 0, 0}, {0, 1000, 0}}},
                        {{{0, 0, 0}, {0, 1000, 0}, {1000, 0, 0}}}};
  std::string cut = stlInWords(boxOf({0, 0, 0}, {300, 300, 900}));
  cut.resize(cut.find("vertex", cut.size() / 2) + 20);
  std::string damaged = step({0, 0, 0}, {300, 300, 900});
  damaged.resize(damaged.size() / 3);
  std::string dangling = step({0, 0, 0}, {300, 300, 900});
  const std::size_t entity = dangling.find("\n#40 ");
  ASSERT_NE(entity, std::string::npos);
  dangling.insert(entity + 2, "999");
  std::string uncounted = stl(boxOf({0, 0, 0}, {300, 300, 900}));
  uncounted[80] = 13;
  std::string short_glb = glb(boxOf({0, 0, 0}, {300, 300, 900}));
  short_glb.resize(short_glb.size() - 40);
  Corners crowd;
  for (int i = 0; i < 201; ++i) {
    const Corners one = boxOf({400.0 * i, 0, 0}, {400.0 * i + 100, 100, 900});
    crowd.insert(crowd.end(), one.begin(), one.end());
  }
  Corners beside = boxOf({0, 0, 0}, {300, 300, 900});  // two boxes that share an edge
  const Corners other = boxOf({300, 300, 0}, {600, 600, 900});
  beside.insert(beside.end(), other.begin(), other.end());
  files = {{"open.stl", stl(open)},
           {"faces.stl", stl(inside_out)},
           {"leaf.stl", stl(leaf)},
           {"small.stl", stl(boxOf({0, 0, 0}, {0.3, 0.3, 0.9}))},
           {"huge.stl", stl(boxOf({0, 0, 0}, {3e6, 300, 900}))},
           {"nan.stl", stl({{{{0, 0, 0}, {1000, 0, std::nan("")}, {0, 1000, 0}}}})},
           {"cut.stl", cut},
           {"none.stl", stl({})},
           {"empty.stl", ""},
           {"words.stl", "nothing of the kind"},
           {"gate.gltf", R"({"asset":{"version":"2.0"}})"},
           {"cut.step", damaged},
           {"dangling.step", dangling},
           {"uncounted.stl", uncounted},
           {"cut.glb", short_glb},
           {"crowd.stl", stl(crowd)},
           {"beside.stl", stl(beside)},
           {"a.step", step({0, 0, 0}, {300, 300, 900})}};
  const std::vector<std::pair<Json, std::string>> cases = {
      {"open.stl", "is open: it has 3 edges of one triangle only"},
      {"faces.stl", "whose two triangles face opposite ways"},
      {"leaf.stl", "without thickness"},
      {"small.stl", "if it was drawn in m, write \"unit\": \"m\""},
      {"huge.stl", "hardly what was meant"},
      {"nan.stl", "a corner that is no number"},
      {"cut.stl", "ends within a triangle"},
      {"none.stl", "has no triangles"},
      {"empty.stl", "is empty"},
      {"words.stl", "is no STEP, STL or GLB file"},
      {"gate.gltf", "export it as GLB"},
      {"cut.step", "is damaged"},
      {"dangling.step", "it names #40 and has none"},
      {"uncounted.stl", "its head counts 13 triangles, and it has room for 12"},
      {"cut.glb", "ends too early"},
      {"crowd.stl", "has 201 bodies, more than 200"},
      {"beside.stl", "where more than two triangles meet"},
      {{{"file", "a.step"}, {"unit", "m"}}, "says its unit itself"},
      {{{"file", "a.step"}, {"units", "m"}}, "did you mean \"unit\"?"},
      {{{"file", "a.step"}, {"unit", "yard"}}, "is no unit"},
      {{{"file", "a.step"}, {"turned_deg", 400}}, "-360 to 360 degrees"},
      {{{"file", "a.step"}, {"at_mm", {1, 2}}}, "is no place"},
      {{{"name", "a"}}, "surroundings without a file"},
      {"", "is no file's name"},
      {7, "is no file of surroundings"}};
  for (const auto& [one, words] : cases) {
    const std::string told = problemsOf(Json::array({one}));
    EXPECT_NE(told.find(words), std::string::npos) << one << " says\n" << told;
    EXPECT_NE(told.find("/site/surroundings/0"), std::string::npos) << told;
  }
  // All at once, each at its own place.
  const std::string all = problemsOf({"open.stl", "a.step", "words.stl"});
  EXPECT_NE(all.find("/site/surroundings/0"), std::string::npos);
  EXPECT_NE(all.find("/site/surroundings/2"), std::string::npos);
  EXPECT_EQ(all.find("/site/surroundings/1"), std::string::npos);
}

// Text without a folder has no files beside it: told, not passed over.
TEST_F(Surroundings, NeedAFolder) {
  const ReadResult read = readGate(gate({"fence.stl"}).dump(), "<stdin>");
  ASSERT_FALSE(read.gate);
  EXPECT_NE(toString(read.problems.front()).find("has no folder of its own"), std::string::npos);
}

}  // namespace
}  // namespace leafstack
