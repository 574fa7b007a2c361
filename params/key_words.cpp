#include "params/key_words.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <span>

#include "params/reading/text.h"
#include "params/reading/units.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

constexpr double kMmPerM = 1000;

struct ChoiceWords {
  std::string_view pointer;
  std::vector<std::string_view> texts;
};

const std::vector<ChoiceWords>& choiceWords() {
  static const std::vector<ChoiceWords> kAll = {
      {"/site/opens",
       {"parks to the right of the opening, seen from the road",
        "parks to the left of the opening, seen from the road"}},
      {"/site/track_laying",
       {"bars are bent to the surveyed ground",
        "bars stay straight, on shims and over ground-down places"}},
      {"/gate/top",
       {"tops follow the track's slope", "all tops are level, at one height",
        "each top is level, and steps from panel to panel with the ground"}},
      {"/gate/stacking",
       {"parked panels have their leading ends in line",
        "each parked panel stands further past the post than the one before it"}},
      {"/gate/material", {"welded steel frames", "welded aluminium frames"}},
      {"/gate/infill/kind",
       {"upright bars", "level bars", "a flat sheet in each bay", "an open frame"}},
      {"/gate/cladding/kind",
       {"nothing on the panels' fronts", "upright boards on the panels' fronts",
        "level battens on the panels' fronts"}},
      {"/guides/mount",
       {"a post at the driveway's edge", "a bracket overhead", "an arm from beyond the motor"}},
      {"/ropes/construction",
       {"seven strands of 19 wires: bends more readily",
        "seven strands of 7 wires: stretches less"}},
      {"/ropes/finish", {"zinc on steel wires", "stainless steel wires, which stretch more"}},
      {"/ropes/termination",
       {"terminals swaged onto the ends", "loops closed by pressed ferrules",
        "loops closed by wire rope clips"}},
      {"/drive/wheel_bearing", {"ball or roller bearings", "plain bushes"}},
      {"/checks/wind_terrain",
       {"the speed given is the gust's own, at the gate",
        "category 0: sea or coast to the open sea",
        "category I: lakes, or flat land without obstacles",
        "category II: low vegetation, single obstacles", "category III: villages, suburbs, woods",
        "category IV: towns"}},
      {"/checks/wind_ends",
       {"the closed gate stands by itself", "a fence as high and as dense goes on at both ends"}},
      {"/shop/finish",
       {"bare metal", "painted or powder-coated", "hot-dip galvanised",
        "hot-dip galvanised, then powder-coated"}},
      {"/drawings/sheet", {"297 x 210 mm", "420 x 297 mm", "594 x 420 mm"}},
      {"/drawings/projection", {"first-angle views", "third-angle views"}},
      {"/drawings/dxf", {"the sheet as plotted", "each view 1:1"}},
      {"/hardware/wheel/groove", {"round, for a bar", "V, for an angle"}},
      {"/hardware/wheel/mount",
       {"in a pocket of the bottom rail", "in a carrier bolted under the bottom rail"}},
      {"/hardware/track/kind", {"a round bar", "an equal angle, heel up"}},
      {"/hardware/pulley/removal",
       {"to the side where no panel stands", "to the road", "to the property"}},
      {"/hardware/terminal/kind",
       {"a hollow screw through its bracket", "a threaded stud swaged before the bracket",
        "an eye bolt with the rope's thimble"}},
      {"/hardware/guide/channel", {"a bought section", "folded from plate"}},
      {"/hardware/guide/block_mount",
       {"turns with the rail", "jaws turn on a bolt, block and channel stay plumb",
        "bolted, but where uneven ground would jam such a block"}},
      {"/hardware/rack/material", {"steel teeth", "nylon teeth"}},
      {"/hardware/rack/fixing", {"on standoffs", "on feet of its own"}},
  };
  return kAll;
}

/// "6 m", "80 mm": as one may write it, too.
std::string withUnit(double mm) {
  return std::abs(mm) >= kMmPerM ? formatFigure(mm / kMmPerM) + " m" : formatFigure(mm) + " mm";
}

bool holdsNumber(const Parameter& parameter) {
  return parameter.kind == Kind::kNumber || parameter.kind == Kind::kAutoNumber ||
         parameter.kind == Kind::kChosenNumber || parameter.kind == Kind::kAutoInteger;
}

/// A round number within the limits, for what is left to the program.
double somewhereIn(const Limits& limits) {
  constexpr double kSmallPart = 8;  // defaults lie low in their ranges
  const double wanted = limits.least + (limits.most - limits.least) / kSmallPart;
  const double step = std::pow(10, std::floor(std::log10(std::max(wanted, 1e-9))));
  const double round = std::round(wanted / step) * step;
  return round >= limits.least && round <= limits.most ? round : limits.most;
}

std::vector<std::string> numberExamples(const Parameter& parameter) {
  const std::string given = parameter.default_json;
  const bool is_auto = given == "\"auto\"";
  const double number =
      is_auto ? somewhereIn(parameter.limits) : std::strtod(given.c_str(), nullptr);
  std::vector<std::string> out = {given};
  if (is_auto) {
    out.push_back(parameter.kind == Kind::kAutoInteger ? formatFigure(std::round(number))
                                                       : formatFigure(number));
  }
  if (parameter.unit == std::string_view("mm")) {
    out.push_back(inQuotes(withUnit(number)));
  } else if (parameter.unit == kGradeUnit) {
    out.insert(out.end(), {"\"5 %\"", "\"1:20\""});
  }
  return out;
}

}  // namespace

std::string titleOf(const Parameter& parameter) {
  std::string words(keyOf(parameter));
  const std::string_view group = parentOf(parameter);
  if (const std::size_t last = group.rfind('/'); last != std::string_view::npos && last > 0) {
    words = std::string(group.substr(last + 1)) + '_' + words;  // "Infill kind"
  }
  for (const std::string_view unit :
       {"_N_mm2", "_kg_m3", "_mm_s2", "_mm_s", "_m_s", "_mm", "_kg", "_kPa", "_Pa", "_N", "_deg"}) {
    if (words.size() > unit.size() && words.ends_with(unit)) {
      words.erase(words.size() - unit.size());
      break;
    }
  }
  std::replace(words.begin(), words.end(), '_', ' ');
  if (!words.empty() && words.front() >= 'a' && words.front() <= 'z') {
    words.front() = static_cast<char>(words.front() - 'a' + 'A');
  }
  return words;
}

std::vector<std::string_view> choiceTexts(const Parameter& parameter) {
  for (const ChoiceWords& one : choiceWords()) {
    if (one.pointer == parameter.pointer) {
      return one.texts;
    }
  }
  return {};
}

std::vector<std::string> examplesOf(const Parameter& parameter) {
  if (holdsNumber(parameter)) {
    return numberExamples(parameter);
  }
  std::vector<std::string> out;
  switch (parameter.kind) {
    case Kind::kChoice:
      for (const std::string& name : choiceNames(parameter)) {
        out.push_back(inQuotes(name));
      }
      return out;
    case Kind::kFlag:
      return {"true", "false"};
    case Kind::kSurvey:
      return {"[[0, 0], [3000, 40], [6000, 60]]"};
    case Kind::kObstacles:
      return {R"([{"name": "meter box", "box_mm": [[-400, 50, 0], [-150, 250, 900]]}])"};
    case Kind::kSurroundings:
      return {R"(["fence.step", {"file": "drive.stl", "unit": "m"}])"};
    case Kind::kPanelsBuilt:
      return {R"([{"number": 2, "length_mm": 3103, "leading_height_mm": "1.601 m"}])"};
    case Kind::kText:
      return {*parameter.default_json == '"' && parameter.default_json[1] == '"'
                  ? inQuotes("any words")
                  : std::string(parameter.default_json)};
    case Kind::kGroup:
    case Kind::kMotorSet:
      return {};
    default:
      return {parameter.default_json};
  }
}

std::string exampleGate(const Parameter& parameter, const std::string& value) {
  const std::string_view pointer = parameter.pointer;
  std::string out = "{";
  if (pointer != "/site/opening_mm" && !pointer.starts_with("/site/")) {
    out += "\"site\": {\"opening_mm\": 6000}, ";
  }
  std::string closing = "}";
  for (std::size_t from = 1; from <= pointer.size();) {
    const std::size_t to = std::min(pointer.find('/', from), pointer.size());
    out += inQuotes(pointer.substr(from, to - from)) + ": ";
    if (to < pointer.size()) {
      out += "{";
      closing += "}";
      out += from == 1 && pointer.starts_with("/site/") && pointer != "/site/opening_mm"
                 ? "\"opening_mm\": 6000, "
                 : "";
    }
    from = to + 1;
  }
  return out + value + closing;
}

}  // namespace leafstack
