// The gate's solids as views need them, read once for all sheets; and the views' directions.
//
// Frame: the model's. Layout X is turned into model X here and nowhere else in the drawings.
#pragma once

#include <functional>
#include <memory>
#include <vector>

#include "exporters/paper/blocks/view_block.h"
#include "generator/model/model.h"

namespace leafstack {

// Of the gate, and of parts in their own frame.
PictureView fromRoad();  ///< looking from the road: +X to the right
PictureView fromProperty();
PictureView fromAbove();  ///< the road at the foot
PictureView fromBelow();
/// Looking in the opening direction, from the latch side.
PictureView alongOpening(double opening_sign);
/// From above, square to something that rises by `grade` in model X.
PictureView fromAboveTilted(double grade);
/// Along the track, square to the same.
PictureView alongOpeningTilted(double opening_sign, double grade);

class GateViews {
 public:
  /// Reads every solid, on all cores; afterwards several sheets may be made at once.
  explicit GateViews(const Model& model);

  const Model& model() const { return model_; }
  const Layout& layout() const { return model_.layout; }
  const Part& partOf(const Instance& instance) const { return model_.parts[instance.part]; }

  /// A point of the layout's frame in the model's.
  Vec3 at(double layout_x, double y, double z) const {
    return {model_.opening_sign * layout_x, y, z};
  }
  double groundZ(double layout_x, double y) const {
    return model_.layout.ground.heightMm(layout_x, y);
  }

  std::shared_ptr<const ViewSolid> solidOf(int part) const { return solids_.at(part); }
  PlacedViewSolid placed(int instance, double drive_mm) const;
  /// Bounds at a position of the drive; those of a turned body are a little wide.
  Bounds boundsAt(int instance, double drive_mm) const;

 private:
  const Model& model_;
  std::vector<std::shared_ptr<const ViewSolid>> solids_;  ///< by part
};

/// Some instances of the gate at one position, and which they are.
struct Scene {
  std::vector<PlacedViewSolid> solids;
  std::vector<int> instances;
};
Scene sceneOf(const GateViews& views, double drive_mm,
              const std::function<bool(const Instance&)>& is_in);

}  // namespace leafstack
