#include "params/table/shelf_rules.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "params/catalogue/catalogue.h"
#include "params/catalogue/holes.h"
#include "params/catalogue/welds.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr double kAny = std::numeric_limits<double>::infinity();
// Metal left beside a groove, a hole or a bore (own choice: less is no part one would make).
constexpr double kRim_mm = 1;
constexpr double kEdge_mm = 2;
// As the wheel is drawn; and, own choice, as wide as it keeps to its bar.
constexpr double kGrooveOverBar_mm = 0.5, kWidestGroove = 1.5, kGroovePerAxle = 0.955;

std::string mm(double value) {
  return formatFigure(value) + " mm";
}

// A wheel's rims stay this far off the footing, or the flat, that an angle stands on.
constexpr double kOffFooting_mm = 2;

/// What a V groove on an angle takes: both at 90 degrees, so that they meet in a line on each
/// flank.
void addAngleRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const WheelHardware& wheel = shelf.wheel;
  const TrackHardware& track = shelf.track;
  const std::string angle = "an angle of " + formatFigure(track.size_mm) + "x" +
                            formatFigure(track.size_mm) + "x" + formatFigure(track.thickness_mm);
  constexpr double kHeel_deg = 90;
  rules.push_back({{"/hardware/wheel/groove_deg", "/hardware/track/kind"},
                   wheel.groove_deg,
                   kHeel_deg,
                   kHeel_deg,
                   "a groove of " + formatFigure(wheel.groove_deg) +
                       " degrees does not meet the flanks of an angle, whose heel has 90"});
  const double deepest =
      std::min(track.size_mm / std::numbers::sqrt2, angleHeight_mm(track) - kOffFooting_mm);
  rules.push_back(
      {{"/hardware/wheel/outside_mm", "/hardware/wheel/running_mm", "/hardware/wheel/root_mm",
        "/hardware/track/size_mm", "/hardware/track/thickness_mm"},
       wheel.outside_mm,
       wheel.running_mm + wheel.root_mm + 4 * kRim_mm,
       wheel.running_mm + 2 * deepest,
       "a wheel of " + mm(wheel.outside_mm) + " that runs on " + mm(wheel.running_mm) +
           " has no flanks between the relief of " + mm(wheel.root_mm) + " at its root and " +
           angle + ", whose legs are " + mm(track.size_mm) + " long"});
  const double across = wheel.outside_mm - wheel.running_mm;
  rules.push_back(
      {{"/hardware/wheel/width_mm", "/hardware/wheel/outside_mm", "/hardware/wheel/running_mm"},
       wheel.width_mm,
       across + 2 * kRim_mm,
       kAny,
       "a wheel " + mm(wheel.width_mm) + " wide has no rims beside a V groove of " + mm(across)});
  rules.push_back({{"/hardware/track/thickness_mm", "/hardware/track/size_mm"},
                   track.thickness_mm,
                   0,
                   track.size_mm / 3,
                   angle + " is hardly an angle"});
}

/// A round groove for a bar, a V for an angle.
void addGrooveRule(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const bool is_v = shelf.wheel.groove == GrooveKind::kV;
  const bool is_angle = shelf.track.kind == TrackKind::kAngle;
  rules.push_back({{"/hardware/wheel/groove", "/hardware/track/kind"},
                   is_v == is_angle ? 0.0 : 1.0,
                   0,
                   0,
                   std::string("a wheel with a ") + (is_v ? "V" : "round") +
                       " groove does not run on " +
                       (is_angle ? "an angle of " : "a round bar of ") + mm(shelf.track.size_mm),
                   is_v ? "/hardware/wheel/groove \"round\", or /hardware/track/kind \"angle\""
                        : "/hardware/wheel/groove \"v\", or /hardware/track/kind \"round\""});
}

void addBarRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const WheelHardware& wheel = shelf.wheel;
  const double bar = shelf.track.size_mm;
  rules.push_back(
      {{"/hardware/wheel/outside_mm", "/hardware/wheel/running_mm", "/hardware/track/size_mm"},
       wheel.outside_mm,
       wheel.running_mm + 2 * kRim_mm,
       wheel.running_mm + bar,
       "a wheel of " + mm(wheel.outside_mm) + " that runs on " + mm(wheel.running_mm) +
           " has no groove that a bar of " + mm(bar) + " goes into"});
  // Across the groove at the wheel's outside.
  const double groove = wheel.groove_radius_mm.value_or(bar / 2 + kGrooveOverBar_mm);
  rules.push_back(
      {{"/hardware/wheel/groove_radius_mm", "/hardware/track/size_mm"},
       groove,
       bar / 2,
       kWidestGroove * bar / 2,
       "a bar of " + mm(bar) + " does not lie in a groove with a radius of " + mm(groove)});
  const double off = wheel.running_mm / 2 + groove - wheel.outside_mm / 2;
  const double across = 2 * std::sqrt(std::max(0.0, groove * groove - off * off));
  rules.push_back(
      {{"/hardware/wheel/width_mm", "/hardware/wheel/outside_mm", "/hardware/wheel/running_mm",
        "/hardware/wheel/groove_radius_mm", "/hardware/track/size_mm"},
       wheel.width_mm,
       across + 2 * kRim_mm,
       kAny,
       "a wheel " + mm(wheel.width_mm) + " wide has no rims beside a groove of " + mm(across) +
           " for a bar of " + mm(bar)});
}

// Least height of an axle in the rail: lower its hole would be in the rail's corner.
constexpr double kAxleInRail_mm = 5;
// A wheel's rim below its carrier's plate.
constexpr double kUnderPlate_mm = 2;

/// Where the axle is: in the rail, or so far below it that the wheel turns under its plate.
void addMountRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const WheelHardware& wheel = shelf.wheel;
  if (wheel.mount == WheelMount::kRail) {
    rules.push_back({{"/hardware/wheel/axle_up_mm", "/hardware/wheel/mount"},
                     wheel.axle_up_mm,
                     kAxleInRail_mm,
                     kAny,
                     "an axle " + mm(wheel.axle_up_mm) +
                         " above the underside is not in the rail, as mount \"rail\" says"});
    return;
  }
  const double highest =
      -(wheel.packing_mm + wheel.plate_mm + wheel.outside_mm / 2 + kUnderPlate_mm);
  rules.push_back(
      {{"/hardware/wheel/axle_up_mm", "/hardware/wheel/outside_mm", "/hardware/wheel/plate_mm",
        "/hardware/wheel/packing_mm", "/hardware/wheel/mount"},
       wheel.axle_up_mm,
       -kAny,
       highest,
       "a wheel of " + mm(wheel.outside_mm) + " with its axle " + mm(wheel.axle_up_mm) +
           " above the rail's underside meets its plate of " + mm(wheel.plate_mm)});
  rules.push_back({{"/hardware/wheel/plate_length_mm", "/hardware/wheel/bolt_pitch_mm",
                    "/hardware/wheel/plate_bolt_mm"},
                   wheel.plate_length_mm,
                   wheel.bolt_pitch_mm + 2 * wheel.plate_bolt_mm,
                   kAny,
                   "a plate " + mm(wheel.plate_length_mm) + " long has no edge beside bolts " +
                       mm(wheel.bolt_pitch_mm) + " apart"});
  rules.push_back({{"/hardware/wheel/plate_width_mm", "/hardware/wheel/bolt_gauge_mm",
                    "/hardware/wheel/plate_bolt_mm"},
                   wheel.plate_width_mm,
                   wheel.bolt_gauge_mm + 1.8 * wheel.plate_bolt_mm,
                   kAny,
                   "a plate " + mm(wheel.plate_width_mm) + " wide has no edge beside bolts " +
                       mm(wheel.bolt_gauge_mm) + " apart"});
}

void addWheelRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const WheelHardware& wheel = shelf.wheel;
  addGrooveRule(shelf, rules);
  addMountRules(shelf, rules);
  if (wheel.groove == GrooveKind::kV && shelf.track.kind == TrackKind::kAngle) {
    addAngleRules(shelf, rules);
  } else if (wheel.groove == GrooveKind::kRound && shelf.track.kind == TrackKind::kRound) {
    addBarRules(shelf, rules);
  }
  rules.push_back(
      {{"/hardware/wheel/axle_mm", "/hardware/wheel/running_mm"},
       wheel.axle_mm,
       0,
       wheel.running_mm - 2 * kEdge_mm - (wheel.groove == GrooveKind::kV ? 4 : 2) * kRim_mm,
       "an axle of " + mm(wheel.axle_mm) + " leaves nothing of a wheel that runs on " +
           mm(wheel.running_mm)});
  rules.push_back(
      {{"/hardware/wheel/axle_head_mm", "/hardware/wheel/axle_mm"},
       wheel.axle_head_mm,
       wheel.axle_mm + 2 * kRim_mm,
       kAny,
       "a ring of " + mm(wheel.axle_head_mm) + " does not hold an axle of " + mm(wheel.axle_mm)});
  rules.push_back({{"/hardware/wheel/axle_projection_mm", "/hardware/wheel/axle_ring_mm"},
                   wheel.axle_projection_mm,
                   wheel.axle_ring_mm + kRim_mm / 2,
                   kAny,
                   "an axle that stands out by " + mm(wheel.axle_projection_mm) +
                       " has no shoulder beyond a ring of " + mm(wheel.axle_ring_mm)});
  const double root = wheel.axle_groove_mm.value_or(kGroovePerAxle * wheel.axle_mm);
  rules.push_back(
      {{"/hardware/wheel/axle_groove_mm", "/hardware/wheel/axle_mm"},
       root,
       wheel.axle_mm / 2,
       wheel.axle_mm - kRim_mm / 10,
       "a groove of " + mm(root) + " holds no ring on an axle of " + mm(wheel.axle_mm)});
}

// Of a cheek under a countersunk head, which is half its thread deep: the hole is not a knife edge.
constexpr double kUnderSunkHead_mm = 0.25;
// Coats widen the cone by root 2, its hole by 1; what is left under it they make thicker.
constexpr double kSunkPerCoat = std::numbers::sqrt2 - 1;
// A slack rope lifted out of its groove must not pass between rim and cover: common practice, no
// source.
constexpr double kKeeperGapPerRope = 0.8;

/// A pulley's groove: the rope lies in it, and there are rims beside it.
void addGrooveOfRope(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const PulleyHardware& pulley = spec.hardware.pulley;
  const double rope = spec.ropes.diameter_mm;
  constexpr double kUsualGroove = 0.54, kWidest = 0.7, kRims_mm = 0.2;
  const double groove = pulley.groove_radius_mm.value_or(kUsualGroove * rope);
  rules.push_back(
      {{"/hardware/pulley/groove_radius_mm", "/ropes/diameter_mm"},
       groove,
       rope / 2,
       kWidest * rope,
       "a rope of " + mm(rope) + " does not lie in a groove with a radius of " + mm(groove)});
  const double half_throat = pulley.throat_deg / 2 * std::numbers::pi / 180;
  const double flank =
      std::max(pulley.flange_mm, rope) + rope / 2 - groove + groove * std::sin(half_throat);
  const double across =
      2 * (groove * std::cos(half_throat) + std::max(0.0, flank) * std::tan(half_throat));
  rules.push_back(
      {{"/hardware/pulley/thickness_mm", "/hardware/pulley/throat_deg",
        "/hardware/pulley/groove_radius_mm", "/hardware/pulley/flange_mm", "/ropes/diameter_mm"},
       pulley.thickness_mm,
       across + kRims_mm,
       kAny,
       "a pulley " + mm(pulley.thickness_mm) + " thick has no rims beside a groove " + mm(across) +
           " wide for a rope of " + mm(rope)});
}

void addRopeRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const HardwareSpec& shelf = spec.hardware;
  const PulleyHardware& pulley = shelf.pulley;
  rules.push_back({{"/hardware/pulley/pin_screw_mm", "/hardware/pulley/bolt_mm"},
                   pulley.pin_screw_mm,
                   0,
                   pulley.bolt_mm - 2 * kEdge_mm,
                   "a screw M" + formatFigure(pulley.pin_screw_mm) +
                       " leaves no wall round it in the end of a pin of " + mm(pulley.bolt_mm)});
  const auto sunk = [&](const char* pointer, double screw_mm, const char* plate) {
    rules.push_back({{"/hardware/pulley/cheek_mm", pointer},
                     pulley.cheek_mm,
                     screw_mm / 2 + std::max(kUnderSunkHead_mm, kSunkPerCoat * spec.shop.coatMm()),
                     kAny,
                     "the head of a screw M" + formatFigure(screw_mm) + " cannot be sunk in " +
                         plate + " of " + mm(pulley.cheek_mm)});
  };
  sunk("/hardware/pulley/pin_screw_mm", pulley.pin_screw_mm, "a cheek");
  sunk("/hardware/pulley/screw_mm", pulley.screw_mm, "a flange");
  rules.push_back({{"/hardware/pulley/keeper_gap_mm", "/ropes/diameter_mm"},
                   pulley.keeper_gap_mm,
                   0,
                   kKeeperGapPerRope * spec.ropes.diameter_mm,
                   "a cover " + mm(pulley.keeper_gap_mm) +
                       " off the pulley's rim does not keep a rope of " +
                       mm(spec.ropes.diameter_mm) + " in its groove"});
  addGrooveOfRope(spec, rules);
  // Two holes in a row, or one at either end of the bracket that stands on it.
  const double hole = shelf.bracket.foot_hole_mm;
  const double in_row = (2 * kLeastEdgePerHole + kLeastPitchPerHole) * hole;
  const double beside =
      shelf.bracket.length_mm +
      2 * (leastHoleEdge_mm(hole) + threadThrough(hole).across_corners_mm / 2 + kRim_mm);
  rules.push_back({{"/hardware/bracket/foot_length_mm", "/hardware/bracket/length_mm",
                    "/hardware/bracket/foot_hole_mm"},
                   shelf.bracket.foot_length_mm,
                   std::max(in_row, beside),
                   kAny,
                   "a foot " + mm(shelf.bracket.foot_length_mm) +
                       " long has no room for two holes of " + mm(hole) +
                       " with their nuts beside a bracket " + mm(shelf.bracket.length_mm) +
                       " long"});
}

/// What is left of a block between its channel's lips and web, behind its slot.
double blockBody_mm(const GateSpec& spec) {
  const GuideHardware& guide = spec.hardware.guide;
  return spec.guides.channel_depth_mm - guide.lip_gap_mm -
         2 * (guide.channel_wall_mm + guide.running_gap_mm);
}

void addGuideRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const GuideHardware& guide = spec.hardware.guide;
  const double width = spec.guides.channel_width_mm;
  if (guide.channel == ChannelKind::kFolded) {
    rules.push_back(
        {{"/hardware/guide/lip_mm", "/hardware/guide/channel_wall_mm", "/hardware/guide/channel"},
         guide.lip_mm,
         leastFlange_mm(guide.channel_wall_mm),
         kAny,
         "lips of " + mm(guide.lip_mm) + " are shorter than a press folds of " +
             mm(guide.channel_wall_mm) + " plate"});
  }
  rules.push_back({{"/hardware/guide/lip_mm", "/hardware/guide/channel_wall_mm",
                    "/hardware/guide/running_gap_mm", "/guides/channel_width_mm"},
                   guide.lip_mm,
                   guide.channel_wall_mm + kRim_mm,
                   (width - 2 * guide.running_gap_mm) / 2 - 2 * kEdge_mm,
                   "lips of " + mm(guide.lip_mm) + " on a channel " + mm(width) +
                       " wide with walls of " + mm(guide.channel_wall_mm) +
                       " hold no block with a neck"});
  rules.push_back({{"/hardware/guide/running_gap_mm", "/shop/coat_mm"},
                   guide.running_gap_mm,
                   spec.shop.coatMm() + kLeftToRun_mm,
                   kAny,
                   "coats of " + mm(spec.shop.coatMm()) +
                       " on rail and channel leave a block that runs " + mm(guide.running_gap_mm) +
                       " off them no play"});
  constexpr double kLeastBody_mm = 10;  // that a neck is cut from. Own choice
  const double body = blockBody_mm(spec);
  rules.push_back({{"/guides/channel_depth_mm", "/hardware/guide/lip_gap_mm",
                    "/hardware/guide/channel_wall_mm", "/hardware/guide/running_gap_mm"},
                   spec.guides.channel_depth_mm,
                   spec.guides.channel_depth_mm - body + kLeastBody_mm,
                   kAny,
                   "a channel " + mm(spec.guides.channel_depth_mm) + " deep with its lips " +
                       mm(guide.lip_gap_mm) + " from the guide rail leaves a block " + mm(body) +
                       " deep in it"});
}

/// H15: the block in its channel's height, its jaw between the rail's leg and the panel's face.
void addBlockRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  constexpr double kOverBlock_mm = 3;  // channel's top above its block's
  constexpr double kOffFace_mm = 5;    // a block behind the panel it guides. Own choice
  const GuideHardware& guide = spec.hardware.guide;
  rules.push_back({{"/hardware/guide/channel_height_mm", "/hardware/guide/block_height_mm"},
                   guide.channel_height_mm,
                   guide.block_height_mm + kOverBlock_mm,
                   kAny,
                   "a block " + mm(guide.block_height_mm) + " high stands out of a channel " +
                       mm(guide.channel_height_mm) + " high"});
  rules.push_back({{"/hardware/guide/block_jaw_mm", "/guides/rail_mm",
                    "/hardware/guide/rail_thickness_mm", "/hardware/guide/running_gap_mm"},
                   guide.block_jaw_mm,
                   0,
                   spec.guides.rail_mm - guide.rail_thickness_mm - guide.running_gap_mm -
                       std::min(kOffFace_mm, spec.checks.clearance_mm),
                   "a block's front jaw of " + mm(guide.block_jaw_mm) +
                       " does not go in between a guide rail of " + mm(spec.guides.rail_mm) +
                       " and the panel's face"});
}

/// A pivoted block's bolt: its head on the jaws' front, its nut let into the block's back.
void addPivotRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const GuideHardware& guide = spec.hardware.guide;
  const bool may_turn =
      guide.block_mount == BlockMount::kPivoted ||
      (guide.block_mount == BlockMount::kAuto && !spec.site.track_survey_mm.empty());
  if (!may_turn) {
    return;
  }
  constexpr double kAboutNut_mm = 1;
  const ThreadClass& bolt = threadClass(guide.pivot_bolt_mm);
  const double across = bolt.across_corners_mm + 2 * (kAboutNut_mm + kRim_mm);
  const std::string thread = "M" + formatFigure(guide.pivot_bolt_mm);
  rules.push_back({{"/hardware/guide/pivot_roof_mm", "/hardware/guide/pivot_bolt_mm",
                    "/hardware/guide/block_height_mm"},
                   guide.pivot_roof_mm,
                   across,
                   2 * guide.block_height_mm - across,
                   "jaws " + mm(guide.pivot_roof_mm) +
                       " above the rail have no room for the head "
                       "and nut of " +
                       thread + ", " + mm(bolt.across_corners_mm) + " over corners"});
  const double neck = spec.guides.channel_width_mm - 2 * (guide.lip_mm + guide.running_gap_mm);
  rules.push_back({{"/hardware/guide/pivot_bolt_mm", "/guides/channel_width_mm",
                    "/hardware/guide/lip_mm", "/hardware/guide/running_gap_mm"},
                   guide.pivot_bolt_mm,
                   0,
                   neck - 2 * kEdge_mm,
                   "a bolt " + thread + " leaves nothing of a neck " + mm(neck) + " wide"});
  const double body = blockBody_mm(spec);
  const double nut = bolt.nut_mm + kAboutNut_mm + kEdge_mm;
  rules.push_back(
      {{"/guides/channel_depth_mm", "/hardware/guide/lip_gap_mm", "/hardware/guide/channel_wall_mm",
        "/hardware/guide/running_gap_mm", "/hardware/guide/pivot_bolt_mm"},
       spec.guides.channel_depth_mm,
       spec.guides.channel_depth_mm - body + nut,
       kAny,
       "a block " + mm(body) + " deep holds no nut of " + thread});
}

/// Screws' holes are drilled larger by what coats them, as far as their sunk heads still bear.
void addSunkRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  constexpr double kBearing_mm = 0.5;  // of a sunk head round its hole, at least. Own choice
  const PulleyHardware& pulley = spec.hardware.pulley;
  const double thread = std::min(pulley.screw_mm, pulley.pin_screw_mm);
  rules.push_back({{"/shop/coat_mm", "/hardware/pulley/screw_mm", "/hardware/pulley/pin_screw_mm"},
                   spec.shop.coatMm(),
                   -kAny,
                   (thread - 0.5) / 2 - kBearing_mm,
                   "holes drilled larger by coats of " + mm(spec.shop.coatMm()) +
                       " let the sunk heads of M" + mm(thread) + " through"});
}

void addPlateRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  rules.push_back({{"/hardware/stop/catch_high_up_mm", "/hardware/stop/catch_low_up_mm"},
                   shelf.stop.catch_high_up_mm,
                   shelf.stop.catch_low_up_mm + 2 * kEdge_mm,
                   kAny,
                   "catch plates from " + mm(shelf.stop.catch_low_up_mm) + " up to " +
                       mm(shelf.stop.catch_high_up_mm) + " are no plates"});
  const auto wider = [&](const char* plate, double plate_mm, const char* hole, double hole_mm,
                         const char* what, double beside_mm = 0) {
    rules.push_back({{plate, hole},
                     plate_mm,
                     beside_mm + leastHoleEdge_mm(hole_mm) + hole_mm / 2 + kEdge_mm,
                     kAny,
                     std::string(what) + " of " + mm(plate_mm) + " has no edge beside a hole of " +
                         mm(hole_mm)});
  };
  const PostHardware& post = shelf.post;
  wider("/hardware/post/overhead_ear_mm", post.overhead_ear_mm, "/hardware/post/overhead_hole_mm",
        post.overhead_hole_mm, "an overhead bracket's ear");
  wider("/hardware/stop/foot_mm", shelf.stop.foot_mm, "/hardware/stop/foot_hole_mm",
        shelf.stop.foot_hole_mm, "an end stop's foot", shelf.stop.thickness_mm);
  rules.push_back({{"/hardware/stop/catch_wall_mm", "/hardware/stop/catch_post_mm"},
                   shelf.stop.catch_wall_mm,
                   0,
                   shelf.stop.catch_post_mm / 4,
                   "a catch post of " + mm(shelf.stop.catch_post_mm) + " with walls of " +
                       mm(shelf.stop.catch_wall_mm) + " is hardly hollow"});
}

/// Anchors beside the posts: room for a socket beside the weld, and for the weld all round.
void addAnchorRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const PostHardware& post = shelf.post;
  const double leg = leastFilletLeg_mm(post.plate_mm);
  const auto side = [&](const char* plate, double plate_mm, const char* what) {
    rules.push_back({{plate, "/hardware/post/plate_mm"},
                     plate_mm,
                     leg + kPlateBeyondWeld_mm,
                     kAny,
                     std::string(what) + " that stands out by " + mm(plate_mm) +
                         " has no room for a weld of " + mm(leg)});
  };
  side("/hardware/post/plate_side_mm", post.plate_side_mm, "a guide post's base plate");
  side("/hardware/stop/catch_across_mm", shelf.stop.catch_across_mm, "a catch post's base plate");
  const auto row = [&](const char* plate, double plate_mm, const char* hole, double hole_mm,
                       double least_mm) {
    rules.push_back({{plate, hole, "/hardware/post/plate_mm"},
                     plate_mm,
                     least_mm,
                     kAny,
                     "a base plate that stands out by " + mm(plate_mm) +
                         " has no room for a socket beside anchors in holes of " + mm(hole_mm)});
  };
  const double hole = post.plate_hole_mm;
  const double room = socketRoom_mm(hole) + leg + leastHoleEdge_mm(hole);
  constexpr const char* kHole = "/hardware/post/plate_hole_mm";
  row("/hardware/post/plate_front_mm", post.plate_front_mm, kHole, hole, room);
  row("/hardware/post/plate_back_mm", post.plate_back_mm, kHole, hole, room);
  row("/hardware/stop/catch_foot_mm", shelf.stop.catch_foot_mm, "/hardware/stop/catch_hole_mm",
      shelf.stop.catch_hole_mm, 2 * (socketRoom_mm(shelf.stop.catch_hole_mm) + leg));
}

}  // namespace

std::vector<ShelfRule> shelfRules(const GateSpec& spec) {
  std::vector<ShelfRule> rules;
  addWheelRules(spec.hardware, rules);
  addDriveRules(spec, rules);
  addRopeRules(spec, rules);
  addGuideRules(spec, rules);
  addBlockRules(spec, rules);
  addPivotRules(spec, rules);
  addSunkRules(spec, rules);
  addPlateRules(spec.hardware, rules);
  addAnchorRules(spec.hardware, rules);
  addKeeperRules(spec, rules);
  return rules;
}

}  // namespace leafstack
