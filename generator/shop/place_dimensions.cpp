#include "generator/shop/place_dimensions.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

/// In front of the gate, and above the driveway as much as it takes to be seen.
constexpr double kLineBeforeMm = 650, kPastEndsMm = 150;
/// Anchors nearer to each other along an axis than this stand in one row across it.
constexpr double kOneRowMm = 1;

/// Rows of the set-out list that are shown: by what their item begins with and their point.
struct Shown {
  std::string_view item, point;
  bool hangs;  ///< its height counts, too
};
constexpr std::array<Shown, 12> kShown = {{
    {"datum", "", false},
    {"catch post", "face towards the front panel, front edge", false},
    {"stop buffer", "", true},
    {"top receiver", "", true},
    {"guide post", "middle of its front face", false},
    {"overhead bracket", "underside, middle, on the fence post", true},
    {"guide channel", "", true},
    {"motor base", "driveway-side end", false},
    {"pinion", "axis", true},
    {"ground rope bracket", "middle between its rope bores", false},
    {"end stop", "face towards the panel, at its foot", false},
    {"fence post", "opening face, storage side", false},
}};

const Shown* shownOf(const SetOutRow& row) {
  const auto found = std::find_if(kShown.begin(), kShown.end(), [&](const Shown& one) {
    return row.item.starts_with(one.item) && (one.point.empty() || row.point == one.point);
  });
  return found == kShown.end() ? nullptr : &*found;
}

class Places {
 public:
  Places(const Model& model, const std::vector<SetOutRow>& rows) : model_(model), set_out_(rows) {}

  std::vector<OverlayDimension> run() {
    double first = 0, last = 0;
    for (const SetOutRow& row : set_out_) {
      if (const Shown* const one = shownOf(row)) {
        place(row, one->hangs);
        first = std::min(first, row.at_mm[0]);
        last = std::max(last, row.at_mm[0]);
      }
    }
    add({"", last - first, onLine(first - kPastEndsMm), onLine(last + kPastEndsMm), always()},
        DimensionLine::kDatum);
    for (std::size_t i = 0; i < set_out_.size(); ++i) {
      const bool is_first = i == 0 || !isAnchorOf(set_out_[i - 1], set_out_[i]);
      if (set_out_[i].point == "anchor" && is_first) {
        anchors(i);
      }
    }
    return std::move(out_);
  }

 private:
  Stretch always() const { return {0, model_.layout.drive_travel_mm}; }
  std::array<double, 3> inModel(std::array<double, 3> at) const {
    at[0] *= model_.opening_sign;
    return at;
  }
  /// On the line before the gate; in the layout's frame.
  std::array<double, 3> onLine(double x) const {
    const double y = model_.layout.panels.back().front_y_mm - kLineBeforeMm;
    return {x, y, model_.layout.ground.heightMm(x, y)};
  }
  void add(OverlayDimension one, DimensionLine line) {
    one.from_mm = inModel(one.from_mm);
    one.to_mm = inModel(one.to_mm);
    one.set = DimensionSet::kInstaller;
    one.line = line;
    out_.push_back(std::move(one));
  }

  void place(const SetOutRow& row, bool hangs) {
    const auto& [x, y, z] = row.at_mm;
    const bool is_datum = row.item == "datum";
    OverlayDimension one{is_datum ? "datum" : row.item, x, row.at_mm, onLine(x), always()};
    one.figures = "X " + shown(x, 0) + ", Y " + shown(y, 0);
    one.figures += hangs ? ", Z " + shown(z, 0) : "";
    add(std::move(one), DimensionLine::kPlace);
  }

  static bool isAnchorOf(const SetOutRow& one, const SetOutRow& other) {
    return one.point == "anchor" && other.point == "anchor" && one.item == other.item &&
           one.mark == other.mark;
  }

  /// Of one foot, whose first is row `first`: their rows' distances along and across.
  void anchors(std::size_t first) {
    std::size_t end = first;
    std::array<double, 3> low = set_out_[first].at_mm, high = low;
    for (; end < set_out_.size() && isAnchorOf(set_out_[first], set_out_[end]); ++end) {
      for (int axis = 0; axis < 3; ++axis) {
        low[axis] = std::min(low[axis], set_out_[end].at_mm[axis]);
        high[axis] = std::max(high[axis], set_out_[end].at_mm[axis]);
      }
    }
    const std::string of = "anchors of the " + set_out_[first].item;
    for (const int axis : {0, 1}) {
      const double apart = high[axis] - low[axis];
      if (apart < kOneRowMm) {
        continue;
      }
      std::array<double, 3> from = low, to = low;
      to[axis] = high[axis];
      from[2] = to[2] = high[2];
      add({of + (axis == 0 ? ", along" : ", across"), apart, from, to, always()},
          DimensionLine::kSmall);
    }
  }

  const Model& model_;
  const std::vector<SetOutRow>& set_out_;
  std::vector<OverlayDimension> out_;
};

}  // namespace

std::vector<OverlayDimension> placeDimensions(const Model& model,
                                              const std::vector<SetOutRow>& rows) {
  return Places(model, rows).run();
}

}  // namespace leafstack
