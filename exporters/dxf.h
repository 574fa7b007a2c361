// A small DXF writer: R2000 (AC1015), or R12 (AC1009) for machines that want it. 1:1 in mm.
//
// Properties (tests/export_dxf_test.cpp): D1 same drawing, same bytes; D2 handles are unique, every
// table is there, extents are true; D3 shared vertices are rounded alike, to 1e-6 mm.
#pragma once

#include <string>
#include <string_view>
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
};

enum class DxfKind { kPolyline, kCircle, kLine, kText };

struct DxfEntity {
  DxfKind kind = DxfKind::kLine;
  std::string layer;
  bool is_closed = false;
  std::vector<DxfVertex> vertices;
  double size_mm = 0, turned_deg = 0;  ///< radius or height of text
  std::string text;
};

class DxfDrawing {
 public:
  /// Colour: a colour number as the format's tables define it, 1 to 255. Line type:
  /// "CONTINUOUS" or "DASHED".
  void layer(std::string_view name, int colour, std::string_view line_type = "CONTINUOUS");

  // Everything below goes to a layer that has been declared; throws std::logic_error else, and
  // ExportError for what is not finite.
  void closedPolyline(std::string_view layer, std::vector<DxfVertex> vertices);
  void openPolyline(std::string_view layer, std::vector<DxfVertex> vertices);
  void circle(std::string_view layer, double x_mm, double y_mm, double radius_mm);
  void line(std::string_view layer, double x0_mm, double y0_mm, double x1_mm, double y1_mm);
  /// Left-aligned on its base line. Characters outside ASCII are written as \U+XXXX.
  void text(std::string_view layer, double x_mm, double y_mm, double height_mm,
            std::string_view text, double turned_deg = 0);

  std::string file(DxfVersion version = DxfVersion::kR2000) const;

 private:
  void add(DxfEntity entity);

  std::vector<DxfLayer> layers_;
  std::vector<DxfEntity> entities_;
};

}  // namespace leafstack
