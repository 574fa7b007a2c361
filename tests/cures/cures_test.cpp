// Cures, applied again by reading the gate file with their settings.
#include "generator/cures/cures.h"

#include <gtest/gtest.h>

#include <cmath>

#include "generator/cures/changes.h"
#include "generator/cures/search.h"
#include "generator/geometry/in_parallel.h"
#include "params/table/table.h"
#include "tests/cures/tried_gates.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using gates::judged;
using gates::Judged;

ReadGate readerOf(const std::string& text) {
  return [text](std::span<const Override> more) { return readGate(text, "test gate", more); };
}

Advice advised(const std::string& text, const Judged& as_is) {
  Advice advice{as_is.warnings};
  Trials trials(readerOf(text));
  addCures(advice, outcomeOf(as_is.model, as_is.loads, as_is.clash), trials, kThoroughCures);
  return advice;
}

std::string inLines(const Advice& advice) {
  std::string out;
  for (const Warning& warning : advice.warnings) {
    out += warning.id + ": " + (warning.cure.tried > 0 ? inWords(warning.cure) : "-") + "\n";
  }
  return out + "together: " + inWords(advice.together) + "\n";
}

int findings(const Judged& gate) {
  return static_cast<int>(gate.clash.findings.size());
}

/// C1 of one warning's cure.
void expectCures(const std::string& text, const Judged& as_is, const Warning& warning) {
  SCOPED_TRACE(warning.id + " " + inWords(warning.cure));
  const Judged cured = judged(text, warning.cure.sets);
  ASSERT_EQ(cured.problem, "");
  EXPECT_EQ(cured.count(warning.id), 0);
  for (const Warning& one : cured.warnings) {
    EXPECT_LE(cured.count(one.id), as_is.count(one.id)) << one.id;
  }
  if (warning.cure.is_proved) {
    EXPECT_TRUE(cured.isClear() || !as_is.isClear());
    EXPECT_LE(findings(cured), findings(as_is));
  }
  std::set<std::string> left;
  for (const VerdictReason& reason : gateVerdict(cured.warnings, &cured.clash).reasons) {
    if (warning.cure.is_proved || reason.id != kClash) {
      left.insert(reason.id);
    }
  }
  std::set<std::string> told(warning.cure.leaves.begin(), warning.cure.leaves.end());
  if (!warning.cure.is_proved) {
    told.erase(std::string(kClash));
  }
  EXPECT_EQ(told, left);
}

/// Random gates in more wind than they are made for.
std::vector<std::string> unreadyGates(int count) {
  std::vector<std::string> texts;
  gates::GateDice dice(20261129);
  while (static_cast<int>(texts.size()) < count) {
    gates::Json file = dice.gate();
    file["checks"]["wind_speed_m_s"] = 24 + 2 * static_cast<int>(texts.size() % 8);
    const Judged as_is = judged(file.dump());
    if (as_is.problem.empty() && !as_is.isReady()) {
      texts.push_back(file.dump());
    }
  }
  return texts;
}

TEST(Cures, C1C2ReadAgainRidTheGateOfTheWarning) {
  const int count = gates::rounds(4, 20);
  int cured = 0, ready = 0, told = 0;
  for (const std::string& text : unreadyGates(count)) {
    SCOPED_TRACE(text);
    const Judged as_is = judged(text);
    const Advice advice = advised(text, as_is);
    for (const Warning& warning : advice.warnings) {
      const bool is_against = warning.against != Against::kNothing;
      EXPECT_EQ(warning.cure.tried > 0, is_against) << warning.id;
      told += is_against ? 1 : 0;
      if (!warning.cure.sets.empty()) {
        ++cured;
        expectCures(text, as_is, warning);
      }
    }
    if (!advice.together.sets.empty() && advice.together.leaves.empty()) {
      ++ready;
      EXPECT_TRUE(judged(text, advice.together.sets).isReady()) << inWords(advice.together);
    }
    std::cout << inLines(advice);
  }
  std::cout << cured << " of " << told << " warnings cured, " << ready << " of " << count
            << " gates ready\n";
  EXPECT_GT(cured, told / 2);
  EXPECT_GE(ready, count / 3);
}

/// What is planted meets, and the gate is ready with the cure pasted as it stands, in a search of
/// that budget.
void expectPlantedClashIsCured(const gates::Json& file, const std::vector<std::string>& planted) {
  const std::string text = file.dump();
  SCOPED_TRACE(text);
  ASSERT_TRUE(judged(text).problem.empty());
  const Judged as_is = judged(text, planted);
  ASSERT_EQ(as_is.problem, "");
  ASSERT_FALSE(as_is.isClear());
  Advice advice{as_is.warnings};
  const ReadGate read = [&](std::span<const Override> more) {
    std::vector<Override> all = gates::overridesOf(planted);
    all.insert(all.end(), more.begin(), more.end());
    return readGate(text, "test gate", all);
  };
  Trials trials(read);
  addCures(advice, outcomeOf(as_is.model, as_is.loads, as_is.clash), trials, kBriefCures);
  ASSERT_FALSE(advice.together.sets.empty()) << inWords(advice.together);
  EXPECT_TRUE(advice.together.leaves.empty()) << inWords(advice.together);
  std::vector<std::string> all = planted;
  all.insert(all.end(), advice.together.sets.begin(), advice.together.sets.end());
  const Judged cured = judged(text, all);
  EXPECT_TRUE(cured.isReady()) << inWords(advice.together);
  EXPECT_TRUE(cured.isClear()) << inWords(advice.together);
}

// Rope brackets and ropes of neighbours at one height meet; boards of 60 mm reach into the next
// panel's guide rail where its channels are not packed out.
TEST(Cures, PlantedClashesAreCuredOneOrTwoAtOnce) {
  const gates::Json ropes = gates::gateFile({{"/gate/panels", 3},
                                             {"/site/opening_mm", 6000},
                                             {"/checks/wind_speed_m_s", 10},
                                             {"/checks/push_N", 0}});
  expectPlantedClashIsCured(ropes, {"/ropes/heights_mm=[30,30]"});
  expectPlantedClashIsCured(ropes, {"/ropes/heights_mm=[27,40]"});
  gates::Json boards = ropes;
  boards["gate"]["cladding"] = {{"kind", "boards"}, {"thickness_mm", 60}};
  expectPlantedClashIsCured(boards, {"/guides/packing_mm=0"});
  gates::Json battens = ropes;
  battens["gate"]["cladding"] = {{"kind", "battens"}, {"thickness_mm", 50}};
  expectPlantedClashIsCured(battens, {"/guides/packing_mm=0", "/ropes/heights_mm=[30,30]"});
}

// What cannot be cured as a whole is still rid of what meets, and the rest is named.
TEST(Cures, ClashesAreCuredWhereTheRestIsNot) {
  const std::string text = gates::gateFile({{"/gate/panels", 3},
                                            {"/ropes/heights_mm", gates::Json{30, 30}},
                                            {"/gate/infill/kind", "sheet"},
                                            {"/gate/height_mm", 2400},
                                            {"/checks/wind_Pa", 5000}})
                               .dump();
  const Judged as_is = judged(text);
  ASSERT_EQ(as_is.problem, "");
  ASSERT_FALSE(as_is.isClear());
  Advice advice{as_is.warnings};
  Trials trials(readerOf(text));
  addCures(advice, outcomeOf(as_is.model, as_is.loads, as_is.clash), trials, kBriefCures);
  EXPECT_FALSE(advice.together.leaves.empty());
  EXPECT_EQ(advice.together.sets, std::vector<std::string>{"/ropes/heights_mm=auto"});
  const Judged cured = judged(text, advice.together.sets);
  EXPECT_TRUE(cured.isClear());
  EXPECT_FALSE(cured.isReady());
}

TEST(Cures, C3TheSameForAnyNumberOfThreads) {
  const std::string text = unreadyGates(1).front();
  const Judged as_is = judged(text);
  const std::string on_all = inLines(advised(text, as_is));
  const ThreadLimit one(1);
  EXPECT_EQ(inLines(advised(text, as_is)), on_all);
}

// What a gate is that says nothing but its opening, panels and metal: nobody should have to look
// for sections before the first one holds.
TEST(PlainGates, OfTwoToFourPanelsAreReadyInSteelAndAluminium) {
  for (const char* material : {"steel", "aluminium"}) {
    for (const int panels : {2, 3, 4}) {
      const std::string text = R"({"site": {"opening_mm": 6000}, "gate": {"panels": )" +
                               std::to_string(panels) + R"(, "material": ")" + material + "\"}}";
      const Judged gate = judged(text);
      ASSERT_EQ(gate.problem, "") << text;
      EXPECT_TRUE(gate.isReady()) << text << inWords(gateVerdict(gate.warnings, &gate.clash));
    }
  }
}

TEST(Cures, C4AGateThatIsReadyIsNotTried) {
  const std::string text =
      gates::gateFile({{"/checks/wind_speed_m_s", 5}, {"/checks/push_N", 0}}).dump();
  const Judged as_is = judged(text);
  ASSERT_TRUE(as_is.isReady()) << inWords(gateVerdict(as_is.warnings, &as_is.clash));
  Advice advice{as_is.warnings};
  Trials trials(readerOf(text));
  addCures(advice, outcomeOf(as_is.model, as_is.loads, as_is.clash), trials, kThoroughCures);
  EXPECT_EQ(trials.builtInstances(), 0);
  EXPECT_EQ(trials.checkedPairs(), 0);
  EXPECT_EQ(advice.together.tried, 0);
}

TEST(Cures, WhatNothingCuresIsSaid) {
  // A hurricane's pressure on sheet panels: nothing of a gate of this height holds it.
  const std::string text =
      gates::gateFile(
          {{"/gate/infill/kind", "sheet"}, {"/gate/height_mm", 2600}, {"/checks/wind_Pa", 5000}})
          .dump();
  const Judged as_is = judged(text);
  ASSERT_EQ(as_is.problem, "");
  const Advice advice = advised(text, as_is);
  EXPECT_TRUE(advice.together.sets.empty()) << inWords(advice.together);
  EXPECT_GT(advice.together.tried, 0);
  EXPECT_EQ(inWords(advice.together),
            "none of the " + std::to_string(advice.together.tried) + " changes tried cures it.");
  for (const Warning& warning : advice.warnings) {
    if (warning.id == "member-overload") {
      EXPECT_TRUE(warning.cure.sets.empty()) << inWords(warning.cure);
      EXPECT_GT(warning.cure.tried, 0);
    }
  }
}

// A rectangle's plastic modulus is b t^2 / 4 (any handbook of mechanics), so a plate that is used u
// times needs sqrt(u) times its thickness, whatever bends it.
TEST(Cures, APlateIsAsThickAsItsPlasticModulusAsks) {
  const std::string text = gates::gateFile({{"/hardware/post/plate_mm", 4}}).dump();
  const Judged as_is = judged(text);
  double most = 0;
  for (const StructurePost& post : as_is.loads.structure.posts) {
    most = std::max(most, post.plate_use.value_or(0));
  }
  ASSERT_GT(most, 1);
  const double needed = 4 * std::sqrt(most);
  constexpr double kPlates[] = {5, 6, 8, 10, 12, 15, 20, 25, 30};
  const double* least = std::find_if(std::begin(kPlates), std::end(kPlates),
                                     [&](double plate) { return plate >= needed; });
  bool is_told = false;
  const Advice advice = advised(text, as_is);
  for (const Warning& warning : advice.warnings) {
    if (warning.id == "plate-overload") {
      is_told = true;
      ASSERT_FALSE(warning.cure.sets.empty());
      EXPECT_EQ(warning.cure.sets.front(),
                "/hardware/post/plate_mm=" + std::to_string(static_cast<int>(*least)));
    }
  }
  EXPECT_TRUE(is_told);
}

// ISO 3: the R10 series of preferred numbers.
TEST(Cures, AWeakMotorIsReplacedByOneThatStarts) {
  const std::string text = gates::gateFile({{"/drive/motor", {{"length_mm", 260}, {"force_N", 60}}},
                                            {"/drive/wheel_bearing", "plain"}})
                               .dump();
  const Judged as_is = judged(text);
  ASSERT_GT(as_is.count("motor-weak"), 0);
  const Advice advice = advised(text, as_is);
  for (const Warning& warning : advice.warnings) {
    if (warning.id == "motor-weak") {
      ASSERT_FALSE(warning.cure.sets.empty());
      expectCures(text, as_is, warning);
    }
  }
}

// Guide rails that hang below the top rail reach from upright to upright. A larger angle that is
// sold holds there, and is found at once: for M = 13/64 F s of some 700 N m by t a^2 / 4.5 f_y one
// of 60 x 60 x 5, t a^2 / 4.5 = 3674 mm3 at 235 N/mm2, 863 N m; of 50 x 50 x 5, 589 N m, none.
TEST(Cures, DroppedGuideRailsGetALargerAngle) {
  const std::string text =
      R"({"site": {"opening_mm": 6000, "grade": 0.02}, "gate": {"panels": 2, "top": "level"}})";
  const Judged as_is = judged(text);
  ASSERT_GT(as_is.count("guide-rail-overload"), 0);
  const Advice advice = advised(text, as_is);
  EXPECT_EQ(
      advice.together.sets,
      (std::vector<std::string>{"/guides/rail_mm=60", "/hardware/guide/rail_thickness_mm=5"}));
  EXPECT_TRUE(judged(text, advice.together.sets).isReady());
}

// A gate whose frame is too soft is stiffened before anything else: its single panel of 6000 then
// asks for the wheels of the heavy set, and for nothing at its latch.
TEST(Cures, ASoftFrameIsStiffenedFirst) {
  const std::string text = R"({"site": {"opening_mm": 6000}, "gate": {"panels": 1}})";
  const Judged as_is = judged(text);
  ASSERT_GT(as_is.count("frame-soft"), 0);
  ASSERT_GT(as_is.count("receiver-overload"), 0);
  const Advice advice = advised(text, as_is);
  EXPECT_FALSE(advice.together.sets.empty());
  EXPECT_TRUE(judged(text, advice.together.sets).isReady());
}

// More uprights are tried: half as far apart there are twice as many bays.
TEST(Cures, MoreUprightsAreAmongTheChanges) {
  const GateSpec spec = gates::specWith({{"/gate/bay_mm", 2000}});
  std::vector<std::string> bays;
  for (const Change& change : changesFor("frame-soft", spec, 2)) {
    if (change.settings.front().pointer == "/gate/bay_mm") {
      bays.push_back(change.settings.front().value);
    }
  }
  EXPECT_EQ(bays, (std::vector<std::string>{"1500", "1250", "1000", "750", "600", "500"}));
  const auto uprights = [](const Judged& gate) {
    int count = 0;
    for (const Instance& one : gate.model.instances) {
      count += gate.model.parts[one.part].kind == PartKind::kStile ? 1 : 0;
    }
    return count - 2;  // the two at its ends
  };
  const Judged few = judged(gates::gateFile({{"/gate/panels", 1}}).dump());
  const Judged many = judged(gates::gateFile({{"/gate/panels", 1}, {"/gate/bay_mm", 500}}).dump());
  const double between = few.model.layout.panels.front().frame_length_mm - 50;
  EXPECT_EQ(uprights(few), static_cast<int>(std::ceil(between / 2000)) - 1);
  EXPECT_EQ(uprights(many), static_cast<int>(std::ceil(between / 500)) - 1);
}

TEST(Cures, NoChangeWeakensWhatIsChecked) {
  const GateSpec spec = gates::specWith();
  for (const char* id : {"member-overload", "frame-soft", "leaves-track", "rope-weak", "motor-weak",
                         "plate-overload", "wheel-overload", "clash", "grounds"}) {
    for (const Change& change : changesFor(id, spec, 2)) {
      for (const Override& one : change.settings) {
        EXPECT_FALSE(one.pointer.starts_with("/checks/")) << id << " " << inText(one);
        // How tracks are laid on it is chosen; the site itself is not.
        const bool is_given =
            one.pointer.starts_with("/site/") && one.pointer != "/site/track_laying";
        EXPECT_FALSE(is_given) << id << " " << inText(one);
        EXPECT_NE(findParameter(one.pointer), nullptr) << one.pointer;
      }
    }
  }
}

TEST(Cures, SettingsArePastedAsTheyStand) {
  Cure cure;
  cure.sets = {"/gate/panels=3", "/gate/stile=SHS 60x60x3", "/drive/motor={\"force_N\":1000}"};
  EXPECT_EQ(settingsOf(cure),
            "--set /gate/panels=3 --set '/gate/stile=SHS 60x60x3' "
            "--set '/drive/motor={\"force_N\":1000}'");
}

}  // namespace
}  // namespace leafstack
