// A finding as its viewpoint shows it: a small picture for lists of issues, both parts in colour
// and what stands about them in grey. Without perspective, at the scale that the camera has at the
// place.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "exporters/paper/pictures/painted.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"

namespace leafstack {

/// How a camera stands: `target_mm` is in the middle, `half_height_mm` of what is there is seen
/// above it.
struct PictureCamera {
  Vec3 target_mm{}, direction{}, up{};  ///< gate's frame; unit, square to each other
  double half_height_mm = 0;
};

/// May be asked by several threads at once. `model` must outlive it.
class FindingPictures {
 public:
  explicit FindingPictures(const Model& model) : model_(model) {}

  /// PNG, kPixelsAcross wide. Throws ExportError where it cannot be made.
  std::string pngOf(const Finding& finding, const PictureCamera& camera);

  static constexpr int kPixelsAcross = 800, kPixelsHigh = 600;

 private:
  std::shared_ptr<const FlatPieces> piecesOf(int part);

  const Model& model_;
  std::mutex mutex_;
  std::map<int, std::shared_ptr<const FlatPieces>> known_;
};

}  // namespace leafstack
