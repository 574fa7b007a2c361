// How a gate is put up: what goes in after what, from which side, every part once.
//
// Stages follow the work on site; within one, what goes in after what is found by taking the
// finished stage apart again, each thing along a straight way that is proved to be free
// (way_in.h): the reverse of that is the order.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "generator/installing/way_in.h"

namespace leafstack {

/// Closed set, in the order of work; the panels one after the other, back to front.
enum class InstallStage {
  kConcrete,  ///< poured: nothing comes in along a way
  kPosts,     ///< guide post, ground bracket, with their anchors
  kTracks,
  kPanel,
  kPulleys,  ///< only where a panel's rope brackets cannot pass those of the one behind
  kGuides,   ///< what joins the panels at their tops
  kStops,    ///< end stops
  kCatch,    ///< catch post with its receivers, the panels pushed open
  kDrive,
  kRopes,  ///< threaded in by hand, with their terminals
};

/// What goes in as one.
struct InstallGroup {
  std::vector<int> instances;  ///< indices into Model::instances
  std::optional<WayIn> way;    ///< proved to be free; none of what is poured, threaded or blocked
  std::optional<WaysIn::Meeting> blocked;  ///< where no way was found: what is in the first one's
  double mass_kg = 0;
};

struct InstallStep {
  InstallStage stage{};
  int panel = 0;                     ///< of kPanel
  std::vector<InstallGroup> groups;  ///< in their order
};

struct Installation {
  std::vector<int> there_before;  ///< fence, obstacles, surroundings
  std::vector<InstallStep> steps;
  int blockedGroups() const;
  bool isProved() const { return blockedGroups() == 0; }
};

/// Small parts are proved along their last way only: their own length and this much more; from
/// there a hand or a tool takes them. Own choice.
inline constexpr double kByHandMm = 50;

Installation installationOf(const Model& model);

}  // namespace leafstack
