#include "exporters/desk/figures.h"

#include <algorithm>
#include <string_view>

#include "exporters/bytes/json_numbers.h"
#include "generator/geometry/numbers.h"
#include "generator/loads/sheet.h"

namespace leafstack::desk {
namespace {

using Json = nlohmann::ordered_json;

Json lineJson(const SheetLine& line) {
  return {{"what", line.what},
          {"formula", line.formula},
          {"value", line.value},
          {"source", line.source}};
}

constexpr std::string_view kLayoutsRule = "the layout's rule ";

/// Lines of the calculation sheet by what they are called.
class Sheet {
 public:
  explicit Sheet(std::vector<SheetSection> sections) : sections_(std::move(sections)) {}

  /// Those of a section that begin with one of these words, in the sheet's order.
  Json lines(std::string_view section, std::initializer_list<std::string_view> words) const {
    Json found = Json::array();
    for (const SheetSection& one : sections_) {
      if (!one.title.starts_with(section)) {
        continue;
      }
      for (const SheetLine& line : one.lines) {
        if (std::any_of(words.begin(), words.end(),
                        [&](std::string_view word) { return line.what.starts_with(word); })) {
          found.push_back(lineJson(line));
        }
      }
    }
    return found;
  }

 private:
  std::vector<SheetSection> sections_;
};

Sheet sheetOf(const Built* built) {
  return Sheet(built == nullptr ? std::vector<SheetSection>()
                                : calculationSheet(built->model, built->schedules.loads));
}

Json figure(std::string_view id, std::string_view what, const Json& value, std::string_view unit,
            int places, const std::string& note, const Json& why) {
  return {{"id", id},         {"what", what}, {"value", value}, {"unit", unit},
          {"places", places}, {"note", note}, {"why", why}};
}

Json roomFigure(const Layout& layout) {
  const ExtensionRule& rule = ruleOf(layout.binding);
  const auto last = std::max_element(layout.panels.begin(), layout.panels.end(),
                                     [](const PanelLayout& a, const PanelLayout& b) {
                                       return a.trailing_open_mm < b.trailing_open_mm;
                                     });
  Json why = Json::array();
  why.push_back(lineJson({"the open panels",
                          "trailing end of panel " + std::to_string(last->number) +
                              " when open - opening = " + shown(last->trailing_open_mm, 1) + " - " +
                              shown(layout.opening_mm, 1),
                          shown(layout.room_mm, 1) + " mm", std::string(kLayoutsRule) + "L5"}));
  why.push_back(lineJson({"with what stands past them",
                          shown(layout.room_mm, 1) + " + end stops and their feet " +
                              shown(layout.room_total_mm - layout.room_mm, 1),
                          shown(layout.room_total_mm, 1) + " mm",
                          "where the end stops stand: set-out list"}));
  if (layout.extension_mm > 0) {
    why.push_back(
        lineJson({"panel 1's rail past the opening",
                  "the greatest demand, the " + std::string(rule.name) + ", " +
                      std::string(rule.meaning) + "; " + std::string(rule.change),
                  shown(layout.extension_mm, 1) + " mm", std::string(kLayoutsRule) + "L4"}));
  }
  const std::string binds = "what binds is the " + std::string(rule.name);
  return figure("room", "Room beyond the opening", num(layout.room_total_mm), "mm", 0,
                layout.room_given ? shown(layout.room_given_mm, 0) + " mm given; " + binds : binds,
                why);
}

Json panelFigure(const Layout& layout, const PanelLayout& panel) {
  Json why = Json::array();
  why.push_back(lineJson(
      {"from end to end, closed",
       "X " + shown(panel.trailing_closed_mm, 1) + " - X " + shown(panel.leading_closed_mm, 1),
       shown(panel.trailing_closed_mm - panel.leading_closed_mm, 1) + " mm",
       std::string(kLayoutsRule) + "L1: closed panels cover the opening"}));
  if (panel.number < layout.panel_count) {
    why.push_back(lineJson({"of it behind panel " + std::to_string(panel.number + 1),
                            "the overlap asked for, or as much as guide block, pulleys and rope "
                            "brackets take between the two",
                            shown(panel.overlap_mm, 1) + " mm", std::string(kLayoutsRule) + "L2"}));
  }
  if (panel.number == 1 && layout.extension_mm > 0) {
    why.push_back(
        lineJson({"of it past the opening",
                  "the " + std::string(ruleOf(layout.binding).name) + ", " +
                      std::string(ruleOf(layout.binding).meaning),
                  shown(layout.extension_mm, 1) + " mm", std::string(kLayoutsRule) + "L4"}));
  }
  return figure("panel" + std::to_string(panel.number),
                "Length of panel " + std::to_string(panel.number), num(panel.length_mm), "mm", 0,
                panel.number == layout.panel_count ? "the front one" : "", why);
}

void addLoads(Json& all, const Built& built, const Sheet& sheet) {
  const DriveRow& drive = built.schedules.loads.drive;
  all.push_back(figure("mass", "Moved by the drive", num(drive.moving_mass_kg), "kg", 0, "",
                       sheet.lines("Masses", {"m1", "m2", "m3", "m4", "all that moves"})));
  all.push_back(figure(
      "force", "To start it", num(drive.required_force_N), "N", 0,
      shown(drive.force_N, 0) + " N to keep it going",
      sheet.lines("Drive", {"force, moving", "force, starting", "lost in", "force to order"})));
  all.push_back(figure("time", "Opens in", num(drive.time.total_s), "s", 1,
                       "front panel at " + shown(drive.front_speed_mm_s, 0) + " mm/s",
                       sheet.lines("Drive", {"opening time", "front panel's speed"})));
  const StructureReport& structure = built.schedules.loads.structure;
  if (structure.problem.empty()) {
    all.push_back(figure("wind", "Moves in the wind", num(structure.deflection_mm), "mm", 1,
                         shown(structure.deflection_limit_mm, 0) + " mm allowed",
                         sheet.lines("The gate as one frame", {"greatest movement across"})));
    all.push_back(figure(
        "use", "Strength that is used", num(100 * structure.mostUse()), "%", 0,
        "of the frame, its posts and what holds them, at the worst place",
        sheet.lines("The gate as one frame", {"foot of", "the guide post,", "the catch post,"})));
  }
}

void addProof(Json& all, const ClashReport& clash) {
  Json why = Json::array();
  why.push_back(lineJson({"pairs of parts that come near each other",
                          "for each a plane that keeps the two apart, over every stretch of the "
                          "whole travel, or a finding",
                          std::to_string(clash.pairs_checked), "the clash check; clashes.csv"}));
  all.push_back(figure("pairs", "Checked", clash.pairs_checked, "pairs of parts", 0,
                       "through the whole travel", why));
  if (!clash.least_clearance_between.empty()) {
    why = Json::array();
    why.push_back(
        lineJson({clash.least_clearance_between,
                  "least distance over the travel, at drive travel " +
                      shown(clash.least_clearance_at_mm, 1) + " mm",
                  shown(clash.least_clearance_mm, 2) + " mm", "the clash check; clashes.csv"}));
    all.push_back(figure("least", "Nearest without touching", num(clash.least_clearance_mm), "mm",
                         2, "", why));
  }
}

}  // namespace

Json figuresJson(const Prepared& prepared, const Built* built) {
  const Layout& layout = prepared.layout;
  Json all = Json::array();
  all.push_back(roomFigure(layout));
  for (const PanelLayout& panel : layout.panels) {
    all.push_back(panelFigure(layout, panel));
  }
  if (built != nullptr) {
    addLoads(all, *built, sheetOf(built));
    addProof(all, built->clash);
  }
  return all;
}

Json reasonsJson(const Built* built) {
  const Sheet sheet = sheetOf(built);
  Json json = Json::object();
  json["/drive/rolling_resistance"] =
      sheet.lines("Rolling", {"lever", "bearing", "flanks", "dirt", "mu"});
  json["/checks/wind_Pa"] = sheet.lines("Wind on", {"velocity pressure"});
  json["/checks/deflection_mm"] =
      sheet.lines("The gate as one frame", {"greatest movement across"});
  json["/ropes/grade_N_mm2"] = sheet.lines("Ropes", {"breaking force"});
  return json;
}

}  // namespace leafstack::desk
