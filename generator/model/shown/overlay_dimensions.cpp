#include "generator/model/shown/overlay_dimensions.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

// Where the lines stand, so that they cross neither the gate nor each other.
constexpr double kBelowTrackMm = 420, kBeforeFenceMm = 420;
constexpr double kAboveTopMm = 130, kRowMm = 130;
constexpr double kBeforeLatchMm = 260;
/// Of a clearance, from the panel's leading end; more than its end plates take.
constexpr double kFromEndMm = 400;
constexpr double kSameClearanceMm = 0.05;

class Overlay {
 public:
  explicit Overlay(const Model& model) : model_(model), layout_(model.layout) {}

  std::vector<OverlayDimension> run() {
    const double travel = layout_.drive_travel_mm;
    const double far = layout_.opening_mm + layout_.room_total_mm;
    const GroundLine& ground = layout_.ground.line;
    const double low = std::min(ground.heightMm(0), ground.heightMm(far)) - kBelowTrackMm;
    const double y = front().front_y_mm - kBeforeFenceMm;
    along("opening", {0, layout_.opening_mm}, {y, low}, {0, travel}, "/site/opening_mm");
    along("room needed", {layout_.opening_mm, far}, {y, low}, {0, travel}, "/site/room_mm");
    for (const PanelLayout& panel : layout_.panels) {
      if (panel.number < layout_.panel_count) {
        pair(panel, layout_.panel(panel.number + 1));
      }
    }
    for (const PanelLayout& panel : layout_.panels) {
      length(panel);
    }
    height();
    clearance(front());
    for (const PanelLayout& panel : layout_.panels) {
      if (std::abs(panel.least_ground_mm - front().least_ground_mm) > kSameClearanceMm) {
        clearance(panel);
      }
    }
    return std::move(rows_);
  }

 private:
  const PanelLayout& front() const { return layout_.panel(layout_.panel_count); }

  /// At Y and Z.
  void along(const std::string& label, const Range& x, const std::array<double, 2>& yz,
             const Stretch& shown, const char* key = "") {
    const double sign = model_.opening_sign;
    rows_.push_back({label,
                     x.high - x.low,
                     {sign * x.low, yz[0], yz[1]},
                     {sign * x.high, yz[0], yz[1]},
                     shown,
                     key});
  }

  /// What a panel and the one in front have in common at either end of the travel. Overlaps of a
  /// closed gate are as far apart as its panels are long; staggers are not.
  void pair(const PanelLayout& behind, const PanelLayout& ahead) {
    const double travel = layout_.drive_travel_mm;
    const std::string of =
        " of panels " + std::to_string(behind.number) + " and " + std::to_string(ahead.number);
    const double above = kAboveTopMm + kRowMm * (behind.number - 1);
    const double leading = behind.leading_closed_mm;
    const double top = std::max(behind.topZ(leading), ahead.topZ(leading));
    along("overlap" + of, {leading, leading + behind.overlap_mm}, {ahead.front_y_mm, top + above},
          {0, 0}, "/gate/overlap_mm");
    if (behind.stagger_mm > 0) {
      const double trailing = behind.trailing_open_mm;
      const double risen = model_.poseAt(behind.number, travel).z_mm;
      along("stagger" + of, {trailing - behind.stagger_mm, trailing},
            {ahead.front_y_mm, top + risen + above}, {travel, travel});
    }
  }

  /// From end to end when closed. Neighbours reach past each other: theirs are rows of their own.
  void length(const PanelLayout& panel) {
    const double overlaps = kAboveTopMm + kRowMm * (layout_.panel_count - 1);
    const double above = overlaps + kRowMm * (panel.number % 2);
    const double from = panel.leading_closed_mm, to = panel.trailing_closed_mm;
    along("length of panel " + std::to_string(panel.number), {from, to},
          {panel.front_y_mm, std::max(panel.topZ(from), panel.topZ(to)) + above}, {0, 0});
  }

  /// Square to the driveway, from there to the bottom rail's underside.
  void clearance(const PanelLayout& panel) {
    const GroundLine& ground = layout_.ground.lineOf(panel.number);
    const double x = panel.leading_closed_mm + kFromEndMm;
    const double slope = ground.slope(x), cosine = 1 / std::sqrt(1 + slope * slope);
    const double value = (panel.undersideZ(x) - ground.heightMm(x)) * cosine;
    const double sign = model_.opening_sign;
    const std::string of = layout_.panel_count > 1 && &panel != &front()
                               ? " of panel " + std::to_string(panel.number)
                               : "";
    rows_.push_back({"ground clearance" + of + (layout_.ground.is_surveyed ? ", here" : ""),
                     value,
                     {sign * (x + value * slope * cosine), panel.front_y_mm,
                      panel.undersideZ(x) - value * cosine},
                     {sign * x, panel.front_y_mm, panel.undersideZ(x)},
                     {0, 0},
                     "/gate/ground_clearance_mm"});
  }

  void height() {
    const PanelLayout& panel = front();
    const double x = model_.opening_sign * (panel.leading_closed_mm - kBeforeLatchMm);
    const double ground =
        layout_.ground.heightMm(panel.leading_closed_mm, layout_.ground.front_track_y_mm);
    rows_.push_back({"top above the driveway",
                     panel.top_z_mm - ground,
                     {x, panel.front_y_mm, ground},
                     {x, panel.front_y_mm, panel.top_z_mm},
                     {0, 0},
                     "/gate/height_mm"});
  }

  const Model& model_;
  const Layout& layout_;
  std::vector<OverlayDimension> rows_;
};

}  // namespace

std::vector<OverlayDimension> overlayDimensions(const Model& model) {
  return Overlay(model).run();
}

}  // namespace leafstack
