#include "exporters/cad/dxf/dxf_entities.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <utility>

#include "exporters/bytes/rounding.h"

namespace leafstack {
namespace {

void widen(DxfExtents& extents, double x, double y) {
  extents[0] = std::min(extents[0], x);
  extents[1] = std::min(extents[1], y);
  extents[2] = std::max(extents[2], x);
  extents[3] = std::max(extents[3], y);
}

/// An arc bulges past its chord: its centre and radius, and whether it passes a direction.
void widenByArc(DxfExtents& extents, const DxfVertex& from, const DxfVertex& to) {
  const double angle = 4 * std::atan(from.bulge);
  const double dx = to.x_mm - from.x_mm, dy = to.y_mm - from.y_mm;
  const double chord = std::hypot(dx, dy);
  const double off = (1 - from.bulge * from.bulge) / (4 * from.bulge);  // centre, in chords
  const double cx = (from.x_mm + to.x_mm) / 2 - off * dy;
  const double cy = (from.y_mm + to.y_mm) / 2 + off * dx;
  const double radius = chord * (1 + from.bulge * from.bulge) / (4 * std::abs(from.bulge));
  const double start = std::atan2(from.y_mm - cy, from.x_mm - cx);
  constexpr double kQuarter = 1.5707963267948966;
  for (int quadrant = -6; quadrant <= 6; ++quadrant) {
    const double turn = quadrant * kQuarter - start;
    if (angle > 0 ? turn > 0 && turn < angle : turn < 0 && turn > angle) {
      widen(extents, cx + radius * std::cos(quadrant * kQuarter),
            cy + radius * std::sin(quadrant * kQuarter));
    }
  }
}

/// Writes entities into one space: the drawing's or a block's.
class EntityWriter {
 public:
  EntityWriter(DxfGroups& out, std::string_view space) : out_(out), space_(space) {}

  void write(const DxfEntity& entity) {
    const DxfVertex& at = entity.vertices.front();
    switch (entity.kind) {
      case DxfKind::kPolyline:
        out_.isR2000() ? lightPolyline(entity) : oldPolyline(entity);
        return;
      case DxfKind::kCircle:
        begin("CIRCLE", entity);
        out_.subclass("AcDbCircle");
        out_.point(10, at.x_mm, at.y_mm);
        out_.real(40, entity.size_mm);
        return;
      case DxfKind::kLine:
        begin("LINE", entity);
        out_.subclass("AcDbLine");
        out_.point(10, at.x_mm, at.y_mm);
        out_.point(11, entity.vertices.back().x_mm, entity.vertices.back().y_mm);
        return;
      case DxfKind::kText:
        text(entity);
        return;
      case DxfKind::kSolid:
        begin("SOLID", entity);
        out_.subclass("AcDbTrace");
        for (int i = 0; i < 4; ++i) {  // of a triangle the last corner is said twice
          const DxfVertex& corner = entity.vertices[static_cast<std::size_t>(std::min(i, 2))];
          out_.point(10 + i, corner.x_mm, corner.y_mm);
        }
        return;
      case DxfKind::kHatch:
        hatch(entity);
        return;
      case DxfKind::kDimension:
        dimension(entity);
        return;
    }
  }

 private:
  void begin(std::string_view type, const DxfEntity& entity) {
    out_.add(0, type);
    out_.handle();
    out_.owner(space_);
    out_.subclass("AcDbEntity");
    out_.add(8, entity.layer);
    if (entity.colour != 0) {
      out_.add(62, entity.colour);
    }
  }

  static int polylineFlags(const DxfEntity& entity) {
    constexpr int kClosed = 1, kPatternRunsOn = 128;
    return (entity.is_closed ? kClosed : 0) + (entity.runs_on ? kPatternRunsOn : 0);
  }

  void bulge(const DxfVertex& vertex) {
    if (vertex.bulge != 0) {
      out_.add(42, std::string_view(fixedDecimals(vertex.bulge, 15)));
    }
  }

  void lightPolyline(const DxfEntity& entity) {
    begin("LWPOLYLINE", entity);
    out_.subclass("AcDbPolyline");
    out_.add(90, static_cast<int>(entity.vertices.size()));
    out_.add(70, polylineFlags(entity));
    for (const DxfVertex& vertex : entity.vertices) {
      out_.real(10, vertex.x_mm);
      out_.real(20, vertex.y_mm);
      bulge(vertex);
    }
  }

  void oldPolyline(const DxfEntity& entity) {
    begin("POLYLINE", entity);
    out_.add(66, 1);
    out_.point(10, 0, 0);
    out_.add(70, polylineFlags(entity));
    for (const DxfVertex& vertex : entity.vertices) {
      begin("VERTEX", entity);
      out_.point(10, vertex.x_mm, vertex.y_mm);
      bulge(vertex);
    }
    begin("SEQEND", entity);
  }

  void text(const DxfEntity& entity) {
    const DxfVertex& at = entity.vertices.front();
    begin("TEXT", entity);
    out_.subclass("AcDbText");
    out_.point(10, at.x_mm, at.y_mm);
    out_.real(40, entity.size_mm);
    out_.add(1, entity.text);
    out_.real(50, entity.turned_deg);
    if (!entity.style.empty()) {
      out_.real(41, entity.width_factor);  // a text does not take it from its style
      out_.add(7, entity.style);
    }
    if (entity.align != DxfAlign::kLeft) {
      out_.add(72, entity.align == DxfAlign::kCentre ? 1 : 2);
      out_.point(11, at.x_mm, at.y_mm);
    }
    out_.subclass("AcDbText");
  }

  void requireR2000() const {
    if (!out_.isR2000()) {
      throw std::logic_error("R12 has no such entity");
    }
  }

  /// Solid: what is inside an odd number of loops.
  void hatch(const DxfEntity& entity) {
    requireR2000();
    begin("HATCH", entity);
    out_.subclass("AcDbHatch");
    out_.point(10, 0, 0);
    out_.real(210, 0);
    out_.real(220, 0);
    out_.real(230, 1);
    out_.add(2, "SOLID");
    out_.add(70, 1);
    out_.add(71, 0);
    out_.add(91, static_cast<int>(entity.loops.size()));
    for (const std::vector<DxfVertex>& loop : entity.loops) {
      hatchLoop(loop);
    }
    out_.add(75, 0);
    out_.add(76, 1);
    out_.add(98, 0);
  }

  void hatchLoop(const std::vector<DxfVertex>& loop) {
    constexpr int kExternal = 1, kPolyline = 2;
    const bool has_arcs =
        std::any_of(loop.begin(), loop.end(), [](const DxfVertex& v) { return v.bulge != 0; });
    out_.add(92, kExternal + kPolyline);
    out_.add(72, has_arcs ? 1 : 0);
    out_.add(73, 1);
    out_.add(93, static_cast<int>(loop.size()));
    for (const DxfVertex& vertex : loop) {
      out_.real(10, vertex.x_mm);
      out_.real(20, vertex.y_mm);
      if (has_arcs) {
        out_.add(42, std::string_view(fixedDecimals(vertex.bulge, 15)));
      }
    }
    out_.add(97, 0);
  }

  void dimension(const DxfEntity& entity) {
    requireR2000();
    constexpr int kRotated = 0, kOwnBlock = 32, kTextPlaced = 128, kMiddle = 5;
    const DxfDimension& d = entity.dimension;
    begin("DIMENSION", entity);
    out_.subclass("AcDbDimension");
    out_.add(2, dxfBlockName(entity.block));
    out_.point(10, d.line_at.x_mm, d.line_at.y_mm);
    out_.point(11, d.text_middle.x_mm, d.text_middle.y_mm);
    out_.add(70, kRotated + kOwnBlock + kTextPlaced);
    out_.add(1, entity.text);
    out_.add(71, kMiddle);
    out_.real(42, d.measured_mm);
    if (std::remainder(d.text_deg - d.angle_deg, 180) != 0) {
      out_.real(53, d.text_deg - d.angle_deg);
    }
    out_.add(3, entity.style);
    out_.subclass("AcDbAlignedDimension");
    out_.point(13, d.first.x_mm, d.first.y_mm);
    out_.point(14, d.second.x_mm, d.second.y_mm);
    out_.real(50, d.angle_deg);
    out_.subclass("AcDbRotatedDimension");
  }

  DxfGroups& out_;
  std::string_view space_;
};

void beginBlock(DxfGroups& out, std::string_view name, std::string_view space, int flags) {
  out.add(0, "BLOCK");
  out.handle();
  out.owner(space);
  out.subclass("AcDbEntity");
  out.add(8, "0");
  out.subclass("AcDbBlockBegin");
  out.add(2, name);
  out.add(70, flags);
  out.point(10, 0, 0);
  out.add(3, name);
  out.add(1, "");
}

void endBlock(DxfGroups& out, std::string_view space) {
  out.add(0, "ENDBLK");
  out.handle();
  out.owner(space);
  out.subclass("AcDbEntity");
  out.add(8, "0");
  out.subclass("AcDbBlockEnd");
}

void widenByAll(DxfExtents& extents, const std::vector<DxfEntity>& entities) {
  for (const DxfEntity& entity : entities) {
    if (entity.kind == DxfKind::kDimension) {
      continue;  // seen as its block
    }
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
}

}  // namespace

void writeDxfBlocks(DxfGroups& out, const DxfContent& content,
                    const std::vector<std::string>& block_records) {
  constexpr int kAnonymous = 1;
  out.begin("BLOCKS");
  for (const auto& [name, space] :
       {std::pair{"*MODEL_SPACE", kDxfModelSpace}, std::pair{"*PAPER_SPACE", kDxfPaperSpace}}) {
    beginBlock(out, name, space, 0);
    endBlock(out, space);
  }
  for (std::size_t i = 0; i < block_records.size(); ++i) {
    beginBlock(out, dxfBlockName(i), block_records[i], kAnonymous);
    EntityWriter writer(out, block_records[i]);
    for (const DxfEntity& entity : content.blocks[i]) {
      writer.write(entity);
    }
    endBlock(out, block_records[i]);
  }
  out.end();
}

void writeDxfEntities(DxfGroups& out, const DxfContent& content) {
  out.begin("ENTITIES");
  EntityWriter writer(out, kDxfModelSpace);
  for (const DxfEntity& entity : content.entities) {
    writer.write(entity);
  }
  out.end();
}

DxfExtents extentsOf(const DxfContent& content) {
  constexpr double kFar = std::numeric_limits<double>::max();
  DxfExtents extents{kFar, kFar, -kFar, -kFar};
  widenByAll(extents, content.entities);
  for (const auto& block : content.blocks) {
    widenByAll(extents, block);
  }
  return content.entities.empty() ? DxfExtents{} : extents;
}

}  // namespace leafstack
