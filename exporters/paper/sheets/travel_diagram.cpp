#include "exporters/paper/sheets/travel_diagram.h"

#include <cmath>

#include "exporters/paper/blocks/annotator.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kDiagramTextMm = 2.5;
constexpr double kLeftMm = 26, kBottomMm = 14, kTopMm = 9, kRightMm = 44;  // for words
constexpr double kTickMm = 1.5;
constexpr double kOverlapGrey = 0.8;
constexpr int kMostTicks = 12;
constexpr double kLabelPitchMm = 3.8;

/// A round step that gives at most kMostTicks.
double stepFor(double range_mm) {
  double step = 1;
  constexpr double kSteps[] = {2, 2.5, 2};
  for (int i = 0; range_mm / step > kMostTicks; ++i) {
    step *= kSteps[i % 3];
  }
  return step;
}

class Diagram {
 public:
  Diagram(const Model& model, double width_mm, double height_mm)
      : layout_(model.layout), width_(width_mm), height_(height_mm) {
    for (const PanelLayout& panel : layout_.panels) {
      low_ = std::min({low_, panel.leading_closed_mm, panel.leading_open_mm});
      high_ = std::max({high_, panel.trailing_closed_mm, panel.trailing_open_mm});
    }
    high_ = std::max(high_, layout_.opening_mm + layout_.room_total_mm);
  }

  Sheet draw() {
    addOverlaps();
    addAxes();
    addPanels();
    return std::move(sheet_);
  }

 private:
  PaperPoint at(double drive, double x) const {
    return {kLeftMm + (width_ - kLeftMm - kRightMm) * drive / layout_.drive_travel_mm,
            kBottomMm + (height_ - kBottomMm - kTopMm) * (x - low_) / (high_ - low_)};
  }

  void line(LineRole role, PaperPoint from, PaperPoint to) {
    sheet_.paths.push_back({role, {{from.x_mm, from.y_mm}, {to.x_mm, to.y_mm}}, false});
  }

  double endMm(const PanelLayout& panel, bool trailing, double drive) const {
    return (trailing ? panel.trailing_closed_mm : panel.leading_closed_mm) +
           layout_.goneMm(panel.number, drive);
  }

  /// Between a panel's leading end and the trailing end of the one in front of it.
  void addOverlaps() {
    const double d = layout_.drive_travel_mm;
    for (int k = 1; k < layout_.panel_count; ++k) {
      const PanelLayout& back = layout_.panel(k);
      const PanelLayout& front = layout_.panel(k + 1);
      std::vector<PathVertex> loop;
      // Straight lines on even ground, as good as straight where ropes are followed. The lower
      // border is the greater of both leading ends, the upper the lesser of both trailing ends;
      // they may cross.
      const auto low = [&](double drive) {
        return std::max(endMm(back, false, drive), endMm(front, false, drive));
      };
      const auto high = [&](double drive) {
        return std::min(endMm(back, true, drive), endMm(front, true, drive));
      };
      constexpr int kPieces = 200;
      for (int i = 0; i <= kPieces; ++i) {
        const PaperPoint point = at(d * i / kPieces, low(d * i / kPieces));
        loop.push_back({point.x_mm, point.y_mm});
      }
      for (int i = kPieces; i >= 0; --i) {
        const PaperPoint point = at(d * i / kPieces, high(d * i / kPieces));
        loop.push_back({point.x_mm, point.y_mm});
      }
      sheet_.areas.push_back({{std::move(loop)}, kOverlapGrey});
    }
  }

  void addAxes() {
    const double d = layout_.drive_travel_mm;
    line(LineRole::kVisible, at(0, low_), at(d, low_));
    line(LineRole::kVisible, at(0, low_), at(0, high_));
    const double step_x = stepFor(d);
    for (double drive = 0; drive <= d; drive += step_x) {
      const PaperPoint point = at(drive, low_);
      line(LineRole::kDimension, point, {point.x_mm, point.y_mm - kTickMm});
      sheet_.letterings.push_back({shown(drive),
                                   {point.x_mm, point.y_mm - kTickMm - 1 - kDiagramTextMm},
                                   kDiagramTextMm,
                                   TextAnchor::kCentre});
    }
    const double step_y = stepFor(high_ - low_);
    for (double x = std::ceil(low_ / step_y) * step_y; x <= high_; x += step_y) {
      const PaperPoint point = at(0, x);
      line(LineRole::kDimension, point, {point.x_mm - kTickMm, point.y_mm});
      sheet_.letterings.push_back({shown(x),
                                   {point.x_mm - kTickMm - 1, point.y_mm - kDiagramTextMm / 2},
                                   kDiagramTextMm,
                                   TextAnchor::kRight});
    }
    const PaperPoint middle = at(d / 2, low_);
    sheet_.letterings.push_back({"drive travel, mm (0 closed, " + shown(d, 1) + " open)",
                                 {middle.x_mm, 1},
                                 kDiagramTextMm,
                                 TextAnchor::kCentre});
    sheet_.letterings.push_back({"station along the track, mm from the latch-side post face",
                                 {4, (at(0, low_).y_mm + at(0, high_).y_mm) / 2},
                                 kDiagramTextMm,
                                 TextAnchor::kCentre,
                                 90});
  }

  void addPanels() {
    const double d = layout_.drive_travel_mm;
    struct Name {
      double y_mm = 0;
      std::string text;
      PaperPoint from{};
    };
    std::vector<Name> names;
    const auto level = [&](double x, const std::string& text) {
      line(LineRole::kCentre, at(0, x), at(d, x));
      names.push_back({at(d, x).y_mm, text, at(d, x)});
    };
    level(0, "latch-side post face");
    level(layout_.opening_mm, "storage-side post face");
    level(layout_.opening_mm + layout_.room_total_mm, "end of the room");
    for (const PanelLayout& panel : layout_.panels) {
      for (const bool trailing : {false, true}) {
        constexpr int kPieces = 100;
        const int pieces = layout_.ground.ahead.empty() ? 1 : kPieces;
        std::vector<PathVertex> way;
        for (int i = 0; i <= pieces; ++i) {
          const PaperPoint point = at(d * i / pieces, endMm(panel, trailing, d * i / pieces));
          way.push_back({point.x_mm, point.y_mm});
        }
        const PaperPoint to{way.back().x_mm, way.back().y_mm};
        sheet_.paths.push_back(
            {trailing ? LineRole::kHidden : LineRole::kVisible, std::move(way), false});
        std::string text = "panel " + std::to_string(panel.number);
        text += trailing ? " trailing" : " leading";
        names.push_back({to.y_mm, text, to});
      }
    }
    std::stable_sort(names.begin(), names.end(),
                     [](const Name& a, const Name& b) { return a.y_mm < b.y_mm; });
    std::vector<double> wanted;
    for (const Name& name : names) {
      wanted.push_back(name.y_mm);
    }
    const std::vector<double> places =
        spreadOut(wanted, std::vector<double>(wanted.size(), kLabelPitchMm));
    for (std::size_t i = 0; i < names.size(); ++i) {
      const PaperPoint end = {names[i].from.x_mm + kAsideMm, places[i]};
      line(LineRole::kDimension, names[i].from, end);
      sheet_.letterings.push_back(
          {names[i].text, {end.x_mm + 1, end.y_mm - kDiagramTextMm / 2}, kDiagramTextMm});
    }
  }

  static constexpr double kAsideMm = 5;
  const Layout& layout_;
  double width_, height_;
  double low_ = 0, high_ = 0;
  Sheet sheet_;
};

}  // namespace

Sheet travelDiagram(const Model& model, double width_mm, double height_mm) {
  return Diagram(model, width_mm, height_mm).draw();
}

Sheet travelPicture(const Model& model) {
  constexpr double kWidthMm = 200, kHeightMm = 120, kAroundMm = 2;
  Sheet sheet;
  sheet.name = "travel";
  sheet.title = "Travel of every panel";
  sheet.width_mm = kWidthMm + 2 * kAroundMm;
  sheet.height_mm = kHeightMm + 2 * kAroundMm;
  sheet.wide_mm = 0.5;
  addMoved(sheet, travelDiagram(model, kWidthMm, kHeightMm), {kAroundMm, kAroundMm});
  return sheet;
}

void addTravelSheet(SheetMaker& maker) {
  MadeSheet made{maker.empty("travel-diagram", "Travel of every panel"), "diagram"};
  const PaperBox box = addLowerLeft(
      made.sheet,
      drawnParagraphs({"Full lines: leading ends. Dashed: trailing ends. Grey: overlap of "
                       "neighbouring panels. The drive moves panel 1."},
                      drawingSpace(made.sheet).beside.widthMm()));
  addMoved(made.sheet, travelDiagram(maker.model(), box.widthMm(), box.heightMm()),
           {box.left_mm, box.bottom_mm});
  maker.sheets.push_back(std::move(made));
}

}  // namespace leafstack
