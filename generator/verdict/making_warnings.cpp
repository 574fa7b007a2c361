#include "generator/verdict/making_warnings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>

#include "generator/geometry/numbers.h"
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

/// The worst joint of all.
void warnAboutThickness(const Model& model, std::vector<Warning>& warnings) {
  std::vector<WeldRow> rows = weldRows(model);
  std::erase_if(rows, [&](const WeldRow& row) {
    return isOfCradle(model, row.a) && isOfCradle(model, row.b);
  });
  const WeldRow* worst = nullptr;
  double most = kMostThicknessRatio + kLengthEqualMm;
  for (const WeldRow& row : rows) {
    const double ratio = row.thinner_mm > 0 ? row.thicker_mm / row.thinner_mm : 0;
    if (ratio > most) {
      most = ratio;
      worst = &row;
    }
  }
  if (worst != nullptr) {
    warnings.push_back({"dip-thickness",
                        worst->a + " and " + worst->b + " are welded together and are " +
                            shown(worst->thicker_mm, 1) + " and " + shown(worst->thinner_mm, 1) +
                            " mm thick: beyond " + shown(kMostThicknessRatio) +
                            ":1 the thin one may distort in the zinc bath. Ask the galvaniser",
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

/// What nobody sells, by section, and what is the next to be had.
void warnAboutSpecials(const Schedules& schedules, std::vector<Warning>& warnings) {
  std::map<std::string, std::string> marks;  // by section
  for (const CutRow& row : schedules.cut_list) {
    // A sleeve is turned in any case, from the round that the order names.
    const bool is_turned = row.section.starts_with("tube dia ");
    if (!is_turned && soldInstead(row.section, row.material)) {
      std::string& of_section = marks[row.section];
      of_section += (of_section.empty() ? "" : ", ") + row.mark;
    }
  }
  for (const auto& [section, of_section] : marks) {
    warnings.push_back({"special-section",
                        of_section + ": " + section +
                            " is in no list of what merchants keep; the next one is " +
                            *soldInstead(section, "steel") + ". Take that, or have it made",
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
void warnAboutTools(const Schedules& schedules, std::vector<Warning>& warnings) {
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
    warnings.push_back(
        {"no-tool",
         std::to_string(row.quantity) + " of " + row.mark + " (" + row.size + " through " +
             row.under_head + "; " + row.what + "): a " + row.tool + " meets " + met +
             (row.tool.starts_with("socket") ? ", and a ring spanner has no room either" : "") +
             "; put it in before that, or give it room",
         ""});
  }
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

std::vector<Warning> fittingWarnings(const Model& model, const Schedules& schedules) {
  std::vector<Warning> warnings;
  warnAboutHoles(schedules, warnings);
  warnAboutNearHoles(schedules, warnings);
  warnAboutSheets(model, schedules, warnings);
  warnAboutSpecials(schedules, warnings);
  warnAboutTools(schedules, warnings);
  return warnings;
}

}  // namespace leafstack
