// What fits what on a shelf: rules between sizes of hardware, each of which is fine alone.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "params/spec/gate_spec.h"

namespace leafstack {

/// Of a play that coats take from. Own choice.
inline constexpr double kLeftToRun_mm = 0.1;

/// One rule as it stands in one gate. Where `least` and `most` leave a figure of the first pointer
/// out, the shelf cannot be built.
struct ShelfRule {
  std::vector<std::string_view> pointers;  ///< all it depends on; the first is the figure judged
  double figure = 0;
  double least = 0, most = 0;
  std::string why;  ///< "a wheel of 100 mm has no groove to run on": said where it is broken
  std::string would_do = {};  ///< said in place of the bound that is broken, where no figure is
};

/// Every rule, broken or not.
///  H1  the wheel stands over its track by no more than the track bar, or than an angle's legs, and
///      has a groove of the track's kind.
///  H1a the axle is in the rail, or the wheel turns clear under its carrier's plate, which has
///  edges
///      beside its bolts.
///  H2  the wheel leaves a rim on both sides of that groove.
///  H3  the axle goes through the wheel and stays inside its running diameter; its heads hold it.
///  H4  the pinion has whole teeth, and its shaft goes into it.
///  H5  the pulley's pin has a wall round its screws, and all screws of its cradle have
///      their heads sunk.
///  H4a half of the pinion's width, or of the rack's, is on the other.
///  H5b a pulley's groove holds its rope and has rims beside it.
///  H5a the cover keeps the rope in the groove.
///  H6  lips leave a slot for the block's neck, and are wider than their channel's wall.
///  H6a folded, they are no shorter than a press folds.
///  H7  plates are wider than their holes by an edge on both sides.
///  H8  the bracket stays whole above and below its bore.
///  H9  hollow posts are hollow.
///  H6b a pivoted block's jaws and neck have room for its bolt, and its back for the nut.
///  H10 a rack's feet have slots higher than wide, with edges about them, and stand on their rack.
///  H11 base plates of posts stand out by weld and 3 mm, and their anchors by a socket beside it.
///  H12 lift keepers end below their channel's top; track keepers stand beside the track.
///  H12a track keepers meet their track before a wheel that climbs is out of its groove, and lift
///      keepers stop a panel before it is out of its track keepers.
///  H12b an angle stands on its flat with both legs, and keepers beside the flat pass them.
///  H14a standoffs of a rack are above the pinion's tips, or behind its near side.
///  H13 a receiver that opens keeps something of its reach.
///  H14 a motor's body stands clear of its pinion and of the rack; its shaft is over its feet; its
///      packers lie beside each other under it, and its anchors in it.
///  H16 what the finish takes of the running gap, and
///  H16b of track keepers' play, leaves some.
///  H17 sunk screws bear in holes drilled larger by the finish.
///  H15 a guide block is lower than its channel, and its front jaw goes in behind the rail's leg.
std::vector<ShelfRule> shelfRules(const GateSpec& spec);

/// H4, H10 and H14: rack, pinion and motor.
void addDriveRules(const GateSpec& spec, std::vector<ShelfRule>& rules);
/// H12, H13 and H16b: what keeps a gate on its tracks and at the latch.
void addKeeperRules(const GateSpec& spec, std::vector<ShelfRule>& rules);

}  // namespace leafstack
