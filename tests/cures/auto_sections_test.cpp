// What "auto" chooses, against every section there is.
#include "generator/cures/auto_sections.h"

#include <gtest/gtest.h>

#include <string_view>

#include <algorithm>
#include <optional>

#include "generator/cures/section_members.h"
#include "generator/layout/figures/sections.h"
#include "params/catalogue/catalogue.h"
#include "params/spec/section.h"
#include "tests/cures/tried_gates.h"

namespace leafstack {
namespace {

using gates::judged;
using gates::Judged;

SectionChoice chosen(const std::string& text) {
  const ReadResult read = readGate(text, "test gate");
  Trials trials([&](std::span<const Override> more) { return readGate(text, "test gate", more); });
  return chooseSections(read.gate->spec, trials);
}

/// Whether the members named and the guide rails beside them hold, the frame keeps still enough and
/// nothing meets.
bool holds(const Judged& gate, const std::vector<std::string>& names) {
  if (!gate.problem.empty() || !gate.loads.structure.problem.empty() || !gate.isClear()) {
    return false;
  }
  for (const StructureMember& member : gate.loads.structure.members) {
    for (const std::string& name : names) {
      if (member.panel > 0 && member.name.find(name) != std::string::npos && member.use > 1) {
        return false;
      }
    }
  }
  for (const StructureDetail& detail : gate.loads.structure.details) {
    if (std::string_view(detail.id) == "guide-rail-overload" && detail.use > 1) {
      return false;
    }
  }
  return gate.loads.structure.deflection_mm <= gate.loads.structure.deflection_limit_mm;
}

double areaOf(const std::string& designation) {
  return bendingAcross(std::get<HollowSection>(parseSection(designation))).area_mm2;
}

/// A gate whose lightest sections do not hold.
gates::Json windyGate() {
  return gates::gateFile(
      {{"/site/opening_mm", 5000}, {"/gate/height_mm", 1600}, {"/checks/wind_speed_m_s", 35}});
}

TEST(AutoSections, OneMemberIsTheLightestOfAllThatHold) {
  for (const auto& [pointer, name] :
       {std::pair("/gate/stile", "stile"), std::pair("/gate/top_rail", "top rail"),
        std::pair("/gate/bottom_rail", "bottom rail")}) {
    SCOPED_TRACE(pointer);
    gates::Json file = windyGate();
    file[gates::Json::json_pointer(pointer)] = "auto";
    const SectionChoice choice = chosen(file.dump());
    ASSERT_EQ(choice.problems, std::vector<std::string>{});
    ASSERT_EQ(choice.chosen.size(), 1u);
    std::optional<double> least;
    for (const HollowSection& section : boughtSections()) {
      if (section.depth_mm == 50 && (!least || areaOf(section.designation) < *least)) {
        file[gates::Json::json_pointer(pointer)] = section.designation;
        if (holds(judged(file.dump()), {name})) {
          least = areaOf(section.designation);
        }
      }
    }
    ASSERT_TRUE(least);
    EXPECT_EQ(areaOf(choice.chosen.front().value), *least) << choice.chosen.front().value;
    EXPECT_NE(choice.chosen.front().why.find("the lightest of"), std::string::npos);
  }
}

TEST(AutoSections, OfTwoNeitherCanBeLighterAlone) {
  gates::Json file = windyGate();
  file["gate"]["top_rail"] = file["gate"]["stile"] = "auto";
  const SectionChoice choice = chosen(file.dump());
  ASSERT_EQ(choice.problems, std::vector<std::string>{});
  ASSERT_EQ(choice.chosen.size(), 2u);
  std::vector<std::string> sets;
  for (const ChosenValue& one : choice.chosen) {
    sets.push_back(one.pointer + "=" + one.value);
  }
  EXPECT_TRUE(holds(judged(file.dump(), sets), {"stile", "top rail"}));
  for (std::size_t i = 0; i < sets.size(); ++i) {
    for (const HollowSection& section : sectionsOfDepth(50)) {
      if (areaOf(section.designation) < areaOf(choice.chosen[i].value)) {
        std::vector<std::string> lighter = sets;
        lighter[i] = choice.chosen[i].pointer + "=" + section.designation;
        EXPECT_FALSE(holds(judged(file.dump(), lighter), {"stile", "top rail"})) << lighter[i];
      }
    }
  }
}

// Every pair of sections whose panels would be lighter, by brute force.
TEST(AutoSections, OfTwoNoLighterPairHolds) {
  gates::Json file = windyGate();
  file["gate"]["top_rail"] = file["gate"]["stile"] = "auto";
  const SectionChoice choice = chosen(file.dump());
  ASSERT_EQ(choice.chosen.size(), 2u);
  const auto massWith = [&](const std::string& top, const std::string& stile) {
    constexpr double kTopsMm = 5100, kStilesMm = 4 * 1450;  // of two panels, near enough
    return areaOf(top) * kTopsMm + areaOf(stile) * kStilesMm;
  };
  const double mass = massWith(choice.chosen[0].value, choice.chosen[1].value);
  int tried = 0;
  for (const HollowSection& top : sectionsOfDepth(50)) {
    for (const HollowSection& stile : sectionsOfDepth(50)) {
      if (massWith(top.designation, stile.designation) >= 0.995 * mass) {
        continue;
      }
      ++tried;
      file["gate"]["top_rail"] = top.designation;
      file["gate"]["stile"] = stile.designation;
      EXPECT_FALSE(holds(judged(file.dump()), {"stile", "top rail"}))
          << top.designation << ", " << stile.designation;
    }
  }
  EXPECT_GT(tried, 3);
}

TEST(AutoSections, WhereNothingHoldsItIsSaid) {
  const SectionChoice choice = chosen(gates::gateFile({{"/gate/stile", "auto"},
                                                       {"/gate/infill/kind", "sheet"},
                                                       {"/gate/height_mm", 2600},
                                                       {"/checks/wind_Pa", 5000}})
                                          .dump());
  EXPECT_TRUE(choice.chosen.empty());
  ASSERT_GE(choice.problems.size(), 2u);
  EXPECT_EQ(choice.problems.front().rfind("/gate/stile: none of the ", 0), 0u)
      << choice.problems.front();
}

// Boards in the assumed wind ask for a thicker leg of the guide rail than the shelf's, whatever the
// sections: they are chosen all the same, and with that leg nothing is left.
TEST(AutoSections, AGuideRailsOwnLegIsLeftToItsCure) {
  gates::Json file = gates::gateFile({{"/site/opening_mm", 6000},
                                      {"/gate/cladding/kind", "boards"},
                                      {"/gate/bottom_rail", "auto"},
                                      {"/gate/top_rail", "auto"},
                                      {"/gate/stile", "auto"},
                                      {"/guides/post_mm", "auto"}});
  const SectionChoice choice = chosen(file.dump());
  ASSERT_EQ(choice.chosen.size(), 4U);
  for (const ChosenValue& one : choice.chosen) {
    file[gates::Json::json_pointer(one.pointer)] = gates::Json::parse(
        one.value.find(' ') == std::string::npos ? one.value : "\"" + one.value + "\"");
  }
  const std::vector<std::string> all = {"bottom rail", "top rail", "stile"};
  EXPECT_FALSE(holds(judged(file.dump()), all));
  file[gates::Json::json_pointer("/hardware/guide/rail_thickness_mm")] = 5;
  EXPECT_TRUE(holds(judged(file.dump()), all));
}

TEST(AutoSections, ReadAsAutoTheyStartAsDeepAsWhatIsGiven) {
  const GateSpec spec = gates::specWith({{"/gate/bottom_rail", "RHS 100x60x4"},
                                         {"/gate/top_rail", "auto"},
                                         {"/gate/stile", "auto"},
                                         {"/guides/post_mm", "auto"}});
  EXPECT_TRUE(leavesSections(spec));
  EXPECT_EQ(spec.gate.top_rail.depth_mm, 60);
  EXPECT_EQ(spec.gate.stile.depth_mm, 60);
  EXPECT_TRUE(spec.guides.post_is_auto);
  EXPECT_FALSE(leavesSections(gates::specWith()));
}

// Outside check of the table's masses: rows of an open data set of cold-formed sections to
// EN 10219 (steelsnakes, row R4), as model/oracle_sections_test.cpp has them; steel 7850 kg/m3.
TEST(AutoSections, TheTableHoldsPublishedSizes) {
  const std::pair<const char*, double> kRows[] = {
      {"SHS 40x40x3", 3.30},  {"SHS 50x50x3", 4.25},  {"SHS 50x50x4", 5.45},
      {"SHS 60x60x3", 5.19},  {"SHS 60x60x4", 6.71},  {"SHS 80x80x4", 9.22},
      {"RHS 60x40x3", 4.25},  {"RHS 80x40x4", 6.71},  {"RHS 100x50x3", 6.60},
      {"RHS 100x50x4", 8.59}, {"RHS 100x60x4", 9.22}, {"RHS 120x60x4", 10.5}};
  for (const auto& [designation, kg_per_m] : kRows) {
    const auto found =
        std::find_if(boughtSections().begin(), boughtSections().end(),
                     [&](const HollowSection& one) { return one.designation == designation; });
    ASSERT_NE(found, boughtSections().end()) << designation;
    EXPECT_NEAR(areaOf(found->designation) * 7850e-6, kg_per_m, 0.05) << designation;
  }
}

}  // namespace
}  // namespace leafstack
