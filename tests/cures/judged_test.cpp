// Arrangements built and loaded, against the same gates read anew one by one.
#include "generator/cures/judged.h"

#include <gtest/gtest.h>

#include "generator/cures/auto_sections.h"
#include "generator/geometry/in_parallel.h"
#include "tests/cures/tried_gates.h"

namespace leafstack {
namespace {

SiteComparison comparisonOf(const std::string& text, JudgeOptions options = {}) {
  const ReadResult read = readGate(text, "test gate");
  SiteComparison comparison = compareArrangements(read.gate->spec);
  options.read = [text](std::span<const Override> more) {
    return readGate(text, "test gate", more);
  };
  judgeArrangements(comparison, options);
  return comparison;
}

std::string inLines(const SiteComparison& comparison) {
  std::string out = comparison.why + "\n";
  for (const int index : comparison.ranked) {
    const Arrangement& one = comparison.arrangements[index];
    out += nameOf(one.choice) + (one.isReady() ? ": ready" : one.isUnready() ? ": not" : ": -");
    for (const ChosenValue& section : one.sections) {
      out += " " + section.value;
    }
    out += "\n";
  }
  return out;
}

void expectRankedByReadiness(const SiteComparison& comparison) {
  int last = 0;
  for (const int index : comparison.ranked) {
    const Arrangement& one = comparison.arrangements[index];
    const int now = !one.fits ? 3 : one.isReady() ? 0 : one.isUnready() ? 2 : 1;
    EXPECT_GE(now, last) << nameOf(one.choice);
    last = now;
  }
  ASSERT_EQ(comparison.recommended.has_value(),
            comparison.arrangements[comparison.ranked.front()].isReady());
}

TEST(JudgedArrangements, J1J2AgreeWithEachGateReadByItself) {
  const std::string text = gates::gateFile({{"/gate/panels", 2},
                                            {"/site/opening_mm", 5200},
                                            {"/site/room_mm", 5600},
                                            {"/checks/wind_speed_m_s", 31}})
                               .dump();
  const SiteComparison comparison = comparisonOf(text);
  expectRankedByReadiness(comparison);
  int ready = 0, unready = 0;
  for (const Arrangement& one : comparison.arrangements) {
    if (!one.fits) {
      EXPECT_FALSE(one.verdict);
      continue;
    }
    ASSERT_TRUE(one.verdict) << nameOf(one.choice);
    const gates::Judged gate = gates::judged(text, overridesOf(comparison.spec, one));
    ASSERT_EQ(gate.problem, "");
    EXPECT_EQ(gate.isReady(), one.isReady()) << nameOf(one.choice);
    EXPECT_TRUE(gate.isClear()) << nameOf(one.choice);
    (one.isReady() ? ready : unready) += 1;
  }
  std::cout << ready << " ready, " << unready << " not\n";
  EXPECT_GT(ready, 0);
  EXPECT_GT(unready, 0);
}

TEST(JudgedArrangements, TheFirstIsProvedClear) {
  const SiteComparison comparison = comparisonOf(gates::gateFile().dump());
  ASSERT_TRUE(comparison.recommended);
  const Arrangement& best = comparison.arrangements[*comparison.recommended];
  EXPECT_TRUE(best.verdict->is_proved);
  EXPECT_EQ(best.rank, 1);
}

TEST(JudgedArrangements, NothingIsTakenWhereNothingIsReady) {
  const std::string text =
      gates::gateFile(
          {{"/gate/infill/kind", "sheet"}, {"/gate/height_mm", 2200}, {"/checks/wind_Pa", 4000}})
          .dump();
  const SiteComparison comparison = comparisonOf(text);
  EXPECT_FALSE(comparison.recommended);
  EXPECT_TRUE(comparison.why.starts_with("Nothing that fits is ready as it is.")) << comparison.why;
  EXPECT_EQ(comparison.why.find("Take "), std::string::npos);
}

TEST(JudgedArrangements, WhatIsNotBuiltIsSaid) {
  JudgeOptions few;
  few.most_instances = 1;
  const SiteComparison comparison = comparisonOf(gates::gateFile().dump(), few);
  const auto seen = std::count_if(comparison.arrangements.begin(), comparison.arrangements.end(),
                                  [](const Arrangement& one) { return one.verdict.has_value(); });
  const auto fitting = std::count_if(comparison.arrangements.begin(), comparison.arrangements.end(),
                                     [](const Arrangement& one) { return one.fits; });
  ASSERT_GT(fitting, seen);
  EXPECT_GT(seen, 0);
  ASSERT_FALSE(comparison.notes.empty());
  EXPECT_NE(comparison.notes.back().find(std::to_string(fitting - seen) + " of the " +
                                         std::to_string(fitting)),
            std::string::npos)
      << comparison.notes.back();
}

// All arrangements of a gate whose sections are left to the program, from fewer gates than choosing
// anew for each would take (some 60'000 parts before); what comes first has the lightest, as
// `chooseSections` has them for it alone.
TEST(JudgedArrangements, SectionsAreChosenOnceAndSharedWhereTheyHold) {
  const std::string text = gates::gateFile({{"/site/opening_mm", 5000},
                                            {"/site/room_mm", 3000},
                                            {"/gate/stile", "auto"},
                                            {"/gate/top_rail", "auto"}})
                               .dump();
  const SiteComparison comparison = comparisonOf(text);
  ASSERT_TRUE(comparison.recommended);
  const Arrangement& best = comparison.arrangements[*comparison.recommended];
  std::vector<Override> settings;
  for (const std::string& one : overridesOf(comparison.spec, best.choice)) {
    settings.push_back({one.substr(0, one.find('=')), one.substr(one.find('=') + 1)});
  }
  const ReadGate read = [&](std::span<const Override> more) {
    return readGate(text, "test gate", merged(settings, {more.begin(), more.end()}));
  };
  Trials trials(read);
  const SectionChoice alone = chooseSections(read({}).gate->spec, trials);
  ASSERT_EQ(alone.chosen.size(), best.sections.size());
  for (std::size_t i = 0; i < alone.chosen.size(); ++i) {
    EXPECT_EQ(alone.chosen[i].value, best.sections[i].value);
  }
  int seen = 0, fitting = 0;
  for (const Arrangement& one : comparison.arrangements) {
    fitting += one.fits;
    seen += one.fits && one.verdict.has_value();
  }
  EXPECT_GT(fitting, 6);
  EXPECT_EQ(seen, fitting);
}

// The number of panels is that of the first arrangement, by arithmetic, that is ready, each gate
// read and built by itself.
TEST(PanelsByVerdict, TakesTheFirstThatIsReady) {
  int passed_over = 0, none_ready = 0;
  for (const double speed : {20.0, 29.0, 36.0}) {
    for (const double opening : {5000.0, 6000.0}) {
      const std::string text = gates::gateFile({{"/gate/panels", "auto"},
                                                {"/site/opening_mm", opening},
                                                {"/site/room_mm", opening + 1000},
                                                {"/checks/wind_speed_m_s", speed}})
                                   .dump();
      SCOPED_TRACE(text);
      const GateSpec spec = readGate(text, "test gate").gate->spec;
      std::optional<int> first, first_ready;
      for (const Arrangement& one : arrangementsByPanels(spec)) {
        if (!one.fits) {
          continue;
        }
        const int panels = one.choice.panels;
        first = first.value_or(panels);
        if (!first_ready &&
            gates::judged(text, {"/gate/panels=" + std::to_string(panels)}).isReady()) {
          first_ready = panels;
        }
      }
      ASSERT_TRUE(first);
      const PanelChoice choice = panelsByVerdict(spec);
      EXPECT_EQ(choice.panels, first_ready.value_or(*first)) << choice.why;
      none_ready += first_ready ? 0 : 1;
      passed_over += first_ready && *first_ready != *first;
    }
  }
  std::cout << passed_over << " with another number than the first that fits, " << none_ready
            << " of 6 with none ready\n";
  EXPECT_GT(passed_over, 0);
  EXPECT_GT(none_ready, 0);
}

TEST(JudgedArrangements, J3TheSameForAnyNumberOfThreads) {
  const std::string text = gates::gateFile({{"/checks/wind_speed_m_s", 31}}).dump();
  const std::string on_all = inLines(comparisonOf(text));
  const ThreadLimit one(1);
  EXPECT_EQ(inLines(comparisonOf(text)), on_all);
}

TEST(JudgedArrangements, SectionsLeftToTheProgramAreChosenForEach) {
  const std::string text =
      gates::gateFile({{"/gate/stile", "auto"}, {"/site/room_mm", 2500}}).dump();
  const SiteComparison comparison = comparisonOf(text);
  expectRankedByReadiness(comparison);
  std::set<std::string> sections;
  int ready = 0;
  for (const Arrangement& one : comparison.arrangements) {
    if (!one.isReady()) {
      continue;
    }
    ASSERT_EQ(one.sections.size(), 1u) << nameOf(one.choice);
    EXPECT_EQ(one.sections.front().pointer, "/gate/stile");
    sections.insert(one.sections.front().value);
    ++ready;
    const gates::Judged gate = gates::judged(text, overridesOf(comparison.spec, one));
    EXPECT_EQ(gate.problem, "");
    EXPECT_TRUE(gate.isReady()) << nameOf(one.choice);
    EXPECT_NEAR(gate.model.layout.room_mm, one.room_mm, 1e-6);
  }
  EXPECT_GT(ready, 3);
  std::cout << ready << " ready, " << sections.size() << " sections chosen\n";
}

}  // namespace
}  // namespace leafstack
