// The shelf: every bought or standard item that gates are made with, by its sizes. The values
// initialised here are the medium set's; params/table/hardware_rows.cpp says what each one means,
// where it may lie and what the other sets have.
//
// Heights "up" are from the bottom rail's underside; offsets across the track from the face named.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

namespace leafstack {

enum class GrooveKind { kRound, kV };
/// In a pocket of the bottom rail, or in a carrier bolted under it.
enum class WheelMount { kRail, kPlate };
/// A round bar, or an equal angle that stands on its legs' ends, heel up.
enum class TrackKind { kRound, kAngle };
enum class RackMaterial { kSteel, kNylon };
/// Pins welded to the rail, or feet of the rack's own.
enum class RackFixing { kStandoff, kFoot };
enum class ChannelKind { kBought, kFolded };
/// Of one piece with its jaws, or its jaws on a bolt across the track that they turn on.
/// kAuto: of one piece, but on surveyed ground where that would jam in its channel.
enum class BlockMount { kBolted, kPivoted, kAuto };

/// What lists, masses and load checks take from the supplier's sheet; unknown where empty.
struct BoughtItem {
  std::string item;  ///< the user's own reference
  std::string supplier, finish;
  std::optional<double> mass_kg;   ///< of one; else the solid's
  std::optional<double> rating_N;  ///< that one may carry
};

/// A track wheel, its axle through both walls of the bottom rail.
struct WheelHardware {
  BoughtItem bought;
  GrooveKind groove = GrooveKind::kRound;
  std::optional<double> groove_radius_mm;  ///< of a round groove
  double groove_deg = 90;                  ///< of a V groove, between its flanks
  double root_mm = 4;                      ///< width of the relief at its root
  WheelMount mount = WheelMount::kRail;
  double outside_mm = 100;
  double running_mm = 90;  ///< diameter on the track
  double width_mm = 20;
  double axle_mm = 12;
  double axle_up_mm = 15;
  double axle_head_mm = 20;              ///< outside diameter of the rings that hold it
  double axle_ring_mm = 1;               ///< their thickness
  std::optional<double> axle_groove_mm;  ///< diameter in the grooves that they sit in
  double axle_projection_mm = 1.75;      ///< head off the rail's face: passes brackets
  double inset_mm = 160;                 ///< axle from the panel's end, at least
  double sleeve_wall_mm = 2.5;           ///< of the spacers on axles
  // The carrier of a wheel on a plate: plate under the rail, a cheek on either side of the wheel.
  double plate_length_mm = 140, plate_width_mm = 44, plate_mm = 8;
  double cheek_mm = 5;
  double plate_bolt_mm = 10;
  double bolt_pitch_mm = 110, bolt_gauge_mm = 22;  ///< between bolts: along and across the track
  double packing_mm = 0;                           ///< washers between plate and rail
};

struct TrackHardware {
  BoughtItem bought;
  TrackKind kind = TrackKind::kRound;
  double size_mm = 20;      ///< diameter of the bar, or leg of the angle
  double thickness_mm = 4;  ///< of the angle
  double flat_mm = 0;       ///< thickness of the flat that an angle is welded on; 0: none
  std::optional<double> flat_width_mm;

  bool hasFlat() const { return kind == TrackKind::kAngle && flat_mm > 0; }
};

/// From the ends of an angle's legs, which lean by 45 degrees, up to its heel: (leg + thickness) /
/// sqrt 2 from their inner corners.
inline double angleHeight_mm(const TrackHardware& track) {
  return (track.size_mm + track.thickness_mm) / std::numbers::sqrt2;
}
/// Highest line of a track above the footing. An angle stands on the ends of its legs, on its flat.
inline double trackHeight_mm(const TrackHardware& track) {
  return track.kind == TrackKind::kRound
             ? track.size_mm
             : angleHeight_mm(track) + (track.hasFlat() ? track.flat_mm : 0);
}
/// Width of the flat under an angle: where nobody gave one the next that merchants keep, with room
/// for a weld beside either leg.
inline double trackFlatWidth_mm(const TrackHardware& track) {
  constexpr double kWelds_mm = 3;
  constexpr double kWidths_mm[] = {20, 25, 30, 35, 40, 50, 60, 70, 80, 90, 100};
  const double least = track.size_mm * std::numbers::sqrt2 + kWelds_mm;
  for (double width : kWidths_mm) {
    if (width >= least && !track.flat_width_mm) {
      return width;
    }
  }
  return track.flat_width_mm.value_or(least);
}

/// Side of the bottom rail that a pulley comes out of in its cradle, the gate closed and on its
/// track. Free side: leading pulleys to the rear, trailing ones to the front, where no panel
/// stands.
enum class PulleyRemoval { kFreeSide, kFront, kRear };

/// A pulley turns on a pin between two cheeks; this cradle slides into slots of the rail's sides
/// and is held by two screws through its flange.
struct PulleyHardware {
  BoughtItem bought;
  double thickness_mm = 14;
  double flange_mm = 3.5;                  ///< outside radius beyond the pitch radius
  std::optional<double> groove_radius_mm;  ///< that the rope lies in
  double throat_deg = 40;                  ///< between that groove's flanks
  double bolt_mm = 12;                     ///< the pin
  PulleyRemoval removal = PulleyRemoval::kFreeSide;
  double cheek_mm = 3;         ///< thickness of cheeks and flange
  double pin_screw_mm = 5;     ///< countersunk, through each cheek into the pin
  double screw_mm = 5;         ///< countersunk, through the flange into the rail's wall
  double cover_mm = 1.5;       ///< strip round the rim where it stands out of the rail
  double keeper_gap_mm = 1.5;  ///< rim to that strip, which keeps the rope in its groove
  double low_up_mm = 18.5, high_up_mm = 57.5;  ///< lower rope on odd and on even panels
};

/// Screw: hollow, through its bracket, the rope's ferrule behind it; both nuts on the far side.
/// Stud: swaged on the rope before the bracket. Eye: an eye bolt that holds the rope's thimble.
enum class TerminalKind { kScrew, kStud, kEye };

/// What a rope ends in; what is not given follows from the rope (figures/terminal.h).
struct TerminalHardware {
  BoughtItem bought;
  TerminalKind kind = TerminalKind::kScrew;
  double adjust_mm = 20;                        ///< range, along the rope, at each of its ends
  std::optional<double> thread_mm;              ///< nominal diameter
  std::optional<double> length_mm;              ///< of the thread
  std::optional<double> nut_mm, nut_across_mm;  ///< height of one, and across its flats
  std::optional<double> sleeve_mm, sleeve_length_mm;  ///< ferrule or swaged part: diameter, length
  double eye_mm = 20;                                 ///< outside diameter of eye and thimble
  std::optional<double> eye_plate_mm;                 ///< thickness of their rings
  double swivel_deg = 3;  ///< how far a rope's end turns aside from square to its bracket
};

/// The block that holds both ropes' ends, the opening rope's above the other's.
struct BracketHardware {
  BoughtItem bought;
  double length_mm = 32;  ///< along the track
  std::optional<double> height_mm;
  double face_gap_mm = 5;  ///< inner edge off the carrying rail's face
  double foot_mm = 8;      ///< ground bracket's foot plate: thickness, length, holes
  double foot_length_mm = 120;
  double foot_hole_mm = 11;
};

/// An angle on the rear face, a lipped channel in front, a block astride.
struct GuideHardware {
  BoughtItem bought;
  ChannelKind channel = ChannelKind::kBought;
  double rail_thickness_mm = 4;
  double channel_wall_mm = 4;
  double channel_height_mm = 100;
  double lip_mm = 16;         ///< width each side of the slot
  double lip_gap_mm = 9;      ///< channel's lips to the guide rail
  double running_gap_mm = 1;  ///< each side, block in channel and on rail
  double block_height_mm = 60;
  double block_roof_mm = 8;  ///< above the rail
  double block_jaw_mm = 7;   ///< thickness across the track
  BlockMount block_mount = BlockMount::kAuto;
  double pivot_bolt_mm = 8;   ///< thread of the bolt that a pivoted block's jaws turn on
  double pivot_roof_mm = 20;  ///< of those jaws above the rail, the bolt through its middle
  double turn_deg = 10;       ///< that they can turn, either way
};

struct RackHardware {
  BoughtItem bought;
  RackMaterial material = RackMaterial::kSteel;
  RackFixing fixing = RackFixing::kStandoff;
  double module_mm = 4;
  double height_mm = 30;
  double thickness_mm = 12;
  double offset_mm = 20;  ///< near side off panel 1's rear face; standoffs may take it further
  double piece_mm = 1000;
  double standoff_mm = 16;                       ///< diameter
  double hole_end_mm = 50;                       ///< first and last fixing of a piece from its ends
  double hole_pitch_mm = 450;                    ///< between fixings, at most
  double foot_length_mm = 20, foot_up_mm = 14;   ///< of a foot: along the track, above the rack
  double slot_width_mm = 7, slot_height_mm = 8;  ///< in each foot, for its screw
};

/// What a motor takes along the track and gives.
struct MotorSpec {
  std::string name = "standard";  ///< of the shelf's, or "custom" for the gate file's own
  double length_mm = 260;
  double overrun_closed_mm = 60;
  double overrun_open_mm = 60;
  std::optional<double> force_N = 800;  ///< at the pinion; may be unknown for one's own
};

/// The sizes of a motor that the rack and the footing meet.
struct MotorHardware {
  BoughtItem bought;
  double depth_mm = 200, height_mm = 300;  ///< body
  double offset_mm = 44;                   ///< body off panel 1's rear face
  double pinion_up_mm = 37;                ///< axis over the feet
  double pinion_offset_mm = 23;            ///< near side off panel 1's rear face
  double pinion_width_mm = 12;
  double pinion_shaft_mm = 24;
  double pinion_teeth = 16;
  double packer_width_mm = 40;                   ///< of the packers under its feet
  double feet_along_mm = 0, feet_across_mm = 0;  ///< between its anchor holes; 0: not known
  double feet_bolt_mm = 10;
  double adjust_mm = 0;  ///< that its base can set the pinion higher or lower than pinion_up_mm
  bool self_locking = false;
  std::string release, cable;  ///< side of the release, place of the cable's entry
};

/// A motor of the shelf.
struct NamedMotor {
  MotorSpec drive;
  MotorHardware body;
};

struct StopHardware {
  BoughtItem bought;
  double gap_mm = 5;  ///< off the panel at the end of the travel
  double thickness_mm = 12;
  double foot_mm = 60;  ///< under the panel's end, along the track
  double foot_hole_mm = 14;
  double height_up_mm = 90;  ///< end stop's top above the rail's underside, at most
  double buffer_mm = 20;
  double buffer_up_mm = 10, buffer_height_mm = 80;  ///< its lower end above the rail's underside
  double catch_gap_mm = 5;                          ///< catch plates off the front panel's faces
  double catch_reach_mm = 30;                       ///< past the closed leading end
  double catch_plate_mm = 6;
  double catch_post_mm = 60;
  double catch_wall_mm = 4;
  double catch_on_post_mm = 40;                       ///< catch plates welded along their post
  double catch_low_up_mm = 5, catch_high_up_mm = 40;  ///< their edges above the rail's underside
  double catch_foot_mm = 40;                          ///< base plate beyond the catch post
  double catch_hole_mm = 14;
  double catch_across_mm = 20;  ///< base plate beyond the catch post, across the track, each side
};

/// What keeps a panel on its track: plates beside the track inboard of each wheel, and a lug on
/// each guide channel over the guide rail.
struct KeeperHardware {
  double play_mm = 2;            ///< off the track, each side
  std::optional<double> low_mm;  ///< lower edge above the footing
  double plate_mm = 5;
  double length_mm = 120;    ///< along the track
  double lift_play_mm = 2;   ///< lug above its guide rail where that is highest
  double lift_plate_mm = 8;  ///< height of a lug
};

/// What track keepers' lower edges keep off even footing, where nobody gave it: beside a bar a
/// quarter of its height; beside a flat as little as grit and a joint's step allow (common
/// practice, no source).
inline double keeperLow_mm(const KeeperHardware& keeper, const TrackHardware& track) {
  constexpr double kLeast_mm = 4, kOfHeight = 0.25;
  return keeper.low_mm.value_or(
      track.hasFlat() ? kLeast_mm
                      : std::ceil(std::max(kLeast_mm, kOfHeight * trackHeight_mm(track))));
}

/// The top receiver: a bent plate on the catch post, open towards the front panel's leading end.
struct ReceiverHardware {
  double gap_mm = 3;     ///< off the panel's faces
  double reach_mm = 30;  ///< past the closed leading end
  double plate_mm = 6;
  double height_mm = 80;
  double down_mm = 60;  ///< upper edge below the panel's top, at least
  double lead_mm = 15;  ///< end of either leg that is bent open, along the track
};

struct PostHardware {
  BoughtItem bought;
  double wall_mm = 4;
  double arm_wall_mm = 3;
  double plate_mm = 12;                            ///< base plates' thickness
  double plate_front_mm = 38, plate_back_mm = 38;  ///< beyond the guide post, across the track
  double plate_side_mm = 8;                        ///< beyond it along the track, each side
  double plate_hole_mm = 14;
  double overhead_mm = 60;  ///< side of the overhead bracket's square tube
  double overhead_ear_mm = 22;
  double overhead_hole_mm = 9;
  double footing_depth_mm = 200;
};

struct HardwareSpec {
  std::string set = "medium";  ///< name of a set of this program, or the file it came from
  /// Of all sizes, and of those that a set of this program gives: nobody's real hardware.
  int sizes = 0, generic_sizes = 0;
  bool is_users = false;  ///< `set` is none of this program's
  WheelHardware wheel;
  TrackHardware track;
  PulleyHardware pulley;
  TerminalHardware terminal;
  BracketHardware bracket;
  GuideHardware guide;
  RackHardware rack;
  MotorHardware motor;
  StopHardware stop;
  PostHardware post;
  KeeperHardware keeper;
  ReceiverHardware receiver;
};

}  // namespace leafstack
