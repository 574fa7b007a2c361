// Some parts of a gate in colour and what stands about them in grey: small pictures for lists of
// issues and steps of work. Without perspective; a finding's as its viewpoint shows it.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

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

/// How an instance is shown.
enum class PictureRole { kAround, kFirst, kSecond };
struct PicturedInstance {
  int instance = 0;
  PictureRole role{};
};

struct PicturePixels {
  int across = 800, high = 600;
};

/// May be asked by several threads at once. `model` must outlive it.
class PartPictures {
 public:
  explicit PartPictures(const Model& model) : model_(model) {}

  /// PNG of both parts where the drive is at their worst, a ring about the place, ropes left out
  /// that it is not about. Throws ExportError where it cannot be made, as does the next.
  std::string pngOf(const Finding& finding, const PictureCamera& camera);
  /// PNG of these and nothing else; ropes as they are at closed.
  std::string pngOf(const std::vector<PicturedInstance>& shown, double drive_mm,
                    const PictureCamera& camera, const PicturePixels& pixels);

 private:
  std::string drawn(const std::vector<PicturedInstance>& shown, double drive_mm,
                    const PictureCamera& camera, const PicturePixels& pixels, bool has_ring);
  std::shared_ptr<const FlatPieces> piecesOf(int part);

  const Model& model_;
  std::mutex mutex_;
  std::map<int, std::shared_ptr<const FlatPieces>> known_;
};

}  // namespace leafstack
