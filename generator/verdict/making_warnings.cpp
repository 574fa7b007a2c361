#include "generator/verdict/making_warnings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/model/splices.h"
#include "generator/shop/packing/packing.h"
#include "generator/shop/welds/weld_rows.h"
#include "params/catalogue/sold.h"
#include "params/catalogue/vents.h"

namespace leafstack {
namespace {

void warnAboutSealed(const Model& model, std::vector<Warning>& warnings) {
  for (const Part& part : model.parts) {
    if (part.unvented.empty()) {
      continue;
    }
    std::string ends;
    for (const std::string& end : part.unvented) {
      ends += (ends.empty() ? "" : " and ") + end;
    }
    Warning warning{"unvented",
                    part.mark + " (" + part.name + ", " + part.section +
                        ") is welded shut at its " + ends +
                        ", where no wall has a place for a vent. Sealed steel bursts in the zinc "
                        "bath and may kill. Agree on a vent with the galvaniser, take a larger "
                        "section, or paint",
                    "/shop/finish"};
    warning.against = Against::kMaking;
    warning.in_short = part.mark + " has no vent for the zinc bath";
    warnings.push_back(std::move(warning));
  }
}

/// Pulleys come out in their cradles, which are never dipped with a panel.
bool isOfCradle(const Model& model, const std::string& mark) {
  const auto part = std::find_if(model.parts.begin(), model.parts.end(),
                                 [&](const Part& one) { return one.mark == mark; });
  return part != model.parts.end() && rowOf(part->kind).shelf == "pulley";
}

/// All joints in one warning, the worst first.
void warnAboutThickness(const Model& model, std::vector<Warning>& warnings) {
  std::vector<WeldRow> rows = weldRows(model);
  const auto ratio = [](const WeldRow& row) {
    return row.thinner_mm > 0 ? row.thicker_mm / row.thinner_mm : 0;
  };
  std::erase_if(rows, [&](const WeldRow& row) {
    return (isOfCradle(model, row.a) && isOfCradle(model, row.b)) ||
           ratio(row) <= kMostThicknessRatio + kLengthEqualMm;
  });
  std::stable_sort(rows.begin(), rows.end(), [&](const WeldRow& one, const WeldRow& other) {
    return ratio(one) > ratio(other);
  });
  std::string joints;
  std::set<std::pair<std::string, std::string>> told;
  for (const WeldRow& row : rows) {
    if (told.insert(std::minmax(row.a, row.b)).second) {
      joints += (joints.empty() ? "" : ", ") + row.a + "-" + row.b + " (" +
                shown(row.thicker_mm, 1) + " on " + shown(row.thinner_mm, 1) + " mm)";
    }
  }
  if (!joints.empty()) {
    warnings.push_back({"dip-thickness",
                        "welded together and beyond " + shown(kMostThicknessRatio) +
                            ":1 in thickness, the thin part may distort in the zinc bath: " +
                            joints + ". Ask the galvaniser about each",
                        "/shop/finish"});
  }
}

/// What is dipped as one piece: the cut steel of a panel.
std::map<int, Bounds> dippedPieces(const Model& model) {
  constexpr double kFar = std::numeric_limits<double>::infinity();
  std::map<int, Bounds> pieces;
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    const bool is_cut = part.supply == Supply::kCutTube || part.supply == Supply::kCutPlate ||
                        part.supply == Supply::kCutBar;
    if (instance.panel == 0 || !is_cut || part.material != "steel") {
      continue;
    }
    Bounds& piece =
        pieces.try_emplace(instance.panel, Bounds{{kFar, kFar, kFar}, {-kFar, -kFar, -kFar}})
            .first->second;
    for (int axis = 0; axis < 3; ++axis) {
      piece.low[axis] = std::min(piece.low[axis], instance.bounds.low[axis]);
      piece.high[axis] = std::max(piece.high[axis], instance.bounds.high[axis]);
    }
  }
  return pieces;
}

void warnAboutBath(const Model& model, std::vector<Warning>& warnings) {
  const auto& bath = model.spec.shop.bath_mm;
  if (!bath) {
    return;
  }
  for (const auto& [panel, piece] : dippedPieces(model)) {
    std::array<double, 3> sizes{};
    for (int axis = 0; axis < 3; ++axis) {
      sizes[axis] = piece.high[axis] - piece.low[axis];
    }
    std::sort(sizes.rbegin(), sizes.rend());
    if (sizes[0] > bath->at(0) + kLengthEqualMm || sizes[1] > bath->at(1) + kLengthEqualMm) {
      warnings.push_back({"larger-than-bath",
                          "panel " + std::to_string(panel) + " is " + shown(sizes[0], 0) +
                              " mm long and " + shown(sizes[1], 0) +
                              " mm high and the zinc bath takes " + shown(bath->at(0)) + " by " +
                              shown(bath->at(1)) +
                              " mm: ask for a larger one, or whether it can be dipped twice",
                          "/shop/bath_mm"});
    }
  }
}

std::string inList(const std::set<std::string>& marks) {
  std::string all;
  for (const std::string& mark : marks) {
    all += (all.empty() ? "" : ", ") + mark;
  }
  return all;
}

/// What travels and is lifted, against what the gate file says can be.
void warnAboutTransport(const Model& model, std::vector<Warning>& warnings) {
  const ShopSpec& shop = model.spec.shop;
  for (const PackingRow& row : packingRows(model)) {
    const std::string name = row.what + (row.marks.empty() ? "" : " " + row.marks);
    std::array<double, 3> sizes = {row.length_mm, row.depth_mm, row.height_mm};  // however it lies
    std::sort(sizes.rbegin(), sizes.rend());
    if (shop.transport_mm && (sizes[0] > shop.transport_mm->at(0) + kLengthEqualMm ||
                              sizes[1] > shop.transport_mm->at(1) + kLengthEqualMm)) {
      warnings.push_back({"larger-than-transport",
                          name + " is " + shown(sizes[0], 0) + " by " + shown(sizes[1], 0) +
                              " mm, and what travels is " + shown(shop.transport_mm->at(0)) +
                              " by " + shown(shop.transport_mm->at(1)) + " mm at most",
                          "/shop/transport_mm"});
    }
    if (shop.lift_kg && row.mass_kg > *shop.lift_kg) {
      warnings.push_back({"heavier-than-lift",
                          name + " weighs " + shown(row.mass_kg, 0) + " kg and " +
                              shown(*shop.lift_kg) + " kg can be lifted as one",
                          "/shop/lift_kg"});
    }
  }
  for (int panel = 1; panel <= model.layout.panel_count; ++panel) {
    std::set<std::string> marks;
    for (const int across : acrossSiteJoints(model, panel)) {
      marks.insert(model.parts[model.instances[across].part].mark);
    }
    if (!marks.empty()) {
      warnings.push_back({"across-site-joint",
                          inList(marks) + " of panel " + std::to_string(panel) +
                              (marks.size() > 1 ? " lie" : " lies") +
                              " across where its rails are joined on site: loose for the way "
                              "there, fixed once they are",
                          "/shop/transport_mm"});
    }
  }
}

/// The cut list says so already.
bool isDrilled(const Schedules& schedules, const std::string& mark) {
  return std::any_of(schedules.cut_list.begin(), schedules.cut_list.end(), [&](const CutRow& row) {
    return row.mark == mark && row.cutouts.find("drilled") != std::string::npos;
  });
}

/// What is to be tapped is drilled in any case.
bool isTapped(const Schedules& schedules, const std::string& mark, double hole_mm) {
  return std::any_of(
      schedules.fasteners.begin(), schedules.fasteners.end(), [&](const FastenerRow& row) {
        return row.holds_in == mark && std::abs(row.tapped_mm - hole_mm) < kLengthEqualMm;
      });
}

void warnAboutHoles(const Schedules& schedules, std::vector<Warning>& warnings) {
  for (const ProfileRow& row : schedules.profiles) {
    const double hole = row.profile ? row.profile->smallestHoleMm() : 0;
    if (hole > 0 && hole < row.thickness_mm && row.material != "timber" &&
        !isDrilled(schedules, row.mark) && !isTapped(schedules, row.mark, hole)) {
      warnings.push_back({"small-hole",
                          row.name + " " + row.mark + " has a hole of " + shown(hole) +
                              " mm in plate of " + shown(row.thickness_mm) +
                              " mm: have it drilled, not cut",
                          ""});
    }
  }
}

void warnAboutNearHoles(const Schedules& schedules, std::vector<Warning>& warnings) {
  for (const ProfileRow& row : schedules.profiles) {
    for (const NearHole& hole : row.near_holes) {
      warnings.push_back(
          {hole.is_to_fold ? "hole-near-fold" : "hole-near-edge",
           row.name + " " + row.mark + " has a hole of " + shown(hole.hole_mm) + " mm " +
               (hole.is_to_fold ? shown(hole.is_mm, 1) +
                                      " mm from where a fold begins, and a fold draws what "
                                      "is nearer than " +
                                      shown(hole.least_mm, 1) +
                                      " mm (2 t + r): drill it after folding, or move it"
                                : "with its middle " + shown(hole.is_mm, 1) +
                                      " mm from an edge: " + shown(hole.least_mm, 1) +
                                      " mm (1.2 of it, EN 1993-1-8 table 3.3) are the "
                                      "least for a bolt"),
           ""});
    }
  }
}

/// What nobody sells, by section and material, and what is the next to be had.
void warnAboutSpecials(const Schedules& schedules, std::vector<Warning>& warnings) {
  std::map<std::pair<std::string, std::string>, std::string> marks;
  for (const CutRow& row : schedules.cut_list) {
    // A sleeve is turned in any case, from the round that the order names.
    const bool is_turned = row.section.starts_with("sleeve dia ");
    if (!is_turned && soldInstead(row.section, row.material)) {
      std::string& of_section = marks[{row.section, row.material}];
      of_section += (of_section.empty() ? "" : ", ") + row.mark;
    }
  }
  for (const auto& [special, of_section] : marks) {
    const auto& [section, material] = special;
    warnings.push_back({"special-section",
                        of_section + ": " + (material == "aluminium" ? "aluminium " : "") +
                            section + " is in no list of what merchants keep; the next one is " +
                            *soldInstead(section, material) + ". Take that, or have it made",
                        ""});
  }
}

void warnAboutSheets(const Model& model, const Schedules& schedules,
                     std::vector<Warning>& warnings) {
  const SheetRules sheet = sheetRules(model.spec.shop);
  for (const ProfileRow& row : schedules.profiles) {
    if (!row.profile || row.material == "timber") {
      continue;
    }
    const double longer = std::max(row.profile->width_mm, row.profile->height_mm);
    const double shorter = std::min(row.profile->width_mm, row.profile->height_mm);
    const double edges = 2 * sheet.gap_mm - kLengthEqualMm;
    if (longer + edges > std::max(sheet.length_mm, sheet.width_mm) ||
        shorter + edges > std::min(sheet.length_mm, sheet.width_mm)) {
      warnings.push_back({"larger-than-sheet",
                          row.name + " " + row.mark + " is " + shown(longer, 1) + " by " +
                              shown(shorter, 1) + " mm and comes out of no sheet of " +
                              shown(sheet.length_mm) + " by " + shown(sheet.width_mm) + " with " +
                              shown(sheet.gap_mm) +
                              " mm about it: order it at size, or in two with a joint",
                          "/shop/sheet_mm"});
    }
  }
}

/// One warning for all that are alike and that no tool reaches, on whatever panel.
void warnAboutTools(const Model& model, const Schedules& schedules,
                    std::vector<Warning>& warnings) {
  std::vector<FastenerRow> alike;
  for (const FastenerRow& row : schedules.fasteners) {
    const auto known = std::find_if(alike.begin(), alike.end(), [&](const FastenerRow& one) {
      return std::tie(one.mark, one.what, one.under_head, one.tool, one.blocked_by) ==
             std::tie(row.mark, row.what, row.under_head, row.tool, row.blocked_by);
    });
    if (known != alike.end()) {
      known->quantity += row.quantity;
    } else if (!row.blocked_by.empty()) {
      alike.push_back(row);
    }
  }
  for (const FastenerRow& row : alike) {
    std::string met;
    for (const std::string& mark : row.blocked_by) {
      met += (met.empty() ? "" : ", ") + mark;
    }
    const bool is_carrier = row.under_head.starts_with(rowOf(PartKind::kWheelCarrier).letters);
    Warning warning{"no-tool",
                    std::to_string(row.quantity) + " of " + row.mark + " (" + row.size +
                        " through " + row.under_head + "; " + row.what + "): a " + row.tool +
                        " meets " + met +
                        (row.tool.starts_with("socket") ? ", and no spanner has room either" : "") +
                        ", and it cannot be put in before that: give it room",
                    is_carrier ? "/hardware/wheel/bolt_pitch_mm" : ""};
    warning.against = Against::kMaking;
    warning.in_short = "no tool reaches " + std::to_string(row.quantity) + " of " + row.mark;
    warnings.push_back(std::move(warning));
  }
}

void addFixing(std::vector<Warning>& warnings, std::string id, std::string text,
               std::string where) {
  warnings.push_back({std::move(id), std::move(text), std::move(where)});
}

/// Steel that sits on an aluminium frame and that no screw of the model holds there.
void warnAboutUnfixed(const Model& model, std::vector<Warning>& warnings) {
  std::set<std::string> marks;
  for (const Contact& contact : model.contacts) {
    const Instance* const sides[] = {&model.instances[contact.a], &model.instances[contact.b]};
    const Part& one = model.parts[sides[0]->part];
    const Part& other = model.parts[sides[1]->part];
    const bool is_on_frame = contact.kind == ContactKind::kBolted && sides[0]->panel > 0 &&
                             sides[0]->panel == sides[1]->panel && one.material != other.material &&
                             (one.material == "aluminium" || other.material == "aluminium");
    const Part& steel = one.material == "aluminium" ? other : one;
    const int channel = one.material == "aluminium" ? contact.b : contact.a;
    const bool is_screwed =
        std::any_of(model.fastenings.begin(), model.fastenings.end(),
                    [&](const Fastening& fastening) { return fastening.under_head == channel; });
    if (is_on_frame && steel.kind == PartKind::kGuideChannel && !is_screwed) {
      marks.insert(steel.mark);
    }
  }
  if (marks.empty()) {
    return;
  }
  const std::string all = inList(marks);
  addFixing(
      warnings, "unfixed-steel",
      all +
          ": steel on an aluminium frame, to be bolted on, and their screws are neither drawn, "
          "drilled for nor ordered. Choose them by the loads in the report, through the wall with "
          "nuts or rivet nuts, with tape or washers that keep the two metals apart",
      "/gate/material");
  warnings.back().proviso = "the screws that hold " + all +
                            " on the aluminium frame are chosen by the loads in the report";
}

/// A rack whose sizes leave no room for any screw, into its standoffs or through its feet.
void warnAboutUnfixedRack(const Model& model, std::vector<Warning>& warnings) {
  std::set<std::string> marks;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Part& part = model.parts[model.instances[i].part];
    const bool is_held =
        std::any_of(model.fastenings.begin(), model.fastenings.end(),
                    [&](const Fastening& fastening) { return fastening.under_head == i; });
    if (part.kind == PartKind::kRack && !is_held) {
      marks.insert(part.mark);
    }
  }
  if (marks.empty()) {
    return;
  }
  const std::string all = inList(marks);
  addFixing(warnings, "unfixed-rack",
            all +
                ": no screw fits, so nothing holds the rack. Its head is sunk above the teeth's "
                "roots with 4 mm of rack under it, and what it is screwed into is twice as thick "
                "as its thread: a thicker rack, or standoffs of 10 mm for M5, 12 for M6, 16 for "
                "M8, further out if they are short",
            "/hardware/rack");
  warnings.back().proviso = all + " is fixed to its panel by other means than are drawn";
}

/// A guide rail that its drop brings before the top rail's round corner only: no weld lies there.
void warnAboutRailAtCorner(const Model& model, std::vector<Warning>& warnings) {
  for (const Contact& contact : model.contacts) {
    const Part* rail = &model.parts[model.instances[contact.a].part];
    const Part* top = &model.parts[model.instances[contact.b].part];
    if (rail->kind == PartKind::kTopRail) {
      std::swap(rail, top);
    }
    if (contact.kind == ContactKind::kStandsOn && rail->kind == PartKind::kGuideRail &&
        top->kind == PartKind::kTopRail) {
      addFixing(warnings, "rail-at-corner",
                "guide rail " + rail->mark + " lies at the round lower corner of " + top->mark +
                    ", where no weld can be made: only uprights and pickets that it crosses hold "
                    "it, and it is checked as a beam between these. Some millimetres more or less "
                    "of a drop bring it onto a flat, as far as the site lets them",
                "/guides/drop_mm");
    }
  }
}

void warnAboutTrackFixing(const GateSpec& spec, std::vector<Warning>& warnings) {
  if (spec.site.dowel_mm <= 0) {
    addFixing(
        warnings, "unfixed-track",
        "no dowels hold the tracks (/site/dowel_mm is 0), and what does is neither drawn, listed "
        "nor ordered",
        "/site/dowel_mm");
    warnings.back().proviso = "its tracks are held to the concrete by other means than dowels";
  }
}

/// Boards and battens that screws hold at one end only, or nowhere.
void warnAboutLooseCladding(const Model& model, std::vector<Warning>& warnings) {
  std::map<int, std::array<Range, 2>> held;  // by instance: along X and Z
  for (const Fastening& fastening : model.fastenings) {
    const auto [at, is_new] = held.try_emplace(fastening.under_head);
    for (const int k : {0, 1}) {
      const double place = fastening.seat_mm[2 * k];
      Range& range = at->second[k];
      range = is_new ? Range{place, place}
                     : Range{std::min(range.low, place), std::max(range.high, place)};
    }
  }
  std::set<std::string> marks;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Instance& instance = model.instances[i];
    const Part& part = model.parts[instance.part];
    if (part.kind != PartKind::kBoard && part.kind != PartKind::kBatten) {
      continue;
    }
    const int k = part.kind == PartKind::kBoard ? 1 : 0;
    const double length = instance.bounds.high[2 * k] - instance.bounds.low[2 * k];
    const auto found = held.find(i);
    if (found == held.end() || found->second[k].high - found->second[k].low < length / 2) {
      marks.insert(part.mark);
    }
  }
  if (marks.empty()) {
    return;
  }
  const std::string all = inList(marks);
  addFixing(warnings, "unfixed-cladding",
            all + (marks.size() > 1 ? ": screws hold them" : ": screws hold it") +
                " at one end at most, since no flat of the frame lies behind the other. "
                "Let the cladding begin lower, or take a bottom rail that reaches up behind it",
            "/gate/cladding");
  warnings.back().proviso =
      all + (marks.size() > 1 ? " get a second hold each, where no flat of the frame is behind them"
                              : " gets a second hold, where no flat of the frame is behind it");
}

}  // namespace

std::vector<Warning> dipWarnings(const Model& model) {
  std::vector<Warning> warnings;
  if (model.spec.shop.isDipped()) {
    warnAboutSealed(model, warnings);
    warnAboutThickness(model, warnings);
    warnAboutBath(model, warnings);
  }
  return warnings;
}

std::vector<Warning> fixingWarnings(const Model& model) {
  std::vector<Warning> warnings;
  warnAboutUnfixed(model, warnings);
  warnAboutRailAtCorner(model, warnings);
  warnAboutLooseCladding(model, warnings);
  warnAboutUnfixedRack(model, warnings);
  warnAboutTrackFixing(model.spec, warnings);
  return warnings;
}

std::vector<Warning> fittingWarnings(const Model& model, const Schedules& schedules) {
  std::vector<Warning> warnings;
  warnAboutHoles(schedules, warnings);
  warnAboutNearHoles(schedules, warnings);
  warnAboutSheets(model, schedules, warnings);
  warnAboutSpecials(schedules, warnings);
  warnAboutTools(model, schedules, warnings);
  warnAboutTransport(model, warnings);
  return warnings;
}

}  // namespace leafstack
