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

/// Closed set, in the order of work; panels one after the other. End stops and the catch post stand
/// before any panel comes, or right after the one that cannot come past them. The last ones put
/// nothing in: what is set, tried and measured before the gate is handed over.
enum class InstallStage {
  kConcrete,  ///< poured: nothing comes in along a way
  kTracks,
  kPosts,  ///< guide post, ground bracket, with their anchors
  kStops,  ///< end stops
  kCatch,  ///< catch post with its receivers
  kPanel,
  kPulleys,  ///< only where a panel's rope brackets cannot pass those of the one beside it
  kGuides,   ///< what joins the panels at their tops
  kDrive,
  kRopes,       ///< threaded in by hand, with their terminals
  kHandTravel,  ///< drive released
  kLimits,
  kSafety,    ///< safety devices
  kForces,    ///< held to run, then measured
  kFirstRun,  ///< the first one by its own control
  kHandover,
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
  /// Of kPanel; of stops and a catch post that come after a panel, which; else 0.
  int panel = 0;
  std::vector<InstallGroup> groups;  ///< in their order
  /// Panels that are there stand open, held; else closed.
  bool isPushedOpen() const { return stage == InstallStage::kCatch && panel > 0; }
};

struct Installation {
  std::vector<int> there_before;  ///< fence, obstacles, surroundings
  std::vector<InstallStep> steps;
  int blockedGroups() const;
  /// Whether stops or the catch post come after a panel.
  bool isAnyPutOff() const;
  bool isProved() const { return blockedGroups() == 0; }
};

/// Small parts are proved along their last way only: their own length and this much more; from
/// there a hand or a tool takes them. Own choice.
inline constexpr double kByHandMm = 50;

Installation installationOf(const Model& model);

}  // namespace leafstack
