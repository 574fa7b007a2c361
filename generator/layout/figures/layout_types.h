// Where everything of a gate stands, as layOut() finds it. Frame and properties: layout.h.
#pragma once

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/extension.h"
#include "generator/layout/travel/ground_line.h"
#include "generator/layout/travel/travel.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

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

  double grade = 0;            ///< rake: rise of its bottom rail per mm of X, closed
  double underside_z_mm = 0;   ///< bottom rail's underside at the leading end, closed
  double top_z_mm = 0;         ///< top at the leading end, closed
  double top_grade = 0;        ///< rise of its top per mm of X
  double least_ground_mm = 0;  ///< least clearance under the rail over the travel, square to it
  double least_ground_at_mm = 0, least_ground_x_mm = 0;  ///< drive travel and X of that
  double most_lean_deg = 0;  ///< how far its uprights lean from plumb over the travel

  /// Cosine of the rake: horizontal length for every mm along the bottom rail.
  double cosine() const { return 1 / std::sqrt(1 + grade * grade); }
  double undersideZ(double x_mm) const {
    return underside_z_mm + grade * (x_mm - leading_closed_mm);
  }
  double topZ(double x_mm) const { return top_z_mm + top_grade * (x_mm - leading_closed_mm); }
};

/// A guide rail and the block and channel that hold it. Its axis is the channel's centre line,
/// square to the rail or, where the block's jaws turn on a bolt, plumb: heights are along it, from
/// the point where it crosses the middle of the rail.
struct GuideLayout {
  int panel = 1;  ///< that carries the rail; the channel is on the panel behind, or the guide post
  double grade = 0;           ///< of the rail when closed, rise per mm of X
  double channel_grade = 0;   ///< that the channel stands square to
  double x_mm = 0, z_mm = 0;  ///< where the axis crosses the middle of the rail, closed
  double drop_mm = 0;         ///< rail below the highest place on its panel
  double least_drop_mm = 0;   ///< what keeps block and channel where they must be
  double rail_size_mm = 0;    ///< leg of the angle
  double channel_width_mm = 0;
  bool is_pivoted = false;                         ///< the jaws turn on a bolt
  double block_roof_mm = 0;                        ///< of the jaws, above the rail
  double channel_low_mm = 0, channel_high_mm = 0;  ///< ends of the channel, closed
  Range float_mm;       ///< how far the block moves in its channel from where it is closed
  double aslant = 0;    ///< most that rail and channel are out of square, rise per mm
  double turn_deg = 0;  ///< most that the jaws are out of square to a pivoted block, either way
  int block_body = 0;   ///< body that the block is: the channel's, or one of its own
  int jaw_body = 0;     ///< body that a pivoted block's jaws are
  std::string why;      ///< which case applies, in words

  double pivotUpMm() const;  ///< a pivoted block's bolt above the axis' foot; else 0
  double blockTopMm() const;
  double cosine() const { return 1 / std::sqrt(1 + grade * grade); }
  double channelCosine() const { return 1 / std::sqrt(1 + channel_grade * channel_grade); }
};

/// Across the track.
struct StackLayout {
  double gap_mm = 0;           ///< between neighbouring frames
  double post_gap_mm = 0;      ///< panel 1's rear face to the guide post's front face
  double packing_mm = 0;       ///< behind each guide channel
  double setback_mm = 0;       ///< front panel's frame behind the fence line
  double cladding_max_mm = 0;  ///< thickest cladding without packing
  double frame_depth_mm = 0;
  /// Rack, pinion and motor further off panel 1's rear face than the shelf has them, past what ends
  /// and turns the ropes; 0 where that stands clear, or where the rack's own feet hold it.
  double drive_out_mm = 0;
};

/// Heights above the driveway where it is level. "Up" values are measured square to the bottom rail
/// from its underside.
struct HeightLayout {
  double footing_top_mm = 0;
  double underside_mm = 0;  ///< bottom rail's underside above the driveway
  double rail_height_mm = 0;
  double top_mm = 0;
  std::vector<double> rope_heights_mm;  ///< per carrying panel, panel 1 first
  double cladding_bottom_up_mm = 0;
  double motor_packing_mm = 0;
  double motor_raise_mm = 0;  ///< pinion over the middle of what the motor's own base takes up
  double rack_lower_up_mm = 0;
};

/// What has to be dug for a parked gate where the ground rises beyond the opening.
struct PocketLayout {
  double room_mm = 0, width_mm = 0;
  double section_m2 = 0;  ///< along the track: half of bank x room squared
  double volume_m3 = 0;
  double end_face_m2 = 0;   ///< retained at the far end
  double side_face_m2 = 0;  ///< retained along either side
};

/// Greatest height at which one track's ground lies over another's beside it, and where.
struct TrackRise {
  int high = 0, low = 0;  ///< panels whose tracks they are
  double rise_mm = 0, x_mm = 0;
};

/// What uneven ground costs one panel, as one sees it.
struct PanelOnUneven {
  int panel = 1;
  /// Most that its top stands out of plumb on the way, over its height: what one sees against a
  /// plumb post. Positive in the opening direction. Closed it is 0.
  double lean_mm = 0, lean_at_mm = 0;
  /// How far it can be moved along the track, closed, when its ropes are just tight where their way
  /// is longest.
  double latch_play_mm = 0;
  /// What its ropes take it ahead of its speed ratio on the way, at most either way, and open.
  Range ahead_mm;
  double ahead_open_mm = 0;
  /// How far along the track it may stand from where it is drawn, anywhere on the way
  /// (GroundLayout::rope_play_mm).
  double rope_play_mm = 0;
};

/// A place of a track: an anchor or a surveyed point. Heights as GroundLayout::line's.
struct LaidPoint {
  double x_mm = 0;
  double slab_mm = 0, laid_mm = 0;  ///< as surveyed, and what the track is laid to
  double straight_mm = 0;           ///< of the straight line that costs least

  double shimMm() const { return std::max(0.0, laid_mm - slab_mm); }
  double grindMm() const { return std::max(0.0, slab_mm - laid_mm); }
};

/// How a track is laid on surveyed ground.
struct LaidTrack {
  int panel = 1;
  std::vector<LaidPoint> points;
  double residual_mm = 0;          ///< most that it is laid off its straight line
  double straight_short_mm = 0;    ///< what shims and grinding allowed lack for that line,
  double straight_short_x_mm = 0;  ///< and where
};

/// The ground and how bodies move over it.
struct GroundLayout {
  GroundLine line = GroundLine::straight(0);  ///< driveway on the front track; 0 at X = 0
  std::vector<GroundLine> track_lines;  ///< on each track, back first; empty where `line` is all
  /// As surveyed where tracks are laid straight on it: one for every track. Else empty.
  std::vector<GroundLine> slab_lines;
  double cross_grade = 0;
  double front_track_y_mm = 0;  ///< where `line` runs
  double track_apart_mm = 0;    ///< from each track to the next, across
  double rear_strip_y_mm = 0;   ///< footing behind this carries motor and guide post
  double rear_strip_z_mm = 0;   ///< how much higher that strip lies than `line`
  bool is_surveyed = false;
  std::vector<std::string> problems;  ///< why no panel can ride over the surveyed points
  Travels travels;                    ///< ground, panels, then the guide blocks that float
  double least_clearance_mm = 0, least_clearance_x_mm = 0, least_clearance_at_mm = 0;
  int least_clearance_panel = 1;
  /// Where panels are taken by ropes of fixed length, over drive travel (rope_travel.h); by panel,
  /// back first; empty where speed ratios are all.
  std::vector<GroundLine> ahead;
  /// How far along the track ropes may leave each panel from where it is drawn, either way, by
  /// panel, back first; what each leaves its front panel, from the one that carries it, adds up
  /// (RopesFollowed::left_mm). Empty as `ahead`.
  std::vector<double> rope_play_mm;
  double most_rope_error_mm = 0;  ///< by how much ropes still change their length
  Range rack_rise_mm;             ///< of the rack at the pinion over the travel
  /// Where the rack is laid to the pinion's path: how far its lower edge is over where it would lie
  /// straight (HeightLayout::rack_lower_up_mm), square to the rail, at the ends of its pieces,
  /// first to last. Empty where it lies straight.
  std::vector<double> rack_up_mm;
  double rack_pinion_up_mm =
      0;              ///< pinion over where a straight rack closed would have it, for that
  Range rack_off_mm;  ///< by which teeth then enter less than they should
  std::vector<PocketLayout> pockets;  ///< this arrangement, then 1 to 4 panels
  std::vector<LaidTrack> laid;        ///< panel 1 first; empty where the ground is not surveyed
  std::vector<PanelOnUneven> uneven;  ///< panel 1 first; empty where the ground is not surveyed
  /// Of every two neighbouring tracks, over all that panels ride on, both ways; empty where one
  /// line is all.
  std::vector<TrackRise> track_rises;
  double others_over_mm = 0;  ///< how far another panel's ground may stand over panel 1's

  /// Under a panel's track; 0: of the footing's rear strip, which follows the back track.
  const GroundLine& lineOf(int panel) const {
    return track_lines.empty() ? line : track_lines[std::max(panel, 1) - 1];
  }
  /// The slab under a panel's track, as surveyed.
  const GroundLine& slabOf(int panel) const {
    return slab_lines.empty() ? lineOf(panel) : slab_lines[std::max(panel, 1) - 1];
  }
  /// Driveway surface. Where every track has its line, straight across from one to the next, and
  /// level across beyond the outer ones.
  double heightMm(double x_mm, double y_mm) const;
  /// The same from one height to another under any track, X from x0 to x1 (x0 <= x1).
  Range slopeRange(double x0_mm, double x1_mm) const;
};

/// One carrying panel's rope set; stations are X when closed.
struct RopeLayout {
  int carrier = 1;          ///< panel with the pulleys
  double height_mm = 0;     ///< middle of both ropes above the rail's underside
  double apart_mm = 0;      ///< the opening rope above the closing one, square to the rail
  double end_along_mm = 0;  ///< from a bracket's middle to where the opening rope ends, along it
  double pitch_mm = 0;      ///< pulley pitch diameter
  double leading_pulley_mm = 0, trailing_pulley_mm = 0;
  double front_bracket_mm = 0;  ///< on panel carrier+1
  double rear_bracket_mm = 0;   ///< on panel carrier-1, or the ground bracket when carrier is 1
  double front_bore_z_mm = 0, rear_bore_z_mm = 0;  ///< middle of both ropes' ends, closed
  double steepest = 0;    ///< of its strands against the rail over the travel, rise per mm
  double swivel_deg = 0;  ///< most that its ends turn from square to their brackets
  double fleetDeg() const { return std::atan(steepest) * kDegreesPerRadian; }

  /// Of one rope above the middle of both.
  double aboveMm(bool opening) const { return (opening ? apart_mm : -apart_mm) / 2; }
  double heightOfMm(bool opening) const { return height_mm + aboveMm(opening); }
};

inline constexpr int kMostPanels = 4;  ///< that share an opening

struct Layout {
  HardwareSpec hardware;  ///< that it is laid out for
  /// As drawn, of a gate as built: by it tracks and footing were laid and racks cut. Null: by this.
  std::shared_ptr<const Layout> laid;
  int panel_count = 2;
  double opening_mm = 0;
  double travel_mm = 0;        ///< of the front panel
  double drive_travel_mm = 0;  ///< of panel 1
  double extension_mm = 0;     ///< panel 1's bottom rail past W when closed
  double room_mm = 0;          ///< past the opening's far post, of the open panels themselves
  double room_total_mm =
      0;  ///< with their end stops, which stand past them: what the site has to give
  double room_rule_of_thumb_mm = 0;  ///< W/n + 400 or 300, common practice; 0 where none is known
  bool room_given = false;
  double room_given_mm = 0;
  bool fits = true;
  Binding binding = Binding::kRack;
  ExtensionDemands demands;
  double pinion_mm = 0;          ///< X of the pinion's axis
  double motor_start_mm = 0;     ///< X of the motor's driveway-side end
  double guide_mm = 0;           ///< X of the post guide's channel centre
  double guide_post_mm = 0;      ///< X of the guide post's centre (differs for reach-over)
  double ground_bracket_mm = 0;  ///< meaningless for one panel
  double reach_mm = 0;           ///< r = pulley inset + bracket clearance, along the track
  double pulley_pitch_mm = 0, pulley_inset_mm = 0, bracket_clearance_mm = 0;
  /// Along the track, at every guide and return: what panels that lean otherwise than their
  /// neighbours take up. Surveyed ground only.
  double lean_mm = 0;
  /// Jaws of guide blocks turn on bolts: as given, or where blocks of one piece would jam.
  bool blocks_pivoted = false;
  double return_start_mm = 0;       ///< X closed of the return's leading face
  double catch_in_opening_mm = 0;   ///< how far the catch plates stand into the clear opening
  std::vector<PanelLayout> panels;  ///< panel 1 first
  StackLayout stack;
  HeightLayout heights;
  GroundLayout ground;
  std::vector<GuideLayout> guides;  ///< panel 1's, on the guide post, first
  std::vector<RopeLayout> ropes;    ///< panel 1 first

  const PanelLayout& panel(int number) const { return panels.at(number - 1); }
  /// How far along X a panel has gone at drive travel `drive_mm`; 0: the ground.
  double goneMm(int panel, double drive_mm) const {
    const double ahead =
        panel < 1 || ground.ahead.empty() ? 0 : ground.ahead[panel - 1].heightMm(drive_mm);
    return panel < 1 ? 0 : this->panel(panel).speed_ratio * drive_mm + ahead;
  }
  /// GroundLayout::rope_play_mm of one panel to another; 0: the ground.
  double ropePlayMm(int one, int other) const {
    const auto of = [&](int panel) {
      return panel < 1 || ground.rope_play_mm.empty() ? 0 : ground.rope_play_mm[panel - 1];
    };
    return std::abs(of(one) - of(other));
  }
};

/// One reason why a gate cannot be laid out, in words a fabricator can act on.
/// By which tracks and footing were laid and racks cut.
inline const Layout& laidBy(const Layout& layout) {
  return layout.laid ? *layout.laid : layout;
}

struct LayoutProblem {
  std::string pointer;  ///< the input to change
  std::string text;
};

}  // namespace leafstack
