#include "exporters/lists/report/summary.h"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

#include "exporters/bytes/rounding.h"
#include "exporters/lists/report/built/built_report.h"
#include "exporters/lists/text/plain_text.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/loads/tensioning.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

constexpr std::size_t kFindingsShown = 20;

std::string mm(double value) {
  return shown(value) + " mm";
}

std::string intro(const GateSpec& spec, const Layout& layout) {
  const std::string title = spec.job.title.empty() ? "Telescopic sliding gate" : spec.job.title;
  std::string text = mm(layout.opening_mm) + " opening, " + std::to_string(layout.panel_count) +
                     (layout.panel_count == 1 ? " panel" : " panels");
  if (layout.panel_count > 1) {
    text += spec.gate.stacking == Stacking::kFlush ? ", parked flush" : ", parked staggered";
  }
  text += spec.site.opens == Hand::kRight ? ", opens to the right" : ", opens to the left";
  text += " (seen from the road); " + std::string(nameOf(spec.guides.mount)) + ", " +
          spec.drive.motor.name + " motor";
  std::string out = title + "\n" + wrapped(text, "  ", "  ");
  for (const ChosenValue& one : spec.chosen) {
    out += wrapped(one.pointer + " is " + one.value + ", chosen: " + one.why, "  ", "    ");
  }
  return out;
}

std::string roomText(const Layout& layout) {
  std::string text = "Room needed beyond the opening: " + mm(layout.room_total_mm) + ", " +
                     mm(layout.room_total_mm - layout.room_mm) + " of them for the end stops";
  if (layout.room_given) {
    const double margin = layout.room_given_mm - layout.room_total_mm;
    text += layout.fits
                ? "; " + mm(layout.room_given_mm) + " given, " + mm(margin) + " to spare"
                : "; only " + mm(layout.room_given_mm) + " given, " + mm(-margin) + " too little";
  }
  std::string out = "\nRoom\n" + wrapped(text + ".", "  ", "  ");
  if (layout.room_rule_of_thumb_mm > 0) {
    out += wrapped(
        "The rule of thumb of the trade says about " + mm(layout.room_rule_of_thumb_mm) + ".", "  ",
        "  ");
  }
  out += wrapped("What binds is the " + std::string(ruleOf(layout.binding).name) + ", " +
                     std::string(ruleOf(layout.binding).meaning) + ".",
                 "  ", "  ");
  std::string others;
  for (const ExtensionRule& rule : kExtensionRules) {
    const ExtensionDemand& demand = layout.demands[rule.binding];
    if (demand.applies && demand.slack_mm > kLengthEqualMm) {
      others += (others.empty() ? "" : ", ") + std::string(rule.name) + " " + mm(demand.slack_mm);
    }
  }
  if (!others.empty()) {
    out += wrapped("To spare elsewhere: " + others + ".", "  ", "  ");
  }
  if (layout.catch_in_opening_mm > 0) {
    out += wrapped("The catch plates at the latch post stand " + mm(layout.catch_in_opening_mm) +
                       " into the clear opening, close above the driveway.",
                   "  ", "  ");
  }
  return out;
}

std::string stackText(const GateSpec& spec, const Layout& layout) {
  const StackLayout& stack = layout.stack;
  std::string text = "Front panel " + mm(stack.setback_mm) + " behind the fence line";
  if (layout.panel_count > 1) {
    text += ", " + mm(stack.gap_mm) + " between neighbouring frames";
  }
  if (layout.panel_count > 1) {
    text += ", " + mm(stack.packing_mm) + " packing behind the guide channels; cladding up to " +
            mm(stack.cladding_max_mm) + " needs none";
  }
  text += ".";
  std::string heights = "Bottom rail " + mm(layout.heights.underside_mm) +
                        " above the driveway, tops at " + mm(layout.heights.top_mm) +
                        (layout.heights.motor_packing_mm > 0
                             ? ", motor packed up by " + mm(layout.heights.motor_packing_mm)
                             : std::string(", motor on its bare base"));
  if (const double raise = layout.heights.motor_raise_mm; std::abs(raise) > kLengthEqualMm) {
    heights += ", its own base set " + mm(std::abs(raise)) +
               (raise > 0 ? " above its middle" : " below its middle");
  }
  if (const double drop = footingDropMm(spec, layout); drop > 0) {
    heights += ", the footing behind the tracks " + mm(drop) + " below theirs";
  }
  for (std::size_t i = 0; i < layout.heights.rope_heights_mm.size(); ++i) {
    heights += (i == 0 ? "; ropes' middle " : " and ") + shown(layout.heights.rope_heights_mm[i]);
  }
  heights += layout.heights.rope_heights_mm.empty() ? "." : " mm above the rail's underside.";
  const std::string fence =
      spec.site.fence_height_mm < layout.heights.top_mm
          ? "  The gate stands higher than the fence (" + mm(spec.site.fence_height_mm) + ").\n"
          : std::string();
  return "\nAcross the track and up\n" + wrapped(text, "  ", "  ") + wrapped(heights, "  ", "  ") +
         fence;
}

std::string pocketText(const GroundLayout& ground) {
  if (ground.pockets.empty()) {
    return "";
  }
  const auto cubic = [](double m3) { return fixedDecimals(m3, 2) + " m3"; };
  const PocketLayout& own = ground.pockets.front();
  std::string text = "The parked gate needs a pocket dug into the bank: " + cubic(own.volume_m3) +
                     " over " + mm(own.room_mm) + " of room and " + mm(own.width_mm) +
                     " of width, a face of " + fixedDecimals(own.end_face_m2, 2) +
                     " m2 to retain at its end and " + fixedDecimals(own.side_face_m2, 2) +
                     " m2 along either side. To compare:";
  for (std::size_t count = 1; count < ground.pockets.size(); ++count) {
    text += (count == 1 ? " " : ", ") + std::to_string(count) +
            (count == 1 ? " panel " : " panels ") + cubic(ground.pockets[count].volume_m3);
  }
  return wrapped(text + ".", "  ", "  ");
}

/// What uneven ground costs, in mm.
std::string unevenText(const Layout& layout) {
  const GroundLayout& ground = layout.ground;
  std::string out;
  for (const TrackRise& rise : ground.track_rises) {
    out += wrapped("The line of track " + std::to_string(rise.high) + " lies at most " +
                       mm(rise.rise_mm) + " over that of track " + std::to_string(rise.low) +
                       ", at x = " + shown(rise.x_mm, 0) + ".",
                   "  - ", "    ");
  }
  for (const PanelOnUneven& row : ground.uneven) {
    const PanelLayout& panel = layout.panel(row.panel);
    std::string text = "Panel " + std::to_string(row.panel) + ": its top leans up to " +
                       mm(std::abs(row.lean_mm)) +
                       (row.lean_mm < 0 ? " towards the latch" : " towards the storage side") +
                       " against a plumb post (at drive travel " + shown(row.lean_at_mm, 0) +
                       "); least gap under its bottom rail " + mm(panel.least_ground_mm) +
                       " at x = " + shown(panel.least_ground_x_mm, 0);
    if (row.panel > 1) {
      text += "; play along the track when closed " + mm(row.latch_play_mm) +
              "; its ropes take it up to " + mm(row.ahead_mm.high) + " ahead of and " +
              mm(-row.ahead_mm.low) + " behind its share of the travel, open " +
              mm(std::abs(row.ahead_open_mm)) + (row.ahead_open_mm < 0 ? " behind" : " ahead") +
              ", and leave it within " + shown(row.rope_play_mm, 2) +
              " mm of that, which the clash check allows for";
    } else {
      text += "; its rack rises " + mm(ground.rack_rise_mm.high) + " and falls " +
              mm(-ground.rack_rise_mm.low) + " at the pinion";
      if (!ground.rack_up_mm.empty()) {
        text += " where straight; laid to the pinion's path it lies up to " +
                mm(*std::max_element(ground.rack_up_mm.begin(), ground.rack_up_mm.end())) +
                " higher on the rail, and teeth enter by up to " + mm(ground.rack_off_mm.high) +
                " less than they should";
      }
    }
    out += wrapped(text + ".", "  - ", "    ");
  }
  return out;
}

std::string groundText(const GateSpec& spec, const Layout& layout) {
  const GroundLayout& ground = layout.ground;
  const bool is_level = !ground.is_surveyed && spec.site.grade == 0 && spec.site.cross_grade == 0;
  if (is_level && ground.pockets.empty()) {
    return "";
  }
  std::string out = "\nGround\n";
  if (ground.is_surveyed) {
    out += wrapped(
        (ground.track_lines.empty() ? std::string("Surveyed track, bent over its points")
                                    : "Surveyed tracks, a line each, bent over their points") +
            " (a natural cubic spline) and straight beyond. Each panel follows its two wheels; "
            "positions are panel 1's horizontal "
            "travel. Least ground clearance " +
            mm(ground.least_clearance_mm) + ", under panel " +
            std::to_string(ground.least_clearance_panel) + ".",
        "  ", "  ");
  } else if (spec.site.grade != 0) {
    out += wrapped("The track rises " + shown(1000 * spec.site.grade) +
                       " mm per metre in the opening direction: it opens " +
                       (spec.site.grade > 0 ? "uphill." : "downhill.") +
                       " Lengths below are horizontal; parts have their true lengths.",
                   "  ", "  ");
  }
  if (spec.site.cross_grade != 0) {
    out += wrapped("Across, the ground rises " + shown(1000 * spec.site.cross_grade) +
                       " mm per metre from road to property; every track has its own level.",
                   "  ", "  ");
  }
  out += unevenText(layout);
  for (const GuideLayout& guide : layout.guides) {
    if (!is_level) {
      out += wrapped("Guide of panel " + std::to_string(guide.panel) + ", " + guide.why + ".",
                     "  - ", "    ");
    }
  }
  return out + pocketText(ground);
}

std::string ropesText(const LoadReport& loads) {
  std::string out;
  for (const RopeRow& row : loads.ropes) {
    const std::string load = row.safety ? "up to " + shown(row.working_tension_N, 0) +
                                              " N, safety " + shown(*row.safety, 1)
                                        : std::string("never pulls, the other rope holds");
    out += wrapped("rope " + row.mark + ", panel " + std::to_string(row.carrier) +
                       (row.opening ? ", opening: " : ", closing: ") + shown(row.length_mm, 1) +
                       " mm (" + shown(row.free_length_mm, 1) + " between terminations), " + load,
                   "  - ", "    ");
  }
  for (const std::string& step : tensioningSteps(loads.ropes)) {
    out += wrapped(step, "  ", "    ");
  }
  return out;
}

std::string structureText(const StructureReport& structure) {
  if (!structure.problem.empty()) {
    return "";  // a warning says so
  }
  const auto most = std::max_element(
      structure.members.begin(), structure.members.end(),
      [](const StructureMember& a, const StructureMember& b) { return a.use < b.use; });
  const auto wheel = std::max_element(
      structure.wheels.begin(), structure.wheels.end(),
      [](const StructureWheel& a, const StructureWheel& b) { return a.ratio < b.ratio; });
  const std::string whose =
      most->panel > 0 ? "panel " + std::to_string(most->panel) + "'s " : "the ";
  return wrapped(
      "As a frame its most used member is " + whose + most->name + " with " +
          shown(100 * most->use, 0) + " % (" + most->case_name + "); it moves up to " +
          shown(structure.deflection_mm, 0) + " mm across the track of " +
          shown(structure.deflection_limit_mm, 0) + " mm allowed. " +
          (wheel->vertical_N > 0
               ? "A wheel is pushed sideways with up to " + shown(wheel->ratio) +
                     " times the weight on it; its groove holds " + shown(wheel->limit) + " times."
               : std::string("A wheel is lifted off its track.")),
      "  ", "  ");
}

std::string blocksText(const StructureReport& structure) {
  std::string text;
  bool is_soil_known = true, are_anchors_known = true;
  for (const StructurePost& post : structure.posts) {
    if (post.block && post.anchors) {
      text += (text.empty() ? "" : ", ") + shown(post.block->along_mm) + " x " +
              shown(post.block->across_mm) + " mm, " + shown(post.block->depth_mm) +
              " mm deep, under the " + post.name + " (tipping " + shown(100 * post.block->use, 0) +
              " %)";
      is_soil_known = is_soil_known && post.block->soil_use;
      are_anchors_known = are_anchors_known && post.anchors->cone_use && post.anchors->pull_use;
    }
  }
  if (text.empty()) {
    return "";
  }
  text = "Blocks of concrete: " + text + ".";
  if (!is_soil_known) {
    text += " What the ground bears is not checked: nothing is given for footing.soil_kPa.";
  }
  if (!are_anchors_known) {
    text +=
        " Anchors are not checked in full: see what footing.anchor_* and "
        "footing.concrete_N_mm2 ask for.";
  }
  return wrapped(text, "  ", "  ");
}

std::string loadsText(const LoadReport& loads, int panel_count) {
  const DriveRow& drive = loads.drive;
  std::string out = "\nDrive, ropes and wind (summary.html has every figure with its formula)\n";
  std::string force = "The drive moves " + shown(drive.moving_mass_kg, 0) + " kg with " +
                      shown(drive.force_N, 0) + " N and starts with " +
                      shown(drive.start_force_N, 0) + " N, pulleys add " +
                      shown(drive.pulley_loss_N, 0) + " N";
  if (panel_count > 1) {
    force += "; " + shown(drive.ratio_to_single) + " times what one panel of that mass would take";
  }
  out += wrapped(force + ".", "  ", "  ");
  out += wrapped("It opens in " + shown(drive.time.total_s, 1) + " s, the front panel at " +
                     shown(drive.front_speed_mm_s, 0) + " mm/s; " +
                     shown(drive.kinetic_energy_J, 0) + " J are in motion then.",
                 "  ", "  ");
  out += ropesText(loads);
  const WindReport& wind = loads.wind;
  out += wrapped("Wind of " + shown(wind.velocity_pressure_Pa, 0) + " Pa (" + wind.basis +
                     ") pushes the closed gate's guide with " + shown(wind.guide_N, 0) +
                     " N, a moment of " + shown(wind.foot_moment_Nmm / 1e6, 2) +
                     " kNm at the foot of what holds it.",
                 "  ", "  ");
  return out + structureText(loads.structure) + blocksText(loads.structure);
}

std::string clashText(const ClashReport& clash) {
  std::string out = "\nClash check\n  " + clashLine(clash) + "\n";
  const bool nothing_meets = clash.verdict == Verdict::kClear || clash.verdict == Verdict::kTight;
  if (nothing_meets && !clash.least_clearance_between.empty()) {
    out += wrapped("Nearest without touching: " + mm(clash.least_clearance_mm) + ", " +
                       clash.least_clearance_between + ".",
                   "  ", "  ");
  } else if (nothing_meets) {
    out += wrapped("No two moving parts come nearer than " + mm(clash.least_clearance_mm) +
                       " without being meant to.",
                   "  ", "  ");
  }
  int met = 0;
  for (const ContactReport& contact : clash.designed_contacts) {
    met += contact.hits > 0 ? 1 : 0;
  }
  out += wrapped(
      std::to_string(clash.pairs_checked) + " pairs of parts checked through the whole travel, " +
          (clash.proved_between_positions ? "proved between positions too."
                                          : "not all of them proved.") +
          " " + std::to_string(met) + " of " + std::to_string(clash.designed_contacts.size()) +
          " kinds of designed contact were met.",
      "  ", "  ");
  out += asBuiltText(clash.as_built);
  out += againstText(clash.against);
  return out;
}

}  // namespace

std::string panelTable(const Layout& layout, const Schedules* schedules) {
  static constexpr std::size_t kWidths[] = {7, 10, 8, 21, 21, 9, 9, 10};
  const auto row = [](const std::vector<std::string>& cells) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      line += padded(cells[i], kWidths[i]);
    }
    return line + "\n";
  };
  const auto range = [](double from, double to) { return shown(from) + " to " + shown(to); };
  std::string out = "\nPanels, back to front (mm along the track from the latch post, kg)\n";
  out += row({"panel", "length", "speed", "closed", "open", "overlap", "stagger", "mass"});
  for (const PanelLayout& p : layout.panels) {
    const std::string mass =
        schedules != nullptr ? fixedDecimals(schedules->panel_mass_kg.at(p.number - 1), 1) : "-";
    out += row({std::to_string(p.number), shown(p.length_mm),
                std::string("x").append(shown(p.speed_ratio)),
                range(p.leading_closed_mm, p.trailing_closed_mm),
                range(p.leading_open_mm, p.trailing_open_mm), shown(p.overlap_mm),
                shown(p.stagger_mm), mass});
  }
  return out;
}

std::string asBuiltText(const AsBuilt& built) {
  const std::string text = asBuiltSentence(built);
  return text.empty() ? text : wrapped(text, "  ", "  ");
}

std::string asBuiltSentence(const AsBuilt& built) {
  if (!(built.tolerance_mm > 0)) {
    return "";
  }
  const std::string build = "Built within " + mm(built.tolerance_mm) + " of the drawing, ";
  if (built.pairs.empty()) {
    return build + "no two moving parts come near.";
  }
  const BuiltPair& tightest = built.pairs.front();
  const std::string pair = inWords(tightest.a) + " and " + inWords(tightest.b);
  const std::string text =
      built.pairs_that_can_meet == 0
          ? "the tightest are " + pair + ": " + (built.is_coarse ? "at least " : "") +
                mm(tightest.left_mm) + " of " + mm(tightest.as_drawn_mm) + " are left."
          : pair + " can meet. They are " + mm(tightest.as_drawn_mm) +
                " apart as drawn and allow " + (built.is_coarse ? "at least " : "") +
                mm(tightest.allowed_mm) + " of build error. " +
                (built.is_coarse ? "At most " : "") + std::to_string(built.pairs_that_can_meet) +
                " pairs of parts can meet; report.json lists the tightest.";
  return build + text;
}

std::string againstText(const std::optional<Comparison>& against) {
  if (!against) {
    return "";
  }
  std::string out = wrapped("Against the earlier report: " + std::to_string(against->new_ones) +
                                " new, " + std::to_string(against->still_there) + " still there, " +
                                std::to_string(against->resolved.size()) + " resolved.",
                            "  ", "  ");
  for (std::size_t i = 0; i < std::min(against->resolved.size(), kFindingsShown); ++i) {
    out += wrapped("resolved: " + against->resolved[i].text, "  - ", "    ");
  }
  return out;
}

std::string cureLines(const Cure& cure) {
  if (cure.tried == 0) {
    return "";
  }
  return wrapped(resultInWords(cure), "    ", "    ") +
         (cure.sets.empty() ? "" : "      " + settingsOf(cure) + "\n");
}

std::string clashLine(const ClashReport& clash) {
  const std::size_t count = clash.findings.size();
  const std::string findings = std::to_string(count) + (count == 1 ? " finding" : " findings");
  switch (clash.verdict) {
    case Verdict::kClear:
      return "Nothing meets that should not.";
    case Verdict::kTight:
      return count == 0 ? "Nothing meets as drawn, but parts can meet within the build tolerance."
                        : "Nothing meets, but clearance is short; " + findings + ".";
    case Verdict::kClash:
      return "Parts meet that must not; " + findings + ".";
    case Verdict::kUnresolved:
      return "Some pairs are not settled, take it for a clash; " + findings + ".";
  }
  return "";
}

namespace {

std::string findingLines(const ClashReport& clash) {
  std::string out;
  for (std::size_t i = 0; i < std::min(clash.findings.size(), kFindingsShown); ++i) {
    const Finding& finding = clash.findings[i];
    const bool is_new = finding.status == FindingStatus::kNew;
    out += wrapped((is_new ? "new: " : "") + finding.text, "  - ", "    ");
  }
  if (clash.findings.size() > kFindingsShown) {
    out += "  ... and " + std::to_string(clash.findings.size() - kFindingsShown) +
           " more; --json lists them all\n";
  }
  return out;
}

std::string warningLines(const Advice& advice) {
  std::string out;
  for (const Warning& warning : advice.warnings) {
    out += wrapped(inWords(warning), "  - ", "    ") + cureLines(warning.cure);
  }
  if (advice.together.tried > 0) {
    out += wrapped(std::string(advice.together.leaves.empty() ? "for the whole gate:"
                                                              : "for what meets:"),
                   "  - ", "    ") +
           cureLines(advice.together);
  }
  return out;
}

}  // namespace

std::string summaryText(const ReportContents& contents) {
  const Layout& layout = *contents.layout;
  std::string out =
      wrapped(inWords(gateVerdict(contents.advice.warnings, contents.clash)), "", "  ");
  const std::string tasks =
      (contents.clash != nullptr ? findingLines(*contents.clash) : std::string()) +
      warningLines(contents.advice);
  out += tasks.empty() ? "" : "\nWhat to do\n" + tasks;
  out += "\n" + intro(*contents.spec, layout) + roomText(layout) +
         panelTable(layout, contents.schedules) + stackText(*contents.spec, layout) +
         groundText(*contents.spec, layout);
  if (contents.schedules != nullptr) {
    out += loadsText(contents.schedules->loads, layout.panel_count);
  }
  if (contents.clash != nullptr) {
    out += clashText(*contents.clash);
  }
  out += contents.as_built != nullptr ? builtText(*contents.as_built) : "";
  out += "\nCautions\n";
  for (const std::string& caution : cautions(contents.spec->hardware)) {
    out += wrapped(caution, "  - ", "    ");
  }
  return out;
}

}  // namespace leafstack
