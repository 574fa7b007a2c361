// The gate's picture with marks at places of the gate.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack {

/// GatePictures::svgAt(0), and where on it a point of the gate lies.
struct ClosedPicture {
  const std::string& svg;
  std::array<double, 3> scale{};  ///< PictureDrawing::scale: units per mm, left, top
};

struct PictureMark {
  std::string text;  ///< "7", "A"
  Vec3 at_mm{};      ///< model's frame
  bool is_square = false;
};

/// The picture with a disc or a square at each place, one beside the other where they would lie on
/// one another.
std::string markedPicture(const ClosedPicture& picture, double opening_sign,
                          const std::vector<PictureMark>& marks);

/// A mark at a place of a picture, in its pixels from the upper left.
struct SpotLabel {
  std::string text;
  double x = 0, y = 0;
};
/// SVG to lie over a picture of that size: each text beside its place with a line to it. What has
/// no room beside the others is left out.
std::string spotLabels(int across, int high, const std::vector<SpotLabel>& labels);

}  // namespace leafstack
