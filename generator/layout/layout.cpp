#include "generator/layout/layout.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <string_view>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/end_buffer.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/ground/survey.h"
#include "generator/layout/layout_parts.h"
#include "generator/layout/travel/motion.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Packers under motors are lower; common practice, no source.
constexpr double kHighestPackerMm = 60;

// Common practice, no source: rough room of telescopic gates, by panel count.
constexpr double kRuleOfThumbOnePanelMm = 400;
constexpr double kRuleOfThumbMoreMm = 300;

/// Speeds of a stack's bodies; the same for every gate of so many panels.
const std::vector<double>& ratiosOf(int count) {
  static const std::array<std::vector<double>, kMostPanels> kRatios = [] {
    std::array<std::vector<double>, kMostPanels> all;
    for (int n = 1; n <= kMostPanels; ++n) {
      all[n - 1] = speedRatios(n, anchorsOneBehind(n));
    }
    return all;
  }();
  return kRatios.at(count - 1);
}

/// Overlaps and staggers along the stack; index k-1 holds o_k, e_k.
struct Overlaps {
  std::vector<double> overlap_mm, stagger_mm;
  double total_stagger_mm = 0;
};

Overlaps stackOverlaps(const GateSpec& spec, const Layout& layout) {
  Overlaps result;
  const int count = layout.panel_count;
  const double reach_mm = layout.reach_mm;
  const double inset = spec.ropes.bracket_inset_mm;
  const double least = std::max(
      {spec.gate.overlap_mm, spec.guides.channel_width_mm + 2 * layout.lean_mm, reach_mm + inset});
  const int joints = count - 1;
  result.overlap_mm.assign(joints, least);
  result.stagger_mm.assign(joints, 0);
  const bool has_middle_carrier = count >= 3;
  if (has_middle_carrier && spec.gate.stacking == Stacking::kStaggered) {
    const double stagger = std::max({0.0, reach_mm - inset, 2 * reach_mm - least});
    result.stagger_mm.assign(joints, stagger);
  }
  if (has_middle_carrier && spec.gate.stacking == Stacking::kFlush) {
    for (int k = joints; k >= 2; --k) {
      const double demand = std::max(result.overlap_mm[k - 1] + reach_mm - inset, 2 * reach_mm);
      result.overlap_mm[k - 2] = std::max(least, demand);
    }
  }
  for (double stagger : result.stagger_mm) {
    result.total_stagger_mm += stagger;
  }
  return result;
}

double claddingThicknessMm(const GateSpec& spec) {
  return spec.gate.cladding.kind == CladdingKind::kNone ? 0 : spec.gate.cladding.thickness_mm;
}

void layOutStack(const GateSpec& spec, Layout& layout) {
  const GuideSpec& guides = spec.guides;
  StackLayout& stack = layout.stack;
  const double cladding = claddingThicknessMm(spec);
  const double bare_depth = guides.channel_depth_mm - guides.recess_mm;
  const double without_packing = bare_depth - hw::kCladdingClearanceMm;
  stack.packing_mm = guides.packing_mm.value_or(std::max(0.0, cladding - without_packing));
  stack.cladding_max_mm = without_packing + (guides.packing_mm ? *guides.packing_mm : 0);
  stack.gap_mm = guides.rail_mm + bare_depth + stack.packing_mm;
  stack.post_gap_mm = guides.rail_mm + guides.channel_depth_mm;
  stack.setback_mm = spec.site.setback_mm.value_or(cladding + spec.offFenceMm());
  stack.frame_depth_mm = spec.gate.bottom_rail.depth_mm;
  stack.drive_out_mm = driveOutMm(spec, layout);
  for (PanelLayout& panel : layout.panels) {
    const int in_front = layout.panel_count - panel.number;
    panel.front_y_mm = stack.setback_mm + in_front * (stack.frame_depth_mm + stack.gap_mm);
  }
}

/// Steepest of the driveway, either way.
double steepest(const SiteSpec& site) {
  double most = std::abs(site.grade);
  for (const SurveyLine& line : site.track_survey_mm) {
    for (std::size_t i = 1; i < line.size(); ++i) {
      const auto& [x0, z0] = line[i - 1];
      const auto& [x1, z1] = line[i];
      most = std::max(most, std::abs((z1 - z0) / (x1 - x0)));
    }
  }
  return most;
}

/// Between guide post and motor: as asked for, but past the post's base plate, and on a slope past
/// the ends of the packers under the motor, which stand square to it.
double motorGapMm(const GateSpec& spec) {
  return std::max(spec.drive.motor_gap_mm, spec.hardware.post.plate_side_mm +
                                               hw::kHardwareClearanceMm +
                                               kHighestPackerMm * steepest(spec.site));
}

void placeGuideAndMotor(const GateSpec& spec, double parked_mm, Layout& layout) {
  const double w = layout.opening_mm;
  const double half = spec.guides.channel_width_mm / 2 + spec.guides.margin_mm + layout.lean_mm;
  const double half_post = spec.guides.post_mm / 2;
  layout.guide_mm = w + parked_mm + half;
  double motor_start = w + spec.drive.motor_gap_mm;
  if (spec.guides.mount == GuideMount::kPost) {
    layout.guide_mm = std::max(layout.guide_mm, w + spec.guides.post_gap_mm + half_post);
    motor_start = layout.guide_mm + half_post + motorGapMm(spec);
  }
  const MotorSpec& motor = spec.drive.motor;
  layout.pinion_mm = std::max(motor_start + motor.length_mm / 2,
                              w + parked_mm + spec.drive.rack_inset_mm + motor.overrun_open_mm);
  layout.motor_start_mm = layout.pinion_mm - motor.length_mm / 2;
  layout.guide_post_mm = layout.guide_mm;
  if (spec.guides.mount == GuideMount::kReachOver) {
    // Beyond the motor, and clear of the channel, which a stagger moves that way.
    const double clear = std::max(hw::kHardwareClearanceMm, spec.checks.clearance_mm);
    layout.guide_post_mm =
        half_post + std::max(layout.motor_start_mm + motor.length_mm + motorGapMm(spec),
                             layout.guide_mm + spec.guides.channel_width_mm / 2 + clear);
  }
}

/// `deepest_mm`: greatest B_k - A_1 when open over the panels in front.
void demandExtension(const GateSpec& spec, double parked_mm, double deepest_mm, Layout& layout) {
  const double w = layout.opening_mm;
  const double half = spec.guides.channel_width_mm / 2 + spec.guides.margin_mm + layout.lean_mm;
  ExtensionDemands& demands = layout.demands;
  demands[Binding::kRack] = {true, layout.pinion_mm - w + spec.drive.motor.overrun_closed_mm, 0};
  demands[Binding::kGuide] = {true, layout.guide_mm + half - w, 0};
  if (layout.panel_count >= 2) {
    const double inset = spec.ropes.bracket_inset_mm;
    const double r = layout.reach_mm;
    const double first_overlap = layout.panel(1).overlap_mm;
    demands[Binding::kRopeGround] = {true, parked_mm + 2 * r, 0};
    demands[Binding::kRopeBracket] = {true, parked_mm + first_overlap + r - inset, 0};
    if (spec.gate.has_return) {
      const double projection = std::max(0.0, spec.hardware.bracket.length_mm / 2 - inset);
      // Along the rail before a bracket, which is square to it; on the plan between plumb stiles.
      const double clear =
          std::max(hw::kHardwareClearanceMm, spec.checks.clearance_mm) + 2 * spec.shop.coatMm();
      const double start = parked_mm - layout.drive_travel_mm + deepest_mm + projection +
                           (projection > 0 ? clear : clear / alongCosine(spec.site)) +
                           2 * layout.lean_mm;
      demands[Binding::kReturn] = {true, start + spec.gate.stile.height_mm, 0};
    }
  }
  layout.extension_mm = 0;
  for (const ExtensionRule& rule : kExtensionRules) {
    const ExtensionDemand& demand = demands[rule.binding];
    if (demand.applies && demand.required_mm > layout.extension_mm + kLengthEqualMm) {
      layout.extension_mm = demand.required_mm;
      layout.binding = rule.binding;
    }
  }
  for (ExtensionDemand& demand : demands) {
    if (demand.applies) {
      demand.slack_mm = layout.extension_mm - demand.required_mm;
    }
  }
}

void placePanels(const GateSpec& spec, const Overlaps& overlaps, Layout& layout) {
  const int n = layout.panel_count;
  const std::vector<double>& ratios = ratiosOf(n);
  layout.panels.resize(n);
  double leading_open = layout.opening_mm + spec.gate.tuck_mm;
  for (int k = n; k >= 1; --k) {
    PanelLayout& panel = layout.panels[k - 1];
    panel.number = k;
    panel.speed_ratio = ratios[k];
    panel.travel_mm = ratios[k] * layout.drive_travel_mm;
    if (k < n) {
      panel.overlap_mm = overlaps.overlap_mm[k - 1];
      panel.stagger_mm = overlaps.stagger_mm[k - 1];
      leading_open += panel.stagger_mm;
    }
    panel.leading_open_mm = leading_open;
    panel.leading_closed_mm = leading_open - panel.travel_mm;
    if (k > 1) {
      panel.length_mm =
          layout.drive_travel_mm + overlaps.stagger_mm[k - 2] + overlaps.overlap_mm[k - 2];
      panel.frame_length_mm = panel.length_mm;
      panel.trailing_closed_mm = panel.leading_closed_mm + panel.length_mm;
      panel.trailing_open_mm = panel.leading_open_mm + panel.length_mm;
    }
  }
}

void findRoom(Layout& layout) {
  double farthest = 0;
  for (const PanelLayout& panel : layout.panels) {
    farthest = std::max(farthest, panel.trailing_open_mm);
  }
  layout.room_mm = farthest - layout.opening_mm;
}

void finishBackPanel(const GateSpec& spec, double parked_mm, Layout& layout) {
  double deepest = 0;
  for (int k = 2; k <= layout.panel_count; ++k) {
    deepest = std::max(deepest, layout.panel(k).trailing_open_mm - layout.panel(1).leading_open_mm);
  }
  placeGuideAndMotor(spec, parked_mm, layout);
  demandExtension(spec, parked_mm, deepest, layout);
  PanelLayout& back = layout.panels.front();
  back.trailing_closed_mm = layout.opening_mm + layout.extension_mm;
  back.trailing_open_mm = back.trailing_closed_mm + back.travel_mm;
  back.length_mm = back.trailing_closed_mm - back.leading_closed_mm;
  const double frame_past_opening = std::max(layout.demands[Binding::kGuide].required_mm,
                                             layout.demands[Binding::kReturn].required_mm);
  back.frame_length_mm = layout.opening_mm + frame_past_opening - back.leading_closed_mm;
  layout.return_start_mm = layout.opening_mm + frame_past_opening - spec.gate.stile.height_mm;
  findRoom(layout);
}

/// The site as it lies along the track: distances on the plan are longer there.
GateSpec alongTrack(const GateSpec& spec) {
  GateSpec along = spec;
  const double cosine = alongCosine(spec.site);
  for (double* on_plan :
       {&along.site.opening_mm, &along.gate.closing_overlap_mm, &along.gate.tuck_mm,
        &along.guides.post_mm, &along.guides.post_gap_mm, &along.gate.stile.height_mm}) {
    *on_plan /= cosine;
  }
  return along;
}

/// Distances along the track as they are on the plan.
void toPlan(double cosine, Layout& layout) {
  for (PanelLayout& p : layout.panels) {
    for (double* mm : {&p.travel_mm, &p.length_mm, &p.frame_length_mm, &p.leading_closed_mm,
                       &p.trailing_closed_mm, &p.leading_open_mm, &p.trailing_open_mm,
                       &p.overlap_mm, &p.stagger_mm}) {
      *mm *= cosine;
    }
  }
  for (ExtensionDemand& demand : layout.demands) {
    demand.required_mm *= cosine;
    demand.slack_mm *= cosine;
  }
  for (double* mm :
       {&layout.opening_mm, &layout.travel_mm, &layout.drive_travel_mm, &layout.extension_mm,
        &layout.room_mm, &layout.pinion_mm, &layout.motor_start_mm, &layout.guide_mm,
        &layout.guide_post_mm, &layout.ground_bracket_mm, &layout.return_start_mm}) {
    *mm *= cosine;
  }
}

/// Everything along X; solved along the track, left on the plan. `ends_mm`: bracket clearance
/// beyond what level ground asks.
void layOutAlong(const GateSpec& given, int count, double ends_mm, Layout& layout) {
  // Copying a specification takes longer than solving it: only a slope needs a copy.
  const double cosine = alongCosine(given.site);
  const std::optional<GateSpec> sloping =
      cosine != 1 ? std::optional<GateSpec>(alongTrack(given)) : std::nullopt;
  const GateSpec& spec = sloping ? *sloping : given;
  layout.panel_count = count;
  layout.hardware = spec.hardware;
  layout.opening_mm = spec.site.opening_mm;
  layout.travel_mm = spec.site.opening_mm + spec.gate.closing_overlap_mm + spec.gate.tuck_mm;
  layout.drive_travel_mm = layout.travel_mm / ratiosOf(count).back();
  layout.pulley_inset_mm = pulleyInsetMm(spec);
  layout.bracket_clearance_mm = bracketClearanceMm(spec) + ends_mm;
  layout.reach_mm = layout.pulley_inset_mm + layout.bracket_clearance_mm;
  const Overlaps overlaps = stackOverlaps(spec, layout);
  const double parked = spec.gate.tuck_mm + overlaps.total_stagger_mm;
  placePanels(spec, overlaps, layout);
  finishBackPanel(spec, parked, layout);
  layout.ground_bracket_mm = layout.opening_mm + (parked + layout.extension_mm) / 2;
  if (cosine != 1) {
    toPlan(cosine, layout);
    layout.opening_mm = given.site.opening_mm;
  }
}

/// What is allowed for panels that lean, along the track: at guides, and at every rope's end; and
/// where the ropes take them.
struct ForLean {
  double guides_mm = 0, ends_mm = 0;
  WhereRopesTake ropes;
  bool blocks_pivoted = false;
};

/// Open, panels stand where their ropes take them.
void goAhead(const WhereRopesTake& ropes, Layout& layout) {
  const std::vector<GroundLine>& ahead = ropes.ahead;
  if (ahead.empty()) {
    return;
  }
  layout.ground.ahead = ahead;
  layout.ground.rope_play_mm = ropes.play_mm;
  for (std::size_t k = 0; k < ahead.size(); ++k) {
    PanelLayout& panel = layout.panels[k];
    const double further = ahead[k].heightMm(layout.drive_travel_mm);
    panel.travel_mm += further;
    panel.leading_open_mm += further;
    panel.trailing_open_mm += further;
  }
  findRoom(layout);
}

Layout layOutLeaning(const GateSpec& spec, int count, const ForLean& allowed) {
  Layout layout;
  layout.lean_mm = allowed.guides_mm;
  layout.blocks_pivoted = allowed.blocks_pivoted;
  layOutAlong(spec, count, allowed.ends_mm, layout);
  layOutStack(spec, layout);
  layout.pulley_pitch_mm = pulleyPitchMm(spec);
  goAhead(allowed.ropes, layout);
  layOutGround(spec, layout);
  layout.ground.rear_strip_z_mm -= footingDropMm(spec, layout);
  if (const std::optional<PostPlate> plate = guidePostPlate(spec, layout)) {
    // A post stands on one height of footing: where that is cast in steps, the step is before it.
    constexpr double kStepBeforePlateMm = 5;  // its edge breaks off nearer. Own choice
    layout.ground.rear_strip_y_mm =
        std::min(layout.ground.rear_strip_y_mm, plate->front_y_mm - kStepBeforePlateMm);
  }
  layOutHeights(spec, layout);
  layOutTops(spec, layout);
  layOutGuides(spec, layout);
  placeRopes(spec, layout);
  findSurveyEffects(layout);
  layRackToPath(spec, layout);
  raiseMotorOnSurvey(spec, layout);
  if (count <= 3) {  // no rule of thumb is known for four panels
    layout.room_rule_of_thumb_mm =
        layout.opening_mm / count + (count == 1 ? kRuleOfThumbOnePanelMm : kRuleOfThumbMoreMm);
  }
  layout.catch_in_opening_mm =
      std::max(0.0, spec.hardware.stop.catch_reach_mm - spec.gate.closing_overlap_mm);
  layout.room_given = spec.site.room_mm.has_value();
  layout.room_given_mm = spec.site.room_mm.value_or(0);
  layout.room_total_mm = layout.room_mm + stopsPastPanelsMm(spec, layout);
  layout.fits = !layout.room_given || layout.room_total_mm <= layout.room_given_mm + kLengthEqualMm;
  return layout;
}

/// Do two sets of ways take every panel to the same place?
bool areAlike(const WhereRopesTake& one, const WhereRopesTake& other, double travel_mm) {
  constexpr int kLookedAt = 64;
  constexpr double kAlikeMm = 1e-4;
  for (std::size_t k = 0; k < one.ahead.size(); ++k) {
    const double play = other.ahead.empty() ? 0 : other.play_mm[k];
    if (std::abs(one.play_mm[k] - play) > kAlikeMm) {
      return false;
    }
    for (int i = 1; i <= kLookedAt; ++i) {
      const double drive = travel_mm * i / kLookedAt;
      const double before = other.ahead.empty() ? 0 : other.ahead[k].heightMm(drive);
      if (std::abs(one.ahead[k].heightMm(drive) - before) > kAlikeMm) {
        return false;
      }
    }
  }
  return true;
}

Layout layOutCount(const GateSpec& spec, int count) {
  const BlockMount mount = spec.hardware.guide.block_mount;
  ForLean allowed;
  allowed.blocks_pivoted = mount == BlockMount::kPivoted;
  Layout layout = layOutLeaning(spec, count, allowed);
  // Longer panels lean otherwise, and ropes take them elsewhere: again, until what was allowed for
  // is enough.
  constexpr int kMostTurns = 8;
  for (int turn = 0; turn < kMostTurns && layout.ground.problems.empty(); ++turn) {
    const double guides = std::ceil(guidesShortByMm(spec, layout) - kLengthEqualMm);
    const double ends = std::ceil(ropeEndsShortMm(spec, layout) - kLengthEqualMm);
    WhereRopesTake ropes = ropesOnSurvey(layout);
    const bool jam =
        mount == BlockMount::kAuto && !allowed.blocks_pivoted && blocksJam(spec, layout);
    if (!jam && guides <= 0 && ends <= 0 &&
        areAlike(ropes, allowed.ropes, layout.drive_travel_mm)) {
      break;
    }
    allowed.guides_mm += std::max(0.0, guides);
    allowed.ends_mm += std::max(0.0, ends);
    allowed.ropes = std::move(ropes);
    allowed.blocks_pivoted = allowed.blocks_pivoted || jam;
    layout = layOutLeaning(spec, count, allowed);
  }
  return layout;
}

/// The pocket to dig for this arrangement and, to compare, for one to four panels.
void layOutPockets(const GateSpec& spec, Layout& layout) {
  if (spec.site.bank == 0) {
    return;
  }
  layout.ground.pockets.push_back(pocketOf(spec, layout));
  for (int count = 1; count <= kMostPanels; ++count) {
    GateSpec tried = spec;
    tried.ropes.heights_mm.reset();
    tried.guides.drop_mm.reset();
    layout.ground.pockets.push_back(pocketOf(tried, layOutCount(tried, count)));
  }
}

}  // namespace

std::string_view nameOf(GuideMount mount) {
  switch (mount) {
    case GuideMount::kPost:
      return "guide post";
    case GuideMount::kOverhead:
      return "overhead bracket";
    case GuideMount::kReachOver:
      return "reach-over arm";
  }
  return "";
}

LayoutResult layOut(const GateSpec& spec) {
  if (!spec.gate.panels) {
    throw std::invalid_argument("panels \"auto\" are to be decided before a gate is laid out");
  }
  LayoutResult result;
  result.layout = layOutCount(spec, *spec.gate.panels);
  findLaid(spec, result.layout);
  findUneven(result.layout);
  result.problems = problemsOf(spec, result.layout);
  layOutPockets(spec, result.layout);
  return result;
}

std::vector<std::pair<std::string, std::vector<double>>> computedValues(const GateSpec& spec,
                                                                        const Layout& layout) {
  std::vector<std::pair<std::string, std::vector<double>>> rows;
  const auto add = [&rows](bool is_auto, const char* pointer, std::vector<double> value) {
    if (is_auto) {
      rows.emplace_back(pointer, std::move(value));
    }
  };
  add(!spec.site.setback_mm, "/site/setback_mm", {layout.stack.setback_mm});
  add(!spec.gate.panels, "/gate/panels", {static_cast<double>(layout.panel_count)});
  add(!spec.gate.cladding.bottom_mm, "/gate/cladding/bottom_mm",
      {layout.heights.cladding_bottom_up_mm});
  add(!spec.guides.packing_mm, "/guides/packing_mm", {layout.stack.packing_mm});
  std::vector<double> drops;
  for (const GuideLayout& guide : layout.guides) {
    drops.push_back(guide.drop_mm);
  }
  add(!spec.guides.drop_mm, "/guides/drop_mm", drops);
  add(spec.site.bank != 0 && !spec.site.pocket_width_mm, "/site/pocket_width_mm",
      {layout.ground.pockets.empty() ? 0 : layout.ground.pockets.front().width_mm});
  if (!layout.ropes.empty()) {
    add(!spec.ropes.pulley_pitch_mm, "/ropes/pulley_pitch_mm", {layout.ropes.front().pitch_mm});
    add(!spec.ropes.pulley_inset_mm, "/ropes/pulley_inset_mm", {layout.pulley_inset_mm});
    add(!spec.ropes.bracket_clearance_mm, "/ropes/bracket_clearance_mm",
        {layout.bracket_clearance_mm});
    add(!spec.ropes.heights_mm, "/ropes/heights_mm", layout.heights.rope_heights_mm);
  }
  add(!spec.drive.packing_mm, "/drive/packing_mm", {layout.heights.motor_packing_mm});
  add(!spec.drive.footing_drop_mm, "/drive/footing_drop_mm", {footingDropMm(spec, layout)});
  return rows;
}

}  // namespace leafstack
