// What a DXF drawing is made of: plain data, for the writer (dxf.h) and its parts.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace leafstack {

enum class DxfVersion { kR12, kR2000 };

/// Corner of a polyline. `bulge` is that of the piece to the next corner: tangent of a quarter of
/// the arc's angle, positive anticlockwise, 0 for a straight piece.
struct DxfVertex {
  double x_mm = 0, y_mm = 0, bulge = 0;
};

struct DxfLayer {
  std::string name;
  int colour = 7;
  std::string line_type;
  int weight = -1;  ///< line weight, hundredths of a mm; -1: left to the reader
};

/// Lengths drawn and left out in turn, mm in the drawing.
struct DxfLineType {
  std::string name;
  std::string picture;  ///< in dashes, for people: "__ . __"
  std::vector<double> pattern_mm;
};

struct DxfTextStyle {
  std::string name;
  std::string font_file;  ///< "arial.ttf"
  double width_factor = 1;
};

/// What a program needs to draw a dimension anew as its block shows it.
struct DxfDimensionStyle {
  std::string name;
  std::string text_style;
  double factor = 1;  ///< of the measured length: mm of the thing for each mm of the drawing
  int decimals = 0;
  double text_mm = 2.5, arrow_mm = 2.5;
  double off_object_mm = 1, past_line_mm = 2, gap_mm = 1;
};

enum class DxfAlign { kLeft, kCentre, kRight };

/// One line of text on its base line.
struct DxfLettering {
  std::string text;
  double x_mm = 0, y_mm = 0;  ///< end or middle of the base line, as aligned
  double height_mm = 2.5, turned_deg = 0;
  DxfAlign align = DxfAlign::kLeft;
  std::string style;  ///< of the text styles declared; empty: the format's own
};

/// A linear dimension beside its block. Points in drawing mm.
struct DxfDimension {
  std::string style;
  double angle_deg = 0;  ///< of measuring
  DxfVertex line_at;     ///< on the dimension line
  DxfVertex first;       ///< what is measured from
  DxfVertex second;      ///< what is measured to
  DxfVertex text_middle;
  double text_deg = 0;
  double measured_mm = 0;  ///< the style's factor in it
  /// The number as it is to be read, in words of its own: some programs take the factor and the
  /// decimals of the file's header for every style.
  std::string text;
};

enum class DxfKind { kPolyline, kCircle, kLine, kText, kSolid, kHatch, kDimension };

struct DxfEntity {
  DxfKind kind = DxfKind::kLine;
  std::string layer;
  bool is_closed = false;
  std::vector<DxfVertex> vertices;
  double size_mm = 0, turned_deg = 0;  ///< radius or height of text
  std::string text;

  bool runs_on = false;  ///< the line type goes round corners
  DxfAlign align = DxfAlign::kLeft;
  std::string style;                          ///< of text or of a dimension
  double width_factor = 1;                    ///< of text
  int colour = 0;                             ///< 0: the layer's
  std::vector<std::vector<DxfVertex>> loops;  ///< of a hatch, `vertices` being all of them
  DxfDimension dimension;
  std::size_t block = 0;  ///< the dimension's, among DxfContent::blocks
};

/// All that one file holds.
struct DxfContent {
  std::vector<DxfLayer> layers;
  std::vector<DxfLineType> line_types;
  std::vector<DxfTextStyle> text_styles;
  std::vector<DxfDimensionStyle> dimension_styles;
  std::vector<DxfEntity> entities;
  std::vector<std::vector<DxfEntity>> blocks;  ///< of dimensions: *D1, *D2 ...
  std::array<double, 2> limits_mm{};           ///< of the paper; 0: none
};

/// Name of the block at an index.
inline std::string dxfBlockName(std::size_t index) {
  return "*D" + std::to_string(index + 1);
}

}  // namespace leafstack
