// Sheets as those read them who make a gate from them: every mark and every weld is on one.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "exporters/paper/assemblies/assemblies.h"
#include "exporters/paper/assemblies/even_runs.h"
#include "generator/layout/layout.h"
#include "tests/paper/workshop/drawn_gates.h"

namespace leafstack {
namespace {

using sheets::DrawnGate;
using sheets::drawnGates;

bool isList(const Sheet& sheet) {
  return sheet.name.find("list") != std::string::npos;
}

/// Marks that a label stands for: "BD1 to BD12" for all of those letters.
void addMarks(const std::string& text, const Model& model, std::set<std::string>& marks) {
  static const std::regex kRange("([A-Z]{2})([0-9]+) to ([A-Z]{2})([0-9]+)");
  std::smatch range;
  if (!std::regex_match(text, range, kRange)) {
    marks.insert(text);
    return;
  }
  for (const Part& part : model.parts) {
    const int number = std::atoi(part.mark.c_str() + 2);
    if (part.mark.substr(0, 2) == range[1] && number >= std::stoi(range[2]) &&
        number <= std::stoi(range[4])) {
      marks.insert(part.mark);
    }
  }
}

/// What is set out on the site, by its own places in the set-out list.
bool isSetOut(PartKind kind) {
  return kind == PartKind::kFooting || kind == PartKind::kFencePost || kind == PartKind::kObstacle;
}

TEST(AssemblySheets, EveryMarkIsOnAView) {
  for (const DrawnGate& gate : drawnGates()) {
    std::set<std::string> shown;
    for (const Sheet& sheet : gate.sheets) {
      for (const Lettering& one : sheet.letterings) {
        if (!isList(sheet)) {
          addMarks(one.text, gate.model, shown);
        }
      }
    }
    std::string missing;
    for (const Part& part : gate.model.parts) {
      if (!isSetOut(part.kind) && part.kind != PartKind::kRope && !shown.contains(part.mark)) {
        missing += part.mark + ' ' + part.name + "; ";
      }
    }
    EXPECT_EQ(missing, "") << gate.model.spec.site.opening_mm;
  }
}

TEST(AssemblySheets, EveryInstanceIsInOneAssemblyOrASheetOfItsKind) {
  for (const DrawnGate& gate : drawnGates()) {
    std::map<int, int> times;
    for (const Assembly& one : assembliesOf(gate.model)) {
      for (const int i : one.instances) {
        ++times[i];
        EXPECT_EQ(gate.model.instances[i].panel, one.panel);
      }
    }
    for (int i = 0; i < static_cast<int>(gate.model.instances.size()); ++i) {
      const PartKind kind = gate.model.parts[gate.model.instances[i].part].kind;
      const bool is_framed = kind == PartKind::kBottomRail || kind == PartKind::kTopRail ||
                             kind == PartKind::kStile || kind == PartKind::kPicket ||
                             kind == PartKind::kSlat || kind == PartKind::kSheet;
      const bool has_own = is_framed || isSetOut(kind) || kind == PartKind::kRope;
      EXPECT_EQ(times[i], has_own ? 0 : 1) << gate.model.parts[gate.model.instances[i].part].mark;
    }
  }
}

/// The tail of a weld's sign: "W12", "W12, 4x", "W13 to W42, 30x", "W17, W23, W29, 3x" or, of every
/// second row of the list, "W13 to W71, every 2nd, 30x".
std::vector<int> numbersOf(const std::smatch& tail) {
  std::vector<int> numbers = {std::stoi(tail[1])};
  static const std::regex kNumber("W([0-9]+)");
  const std::string more = tail[2];
  for (std::sregex_iterator it(more.begin(), more.end(), kNumber), end; it != end; ++it) {
    numbers.push_back(std::stoi((*it)[1]));
  }
  const int step = tail[4].matched ? std::stoi(tail[4]) : 1;
  for (int number = numbers.front() + step; tail[3].matched && number <= std::stoi(tail[3]);
       number += step) {
    numbers.push_back(number);
  }
  return numbers;
}

TEST(AssemblySheets, EveryWeldOfTheListsHasOneSign) {
  static const std::regex kTail(
      "W([0-9]+)((?:, W[0-9]+)*)(?: to W([0-9]+))?(?:, every ([0-9]+)[a-z]+)?(?:, ([0-9]+)x)?");
  for (const DrawnGate& gate : drawnGates()) {
    std::map<int, int> signs, listed;
    int joints = 0, listed_joints = 0;
    for (const WeldRow& weld : gate.schedules.welds) {
      ++listed[std::stoi(weld.mark.substr(1))];
      listed_joints += weld.joints;
    }
    for (const Sheet& sheet : gate.sheets) {
      for (const Lettering& one : sheet.letterings) {
        std::smatch tail;
        if (!std::regex_match(one.text, tail, kTail)) {
          continue;
        }
        int named = 0;
        for (const int number : numbersOf(tail)) {
          ++signs[number];
          const auto row = std::find_if(
              gate.schedules.welds.begin(), gate.schedules.welds.end(),
              [&](const WeldRow& weld) { return weld.mark == "W" + std::to_string(number); });
          ASSERT_NE(row, gate.schedules.welds.end()) << one.text;
          named += row->joints;
        }
        EXPECT_EQ(tail[5].matched ? std::stoi(tail[5]) : 1, named) << one.text;
        joints += named;
      }
    }
    EXPECT_EQ(signs, listed);
    EXPECT_EQ(joints, listed_joints);
  }
}

/// Who makes a part reads its holes, folds and bevels on its sheet; of bottom rails, which have
/// sheets of their own, in rows there.
TEST(AssemblySheets, EveryPartIsToldAsTheCutListHasIt) {
  for (const DrawnGate& gate : drawnGates()) {
    std::vector<std::string> sheets;
    for (const Sheet& sheet : gate.sheets) {
      std::string& all = sheets.emplace_back();
      for (const Lettering& one : sheet.letterings) {
        all += one.text + ' ';
      }
    }
    int told = 0;
    for (const CutRow& row : gate.schedules.cut_list) {
      if (row.cutouts.empty() || row.name == "bottom rail") {
        continue;
      }
      ++told;
      EXPECT_TRUE(std::any_of(
          sheets.begin(), sheets.end(),
          [&](const std::string& all) { return all.find(row.cutouts) != std::string::npos; }))
          << gate.model.spec.site.opening_mm << ' ' << row.mark << ": " << row.cutouts;
    }
    EXPECT_GT(told, 5);
  }
}

// By hand.
TEST(EvenRuns, AreFirstPitchAndLast) {
  EXPECT_EQ(inWords(evenRuns({300, 100, 200, 0, 1000, 1050, 1100, 1150})),
            "4 from 0 every 100, last 300; 4 from 1000 every 50, last 1150");
  EXPECT_EQ(inWords(evenRuns({5, 5.01, 90})), "5; 90");
  EXPECT_EQ(inWords(evenRuns({-0.001})), "0");
  EXPECT_EQ(inWords(evenRuns({})), "");
}

}  // namespace
}  // namespace leafstack
