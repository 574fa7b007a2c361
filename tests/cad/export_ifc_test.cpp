// gate.ifc: identifiers that last, and shapes that are what they say. The file as a whole is read
// by a general reader of the format (tests/readers/ifc.mjs).
#include "exporters/cad/ifc/ifc.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <numbers>
#include <regex>
#include <string>

#include "exporters/cad/bcf/bcf.h"
#include "exporters/cad/bcf/guid.h"
#include "exporters/cad/ifc/extrusion.h"
#include "tests/support/built_gates.h"
#include "tests/support/faulty_gates.h"

namespace leafstack {
namespace {

using gates::Json;

const Provenance kThen{"2024-05-01T12:00:00Z", std::string(64, '0')};

std::string fileOf(const char* gate, const Provenance& provenance = kThen) {
  const GateSpec spec = gates::specOf(Json::parse(gate));
  return ifcFile(buildModel(spec, gates::laidOut(spec)), provenance);
}

/// Of whatever has an identifier and a name: identifiers by name.
std::map<std::string, std::string> identifiers(const std::string& file) {
  static const std::regex kRooted(R"(= IFC[A-Z]+\('([0-9A-Za-z_$]{22})',\$,'([^']*)')");
  std::map<std::string, std::string> by_name;
  for (std::sregex_iterator at(file.begin(), file.end(), kRooted), end; at != end; ++at) {
    by_name[(*at)[2]] = (*at)[1];
  }
  return by_name;
}

constexpr const char* kGate =
    R"({"leafstack":1,"job":{"number":"T-7"},"site":{"opening_mm":4700},"gate":{"panels":2}})";

// The same part of the same job, in a gate that is higher and was built another day.
TEST(Ifc, PartsOfAJobKeepTheirIdentifiers) {
  const auto before = identifiers(fileOf(kGate));
  EXPECT_EQ(before, identifiers(fileOf(kGate, {"2025-01-01T00:00:00Z", std::string(64, '1')})));
  const auto after = identifiers(fileOf(
      R"({"leafstack":1,"job":{"number":"T-7"},"site":{"opening_mm":4700},
          "gate":{"panels":2,"height_mm":1610}})"));
  int same = 0;
  for (const auto& [name, id] : before) {
    if (const auto found = after.find(name); found != after.end()) {
      EXPECT_EQ(found->second, id) << name;
      ++same;
    }
  }
  EXPECT_GT(same, 100);
  const auto other = identifiers(fileOf(
      R"({"leafstack":1,"job":{"number":"T-8"},"site":{"opening_mm":4700},"gate":{"panels":2}})"));
  EXPECT_NE(other.at("BR1.1"), before.at("BR1.1"));
}

TEST(Ifc, SameGateSameBytes) {
  EXPECT_TRUE(fileOf(kGate) == fileOf(kGate));
}

// Road to property due east: north lies to the left, +X runs south (worked by hand).
TEST(Ifc, StandsOnTheMapWhereTheFileSays) {
  const std::string file = fileOf(
      R"({"leafstack":1,"site":{"opening_mm":4700,"easting":500,"northing":70.5,"north_deg":90,
          "elevation_mm":2500},"gate":{"panels":2}})");
  static const std::regex kMap(
      R"(IFCMAPCONVERSION\(#\d+,#\d+,500\.,70\.5,2\.5,([^,]*),([^,]*),[^)]*\))");
  std::smatch found;
  ASSERT_TRUE(std::regex_search(file, found, kMap));
  EXPECT_NEAR(std::stod(found[1]), 0, 1e-12);   // of +X: no way east,
  EXPECT_NEAR(std::stod(found[2]), -1, 1e-12);  // all of it south
  EXPECT_EQ(fileOf(kGate).find("IFCMAPCONVERSION"), std::string::npos);
}

// Parts named in the topics of a gate that clashes stand in its model under the same identifiers.
TEST(Ifc, TopicsPointIntoIt) {
  const gates::Faulty& gate = gates::faultyGates().front();
  const std::string bcf = bcfFile(gate.model, gate.clash, kThen);
  const std::string ifc = ifcFile(gate.model, kThen);
  static const std::regex kComponent("IfcGuid=\"([^\"]*)\"");
  int found = 0;
  for (std::sregex_iterator at(bcf.begin(), bcf.end(), kComponent), end; at != end; ++at) {
    EXPECT_NE(ifc.find("'" + (*at)[1].str() + "'"), std::string::npos) << (*at)[1];
    ++found;
  }
  EXPECT_GT(found, 1);
}

// EN 10219-2, 6.3: outside corners of up to 6 mm walls are about 2 walls round, inside ones 1 wall.
TEST(Ifc, PlainTubesAreTheirProfilesDrawnOut) {
  const GateSpec spec = gates::specOf(Json::parse(kGate));
  const Model model = buildModel(spec, gates::laidOut(spec));
  int tubes = 0, cut = 0;
  for (const Part& part : model.parts) {
    const auto drawn = extrusionOf(part);
    if (drawn) {
      EXPECT_NEAR(drawn->volumeMm3(), part.volume_mm3, 1e-8 * part.volume_mm3) << part.mark;
    }
    if (!part.tube) {
      continue;
    }
    if (!part.cutouts.empty()) {
      EXPECT_FALSE(drawn) << part.in_words;
      ++cut;
      continue;
    }
    ASSERT_TRUE(drawn) << part.in_words;
    const auto hollow = hollowOutline(drawn->loops);
    ASSERT_TRUE(hollow) << part.in_words;
    EXPECT_NEAR(drawn->depth_mm, part.length_mm, 1e-6);
    EXPECT_NEAR(hollow->wall_mm, part.tube->wall_mm, 1e-6);
    EXPECT_NEAR(std::max(hollow->wide_mm, hollow->high_mm),
                std::max(part.tube->height_mm, part.tube->depth_mm), 1e-6);
    EXPECT_NEAR(hollow->outer_radius_mm, 2 * part.tube->wall_mm, 1e-4);
    EXPECT_NEAR(hollow->inner_radius_mm, part.tube->wall_mm, 1e-4);
    ++tubes;
  }
  EXPECT_GT(tubes, 2);
  EXPECT_GT(cut, 1);
}

}  // namespace
}  // namespace leafstack
