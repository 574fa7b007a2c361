// The views that a gate is set out by: all of the site, its places at 1:10, and larger where points
// stand close together.
#pragma once

#include <string>
#include <vector>

#include "exporters/paper/blocks/gate_views.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// A stretch of the track that is drawn by itself.
struct SetOutPlace {
  std::vector<int> rows;  ///< of the set-out list, from 0
  double from_mm = 0, to_mm = 0;
  char letter = 'A';
};

/// The block under a post: corners as seen from above, in the set-out's figures.
struct BlockBox {
  double from_x_mm = 0, to_x_mm = 0, from_y_mm = 0, to_y_mm = 0, depth_mm = 0;
  int strip = 0;  ///< of the footing that it is cast with
};

class SetOutViews {
 public:
  SetOutViews(const GateViews& views, const Schedules& schedules);

  /// Where the site, the slab, its blocks and the tracks are told, along the track.
  const std::vector<SetOutPlace>& places() const { return places_; }
  /// Points that stand close together. Every row of the list is in one of these or in a place.
  const std::vector<SetOutPlace>& clusters() const { return clusters_; }

  /// All of it: where posts, slab and tracks are along it, and where the places are.
  ViewBlock plan() const;
  /// The slab's fall, with levels to the millimetre, and how deep it and the blocks go.
  ViewBlock side() const;
  /// A place with its blocks, and with frames around the clusters in it.
  ViewBlock placeView(const SetOutPlace& place) const { return detail(place, true); }
  ViewBlock clusterView(const SetOutPlace& cluster) const { return detail(cluster, false); }

 private:
  ViewBlock detail(const SetOutPlace& place, bool has_blocks) const;
  void findPlaces();
  void findClusters();
  void addBlocks(ViewBlock& plan, const PaperBox* window) const;
  void addPocket(ViewBlock& plan) const;
  std::vector<BlockBox> blocksWithin(const SetOutPlace& place) const;
  PaperBox windowOf(const SetOutPlace& place, bool has_blocks) const;
  Vec3 pointOf(int row) const;
  void addFrame(ViewBlock& block, const SetOutPlace& place, bool has_blocks,
                LabelRequest& labels) const;
  void addNumbers(const std::vector<int>& rows, LabelRequest& labels) const;
  RunningRequest rowOf(const std::vector<int>& rows, int axis,
                       const std::vector<BlockBox>& blocks) const;

  const GateViews& views_;
  const Schedules& schedules_;
  std::vector<BlockBox> blocks_;
  std::vector<SetOutPlace> places_, clusters_;
  std::vector<ViewCurve> curves_;  ///< from above
  std::vector<LineRole> roles_;
};

}  // namespace leafstack
