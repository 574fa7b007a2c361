#include "generator/layout.h"

#include <algorithm>
#include <cmath>
#include <string_view>

#include "generator/hardware.h"
#include "generator/motion.h"
#include "generator/numbers.h"
#include "generator/sections.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Common practice, no source: rough room of telescopic gates, by panel count.
constexpr double kRuleOfThumbOnePanelMm = 400;
constexpr double kRuleOfThumbMoreMm = 300;

// Two wheels with their pockets and a hand's breadth between them.
double leastPanelLengthMm(double wheel_inset_mm) {
  return 2 * (wheel_inset_mm + hw::kWheelOutsideMm / 2 + hw::kWheelPocketEndGapMm) + 40;
}

/// Overlaps and staggers along the stack; index k-1 holds o_k, e_k.
struct Overlaps {
  std::vector<double> overlap_mm, stagger_mm;
  double total_stagger_mm = 0;
};

Overlaps stackOverlaps(const GateSpec& spec, int count, double reach_mm) {
  Overlaps result;
  const double inset = spec.ropes.bracket_inset_mm;
  const double least =
      std::max({spec.gate.overlap_mm, spec.guides.channel_width_mm, reach_mm + inset});
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
  stack.setback_mm = spec.site.setback_mm.value_or(cladding + spec.site.fence_clearance_mm);
  stack.frame_depth_mm = spec.gate.bottom_rail.depth_mm;
  for (PanelLayout& panel : layout.panels) {
    const int in_front = layout.panel_count - panel.number;
    panel.front_y_mm = stack.setback_mm + in_front * (stack.frame_depth_mm + stack.gap_mm);
  }
}

/// Half the height of a pulley's slot in the rail's side walls.
double halfSlotMm() {
  return hw::kPulleyThicknessMm / 2 + hw::kPulleySlotGapMm;
}

double autoRopeUpMm(const GateSpec& spec, int carrier) {
  if (carrier % 2 == 1) {
    return hw::kLowRopeUpMm;
  }
  // The slot must stay in the flat of the rail's side, below the upper corner.
  const double highest = holeZone(spec.gate.bottom_rail).high_mm - halfSlotMm();
  return std::min(hw::kHighRopeUpMm, highest);
}

void layOutHeights(const GateSpec& spec, Layout& layout) {
  HeightLayout& z = layout.heights;
  z.underside_mm = spec.gate.ground_clearance_mm;
  z.footing_top_mm = z.underside_mm - hw::kUndersideOverFootingMm;
  z.rail_height_mm = spec.gate.bottom_rail.height_mm;
  z.top_mm = spec.gate.height_mm;
  for (int carrier = 1; carrier < layout.panel_count; ++carrier) {
    z.rope_up_mm.push_back(spec.ropes.heights_mm ? spec.ropes.heights_mm->at(carrier - 1)
                                                 : autoRopeUpMm(spec, carrier));
  }
  const double half_hardware = std::max(hw::kBracketHalfHeightMm, hw::kPulleyThicknessMm / 2);
  double highest_rope = hw::kLowRopeUpMm;
  for (double up : z.rope_up_mm) {
    highest_rope = std::max(highest_rope, up);
  }
  const double over_rope = std::max(hw::kCladdingOverRopeMm, spec.checks.clearance_mm);
  z.cladding_bottom_up_mm =
      spec.gate.cladding.bottom_mm.value_or(highest_rope + half_hardware + over_rope);
  // A single panel has no rope to clear: the motor stands on its bare base.
  const double packing = layout.panel_count < 2 ? 0
                                                : z.rope_up_mm.front() + half_hardware +
                                                      hw::kRackClearanceMm - hw::kBareRackUpMm;
  z.motor_packing_mm = spec.drive.packing_mm.value_or(std::max(0.0, packing));
  z.rack_lower_up_mm = hw::kBareRackUpMm + z.motor_packing_mm;
  z.channel_top_z_mm = z.top_mm - hw::kChannelBelowTopMm;
  z.channel_bottom_z_mm = z.channel_top_z_mm - hw::kChannelHeightMm;
  z.block_top_z_mm = z.top_mm - hw::kBlockBelowTopMm;
  z.block_bottom_z_mm = z.block_top_z_mm - hw::kBlockHeightMm;
  z.guide_rail_z_mm = z.block_top_z_mm - hw::kBlockRoofMm - spec.guides.rail_mm;
}

void placeGuideAndMotor(const GateSpec& spec, double parked_mm, Layout& layout) {
  const double w = layout.opening_mm;
  const double half = spec.guides.channel_width_mm / 2 + spec.guides.margin_mm;
  const double half_post = spec.guides.post_mm / 2;
  layout.guide_mm = w + parked_mm + half;
  double motor_start = w + spec.drive.motor_gap_mm;
  if (spec.guides.mount == GuideMount::kPost) {
    layout.guide_mm = std::max(layout.guide_mm, w + spec.guides.post_gap_mm + half_post);
    motor_start = layout.guide_mm + half_post + spec.drive.motor_gap_mm;
  }
  const MotorSpec& motor = spec.drive.motor;
  layout.pinion_mm = std::max(motor_start + motor.length_mm / 2,
                              w + parked_mm + spec.drive.rack_inset_mm + motor.overrun_open_mm);
  layout.motor_start_mm = layout.pinion_mm - motor.length_mm / 2;
  layout.guide_post_mm = layout.guide_mm;
  if (spec.guides.mount == GuideMount::kReachOver) {
    layout.guide_post_mm =
        layout.motor_start_mm + motor.length_mm + spec.drive.motor_gap_mm + half_post;
  }
}

/// `deepest_mm`: greatest B_k - A_1 when open over the panels in front.
void demandExtension(const GateSpec& spec, double parked_mm, double deepest_mm, Layout& layout) {
  const double w = layout.opening_mm;
  const double half = spec.guides.channel_width_mm / 2 + spec.guides.margin_mm;
  layout.rack = {true, layout.pinion_mm - w + spec.drive.motor.overrun_closed_mm, 0};
  layout.guide = {true, layout.guide_mm + half - w, 0};
  if (layout.panel_count >= 2) {
    const double inset = spec.ropes.bracket_inset_mm;
    const double r = layout.reach_mm;
    const double first_overlap = layout.panel(1).overlap_mm;
    layout.rope_ground = {true, parked_mm + 2 * r, 0};
    layout.rope_bracket = {true, parked_mm + first_overlap + r - inset, 0};
    if (spec.gate.has_return) {
      const double projection = std::max(0.0, hw::kBracketHalfLengthMm - inset);
      const double start = parked_mm - layout.drive_travel_mm + deepest_mm + projection +
                           std::max(hw::kHardwareClearanceMm, spec.checks.clearance_mm);
      layout.return_panel = {true, start + spec.gate.stile.height_mm, 0};
    }
  }
  layout.extension_mm = 0;
  const std::pair<ExtensionDemand*, Binding> demands[] = {
      {&layout.rack, Binding::kRack},
      {&layout.guide, Binding::kGuide},
      {&layout.rope_ground, Binding::kRopeGround},
      {&layout.rope_bracket, Binding::kRopeBracket},
      {&layout.return_panel, Binding::kGuide}};  // the frame's reach, like the guide's
  for (const auto& [demand, binding] : demands) {
    if (demand->applies && demand->required_mm > layout.extension_mm + kLengthEqualMm) {
      layout.extension_mm = demand->required_mm;
      layout.binding = binding;
    }
  }
  for (const auto& entry : demands) {
    if (entry.first->applies) {
      entry.first->slack_mm = layout.extension_mm - entry.first->required_mm;
    }
  }
}

void placePanels(const GateSpec& spec, const Overlaps& overlaps, Layout& layout) {
  const int n = layout.panel_count;
  const std::vector<double> ratios = speedRatios(n, anchorsOneBehind(n));
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
  const double frame_past_opening =
      std::max(layout.guide.required_mm, layout.return_panel.required_mm);
  back.frame_length_mm = layout.opening_mm + frame_past_opening - back.leading_closed_mm;
  layout.return_start_mm = layout.opening_mm + frame_past_opening - spec.gate.stile.height_mm;
  double farthest = 0;
  for (const PanelLayout& panel : layout.panels) {
    farthest = std::max(farthest, panel.trailing_open_mm);
  }
  layout.room_mm = farthest - layout.opening_mm;
}

void placeRopes(const GateSpec& spec, double parked_mm, Layout& layout) {
  const RopeSpec& ropes = spec.ropes;
  const double w = layout.opening_mm;
  const double r = layout.reach_mm;
  layout.ground_bracket_mm = w + (parked_mm + layout.extension_mm) / 2;
  const double auto_pitch =
      layout.stack.frame_depth_mm + 2 * (hw::kStrandOffsetBaseMm + ropes.diameter_mm);
  for (int k = 1; k < layout.panel_count; ++k) {
    RopeLayout rope;
    rope.carrier = k;
    rope.up_mm = layout.heights.rope_up_mm[k - 1];
    rope.pitch_mm = ropes.pulley_pitch_mm.value_or(auto_pitch);
    rope.leading_pulley_mm = layout.panel(k).leading_closed_mm + ropes.pulley_inset_mm;
    rope.trailing_pulley_mm = layout.panel(k).trailing_closed_mm - ropes.pulley_inset_mm;
    rope.front_bracket_mm = layout.panel(k + 1).trailing_closed_mm - ropes.bracket_inset_mm;
    rope.rear_bracket_mm = layout.ground_bracket_mm;
    if (k > 1) {
      const PanelLayout& behind = layout.panel(k - 1);
      const double nearest = r - behind.stagger_mm;
      const double farthest = behind.overlap_mm - r;
      rope.rear_bracket_mm = behind.leading_closed_mm + (nearest + farthest) / 2;
    }
    layout.ropes.push_back(rope);
  }
}

void checkRopeHardware(const GateSpec& spec, const Layout& layout,
                       std::vector<LayoutProblem>& problems) {
  if (layout.ropes.empty()) {
    return;
  }
  const double pitch = layout.ropes.front().pitch_mm;
  const double rim = pitch / 2 + std::max(hw::kPulleyFlangeMm, spec.ropes.diameter_mm);
  const double half_depth = layout.stack.frame_depth_mm / 2;
  const double stud_radius = (spec.ropes.diameter_mm + hw::kStudOverRopeMm) / 2;
  const double bracket_half_depth = pitch / 2 - half_depth - hw::kBracketFaceGapMm;
  if (bracket_half_depth < stud_radius + 1) {
    const double least = 2 * (half_depth + hw::kBracketFaceGapMm + stud_radius + 1);
    problems.push_back({"/ropes/pulley_pitch_mm", "pulley pitch diameter " + shown(pitch) +
                                                      " mm leaves the strands too near "
                                                      "the rail's faces for a bracket: at least " +
                                                      shown(least) + " mm"});
  }
  if (spec.ropes.pulley_inset_mm < rim + hw::kPulleyEndGapMm - kLengthEqualMm) {
    problems.push_back(
        {"/ropes/pulley_inset_mm", "pulley inset " + shown(spec.ropes.pulley_inset_mm) +
                                       " mm lets the pulley (outside radius " + shown(rim) +
                                       " mm) stand out of the rail's end: at least " +
                                       shown(rim + hw::kPulleyEndGapMm) + " mm"});
  }
  // Nearest corners of bracket and stud to the pulley's axis must clear its rim.
  const double wanted = rim + hw::kHardwareClearanceMm;
  const auto along = [wanted](double across) {
    return across >= wanted ? 0 : std::sqrt(wanted * wanted - across * across);
  };
  const double by_bracket = along(half_depth + hw::kBracketFaceGapMm) + hw::kBracketHalfLengthMm;
  const double by_stud =
      along(pitch / 2 - stud_radius) + hw::kBracketHalfLengthMm + hw::kStudProjectionMm;
  const double least_clearance = std::max(by_bracket, by_stud);
  if (spec.ropes.bracket_clearance_mm < least_clearance - kLengthEqualMm) {
    problems.push_back({"/ropes/bracket_clearance_mm",
                        "bracket clearance " + shown(spec.ropes.bracket_clearance_mm) +
                            " mm lets the bracket meet the pulley's rim: at least " +
                            shown(std::ceil(least_clearance)) + " mm"});
  }
  const double highest_standoff = layout.heights.rail_height_mm - 2 * spec.gate.bottom_rail.wall_mm;
  if (layout.heights.rack_lower_up_mm + hw::kRackStandoffMm > highest_standoff) {
    problems.push_back({"/ropes/heights_mm",
                        "panel 1's ropes are so high that the rack, which must clear them, would "
                        "stand above the bottom rail: lower panel 1's ropes (" +
                            shown(layout.heights.rope_up_mm.front()) +
                            " mm) or take a higher rail"});
  }
}

/// Every pulley slot must lie in the flat of the rail's side walls.
void checkSlots(const GateSpec& spec, const Layout& layout, std::vector<LayoutProblem>& problems) {
  const HollowSection& rail = spec.gate.bottom_rail;
  for (double up : layout.heights.rope_up_mm) {
    const Flat zone = holeZone(rail);
    if (up - halfSlotMm() < zone.low_mm - kLengthEqualMm ||
        up + halfSlotMm() > zone.high_mm + kLengthEqualMm) {
      problems.push_back(
          {"/ropes/heights_mm", "ropes " + shown(up) +
                                    " mm up would cut the pulley slot into a corner of " +
                                    rail.designation + ": " + shown(zone.low_mm + halfSlotMm()) +
                                    " to " + shown(zone.high_mm - halfSlotMm()) + " mm"});
    }
  }
}

void checkFrame(const GateSpec& spec, const Layout& layout, std::vector<LayoutProblem>& problems) {
  const HollowSection& rail = spec.gate.bottom_rail;
  const double wheel_top = hw::kAxleUpMm + hw::kWheelOutsideMm / 2;
  const double least_height = wheel_top + rail.wall_mm + hw::kWheelPocketGapMm;
  if (rail.height_mm < least_height) {
    problems.push_back({"/gate/bottom_rail", rail.designation +
                                                 " is too low for a track wheel of " +
                                                 shown(hw::kWheelOutsideMm) + " mm: at least " +
                                                 shown(least_height) + " mm high"});
  }
  const double pocket = hw::kWheelThicknessMm + 2 * hw::kWheelPocketGapMm;
  const double corner = cornerRadii(rail).outer_mm + kHoleInFlatMm;
  if (rail.depth_mm - 2 * corner < pocket) {
    problems.push_back({"/gate/bottom_rail", rail.designation +
                                                 " is too narrow for a wheel pocket of " +
                                                 shown(pocket) + " mm between its corners"});
  }
  if (hw::kAxleUpMm - hw::kAxleHoleMm / 2 < corner) {
    problems.push_back({"/gate/bottom_rail", rail.designation + " is too thick: the axle hole, " +
                                                 shown(hw::kAxleUpMm) +
                                                 " mm up, would cut the rail's rounded corner"});
  }
  if (layout.panel_count >= 3 && !spec.ropes.heights_mm) {
    const double apart = std::abs(layout.heights.rope_up_mm[1] - layout.heights.rope_up_mm[0]);
    const double least = 2 * hw::kBracketHalfHeightMm + hw::kHardwareClearanceMm;
    if (apart < least) {
      problems.push_back({"/gate/bottom_rail", rail.designation +
                                                   " is too low for ropes at two heights, which "
                                                   "three and four panels need"});
    }
  }
  const double shortest = leastPanelLengthMm(wheelInsetMm(spec, layout));
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

Layout layOutCount(const GateSpec& spec, int count) {
  Layout layout;
  layout.panel_count = count;
  layout.opening_mm = spec.site.opening_mm;
  layout.travel_mm = spec.site.opening_mm + spec.gate.closing_overlap_mm + spec.gate.tuck_mm;
  layout.drive_travel_mm = layout.travel_mm / speedRatios(count, anchorsOneBehind(count)).back();
  layout.reach_mm = spec.ropes.pulley_inset_mm + spec.ropes.bracket_clearance_mm;
  const Overlaps overlaps = stackOverlaps(spec, count, layout.reach_mm);
  const double parked = spec.gate.tuck_mm + overlaps.total_stagger_mm;
  placePanels(spec, overlaps, layout);
  finishBackPanel(spec, parked, layout);
  layOutStack(spec, layout);
  layOutHeights(spec, layout);
  placeRopes(spec, parked, layout);
  if (count <= 3) {  // no rule of thumb is known for four panels
    layout.room_rule_of_thumb_mm =
        layout.opening_mm / count + (count == 1 ? kRuleOfThumbOnePanelMm : kRuleOfThumbMoreMm);
  }
  layout.catch_in_opening_mm = std::max(0.0, hw::kCatchReachMm - spec.gate.closing_overlap_mm);
  layout.room_given = spec.site.room_mm.has_value();
  layout.room_given_mm = spec.site.room_mm.value_or(0);
  layout.fits = !layout.room_given || layout.room_mm <= layout.room_given_mm + kLengthEqualMm;
  return layout;
}

std::vector<LayoutProblem> problemsOf(const GateSpec& spec, const Layout& layout) {
  std::vector<LayoutProblem> problems;
  checkRopeHardware(spec, layout, problems);
  checkSlots(spec, layout, problems);
  checkFrame(spec, layout, problems);
  return problems;
}

}  // namespace

std::string_view toString(Binding binding) {
  switch (binding) {
    case Binding::kRack:
      return "rack";
    case Binding::kGuide:
      return "guide";
    case Binding::kRopeGround:
      return "rope-ground";
    case Binding::kRopeBracket:
      return "rope-bracket";
  }
  return "";
}

double wheelInsetMm(const GateSpec& spec, const Layout& layout) {
  if (layout.ropes.empty()) {
    return hw::kWheelInsetMm;
  }
  const double rim =
      layout.ropes.front().pitch_mm / 2 + std::max(hw::kPulleyFlangeMm, spec.ropes.diameter_mm);
  return std::max(hw::kWheelInsetMm, spec.ropes.pulley_inset_mm + rim + hw::kWheelOutsideMm / 2 +
                                         2 * hw::kWheelPocketEndGapMm);
}

LayoutResult layOut(const GateSpec& spec) {
  LayoutResult result;
  if (spec.gate.panels) {
    result.layout = layOutCount(spec, *spec.gate.panels);
    result.problems = problemsOf(spec, result.layout);
    return result;
  }
  // "auto": the fewest panels that fit the room; without a room, two.
  const int first = spec.site.room_mm ? 1 : 2;
  const int last = spec.site.room_mm ? 4 : 2;
  for (int count = first; count <= last; ++count) {
    result.layout = layOutCount(spec, count);
    result.problems = problemsOf(spec, result.layout);
    if (result.problems.empty() && result.layout.fits) {
      break;
    }
  }
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
  if (!layout.ropes.empty()) {
    add(!spec.ropes.pulley_pitch_mm, "/ropes/pulley_pitch_mm", {layout.ropes.front().pitch_mm});
    add(!spec.ropes.heights_mm, "/ropes/heights_mm", layout.heights.rope_up_mm);
  }
  add(!spec.drive.packing_mm, "/drive/packing_mm", {layout.heights.motor_packing_mm});
  return rows;
}

}  // namespace leafstack
