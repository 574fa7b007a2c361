// A drawing sheet: lines, fills, lettering and dimensions on paper. Its backends (PDF, SVG, DXF)
// know nothing of gates, and what makes it knows nothing of file formats.
//
// Frame: paper mm from the lower left corner of the trimmed sheet, X right, Y up. Lettering heights
// are those of capitals. Line widths and patterns follow ISO 128.
//
// Properties (tested on random gates, tests/paper/drawing_sheets_test.cpp): S1 no text box overlaps
// another or leaves the frame; S2 a dimension's number is the distance between the two model points
// it names, along its direction, to its last decimal; S3 its two paper points are as far apart as
// its scale says; S4 same gate, same sheets.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/geometry/mesh/mesh.h"

namespace leafstack {

struct PaperPoint {
  double x_mm = 0, y_mm = 0;
};

/// Corner of a path; `bulge` is that of the piece to the next corner: tangent of a quarter of its
/// arc's angle, positive anticlockwise, 0 for a straight piece.
struct PathVertex {
  double x_mm = 0, y_mm = 0, bulge = 0;
};

/// Closed set: what a line says. Wide lines are Sheet::wide_mm, narrow ones half of it.
enum class LineRole {
  kVisible,    ///< wide, continuous: visible edges
  kFine,       ///< narrow, continuous: visible edges of what is small at the sheet's scale
  kHidden,     ///< narrow, dashed: hidden edges
  kCentre,     ///< narrow, long dash and dot: axes, planes of symmetry, diagonals
  kPhantom,    ///< narrow, long dash and two dots: another position of what moves
  kDimension,  ///< narrow, continuous: dimension, extension and leader lines
  kHatch,      ///< narrow, continuous: cut faces
  kCutting,    ///< wide, long dash and dot: where a section is taken
  kRope,       ///< twice as wide, continuous: ropes' centre lines
  kGround,     ///< wide, continuous: the ground's surface
  kTable,      ///< narrow, continuous: rules of tables and of the title block
  kFrame       ///< 0.7 mm, continuous: the drawing frame
};

struct Path {
  LineRole role = LineRole::kVisible;
  std::vector<PathVertex> vertices;  ///< two or more; a full circle: two corners, bulges 1, closed
  bool is_closed = false;
};

/// Filled evenly, even-odd, without an outline.
struct Area {
  std::vector<std::vector<PathVertex>> loops;
  double grey = 0;  ///< 0 black to 1 white
};

enum class TextAnchor { kLeft, kCentre, kRight };

/// One line of text (UTF-8), on its base line.
struct Lettering {
  std::string text;
  PaperPoint at;  ///< end or middle of the base line, as anchored
  double height_mm = 2.5;
  TextAnchor anchor = TextAnchor::kLeft;
  double turned_deg = 0;  ///< anticlockwise
  bool is_bold = false;
};

/// kLinear: two extension lines and a dimension line with two arrows. kRunning: one of a row that
/// counts from a common datum, its number at the end of the extension line, with a minus before it
/// where it counts against the row's sense (ISO 129-1, from memory).
enum class DimensionKind { kLinear, kRunning };

struct Dimension {
  DimensionKind kind = DimensionKind::kLinear;
  PaperPoint from, to;   ///< what is measured; kRunning: the datum, the feature
  double angle_deg = 0;  ///< direction of measuring, from paper X: 0 horizontal, 90 vertical
  PaperPoint line_at;    ///< kLinear: any point of the dimension line; kRunning: the line's end
  PaperPoint text_at;    ///< middle of the number's base line
  double text_deg = 0;   ///< anticlockwise
  double height_mm = 2.5;
  bool arrows_outside = false;  ///< too narrow for arrows between the extension lines
  double mm_per_mm = 1;         ///< model mm for each paper mm: 20 at a scale of 1:20
  double value_mm = 0;          ///< distance in the model; kRunning: may be negative
  int decimals = 0;
  std::string prefix, suffix;   ///< "room ", " typ"
  std::array<Vec3, 2> model{};  ///< the two points in the gate's frame, or the part's
  Vec3 model_along{};           ///< direction of measuring there, of length 1

  /// The number as printed, with prefix and suffix.
  std::string text() const;
};

/// As many decimals as a length needs, up to two.
int decimalsOf(double value_mm);
/// A length in a table or in words, as dimensions print it.
std::string lengthText(double value_mm);

/// One view on a sheet: which of its paths, areas, letterings and dimensions (first, one past the
/// last), and their scale.
struct PlacedView {
  std::array<std::size_t, 2> paths{}, areas{}, letterings{}, dimensions{};
  double mm_per_mm = 1;
};

struct Sheet {
  std::string name;   ///< file name without extension: letters, digits, hyphens
  std::string title;  ///< as in the title block
  double width_mm = 420, height_mm = 297;
  double wide_mm = 0.5;
  std::vector<Path> paths;
  std::vector<Area> areas;  ///< drawn first
  std::vector<Lettering> letterings;
  std::vector<Dimension> dimensions;
  std::vector<PlacedView> views;  ///< of those that have a scale
};

// Lengths on paper of which dimensions are drawn; common practice, no source. What a
// style in DXF has to repeat.
inline constexpr double kDimensionArrowMm = 2.5;
inline constexpr double kDimensionOffObjectMm = 1, kDimensionPastLineMm = 2;

/// What a dimension is drawn of, for backends that have no dimensions of their own, and for the
/// block that goes with one in DXF.
struct DrawnDimension {
  std::vector<Path> lines;                        ///< kDimension
  std::vector<std::array<PaperPoint, 3>> arrows;  ///< filled; tip first
  Lettering text;
};
DrawnDimension drawn(const Dimension& dimension);

/// Width of the narrow and wide lines, and of the frame.
double widthOf(LineRole role, double wide_mm);

/// Lengths drawn and left out in turn, for a line of `width_mm`; empty for a continuous line.
std::vector<double> patternOf(LineRole role, double width_mm);

/// Advance of a text, mm: the sum of its letters' in the sans-serif face that the PDF embeds.
double textWidthMm(const std::string& text, double height_mm, bool is_bold = false);

/// Letters' body for capitals of a height: what font sizes count.
inline constexpr double kBodyPerCapital = 1 / 0.729;

/// The four corners, anticlockwise from the lower left as the text reads; from 0.25 of the height
/// below the base line to the capitals' top.
std::array<PaperPoint, 4> textBox(const Lettering& lettering);

}  // namespace leafstack
