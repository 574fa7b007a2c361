// What `compare` says of random sites against what building the arrangements gives.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "generator/clash/report/clash.h"
#include "generator/compare/arrangements.h"
#include "generator/compare/cost/estimate.h"
#include "generator/loads/loads.h"
#include "tests/support/random_gates.h"
#include "tests/support/report_text.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using gates::Json;

constexpr unsigned kSites = 500;
constexpr double kSameMm = 1e-9;

/// A gate file with room for some of its arrangements.
Json siteWithRoom(unsigned number) {
  gates::GateDice dice(52000 + number);
  Json file = dice.gate();
  const double opening = file["site"]["opening_mm"];
  // From a quarter of the opening, where nothing fits, to where a single panel does.
  constexpr double kShares[] = {0.35, 0.45, 0.55, 0.7, 1.3, 0.25};
  file["site"]["room_mm"] = std::round(opening * kShares[number % 6]);
  if (number % 7 == 0) {
    file["site"]["grade"] = number % 2 == 0 ? 0.02 : -0.02;
    file["site"]["bank"] = 0.1;
    constexpr const char* kTops[] = {"raked", "level", "stepped"};
    file["gate"]["top"] = kTops[number / 7 % 3];
  }
  return file;
}

/// The gate file of one arrangement, through the reader.
GateSpec specWith(const Json& file, const std::vector<std::string>& sets) {
  std::vector<Override> overrides;
  for (const std::string& set : sets) {
    const std::size_t equals = set.find('=');
    overrides.push_back({set.substr(0, equals), set.substr(equals + 1)});
  }
  const ReadResult read = readGate(file.dump(), "site", overrides);
  if (!read.gate) {
    throw std::invalid_argument(toString(read.problems.front()) + file.dump());
  }
  return read.gate->spec;
}

std::string label(unsigned site, const Arrangement& made) {
  return "site " + std::to_string(site) + ": " + nameOf(made.choice);
}

/// Laid out by itself, it needs the same room by the same constraint.
Layout expectSameLayout(const GateSpec& spec, const Arrangement& made, const std::string& where) {
  const LayoutResult result = layOut(spec);
  const Layout& layout = result.layout;
  EXPECT_EQ(result.problems.empty(), made.laid_out) << where;
  EXPECT_NEAR(layout.room_mm, made.room_mm, kSameMm) << where;
  EXPECT_NEAR(layout.room_given_mm - layout.room_total_mm, made.margin_mm.value_or(NAN), kSameMm)
      << where;
  EXPECT_EQ(layout.binding, made.binding) << where;
  EXPECT_EQ(layout.fits && result.problems.empty(), made.fits) << where;
  for (const PanelLayout& panel : layout.panels) {
    EXPECT_NEAR(panel.length_mm, made.panel_length_mm.at(panel.number - 1), kSameMm) << where;
  }
  const double pocket = layout.ground.pockets.empty() ? 0 : layout.ground.pockets.front().volume_m3;
  EXPECT_NEAR(pocket, made.pocket_m3, kSameMm) << where;
  return layout;
}

/// Built, it is clear, weighs and pulls what was estimated.
void expectBuilds(const GateSpec& spec, const Layout& layout, const Arrangement& made,
                  const std::string& where) {
  const Model model = buildModel(spec, layout);
  const ClashReport clash = checkClashes(model);
  EXPECT_EQ(clash.verdict, Verdict::kClear) << where << " " << allText(clash);
  const LoadReport loads = findLoads(model);
  const auto near = [&](double estimated, double built, const char* what) {
    EXPECT_NEAR(estimated / built, 1, 2 * kEstimateAgreement) << where << " " << what;
  };
  near(made.mass_kg, loads.drive.moving_mass_kg, "mass");
  near(made.drive.required_force_N, loads.drive.required_force_N, "force to start");
  near(made.drive.ratio_to_single, loads.drive.ratio_to_single, "ratio");
  EXPECT_NEAR(made.drive.front_speed_mm_s, loads.drive.front_speed_mm_s, 1e-6) << where;
  EXPECT_NEAR(made.drive.opening_time_s, loads.drive.time.total_s, 1e-6) << where;
  EXPECT_EQ(made.has(Hazard::kRunsAway), !loads.drive.runaways.empty()) << where;
  EXPECT_EQ(made.ropes, static_cast<int>(loads.ropes.size())) << where;
}

/// Which arrangements of a site are built.
enum class Built { kOne, kAll };

int expectConsistent(unsigned site, Built which) {
  const Json file = siteWithRoom(site);
  const SiteComparison comparison = compareArrangements(gates::specOf(file));
  std::vector<int> fitting;
  for (std::size_t i = 0; i < comparison.arrangements.size(); ++i) {
    const Arrangement& made = comparison.arrangements[i];
    const std::vector<std::string> sets = overridesOf(comparison.spec, made.choice);
    expectSameLayout(specWith(file, sets), made, label(site, made));
    for (const Fix& fix : made.fixes) {
      const LayoutResult fixed = layOut(specWith(file, fix.overrides));
      EXPECT_TRUE(fixed.problems.empty() && fixed.layout.fits)
          << label(site, made) << ": " << fix.text;
      EXPECT_NEAR(fixed.layout.room_total_mm, fix.room_mm, kSameMm) << fix.text;
    }
    if (made.fits) {
      fitting.push_back(static_cast<int>(i));
    }
  }
  EXPECT_EQ(comparison.recommended.has_value(), !fitting.empty()) << site;
  if (fitting.empty()) {
    return 0;
  }
  // One of those that fit, another at every site; the recommended one at every second.
  if (which == Built::kOne) {
    const std::size_t any = site * 7919U % fitting.size();
    fitting = {site % 2 == 0 ? *comparison.recommended : fitting[any]};
  }
  for (const int index : fitting) {
    const Arrangement& made = comparison.arrangements[index];
    const GateSpec spec = specWith(file, overridesOf(comparison.spec, made.choice));
    expectBuilds(spec, layOut(spec).layout, made, label(site, made));
  }
  return static_cast<int>(fitting.size());
}

TEST(CompareConsistency, SomeOfManySitesBuildClear) {
  int built = 0, sites = 0;
  // Prime to the turns that sites take.
  const unsigned step = kOneIn * static_cast<unsigned>(gates::rounds(13, 5));
  for (unsigned site = 0; site < kSites; site += step, ++sites) {
    built += expectConsistent(site, Built::kOne);
  }
  EXPECT_GT(2 * built, sites);
}

/// Arrangements that the tests below found not to be clear, since mended: a reach-over arm's post
/// beside a staggered gate's guide; an overhead bracket whose drop met its reach by round corners.
TEST(CompareConsistency, WhatWasOnceFoundBuildsClear) {
  const std::pair<unsigned, const char*> found[] = {
      {50, "3 panels, staggered, reach-over arm, narrow motor"},
      {54, "4 panels, flush, overhead bracket, narrow motor"},
      {72, "4 panels, flush, overhead bracket, standard motor"}};
  for (const auto& [site, name] : found) {
    const Json file = siteWithRoom(site);
    const SiteComparison comparison = compareArrangements(gates::specOf(file));
    int built = 0;
    for (const Arrangement& made : comparison.arrangements) {
      if (nameOf(made.choice) == name && made.fits) {
        const GateSpec spec = specWith(file, overridesOf(comparison.spec, made.choice));
        expectBuilds(spec, layOut(spec).layout, made, label(site, made));
        ++built;
      }
    }
    EXPECT_EQ(built, 1) << site;
  }
}

/// Every fitting arrangement of every site: an hour or more of one core. Run by hand, with
/// --gtest_also_run_disabled_tests, perhaps some shards at a time.
class CompareConsistencyOfAll : public testing::TestWithParam<unsigned> {};

constexpr unsigned kSitesPerShard = 25;

TEST_P(CompareConsistencyOfAll, DISABLED_AllOfAllSitesBuildClear) {
  int built = 0;
  for (unsigned site = 0; site < kSitesPerShard; ++site) {
    built += expectConsistent(GetParam() * kSitesPerShard + site, Built::kAll);
  }
  EXPECT_GT(built, 0);
  std::printf("%d gates built\n", built);
}

INSTANTIATE_TEST_SUITE_P(Shards, CompareConsistencyOfAll,
                         testing::Range(0U, kSites / kSitesPerShard));

}  // namespace
}  // namespace leafstack
