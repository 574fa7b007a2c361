// Why a gate laid out by the arithmetic alone still could not be built.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/ground_foot.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/ground/survey.h"
#include "generator/layout/layout_parts.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Two wheels with their pockets and a hand's breadth between them.
double leastPanelLengthMm(const HardwareSpec& shelf, double wheel_inset_mm) {
  return 2 * (wheel_inset_mm + wheelHalfLengthMm(shelf) + hw::kWheelPocketEndGapMm) + 40;
}

constexpr double kNutWallMm = 1.5;  // least, at its flats: M6 of ISO 4032 has 2. Own choice

void checkRopeHardware(const GateSpec& spec, const Layout& layout,
                       std::vector<LayoutProblem>& problems) {
  if (layout.ropes.empty()) {
    return;
  }
  const double pitch = layout.ropes.front().pitch_mm;
  const double rim = pulleyRimMm(spec, pitch);
  const double half_depth = layout.stack.frame_depth_mm / 2;
  const double bracket_half_depth = pitch / 2 - half_depth - spec.hardware.bracket.face_gap_mm;
  const double least_pitch =
      std::max(2 * (half_depth + leastStrandOffsetMm(spec)),
               2 * half_depth +
                   2 * (strandOffsetMm(spec) - hw::kStrandOffsetBaseMm - spec.ropes.diameter_mm));
  if (pitch < least_pitch - kLengthEqualMm) {
    problems.push_back({"/ropes/pulley_pitch_mm", "pulley pitch diameter " + shown(pitch) +
                                                      " mm leaves the strands too near "
                                                      "the rail's faces for a bracket: at least " +
                                                      shown(least_pitch) + " mm"});
  }
  const BracketHardware& bracket = spec.hardware.bracket;
  const Range foot = groundFootMm(spec, layout.stack.frame_depth_mm, 2 * bracket_half_depth);
  const double foot_depth = foot.high - foot.low;
  const double least_depth = 2 * leastHoleEdge_mm(bracket.foot_hole_mm);
  if (foot_depth < least_depth) {
    problems.push_back({"/hardware/bracket/foot_hole_mm",
                        "holes of " + shown(bracket.foot_hole_mm) +
                            " mm leave no edge in the ground bracket's foot, which is " +
                            shown(foot_depth) + " mm deep: at most " +
                            shown(foot_depth / (2 * kLeastEdgePerHole)) + " mm"});
  }
  if (layout.pulley_inset_mm < rim + hw::kPulleyEndGapMm - kLengthEqualMm) {
    problems.push_back(
        {"/ropes/pulley_inset_mm", "pulley inset " + shown(layout.pulley_inset_mm) +
                                       " mm lets the pulley (outside radius " + shown(rim) +
                                       " mm) stand out of the rail's end: at least " +
                                       shown(rim + hw::kPulleyEndGapMm) + " mm"});
  }
  const double least_clearance = leastBracketClearanceMm(spec);
  if (layout.bracket_clearance_mm < least_clearance - kLengthEqualMm) {
    problems.push_back({"/ropes/bracket_clearance_mm",
                        "bracket clearance " + shown(layout.bracket_clearance_mm) +
                            " mm lets the bracket or its terminals meet the pulley's rim: at "
                            "least " +
                            shown(std::ceil(least_clearance)) + " mm"});
  }
}

/// Is there thread for all of the adjuster's range, and metal round what goes through a bracket?
void checkTerminals(const GateSpec& spec, const Layout& layout,
                    std::vector<LayoutProblem>& problems) {
  if (layout.ropes.empty()) {
    return;
  }
  const Terminal terminal = terminalOf(spec);
  const double bracket = spec.hardware.bracket.length_mm;
  const bool screw = terminal.kind == TerminalKind::kScrew;
  const double thread = nutsLengthMm(terminal) + (screw ? 0 : terminal.adjust_mm);
  if (terminal.length_mm < thread - kLengthEqualMm) {
    problems.push_back({"/hardware/terminal/length_mm",
                        "a thread of " + shown(terminal.length_mm) + " mm is too short for a " +
                            shown(bracket) + " mm bracket, two nuts of " + shown(terminal.nut_mm) +
                            " mm" +
                            (screw ? std::string()
                                   : " and an adjustment of " + shown(terminal.adjust_mm) + " mm") +
                            ": at least " + shown(std::ceil(thread)) + " mm"});
  }
  // Drawn in by all its range a screw still stands in its bore by its own diameter.
  const double range = bracket - terminal.thread_mm;
  if (screw && terminal.adjust_mm > range + kLengthEqualMm) {
    problems.push_back(
        {spec.ropes.adjuster_mm ? "/ropes/adjuster_mm" : "/hardware/terminal/adjust_mm",
         "an adjustment of " + shown(terminal.adjust_mm) + " mm draws a hollow screw M" +
             shown(terminal.thread_mm) + " out of a bracket " + shown(bracket) +
             " mm long: at most " + shown(range) + " mm at each end, or a bracket of " +
             shown(terminal.adjust_mm + terminal.thread_mm) + " mm"});
  }
  // Both are in the file where the nut is not a standard's.
  const double across = terminal.thread_mm + 2 * kNutWallMm;
  if (terminal.nut_across_mm < across - kLengthEqualMm) {
    problems.push_back({"/hardware/terminal/nut_across_mm",
                        "a nut " + shown(terminal.nut_across_mm) +
                            " mm across its flats has no metal round a thread M" +
                            shown(terminal.thread_mm) + ": at least " + shown(across) + " mm"});
  }
  const double root = threadRootMm(terminal.thread_mm);
  constexpr double kLeastWallMm = 1;
  const double least_root = spec.ropes.diameter_mm + 2 * kLeastWallMm;
  if (screw && root < least_root - kLengthEqualMm) {
    double thicker = terminal.thread_mm;
    for (const ThreadClass& one : threadClasses()) {
      thicker = threadRootMm(thicker) < least_root ? one.thread_mm : thicker;
    }
    problems.push_back(
        {"/hardware/terminal/thread_mm",
         "a rope of " + shown(spec.ropes.diameter_mm) + " mm does not go through a hollow screw M" +
             shown(terminal.thread_mm) + ", which has a root of " + shown(root) + " mm where " +
             shown(least_root) + " mm are needed: at least " + shown(thicker) + " mm"});
  }
  const double least_height =
      ropesApartMm(spec) + terminal.thread_mm + 2 * hw::kTerminalBoreGapMm + 2 * hw::kBoreEdgeMm;
  if (bracketHeightMm(spec) < least_height - kLengthEqualMm) {
    problems.push_back({"/hardware/bracket/height_mm",
                        "a bracket " + shown(bracketHeightMm(spec)) +
                            " mm high has no metal round two bores for M" +
                            shown(terminal.thread_mm) + " that stand " + shown(ropesApartMm(spec)) +
                            " mm apart: at least " + shown(std::ceil(least_height)) + " mm"});
  }
}

/// A wheel in the rail: its pocket, and its axle's hole through both walls.
void checkWheelInRail(const GateSpec& spec, const Layout& layout,
                      std::vector<LayoutProblem>& problems) {
  const HollowSection& rail = spec.gate.bottom_rail;
  const WheelHardware& wheel = spec.hardware.wheel;
  const double over_axle = wheel.outside_mm / 2 + rail.wall_mm + hw::kWheelPocketGapMm;
  const double least_height = wheel.axle_up_mm + over_axle;
  const double corner = cornerRadii(rail).outer_mm + kHoleInFlatMm;
  if (rail.height_mm < least_height) {
    const double most_up = rail.height_mm - over_axle;
    problems.push_back(
        {"/gate/bottom_rail",
         rail.designation + " is too low for a track wheel of " + shown(wheel.outside_mm) +
             " mm: at least " + shown(least_height) + " mm high" +
             (most_up >= corner + axleHoleMm(spec.hardware) / 2
                  ? ", or an axle at most " + shown(most_up) + " mm up (/hardware/wheel/axle_up_mm)"
                  : "")});
  }
  const double pocket = wheel.width_mm + 2 * hw::kWheelPocketGapMm;
  const double flat = rail.depth_mm - 2 * corner;
  if (flat < pocket) {
    problems.push_back({"/gate/bottom_rail",
                        rail.designation + " is too narrow for a wheel pocket of " + shown(pocket) +
                            " mm between its corners: wheels at most " +
                            shown(std::floor(10 * (flat - 2 * hw::kWheelPocketGapMm)) / 10) +
                            " mm wide (/hardware/wheel/width_mm), or rails and stiles at least " +
                            shown(std::ceil(rail.depth_mm + pocket - flat)) + " mm deep"});
  }
  // Ground bracket and front brackets pass the rail's side with their upper plates at any height.
  const double most_out = spec.hardware.bracket.face_gap_mm - hw::kHardwareClearanceMm;
  if (!layout.ropes.empty() && wheel.axle_projection_mm > most_out + kLengthEqualMm) {
    problems.push_back(
        {"/hardware/wheel/axle_projection_mm",
         "axles that stand out of the rail by " + shown(wheel.axle_projection_mm) +
             " mm meet the rope brackets, which pass its side by " +
             shown(spec.hardware.bracket.face_gap_mm) + " mm: " +
             (most_out >= wheel.axle_ring_mm ? "at most " + shown(most_out) + " mm, or " : "") +
             "brackets at least " + shown(wheel.axle_projection_mm + hw::kHardwareClearanceMm) +
             " mm off (/hardware/bracket/face_gap_mm)"});
  }
  const double least_up = corner + axleHoleMm(spec.hardware) / 2;
  if (spec.hardware.wheel.axle_up_mm < least_up) {
    // Corners go by the wall: what wall has room for the hole is found among thinner ones.
    HollowSection thinner = rail;
    constexpr double kStepMm = 0.5, kThinnestMm = 1;
    while (thinner.wall_mm > kThinnestMm &&
           cornerRadii(thinner).outer_mm + kHoleInFlatMm + axleHoleMm(spec.hardware) / 2 >
               spec.hardware.wheel.axle_up_mm) {
      thinner.wall_mm -= kStepMm;
    }
    problems.push_back(
        {"/gate/bottom_rail", rail.designation + " is too thick: the axle hole, " +
                                  shown(spec.hardware.wheel.axle_up_mm) +
                                  " mm up, would cut the rail's rounded corner: an axle at least " +
                                  shown(std::ceil(10 * least_up) / 10) +
                                  " mm up (/hardware/wheel/axle_up_mm), or a wall of at most " +
                                  shown(thinner.wall_mm) + " mm"});
  }
}

/// Sleeves on the axle, beside the wheel: over the rail's lower wall.
void checkSleeves(const GateSpec& spec, std::vector<LayoutProblem>& problems) {
  constexpr double kOverWallMm = 0.2;
  constexpr double kOffWallMm = 0.5;  // a sleeve's end, as it is drawn
  const WheelHardware& wheel = spec.hardware.wheel;
  const double bore = wheel.axle_mm / 2 + hw::kPulleyBoreGapMm;
  // At its end a sleeve comes over the rounding of the rail's inside.
  const double round = cornerRadii(spec.gate.bottom_rail).inner_mm;
  const double off = std::max(0.0, round - kOffWallMm);
  const double rise = round - std::sqrt(round * round - off * off);
  const double room = wheel.axle_up_mm - spec.gate.bottom_rail.wall_mm - rise - kOverWallMm - bore;
  if (wheel.sleeve_wall_mm > room + kLengthEqualMm) {
    const double short_mm = wheel.sleeve_wall_mm - room;
    problems.push_back(
        {"/hardware/wheel/sleeve_wall_mm",
         "sleeves " + shown(2 * (bore + wheel.sleeve_wall_mm)) +
             " mm over their walls, on an axle " + shown(wheel.axle_up_mm) +
             " mm up, meet the lower wall of " + spec.gate.bottom_rail.designation +
             (room > 0
                  ? ": a wall of at most " + shown(std::floor(10 * room) / 10) + " mm, or an axle "
                  : ": an axle ") +
             "at least " + shown(std::ceil(10 * (wheel.axle_up_mm + short_mm)) / 10) +
             " mm up (/hardware/wheel/axle_up_mm)"});
  }
}

/// A wheel on a plate: bolts in the flat of the underside, and nothing that stands out to where
/// ropes' brackets pass.
void checkWheelOnPlate(const GateSpec& spec, std::vector<LayoutProblem>& problems) {
  const HardwareSpec& shelf = spec.hardware;
  const HollowSection& rail = spec.gate.bottom_rail;
  const double form = threadClass(shelf.wheel.plate_bolt_mm).form_mm;
  const double flat = rail.depth_mm - 2 * (cornerRadii(rail).outer_mm + kHoleInFlatMm);
  if (shelf.wheel.bolt_gauge_mm + form > flat + kLengthEqualMm) {
    problems.push_back({"/hardware/wheel/bolt_gauge_mm",
                        "carrier bolts " + shown(shelf.wheel.bolt_gauge_mm) + " mm apart across " +
                            rail.designation + " would be drilled into its corners: at most " +
                            shown(flat - form) + " mm"});
  }
  const double pitch = leastBoltPitchMm(shelf);
  if (shelf.wheel.bolt_pitch_mm < pitch - kLengthEqualMm) {
    problems.push_back({"/hardware/wheel/bolt_pitch_mm",
                        "carrier bolts M" + shown(shelf.wheel.plate_bolt_mm) + ", " +
                            shown(shelf.wheel.bolt_pitch_mm) +
                            " mm apart along the track, have their heads in the wheel of " +
                            shown(shelf.wheel.outside_mm) + " mm or its cheeks: at least " +
                            shown(std::ceil(pitch)) + " mm"});
  }
  const double wide = 2 * carrierHalfWidthMm(shelf);
  const double most = rail.depth_mm + 2 * (shelf.bracket.face_gap_mm - hw::kHardwareClearanceMm);
  if (wide > most + kLengthEqualMm) {
    problems.push_back({"/hardware/wheel/width_mm",
                        "a wheel carrier " + shown(wide) + " mm wide under " + rail.designation +
                            " would meet the ground bracket, which passes it: at most " +
                            shown(most) + " mm over plate and axle"});
  }
}

void checkFrame(const GateSpec& spec, const Layout& layout, std::vector<LayoutProblem>& problems) {
  const HollowSection& rail = spec.gate.bottom_rail;
  if (isOnPlate(spec.hardware)) {
    checkWheelOnPlate(spec, problems);
  } else {
    checkWheelInRail(spec, layout, problems);
    checkSleeves(spec, problems);
  }
  if (layout.panel_count >= 3 && !spec.ropes.heights_mm) {
    const double apart =
        std::abs(layout.heights.rope_heights_mm[1] - layout.heights.rope_heights_mm[0]);
    const double least = bracketHeightMm(spec) + hw::kHardwareClearanceMm;
    if (apart < least) {
      problems.push_back(
          {"/gate/bottom_rail", rail.designation +
                                    " is too low for ropes at two heights, which "
                                    "three and four panels need: at least " +
                                    shown(std::ceil(rail.height_mm + least - apart)) +
                                    " mm high, or pulleys and "
                                    "terminals that are lower"});
    }
  }
  const double shortest = leastPanelLengthMm(spec.hardware, wheelInsetMm(spec, layout));
  for (const PanelLayout& panel : layout.panels) {
    if (panel.frame_length_mm < shortest) {
      problems.push_back({"/gate/panels", "panel " + std::to_string(panel.number) +
                                              " would be only " + shown(panel.frame_length_mm) +
                                              " mm long; its two wheels need " + shown(shortest) +
                                              " mm: take fewer panels"});
      return;
    }
  }
}

/// The last place for a guide rail is above the bottom rail's cladding line; lower it holds
/// nothing.
void checkGuides(const Layout& layout, std::vector<LayoutProblem>& problems) {
  constexpr double kLeastOverRailMm = 100;
  for (const GuideLayout& guide : layout.guides) {
    for (int number = guide.panel; number >= std::max(1, guide.panel - 1); --number) {
      const PanelLayout& panel = layout.panel(number);
      const double low = guide.z_mm + guide.channel_low_mm * guide.channelCosine();
      const double rail = panel.undersideZ(guide.x_mm) + layout.heights.rail_height_mm;
      if (low < rail + kLeastOverRailMm) {
        problems.push_back({"/gate/top", "the guide channel of panel " +
                                             std::to_string(guide.panel) + " would reach down to " +
                                             shown(low - rail) +
                                             " mm above the bottom rail: the "
                                             "block moves " +
                                             shown(guide.float_mm.high - guide.float_mm.low) +
                                             " mm in it; take raked tops, more panels or a higher "
                                             "gate"});
        return;
      }
    }
  }
}

void checkPivots(const GateSpec& spec, const Layout& layout, std::vector<LayoutProblem>& problems) {
  for (const GuideLayout& guide : layout.guides) {
    if (guide.is_pivoted && guide.turn_deg > spec.hardware.guide.turn_deg + kLengthEqualMm) {
      problems.push_back({"/hardware/guide/turn_deg",
                          "the jaws of panel " + std::to_string(guide.panel) +
                              "'s guide block have to turn by " + shown(guide.turn_deg) +
                              " degrees on their bolt, and can by " +
                              shown(spec.hardware.guide.turn_deg) +
                              ": take a block that turns further, or one that is bolted fast "
                              "(/hardware/guide/block_mount)"});
      return;
    }
  }
}

constexpr double kBracketOffCradleMm = 0.5;  // both are fixed to one rail

/// A rope bracket on a panel: its middle from the panel's end along the rail, its bores' middle
/// above the underside.
struct PlacedBracket {
  int panel = 0;
  double inset_mm = 0, up_mm = 0;
};

/// Rope brackets lie against a bottom rail's side; higher up they would meet the stiles.
void checkBracketUnderTop(const Layout& layout, int number, double up_mm,
                          std::vector<LayoutProblem>& problems) {
  if (up_mm > layout.heights.rail_height_mm - kLengthEqualMm) {
    problems.push_back({"/gate/bottom_rail",
                        "a rope bracket on panel " + std::to_string(number) +
                            " would reach up to " + shown(up_mm) + " mm, the bottom rail only to " +
                            shown(layout.heights.rail_height_mm) + " mm: take a rail at least " +
                            shown(std::ceil(up_mm)) + " mm high, ropes " +
                            shown(std::ceil(up_mm - layout.heights.rail_height_mm)) +
                            " mm lower (/hardware/pulley/low_up_mm, high_up_mm) or less grade "
                            "across the track"});
  }
}

/// A bracket beside the pulleys that its panel carries would keep their cradle in; of heights that
/// were given the clash check tells.
void checkBracketOffCradle(const GateSpec& spec, const Layout& layout, const PlacedBracket& bracket,
                           std::vector<LayoutProblem>& problems) {
  const double half_own =
      bracket.panel < layout.panel_count ? halfCradlesUnderMm(spec, bracket.inset_mm) : 0;
  if (half_own == 0 || spec.ropes.heights_mm) {
    return;
  }
  const double apart = std::abs(bracket.up_mm - layout.heights.rope_heights_mm[bracket.panel - 1]);
  const double least = bracketHeightMm(spec) / 2 + half_own + kBracketOffCradleMm;
  if (apart < least - kLengthEqualMm) {
    problems.push_back({"/gate/bottom_rail",
                        "a rope bracket on panel " + std::to_string(bracket.panel) +
                            " would stand " + shown(apart) +
                            " mm above or below that panel's own ropes and keep their pulley's "
                            "cradle in " +
                            spec.gate.bottom_rail.designation + ": at least " +
                            shown(std::ceil(least)) + " mm, in a rail at least " +
                            shown(std::ceil(layout.heights.rail_height_mm + least - apart)) +
                            " mm high"});
  }
}

void checkBrackets(const GateSpec& spec, const Layout& layout,
                   std::vector<LayoutProblem>& problems) {
  const auto check = [&](int number, double x, double bore_z) {
    const PanelLayout& panel = layout.panel(number);
    const double up = (bore_z - panel.undersideZ(x)) * panel.cosine();
    checkBracketUnderTop(layout, number, up + bracketHeightMm(spec) / 2, problems);
    const double inset = std::min(x - panel.leading_closed_mm, panel.trailing_closed_mm - x);
    checkBracketOffCradle(spec, layout, {number, inset / panel.cosine(), up}, problems);
  };
  for (const RopeLayout& rope : layout.ropes) {
    check(rope.carrier + 1, rope.front_bracket_mm, rope.front_bore_z_mm);
    if (rope.carrier > 1) {
      check(rope.carrier - 1, rope.rear_bracket_mm, rope.rear_bore_z_mm);
    }
  }
}

/// What the straight line takes that exceeds its limits least: with so much allowed it can be laid.
std::string notStraight(const GateSpec& spec, const LaidTrack& track) {
  const auto over = [](const LaidPoint& point) { return point.straight_mm - point.slab_mm; };
  LaidPoint highest, lowest;
  for (const LaidPoint& point : track.points) {
    highest = over(point) > over(highest) ? point : highest;
    lowest = over(point) < over(lowest) ? point : lowest;
  }
  // Up to the next hundredth, which is what is shown.
  const auto allowed = [](double mm) { return shown(std::ceil(mm * 100 - kLengthEqualMm) / 100); };
  return "track " + std::to_string(track.panel) + " cannot be laid straight on shims of up to " +
         shown(spec.site.shims_most_mm) + " mm and " + shown(spec.site.grinding_most_mm) +
         " mm of grinding. The line that exceeds them least takes shims of up to " +
         allowed(over(highest)) + " mm, at x = " + shown(highest.x_mm, 0) +
         ", and grinds off up to " + allowed(-over(lowest)) +
         " mm, at x = " + shown(lowest.x_mm, 0) +
         ": allow that (/site/shims_most_mm, /site/grinding_most_mm), or bend the track "
         "(/site/track_laying=bent)";
}

}  // namespace

std::vector<LayoutProblem> problemsOf(const GateSpec& spec, const Layout& layout) {
  std::vector<LayoutProblem> problems;
  for (const std::string& text : layout.ground.problems) {
    problems.push_back({"/site/track_survey_mm", text});
  }
  for (const std::string& text : crossingLines(spec, layout)) {
    problems.push_back({"/site/track_survey_mm", text});
  }
  for (const LaidTrack& track : layout.ground.laid) {
    if (track.straight_short_mm > 0 && spec.site.track_laying == TrackLaying::kStraight) {
      problems.push_back({"/site/track_laying", notStraight(spec, track)});
    }
  }
  if (!layout.ground.problems.empty()) {
    return problems;  // laid out as if level: what else there is would not be so
  }
  checkGuides(layout, problems);
  checkPivots(spec, layout, problems);
  checkRopeHardware(spec, layout, problems);
  checkTerminals(spec, layout, problems);
  checkBrackets(spec, layout, problems);
  for (const ProblemToCure& one : curableProblems(spec, layout)) {
    problems.push_back(one.untried());
  }
  checkPulleys(spec, layout, problems);
  checkOnFooting(spec, layout, problems);
  checkFrame(spec, layout, problems);
  return problems;
}

}  // namespace leafstack
