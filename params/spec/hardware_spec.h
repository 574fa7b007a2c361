// The shelf: every bought or standard item that gates are made with, by its sizes. The values
// initialised here are the medium set's; params/table/hardware_rows.cpp says what each one means,
// where it may lie and what the other sets have.
//
// Heights "up" are from the bottom rail's underside; offsets across the track from the face named.
#pragma once

#include <optional>
#include <string>

namespace leafstack {

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
  double outside_mm = 100;
  double running_mm = 90;  ///< diameter on the track
  double width_mm = 20;
  double axle_mm = 12;
  double axle_up_mm = 15;
  double axle_head_mm = 20;         ///< diameter
  double axle_projection_mm = 2.5;  ///< head off the rail's face: passes brackets
  double inset_mm = 160;            ///< axle from the panel's end, at least
};

struct TrackHardware {
  BoughtItem bought;
  double size_mm = 20;  ///< diameter of the bar
};

struct PulleyHardware {
  BoughtItem bought;
  double thickness_mm = 14;
  double flange_mm = 4;  ///< outside radius beyond the pitch radius
  double bolt_mm = 12;
  double bolt_head_mm = 8;  ///< height, below the rail
  double bolt_across_mm = 19;
  double low_up_mm = 36, high_up_mm = 66;  ///< rope height on odd and on even panels
};

/// What a rope ends in.
struct TerminalHardware {
  BoughtItem bought;
  double over_rope_mm = 3;   ///< diameter beyond the rope's
  double projection_mm = 4;  ///< beyond the bracket's side
};

/// The block that holds both ropes' ends.
struct BracketHardware {
  BoughtItem bought;
  double length_mm = 32;  ///< along the track
  double height_mm = 16;
  double face_gap_mm = 5;  ///< inner edge off the carrying rail's face
  double foot_mm = 8;      ///< ground bracket's foot plate: thickness, length, holes
  double foot_length_mm = 120;
  double foot_hole_mm = 11;
};

/// An angle on the rear face, a lipped channel in front, a block astride.
struct GuideHardware {
  BoughtItem bought;
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
  BoughtItem bought;
  double module_mm = 4;
  double height_mm = 30;
  double thickness_mm = 12;
  double offset_mm = 20;  ///< near side off panel 1's rear face
  double piece_mm = 1000;
  double standoff_mm = 16;  ///< diameter
};

/// What all motors of a set share; lengths, overruns and forces are of /drive/motor.
struct MotorHardware {
  BoughtItem bought;
  double depth_mm = 200, height_mm = 300;  ///< body
  double offset_mm = 44;                   ///< body off panel 1's rear face
  double pinion_up_mm = 37;                ///< axis over the feet
  double pinion_offset_mm = 23;            ///< near side off panel 1's rear face
  double pinion_width_mm = 12;
  double pinion_shaft_mm = 24;
  double pinion_teeth = 16;
};

struct StopHardware {
  BoughtItem bought;
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
  BoughtItem bought;
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
};

}  // namespace leafstack
