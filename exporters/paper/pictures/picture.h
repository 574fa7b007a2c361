// The gate as one would see it from the road: filled faces and lines, at any position of the drive.
// Lines are the drawings' projection, fills what is seen of every face (painted.h).
//
// Properties (tested, tests/paper/picture_test.cpp): I1 the same model and travel give the same
// bytes; I2 a left-hand gate's picture is the mirror image of the right-hand one's, lettering
// apart; I3 only what is seen is drawn: no face or line lies behind another part; I4 all positions
// of one gate share scale and frame, so that their pictures can be laid over each other.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "exporters/paper/blocks/gate_views.h"
#include "exporters/paper/pictures/painted.h"
#include "generator/model/model.h"

namespace leafstack {

using SheetPoint = std::array<double, 2>;
using SheetLoop = std::vector<SheetPoint>;
using Rgb8 = std::array<std::uint8_t, 3>;

/// Everything seen of one panel in one colour.
struct PictureFill {
  int panel = 0;  ///< 0 = does not move
  Rgb8 colour{};
  std::vector<SheetLoop> loops;  ///< closed, even-odd
};

/// Closed set, thinnest first.
enum class LineKind {
  kCrease,   ///< both faces are seen
  kContour,  ///< one face is seen, the other turns away
  kRope      ///< a rope's centre line
};

/// One unbroken stretch.
struct PictureLine {
  int panel = 0;     ///< 0 = does not move
  int instance = 0;  ///< index into Model::instances
  LineKind kind{};
  SheetLoop points;  ///< open
};

/// A measure along the ground before the gate.
struct PictureMeasure {
  SheetPoint from{}, to{};                  ///< of the measuring line
  SheetPoint witness_from{}, witness_to{};  ///< what is measured, where the thin lines start
  std::string text;
};

/// From the view (mm to the right and up) to the sheet.
struct SheetScale {
  double units_per_mm = 1;
  double left_mm = 0, top_mm = 0;  ///< of the sheet's top left corner, in the view

  SheetPoint at(double right_mm, double up_mm) const {
    return {(right_mm - left_mm) * units_per_mm, (top_mm - up_mm) * units_per_mm};
  }
};

/// In sheet units: right and down from the top left corner.
struct PictureDrawing {
  double width = 0, height = 0;
  bool is_mirrored = false;  ///< of a left-hand gate: the picture descends to the right
  SheetScale scale;
  std::vector<PictureFill> fills;
  std::vector<PictureLine> lines;
  std::vector<PictureMeasure> measures;
};

/// Sheet units across a picture.
inline constexpr double kPictureWidth = 1600;

/// A gate's parts read once for all its pictures. `model` must outlive it.
class GatePictures {
 public:
  explicit GatePictures(const Model& model);

  /// The gate at drive travel `drive_mm` (0 = closed, layout.drive_travel_mm = open).
  PictureDrawing at(double drive_mm) const;
  /// The same as an SVG file with the gate's title, its state and its figures as text.
  std::string svgAt(double drive_mm) const;
  /// Of all of them.
  const SheetScale& scale() const { return frame_.scale; }

 private:
  const Model& model_;
  GateViews views_;
  PictureDrawing frame_;  ///< scale and sheet, without anything on it
  std::vector<std::shared_ptr<const FlatPieces>> pieces_;  ///< by part
};

/// "closed", "open", or "1500 of 3000 mm open" by the front panel's travel.
std::string travelState(const Model& model, double drive_mm);

/// `drawing` of `model` at `drive_mm` as an SVG file.
std::string pictureSvg(const Model& model, double drive_mm, const PictureDrawing& drawing);

}  // namespace leafstack
