#include "exporters/paper/backends/pdf.h"

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/utf8.h"
#include "exporters/paper/backends/pdf_pen.h"
#include "exporters/paper/sheet/backend.h"

namespace leafstack {
namespace {

constexpr double kBlack = 0;

/// One sheet on one page. The page's Y runs down, so every arc bulges the other way.
class PageOf {
 public:
  PageOf(PdfPen& pen, const Sheet& sheet) : pen_(pen), sheet_(sheet) {}

  void draw() {
    const std::vector<DrawnDimension> dimensions = drawnDimensions(sheet_);
    for (const Area& area : sheet_.areas) {
      pen_.begin();
      for (const auto& loop : area.loops) {
        outline(loop, true);
      }
      pen_.fillEvenOdd(area.grey);
    }
    for (const LineRole role : kLineRoles) {
      strokes(role, dimensions);
    }
    pen_.begin();
    for (const DrawnDimension& dimension : dimensions) {
      for (const auto& arrow : dimension.arrows) {
        triangle(arrow);
      }
    }
    pen_.fill(kBlack);
    for (const Lettering& lettering : sheet_.letterings) {
      text(lettering);
    }
    for (const DrawnDimension& dimension : dimensions) {
      text(dimension.text);
    }
  }

 private:
  void outline(const std::vector<PathVertex>& vertices, bool is_closed) {
    const std::size_t count = vertices.size();
    pen_.moveTo(vertices[0].x_mm, down(vertices[0].y_mm));
    for (std::size_t i = 0; i + 1 < count + (is_closed ? 1U : 0U); ++i) {
      const PathVertex& to = vertices[(i + 1) % count];
      if (i + 1 < count || vertices[i].bulge != 0) {  // closing draws the last straight piece
        pen_.arcTo(to.x_mm, down(to.y_mm), -vertices[i].bulge);
      }
    }
    if (is_closed) {
      pen_.close();
    }
  }

  void strokes(LineRole role, const std::vector<DrawnDimension>& dimensions) {
    const auto paths = strokesOf(role, sheet_, dimensions);
    if (paths.empty()) {
      return;
    }
    pen_.begin();
    for (const Path* path : paths) {
      outline(path->vertices, path->is_closed);
    }
    const double width = widthOf(role, sheet_.wide_mm);
    pen_.patterned(width, kBlack, patternWithRoundEnds(role, width));
  }

  void triangle(const std::array<PaperPoint, 3>& corners) {
    pen_.moveTo(corners[0].x_mm, down(corners[0].y_mm));
    pen_.arcTo(corners[1].x_mm, down(corners[1].y_mm), 0);
    pen_.arcTo(corners[2].x_mm, down(corners[2].y_mm), 0);
    pen_.close();
  }

  void text(const Lettering& lettering) {
    const std::string words = printableLine(lettering.text);
    const PaperPoint start = textStart(lettering);
    pen_.bold(lettering.is_bold);
    pen_.turnedText(start.x_mm, down(start.y_mm), lettering.height_mm * kBodyPerCapital,
                    lettering.turned_deg, words);
  }

  double down(double y_mm) const { return sheet_.height_mm - y_mm; }

  PdfPen& pen_;
  const Sheet& sheet_;
};

}  // namespace

std::string drawingPdf(const std::vector<Sheet>& sheets, const Provenance& provenance,
                       const std::string& title) {
  if (sheets.empty()) {
    throw ExportError("a PDF of drawings needs a sheet");
  }
  PdfPen pen(sheets.front().width_mm, sheets.front().height_mm, printableLine(title), provenance);
  pen.roundLines();
  for (const Sheet& sheet : sheets) {
    requireDrawable(sheet);
    pen.pageSize(sheet.width_mm, sheet.height_mm);
    PageOf(pen, sheet).draw();
    pen.nextPage();
  }
  return pen.file();
}

}  // namespace leafstack
