// What is put together before it goes to its place, and the parts of each: all that is on no sheet
// of its own kind.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "exporters/paper/blocks/gate_views.h"

namespace leafstack {

/// The frame that places are told in. Of a panel: along its bottom rail from the leading end of the
/// underside, square to it, and across from its front face. Of others: along the track in the
/// opening direction, plumb, and across from the road's side, from the lowest corner of its
/// base plate, or of all that belongs to it.
struct AssemblyFrame {
  Vec3 origin{};
  Vec3 along{}, across{}, up{};  ///< unit vectors

  /// Along, across, up.
  Vec3 of(const Vec3& point) const;
  Vec3 at(const Vec3& local) const;
};

struct Assembly {
  std::string name;   ///< of its sheet: "attachments-panel-2"
  std::string title;  ///< "Attachments of panel 2"
  int panel = 0;      ///< 0 = does not move
  std::vector<int> instances;
  std::vector<int> context;  ///< what they are fixed to, of other sheets
  AssemblyFrame frame;
  /// Of a raked panel: from its top rail's lower leading corner, along that rail. What sits higher
  /// than `top_above_mm` in `frame` is told in it, for no tape reaches it from the bottom rail.
  std::optional<AssemblyFrame> top;
  double top_above_mm = 0;
  std::string datum;  ///< mark of the base plate whose corner the frame begins at; "" for none
};

/// Whether a kind is told by its middle, as what is turned and what is drilled for is.
bool isTurned(PartKind kind);

/// What stands plumb though its own frame is its foot's, which may lean.
bool standsPlumb(PartKind kind);

/// Tracks and what holds them in the slab.
bool isOfATrack(PartKind kind);

/// Where a loose packer goes, as words after its name; "" for anything else.
const char* looseWords(PartKind kind);

/// In the order of their sheets. Every instance is in one, and in one only, but members of frames
/// and ropes, which have sheets of their own, and footings and posts of the fence, which are set
/// out.
std::vector<Assembly> assembliesOf(const Model& model);

/// An instance, closed, in a frame: its low and high corner, and its own corner nearest to the
/// frame's origin, which is the low one where it does not lean.
struct FrameBounds {
  Vec3 low{}, high{}, corner{};
};
FrameBounds boundsIn(const AssemblyFrame& frame, const Model& model, int instance);

}  // namespace leafstack
