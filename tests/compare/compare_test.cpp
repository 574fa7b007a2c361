// Which arrangements fit, in what order, and what would make the others fit.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <string>
#include <vector>

#include "generator/compare/ranking.h"
#include "generator/compare/sweep.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using gates::specWith;

constexpr double kSameRoomMm = 1e-9;

/// What the end stops stand past the panels, by default: panel 1's parks furthest out, with a gap
/// of 5, a buffer of 20 and a plate of 12.
constexpr int kStopsMm = 37;

std::vector<std::string> namesOf(const SiteComparison& comparison,
                                 const std::function<bool(const Arrangement&)>& wanted) {
  std::vector<std::string> names;
  for (const Arrangement& made : comparison.arrangements) {
    if (wanted(made)) {
      names.push_back(nameOf(made.choice));
    }
  }
  return names;
}

std::vector<std::string> fittingTwos(double room) {
  return namesOf(compareArrangements(specWith({{"/site/room_mm", room}})),
                 [](const Arrangement& made) { return made.fits && made.choice.panels == 2; });
}

Arrangement bestOf(const SiteComparison& comparison) {
  return comparison.arrangements.at(comparison.recommended.value());
}

Arrangement named(const SiteComparison& comparison, const std::string& name) {
  for (const Arrangement& made : comparison.arrangements) {
    if (nameOf(made.choice) == name) {
      return made;
    }
  }
  throw std::invalid_argument(name);
}

// 2 x 3092 - 3000 for two panels whose ground bracket keeps 92 from either pulley: worked by hand.
TEST(Compare, TheTightestTwoPanelGate) {
  const std::vector<std::string> wanted = {"2 panels, overhead bracket, narrow motor",
                                           "2 panels, reach-over arm, narrow motor"};
  EXPECT_EQ(fittingTwos(3184 + kStopsMm), wanted);
  EXPECT_TRUE(fittingTwos(3183 + kStopsMm).empty());
}

TEST(Compare, HoldsEveryArrangementOnce) {
  const SiteComparison comparison = compareArrangements(specWith());
  // 3 mounts x 2 motors x (1 + 1 + 2 + 2): stacking differs from three panels on.
  EXPECT_EQ(comparison.arrangements.size(), 36U);
  std::vector<std::string> names = namesOf(comparison, [](const Arrangement&) { return true; });
  std::sort(names.begin(), names.end());
  EXPECT_EQ(std::unique(names.begin(), names.end()), names.end());
  std::vector<int> ranked = comparison.ranked;
  std::sort(ranked.begin(), ranked.end());
  for (int i = 0; i < 36; ++i) {
    EXPECT_EQ(ranked[i], i);
  }
}

TEST(Compare, KeepsOnesOwnMotorAsAChoice) {
  const SiteComparison comparison = compareArrangements(
      specWith({{"/drive/motor",
                 {{"length_mm", 100}, {"overrun_closed_mm", 10}, {"overrun_open_mm", 10}}}}));
  EXPECT_EQ(comparison.arrangements.size(), 54U);
  EXPECT_EQ(bestOf(comparison).choice.motorName(), "given");
}

TEST(Compare, FewestPanelsThenTheSimplestMount) {
  const auto best = [](gates::Changes changes) {
    return nameOf(bestOf(compareArrangements(specWith(changes))).choice);
  };
  EXPECT_EQ(best({{"/site/room_mm", 7000}}), "1 panel, guide post, standard motor");
  EXPECT_EQ(best({{"/site/room_mm", 3300 + kStopsMm}}), "2 panels, guide post, standard motor");
  EXPECT_EQ(best({{"/site/room_mm", 3299 + kStopsMm}}), "2 panels, guide post, narrow motor");
  EXPECT_EQ(best({{"/site/room_mm", 3204 + kStopsMm}}),
            "2 panels, overhead bracket, standard motor");
  // A fence no higher than the gate leaves the bracket in view.
  EXPECT_EQ(best({{"/site/room_mm", 3204 + kStopsMm}, {"/site/fence_height_mm", 1700}}),
            "2 panels, reach-over arm, standard motor");
  EXPECT_EQ(best({{"/site/room_mm", 3183 + kStopsMm}}),
            "3 panels, flush, guide post, standard motor");
  EXPECT_EQ(best({{"/site/room_mm", 2000}}), "4 panels, flush, guide post, standard motor");
  // No room known: not the single panel, which takes as much as the opening.
  EXPECT_EQ(best({}), "2 panels, guide post, standard motor");
  EXPECT_EQ(best({{"/site/room_mm", 3000}, {"/gate/stacking", "staggered"}}),
            "3 panels, staggered, guide post, standard motor");
}

TEST(Compare, AutoTakesTheBestWithTheGivenMount) {
  gates::GateDice dice(6604);
  for (int i = 0; i < 60; ++i) {
    gates::Json file = dice.gate();
    file["site"]["room_mm"] = file["site"]["opening_mm"].get<double>() * (0.3 + 0.02 * i);
    file["gate"]["panels"] = "auto";
    const GateSpec spec = gates::specOf(file);
    const SiteComparison comparison = compareArrangements(spec);
    const Arrangement* best = nullptr;
    for (const Arrangement& made : comparison.arrangements) {
      const bool as_given = made.choice.mount == spec.guides.mount &&
                            made.choice.motorName() ==
                                ArrangementChoice{1, {}, {}, spec.drive.motor, {}}.motorName() &&
                            (made.choice.panels < 3 || made.choice.stacking == spec.gate.stacking);
      if (as_given && made.fits && (best == nullptr || made.rank < best->rank)) {
        best = &made;
      }
    }
    if (best != nullptr) {
      EXPECT_EQ(withPanelsChosen(spec).gate.panels, best->choice.panels) << file.dump();
    }
  }
}

// Numbers given that undercut the layout, and motors too weak, count for "auto" as for the ranking.
TEST(Compare, AutoMindsUndercutsAndWeakMotors) {
  EXPECT_EQ(withPanelsChosen(specWith({{"/gate/panels", "auto"},
                                       {"/site/room_mm", 2400},
                                       {"/ropes/heights_mm", {36, 40}}}))
                .gate.panels,
            4);
  const gates::Changes heavy = {
      {"/gate/panels", "auto"}, {"/site/grade", 0.1}, {"/gate/height_mm", 2500}};
  const GateSpec spec = specWith(heavy);
  const SiteComparison comparison = compareArrangements(spec);
  EXPECT_TRUE(named(comparison, "2 panels, guide post, standard motor").has(Hazard::kMotorWeak));
  EXPECT_EQ(withPanelsChosen(spec).gate.panels, 1);
  EXPECT_THROW(layOut(spec), std::invalid_argument);
}

// What the words say of others must be true of them.
TEST(Compare, WordsTellShortFromWeak) {
  const gates::Changes heavy = {
      {"/site/grade", 0.1}, {"/gate/height_mm", 2500}, {"/site/fence_height_mm", 1200}};
  SiteComparison comparison = compareArrangements(specWith(heavy));
  EXPECT_EQ(bestOf(comparison).choice.panels, 1);
  EXPECT_EQ(comparison.why.find("fewest"), std::string::npos) << comparison.why;
  EXPECT_NE(comparison.why.find("with more panels motors are too weak"), std::string::npos)
      << comparison.why;

  // Nothing that fits starts: said in the second sentence, and the strongest motor comes first.
  comparison = compareArrangements(specWith({{"/site/grade", 0.1},
                                             {"/gate/height_mm", 2500},
                                             {"/site/fence_height_mm", 1200},
                                             {"/site/room_mm", 3400}}));
  const Arrangement best = bestOf(comparison);
  EXPECT_TRUE(best.has(Hazard::kMotorWeak));
  EXPECT_EQ(best.choice.motorName(), "standard");
  EXPECT_NE(comparison.why.find("None of the motors that fit can start it"), std::string::npos)
      << comparison.why;
}

TEST(Compare, FixesStartWhereAnythingDoes) {
  gates::GateDice dice(8812);
  int fixes = 0;
  for (int i = 0; i < 60; ++i) {
    gates::Json file = dice.gate();
    file["site"]["room_mm"] = file["site"]["opening_mm"].get<double>() * 0.5;
    file["site"]["grade"] = 0.06;
    const SiteComparison comparison = compareArrangements(gates::specOf(file));
    for (const Arrangement& made : comparison.arrangements) {
      bool any_starts = false;
      for (const Arrangement& one : comparison.arrangements) {
        const bool like = one.choice.panels < 3 || made.choice.panels < 3 ||
                          one.choice.stacking == made.choice.stacking;
        any_starts = any_starts || (one.fits && !one.has(Hazard::kMotorWeak) && like &&
                                    one.choice.panels > made.choice.panels);
      }
      for (const Fix& fix : made.fixes) {
        const bool is_weak = fix.text.find("too weak") != std::string::npos;
        EXPECT_FALSE(is_weak && any_starts) << nameOf(made.choice) << ": " << fix.text;
        ++fixes;
      }
    }
  }
  EXPECT_GT(fixes, 300);
}

TEST(Compare, GapsClosedAltogetherAreNotVouchedFor) {
  for (const auto& [pointer, value] :
       {std::pair("/drive/motor_gap_mm", 0.0), std::pair("/site/fence_clearance_mm", 2.0)}) {
    const SiteComparison comparison = compareArrangements(specWith({{pointer, value}}));
    const Arrangement made = named(comparison, "2 panels, guide post, standard motor");
    EXPECT_FALSE(made.fits) << pointer;
    ASSERT_EQ(made.problems.size(), 1U) << pointer;
    EXPECT_EQ(made.problems.front().pointer, pointer);
  }
  const SiteComparison low = compareArrangements(specWith(
      {{"/gate/panels", 1}, {"/gate/cladding/kind", "battens"}, {"/gate/cladding/bottom_mm", 18}}));
  EXPECT_FALSE(named(low, "1 panel, guide post, standard motor").fits);
  EXPECT_FALSE(compareArrangements(specWith({{"/checks/build_tolerance_mm", 4}})).vouched);
}

TEST(Compare, SmallestChangesFirst) {
  // 3210 needed with a tuck of 20, which costs half of it in travel and all of it in parking.
  const SiteComparison comparison =
      compareArrangements(specWith({{"/site/room_mm", 3310 + kStopsMm}, {"/gate/tuck_mm", 40}}));
  const Arrangement made = named(comparison, "2 panels, guide post, standard motor");
  ASSERT_EQ(made.fixes.size(), 3U);
  EXPECT_EQ(made.fixes[0].text, "overhead bracket");
  EXPECT_EQ(made.fixes[1].text, "narrow motor");
  EXPECT_EQ(made.fixes[2].text.rfind("tuck ", 0), 0U) << made.fixes[2].text;
}

TEST(Compare, NumbersInFixesAreTheMostThatFits) {
  const GateSpec spec = specWith({{"/site/room_mm", 3183 + kStopsMm}});
  const Arrangement made =
      named(compareArrangements(spec), "2 panels, overhead bracket, narrow motor");
  // 3000 + 2 (inset + clearance); one mm less of either, and the rope bracket binds: 3000 + 80 + 91
  // + 12.
  ASSERT_GE(made.fixes.size(), 2U);
  EXPECT_EQ(made.fixes[0].text, "bracket clearance 47 mm instead of 48");
  EXPECT_EQ(made.fixes[1].text, "pulley inset 43 mm instead of 44");
  EXPECT_NEAR(made.fixes[0].room_mm, 3183 + kStopsMm, kSameRoomMm);
}

TEST(Compare, ImpossibleOnesAreListedWithTheirReason) {
  const SiteComparison comparison =
      compareArrangements(specWith({{"/site/opening_mm", 1200}, {"/site/room_mm", 4000}}));
  const Arrangement made = named(comparison, "4 panels, flush, guide post, standard motor");
  EXPECT_FALSE(made.fits);
  EXPECT_FALSE(made.laid_out);
  ASSERT_FALSE(made.problems.empty());
  EXPECT_NE(made.problems.front().text.find("take fewer panels"), std::string::npos);
}

/// Boards that meet the guide rails (README): never called fitting without the solids' word.
TEST(Compare, NumbersThatUndercutTheLayoutAreNotVouchedFor) {
  const SiteComparison comparison =
      compareArrangements(specWith({{"/site/room_mm", 4000},
                                    {"/gate/cladding/kind", "boards"},
                                    {"/gate/cladding/thickness_mm", 60},
                                    {"/guides/packing_mm", 0}}));
  for (const Arrangement& made : comparison.arrangements) {
    if (made.choice.panels > 1) {
      EXPECT_FALSE(made.fits) << nameOf(made.choice);
      ASSERT_FALSE(made.problems.empty());
      EXPECT_EQ(made.problems.front().pointer, "/guides/packing_mm");
    }
  }
}

TEST(Compare, ListsHoldForTheirNumberOfPanels) {
  const GateSpec spec = specWith({{"/gate/panels", 3}, {"/ropes/heights_mm", {27, 66}}});
  const SiteComparison comparison = compareArrangements(spec);
  for (const Arrangement& made : comparison.arrangements) {
    const std::vector<std::string> sets = overridesOf(spec, made.choice);
    const bool dropped =
        std::find(sets.begin(), sets.end(), "/ropes/heights_mm=auto") != sets.end();
    EXPECT_EQ(dropped, made.choice.panels != 3);
    EXPECT_TRUE(made.laid_out) << nameOf(made.choice);
  }
}

TEST(Compare, Hazards) {
  const SiteComparison slope =
      compareArrangements(specWith({{"/site/grade", 0.05}, {"/site/fence_height_mm", 1000}}));
  for (const Arrangement& made : slope.arrangements) {
    EXPECT_TRUE(made.has(Hazard::kRunsAway)) << nameOf(made.choice);
    EXPECT_EQ(made.has(Hazard::kBracketShows), made.choice.mount == GuideMount::kOverhead);
  }
  const SiteComparison level = compareArrangements(specWith());
  EXPECT_FALSE(level.arrangements.front().has(Hazard::kRunsAway));
  EXPECT_TRUE(named(level, "4 panels, flush, guide post, narrow motor").has(Hazard::kMotorWeak));
}

// ------------------------------------------------------------------------------------- prices

TEST(ComparePrices, RankByCost) {
  const PriceResult read = readPrices(R"({"per_item": {"standard motor": 900, "narrow motor": 100,
      "guide post": 50, "overhead bracket": 50, "reach-over arm": 20, "track wheel": 0,
      "rope pulley": 0, "rope bracket": 0, "rope": 0, "guide block": 0},
      "per_kg": {"steel": 0}, "per_hour": 0, "hours": {"gate": 0, "panel": 0, "rope": 0,
      "guide post": 0, "overhead bracket": 0, "reach-over arm": 0}})",
                                      "prices");
  ASSERT_TRUE(read.prices);
  CompareOptions options;
  options.prices = &*read.prices;
  const SiteComparison comparison =
      compareArrangements(specWith({{"/site/room_mm", 8000}}), options);
  const Arrangement best = bestOf(comparison);
  EXPECT_EQ(nameOf(best.choice), "1 panel, reach-over arm, narrow motor");
  EXPECT_EQ(best.cost->total(), Money{120'00});
  EXPECT_NE(comparison.why.find("It is the cheapest"), std::string::npos) << comparison.why;
}

// One price less, and nothing is ranked by cost: not by what the missing one leaves.
TEST(ComparePrices, NothingIsRankedByAMissingPrice) {
  const SiteComparison unpriced = compareArrangements(specWith({{"/site/room_mm", 8000}}));
  for (const char* list : {"{}", R"({"per_item": {"standard motor": 900, "narrow motor": 100}})",
                           R"({"per_kg": {"steel": 1e7}, "per_hour": 3})"}) {
    const PriceResult read = readPrices(list, "prices");
    ASSERT_TRUE(read.prices);
    CompareOptions options;
    options.prices = &*read.prices;
    const SiteComparison comparison =
        compareArrangements(specWith({{"/site/room_mm", 8000}}), options);
    EXPECT_EQ(comparison.ranked, unpriced.ranked) << list;
    EXPECT_EQ(comparison.why.find("It is the cheapest"), std::string::npos) << comparison.why;
    EXPECT_NE(comparison.why.find("cost ranks none of them"), std::string::npos) << comparison.why;
    EXPECT_FALSE(bestOf(comparison).cost->is_complete()) << list;
  }
}

TEST(ComparePrices, AddUpByHand) {
  const PriceResult read = readPrices(
      R"({"per_kg": {"steel": 2}, "per_m": {"SHS 50x50x3": 10, "rack": 30},
          "per_item": {"track wheel": 5, "rope pulley": 7}, "per_m3_dug": 100, "per_hour": 50,
          "hours": {"gate": 2, "panel": 3}})",
      "prices");
  ASSERT_TRUE(read.prices);
  CompareOptions options;
  options.prices = &*read.prices;
  const GateSpec spec = specWith({{"/site/bank", 0.2}});
  const Arrangement made =
      named(compareArrangements(spec, options), "2 panels, guide post, standard motor");
  const Cost& cost = made.cost.value();
  EXPECT_EQ(cost.items, Money{100 * (4 * 5 + 2 * 7)});
  EXPECT_EQ(cost.labour, Money{100 * 50 * (2 + 2 * 3)});
  EXPECT_NEAR(inUnits(cost.digging), 100 * made.pocket_m3, 0.055);  // of a thousandth of a m3
  Money lines;
  for (const CostLine& line : cost.lines) {
    EXPECT_NEAR(inUnits(line.cost), inUnits(line.quantity) * inUnits(line.price), 0.00501)
        << line.what;
    lines += line.cost;
    if (line.what == "rack") {  // panel 1's length less the rack's inset
      EXPECT_NEAR(inUnits(line.quantity), (made.panel_length_mm[0] - 20) / 1000, 0.0005);
    }
  }
  EXPECT_EQ(lines, cost.total());
  EXPECT_NE(std::find(cost.unpriced.begin(), cost.unpriced.end(), "guide post"),
            cost.unpriced.end());
}

TEST(ComparePrices, NothingIsTakenSilently) {
  for (const char* wrong :
       {R"({"per_kg": {"nylon": 3}})", R"({"currency": "\u001b[31mEUR"})",
        R"({"currency": "\u202eEUR"})", R"({"currency": "EUR\u009b"})", R"({"currency": "\u2028"})",
        R"({"per_m": {"SHS 50x50x3": 9, "shs50X50x3.0": 8}})", " ",
        // Hours, percentages and factors are held to the same; a factor names its source.
        R"({"margin_percent": -1})", R"({"tax_percent": 1001})", R"({"per_hour": 1e400})",
        R"({"items": {"wheel": -0.01}})", R"({"items": {"": 1}})",
        R"({"items": {"wheel": 10000001}})", R"({"operations": {"welding": {}}})",
        R"({"operations": {"weld": 3}})", R"({"operations": {"weld": {"hours": null}}})",
        R"({"per_hour": 12.34567})", R"({"carbon": {"steel": {"kg_per_kg": 2}}})",
        R"({"maintenance_months": {"rope": 6}})", R"({"maintenance_months": {"ropes": 0}})",
        R"({"per_m2": {"paint": "9"}})", R"({"valid_until": 20270331})"}) {
    EXPECT_EQ(readPrices(wrong, "prices.json").problems.size(), 1U) << wrong;
  }
}

// A motor's price goes by the motor's name: one that is nearly a motor's is a slip, one that is
// like none may be of another shelf.
TEST(ComparePrices, AMisspeltMotorIsReported) {
  const std::vector<std::string> shelf = {"standard", "narrow", "swift"};
  const auto problemsWith = [&](const char* name) {
    return readPrices(std::string(R"({"per_item": {")") + name + R"( motor": 900}})", "prices",
                      shelf)
        .problems;
  };
  for (const char* right : {"standard", "narrow", "given", "swift", "heavy-duty"}) {
    EXPECT_TRUE(problemsWith(right).empty()) << right;
  }
  for (const auto& [wrong, meant] : {std::pair{"standrad", "standard"},
                                     {"narow", "narrow"},
                                     {"swifd", "swift"},
                                     {"Given", "given"}}) {
    const std::vector<Diagnostic> problems = problemsWith(wrong);
    ASSERT_EQ(problems.size(), 1U) << wrong;
    EXPECT_EQ(problems[0].pointer, "/per_item/" + std::string(wrong) + " motor");
    EXPECT_EQ(problems[0].suggestion, "did you mean \"" + std::string(meant) + " motor\"?");
  }
}

TEST(ComparePrices, EveryProblemAtOnce) {
  const PriceResult read = readPrices(
      R"({"curency": "EUR", "per_kg": {"steal": 3, "timber": -1}, "per_m": {"SHS 50x50x33": 1},
          "per_hour": "x", "hours": [], "per_m3_dug": NaN})",
      "prices");
  EXPECT_FALSE(read.prices);
  std::vector<std::string> pointers;
  for (const Diagnostic& problem : read.problems) {
    pointers.push_back(problem.pointer);
  }
  const std::vector<std::string> wanted = {
      "/curency",  "/per_kg/steal", "/per_kg/timber", "/per_m/SHS 50x50x33",
      "/per_hour", "/hours",        "/per_m3_dug"};
  EXPECT_EQ(pointers, wanted);
  EXPECT_EQ(read.problems[1].suggestion, "did you mean \"steel\"?");
}

// ------------------------------------------------------------------------------------- sweeps

TEST(CompareSweep, AxesStepWithoutRounding) {
  std::string problem;
  const auto axis = parseAxis("/site/grade=-0.1:0.1:0.01", problem);
  ASSERT_TRUE(axis) << problem;
  ASSERT_EQ(axis->values.size(), 21U);
  EXPECT_EQ(axis->values[0], "-0.1");
  EXPECT_EQ(axis->values[7], "-0.03");
  EXPECT_EQ(axis->values[10], "0");
  EXPECT_EQ(axis->values[20], "0.1");
  EXPECT_EQ(parseAxis("/a=1:2:0.3", problem)->values,
            (std::vector<std::string>{"1", "1.3", "1.6", "1.9"}));
  EXPECT_EQ(parseAxis("/a=raked,level", problem)->values,
            (std::vector<std::string>{"raked", "level"}));
  for (const char* bad :
       {"", "/a", "a=1:2:1", "/a=", "/a=1:2", "/a=2:1:1", "/a=1:2:0", "/a=1:2:-1", "/a=1:x:1",
        "/a=1:1e9:1", "/a=0:1:0.0000000001", "/a=,b", "/a=0:999999999999999:0.000001", "/a=1:2:3:4",
        "/a=nan:2:1", "/a=0:2000000:1"}) {
    EXPECT_FALSE(parseAxis(bad, problem)) << bad;
    EXPECT_FALSE(problem.empty());
  }
}

TEST(CompareSweep, ShardsAreTheWholeInOrder) {
  std::string problem;
  for (const char* bad : {"", "1", "0/4", "5/4", "1/0", "-1/2", "1/2/3", "a/b", "1.5/2"}) {
    EXPECT_FALSE(parseShard(bad, problem)) << bad;
  }
  const auto half = parseShard("2147483648/4294967296", problem);
  ASSERT_TRUE(half) << problem;
  const auto last = parseShard("9223372036854775807/9223372036854775807", problem);
  ASSERT_TRUE(last) << problem;
  // The site that shard and its like come to, of a million by a million, by hand: 1e12 / 2 less
  // 1e12 / 2^32, rounded down, up to 1e12 / 2; and the last of all, alone.
  const long long most = kMostValuesPerAxis * kMostValuesPerAxis;
  EXPECT_EQ(pointsOf(most, *half).first, 499999999767);
  EXPECT_EQ(pointsOf(most, *half).end, 500000000000);
  EXPECT_EQ(pointsOf(most, *last).first, most - 1);
  EXPECT_EQ(pointsOf(most, *last).end, most);
  for (long long count : {0LL, 1LL, 3LL, 61LL, 3600LL}) {
    for (long long shards : {1LL, 2LL, 4LL, 7LL, 100LL}) {
      long long next = 0;
      for (long long i = 1; i <= shards; ++i) {
        const PointRange range = pointsOf(count, {i, shards});
        EXPECT_EQ(range.first, next);
        EXPECT_LE(range.end - range.first, count / shards + 1);
        next = range.end;
      }
      EXPECT_EQ(next, count);
    }
  }
}

TEST(CompareSweep, ReportsEveryPointsProblemsOnce) {
  std::string problem;
  SweepInput input;
  input.text = R"({"site": {"opening_mm": 6000}})";
  input.source_name = "gate";
  input.axes = {*parseAxis("/site/opening_mm=500:1500:500", problem),
                *parseAxis("/gate/panels=2,9", problem)};
  int taken = 0;
  const auto problems = sweep(input, [&](const SweptSite&) { ++taken; });
  EXPECT_EQ(taken, 0);
  EXPECT_EQ(problems.size(), 2U);
}

TEST(CompareSweep, GivesWhatASingleComparisonGives) {
  std::string problem;
  SweepInput input;
  input.text = R"({"site": {"opening_mm": 6000, "room_mm": 3200}})";
  input.source_name = "gate";
  input.axes = {*parseAxis("/site/opening_mm=5000:6000:500", problem)};
  std::vector<double> openings;
  sweep(input, [&](const SweptSite& site) {
    const double opening = std::stod(site.values.at(0));
    openings.push_back(opening);
    const SiteComparison single =
        compareArrangements(specWith({{"/site/opening_mm", opening}, {"/site/room_mm", 3200}}));
    ASSERT_EQ(single.arrangements.size(), site.comparison.arrangements.size());
    EXPECT_EQ(single.ranked, site.comparison.ranked);
    for (std::size_t i = 0; i < single.arrangements.size(); ++i) {
      EXPECT_EQ(single.arrangements[i].room_mm, site.comparison.arrangements[i].room_mm);
      EXPECT_EQ(single.arrangements[i].mass_kg, site.comparison.arrangements[i].mass_kg);
    }
  });
  EXPECT_EQ(openings, (std::vector<double>{5000, 5500, 6000}));
}

}  // namespace
}  // namespace leafstack
