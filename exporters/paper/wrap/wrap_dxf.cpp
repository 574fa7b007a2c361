#include <algorithm>
#include <utility>

#include "exporters/cad/dxf/dxf.h"
#include "exporters/cad/dxf/mark_place.h"
#include "exporters/paper/wrap/wrap_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr const char* kCut = "CUT";
constexpr const char* kFold = "FOLD";
constexpr const char* kText = "TEXT";
constexpr double kWrapTextMm = 4;

void addOutline(DxfDrawing& drawing, const WrapCurve& curve) {
  if (curve.circle) {
    drawing.circle(kCut, curve.circle->x_mm, curve.circle->y_mm, curve.circle->radius_mm);
    return;
  }
  std::vector<DxfVertex> vertices;
  for (const WrapPoint& point : curve.points) {
    vertices.push_back({point.x_mm, point.y_mm, point.bulge});
  }
  if (curve.is_closed) {
    drawing.closedPolyline(kCut, std::move(vertices));
  } else {
    drawing.openPolyline(kCut, std::move(vertices));
  }
}

void addDatumArrow(DxfDrawing& drawing, double y) {
  constexpr double kLong = 40, kHead = 5;
  drawing.line(kText, 0, y - kHead, 0, y + kHead);
  drawing.line(kText, 0, y, kLong, y);
  drawing.line(kText, kLong, y, kLong - kHead, y - kHead / 2);
  drawing.line(kText, kLong, y, kLong - kHead, y + kHead / 2);
}

void addWords(DxfDrawing& drawing, const WrapTemplate& made) {
  constexpr double kLineMm = 7, kWallTextX = 230;
  for (const WrapWall& wall : made.walls) {
    // Between the cut-outs near an end and those further in.
    drawing.text(kText, kWallTextX, (wall.from_mm + wall.to_mm) / 2 - kWrapTextMm / 2, kWrapTextMm,
                 wall.name);
  }
  double y = made.girth_mm + kLineMm;
  const auto line = [&](const std::string& words) {
    drawing.text(kText, 0, y, kWrapTextMm, words);
    y += kLineMm;
  };
  line("seam (Y = 0): " + made.seam);
  line("datum (X = 0): " + made.datum + "; printed side out");
  line("girth " + shown(made.girth_mm) + ", length " + shown(made.length_mm) + ", 1:1 in mm");
  line(made.mark + "  " + made.section);
}

/// On the first wall, of those that are seen least first, that has room for it.
void addMark(DxfDrawing& drawing, const WrapTemplate& made) {
  constexpr double kOffEdgeMm = 2, kOffEndMm = 60;  // where caps, welds and hands are
  constexpr const char* kMark = "MARK";
  drawing.layer(kMark, 3);
  std::vector<MarkLoop> holes;
  for (const WrapCurve& curve : made.cutouts) {
    const WrapBox box = boxOf(curve);
    holes.push_back({{box.x0_mm, box.y0_mm},
                     {box.x1_mm, box.y0_mm},
                     {box.x1_mm, box.y1_mm},
                     {box.x0_mm, box.y1_mm}});
  }
  for (const char* const name :
       {"top", "rear", "underside", "trailing side", "leading side", "front"}) {
    for (const WrapWall& wall : made.walls) {
      const double from = made.from_mm + kOffEndMm, to = made.to_mm - kOffEndMm;
      if (wall.name != name || to <= from) {
        continue;
      }
      const MarkLoop flat = {
          {from, wall.from_mm}, {to, wall.from_mm}, {to, wall.to_mm}, {from, wall.to_mm}};
      if (const auto at = placeMark(made.mark, flat, holes, kOffEdgeMm)) {
        drawing.text(kMark, at->x_mm, at->y_mm, at->height_mm, made.mark);
        return;
      }
    }
  }
}

}  // namespace

std::string wrapDxf(const WrapTemplate& made, bool with_mark) {
  DxfDrawing drawing;
  drawing.layer(kCut, 7);
  drawing.layer(kFold, 8, "DASHED");
  drawing.layer(kText, 5);
  for (const auto* curves : {&made.cutouts, &made.ends}) {
    for (const WrapCurve& curve : *curves) {
      addOutline(drawing, curve);
    }
  }
  std::vector<double> lines = made.fold_lines_mm;
  lines.insert(lines.end(), {0, made.girth_mm});
  std::sort(lines.begin(), lines.end());
  for (const double y : lines) {
    drawing.line(kFold, made.from_mm, y, made.to_mm, y);
  }
  addWords(drawing, made);
  if (with_mark) {
    addMark(drawing, made);
  }
  constexpr double kArrowY = -12, kSquareTop = -25;
  addDatumArrow(drawing, kArrowY);
  drawing.text(kText, 45, kArrowY - kWrapTextMm / 2, kWrapTextMm, "X from the datum");
  drawing.closedPolyline(kText, {{0, kSquareTop},
                                 {0, kSquareTop - kWrapCheckMm},
                                 {kWrapCheckMm, kSquareTop - kWrapCheckMm},
                                 {kWrapCheckMm, kSquareTop}});
  drawing.text(kText, 5, kSquareTop - 10, kWrapTextMm, "scale check: 100 x 100 mm");
  return drawing.file();
}

}  // namespace leafstack
