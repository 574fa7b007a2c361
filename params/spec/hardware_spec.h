// The shelf: every bought or standard item that gates are made with, by its sizes. The values
// initialised here are the medium set's; params/table/hardware_rows.cpp says what each one means,
// where it may lie and what the other sets have.
//
// Heights "up" are from the bottom rail's underside; offsets across the track from the face named.
#pragma once

#include <optional>
#include <string>

namespace leafstack {

/// A track wheel, its axle through both walls of the bottom rail.
struct WheelHardware {
  double outside_mm = 100;
  double running_mm = 90;  ///< diameter on the track
  double width_mm = 20;
  double axle_mm = 12;
  double axle_up_mm = 15;
  double axle_head_mm = 20;          ///< diameter
  double axle_projection_mm = 1.75;  ///< head off the rail's face: passes brackets
  double inset_mm = 160;             ///< axle from the panel's end, at least
};

struct TrackHardware {
  double size_mm = 20;  ///< diameter of the bar
};

struct PulleyHardware {
  double thickness_mm = 14;
  double flange_mm = 3.5;  ///< outside radius beyond the pitch radius
  double bolt_mm = 12;
  double bolt_head_mm = 8;  ///< height, below the rail
  double bolt_across_mm = 19;
  double nut_plate_mm = 8;                 ///< under the rail's upper wall: holds the bolt's thread
  double low_up_mm = 27, high_up_mm = 63;  ///< middle of both ropes on odd and on even panels
};

/// Screw: hollow, through its bracket, the rope's ferrule behind it; both nuts on the far side.
/// Stud: swaged on the rope before the bracket. Eye: an eye bolt that holds the rope's thimble.
enum class TerminalKind { kScrew, kStud, kEye };

/// What a rope ends in; what is not given follows from the rope (figures/terminal.h).
struct TerminalHardware {
  TerminalKind kind = TerminalKind::kScrew;
  double adjust_mm = 20;                        ///< range, along the rope, at each of its ends
  std::optional<double> thread_mm;              ///< nominal diameter
  std::optional<double> length_mm;              ///< of the thread
  std::optional<double> nut_mm, nut_across_mm;  ///< height of one, and across its flats
  std::optional<double> sleeve_mm, sleeve_length_mm;  ///< ferrule or swaged part: diameter, length
  double eye_mm = 20;                                 ///< outside diameter of eye and thimble
};

/// The block that holds both ropes' ends, the opening rope's above the other's.
struct BracketHardware {
  double length_mm = 32;  ///< along the track
  std::optional<double> height_mm;
  double face_gap_mm = 5;  ///< inner edge off the carrying rail's face
  double foot_mm = 8;      ///< ground bracket's foot plate: thickness, length, holes
  double foot_length_mm = 120;
  double foot_hole_mm = 11;
};

/// An angle on the rear face, a lipped channel in front, a block astride.
struct GuideHardware {
  double rail_thickness_mm = 4;
  double channel_wall_mm = 4;
  double channel_height_mm = 100;
  double lip_mm = 16;         ///< width each side of the slot
  double lip_gap_mm = 9;      ///< channel's lips to the guide rail
  double running_gap_mm = 1;  ///< each side, block in channel and on rail
  double block_height_mm = 60;
  double block_roof_mm = 8;  ///< above the rail
  double block_jaw_mm = 7;   ///< thickness across the track
};

struct RackHardware {
  double module_mm = 4;
  double height_mm = 30;
  double thickness_mm = 12;
  double offset_mm = 20;  ///< near side off panel 1's rear face
  double piece_mm = 1000;
  double standoff_mm = 16;  ///< diameter
};

/// What all motors of a set share; lengths, overruns and forces are of /drive/motor.
struct MotorHardware {
  double depth_mm = 200, height_mm = 300;  ///< body
  double offset_mm = 44;                   ///< body off panel 1's rear face
  double pinion_up_mm = 37;                ///< axis over the feet
  double pinion_offset_mm = 23;            ///< near side off panel 1's rear face
  double pinion_width_mm = 12;
  double pinion_shaft_mm = 24;
  double pinion_teeth = 16;
};

struct StopHardware {
  double gap_mm = 5;  ///< off the panel at the end of the travel
  double thickness_mm = 12;
  double foot_mm = 60;  ///< under the panel's end, along the track
  double foot_hole_mm = 14;
  double buffer_mm = 20;
  double catch_gap_mm = 5;     ///< catch plates off the front panel's faces
  double catch_reach_mm = 30;  ///< past the closed leading end
  double catch_plate_mm = 6;
  double catch_post_mm = 60;
  double catch_wall_mm = 3;
};

struct PostHardware {
  double wall_mm = 4;
  double arm_wall_mm = 3;
  double plate_mm = 10;                            ///< base plates' thickness
  double plate_front_mm = 30, plate_back_mm = 50;  ///< beyond the guide post, across the track
  double plate_hole_mm = 14;
  double overhead_mm = 60;  ///< side of the overhead bracket's square tube
  double overhead_ear_mm = 20;
  double overhead_hole_mm = 11;
  double footing_depth_mm = 200;
};

struct HardwareSpec {
  std::string set = "medium";  ///< name of a set of this program, or the file it came from
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
};

}  // namespace leafstack
