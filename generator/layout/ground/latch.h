// Where the closed gate is held at the latch: catch post, receivers at the bottom and at the top.
// X, Y and Z are the layout's; everything here is fixed to the ground.
#pragma once

#include <optional>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

/// Two faces across the track between which the front panel's leading end stands when closed.
struct ReceiverPlace {
  double from_x_mm = 0, to_x_mm = 0;     ///< to_x_mm: how far it reaches past the leading end
  double low_z_mm = 0, high_z_mm = 0;    ///< of its plates
  double front_y_mm = 0, rear_y_mm = 0;  ///< faces towards the panel
  bool has_front = true;                 ///< false: no room before the panel; the fence post is it
  double play_mm = 0;                    ///< panel, its cladding included, off either face
};

struct LatchLayout {
  double face_x_mm = 0;  ///< catch post's face towards the panel
  double post_x_mm = 0;  ///< its other face
  double post_front_y_mm = 0, post_rear_y_mm = 0, post_top_z_mm = 0;
  double plate_front_y_mm = 0, plate_rear_y_mm = 0;  ///< of its base plate
  double plate_from_x_mm = 0, plate_to_x_mm = 0;     ///< the same, on level ground
  ReceiverPlace bottom;
  /// Below the guide rail and above the bottom rail; none where there is no room between the two.
  std::optional<ReceiverPlace> top;
  bool top_opens_in_front = true;  ///< its front leg's end is bent open: the fence post lets it
};

/// Needs tops and guides.
LatchLayout latchOf(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
