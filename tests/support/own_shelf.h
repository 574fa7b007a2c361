// A hardware file as a workshop would write it: every size unlike those of the sets. Invented.
#pragma once

namespace leafstack::gates {

inline constexpr const char* kOwnShelf = R"({
  "leafstack_hardware": 1, "name": "yard", "from": "medium",
  "wheel": {"outside_mm": 88, "running_mm": 78, "width_mm": 23, "axle_mm": 14, "axle_up_mm": 17,
            "axle_head_mm": 24, "axle_projection_mm": 3, "inset_mm": 175},
  "track": {"size_mm": 22},
  "pulley": {"thickness_mm": 13, "flange_mm": 5, "bolt_mm": 10, "bolt_head_mm": 7,
             "bolt_across_mm": 16, "low_up_mm": 38, "high_up_mm": 69},
  "bracket": {"length_mm": 34, "height_mm": 18, "foot_mm": 9, "foot_length_mm": 131},
  "guide": {"rail_thickness_mm": 5, "channel_wall_mm": 3, "block_height_mm": 64, "lip_mm": 14},
  "rack": {"height_mm": 27, "thickness_mm": 20, "offset_mm": 23, "piece_mm": 900},
  "motor": {"pinion_up_mm": 61, "depth_mm": 185, "height_mm": 280, "pinion_teeth": 18},
  "stop": {"buffer_mm": 24, "catch_reach_mm": 41},
  "post": {"plate_mm": 12, "plate_hole_mm": 18}
})";

}  // namespace leafstack::gates
