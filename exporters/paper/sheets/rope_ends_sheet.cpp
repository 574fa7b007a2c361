// Rope ends as they are mounted: brackets with both ropes' terminals and nuts, and how the ropes
// are tensioned.
#include <algorithm>
#include <cmath>
#include <set>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/layout/figures/terminal.h"
#include "generator/loads/tensioning.h"

namespace leafstack {
namespace {

constexpr double kRopeShownMm = 25;  // beyond a terminal's mouth

/// One bracket with what is held in it.
class RopeEnds {
 public:
  RopeEnds(const GateViews& views, const RopeLayout& rope, bool front)
      : views_(views), rope_(rope), front_(front), terminal_(terminalOf(views.model().spec)) {
    scene_ = sceneOf(views, 0, [&](const Instance& one) { return isShown(one); });
  }

  ViewBlock fromRoadView() const {
    ViewBlock block(title() + ", from the road", tilted(fromRoad().up));
    addSolids(block);
    addRopes(block);
    const double half = terminal_.half_bracket_mm;
    // The opening rope's end above, its pulley in the opening direction; the closing one's below.
    const double up = rope_.apart_mm / 2;
    const double out = half + 2 * terminal_.nut_mm;
    block.linear({Side::kAbove, at(-out, up), at(-half, up), "nuts "});
    block.linear({Side::kAbove, at(-half, up), at(half, up), "bracket "});
    block.linear({Side::kAbove, at(tail(), up), at(terminal_.mouthMm(), up), "terminal "});
    block.linear({side(), at(0, -up), at(0, up), "ropes apart "});
    block.labels({Side::kBelow, {{at(-out, up), "opening"}, {at(out, -up), "closing"}}, true});
    return block;
  }

  ViewBlock fromAboveView() const {
    ViewBlock block(title() + ", from above", tilted(fromAbove().up));
    addSolids(block);
    addRopes(block);
    return block;
  }

 private:
  std::string title() const {
    return front_         ? "On panel " + std::to_string(rope_.carrier + 1)
           : holder() > 0 ? "On panel " + std::to_string(holder())
                          : std::string("On the ground");
  }
  int holder() const { return front_ ? rope_.carrier + 1 : rope_.carrier - 1; }
  double stationMm() const { return front_ ? rope_.front_bracket_mm : rope_.rear_bracket_mm; }
  double boreZ() const { return front_ ? rope_.front_bore_z_mm : rope_.rear_bore_z_mm; }
  double slope() const {
    return holder() > 0 ? views_.layout().panel(holder()).grade
                        : views_.layout().ground.lineOf(1).slope(stationMm());
  }
  Side side() const { return Side::kRight; }
  /// Square to the ropes, which run along what they are held by.
  PictureView tilted(const Vec3& up) const {
    const double rise = views_.model().opening_sign * slope();
    const double c = 1 / std::sqrt(1 + rise * rise);
    const double s = rise * c;
    const Vec3 right = {c, 0, s};
    const Vec3 upright = up[2] > 0 ? Vec3{-s, 0, c} : up;
    return {right, upright, cross(right, upright)};
  }
  /// The terminal's end away from its pulley.
  double tail() const {
    return std::min(terminal_.threadEndMm(), -terminal_.half_bracket_mm) -
           (terminal_.kind == TerminalKind::kScrew ? terminal_.sleeve_length_mm : 0);
  }
  double acrossMm() const {
    const Layout& layout = views_.layout();
    const double middle = layout.panel(rope_.carrier).front_y_mm + layout.stack.frame_depth_mm / 2;
    return front_ ? middle - rope_.pitch_mm / 2 : middle + rope_.pitch_mm / 2;
  }
  /// Along the rope and square to it, from the middle between both.
  Vec3 at(double along, double up) const {
    const double c = 1 / std::sqrt(1 + slope() * slope());
    const double s = slope() * c;
    return views_.at(stationMm() + along * c - up * s, acrossMm(), boreZ() + along * s + up * c);
  }

  bool isShown(const Instance& one) const {
    const PartKind kind = views_.partOf(one).kind;
    const bool is_end = kind == PartKind::kTerminal || kind == PartKind::kTerminalNut ||
                        kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket ||
                        kind == PartKind::kGroundBracket;
    const Vec3 middle = at(0, 0);
    const double near = terminal_.length_mm + 2 * terminal_.half_bracket_mm;
    return is_end && one.panel == holder() && one.bounds.low[0] < middle[0] + near &&
           one.bounds.high[0] > middle[0] - near && one.bounds.low[1] < middle[1] &&
           one.bounds.high[1] > middle[1];
  }

  void addSolids(ViewBlock& block) const {
    block.curves(projected(scene_.solids, block.view()), [](const ViewCurve& curve) {
      return curve.is_hidden ? LineRole::kHidden : LineRole::kVisible;
    });
  }

  /// Their centre lines, out of the terminals' mouths.
  void addRopes(ViewBlock& block) const {
    const double up = rope_.apart_mm / 2;
    const double mouth = terminal_.mouthMm();
    block.line(LineRole::kRope, at(mouth, up), at(mouth + kRopeShownMm, up));
    block.line(LineRole::kRope, at(-mouth, -up), at(-mouth - kRopeShownMm, -up));
  }

  const GateViews& views_;
  const RopeLayout& rope_;
  bool front_;
  Terminal terminal_;
  Scene scene_;
};

/// The grid that comes out largest, the first of equals.
std::optional<double> addLarger(Sheet& sheet, const PaperBox& box,
                                const std::vector<ViewGrid>& grids) {
  std::optional<double> scale;
  Sheet best = sheet;
  for (const ViewGrid& grid : grids) {
    Sheet tried = sheet;
    const auto found = addGrid(tried, box, grid);
    if (found && (!scale || *found < *scale)) {
      scale = found;
      best = std::move(tried);
    }
  }
  sheet = std::move(best);
  return scale;
}

}  // namespace

void addRopeEndsSheet(SheetMaker& maker) {
  if (maker.layout().ropes.empty()) {
    return;
  }
  std::vector<ViewBlock> blocks;
  for (const bool front : {true, false}) {
    const RopeEnds ends(maker.views, maker.layout().ropes.front(), front);
    blocks.push_back(ends.fromRoadView());
    blocks.push_back(ends.fromAboveView());
  }
  const ViewGrid beneath{{{&blocks[0], &blocks[2]}, {&blocks[1], &blocks[3]}}};
  const ViewGrid in_a_row{{{&blocks[0], &blocks[1], &blocks[2], &blocks[3]}}};
  const auto steps = [&](const PaperBox& space) {
    return drawnParagraphs(tensioningSteps(maker.schedules.loads.ropes), space.widthMm());
  };
  MadeSheet both{maker.empty("rope-ends", "Rope ends, and how the ropes are tensioned"), "detail"};
  const PaperBox beside = drawingSpace(both.sheet).above;
  const PaperBox box = addLowerLeft(both.sheet, steps(beside));
  if (const auto scale = addLarger(both.sheet, box, {beneath, in_a_row})) {
    both.mm_per_mm = *scale;
    maker.sheets.push_back(std::move(both));
    return;
  }
  // Many ropes on small paper: a sheet for the views and one for the words.
  MadeSheet views{maker.empty("rope-ends", "Rope ends"), "detail"};
  views.mm_per_mm =
      addLarger(views.sheet, drawingSpace(views.sheet).above, {beneath, in_a_row}).value_or(0);
  maker.sheets.push_back(std::move(views));
  MadeSheet words{maker.empty("rope-tensioning-list", "How the ropes are tensioned"), "detail"};
  addLowerLeft(words.sheet, steps(drawingSpace(words.sheet).above));
  maker.sheets.push_back(std::move(words));
}

}  // namespace leafstack
