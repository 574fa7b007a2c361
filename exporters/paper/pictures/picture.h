// The gate as one would see it from the road: filled faces and lines, at any position of the drive.
//
// Properties (tested, tests/paper/picture_test.cpp): I1 the same model and travel give the same
// bytes; I2 a left-hand gate's picture is the mirror image of the right-hand one's, lettering
// apart; I3 only what is seen is drawn: no face or line lies behind another part; I4 all positions
// of one gate share scale and frame, so that their pictures can be laid over each other.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "exporters/paper/pictures/picture_lines.h"
#include "generator/model/model.h"

namespace leafstack {

using Rgb8 = std::array<std::uint8_t, 3>;

/// Everything seen of one panel in one colour.
struct PictureFill {
  int panel = 0;  ///< 0 = does not move
  Rgb8 colour{};
  std::vector<SheetLoop> loops;  ///< closed, even-odd
};

/// A measure along the ground before the gate.
struct PictureMeasure {
  SheetPoint from{}, to{};                  ///< of the measuring line
  SheetPoint witness_from{}, witness_to{};  ///< what is measured, where the thin lines start
  std::string text;
};

/// In sheet units: right and down from the top left corner.
struct PictureDrawing {
  double width = 0, height = 0;
  bool is_mirrored = false;  ///< of a left-hand gate: the picture descends to the right
  PixelScale scale;          ///< from the view to the sheet, units for px
  std::vector<PictureFill> fills;
  std::vector<PictureLine> lines;
  std::vector<PictureMeasure> measures;
};

/// Sheet units across a picture.
inline constexpr double kPictureWidth = 1600;

/// Draws the gate at drive travel `drive_mm` (0 = closed, layout.drive_travel_mm = open).
PictureDrawing drawPicture(const Model& model, double drive_mm);

/// "closed", "open", or "1500 of 3000 mm open" by the front panel's travel.
std::string travelState(const Model& model, double drive_mm);

/// `drawing` as an SVG file with the gate's title, its state and its figures as text.
std::string pictureSvg(const Model& model, double drive_mm, const PictureDrawing& drawing);

inline std::string pictureSvg(const Model& model, double drive_mm) {
  return pictureSvg(model, drive_mm, drawPicture(model, drive_mm));
}

}  // namespace leafstack
