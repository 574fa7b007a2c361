// Rules of rack, pinion and the motor's body, of track and lift keepers, of the flat under
// an angle, and of receivers.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "params/catalogue/catalogue.h"
#include "params/catalogue/holes.h"
#include "params/reading/text.h"
#include "params/table/shelf_rules.h"

namespace leafstack {
namespace {

constexpr double kNoMost = std::numeric_limits<double>::infinity();
// Own choice: metal left of a part, and what two that hold each other stand one beside the other.
constexpr double kLeft_mm = 2, kBeside_mm = 1;

std::string inMm(double value) {
  return formatFigure(value) + " mm";
}

/// A rack's feet: the slot within the foot, higher than wide.
void addFootRules(const RackHardware& rack, std::vector<ShelfRule>& rules) {
  if (rack.fixing != RackFixing::kFoot) {
    return;
  }
  rules.push_back({{"/hardware/rack/slot_height_mm", "/hardware/rack/slot_width_mm",
                    "/hardware/rack/foot_up_mm"},
                   rack.slot_height_mm,
                   rack.slot_width_mm + kBeside_mm,
                   rack.foot_up_mm - 2 * kLeft_mm,
                   "a slot " + inMm(rack.slot_height_mm) + " high and " + inMm(rack.slot_width_mm) +
                       " wide gives no height, or leaves no edge, in a foot " +
                       inMm(rack.foot_up_mm) + " above its rack"});
  rules.push_back({{"/hardware/rack/foot_length_mm", "/hardware/rack/slot_width_mm"},
                   rack.foot_length_mm,
                   rack.slot_width_mm + 2 * kLeft_mm,
                   kNoMost,
                   "a foot " + inMm(rack.foot_length_mm) + " long has no edge beside a slot of " +
                       inMm(rack.slot_width_mm)});
  rules.push_back({{"/hardware/rack/hole_end_mm", "/hardware/rack/foot_length_mm"},
                   rack.hole_end_mm,
                   rack.foot_length_mm / 2,
                   kNoMost,
                   "a foot " + inMm(rack.foot_length_mm) + " long, " + inMm(rack.hole_end_mm) +
                       " from its rack's end, stands out of it"});
}

/// Pinion and rack beside each other across the track: half of the narrower one's teeth work, at
/// least (own choice).
void addMeshRule(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const RackHardware& rack = shelf.rack;
  const MotorHardware& motor = shelf.motor;
  const double least = std::min(rack.thickness_mm, motor.pinion_width_mm) / 2;
  const double far = rack.offset_mm + rack.thickness_mm;
  const double shared = std::min(far, motor.pinion_offset_mm + motor.pinion_width_mm) -
                        std::max(rack.offset_mm, motor.pinion_offset_mm);
  rules.push_back({{"/hardware/motor/pinion_offset_mm", "/hardware/motor/pinion_width_mm",
                    "/hardware/rack/offset_mm", "/hardware/rack/thickness_mm"},
                   motor.pinion_offset_mm,
                   rack.offset_mm + least - motor.pinion_width_mm,
                   far - least,
                   "a pinion " + inMm(motor.pinion_width_mm) + " wide, " +
                       inMm(motor.pinion_offset_mm) + " off the rail's face, has " +
                       inMm(std::max(0.0, shared)) + " of its width on a rack that stands from " +
                       inMm(rack.offset_mm) + " to " + inMm(far) + " off it, where " + inMm(least) +
                       " is the least"});
}

/// Standoffs behind the rack: above the pinion's tips, or before its near side.
void addStandoffRule(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const RackHardware& rack = spec.hardware.rack;
  const double clear = spec.checks.hardware_clearance_mm;
  // From the rack's lower edge up: its teeth, which a pinion's go into, are two modules high.
  const double above_tips = (rack.height_mm - rack.standoff_mm) / 2 - 2 * rack.module_mm;
  if (rack.fixing != RackFixing::kStandoff || above_tips >= clear) {
    return;
  }
  const double pinion = spec.hardware.motor.pinion_offset_mm;
  rules.push_back(
      {{"/hardware/motor/pinion_offset_mm", "/hardware/rack/offset_mm",
        "/hardware/rack/standoff_mm", "/hardware/rack/height_mm", "/hardware/rack/module_mm"},
       pinion,
       rack.offset_mm + clear,
       kNoMost,
       "a pinion that begins " + inMm(pinion) + " off the rail's face meets standoffs " +
           inMm(rack.standoff_mm) + " thick, which hold the rack " + inMm(rack.offset_mm) +
           " off it"});
}

// A pinion's teeth stand on a rim about its shaft: root diameter m (z - 2.5), common practice.
constexpr double kRootBelowPitch = 2.5;

void addRackRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  addFootRules(shelf.rack, rules);
  addMeshRule(shelf, rules);
  rules.push_back({{"/hardware/rack/hole_end_mm", "/hardware/rack/piece_mm"},
                   shelf.rack.hole_end_mm,
                   0,
                   (shelf.rack.piece_mm - shelf.rack.standoff_mm) / 2 - kLeft_mm,
                   "a piece of rack " + inMm(shelf.rack.piece_mm) +
                       " long has no two fixings that are " + inMm(shelf.rack.hole_end_mm) +
                       " from its ends"});
  // They are spread evenly: so many that none stands in the next.
  const bool on_feet = shelf.rack.fixing == RackFixing::kFoot;
  const double wide =
      on_feet ? shelf.rack.foot_length_mm + kLeft_mm : shelf.rack.standoff_mm + 2 * kLeft_mm;
  const double span = shelf.rack.piece_mm - 2 * shelf.rack.hole_end_mm;
  rules.push_back(
      {{"/hardware/rack/hole_pitch_mm", "/hardware/rack/piece_mm", "/hardware/rack/hole_end_mm",
        on_feet ? "/hardware/rack/foot_length_mm" : "/hardware/rack/standoff_mm"},
       shelf.rack.hole_pitch_mm,
       span / std::max(1.0, std::floor(span / wide)),
       kNoMost,
       std::string("fixings at most ") + inMm(shelf.rack.hole_pitch_mm) + " apart on a rack of " +
           inMm(shelf.rack.piece_mm) +
           " stand in each other: " + (on_feet ? "feet " : "standoffs ") +
           inMm(on_feet ? shelf.rack.foot_length_mm : shelf.rack.standoff_mm) +
           (on_feet ? " long" : " thick")});
  const double teeth = shelf.motor.pinion_teeth;
  rules.push_back({{"/hardware/motor/pinion_teeth"},
                   teeth,
                   std::ceil(teeth),
                   std::ceil(teeth),
                   "a pinion has whole teeth"});
  const double root = shelf.rack.module_mm * (teeth - kRootBelowPitch);
  rules.push_back({{"/hardware/motor/pinion_shaft_mm", "/hardware/motor/pinion_teeth",
                    "/hardware/rack/module_mm"},
                   shelf.motor.pinion_shaft_mm,
                   0,
                   root - 2 * kLeft_mm,
                   "a shaft of " + inMm(shelf.motor.pinion_shaft_mm) +
                       " leaves no rim under the teeth of a pinion with a root of " + inMm(root)});
}

// Own choice: a motor's packers are off each other.
constexpr double kPackersApart_mm = 2;

/// Before the motor's body, seen across the track: its pinion, and the rack that passes it.
void addMotorFaceRule(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const MotorHardware& motor = shelf.motor;
  const RackHardware& rack = shelf.rack;
  const double pinion = motor.pinion_offset_mm + motor.pinion_width_mm;
  const double behind_rack = rack.offset_mm + rack.thickness_mm;
  const bool is_pinion = pinion >= behind_rack;
  rules.push_back({{"/hardware/motor/offset_mm", "/hardware/motor/pinion_offset_mm",
                    "/hardware/motor/pinion_width_mm", "/hardware/rack/offset_mm",
                    "/hardware/rack/thickness_mm"},
                   motor.offset_mm,
                   std::max(pinion, behind_rack) + kBeside_mm,
                   kNoMost,
                   "a motor whose body begins " + inMm(motor.offset_mm) +
                       " off the rail's face meets " +
                       (is_pinion ? "its pinion, which is " + inMm(motor.pinion_width_mm) +
                                        " wide from " + inMm(motor.pinion_offset_mm) + " on"
                                  : "the rack, which is " + inMm(rack.thickness_mm) +
                                        " thick from " + inMm(rack.offset_mm) + " on")});
}

/// Anchors through its feet, of which the shelf says how they are drilled: beside each other, each
/// row in a packer of its own, and within the body, which is drawn for both.
void addFeetRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const MotorHardware& motor = spec.hardware.motor;
  if (motor.feet_along_mm <= 0 || motor.feet_across_mm <= 0) {
    return;
  }
  const ThreadClass& anchor = threadClass(motor.feet_bolt_mm);
  const double least = std::max(anchor.washer_mm, 2 * leastHoleEdge_mm(anchor.hole_mm)) + kLeft_mm;
  const std::string why = "a motor's anchors M" + formatFigure(motor.feet_bolt_mm) + ", ";
  rules.push_back(
      {{"/hardware/motor/feet_across_mm", "/hardware/motor/depth_mm",
        "/hardware/motor/packer_width_mm", "/hardware/motor/feet_bolt_mm"},
       motor.feet_across_mm,
       std::max(least, motor.packer_width_mm + kPackersApart_mm),
       motor.depth_mm - anchor.washer_mm,
       why + inMm(motor.feet_across_mm) + " apart across the track, are not on a packer of " +
           inMm(motor.packer_width_mm) + " each, in a body " + inMm(motor.depth_mm) + " deep"});
  rules.push_back(
      {{"/hardware/motor/feet_along_mm", "/drive/motor/length_mm", "/hardware/motor/feet_bolt_mm"},
       motor.feet_along_mm,
       least,
       spec.drive.motor.length_mm - anchor.washer_mm,
       why + inMm(motor.feet_along_mm) +
           " apart along the track, do not stand beside each other in a motor " +
           inMm(spec.drive.motor.length_mm) + " long"});
}

/// The angle's legs on their flat, whose edges their keepers pass.
void addFlatRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const TrackHardware& track = shelf.track;
  if (track.kind == TrackKind::kRound) {
    rules.push_back({{"/hardware/track/flat_mm", "/hardware/track/kind"},
                     track.flat_mm,
                     0,
                     0,
                     "a flat of " + inMm(track.flat_mm) + " goes under an angle, not under a bar",
                     "/hardware/track/flat_mm 0"});
  }
  if (!track.hasFlat()) {
    return;
  }
  const double legs = (track.size_mm - track.thickness_mm) * std::numbers::sqrt2;
  constexpr double kOffKeepers_mm = 2;
  const double tips = track.size_mm * std::numbers::sqrt2;
  const double width = trackFlatWidth_mm(track);
  const bool stands = width >= legs + kLeft_mm;
  rules.push_back({{"/hardware/track/flat_width_mm", "/hardware/track/size_mm",
                    "/hardware/track/thickness_mm", "/hardware/keeper/play_mm"},
                   width,
                   std::max(legs + kLeft_mm, tips + 2 * (kOffKeepers_mm - shelf.keeper.play_mm)),
                   kNoMost,
                   stands
                       ? "keepers " + inMm(shelf.keeper.play_mm) + " beside a flat " + inMm(width) +
                             " wide meet its angle, " + inMm(tips) + " over its legs"
                       : "an angle whose legs stand " + inMm(legs) +
                             " apart does not stand on a flat " + inMm(width) + " wide"});
}

/// Up to where a track is upright beside its keepers, over the footing; 0: it leans all the way.
double upright_mm(const TrackHardware& track) {
  constexpr double kLeansBy45 = (1 + std::numbers::sqrt2 / 2) / 2;  // of a bar's height
  return track.kind == TrackKind::kRound ? kLeansBy45 * track.size_mm
         : track.hasFlat()               ? track.flat_mm
                                         : 0;
}

/// A wheel that climbs goes aside until the plates meet the track: in a round groove its lip then
/// is still short of the bar's crown, on an angle's flanks it has risen by as much as it went.
double mostPlay_mm(const HardwareSpec& shelf) {
  const double deep = (shelf.wheel.outside_mm - shelf.wheel.running_mm) / 2;
  if (shelf.track.kind == TrackKind::kAngle) {
    return std::min(deep, shelf.track.flat_mm - keeperLow_mm(shelf.keeper, shelf.track)) -
           kBeside_mm;
  }
  const double radius = shelf.track.size_mm / 2;
  const double over = std::max(0.0, radius - deep);  // bars thinner than a groove are refused
  return std::sqrt(radius * radius - over * over) - kBeside_mm;
}

void addTrackKeeperRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const KeeperHardware& keeper = shelf.keeper;
  const double upright = upright_mm(shelf.track);
  const double low = keeperLow_mm(keeper, shelf.track);
  // Beside an angle alone they are no keepers: the verdict tells.
  const double highest = upright > 0 ? upright - keeper.lift_play_mm : trackHeight_mm(shelf.track);
  if (keeper.low_mm) {
    rules.push_back({{"/hardware/keeper/low_mm", "/hardware/keeper/lift_play_mm",
                      "/hardware/track/size_mm", "/hardware/track/flat_mm"},
                     low,
                     0,
                     highest - kBeside_mm,
                     "track keepers that end " + inMm(low) +
                         " above the footing do not stand beside their track when lift keepers " +
                         inMm(keeper.lift_play_mm) + " above their guide rail stop the panel"});
  } else if (upright > 0) {
    rules.push_back(
        {{"/hardware/keeper/lift_play_mm", "/hardware/track/size_mm", "/hardware/track/flat_mm"},
         keeper.lift_play_mm,
         0,
         highest + keeper.lift_play_mm - low - kBeside_mm,
         "lift keepers " + inMm(keeper.lift_play_mm) +
             " above their guide rail let a panel rise out of track keepers that end " + inMm(low) +
             " above the footing"});
  }
  const bool is_beside = low <= highest - kBeside_mm;
  if (upright > 0 && is_beside && shelf.wheel.outside_mm > shelf.wheel.running_mm) {
    rules.push_back(
        {{"/hardware/keeper/play_mm", "/hardware/keeper/low_mm", "/hardware/track/size_mm",
          "/hardware/track/flat_mm", "/hardware/wheel/outside_mm", "/hardware/wheel/running_mm"},
         keeper.play_mm,
         0,
         mostPlay_mm(shelf),
         "track keepers " + inMm(keeper.play_mm) +
             " off their track let a wheel climb out before they meet it"});
  }
}

}  // namespace

void addDriveRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const MotorHardware& motor = spec.hardware.motor;
  addRackRules(spec.hardware, rules);
  addStandoffRule(spec, rules);
  addMotorFaceRule(spec.hardware, rules);
  rules.push_back({{"/hardware/motor/pinion_up_mm", "/hardware/motor/pinion_shaft_mm"},
                   motor.pinion_up_mm,
                   motor.pinion_shaft_mm / 2 + kLeft_mm,
                   kNoMost,
                   "a shaft of " + inMm(motor.pinion_shaft_mm) + " with its axis " +
                       inMm(motor.pinion_up_mm) + " over the motor's feet goes below them"});
  const ThreadClass& anchor = threadClass(motor.feet_bolt_mm);
  rules.push_back({{"/hardware/motor/packer_width_mm", "/hardware/motor/depth_mm",
                    "/hardware/motor/feet_bolt_mm"},
                   motor.packer_width_mm,
                   2 * leastHoleEdge_mm(anchor.hole_mm),
                   (motor.depth_mm - kPackersApart_mm) / 2,
                   "two packers " + inMm(motor.packer_width_mm) + " wide with holes for M" +
                       formatFigure(motor.feet_bolt_mm) +
                       " do not lie beside each other under a motor " + inMm(motor.depth_mm) +
                       " deep"});
  addFeetRules(spec, rules);
}

void addKeeperRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const HardwareSpec& shelf = spec.hardware;
  rules.push_back({{"/hardware/keeper/play_mm", "/shop/coat_mm"},
                   shelf.keeper.play_mm,
                   2 * spec.shop.coatMm() + kLeftToRun_mm,
                   kNoMost,
                   "coats of " + inMm(spec.shop.coatMm()) + " on track and keepers take the " +
                       inMm(shelf.keeper.play_mm) + " between them"});
  constexpr double kOverBlock_mm = 3;  // channel's top above its block's
  const KeeperHardware& keeper = shelf.keeper;
  addFlatRules(shelf, rules);
  rules.push_back({{"/hardware/keeper/lift_plate_mm", "/hardware/keeper/lift_play_mm",
                    "/hardware/guide/block_roof_mm"},
                   keeper.lift_plate_mm,
                   0,
                   shelf.guide.block_roof_mm + kOverBlock_mm - keeper.lift_play_mm,
                   "a lift keeper of " + inMm(keeper.lift_plate_mm) + ", " +
                       inMm(keeper.lift_play_mm) +
                       " above its guide rail, stands above the channel"});
  addTrackKeeperRules(shelf, rules);
  rules.push_back({{"/hardware/receiver/lead_mm", "/hardware/receiver/reach_mm"},
                   shelf.receiver.lead_mm,
                   0,
                   shelf.receiver.reach_mm - kLeft_mm,
                   "a receiver that opens over " + inMm(shelf.receiver.lead_mm) +
                       " leaves nothing of its reach of " + inMm(shelf.receiver.reach_mm) +
                       " to hold the panel"});
}

}  // namespace leafstack
