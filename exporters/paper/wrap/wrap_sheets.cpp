#include "exporters/paper/wrap/wrap_sheets.h"

#include <algorithm>
#include <cmath>

#include "exporters/paper/backends/pdf_pen.h"
#include "exporters/paper/wrap/wrap_pages.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kSmallMm = 2.3, kPlainMm = 2.7, kTitleMm = 3.4;
constexpr double kFaint = 0.45;   // grey of what is no outline
constexpr double kWaste = 0.86;   // and of what is cut away
constexpr double kPlateMm = 0.4;  // to either side of words that lines keep off

/// Draws one piece at its place.
class PiecePrint {
 public:
  PiecePrint(PdfPen& pen, const WrapPiece1To1& piece, const WrapPageSize& size)
      : pen_(pen), piece_(piece), made_(*piece.made), size_(size) {}

  void draw() {
    title();
    for (const WrapCurve& cutout : made_.cutouts) {
      addSizeWords(cutout);
    }
    pen_.clipped(left(piece_.x0_mm), top(piece_.y1_mm), width(), height(), [&] {
      for (const WrapCurve& end : made_.ends) {
        waste(end);
      }
      for (const WrapCurve& cutout : made_.cutouts) {
        path(cutout);
        pen_.fill(kWaste);
      }
      folds();
      stationLines();
      for (const SizeWords& one : sizes_) {  // lines would strike them through
        pen_.begin();
        const double right = one.x_mm + pen_.widthOf(one.words, one.size_mm) + kPlateMm;
        pen_.moveTo(one.x_mm - kPlateMm, one.y_mm + one.size_mm / 4);
        pen_.arcTo(right, one.y_mm + one.size_mm / 4, 0);
        pen_.arcTo(right, one.y_mm - one.size_mm, 0);
        pen_.arcTo(one.x_mm - kPlateMm, one.y_mm - one.size_mm, 0);
        pen_.close();
        pen_.fill(one.ground);
      }
      for (const auto* curves : {&made_.cutouts, &made_.ends}) {
        for (const WrapCurve& curve : *curves) {
          path(curve);
          pen_.stroke(0.25, 0);
        }
      }
    });
    for (const WrapCurve& cutout : made_.cutouts) {
      centreCross(cutout);
    }
    for (const SizeWords& one : sizes_) {
      pen_.text(one.x_mm, one.y_mm, one.size_mm, one.words);
    }
    stationWords();
    wallWords();
    frame();
    lapMarks();
  }

 private:
  // From the template to the page, whose Y runs down.
  double left(double x) const { return piece_.left_mm + x - piece_.x0_mm; }
  double top(double y) const { return piece_.top_mm + size_.titles_mm + piece_.y1_mm - y; }
  double width() const { return piece_.x1_mm - piece_.x0_mm; }
  double height() const { return piece_.y1_mm - piece_.y0_mm; }
  bool isOn(double x, double y) const {
    return x > piece_.x0_mm && x < piece_.x1_mm && y > piece_.y0_mm && y < piece_.y1_mm;
  }

  void title() {
    const double room = std::max(44.0, width());
    std::string words = markList(piece_.marks);
    if (pen_.widthOf(words, kPlainMm) > room / 2) {  // the column names them all
      words = piece_.marks.front() + " and " + std::to_string(piece_.marks.size() - 1) + " more";
    }
    const bool is_split = piece_.goes_on_above || piece_.goes_on_below;
    if (is_split) {
      words += piece_.goes_on_below ? (piece_.goes_on_above ? ", middle strip" : ", upper strip")
                                    : ", lower strip";
    }
    words += ": " + shown(piece_.x0_mm, 0) + " to " + shown(piece_.x1_mm, 0);
    const double x = piece_.left_mm;
    pen_.bold(true);
    pen_.text(x, piece_.top_mm + size_.titles_mm - 1.2, pen_.sizeToFit(words, kPlainMm, room),
              words);
    pen_.bold(false);
  }

  void path(const WrapCurve& curve) {
    pen_.begin();
    if (curve.circle) {
      pen_.circle(left(curve.circle->x_mm), top(curve.circle->y_mm), curve.circle->radius_mm);
      return;
    }
    const std::size_t count = curve.points.size();
    pen_.moveTo(left(curve.points[0].x_mm), top(curve.points[0].y_mm));
    for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < count; ++i) {
      const WrapPoint& to = curve.points[(i + 1) % count];
      // Y runs down on the page: arcs turn the other way.
      pen_.arcTo(left(to.x_mm), top(to.y_mm), -curve.points[i].bulge);
    }
    if (curve.is_closed) {
      pen_.close();
    }
  }

  /// What lies beyond an end that goes once round.
  void waste(const WrapCurve& end) {
    const WrapPoint& first = end.points.front();
    const WrapPoint& last = end.points.back();
    if (std::abs(std::abs(last.y_mm - first.y_mm) - made_.girth_mm) > 0.01) {
      return;
    }
    const bool is_datum_end = boxOf(end).x0_mm < (made_.from_mm + made_.to_mm) / 2;
    const double beyond = is_datum_end ? made_.from_mm - kWrapCheckMm : made_.to_mm + kWrapCheckMm;
    path(end);
    pen_.arcTo(left(beyond), top(last.y_mm), 0);
    pen_.arcTo(left(beyond), top(first.y_mm), 0);
    pen_.close();
    pen_.fill(kWaste);
  }

  void folds() {
    for (const double y : made_.fold_lines_mm) {
      pen_.line(left(piece_.x0_mm), top(y), left(piece_.x1_mm), top(y));
      pen_.dashed(0.15, kFaint, 4, 2);
    }
  }

  template <typename Do>
  void forStations(Do&& act) const {
    for (double x = std::ceil(piece_.x0_mm / kWrapStationMm) * kWrapStationMm; x <= piece_.x1_mm;
         x += kWrapStationMm) {
      act(x);
    }
  }

  void stationLines() {
    forStations([&](double x) {
      pen_.line(left(x), top(piece_.y0_mm), left(x), top(piece_.y1_mm));
      pen_.dashed(0.18, 0.25, 1, 1);
    });
  }

  void stationWords() {
    forStations([&](double x) {
      pen_.line(left(x), top(piece_.y0_mm), left(x), top(piece_.y0_mm) + 1);
      pen_.stroke(0.18, 0.25);
      const std::string words = x == 0 ? "0 datum" : shown(x, 0);
      const double wide = pen_.widthOf(words, kSmallMm);
      const double from = std::clamp(left(x) - wide / 2, left(piece_.x0_mm),
                                     std::max(left(piece_.x0_mm), left(piece_.x1_mm) - wide));
      pen_.text(from, top(piece_.y0_mm) + 3.2, kSmallMm, words);
    });
  }

  /// Words on the page, and the grey that they stand on.
  struct SizeWords {
    double x_mm = 0, y_mm = 0, size_mm = 0;
    std::string words;
    double ground = 1;
  };

  bool isTold(const WrapCurve& cutout) const {
    const WrapBox box = boxOf(cutout);
    return isOn((box.x0_mm + box.x1_mm) / 2, (box.y0_mm + box.y1_mm) / 2) &&
           (cutout.is_closed || cutout.circle);
  }

  static double armOf(const WrapCurve& hole) { return hole.circle->radius_mm + 2; }

  /// Where a hole's centre is.
  void centreCross(const WrapCurve& cutout) {
    if (!isTold(cutout) || !cutout.circle) {
      return;
    }
    const double x = left(cutout.circle->x_mm), y = top(cutout.circle->y_mm);
    const double arm = armOf(cutout);
    pen_.line(x - arm, y, x + arm, y);
    pen_.stroke(0.13, 0.25);
    pen_.line(x, y - arm, x, y + arm);
    pen_.stroke(0.13, 0.25);
  }

  /// Sizes beside or in a cut-out.
  void addSizeWords(const WrapCurve& cutout) {
    if (!isTold(cutout)) {
      return;
    }
    const WrapBox box = boxOf(cutout);
    const double x = (box.x0_mm + box.x1_mm) / 2;
    const double y = (box.y0_mm + box.y1_mm) / 2;
    if (cutout.circle) {
      const double arm = armOf(cutout);
      const std::string words = "dia " + shown(2 * cutout.circle->radius_mm) + " at " + shown(x);
      const double wide = pen_.widthOf(words, kSmallMm);
      // Behind it or before it, over it or under it: where no other cut-out is.
      const double half = kSmallMm / 2;
      const std::pair<double, double> places[] = {{x + arm + 1, y},
                                                  {x - arm - 1 - wide, y},
                                                  {x + arm / 2, y + arm + half},
                                                  {x + arm / 2, y - arm - half},
                                                  {x - arm / 2 - wide, y + arm + half},
                                                  {x - arm / 2 - wide, y - arm - half}};
      const auto is_free = [&](const auto& at) {
        return at.first > piece_.x0_mm && at.first + wide < piece_.x1_mm &&
               std::none_of(made_.cutouts.begin(), made_.cutouts.end(),
                            [&](const WrapCurve& other) {
                              const WrapBox hole = boxOf(other);
                              return hole.x0_mm < at.first + wide && hole.x1_mm > at.first &&
                                     hole.y0_mm < at.second + half && hole.y1_mm > at.second - half;
                            });
      };
      const auto* best = std::find_if(std::begin(places), std::end(places), is_free);
      const bool has_room = places[0].first + wide < piece_.x1_mm;
      const auto& at = best != std::end(places) ? *best : places[has_room ? 0 : 1];
      sizes_.push_back({left(at.first), top(at.second) + kSmallMm / 3, kSmallMm, words});
      return;
    }
    const std::string words = shown(box.x1_mm - box.x0_mm) + " x " + shown(box.y1_mm - box.y0_mm) +
                              ", centre at " + shown(x);
    const double room = std::min(box.x1_mm, piece_.x1_mm) - std::max(box.x0_mm, piece_.x0_mm) - 4;
    const double size = pen_.sizeToFit(words, kSmallMm, room);
    if (box.y1_mm - box.y0_mm > 2 * size) {
      const double centre =
          (std::min(box.x1_mm, piece_.x1_mm) + std::max(box.x0_mm, piece_.x0_mm)) / 2;
      sizes_.push_back(
          {left(centre) - pen_.widthOf(words, size) / 2, top(y) + size / 3, size, words, kWaste});
    }
  }

  bool isClear(const WrapBox& words) const {
    const auto apart = [&](const WrapBox& box) {
      return box.x1_mm < words.x0_mm || box.x0_mm > words.x1_mm || box.y1_mm < words.y0_mm ||
             box.y0_mm > words.y1_mm;
    };
    for (WrapCurve const& cutout : made_.cutouts) {
      WrapBox box = boxOf(cutout);
      if (cutout.circle) {  // its cross and words
        box.x0_mm -= 3;
        box.x1_mm += 30;
      }
      if (!apart(box)) return false;
    }
    for (double x = std::floor(words.x0_mm / kWrapStationMm) * kWrapStationMm; x < words.x1_mm + 1;
         x += kWrapStationMm) {
      if (x > words.x0_mm - 1) return false;
    }
    return std::all_of(made_.ends.begin(), made_.ends.end(),
                       [&](const WrapCurve& end) { return apart(boxOf(end)); });
  }

  /// Each flat's name, at the first place along it where nothing else is drawn.
  void wallWords() {
    for (const WrapWall& wall : made_.walls) {
      // Not in overlaps, where the crosses are.
      const double y0 =
          std::max(wall.from_mm, piece_.y0_mm + (piece_.goes_on_below ? size_.lap_mm : 0));
      const double y1 =
          std::min(wall.to_mm, piece_.y1_mm - (piece_.goes_on_above ? size_.lap_mm : 0));
      if (y1 - y0 < kSmallMm + 1) {
        continue;
      }
      const double wide = pen_.widthOf(wall.name, kPlainMm);
      const double middle = (y0 + y1) / 2;
      for (const double y : {middle, y0 + (y1 - y0) / 4, y1 - (y1 - y0) / 4}) {
        double x = piece_.x0_mm + 2;
        const double half = kSmallMm / 2;
        while (x + wide < piece_.x1_mm - 1 && !isClear({x - 1, x + wide + 1, y - half, y + half})) {
          x += 1;
        }
        if (x + wide < piece_.x1_mm - 1) {
          pen_.grey(kFaint);
          pen_.text(left(x), top(y) + kPlainMm / 3, kPlainMm, wall.name);
          pen_.grey(0);
          break;
        }
      }
    }
  }

  /// Solid where paper is cut off, dashed where a neighbour goes on.
  void frame() {
    const double x0 = left(piece_.x0_mm), x1 = left(piece_.x1_mm);
    const double y0 = top(piece_.y0_mm), y1 = top(piece_.y1_mm);
    const auto edge = [&](bool goes_on, double ax, double ay, double bx, double by) {
      pen_.line(ax, ay, bx, by);
      if (goes_on) {
        pen_.dashed(0.15, 0.25, 2, 2);
      } else {
        pen_.stroke(0.15, 0.25);
      }
    };
    edge(piece_.goes_on_left, x0, y0, x0, y1);
    edge(piece_.goes_on_right, x1, y0, x1, y1);
    edge(piece_.goes_on_below, x0, y0, x1, y0);
    edge(piece_.goes_on_above, x0, y1, x1, y1);
    seamWords(piece_.goes_on_below, piece_.y0_mm + 0.8);
    seamWords(piece_.goes_on_above, piece_.y1_mm - 0.8 - 1.5);
  }

  void seamWords(bool goes_on, double y) {
    const std::string words = goes_on ? "overlap" : "seam";
    const double wide = pen_.widthOf(words, 2);
    const double beside = goes_on ? 9 : 1;  // an overlap has crosses beside station lines
    for (double x = piece_.x1_mm - 2 - wide; x > piece_.x0_mm + 2; x -= 1) {
      if (isClear({x - beside, x + wide + beside, y, y + 2})) {
        pen_.text(left(x), top(y), 2, words);
        return;
      }
    }
  }

  /// Crosses in the middle of overlaps, at the same points of the template on either piece.
  void lapMarks() {
    const double half = size_.lap_mm / 2;
    const auto cross = [&](double x, double y) {
      constexpr double kArm = 3;
      if (!isOn(x - kArm, y) || !isOn(x + kArm, y)) return;
      pen_.line(left(x) - kArm, top(y), left(x) + kArm, top(y));
      pen_.stroke(0.13, 0);
      pen_.line(left(x), top(y) - kArm, left(x), top(y) + kArm);
      pen_.stroke(0.13, 0);
    };
    for (const auto& [goes_on, x] : {std::pair{piece_.goes_on_left, piece_.x0_mm + half},
                                     std::pair{piece_.goes_on_right, piece_.x1_mm - half}}) {
      for (const double y : made_.fold_lines_mm) {
        if (goes_on) cross(x, y);
      }
    }
    for (const auto& [goes_on, y] : {std::pair{piece_.goes_on_below, piece_.y0_mm + half},
                                     std::pair{piece_.goes_on_above, piece_.y1_mm - half}}) {
      if (goes_on) {
        forStations([&, level = y](double x) {
          cross(x - 5, level);
          cross(x + 5, level);
        });
      }
    }
  }

  PdfPen& pen_;
  const WrapPiece1To1& piece_;
  const WrapTemplate& made_;
  WrapPageSize size_;
  std::vector<SizeWords> sizes_;
};

/// The words and check bars beside the pieces.
class Column {
 public:
  Column(PdfPen& pen, const WrapPageSize& size) : pen_(pen), size_(size) {
    left_ = size.width_mm - size.margin_mm - size.column_mm + 3;
    room_ = size.column_mm - 3;
    y_ = size.margin_mm;
  }

  void draw(const std::vector<const WrapPiece1To1*>& pieces, int page, int pages) {
    pen_.line(left_ - 2, size_.margin_mm, left_ - 2, size_.height_mm - size_.margin_mm);
    pen_.stroke(0.1, kFaint);
    pen_.bold(true);
    paragraph("Wrap-around templates, 1:1", kTitleMm, left_, room_);
    pen_.bold(false);
    paragraph(
        "page " + std::to_string(page + 1) + " of " + std::to_string(pages) + "   " + programName(),
        kSmallMm, left_, room_);
    std::vector<std::string> told;
    for (const WrapPiece1To1* piece : pieces) {
      const std::string marks = markList(piece->marks);
      if (std::find(told.begin(), told.end(), marks) == told.end()) {
        told.push_back(marks);
        tell(*piece, marks);
      }
    }
    bars();
  }

 private:
  void paragraph(const std::string& words, double size, double left, double room) {
    for (const std::string& row : pen_.wrapped(words, size, room)) {
      y_ += size * 1.35;
      pen_.text(left, y_, size, row);
    }
  }

  void tell(const WrapPiece1To1& piece, const std::string& marks) {
    y_ += 1.5;
    pen_.bold(true);
    paragraph(marks + "  " + piece.made->section, kPlainMm, left_, room_);
    pen_.bold(false);
    paragraph("Seam: " + piece.made->seam + ".", kSmallMm, left_, room_);
    paragraph("Datum: " + piece.made->datum + ".", kSmallMm, left_, room_);
  }

  /// 100 mm up, 50 mm across, in the bottom left corner; what to do, beside them.
  void bars() {
    constexpr double kAcrossMm = 50, kTickMm = 10;
    const double bottom = size_.height_mm - size_.margin_mm - 5;
    const double x = left_ + 1;
    pen_.line(x, bottom, x, bottom - kWrapCheckMm);
    pen_.stroke(0.2, 0);
    pen_.line(x, bottom, x + kAcrossMm, bottom);
    pen_.stroke(0.2, 0);
    for (int i = 0; i <= 10; ++i) {
      const double tick = i % 5 == 0 ? 3 : 1.8;
      pen_.line(x, bottom - i * kTickMm, x + tick, bottom - i * kTickMm);
      pen_.stroke(0.2, 0);
      if (i <= 5) {
        pen_.line(x + i * kTickMm, bottom, x + i * kTickMm, bottom - (i % 5 == 0 ? 3 : 1.8));
        pen_.stroke(0.2, 0);
      }
    }
    pen_.text(x + 4, bottom - kWrapCheckMm + 2, kSmallMm, "100 mm");
    pen_.text(x, bottom + 3.5, kSmallMm, "50 mm across");
    y_ = bottom - kWrapCheckMm + 5;
    pen_.bold(true);
    paragraph(
        "Print at 100 %, never \"fit to page\". Measure both bars before use: they must be "
        "100 mm and 50 mm long. If not, do not use the print.",
        kSmallMm, x + 6, room_ - 7);
    pen_.bold(false);
    for (const char* words : kSteps) {
      y_ += 1;
      paragraph(words, kSmallMm, x + 6, room_ - 7);
    }
  }

  static constexpr const char* kSteps[] = {
      "1  Cut along the frame; strips that go on: lay crosses on crosses, glue.",
      "2  Wrap round the tube, printed side out, names on their walls; edges meet at the seam.",
      "3  Dashed lines lie where flats end and corners begin.",
      "4  Put each station line at its distance from the datum, by tape.",
      "5  Scribe the thick outlines. Grey is cut away; on an end, everything beyond the line.",
      "Outlines are those of the outside; cut square to each wall, raked ends in their plane."};

  PdfPen& pen_;
  WrapPageSize size_;
  double left_ = 0, room_ = 0, y_ = 0;
};

}  // namespace

std::string wrapPdf(const std::vector<WrapTemplate>& templates, const Provenance& provenance,
                    WrapPaper paper) {
  const WrapPageSize size =
      paper == WrapPaper::kA4 ? WrapPageSize{297, 210} : WrapPageSize{420, 297};
  const std::vector<WrapPiece1To1> pieces = wrapPieces(templates, size);
  const int pages = pieces.empty() ? 1 : pieces.back().page + 1;
  PdfPen pen(size.width_mm, size.height_mm, "Wrap-around templates, 1:1", provenance);
  for (int page = 0; page < pages; ++page) {
    std::vector<const WrapPiece1To1*> here;
    for (const WrapPiece1To1& piece : pieces) {
      if (piece.page == page) {
        here.push_back(&piece);
      }
    }
    for (const WrapPiece1To1* piece : here) {
      PiecePrint(pen, *piece, size).draw();
    }
    Column(pen, size).draw(here, page, pages);
    pen.nextPage();
  }
  return pen.file();
}

}  // namespace leafstack
