#include "exporters/dxf.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <limits>
#include <stdexcept>
#include <utility>

#include "exporters/export_error.h"
#include "exporters/rounding.h"

namespace leafstack {
namespace {

/// Shortest decimal of a value rounded to a millionth, always with a point.
std::string real(double value) {
  std::string text = fixedDecimals(roundedToMillionth(value), 6);
  text.erase(text.find_last_not_of('0') + 1);
  return text.back() == '.' ? text + "0" : text;
}

/// Code point at `at` of UTF-8 text, and how many bytes it takes; malformed bytes are one each.
std::pair<unsigned, std::size_t> codePoint(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
  };
  const unsigned first = byte(at);
  const std::size_t length = first < 0x80 ? 1 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
  unsigned code = length == 1 ? first : first & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0U) != 0x80U) {
      return {'?', 1};
    }
    code = (code << 6U) | (byte(at + i) & 0x3FU);
  }
  return {code, length};
}

/// ASCII, with \U+XXXX for the rest; no line breaks, and no control codes of the format's own.
std::string dxfText(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const auto [code, length] = codePoint(text, at);
    at += length;
    if (code < 0x20 || code == 0x7F) {
      out += ' ';
    } else if (code < 0x7F) {
      out += static_cast<char>(code);
    } else if (code <= 0xFFFF) {
      char escape[8];
      std::snprintf(escape, sizeof escape, "\\U+%04X", code);
      out += escape;
    } else {
      out += '?';
    }
  }
  return out;
}

using Extents = std::array<double, 4>;  // low X, low Y, high X, high Y

void widen(Extents& extents, double x, double y) {
  extents[0] = std::min(extents[0], x);
  extents[1] = std::min(extents[1], y);
  extents[2] = std::max(extents[2], x);
  extents[3] = std::max(extents[3], y);
}

/// An arc bulges past its chord: its centre and radius, and whether it passes a direction.
void widenByArc(Extents& extents, const DxfVertex& from, const DxfVertex& to) {
  const double angle = 4 * std::atan(from.bulge);
  const double dx = to.x_mm - from.x_mm, dy = to.y_mm - from.y_mm;
  const double chord = std::hypot(dx, dy);
  const double off = (1 - from.bulge * from.bulge) / (4 * from.bulge);  // centre, in chords
  const double cx = (from.x_mm + to.x_mm) / 2 - off * dy;
  const double cy = (from.y_mm + to.y_mm) / 2 + off * dx;
  const double radius = chord * (1 + from.bulge * from.bulge) / (4 * std::abs(from.bulge));
  const double start = std::atan2(from.y_mm - cy, from.x_mm - cx);
  constexpr double kQuarter = 1.5707963267948966;
  for (int quadrant = -4; quadrant <= 4; ++quadrant) {
    const double turn = quadrant * kQuarter - start;
    if (angle > 0 ? turn > 0 && turn < angle : turn < 0 && turn > angle) {
      widen(extents, cx + radius * std::cos(quadrant * kQuarter),
            cy + radius * std::sin(quadrant * kQuarter));
    }
  }
}

/// Writes group codes and hands out handles.
class Groups {
 public:
  explicit Groups(DxfVersion version) : version_(version) {}

  bool isR2000() const { return version_ == DxfVersion::kR2000; }

  void add(int code, std::string_view value) {
    char number[16];
    std::snprintf(number, sizeof number, "%3d\n", code);
    text_ += number;
    text_.append(value);
    text_ += '\n';
  }
  void add(int code, int value) { add(code, std::string_view(std::to_string(value))); }
  void real(int code, double value) { add(code, std::string_view(leafstack::real(value))); }
  void point(int code, double x, double y) {
    real(code, x);
    real(code + 10, y);
    real(code + 20, 0);
  }
  /// Only R2000 knows subclasses, handles and owners.
  void subclass(std::string_view name) {
    if (isR2000()) {
      add(100, name);
    }
  }
  std::string handle(int code = 5) {
    char text[16];
    std::snprintf(text, sizeof text, "%X", next_++);
    if (isR2000()) {
      add(code, text);
    }
    return text;
  }
  void owner(std::string_view handle) {
    if (isR2000()) {
      add(330, handle);
    }
  }
  void begin(std::string_view section) {
    add(0, "SECTION");
    add(2, section);
  }
  void end() { add(0, "ENDSEC"); }

  unsigned next() const { return next_; }
  std::string& text() { return text_; }

 private:
  DxfVersion version_;
  unsigned next_ = 0x20;
  std::string text_;
};

// Handles that others refer to before they are written.
constexpr std::string_view kModelSpace = "1", kPaperSpace = "2", kRoot = "3", kGroupsDict = "4";

/// A table's head; returns its handle, which owns its records.
std::string beginTable(Groups& out, std::string_view name, int count) {
  out.add(0, "TABLE");
  out.add(2, name);
  std::string handle = out.handle();
  out.owner("0");
  out.subclass("AcDbSymbolTable");
  out.add(70, count);
  return handle;
}

void record(Groups& out, std::string_view type, std::string_view subclass, std::string_view name,
            std::string_view table) {
  out.add(0, type);
  out.handle();
  out.owner(table);
  out.subclass("AcDbSymbolTableRecord");
  out.subclass(subclass);
  out.add(2, name);
  out.add(70, 0);
}

void viewports(Groups& out, const Extents& extents) {
  const std::string table = beginTable(out, "VPORT", 1);
  record(out, "VPORT", "AcDbViewportTableRecord", "*ACTIVE", table);
  const double width = std::max(extents[2] - extents[0], 1.0);
  const double height = std::max(extents[3] - extents[1], 1.0);
  const auto point = [&](int code, double x, double y) {
    out.real(code, x);
    out.real(code + 10, y);
  };
  point(10, 0, 0);
  point(11, 1, 1);
  point(12, (extents[0] + extents[2]) / 2, (extents[1] + extents[3]) / 2);
  point(13, 0, 0);
  point(14, 10, 10);
  point(15, 10, 10);
  out.real(16, 0);
  out.real(26, 0);
  out.real(36, 1);
  out.point(17, 0, 0);
  out.real(40, std::max(height, width) * 1.1);
  out.real(41, 1.5);
  out.real(42, 50);
  out.add(0, "ENDTAB");
}

void lineTypes(Groups& out) {
  constexpr double kDashMm = 6, kGapMm = 3;
  const bool modern = out.isR2000();
  const std::string table = beginTable(out, "LTYPE", modern ? 4 : 2);
  const auto begin = [&](std::string_view name, std::string_view words) {
    record(out, "LTYPE", "AcDbLinetypeTableRecord", name, table);
    out.add(3, words);
    out.add(72, 65);
  };
  const auto solid = [&](std::string_view name, std::string_view words) {
    begin(name, words);
    out.add(73, 0);
    out.real(40, 0);
  };
  if (modern) {
    solid("ByBlock", "");
    solid("ByLayer", "");
  }
  solid("CONTINUOUS", "Solid line");
  begin("DASHED", "__ __ __");
  out.add(73, 2);
  out.real(40, kDashMm + kGapMm);
  for (double length : {kDashMm, -kGapMm}) {
    out.real(49, length);
    if (modern) {
      out.add(74, 0);
    }
  }
  out.add(0, "ENDTAB");
}

void styles(Groups& out) {
  const std::string table = beginTable(out, "STYLE", 1);
  record(out, "STYLE", "AcDbTextStyleTableRecord", "STANDARD", table);
  out.real(40, 0);
  out.real(41, 1);
  out.real(50, 0);
  out.add(71, 0);
  out.real(42, 2.5);
  out.add(3, "txt");
  out.add(4, "");
  out.add(0, "ENDTAB");
}

void emptyTable(Groups& out, std::string_view name) {
  beginTable(out, name, 0);
  out.add(0, "ENDTAB");
}

void dimensionStyles(Groups& out) {
  const std::string table = beginTable(out, "DIMSTYLE", 1);
  if (out.isR2000()) {
    out.subclass("AcDbDimStyleTable");
  }
  out.add(0, "DIMSTYLE");
  out.handle(105);
  out.owner(table);
  out.subclass("AcDbSymbolTableRecord");
  out.subclass("AcDbDimStyleTableRecord");
  out.add(2, "STANDARD");
  out.add(70, 0);
  out.add(0, "ENDTAB");
}

void blockRecords(Groups& out) {
  const std::string table = beginTable(out, "BLOCK_RECORD", 2);
  for (const auto& [name, handle] :
       {std::pair{"*MODEL_SPACE", kModelSpace}, std::pair{"*PAPER_SPACE", kPaperSpace}}) {
    out.add(0, "BLOCK_RECORD");
    out.add(5, handle);
    out.owner(table);
    out.subclass("AcDbSymbolTableRecord");
    out.subclass("AcDbBlockTableRecord");
    out.add(2, name);
  }
  out.add(0, "ENDTAB");
}

void blocks(Groups& out) {
  out.begin("BLOCKS");
  for (const auto& [name, space] :
       {std::pair{"*MODEL_SPACE", kModelSpace}, std::pair{"*PAPER_SPACE", kPaperSpace}}) {
    out.add(0, "BLOCK");
    out.handle();
    out.owner(space);
    out.subclass("AcDbEntity");
    out.add(8, "0");
    out.subclass("AcDbBlockBegin");
    out.add(2, name);
    out.add(70, 0);
    out.point(10, 0, 0);
    out.add(3, name);
    out.add(1, "");
    out.add(0, "ENDBLK");
    out.handle();
    out.owner(space);
    out.subclass("AcDbEntity");
    out.add(8, "0");
    out.subclass("AcDbBlockEnd");
  }
  out.end();
}

void objects(Groups& out) {
  out.begin("OBJECTS");
  out.add(0, "DICTIONARY");
  out.add(5, kRoot);
  out.owner("0");
  out.subclass("AcDbDictionary");
  out.add(281, 1);
  out.add(3, "ACAD_GROUP");
  out.add(350, kGroupsDict);
  out.add(0, "DICTIONARY");
  out.add(5, kGroupsDict);
  out.owner(kRoot);
  out.subclass("AcDbDictionary");
  out.add(281, 1);
  out.end();
}

void header(Groups& out, const Extents& extents, const std::string& next_handle) {
  out.begin("HEADER");
  const auto variable = [&](std::string_view name) { out.add(9, name); };
  variable("$ACADVER");
  out.add(1, out.isR2000() ? "AC1015" : "AC1009");
  if (out.isR2000()) {
    variable("$DWGCODEPAGE");
    out.add(3, "ANSI_1252");
    variable("$INSUNITS");
    out.add(70, 4);
    variable("$MEASUREMENT");
    out.add(70, 1);
    variable("$HANDSEED");
    out.add(5, next_handle);
  }
  variable("$INSBASE");
  out.point(10, 0, 0);
  variable("$EXTMIN");
  out.point(10, extents[0], extents[1]);
  variable("$EXTMAX");
  out.point(10, extents[2], extents[3]);
  out.end();
}

void beginEntity(Groups& out, std::string_view type, std::string_view layer) {
  out.add(0, type);
  out.handle();
  out.owner(kModelSpace);
  out.subclass("AcDbEntity");
  out.add(8, layer);
}

void lightPolyline(Groups& out, std::string_view layer, bool is_closed,
                   const std::vector<DxfVertex>& vertices) {
  beginEntity(out, "LWPOLYLINE", layer);
  out.subclass("AcDbPolyline");
  out.add(90, static_cast<int>(vertices.size()));
  out.add(70, is_closed ? 1 : 0);
  for (const DxfVertex& vertex : vertices) {
    out.real(10, vertex.x_mm);
    out.real(20, vertex.y_mm);
    if (vertex.bulge != 0) {
      out.add(42, std::string_view(fixedDecimals(vertex.bulge, 15)));
    }
  }
}

void oldPolyline(Groups& out, std::string_view layer, bool is_closed,
                 const std::vector<DxfVertex>& vertices) {
  beginEntity(out, "POLYLINE", layer);
  out.add(66, 1);
  out.point(10, 0, 0);
  out.add(70, is_closed ? 1 : 0);
  for (const DxfVertex& vertex : vertices) {
    beginEntity(out, "VERTEX", layer);
    out.point(10, vertex.x_mm, vertex.y_mm);
    if (vertex.bulge != 0) {
      out.add(42, std::string_view(fixedDecimals(vertex.bulge, 15)));
    }
  }
  beginEntity(out, "SEQEND", layer);
}

void writeEntity(Groups& out, const DxfEntity& entity) {
  const DxfVertex& at = entity.vertices.front();
  switch (entity.kind) {
    case DxfKind::kPolyline:
      (out.isR2000() ? lightPolyline : oldPolyline)(out, entity.layer, entity.is_closed,
                                                    entity.vertices);
      return;
    case DxfKind::kCircle:
      beginEntity(out, "CIRCLE", entity.layer);
      out.subclass("AcDbCircle");
      out.point(10, at.x_mm, at.y_mm);
      out.real(40, entity.size_mm);
      return;
    case DxfKind::kLine:
      beginEntity(out, "LINE", entity.layer);
      out.subclass("AcDbLine");
      out.point(10, at.x_mm, at.y_mm);
      out.point(11, entity.vertices.back().x_mm, entity.vertices.back().y_mm);
      return;
    case DxfKind::kText:
      beginEntity(out, "TEXT", entity.layer);
      out.subclass("AcDbText");
      out.point(10, at.x_mm, at.y_mm);
      out.real(40, entity.size_mm);
      out.add(1, entity.text);
      out.real(50, entity.turned_deg);
      out.subclass("AcDbText");
      return;
  }
}

void writeTables(Groups& out, const std::vector<DxfLayer>& layers, const Extents& extents) {
  out.begin("TABLES");
  viewports(out, extents);
  lineTypes(out);
  const std::string table = beginTable(out, "LAYER", static_cast<int>(layers.size()) + 1);
  const auto layer_record = [&](const DxfLayer& layer) {
    record(out, "LAYER", "AcDbLayerTableRecord", layer.name, table);
    out.add(62, layer.colour);
    out.add(6, layer.line_type);
  };
  layer_record({"0", 7, "CONTINUOUS"});
  for (const DxfLayer& layer : layers) {
    layer_record(layer);
  }
  out.add(0, "ENDTAB");
  styles(out);
  emptyTable(out, "VIEW");
  emptyTable(out, "UCS");
  const std::string apps = beginTable(out, "APPID", 1);
  record(out, "APPID", "AcDbRegAppTableRecord", "ACAD", apps);
  out.add(0, "ENDTAB");
  dimensionStyles(out);
  if (out.isR2000()) {
    blockRecords(out);
  }
  out.end();
}

Extents extentsOf(const std::vector<DxfEntity>& entities) {
  constexpr double kFar = std::numeric_limits<double>::max();
  Extents extents{kFar, kFar, -kFar, -kFar};
  for (const DxfEntity& entity : entities) {
    const auto& v = entity.vertices;
    for (std::size_t i = 0; i < v.size(); ++i) {
      const double round = entity.kind == DxfKind::kCircle ? entity.size_mm : 0;
      widen(extents, v[i].x_mm - round, v[i].y_mm - round);
      widen(extents, v[i].x_mm + round, v[i].y_mm + round);
      if (v[i].bulge != 0 && (entity.is_closed || i + 1 < v.size())) {
        widenByArc(extents, v[i], v[(i + 1) % v.size()]);
      }
    }
  }
  return entities.empty() ? Extents{} : extents;
}

}  // namespace

void DxfDrawing::layer(std::string_view name, int colour, std::string_view line_type) {
  layers_.push_back({std::string(name), colour, std::string(line_type)});
}

void DxfDrawing::add(DxfEntity entity) {
  const bool known = std::any_of(layers_.begin(), layers_.end(),
                                 [&](const DxfLayer& layer) { return layer.name == entity.layer; });
  if (!known) {
    throw std::logic_error("DXF layer " + entity.layer + " was not declared");
  }
  bool finite = std::isfinite(entity.size_mm) && std::isfinite(entity.turned_deg);
  for (const DxfVertex& vertex : entity.vertices) {
    finite = finite && std::isfinite(vertex.x_mm) && std::isfinite(vertex.y_mm) &&
             std::isfinite(vertex.bulge);
  }
  if (!finite) {
    throw ExportError("a DXF drawing has a coordinate that is not finite");
  }
  entities_.push_back(std::move(entity));
}

void DxfDrawing::closedPolyline(std::string_view layer, std::vector<DxfVertex> vertices) {
  add({DxfKind::kPolyline, std::string(layer), true, std::move(vertices), 0, 0, {}});
}

void DxfDrawing::openPolyline(std::string_view layer, std::vector<DxfVertex> vertices) {
  add({DxfKind::kPolyline, std::string(layer), false, std::move(vertices), 0, 0, {}});
}

void DxfDrawing::circle(std::string_view layer, double x_mm, double y_mm, double radius_mm) {
  add({DxfKind::kCircle, std::string(layer), true, {{x_mm, y_mm, 0}}, radius_mm, 0, {}});
}

void DxfDrawing::line(std::string_view layer, double x0_mm, double y0_mm, double x1_mm,
                      double y1_mm) {
  add({DxfKind::kLine,
       std::string(layer),
       false,
       {{x0_mm, y0_mm, 0}, {x1_mm, y1_mm, 0}},
       0,
       0,
       {}});
}

void DxfDrawing::text(std::string_view layer, double x_mm, double y_mm, double height_mm,
                      std::string_view text, double turned_deg) {
  add({DxfKind::kText,
       std::string(layer),
       false,
       {{x_mm, y_mm, 0}},
       height_mm,
       turned_deg,
       dxfText(text)});
}

std::string DxfDrawing::file(DxfVersion version) const {
  const Extents extents = extentsOf(entities_);
  Groups out(version);
  if (out.isR2000()) {
    out.begin("CLASSES");
    out.end();
  }
  writeTables(out, layers_, extents);
  blocks(out);
  out.begin("ENTITIES");
  for (const DxfEntity& entity : entities_) {
    writeEntity(out, entity);
  }
  out.end();
  if (out.isR2000()) {
    objects(out);
  }
  out.add(0, "EOF");
  char next[16];
  std::snprintf(next, sizeof next, "%X", out.next());
  Groups head(version);
  header(head, extents, next);
  return head.text() + out.text();
}

}  // namespace leafstack
