#include "exporters/paper/sheet/paper.h"

#include <cmath>

namespace leafstack {
namespace {

PaperPoint moved(const PaperPoint& point, const PaperPoint& by) {
  return {point.x_mm + by.x_mm, point.y_mm + by.y_mm};
}

void move(std::vector<PathVertex>& vertices, const PaperPoint& by) {
  for (PathVertex& vertex : vertices) {
    vertex.x_mm += by.x_mm;
    vertex.y_mm += by.y_mm;
  }
}

/// The corners, and for an arc the box of its whole circle's reach from the chord: never too small.
void include(PaperBox& box, const std::vector<PathVertex>& vertices) {
  for (std::size_t i = 0; i < vertices.size(); ++i) {
    const PathVertex& at = vertices[i];
    box.include(PaperPoint{at.x_mm, at.y_mm});
    if (at.bulge != 0) {
      const PathVertex& next = vertices[(i + 1) % vertices.size()];
      const double x = (at.x_mm + next.x_mm) / 2;
      const double y = (at.y_mm + next.y_mm) / 2;
      const double half = std::hypot(next.x_mm - at.x_mm, next.y_mm - at.y_mm) / 2;
      const double reach = half * std::max(1.0, std::abs(at.bulge));
      box.include(PaperBox{x - reach, y - reach, x + reach, y + reach});
    }
  }
}

}  // namespace

void PaperBox::include(const PaperPoint& point) {
  include(PaperBox{point.x_mm, point.y_mm, point.x_mm, point.y_mm});
}

void PaperBox::include(const PaperBox& other) {
  left_mm = std::min(left_mm, other.left_mm);
  bottom_mm = std::min(bottom_mm, other.bottom_mm);
  right_mm = std::max(right_mm, other.right_mm);
  top_mm = std::max(top_mm, other.top_mm);
}

bool crosses(const PaperLine& line, const PaperBox& box) {
  // The stretch of the line, 0 to 1, that lies between each pair of the box's sides.
  double from = 0;
  double to = 1;
  const auto narrow = [&](double start, double run, double low, double high) {
    if (run == 0) {
      return start > low && start < high;
    }
    const double a = (low - start) / run;
    const double b = (high - start) / run;
    from = std::max(from, std::min(a, b));
    to = std::min(to, std::max(a, b));
    return from < to;
  };
  return narrow(line.from.x_mm, line.to.x_mm - line.from.x_mm, box.left_mm, box.right_mm) &&
         narrow(line.from.y_mm, line.to.y_mm - line.from.y_mm, box.bottom_mm, box.top_mm);
}

PaperBox boxOf(const Lettering& lettering) {
  PaperBox box;
  for (const PaperPoint& corner : textBox(lettering)) {
    box.include(corner);
  }
  return box;
}

PaperBox boxOf(const DrawnDimension& dimension) {
  PaperBox box = boxOf(dimension.text);
  for (const Path& line : dimension.lines) {
    include(box, line.vertices);
  }
  for (const auto& arrow : dimension.arrows) {
    for (const PaperPoint& corner : arrow) {
      box.include(corner);
    }
  }
  return box;
}

void addMoved(Sheet& sheet, const Sheet& block, const PaperPoint& by) {
  for (Path path : block.paths) {
    move(path.vertices, by);
    sheet.paths.push_back(std::move(path));
  }
  for (Area area : block.areas) {
    for (auto& loop : area.loops) {
      move(loop, by);
    }
    sheet.areas.push_back(std::move(area));
  }
  for (Lettering lettering : block.letterings) {
    lettering.at = moved(lettering.at, by);
    sheet.letterings.push_back(std::move(lettering));
  }
  for (Dimension dimension : block.dimensions) {
    for (PaperPoint* point :
         {&dimension.from, &dimension.to, &dimension.line_at, &dimension.text_at}) {
      *point = moved(*point, by);
    }
    sheet.dimensions.push_back(std::move(dimension));
  }
}

PaperBox extentsOf(const Sheet& sheet) {
  PaperBox box;
  for (const Path& path : sheet.paths) {
    include(box, path.vertices);
  }
  for (const Area& area : sheet.areas) {
    for (const auto& loop : area.loops) {
      include(box, loop);
    }
  }
  for (const Lettering& lettering : sheet.letterings) {
    box.include(boxOf(lettering));
  }
  for (const Dimension& dimension : sheet.dimensions) {
    box.include(boxOf(drawn(dimension)));
  }
  return box;
}

}  // namespace leafstack
