// A hardware file as a workshop would write it: every size unlike those of the sets. Invented.
#pragma once

namespace leafstack::gates {

inline constexpr const char* kOwnShelf = R"({
  "leafstack_hardware": 1, "name": "yard", "from": "medium",
  "wheel": {"outside_mm": 88, "running_mm": 78, "width_mm": 23, "axle_mm": 14, "axle_up_mm": 17,
            "axle_head_mm": 24, "axle_projection_mm": 3, "inset_mm": 175},
  "track": {"size_mm": 22},
  "pulley": {"thickness_mm": 13, "flange_mm": 5, "bolt_mm": 10, "cheek_mm": 2.8,
             "pin_screw_mm": 4, "screw_mm": 4.5, "cover_mm": 2, "keeper_gap_mm": 1.2,
             "low_up_mm": 22, "high_up_mm": 61},
  "terminal": {"adjust_mm": 18, "thread_mm": 8, "length_mm": 53, "nut_mm": 7, "nut_across_mm": 14,
               "sleeve_mm": 8, "sleeve_length_mm": 15},
  "bracket": {"length_mm": 34, "height_mm": 38, "foot_mm": 9, "foot_length_mm": 131},
  "guide": {"rail_thickness_mm": 5, "channel_wall_mm": 3, "block_height_mm": 64, "lip_mm": 14},
  "rack": {"height_mm": 27, "thickness_mm": 20, "offset_mm": 23, "piece_mm": 900},
  "motor": {"pinion_up_mm": 61, "pinion_offset_mm": 25.5, "depth_mm": 185, "height_mm": 280, "pinion_teeth": 18},
  "stop": {"buffer_mm": 24, "catch_reach_mm": 41},
  "post": {"plate_mm": 12, "plate_hole_mm": 18, "plate_front_mm": 47, "plate_back_mm": 50}
})";

/// The kinds that our sets do not have.
inline constexpr const char* kOtherKinds = R"({
  "leafstack_hardware": 1, "name": "other kinds", "from": "medium",
  "wheel": {"mount": "plate", "outside_mm": 120, "running_mm": 108, "width_mm": 22, "axle_mm": 16,
            "axle_up_mm": -75, "axle_head_mm": 26, "packing_mm": 3},
  "rack": {"material": "nylon", "fixing": "foot", "offset_mm": 27},
  "motor": {"pinion_offset_mm": 30, "offset_mm": 51, "pinion_up_mm": 95},
  "terminal": {"kind": "eye"}, "guide": {"channel": "folded", "lip_mm": 19, "block_mount": "pivoted"}
})";

}  // namespace leafstack::gates
