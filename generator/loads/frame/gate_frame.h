// The whole gate as a frame of members in space, at one position of the drive.
//
// Frame: the layout's (layout.h), for either hand; wind from the road pushes along +Y. Panels stand
// in line with their tubes' axes: rails, stiles, uprights, pickets and slats are members, joined
// rigidly where their axes would meet; a sheet, boards and all that is bought are loads and masses.
// A panel stands on its wheels: each holds the point of its running line across and up, both ways,
// and nothing turns there. Along the track ropes and rack hold it. Its guide block joins it, across
// the track alone, to the panel behind or to the guide post, without its running gap. Posts and
// arms are held fast at their feet or at the fence post.
#pragma once

#include <string>
#include <vector>

#include "generator/loads/frame/space_frame.h"
#include "generator/model/model.h"

namespace leafstack::frame {

/// Height of the track's running line below a panel, closed.
double trackZ(const HardwareSpec& shelf, const PanelLayout& panel, double x_mm);

struct WheelPlace {
  int panel = 1;
  bool leading = true;
  int node = 0;  ///< at the running line, held across and up
};

/// The link that stands for a panel's guide block.
struct BlockPlace {
  int panel = 1;  ///< that carries the rail
  int link = 0;   ///< a member, from the channel's side to the rail's
};

/// Holds the closed front panel across, both ways, once it has moved `play_mm`.
struct HoldingPlace {
  std::string name;
  int panel_node = 0, post_node = 0;
  double play_mm = 0;
};

/// Where a post or an overhead bracket is fixed.
struct FootPlace {
  int instance = 0;  ///< into Model::instances
  int node = 0;
  int member = 0;  ///< that starts there
};

struct GateFrame {
  Frame frame;
  std::vector<int> instances;  ///< by member, into Model::instances; -1 for what only joins
  std::vector<WheelPlace> wheels;
  std::vector<BlockPlace> blocks;
  std::vector<HoldingPlace> receivers;  ///< of the closed gate
  std::vector<FootPlace> feet;
  /// Nodes of each panel's tubes; panel 1 first.
  std::vector<std::vector<int>> panel_nodes;
  /// Members of each panel's bottom and top rail, from its leading end; panel 1 first.
  std::vector<std::vector<int>> bottom_rails, top_rails;
};

/// Throws std::domain_error where the parts make no frame.
GateFrame gateFrame(const Model& model, double drive_mm);

}  // namespace leafstack::frame
