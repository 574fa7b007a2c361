// The layout: where every panel, guide, pinion and rope end stands, on level ground.
//
// Frame: X along the track, positive in the opening direction, 0 at the latch-side post face (the
// opening is 0 to W); Y from road to property, 0 at the back face of the fence line; Z up, 0 at the
// driveway surface. This frame follows the hand: a left-hand gate has the same layout, and only its
// solids are mirrored (see assembly.h).
//
// Numbered properties (tested on seeded random gates, tests/layout_test.cpp):
//  L1  panel k travels k drive travels; closed panels cover [-closing_overlap, W] end to end.
//  L2  closed, panel k+1 overlaps panel k by overlap_mm[k] >= the user's overlap, the channel width
//      and reach + bracket inset.
//  L3  at every point of the travel each rope bracket stays bracket_clearance or more from each
//      pulley axis of the panel that carries its rope.
//  L4  extension is the least that meets all constraints; the binding one has slack 0.
//  L5  room = max over panels of the trailing end when open, less W.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "params/gate_spec.h"

namespace leafstack {

/// Lengths closer than this are the same length: far below any shop tolerance, far above rounding.
inline constexpr double kLengthEqualMm = 1e-6;

/// The constraint that fixes how far panel 1's bottom rail extends past the opening.
enum class Binding { kRack, kGuide, kRopeGround, kRopeBracket };
std::string_view toString(Binding binding);

/// One panel; panel 1 is the back one. Ends are X of the bottom rail's ends, brackets excluded.
struct PanelLayout {
  int number = 1;
  double speed_ratio = 1;  ///< of the drive's, from the ropes' anchors (motion.h)
  double travel_mm = 0;
  double length_mm = 0;        ///< panel 1's includes the bottom rail's extension
  double frame_length_mm = 0;  ///< frame proper; shorter than length_mm for panel 1 only
  double leading_closed_mm = 0, trailing_closed_mm = 0;
  double leading_open_mm = 0, trailing_open_mm = 0;
  double overlap_mm = 0;  ///< with the panel in front when closed; 0 for the front panel
  double stagger_mm = 0;  ///< e_k: how far it parks past the panel in front; 0 for the front panel
  double front_y_mm = 0;  ///< Y of the frame's front face
};

/// One demand on panel 1's extension past W when closed, and how much the chosen one exceeds it.
struct ExtensionDemand {
  bool applies = false;  ///< the rope demands do not apply to a single panel
  double required_mm = 0;
  double slack_mm = 0;
};

/// Across the track.
struct StackLayout {
  double gap_mm = 0;           ///< between neighbouring frames
  double post_gap_mm = 0;      ///< panel 1's rear face to the guide post's front face
  double packing_mm = 0;       ///< behind each guide channel
  double setback_mm = 0;       ///< front panel's frame behind the fence line
  double cladding_max_mm = 0;  ///< thickest cladding without packing
  double frame_depth_mm = 0;
};

/// Heights. "Up" values are measured from the bottom rail's underside.
struct HeightLayout {
  double footing_top_mm = 0;
  double underside_mm = 0;  ///< bottom rail's underside above the driveway
  double rail_height_mm = 0;
  double top_mm = 0;
  std::vector<double> rope_up_mm;  ///< per carrying panel, panel 1 first
  double cladding_bottom_up_mm = 0;
  double motor_packing_mm = 0;
  double rack_lower_up_mm = 0;
  double guide_rail_z_mm = 0;  ///< underside of the guide rail's horizontal leg
  double channel_bottom_z_mm = 0, channel_top_z_mm = 0;
  double block_bottom_z_mm = 0, block_top_z_mm = 0;
};

/// One carrying panel's rope set; stations are X when closed.
struct RopeLayout {
  int carrier = 1;      ///< panel with the pulleys
  double up_mm = 0;     ///< rope centre above the rail's underside
  double pitch_mm = 0;  ///< pulley pitch diameter
  double leading_pulley_mm = 0, trailing_pulley_mm = 0;
  double front_bracket_mm = 0;  ///< on panel carrier+1
  double rear_bracket_mm = 0;   ///< on panel carrier-1, or the ground bracket when carrier is 1
};

struct Layout {
  int panel_count = 2;
  double opening_mm = 0;
  double travel_mm = 0;        ///< of the front panel
  double drive_travel_mm = 0;  ///< of panel 1
  double extension_mm = 0;     ///< panel 1's bottom rail past W when closed
  double room_mm = 0;
  double room_rule_of_thumb_mm = 0;  ///< W/n + 400 or 300, common practice; 0 where none is known
  bool room_given = false;
  double room_given_mm = 0;
  bool fits = true;
  Binding binding = Binding::kRack;
  ExtensionDemand rack, guide, rope_ground, rope_bracket, return_panel;
  double pinion_mm = 0;             ///< X of the pinion's axis
  double motor_start_mm = 0;        ///< X of the motor's driveway-side end
  double guide_mm = 0;              ///< X of the post guide's channel centre
  double guide_post_mm = 0;         ///< X of the guide post's centre (differs for reach-over)
  double ground_bracket_mm = 0;     ///< meaningless for one panel
  double reach_mm = 0;              ///< r = pulley inset + bracket clearance
  double return_start_mm = 0;       ///< X closed of the return's leading face
  double catch_in_opening_mm = 0;   ///< how far the catch plates stand into the clear opening
  std::vector<PanelLayout> panels;  ///< panel 1 first
  StackLayout stack;
  HeightLayout heights;
  std::vector<RopeLayout> ropes;  ///< panel 1 first

  const PanelLayout& panel(int number) const { return panels.at(number - 1); }
};

/// One reason why a gate cannot be laid out, in words a fabricator can act on.
struct LayoutProblem {
  std::string pointer;  ///< the input to change
  std::string text;
};

struct LayoutResult {
  Layout layout;
  std::vector<LayoutProblem> problems;  ///< non-empty: the gate cannot be laid out (exit 4)
};

/// X of a wheel's axle from its panel's end: clear of the pulley at the same end.
double wheelInsetMm(const GateSpec& spec, const Layout& layout);

/// "guide post", "overhead bracket" or "reach-over arm".
std::string_view nameOf(GuideMount mount);

/// Lays the gate out. Pure arithmetic: no solids, some microseconds.
LayoutResult layOut(const GateSpec& spec);

/// What to relax, and what would fit, for a layout with fits == false; one sentence per line.
std::vector<std::string> explainMisfit(const GateSpec& spec, const Layout& layout);

/// Every "auto" of the gate file with the value the layout gave it: (pointer, value or list).
std::vector<std::pair<std::string, std::vector<double>>> computedValues(const GateSpec& spec,
                                                                        const Layout& layout);

}  // namespace leafstack
