// Wrap-around templates on paper: what is printed where, and whether other programs can read it.
#include "exporters/paper/wrap/wrap_sheets.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <sstream>

#include "exporters/paper/wrap/wrap_pages.h"
#include "tests/shop/wrap_tubes.h"
#include "tests/support/run_program.h"
#include "tests/support/text_count.h"

namespace leafstack {
namespace {

using namespace wrap_tubes;

TEST(WrapSheets, PrintEveryOutlineOnPiecesThatFitThePage) {
  for (const char* hand : {"right", "left"}) {
    const std::vector<WrapTemplate> templates = templatesOf(modelOf(cases()[1], hand, 0.1));
    for (const WrapPageSize& size : {WrapPageSize{297, 210}, WrapPageSize{420, 297}}) {
      const std::vector<WrapPiece1To1> pieces = wrapPieces(templates, size);
      for (std::size_t i = 0; i < pieces.size(); ++i) {
        const WrapPiece1To1& a = pieces[i];
        EXPECT_LE(a.left_mm + a.x1_mm - a.x0_mm, size.margin_mm + size.pieceWidthMm() + 0.01);
        EXPECT_LE(a.top_mm + size.titles_mm + a.y1_mm - a.y0_mm + size.stations_mm,
                  size.height_mm - size.margin_mm + 0.01);
        // A station line on each.
        EXPECT_LE(std::ceil(a.x0_mm / 100) * 100, a.x1_mm) << a.made->mark;
        for (std::size_t j = i + 1; j < pieces.size(); ++j) {
          const WrapPiece1To1& b = pieces[j];
          const bool apart = a.page != b.page || a.left_mm + a.x1_mm - a.x0_mm < b.left_mm ||
                             a.top_mm + a.y1_mm - a.y0_mm < b.top_mm;
          EXPECT_TRUE(apart) << a.made->mark << " over " << b.made->mark;
        }
      }
      for (const WrapTemplate& made : templates) {
        for (const WrapCurve* curve : curvesOf(made)) {
          const WrapBox box = boxOf(*curve);
          if (box.x1_mm - box.x0_mm < 1e-3) continue;
          for (const auto& [x, y] : sampled(*curve)) {
            const bool printed =
                std::any_of(pieces.begin(), pieces.end(), [&, px = x, py = y](const auto& piece) {
                  return std::count(piece.marks.begin(), piece.marks.end(), made.mark) > 0 &&
                         px >= piece.x0_mm && px <= piece.x1_mm && py >= piece.y0_mm - 1e-6 &&
                         py <= piece.y1_mm + 1e-6;
                });
            EXPECT_TRUE(printed) << made.mark << " " << x << ", " << y;
          }
        }
      }
    }
  }
}

/// Read by programs that did not write it: sound, true to scale, its text text.
TEST(WrapSheets, AreSoundTrueToScaleAndReadable) {
  ASSERT_EQ(std::system("command -v qpdf pdftotext pdfinfo >/dev/null"), 0)
      << "no qpdf or poppler-utils: bash tests/run.sh installs them";
  const std::string path = ::testing::TempDir() + "leafstack_wrap.pdf";
  std::ofstream(path, std::ios::binary)
      << wrapPdf(templatesOf(modelOf(cases()[0], "right", 0.1)), {"2024-05-01T12:00:00Z", "00ff"});
  EXPECT_EQ(outputOf("qpdf --check '" + path + "' 2>&1").code, 0);
  const std::string info = outputOf("pdfinfo '" + path + "'").out;
  EXPECT_NE(info.find("841.89 x 595.276 pts (A4)"), std::string::npos) << info;
  const int pages = std::stoi(info.substr(info.find("Pages:") + 6));
  const std::string words = outputOf("pdftotext '" + path + "' -").out;
  EXPECT_NE(words.find("dia 12.4 at"), std::string::npos);
  EXPECT_NE(words.find("page " + std::to_string(pages) + " of"), std::string::npos);
  // Upright lines of 100 mm and level ones of 50 mm, one of each on every page at least.
  std::istringstream lines(outputOf("qpdf --qdf --object-streams=disable '" + path + "' -").out);
  int hundreds = 0, fifties = 0;
  for (std::string line; std::getline(lines, line);) {
    double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    if (std::sscanf(line.c_str(), "%lf %lf m %lf %lf l S", &x0, &y0, &x1, &y1) == 4) {
      constexpr double kMmPerPoint = 25.4 / 72;
      hundreds += x0 == x1 && std::abs(std::abs(y1 - y0) * kMmPerPoint - 100) < 0.002 ? 1 : 0;
      fifties += y0 == y1 && std::abs(std::abs(x1 - x0) * kMmPerPoint - 50) < 0.002 ? 1 : 0;
    }
  }
  EXPECT_GE(hundreds, pages);
  EXPECT_GE(fifties, pages);
}

TEST(WrapSheets, NameMarksInRuns) {
  EXPECT_EQ(markList({"PK1", "PK2", "PK3", "PK7", "ST1", "ST2"}), "PK1 to PK3, PK7, ST1, ST2");
}

TEST(WrapSheets, DxfHasEveryOutlineOnce) {
  const std::vector<WrapTemplate> templates = templatesOf(modelOf(cases()[0], "right", 0));
  const std::string dxf = wrapDxf(templates.front());
  EXPECT_EQ(countOf(dxf, "\nCIRCLE\n"),
            4u + 4u);  // axles through both walls, screws of two cradles
  EXPECT_EQ(countOf(dxf, "\nLWPOLYLINE\n"), 6u + 2u + 1u);  // slots, ends, check square
  EXPECT_EQ(countOf(dxf, "\nLINE\n"), 10u + 4u);            // folds and seam, arrow
}

}  // namespace
}  // namespace leafstack
