// What of a gate is put up as one, and what kinds of parts mean on site.
#pragma once

#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// Ropes and their ends: threaded in by hand.
bool isFlexible(PartKind kind);
/// Stands there before anything is put up.
bool isThereBefore(PartKind kind);
/// The pulley with its cradle, which slides into the rail, and the screws that hold that.
bool isOfPulley(PartKind kind);
/// Screws, washers and nuts; anchors are none of them.
bool isFixing(PartKind kind);

/// Every instance of a model in one group, but for what is there before: a panel with all that
/// comes on it, what the shop welds together, an arm with the channel screwed to it, each pulley
/// with its cradle; all else goes in alone.
class PutUpGroups {
 public:
  /// `pulleys_later`: they do not come on their panels.
  PutUpGroups(const Model& model, bool pulleys_later);

  const std::vector<std::vector<int>>& groups() const { return groups_; }
  const std::vector<int>& thereBefore() const { return there_before_; }
  /// All that is on a panel but its guide blocks, which are put on where panels stand side by side.
  bool comesWithPanel(int instance) const;

 private:
  PartKind kindOf(int instance) const { return model_.parts[model_.instances[instance].part].kind; }
  void findBlocks();
  void joinArms(std::vector<std::vector<int>>& welded) const;
  std::vector<std::vector<int>> cradles() const;

  const Model& model_;
  const bool pulleys_later_;
  std::vector<bool> is_of_block_;  ///< by instance: guide blocks, and what holds nothing but them
  std::vector<std::vector<int>> groups_;
  std::vector<int> there_before_;
};

}  // namespace leafstack
