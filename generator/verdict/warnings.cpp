#include "generator/verdict/warnings.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>
#include <string_view>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/keepers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/latch.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/shop/stock/stock_rows.h"
#include "generator/shop/weld_strength.h"
#include "generator/verdict/load_warnings.h"
#include "generator/verdict/making_warnings.h"
#include "generator/verdict/survey_warnings.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Common practice, no source: where a rack's lower edge usually is over the rail's underside (25 to
// 38 of packing under a motor that gives 15 by itself), and how rough the rules of thumb for room
// are.
constexpr double kUsualRackLowMm = 40, kUsualRackHighMm = 53;
constexpr double kRuleOfThumbRoughMm = 100;
// ASTM F2200 as quoted in an operator's manual (row S7): no 57 mm sphere may pass.
constexpr double kSphereMm = 57;

void add(std::vector<Warning>& warnings, const char* id, std::string text, const char* where) {
  warnings.push_back({id, std::move(text), where});
}

void warnAboutRoom(const Layout& layout, std::vector<Warning>& warnings) {
  const double thumb = layout.room_rule_of_thumb_mm;
  if (thumb > 0 && std::abs(layout.room_mm - thumb) > kRuleOfThumbRoughMm + kLengthEqualMm) {
    add(warnings, "room-rule-of-thumb",
        "room " + shown(layout.room_mm) + " mm differs from the rule of thumb's " + shown(thumb) +
            " mm by more than " + shown(kRuleOfThumbRoughMm) + " mm: see what binds",
        "/site/opening_mm");
  }
}

void warnAboutStack(const GateSpec& spec, const Layout& layout, std::vector<Warning>& warnings) {
  const bool clad = spec.gate.cladding.kind != CladdingKind::kNone;
  if (clad && layout.panel_count > 1 &&
      spec.gate.cladding.thickness_mm > layout.stack.cladding_max_mm + kLengthEqualMm &&
      spec.guides.packing_mm) {
    add(warnings, "cladding-too-thick",
        "cladding " + shown(spec.gate.cladding.thickness_mm) + " mm is thicker than the " +
            shown(layout.stack.cladding_max_mm) +
            " mm that leave 15 mm before the guide rail with the packing given",
        "/guides/packing_mm");
  }
  const double front = spec.offFenceMm() + (clad ? spec.gate.cladding.thickness_mm : 0.0);
  if (layout.stack.setback_mm < front - kLengthEqualMm) {
    add(warnings, "setback-short",
        "setback " + shown(layout.stack.setback_mm) +
            " mm leaves less than the fence clearance: " + shown(front) + " mm would keep it",
        "/site/setback_mm");
  }
  if (spec.guides.mount == GuideMount::kOverhead) {
    const double needed = overheadHiddenByMm(spec, layout);
    if (spec.site.fence_height_mm < needed) {
      add(warnings, "bracket-in-view",
          "the overhead bracket stands " + shown(needed - spec.site.fence_height_mm) +
              " mm above the fence and is seen from the road. A fence of " + shown(needed) +
              " mm hides it, or a reach-over arm",
          "/guides/mount");
    }
  }
}

void warnAboutRopes(const GateSpec& spec, const Layout& layout, std::vector<Warning>& warnings) {
  if (layout.ropes.empty()) {
    return;
  }
  for (std::size_t i = 1; i < layout.ropes.size(); ++i) {
    const double apart = std::abs(layout.ropes[i].height_mm - layout.ropes[i - 1].height_mm);
    const double bracket = bracketHeightMm(spec);
    if (apart < bracket + hw::kHardwareClearanceMm) {
      add(warnings, "rope-heights",
          "the ropes of panels " + std::to_string(i) + " and " + std::to_string(i + 1) +
              " are only " + shown(apart) + " mm apart in height. Their brackets are " +
              shown(bracket) + " mm high",
          "/ropes/heights_mm");
    }
  }
  const double packing = layout.heights.motor_packing_mm;
  if (footingDropMm(spec, layout) > 0) {
    return;  // the motor stands high on its own feet
  }
  const double bare = bareRackUpMm(spec.hardware);
  const double low = std::max(0.0, kUsualRackLowMm - bare);
  const double high = std::max(0.0, kUsualRackHighMm - bare);
  if (packing < low - kLengthEqualMm || packing > high + kLengthEqualMm) {
    add(warnings, "motor-packing",
        "motor packing " + shown(packing) + " mm is outside the usual " + shown(low) + " to " +
            shown(high) + " mm under a pinion " + shown(spec.hardware.motor.pinion_up_mm) +
            " mm over its feet",
        "/drive");
  }
}

/// Through a panel's infill an arm reaches the one that passes behind or before it.
void warnAboutReach(const GateSpec& spec, const Layout& layout, std::vector<Warning>& warnings) {
  const InfillSpec& infill = spec.gate.infill;
  if (layout.panel_count < 2) {
    return;
  }
  // From the infill's far face to the next panel's frame.
  const double behind =
      layout.stack.gap_mm + (layout.stack.frame_depth_mm - infill.section.depth_mm) / 2;
  const std::optional<double> needed = reachThrough_mm(infill.gap_mm);
  if (needed && *needed <= behind) {
    return;
  }
  add(warnings, "reach-through",
      "hazard: an arm reaches through gaps of " + shown(infill.gap_mm) +
          " mm, and a panel passes " + shown(behind) + " mm behind them. " +
          (needed ? shown(*needed) + " mm would be far enough" : "No distance is far enough") +
          " (ISO 13857 as quoted, from 14 years). Gaps of up to 10 mm, a sheet or a mesh that lets "
          "no finger through cure it",
      "/gate/infill");
  warnings.back().is_hazard = true;
}

/// What lifting is needed to leave the track, against what the lift keepers allow.
void warnAboutLift(const GateSpec& spec, const Layout& layout, std::vector<Warning>& warnings) {
  const double lets_go = trackKeepers(spec).lets_go_mm - hw::kStillHeldMm + kLengthEqualMm;
  for (const PanelLayout& panel : layout.panels) {
    const Range lift = liftMm(layout, panel.number);
    if (lift.high <= lets_go) {
      continue;
    }
    const std::string name = "panel " + std::to_string(panel.number);
    const std::string at = shown(trackKeepers(spec).lets_go_mm, 1) + " mm";
    add(warnings, "keepers-let-go",
        "lifted at its guide, " + name + " can rise by " + shown(lift.high, 1) +
            " mm before the lift keepers stop it, and its track keepers let go at " + at +
            ". Beyond, only its weight keeps it on the track. A higher track or less play helps, "
            "and on a slope raked tops, whose guide blocks do not float",
        "/hardware/keeper");
    if (lift.low > lets_go) {
      warnings.back().against = Against::kTrack;
      warnings.back().in_short = name + " can be lifted out of its track keepers";
    } else {
      warnings.back().proviso =
          "nothing lifts " + name + " by " + at + " where only its weight holds it down";
    }
    return;  // those before it rise further still
  }
}

void warnAboutKeepers(const GateSpec& spec, const Layout& layout, std::vector<Warning>& warnings) {
  warnAboutLift(spec, layout, warnings);
  const double past = trackKeepers(spec).outer_half_mm - spec.gate.bottom_rail.depth_mm / 2;
  // Beside the rail's faces brackets and ropes pass so far off.
  const double free = spec.hardware.bracket.face_gap_mm - hw::kHardwareClearanceMm;
  if (past > free + kLengthEqualMm) {
    add(warnings, "keepers-past-rail",
        "the track keepers stand " + shown(past, 1) +
            " mm out on either side of the bottom rail, where ropes and brackets pass",
        "/hardware/keeper/low_mm");
  }
  if (!latchOf(spec, layout).top) {
    add(warnings, "no-top-receiver",
        "between guide rail and bottom rail there is no room for a top receiver. Nothing holds the "
        "closed gate's top at the latch",
        "/guides/drop_mm");
  }
}

/// Where panels stand parked their tops may show over a fence that follows the ground.
double shownOverFenceMm(const GateSpec& spec, const Layout& layout) {
  double most = 0;
  for (const PanelLayout& panel : layout.panels) {
    const Pose open = layout.ground.travels[panel.number]->at(layout.drive_travel_mm);
    for (double x : {panel.leading_closed_mm, panel.leading_closed_mm + panel.frame_length_mm}) {
      const auto top = carried(open, {x, 0, panel.topZ(x)});
      most = std::max(most, top[2] - layout.ground.heightMm(top[0], 0) - spec.site.fence_height_mm);
    }
  }
  return most;
}

void warnAboutSlope(const GateSpec& spec, const Layout& layout, std::vector<Warning>& warnings) {
  const GroundLayout& ground = layout.ground;
  const Range slopes =
      ground.slopeRange(layout.panels.back().leading_closed_mm, layout.panel(1).trailing_open_mm);
  const double steepest = std::max(std::abs(slopes.low), std::abs(slopes.high));
  const bool uneven = steepest > 0;
  const double over = uneven ? shownOverFenceMm(spec, layout) : 0;
  if (over > kLengthEqualMm) {
    add(warnings, "parked-over-fence",
        "parked, the gate stands up to " + shown(over) + " mm above a fence of " +
            shown(spec.site.fence_height_mm) + " mm that follows the ground",
        "/gate/top");
  }
}

std::vector<Warning> layoutWarnings(const GateSpec& spec, const Layout& layout) {
  std::vector<Warning> warnings;
  warnAboutRoom(layout, warnings);
  warnAboutStack(spec, layout, warnings);
  warnAboutRopes(spec, layout, warnings);
  warnAboutKeepers(spec, layout, warnings);
  const InfillSpec& infill = spec.gate.infill;
  const bool gapped = infill.kind == InfillKind::kPickets || infill.kind == InfillKind::kSlats;
  const CladdingSpec& cladding = spec.gate.cladding;
  const bool closed_by_cladding =
      cladding.kind != CladdingKind::kNone && cladding.gap_mm < kSphereMm;
  const bool open = infill.kind == InfillKind::kOpen || (gapped && infill.gap_mm >= kSphereMm);
  if (open && !closed_by_cladding) {
    add(warnings, "infill-gap",
        "a 57 mm sphere passes the infill. Guidance for automatic gates asks that none does up to "
        "1.83 m (ASTM F2200 as quoted in an operator's manual)",
        "/gate/infill");
  }
  if (gapped && !closed_by_cladding) {
    warnAboutReach(spec, layout, warnings);
  }
  warnAboutSlope(spec, layout, warnings);
  for (Warning& warning : surveyWarnings(spec.site, layout)) {
    warnings.push_back(std::move(warning));
  }
  return warnings;
}

/// "bottom rail BR1"
std::string named(const Model& model, const std::string& mark) {
  const auto part = std::find_if(model.parts.begin(), model.parts.end(),
                                 [&](const Part& one) { return one.mark == mark; });
  return part == model.parts.end() ? mark : part->name + " " + mark;
}

void warnAboutStock(const Model& model, std::vector<Warning>& warnings) {
  for (const TooLongPiece& piece : piecesLongerThanStock(model)) {
    add(warnings, "longer-than-stock",
        named(model, piece.mark) + " of " + piece.section + " is " + shown(piece.length_mm, 1) +
            " mm long, more than any stock length gives. Order it at length, or splice it",
        piece.stock_at);
    warnings.back().against = Against::kMaking;
    warnings.back().in_short = named(model, piece.mark) + " is longer than any stock length";
  }
}

/// Legs of panels that the gate file gives; those that it leaves open grow until they hold. Posts
/// are told by their loads.
void warnAboutWelds(const Model& model, const LoadReport& loads, std::vector<Warning>& warnings) {
  if (!model.spec.shop.weld_leg_mm) {
    return;
  }
  std::vector<WeldRow> rows = weldRows(model);
  weldToForces(model, loads, rows);
  const WeldRow* worst = nullptr;
  double excess = 0;
  for (const WeldRow& row : rows) {
    if (row.panel > 0 && row.use && *row.use > 1) {
      excess += *row.use - 1;
      worst = worst == nullptr || *row.use > *worst->use ? &row : worst;
    }
  }
  if (worst != nullptr) {
    constexpr double kPercent = 100;
    add(warnings, "weld-overload",
        "the weld of " + named(model, worst->a) + " on " + named(model, worst->b) +
            " takes up to " + shown(*worst->use * kPercent, 0) +
            " % of its strength with a leg of " + shown(worst->leg_mm) + " mm. A leg of " +
            shown(*worst->use * worst->leg_mm, 1) + " mm holds, \"auto\" finds it",
        "/shop/weld_leg_mm");
    warnings.back().against = Against::kStrength;
    warnings.back().in_short =
        "the weld of " + named(model, worst->a) + " on " + named(model, worst->b) + " overloaded";
    warnings.back().times_allowed = *worst->use;
    warnings.back().excess = excess;
  }
}

std::vector<Warning> hazardsFirst(std::vector<Warning> warnings) {
  std::stable_partition(warnings.begin(), warnings.end(),
                        [](const Warning& warning) { return warning.is_hazard; });
  return warnings;
}

/// What a fixed name of a warning says to people who have not seen the warning.
std::string plainWords(std::string words) {
  constexpr std::pair<std::string_view, std::string_view> kWords[] = {
      {"member-overload", "tubes overloaded"},
      {"frame-soft", "the frame moves too far"},
      {"leaves-track", "a wheel leaves its track"},
      {"wheel-lifts", "a wheel lifts"},
      {"teeth-let-go", "the rack lets go of its pinion"},
      {"motor-weak", "the motor too weak"},
      {"rope-weak", "a rope too weak"},
      {"clash", "parts that meet"},
      {"runs-by-gravity", "it runs away by itself"},
      {"longer-than-stock", "a piece longer than its stock"}};
  for (const auto& [id, said] : kWords) {
    if (id == words) {
      return std::string(said);
    }
  }
  constexpr std::string_view kOver = "-overload";
  if (words.ends_with(kOver)) {
    words.replace(words.size() - kOver.size(), kOver.size(), " overloaded");
  }
  std::replace(words.begin(), words.end(), '-', ' ');  // else words joined by dashes
  return words;
}

}  // namespace

std::vector<Warning> warningsOf(const GateSpec& spec, const Layout& layout) {
  return hazardsFirst(layoutWarnings(spec, layout));
}

std::vector<Warning> warningsOf(const Model& model, const LoadReport& loads) {
  std::vector<Warning> warnings = layoutWarnings(model.spec, model.layout);
  const std::vector<Warning> of_loads = loadWarnings(model, loads);
  warnings.insert(warnings.end(), of_loads.begin(), of_loads.end());
  warnAboutWelds(model, loads, warnings);
  warnAboutStock(model, warnings);
  for (const std::vector<Warning>& more : {fixingWarnings(model), dipWarnings(model)}) {
    warnings.insert(warnings.end(), more.begin(), more.end());
  }
  return hazardsFirst(std::move(warnings));
}

std::vector<Warning> warningsOf(const Model& model, const Schedules& schedules) {
  std::vector<Warning> warnings = warningsOf(model, schedules.loads);
  for (Warning& warning : fittingWarnings(model, schedules)) {
    warnings.push_back(std::move(warning));
  }
  return warnings;
}

std::string settingsOf(const Cure& cure) {
  std::string out;
  for (const std::string& set : cure.sets) {
    const bool is_plain = set.find_first_of(" \"{}[]*?$") == std::string::npos;
    out += (out.empty() ? "--set " : " --set ") + (is_plain ? set : "'" + set + "'");
  }
  return out;
}

std::string inWords(const Warning& warning) {
  return warning.text + (warning.where.empty() ? "" : " (" + warning.where + ")");
}

std::vector<std::string> cautions(const HardwareSpec& shelf) {
  std::vector<std::string> all = {
      "Automatic gates crush and shear. The panels pass each other at one to as many times the "
      "drive's speed as there are panels, the front one fastest.",
      "Fit positive stops at both ends of the travel. They are never optional.",
      "No panel may fall if a guide, a wheel or a rope fails. Check this on the finished gate.",
      "Guard the ropes and pulleys, and every gap that closes or shears as panels pass.",
      "Limit and detect force at every edge that can trap, and measure it on the finished gate. "
      "EN 12453 as quoted by the trade: dynamic force up to 400 N in gaps up to 500 mm, 1400 N "
      "elsewhere, for at most 0.75 s.",
      "The gate must not start or run by gravity when the drive is released.",
      "The figures are aids to a competent person. Structural design, footings, electrical work "
      "and "
      "the safety of the finished installation follow local codes and need licensed practitioners.",
      "The lists hold the parts drawn, their fixings too. What bonds anchors and dowels, the "
      "wiring, "
      "and caps of open tubes that no list names are yours to add."};
  if (shelf.generic_sizes == shelf.sizes) {
    all.emplace_back(
        "Hardware sizes are generic. Replace them with your supplier's before cutting.");
  } else if (shelf.generic_sizes > 0) {
    all.push_back(std::to_string(shelf.generic_sizes) + " of " + std::to_string(shelf.sizes) +
                  " hardware sizes are generic, of a set of this program. Replace them with your "
                  "supplier's before cutting.");
  }
  return all;
}

std::string resultInWords(const Cure& cure) {
  const std::string count = std::to_string(cure.tried);
  if (cure.sets.empty()) {
    return "none of the " + count + " changes tried cures it" +
           (cure.is_brief ? " (--cures tries more)" : "");
  }
  std::string left;
  for (const std::string& id : cure.leaves) {
    left += (left.empty() ? "" : ", ") + plainWords(id);
  }
  const bool is_bought = std::any_of(cure.sets.begin(), cure.sets.end(), [](const auto& set) {
    return set.find("rating_N=") != std::string::npos || set.find("force_N") != std::string::npos;
  });
  return (left.empty() ? std::string(cure.is_tight ? "tried, and with it the gate is ready, though "
                                                     "clearances are short"
                                     : cure.is_proved ? "tried, and with it the gate is ready"
                                                      : "tried, and with it nothing is overloaded")
                       : "tried, and cures it (then still: " + left + ")") +
         (cure.is_proved ? "" : "; clashes were not checked with it") +
         (is_bought ? "; what is bought must be rated so:" : ":");
}

std::string inWords(const Cure& cure) {
  return resultInWords(cure) + (cure.sets.empty() ? "." : " " + settingsOf(cure));
}

}  // namespace leafstack
