#include "generator/model/shown/overlay_dimensions.h"

#include <algorithm>

namespace leafstack {
namespace {

// Where the lines stand, so that they cross neither the gate nor each other.
constexpr double kBelowTrackMm = 420, kBeforeFenceMm = 420;
constexpr double kAboveTopMm = 130, kRowMm = 130;
constexpr double kBeforeLatchMm = 260;

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
    height();
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

  /// What a panel and the one in front have in common at either end of the travel.
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
