// A small DXF writer: R2000 (AC1015), or R12 (AC1009) for machines that want it. 1:1 in mm.
//
// Properties (tests/shop/flat_profile_test.cpp, tests/paper/drawing_backends_test.cpp): D1 same
// drawing, same bytes; D2 handles are unique, every table is there, extents are true; D3 shared
// vertices are rounded alike, to 1e-6 mm.
#pragma once

#include <array>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "exporters/cad/dxf/dxf_model.h"

namespace leafstack {

class DxfDrawing {
 public:
  /// Colour: a colour number as the format's tables define it, 1 to 255. Line type: "CONTINUOUS",
  /// "DASHED" or one that has been declared. Weight in hundredths of a mm, one of those that the
  /// format knows (R2000); -1: none.
  void layer(std::string_view name, int colour, std::string_view line_type = "CONTINUOUS",
             int weight = -1);

  // Declared before they are used. Names: letters, digits, hyphens and low lines.
  void lineType(DxfLineType type);
  void textStyle(DxfTextStyle style);
  void dimensionStyle(DxfDimensionStyle style);
  /// Paper from the origin.
  void limits(double width_mm, double height_mm);

  // Everything below goes to a layer that has been declared; throws std::logic_error else, and
  // ExportError for what is not finite.
  void closedPolyline(std::string_view layer, std::vector<DxfVertex> vertices);
  void openPolyline(std::string_view layer, std::vector<DxfVertex> vertices);
  /// Its dashes go round its corners.
  void patternedPolyline(std::string_view layer, std::vector<DxfVertex> vertices, bool is_closed);
  void circle(std::string_view layer, double x_mm, double y_mm, double radius_mm);
  void line(std::string_view layer, double x0_mm, double y0_mm, double x1_mm, double y1_mm);
  /// Left-aligned on its base line. Characters outside ASCII are written as \U+XXXX.
  void text(std::string_view layer, double x_mm, double y_mm, double height_mm,
            std::string_view text, double turned_deg = 0);
  void text(std::string_view layer, const DxfLettering& lettering);
  /// A filled triangle.
  void solid(std::string_view layer, const std::array<DxfVertex, 3>& corners);
  /// Filled where it is inside an odd number of closed loops. R2000 only. Colour 0: the layer's.
  void hatch(std::string_view layer, std::vector<std::vector<DxfVertex>> loops, int colour = 0);
  /// R2000 only. `draw_block` adds to this drawing what the dimension looks like; that goes into
  /// the dimension's block instead.
  void dimension(std::string_view layer, const DxfDimension& dimension,
                 const std::function<void()>& draw_block);

  /// Throws std::logic_error for R12 with what only R2000 has.
  std::string file(DxfVersion version = DxfVersion::kR2000) const;

 private:
  void add(DxfEntity entity);

  DxfContent content_;
  bool is_in_block_ = false;
};

}  // namespace leafstack
