#include "exporters/paper/shelf/item_views.h"

#include <algorithm>
#include <cmath>

#include "exporters/paper/sheet/window.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

// How ill a size stands in a view, weighed against the length of its extension lines in mm; own
// choice, tuned by looking at the sheets.
constexpr double kRoundFromAside = 30;  // a diameter where the circle is seen edge on
constexpr double kCrowded = 6;          // for each size that stands there already

struct NamedView {
  const char* title;
  PictureView view;
};

std::array<NamedView, 3> allViews(double opening_sign) {
  return {NamedView{"From the road", fromRoad()},
          NamedView{"Along the track", alongOpening(opening_sign)},
          NamedView{"From above", fromAbove()}};
}

/// What is asked for: two points and the direction, in view mm.
struct Placed {
  const DrawnSize* size = nullptr;
  bool is_across = true;  ///< measured from left to right
  Vec3 from{}, to{};
  double cost = 0;
};

bool isAlong(const Vec3& a, const Vec3& b) {
  return std::abs(std::abs(dot(a, b)) - 1) < kLengthEqualMm;
}

Vec3 unit(int axis) {
  Vec3 v{};
  v[axis] = 1;
  return v;
}

bool isInWords(const DrawnSize& size) {
  return size.kind != DrawnSize::Kind::kDistance && size.kind != DrawnSize::Kind::kDiameter;
}

std::string wordsOf(const DrawnSize& size) {
  switch (size.kind) {
    case DrawnSize::Kind::kAngle:
      return shown(size.value, kShelfDecimals) + "\u00b0";
    case DrawnSize::Kind::kRange:
      return "\u00b1" + shown(size.value, kShelfDecimals) +
             (std::string_view(size.row->unit) == "deg" ? "\u00b0" : "");
    default:
      return shown(size.value, kShelfDecimals);
  }
}

/// As many as the table's value has, which is to be found again in the view.
int decimalsShown(double value) {
  const std::string text = shown(value, kShelfDecimals);
  const std::size_t point = text.find('.');
  return point == std::string::npos ? 0 : static_cast<int>(text.size() - point - 1);
}

/// Both ways of drawing it in a view; none where it cannot be seen there.
std::vector<Placed> waysIn(const PictureView& view, const DrawnSize& size) {
  std::vector<Placed> ways;
  if (isInWords(size)) {
    ways.push_back({&size, true, size.from, size.to, 0});
    return ways;
  }
  for (const bool is_across : {true, false}) {
    const Vec3& along = is_across ? view.right : view.up;
    if (size.kind == DrawnSize::Kind::kDistance) {
      if (isAlong(along, unit(size.axis))) {
        Vec3 aside = minus(size.to, size.from);
        aside[size.axis] = 0;
        const double off = norm(plus(aside, view.toward, -dot(aside, view.toward)));
        ways.push_back({&size, is_across, size.from, size.to, off});
      }
      continue;
    }
    const bool is_square = isAlong(view.toward, size.to);
    if (is_square || std::abs(dot(along, size.to)) < kLengthEqualMm) {
      const double radius = size.share * size.value / 2;
      ways.push_back({&size, is_across, plus(size.from, along, -radius),
                      plus(size.from, along, radius), is_square ? 0 : kRoundFromAside});
    }
  }
  return ways;
}

/// The sizes of one view, and where each of them stands.
class ViewSizes {
 public:
  ViewSizes(const NamedView& named, const ShelfFigure& figure)
      : named_(named), low_(figure.window.low), high_(figure.window.high) {
    for (int corner = 0; corner < 8; ++corner) {
      Vec3 point{};
      for (int axis = 0; axis < 3; ++axis) {
        point[axis] =
            (corner >> axis & 1) != 0 ? figure.window.high[axis] : figure.window.low[axis];
      }
      const Vec3 at = seen(named.view, point);
      window_.include(PaperPoint{at[0], at[1]});
    }
  }

  const NamedView& named() const { return named_; }
  const PaperBox& window() const { return window_; }

  struct Choice {
    Placed placed;
    Side side{};
    double cost = std::numeric_limits<double>::infinity();
  };

  /// The cheapest place for one more.
  Choice best(const DrawnSize& size) const {
    Choice least;
    for (const Placed& any : waysIn(named_.view, size)) {
      for (const Side side : sidesOf(any.is_across)) {
        const Placed way = towards(any, side);
        const double cost = way.cost + offEdge(way, side) + kCrowded * crowd(side);
        if (cost < least.cost - kLengthEqualMm) {
          least = {way, side, cost};
        }
      }
    }
    return least;
  }

  void add(const Choice& choice) { chosen_.push_back(choice); }

  /// Where the fewest lengths stand; above, if nowhere fewer.
  Side emptiestSide() const {
    constexpr std::array kSides = {Side::kAbove, Side::kRight, Side::kLeft, Side::kBelow};
    return *std::min_element(kSides.begin(), kSides.end(),
                             [&](Side a, Side b) { return lengthsAt(a) < lengthsAt(b); });
  }

  /// Short ones stand nearest, so that lines do not cross more than they must.
  std::vector<Choice> ordered() const {
    std::vector<Choice> sizes = chosen_;
    std::stable_sort(sizes.begin(), sizes.end(), [](const Choice& a, const Choice& b) {
      return a.placed.size->share * a.placed.size->value <
             b.placed.size->share * b.placed.size->value;
    });
    return sizes;
  }

 private:
  static std::array<Side, 2> sidesOf(bool is_across) {
    return is_across ? std::array{Side::kBelow, Side::kAbove}
                     : std::array{Side::kRight, Side::kLeft};
  }

  /// The same with its extension lines as short as they may be.
  Placed towards(Placed way, Side side) const {
    if (way.size->kind != DrawnSize::Kind::kDistance) {
      return way;
    }
    const Vec3& along =
        side == Side::kBelow || side == Side::kAbove ? named_.view.up : named_.view.right;
    const bool is_up = side == Side::kAbove || side == Side::kRight;
    for (int end = 0; end < 2; ++end) {
      Vec3& point = end == 0 ? way.from : way.to;
      for (int axis = 0; axis < 3; ++axis) {
        if (std::abs(along[axis]) > kLengthEqualMm) {
          const double low = std::max(way.size->where[end].low[axis], low_[axis]);
          const double high = std::min(way.size->where[end].high[axis], high_[axis]);
          if (low <= high) {
            point[axis] = (along[axis] > 0) == is_up ? high : low;
          }
        }
      }
    }
    return way;
  }

  /// How long its extension lines are to that side.
  double offEdge(const Placed& way, Side side) const {
    double off = 0;
    for (const Vec3& point : {way.from, way.to}) {
      const Vec3 at = seen(named_.view, point);
      switch (side) {
        case Side::kBelow:
          off += at[1] - window_.bottom_mm;
          break;
        case Side::kAbove:
          off += window_.top_mm - at[1];
          break;
        case Side::kLeft:
          off += at[0] - window_.left_mm;
          break;
        case Side::kRight:
          off += window_.right_mm - at[0];
          break;
      }
    }
    return off / 4;
  }

  double crowd(Side side) const {
    return static_cast<double>(std::count_if(chosen_.begin(), chosen_.end(),
                                             [&](const Choice& one) { return one.side == side; }));
  }
  std::ptrdiff_t lengthsAt(Side side) const {
    return std::count_if(chosen_.begin(), chosen_.end(), [&](const Choice& one) {
      return one.side == side && !isInWords(*one.placed.size);
    });
  }

  NamedView named_;
  Vec3 low_, high_;  ///< of the figure's window
  PaperBox window_;
  std::vector<Choice> chosen_;
};

/// The figure's sizes in two views; what all of it costs.
struct Pair {
  std::array<ViewSizes, 2> views;
  double cost = 0;
};

Pair paired(const ShelfFigure& figure, const NamedView& first, const NamedView& second) {
  Pair pair{{ViewSizes(first, figure), ViewSizes(second, figure)}, 0};
  for (const DrawnSize& size : figure.sizes) {
    const ViewSizes::Choice one = pair.views[0].best(size);
    const ViewSizes::Choice other = pair.views[1].best(size);
    pair.views[one.cost <= other.cost ? 0 : 1].add(one.cost <= other.cost ? one : other);
    pair.cost += std::min(one.cost, other.cost);
  }
  return pair;
}

void addWithin(ViewBlock& block, const std::vector<ViewCurve>& curves, const PaperBox& window,
               LineRole visible) {
  for (const ViewCurve& curve : curves) {
    for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
      block.curve(curve.is_hidden ? LineRole::kHidden : visible, std::move(stretch));
    }
  }
}

std::vector<PlacedViewSolid> placed(const std::vector<int>& instances, const GateViews& views,
                                    double drive_mm) {
  std::vector<PlacedViewSolid> solids;
  for (const int instance : instances) {
    solids.push_back(views.placed(instance, drive_mm));
  }
  return solids;
}

ViewBlock drawn(const ShelfFigure& figure, const ViewSizes& sizes, const GateViews& views,
                const Letters& letters) {
  const PictureView& view = sizes.named().view;
  ViewBlock block(sizes.named().title, view);
  // What stands about the item hides neither it nor each other: it is there to measure from.
  for (const PlacedViewSolid& one : placed(figure.neighbours, views, figure.drive_mm)) {
    addWithin(block, projected({one}, view), sizes.window(), LineRole::kPhantom);
  }
  std::vector<PlacedViewSolid> own = placed(figure.own, views, figure.drive_mm);
  for (PlacedViewSolid& solid : own) {
    solid.shows_hidden = true;
  }
  addWithin(block, projected(own, view), sizes.window(), LineRole::kVisible);
  const auto letter_of = [&](const DrawnSize& size) {
    return (size.is_negative ? "-" : "") +
           letterWithShare(letters.at(size.row->pointer), size.share);
  };
  // Words first: a leader finds no way through rows of dimensions, and these find one round it, but
  // for those whose extension lines would run through the words themselves.
  LabelRequest words{sizes.emptiestSide(), {}};
  const std::vector<ViewSizes::Choice> ordered = sizes.ordered();
  for (const ViewSizes::Choice& one : ordered) {
    if (isInWords(*one.placed.size)) {
      words.labels.push_back(
          {one.placed.size->from, letter_of(*one.placed.size) + wordsOf(*one.placed.size)});
    }
  }
  if (!words.labels.empty()) {
    block.labels(std::move(words));
  }
  for (const ViewSizes::Choice& one : ordered) {
    const DrawnSize& size = *one.placed.size;
    if (!isInWords(size)) {
      block.linear({one.side,
                    one.placed.from,
                    one.placed.to,
                    letter_of(size) + (size.kind == DrawnSize::Kind::kDiameter ? "\u2300" : ""),
                    {},
                    decimalsShown(size.share * size.value)});
    }
  }
  return block;
}

}  // namespace

std::string letterWithShare(const std::string& letter, double share) {
  return share == 1 ? letter + " = " : share < 1 ? letter + "/2 = " : "2 " + letter + " = ";
}

std::array<ViewBlock, 2> itemViews(const ShelfFigure& figure, const GateViews& views,
                                   const Letters& letters) {
  const auto all = allViews(figure.model->opening_sign);
  Pair best = paired(figure, all[0], all[1]);
  for (const auto& [first, second] : {std::pair{0, 2}, std::pair{2, 1}}) {
    Pair pair = paired(figure, all[first], all[second]);
    if (pair.cost < best.cost - kLengthEqualMm) {
      best = std::move(pair);
    }
  }
  return {drawn(figure, best.views[0], views, letters),
          drawn(figure, best.views[1], views, letters)};
}

}  // namespace leafstack
