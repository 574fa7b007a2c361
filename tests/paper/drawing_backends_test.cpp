// Drawing sheets' backends: dimensions and text boxes by hand, letters' advances against cairo, the
// three file formats on a made-up sheet. What other programs read is in readers/drawing.py.
#include <cairo/cairo.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/utf8.h"
#include "exporters/cad/dxf/dxf.h"
#include "exporters/paper/backends/drawing_dxf.h"
#include "exporters/paper/backends/pdf.h"
#include "exporters/paper/backends/svg.h"
#include "exporters/paper/sheet/backend.h"
#include "exporters/paper/sheet/letter_advances.h"
#include "exporters/paper/sheets/drawings.h"
#include "tests/paper/sample_sheet.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/text_count.h"

namespace leafstack {
namespace {

constexpr double kSameMm = 1e-9;  // arithmetic's rounding
const Provenance kProvenance{"2024-01-01T00:00:00Z", "ab12"};

void expectPoint(double x, double y, double wanted_x, double wanted_y) {
  EXPECT_NEAR(x, wanted_x, kSameMm);
  EXPECT_NEAR(y, wanted_y, kSameMm);
}

void expectLine(const Path& path, const std::vector<PaperPoint>& points) {
  EXPECT_EQ(path.role, LineRole::kDimension);
  ASSERT_EQ(path.vertices.size(), points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    expectPoint(path.vertices[i].x_mm, path.vertices[i].y_mm, points[i].x_mm, points[i].y_mm);
  }
}

// ---------------------------------------------------------------- dimensions

std::string printed(double value_mm, int decimals) {
  Dimension d;
  d.value_mm = value_mm;
  d.decimals = decimals;
  return d.text();
}

TEST(DrawingDimension, NumbersAreRoundedHalvesUp) {
  EXPECT_EQ(printed(3000, 0), "3000");
  EXPECT_EQ(printed(2999.9999999, 0), "3000");
  EXPECT_EQ(printed(1234.5, 0), "1235");
  EXPECT_EQ(printed(0.5, 0), "1");
  EXPECT_EQ(printed(0.1 + 0.2 + 0.05, 1), "0.4");  // 0.35, whose double is less
  EXPECT_EQ(printed(1.005, 2), "1.01");            // so is this
  EXPECT_EQ(printed(12, 1), "12.0");
  EXPECT_EQ(printed(0, 0), "0");
  Dimension d;
  d.value_mm = 450;
  d.prefix = "room ";
  d.suffix = " typ";
  EXPECT_EQ(d.text(), "room 450 typ");
}

// By hand: gap of 1 at the object, 2 past the line, arrows 2.5 long and a third as wide
// (common practice, no source).
TEST(DrawingDimension, LinearByHand) {
  Dimension d = sample_sheet::linear({0, 0}, {100, 5}, {40, 20}, 0, 10);
  const DrawnDimension above = drawn(d);
  ASSERT_EQ(above.lines.size(), 3U);
  expectLine(above.lines[0], {{0, 1}, {0, 22}});
  expectLine(above.lines[1], {{100, 6}, {100, 22}});
  expectLine(above.lines[2], {{0, 20}, {100, 20}});
  ASSERT_EQ(above.arrows.size(), 2U);
  const double half = 2.5 / 6;
  expectPoint(above.arrows[0][0].x_mm, above.arrows[0][0].y_mm, 0, 20);
  EXPECT_NEAR(above.arrows[0][1].x_mm, 2.5, kSameMm);
  EXPECT_NEAR(std::abs(above.arrows[0][1].y_mm - 20), half, 1e-6);
  EXPECT_NEAR(above.arrows[0][1].y_mm + above.arrows[0][2].y_mm, 40, kSameMm);
  expectPoint(above.arrows[1][0].x_mm, above.arrows[1][0].y_mm, 100, 20);
  EXPECT_NEAR(above.arrows[1][1].x_mm, 97.5, kSameMm);
  EXPECT_EQ(above.text.text, "1000");
  expectPoint(above.text.at.x_mm, above.text.at.y_mm, 50, 21);

  d.line_at = {0, -10};
  const DrawnDimension below = drawn(d);
  expectLine(below.lines[0], {{0, -1}, {0, -12}});
  expectLine(below.lines[1], {{100, 4}, {100, -12}});

  d.line_at = {0, 0};  // on the first object point
  const DrawnDimension on = drawn(d);
  ASSERT_EQ(on.lines.size(), 2U);
  expectLine(on.lines[0], {{100, 4}, {100, -2}});
  expectLine(on.lines[1], {{0, 0}, {100, 0}});
}

TEST(DrawingDimension, NarrowOnesByHand) {
  Dimension d = sample_sheet::linear({0, 0}, {3, 0}, {0, 8}, 0, 10);
  d.arrows_outside = true;
  const DrawnDimension narrow = drawn(d);
  expectLine(narrow.lines[2], {{-5, 8}, {8, 8}});  // an arrow and its tail at either side
  EXPECT_NEAR(narrow.arrows[0][1].x_mm, -2.5, kSameMm);
  EXPECT_NEAR(narrow.arrows[1][1].x_mm, 5.5, kSameMm);
  // "30" is two digits of 1303 in 2048 of the body; capitals are 0.729 of it.
  const double half = 1303.0 / 2048 * 2.5 / 0.729;
  d.text_at = {20, 9};
  expectLine(drawn(d).lines[2], {{-5, 8}, {20 + half, 8}});
  d.text_at = {-20, 9};
  expectLine(drawn(d).lines[2], {{-20 - half, 8}, {8, 8}});
  d.arrows_outside = false;
  expectLine(drawn(d).lines[2], {{-20 - half, 8}, {3, 8}});
  EXPECT_NEAR(drawn(d).arrows[0][1].x_mm, 2.5, kSameMm);
  // Measured backwards, the arrows point the same ways.
  std::swap(d.from, d.to);
  EXPECT_NEAR(drawn(d).arrows[0][1].x_mm, 0.5, kSameMm);
  expectLine(drawn(d).lines[2], {{-20 - half, 8}, {3, 8}});
}

TEST(DrawingDimension, RunningByHand) {
  const Dimension straight = sample_sheet::running({0, 0}, {30, 0}, {30, -20}, 10);
  ASSERT_EQ(drawn(straight).lines.size(), 1U);
  EXPECT_TRUE(drawn(straight).arrows.empty());
  expectLine(drawn(straight).lines[0], {{30, -1}, {30, -20}});
  const Dimension jog = sample_sheet::running({0, 0}, {30, 0}, {34, -20}, 10);
  expectLine(drawn(jog).lines[0], {{30, -1}, {30, -16}, {34, -20}});
  const Dimension steep = sample_sheet::running({0, 0}, {30, 0}, {90, 20}, 10);
  expectLine(drawn(steep).lines[0], {{30, 1}, {90, 20}});
  const DrawnDimension datum = drawn(sample_sheet::running({0, 0}, {0, 0}, {0, -20}, 10));
  ASSERT_EQ(datum.lines.size(), 2U);
  expectPoint(circleOf(datum.lines[0]).centre.x_mm, circleOf(datum.lines[0]).centre.y_mm, 0, -2);
  EXPECT_NEAR(circleOf(datum.lines[0]).radius_mm, 1, kSameMm);
  expectLine(datum.lines[1], {{0, -3}, {0, -20}});
}

// Turned and moved as a whole, a dimension looks the same.
TEST(DrawingDimension, LooksTheSameInEveryDirection) {
  Dice dice(20);
  for (int i = 0; i < 200; ++i) {
    Dimension d;
    d.kind = dice.below(2) == 0 ? DimensionKind::kLinear : DimensionKind::kRunning;
    d.arrows_outside = dice.below(2) == 0;
    d.value_mm = dice.below(3) == 0 ? 0 : dice.in(0, 900);
    const auto point = [&] { return PaperPoint{dice.in(-50, 50), dice.in(-50, 50)}; };
    d.from = point();
    d.to = point();
    d.line_at = point();
    d.text_at = point();
    const double turn_deg = dice.in(-180, 180), turn = turn_deg * std::numbers::pi / 180;
    const auto turned = [&](const PaperPoint& p) {
      return PaperPoint{7 + p.x_mm * std::cos(turn) - p.y_mm * std::sin(turn),
                        9 + p.x_mm * std::sin(turn) + p.y_mm * std::cos(turn)};
    };
    Dimension other = d;
    other.angle_deg = turn_deg;
    for (auto member :
         {&Dimension::from, &Dimension::to, &Dimension::line_at, &Dimension::text_at}) {
      other.*member = turned(d.*member);
    }
    const DrawnDimension flat = drawn(d), slant = drawn(other);
    ASSERT_EQ(flat.lines.size(), slant.lines.size());
    for (std::size_t k = 0; k < flat.lines.size(); ++k) {
      if (circleOf(flat.lines[k]).radius_mm > 0) {
        continue;  // its two corners lie along X
      }
      std::vector<PaperPoint> points;
      for (const PathVertex& v : flat.lines[k].vertices) {
        points.push_back(turned({v.x_mm, v.y_mm}));
      }
      expectLine(slant.lines[k], points);
    }
    for (std::size_t k = 0; k < flat.arrows.size(); ++k) {
      for (std::size_t corner = 0; corner < 3; ++corner) {
        const PaperPoint wanted = turned(flat.arrows[k][corner]);
        expectPoint(slant.arrows[k][corner].x_mm, slant.arrows[k][corner].y_mm, wanted.x_mm,
                    wanted.y_mm);
      }
    }
  }
}

// ---------------------------------------------------------------- lines and letters

// ISO 128: wide to narrow 2 to 1; dashes of 12 widths, long ones of 24, gaps of 3.
TEST(DrawingLines, WidthsAndPatterns) {
  EXPECT_EQ(widthOf(LineRole::kVisible, 0.5), 0.5);
  EXPECT_EQ(widthOf(LineRole::kHidden, 0.5), 0.25);
  EXPECT_EQ(widthOf(LineRole::kFrame, 0.35), 0.7);
  EXPECT_TRUE(patternOf(LineRole::kVisible, 0.5).empty());
  EXPECT_EQ(patternOf(LineRole::kHidden, 0.25), (std::vector<double>{3, 0.75}));
  EXPECT_EQ(patternOf(LineRole::kCutting, 0.5), (std::vector<double>{12, 1.5, 0.25, 1.5}));
  EXPECT_EQ(patternOf(LineRole::kPhantom, 0.25).size(), 6U);
  // What round ends add is taken off the strokes and the period kept.
  EXPECT_EQ(patternWithRoundEnds(LineRole::kHidden, 0.25), (std::vector<double>{2.75, 1}));
}

// DejaVu Sans as cairo measures it, unhinted, at a size that makes the unit 1.
TEST(DrawingLetters, AdvancesAreTheFacesOwn) {
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_A8, 8, 8);
  cairo_t* cairo = cairo_create(surface);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_set_font_options(cairo, options);
  int known = 0, widest[2] = {0, 0};
  for (const bool is_bold : {false, true}) {
    cairo_select_font_face(cairo, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           is_bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(cairo, kUnitsPerBody);
    for (unsigned code = 0x20; code < 0x2400; ++code) {
      if (!isKnownLetter(code)) {
        EXPECT_GE(letterAdvance(code, is_bold), is_bold ? 2390 : 2191);
        continue;
      }
      std::string letter;
      if (code < 0x80) {
        letter = {static_cast<char>(code)};
      } else if (code < 0x800) {
        letter = {static_cast<char>(0xC0 | code >> 6), static_cast<char>(0x80 | (code & 0x3F))};
      } else {
        letter = {static_cast<char>(0xE0 | code >> 12),
                  static_cast<char>(0x80 | (code >> 6 & 0x3F)),
                  static_cast<char>(0x80 | (code & 0x3F))};
      }
      cairo_text_extents_t extents;
      cairo_text_extents(cairo, letter.c_str(), &extents);
      EXPECT_NEAR(letterAdvance(code, is_bold), extents.x_advance, 0.51) << std::hex << code;
      widest[is_bold ? 1 : 0] = std::max(widest[is_bold ? 1 : 0], letterAdvance(code, is_bold));
      ++known;
    }
  }
  EXPECT_GT(known, 2 * 300);
  EXPECT_EQ(widest[0], letterAdvance(0x4E00, false));  // no letter of this face
  EXPECT_EQ(widest[1], letterAdvance(0x4E00, true));
  for (const unsigned code : {0xB0U, 0xB1U, 0xD7U, 0x2013U, 0xB7U, 0xD8U, 0xF8U, 0xB2U, 0xB3U,
                              0x2212U, 0x2022U, 0x201CU, 0xFCU}) {
    EXPECT_TRUE(isKnownLetter(code)) << code;
  }
  cairo_font_options_destroy(options);
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
}

// By hand: ten digits in a body of 10 mm are 10 x 10 x 1303 / 2048.
TEST(DrawingLetters, TextBoxByHand) {
  const double width = 63.623046875;
  EXPECT_NEAR(textWidthMm("0123456789", 7.29), width, kSameMm);
  Lettering words{"0123456789", {100, 50}, 7.29, TextAnchor::kLeft, 0, false};
  const auto expectBox = [&](const std::array<PaperPoint, 4>& wanted) {
    const auto box = textBox(words);
    for (std::size_t i = 0; i < 4; ++i) {
      expectPoint(box[i].x_mm, box[i].y_mm, wanted[i].x_mm, wanted[i].y_mm);
    }
  };
  const double low = 50 - 7.29 / 4, high = 50 + 7.29;
  expectBox({{{100, low}, {100 + width, low}, {100 + width, high}, {100, high}}});
  words.anchor = TextAnchor::kRight;
  expectBox({{{100 - width, low}, {100, low}, {100, high}, {100 - width, high}}});
  words.anchor = TextAnchor::kCentre;
  words.turned_deg = 90;
  const double right = 100 + 7.29 / 4, left = 100 - 7.29;
  expectBox({{{right, 50 - width / 2},
              {right, 50 + width / 2},
              {left, 50 + width / 2},
              {left, 50 - width / 2}}});
  EXPECT_NEAR(textStart(words).y_mm, 50 - width / 2, kSameMm);
}

TEST(DrawingLetters, WhatIsNoTextBecomesSome) {
  EXPECT_EQ(printableLine("a\tb\nc\x7F"), "a b c ");
  EXPECT_EQ(printableLine("\xFF\xC3"), "??");
  EXPECT_EQ(printableLine("\xED\xA0\x80"), "?");  // half of a surrogate pair
  EXPECT_EQ(printableLine("\xE0\x80\xAF"), "?");  // too long a form of a slash
  EXPECT_EQ(printableLine("\xC3\xBC \xE2\x80\x93"), "\xC3\xBC \xE2\x80\x93");
}

// ---------------------------------------------------------------- files

/// End points of every piece of path data, in user units.
std::vector<std::array<double, 2>> pointsOf(const std::string& data) {
  std::vector<std::array<double, 2>> points;
  std::array<double, 2> at{}, start{};
  char command = 0;
  const char* next = data.c_str();
  const auto number = [&] {
    char* end = nullptr;
    const double value = std::strtod(next, &end);
    EXPECT_NE(end, next) << next;
    next = end;
    return value;
  };
  while (*next != 0) {
    if (std::isalpha(static_cast<unsigned char>(*next)) != 0) {
      command = *next++;
    }
    if (command == 'z') {
      at = start;
      continue;
    }
    if (command == 'a') {
      for (int i = 0; i < 5; ++i) {
        number();
      }
    }
    at[0] += command == 'v' ? 0 : number();
    at[1] += command == 'h' ? 0 : number();
    start = command == 'm' ? at : start;
    points.push_back(at);
    next += *next == ' ' ? 1 : 0;
  }
  return points;
}

// However long the path, every point is where it belongs to half a thousandth.
TEST(DrawingSvg, PathsKeepTheirPoints) {
  Dice dice(7);
  Sheet sheet;
  std::vector<std::array<double, 2>> wanted;
  for (int i = 0; i < 100; ++i) {
    Path path;
    path.is_closed = dice.below(2) == 0;
    for (int k = 0; k < 20; ++k) {
      const bool is_arc = dice.below(4) == 0;
      const bool is_level = k > 0 && dice.below(4) == 0;
      path.vertices.push_back({dice.in(0, 420),
                               is_level ? path.vertices.back().y_mm : dice.in(0, 297),
                               is_arc ? dice.in(-3, 3) : 0});
      wanted.push_back({path.vertices.back().x_mm, 297 - path.vertices.back().y_mm});
    }
    if (path.is_closed && path.vertices.back().bulge != 0) {
      wanted.push_back({path.vertices[0].x_mm, 297 - path.vertices[0].y_mm});
    }
    sheet.paths.push_back(path);
  }
  const std::string svg = drawingSvg(sheet, kProvenance);
  const std::size_t begin = svg.find(" d=\"") + 4;
  const auto points = pointsOf(svg.substr(begin, svg.find('"', begin) - begin));
  ASSERT_EQ(points.size(), wanted.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    EXPECT_NEAR(points[i][0], wanted[i][0], 0.00051);
    EXPECT_NEAR(points[i][1], wanted[i][1], 0.00051);
  }
}

TEST(DrawingSvg, TurnsByHand) {
  const std::string svg = drawingSvg(sample_sheet::full(), kProvenance);
  EXPECT_NE(svg.find("rotate(-90 380 257)"), std::string::npos);
  // The slot: from (130, 105) a half turn anticlockwise on paper, up to (130, 115). Y runs down in
  // here, so that is against the positive sweep.
  EXPECT_NE(svg.find("h40a5 5 0 0 0 0-10h-40a5 5 0 0 0 0 10z"), std::string::npos);
}

TEST(DrawingDxf, LayersHaveWeightsAndLineTypes) {
  Sheet sheet = sample_sheet::full();
  const std::string dxf = drawingDxf(sheet);
  EXPECT_NE(dxf.find("HIDDEN\n 70\n0\n 62\n3\n  6\nISO02_DASHED_0_25\n370\n25\n"),
            std::string::npos);
  EXPECT_NE(dxf.find("CUTTING\n 70\n0\n 62\n1\n  6\nISO04_LONG_DASH_DOT_0_5\n370\n50\n"),
            std::string::npos);
  EXPECT_NE(dxf.find("FRAME\n 70\n0\n 62\n7\n  6\nCONTINUOUS\n370\n70\n"), std::string::npos);
  // Long dash, gap, dot, gap.
  EXPECT_NE(dxf.find(" 73\n4\n 40\n7.625\n 49\n6.0\n 74\n0\n 49\n-0.75\n 74\n0\n 49\n0.125\n"),
            std::string::npos);
  EXPECT_EQ(countOf(dxf, "  0\nHATCH\n"), 3U);
  // Those that count from a datum are lines and text.
  const auto linear = static_cast<std::size_t>(
      std::count_if(sheet.dimensions.begin(), sheet.dimensions.end(),
                    [](const Dimension& one) { return one.kind == DimensionKind::kLinear; }));
  EXPECT_EQ(countOf(dxf, "  0\nDIMENSION\n"), linear);
  EXPECT_EQ(countOf(dxf, "AcDbOrdinateDimension"), 0U);
  EXPECT_EQ(countOf(dxf, "  0\nTEXT\n"), sheet.letterings.size() + sheet.dimensions.size());
  EXPECT_EQ(countOf(dxf, "  0\nCIRCLE\n"), 3U);  // two of the sheet, one at the datum
  EXPECT_EQ(countOf(dxf, "  0\nSOLID\n"), 2U * 9U);
  EXPECT_NE(dxf.find("Tor & Zaun <M\\U+00FCller> 12\\U+00B0 \\U+00B10.5\n"), std::string::npos);
  sheet.wide_mm = 0.35;  // half of it is no weight of the format: the next one is
  EXPECT_NE(drawingDxf(sheet).find("HATCH\n 70\n0\n 62\n8\n  6\nCONTINUOUS\n370\n18\n"),
            std::string::npos);
}

/// Every number of a group code, in the entities of one kind, in the file's order.
std::vector<double> numbersOf(const std::string& dxf, const std::string& kind, int code) {
  std::istringstream lines(dxf);
  std::string group, value;
  std::vector<double> numbers;
  bool is_in = false;
  while (std::getline(lines, group) && std::getline(lines, value)) {
    if (std::stoi(group) == 0) {
      is_in = value == kind;
    } else if (is_in && std::stoi(group) == code) {
      numbers.push_back(std::stod(value));
    }
  }
  return numbers;
}

// In model space what is measured between a dimension's own points (groups 13, 23 and 14, 24, along
// 50) is what its text says (42 and 1), for views of two scales.
TEST(DrawingDxf, ViewsInModelSpaceAreOneToOne) {
  const Model model = gates::modelWith({{"/site/opening_mm", 5210}, {"/gate/panels", 2}});
  int measured = 0;
  for (const Sheet& sheet : gateSheets(model, makeSchedules(model))) {
    const std::string dxf = modelDxf(sheet);
    const auto numbers = [&](int code) { return numbersOf(dxf, "DIMENSION", code); };
    const auto x0 = numbers(13), y0 = numbers(23), x1 = numbers(14), y1 = numbers(24);
    const auto said = numbers(42), turned = numbers(50);
    ASSERT_EQ(x0.size(), said.size()) << sheet.name;
    for (std::size_t i = 0; i < said.size() && !sheet.views.empty(); ++i) {
      const double angle = turned[i] * std::acos(-1.0) / 180;
      const double apart =
          std::abs((x1[i] - x0[i]) * std::cos(angle) + (y1[i] - y0[i]) * std::sin(angle));
      EXPECT_NEAR(apart, said[i], 1e-3) << sheet.name;
      ++measured;
    }
    EXPECT_EQ(sheet.views.empty(), modelDxf(sheet) == drawingDxf(sheet)) << sheet.name;
  }
  EXPECT_GT(measured, 40);
}

TEST(DrawingDxf, WriterRefusesWhatR12CannotHold) {
  DxfDrawing drawing;
  drawing.layer("A", 7);
  EXPECT_THROW(drawing.layer("B", 7, "NO_SUCH"), std::logic_error);
  EXPECT_THROW(drawing.dimensionStyle({"D", "NO_SUCH"}), std::logic_error);
  EXPECT_THROW(drawing.dimension("A", {}, [] {}), std::logic_error);
  DxfLettering words;
  words.style = "NO_SUCH";
  EXPECT_THROW(drawing.text("A", words), std::logic_error);
  drawing.hatch("A", {{{0, 0}, {1, 0}, {0, 1}}});
  EXPECT_NO_THROW(drawing.file());
  EXPECT_THROW(drawing.file(DxfVersion::kR12), std::logic_error);
}

// Coordinates are written to a millionth, halves away from 0, shortest; like printf's.
TEST(DrawingDxf, NumbersLikeTheLibrarys) {
  Dice dice(3);
  for (int i = 0; i < 2000; ++i) {
    const double value = std::round(dice.in(-1, 1) * std::pow(10, dice.below(12))) / 1e6;
    DxfDrawing drawing;
    drawing.layer("A", 7);
    drawing.circle("A", 0, 0, value);
    char text[64];
    std::snprintf(text, sizeof text, "%.6f", value + 0.0);
    std::string wanted = text;
    wanted.erase(wanted.find_last_not_of('0') + 1);
    wanted = "\n 40\n" + (wanted == "-0." ? "0." : wanted);
    const std::string line = wanted.ends_with('.') ? wanted + "0\n  0\n" : wanted + "\n  0\n";
    ASSERT_NE(drawing.file().find(line), std::string::npos) << line;
  }
}

TEST(DrawingFiles, RefuseWhatIsNotFinite) {
  const double kNan = std::nan(""), kInf = std::numeric_limits<double>::infinity();
  std::vector<Sheet> bad(8, sample_sheet::full());
  bad[0].paths[0].vertices[1].x_mm = kNan;
  bad[1].areas[0].loops[0][0].bulge = kInf;
  bad[2].letterings[0].height_mm = 0;
  bad[3].letterings[0].at.y_mm = kNan;
  bad[4].dimensions[0].line_at.x_mm = kInf;
  bad[5].dimensions[0].mm_per_mm = -1;
  bad[6].width_mm = kNan;
  bad[7].paths[0].vertices.resize(1);
  for (const Sheet& sheet : bad) {
    EXPECT_THROW(drawingPdf({sheet}, kProvenance, "bad"), ExportError);
    EXPECT_THROW(drawingSvg(sheet, kProvenance), ExportError);
    EXPECT_THROW(drawingDxf(sheet), ExportError);
  }
  EXPECT_THROW(drawingPdf({}, kProvenance, "none"), ExportError);
  Sheet odd;  // malformed text is lettered all the same
  odd.letterings = {{"\xFF\xFE \x01", {10, 10}}, {"", {20, 20}}};
  EXPECT_NO_THROW(drawingPdf({odd}, kProvenance, "\xFF"));
  EXPECT_NE(drawingSvg(odd, kProvenance).find(">??  </text>"), std::string::npos);
  EXPECT_NE(drawingDxf(odd).find("\n??  \n"), std::string::npos);
}

}  // namespace
}  // namespace leafstack
