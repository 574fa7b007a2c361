#include "exporters/cad/dxf/dxf.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <initializer_list>
#include <stdexcept>
#include <utility>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/dxf/dxf_entities.h"
#include "exporters/cad/dxf/dxf_groups.h"

namespace leafstack {
namespace {

template <typename Named>
const Named& declared(const std::vector<Named>& all, std::string_view name, const char* what) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Named& one) { return one.name == name; });
  if (found == all.end()) {
    std::string message = "DXF ";
    message += what;
    message += " ";
    message += name;
    throw std::logic_error(message + " was not declared");
  }
  return *found;
}

bool areFinite(std::initializer_list<double> values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

bool isFinite(const DxfEntity& entity) {
  const DxfDimension& d = entity.dimension;
  return areFinite({entity.size_mm, entity.turned_deg, d.angle_deg, d.text_deg, d.measured_mm}) &&
         std::all_of(entity.vertices.begin(), entity.vertices.end(), [](const DxfVertex& v) {
           return areFinite({v.x_mm, v.y_mm, v.bulge});
         });
}

DxfEntity polyline(std::string_view layer, std::vector<DxfVertex> vertices, bool is_closed) {
  DxfEntity entity;
  entity.kind = DxfKind::kPolyline;
  entity.layer = layer;
  entity.is_closed = is_closed;
  entity.vertices = std::move(vertices);
  return entity;
}

/// In this text, unlike others, a backslash and braces are codes unless a backslash goes before
/// them.
std::string literal(const std::string& words) {
  std::string out;
  for (const char c : words) {
    if (c == '\\' || c == '{' || c == '}') {
      out += '\\';
    }
    out += c;
  }
  return dxfText(out);
}

}  // namespace

void DxfDrawing::layer(std::string_view name, int colour, std::string_view line_type, int weight) {
  if (line_type != "CONTINUOUS" && line_type != "DASHED") {
    declared(content_.line_types, line_type, "line type");
  }
  content_.layers.push_back({std::string(name), colour, std::string(line_type), weight});
}

void DxfDrawing::lineType(DxfLineType type) {
  content_.line_types.push_back(std::move(type));
}

void DxfDrawing::textStyle(DxfTextStyle style) {
  content_.text_styles.push_back(std::move(style));
}

void DxfDrawing::dimensionStyle(DxfDimensionStyle style) {
  declared(content_.text_styles, style.text_style, "text style");
  content_.dimension_styles.push_back(std::move(style));
}

void DxfDrawing::limits(double width_mm, double height_mm) {
  content_.limits_mm = {width_mm, height_mm};
}

void DxfDrawing::add(DxfEntity entity) {
  declared(content_.layers, entity.layer, "layer");
  if (!isFinite(entity)) {
    throw ExportError("a DXF drawing has a coordinate that is not finite");
  }
  (is_in_block_ ? content_.blocks.back() : content_.entities).push_back(std::move(entity));
}

void DxfDrawing::closedPolyline(std::string_view layer, std::vector<DxfVertex> vertices) {
  add(polyline(layer, std::move(vertices), true));
}

void DxfDrawing::openPolyline(std::string_view layer, std::vector<DxfVertex> vertices) {
  add(polyline(layer, std::move(vertices), false));
}

void DxfDrawing::patternedPolyline(std::string_view layer, std::vector<DxfVertex> vertices,
                                   bool is_closed) {
  DxfEntity entity = polyline(layer, std::move(vertices), is_closed);
  entity.runs_on = true;
  add(std::move(entity));
}

void DxfDrawing::circle(std::string_view layer, double x_mm, double y_mm, double radius_mm) {
  DxfEntity entity;
  entity.kind = DxfKind::kCircle;
  entity.layer = layer;
  entity.vertices = {{x_mm, y_mm, 0}};
  entity.size_mm = radius_mm;
  add(std::move(entity));
}

void DxfDrawing::line(std::string_view layer, double x0_mm, double y0_mm, double x1_mm,
                      double y1_mm) {
  DxfEntity entity;
  entity.layer = layer;
  entity.vertices = {{x0_mm, y0_mm, 0}, {x1_mm, y1_mm, 0}};
  add(std::move(entity));
}

void DxfDrawing::text(std::string_view layer, double x_mm, double y_mm, double height_mm,
                      std::string_view text, double turned_deg) {
  DxfLettering lettering;
  lettering.text = text;
  lettering.x_mm = x_mm;
  lettering.y_mm = y_mm;
  lettering.height_mm = height_mm;
  lettering.turned_deg = turned_deg;
  this->text(layer, lettering);
}

void DxfDrawing::text(std::string_view layer, const DxfLettering& lettering) {
  DxfEntity entity;
  entity.kind = DxfKind::kText;
  entity.layer = layer;
  entity.vertices = {{lettering.x_mm, lettering.y_mm, 0}};
  entity.size_mm = lettering.height_mm;
  entity.turned_deg = lettering.turned_deg;
  entity.text = dxfText(lettering.text);
  entity.align = lettering.align;
  entity.style = lettering.style;
  if (!lettering.style.empty()) {
    entity.width_factor =
        declared(content_.text_styles, lettering.style, "text style").width_factor;
  }
  add(std::move(entity));
}

void DxfDrawing::solid(std::string_view layer, const std::array<DxfVertex, 3>& corners) {
  DxfEntity entity;
  entity.kind = DxfKind::kSolid;
  entity.layer = layer;
  entity.vertices.assign(corners.begin(), corners.end());
  add(std::move(entity));
}

void DxfDrawing::hatch(std::string_view layer, std::vector<std::vector<DxfVertex>> loops,
                       int colour) {
  DxfEntity entity;
  entity.kind = DxfKind::kHatch;
  entity.layer = layer;
  entity.colour = colour;
  for (const auto& loop : loops) {
    entity.vertices.insert(entity.vertices.end(), loop.begin(), loop.end());
  }
  entity.loops = std::move(loops);
  if (!entity.vertices.empty()) {
    add(std::move(entity));
  }
}

void DxfDrawing::dimension(std::string_view layer, const DxfDimension& dimension,
                           const std::function<void()>& draw_block) {
  declared(content_.dimension_styles, dimension.style, "dimension style");
  DxfEntity entity;
  entity.kind = DxfKind::kDimension;
  entity.layer = layer;
  entity.style = dimension.style;
  entity.vertices = {dimension.line_at, dimension.first, dimension.second, dimension.text_middle};
  entity.dimension = dimension;
  entity.text = literal(dimension.text);
  entity.block = content_.blocks.size();
  content_.blocks.emplace_back();
  is_in_block_ = true;
  draw_block();
  is_in_block_ = false;
  add(std::move(entity));
}

std::string DxfDrawing::file(DxfVersion version) const {
  const bool has_dimensions = !content_.blocks.empty() || !content_.dimension_styles.empty();
  if (version == DxfVersion::kR12 && has_dimensions) {
    throw std::logic_error("dimensions are written for R2000 only");
  }
  const DxfExtents extents = extentsOf(content_);
  DxfGroups out(version);
  if (out.isR2000()) {
    out.begin("CLASSES");
    out.end();
  }
  const std::vector<std::string> block_records = writeDxfTables(out, content_, extents);
  writeDxfBlocks(out, content_, block_records);
  writeDxfEntities(out, content_);
  if (out.isR2000()) {
    writeDxfObjects(out);
  }
  out.add(0, "EOF");
  char next[16];
  std::snprintf(next, sizeof next, "%X", out.next());
  DxfGroups head(version);
  writeDxfHeader(head, content_, extents, next);
  return head.text() + out.text();
}

}  // namespace leafstack
