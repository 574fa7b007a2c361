// Sheets as those read them who make a gate from them: every mark and every weld is on one, and a
// panel's frame is rebuilt from its sheet's words and numbers alone.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "exporters/paper/assemblies/assemblies.h"
#include "exporters/paper/assemblies/even_runs.h"
#include "exporters/paper/sheets/drawings.h"
#include "generator/layout/layout.h"
#include "generator/shop/schedules.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

struct DrawnGate {
  Model model;
  Schedules schedules;
  std::vector<Sheet> sheets;
};

DrawnGate drawnWith(const gates::Changes& changes) {
  DrawnGate gate{gates::modelWith(changes), {}, {}};
  gate.schedules = makeSchedules(gate.model);
  findWelds(gate.model, gate.schedules);
  gate.sheets = gateSheets(gate.model, gate.schedules);
  return gate;
}

/// Left and right hand, raked, level and stepped tops, pickets, slats and boards, both mounts.
const std::vector<DrawnGate>& drawnGates() {
  static const std::vector<DrawnGate> all = [] {
    std::vector<DrawnGate> made;
    made.push_back(drawnWith({{"/site/opening_mm", 6150}, {"/gate/panels", 3}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5230},
                              {"/site/opens", "left"},
                              {"/site/grade", -0.08},
                              {"/gate/panels", 2}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5230},
                              {"/site/grade", 0.04},
                              {"/gate/top", "level"},
                              {"/gate/panels", 2}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5100},
                              {"/gate/material", "aluminium"},
                              {"/gate/infill/kind", "slats"},
                              {"/gate/panels", 2}}));
    made.push_back(drawnWith({{"/site/opening_mm", 5100},
                              {"/gate/cladding/kind", "boards"},
                              {"/guides/mount", "overhead"},
                              {"/gate/panels", 2}}));
    return made;
  }();
  return all;
}

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

/// The tail of a weld's sign: "W12" or "W12, 4x".
TEST(AssemblySheets, EveryWeldOfTheListsHasOneSign) {
  static const std::regex kTail("(W[0-9]+)(, ([0-9]+)x)?");
  for (const DrawnGate& gate : drawnGates()) {
    std::map<std::string, int> joints, signs;
    for (const Sheet& sheet : gate.sheets) {
      for (const Lettering& one : sheet.letterings) {
        std::smatch tail;
        if (std::regex_match(one.text, tail, kTail)) {
          ++signs[tail[1]];
          joints[tail[1]] = tail[3].matched ? std::stoi(tail[3]) : 1;
        }
      }
    }
    EXPECT_EQ(signs.size(), gate.schedules.welds.size());
    for (const WeldRow& weld : gate.schedules.welds) {
      EXPECT_EQ(signs[weld.mark], 1) << weld.mark << ' ' << weld.a << ' ' << weld.b;
      EXPECT_EQ(joints[weld.mark], weld.joints) << weld.mark;
    }
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

const Sheet& sheetNamed(const DrawnGate& gate, const std::string& name) {
  for (const Sheet& sheet : gate.sheets) {
    if (sheet.name == name) {
      return sheet;
    }
  }
  throw std::runtime_error("no sheet " + name);
}

/// All words of the sheet and of the list that goes on from it, as one text.
std::string wordsOf(const DrawnGate& gate, const std::string& name) {
  std::string words;
  for (const Sheet& sheet : gate.sheets) {
    if (sheet.name == name || sheet.name.rfind(name + "-list", 0) == 0) {
      for (const Lettering& one : sheet.letterings) {
        words += one.text + ' ';
      }
    }
  }
  return words;
}

/// Places that words as "14 from 96.7 every 71.69, last 1028.6" stand for.
std::vector<double> placesIn(const std::string& words) {
  static const std::regex kRun("([0-9]+) from ([-0-9.]+) every ([-0-9.]+), last ([-0-9.]+)");
  std::vector<double> places;
  for (std::sregex_iterator run(words.begin(), words.end(), kRun), end; run != end; ++run) {
    const int count = std::stoi((*run)[1]);
    const double first = std::stod((*run)[2]);
    const double last = std::stod((*run)[4]);
    for (int i = 0; i < count; ++i) {
      places.push_back(first + (last - first) * i / (count - 1));
    }
  }
  return places;
}

// From the words and numbers of frame sheets alone: pickets by their runs, uprights by the row of
// numbers, each to what a number with one decimal leaves open.
TEST(FrameSheets, UprightsAndPicketsAreRebuiltFromTheSheet) {
  constexpr double kHalfDigitMm = 0.05;
  int rebuilt = 0;
  for (std::size_t which = 0; which < 3; ++which) {
    const DrawnGate& gate = drawnGates()[which];
    for (const PanelLayout& panel : gate.model.layout.panels) {
      const std::string name = "frame-panel-" + std::to_string(panel.number);
      const std::vector<double> pickets = placesIn(wordsOf(gate, name));
      std::vector<double> numbers;
      for (const Dimension& one : sheetNamed(gate, name).dimensions) {
        if (one.kind == DimensionKind::kRunning && one.angle_deg == 0) {
          numbers.push_back(std::stod(one.text()));
        }
      }
      for (const Instance& one : gate.model.instances) {
        const PartKind kind = gate.model.parts[one.part].kind;
        if (one.panel != panel.number || (kind != PartKind::kPicket && kind != PartKind::kStile)) {
          continue;
        }
        const double x = gate.model.opening_sign > 0 ? one.bounds.low[0] : -one.bounds.high[0];
        const double place = x - panel.leading_closed_mm;
        double off = 1e9;
        for (const double told : kind == PartKind::kPicket ? pickets : numbers) {
          off = std::min(off, std::abs(told - place));
        }
        EXPECT_LE(off, kHalfDigitMm + 1e-6) << name << ' ' << gate.model.parts[one.part].mark;
        ++rebuilt;
      }
    }
  }
  EXPECT_GT(rebuilt, 200);
}

// The same of slats, level and between their uprights: lower edges up from the rail's underside.
TEST(FrameSheets, SlatsAreRebuiltFromTheSheet) {
  const DrawnGate& gate = drawnGates()[3];
  int rebuilt = 0;
  for (const PanelLayout& panel : gate.model.layout.panels) {
    const std::vector<double> slats =
        placesIn(wordsOf(gate, "frame-panel-" + std::to_string(panel.number)));
    for (const Instance& one : gate.model.instances) {
      if (one.panel == panel.number && gate.model.parts[one.part].kind == PartKind::kSlat) {
        const double up = one.bounds.low[2] - panel.undersideZ(panel.leading_closed_mm);
        double off = 1e9;
        for (const double told : slats) {
          off = std::min(off, std::abs(told - up));
        }
        EXPECT_LE(off, 0.05 + 1e-6);
        ++rebuilt;
      }
    }
  }
  EXPECT_GT(rebuilt, 40);
}

}  // namespace
}  // namespace leafstack
