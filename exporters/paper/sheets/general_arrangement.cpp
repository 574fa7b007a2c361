// Elevations and plans, closed and open, and a section across the parked stack.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"

namespace leafstack {
namespace {

constexpr double kSectionShare = 0.24;  // of the sheet's width, for the section
constexpr double kSectionLeastMm = 78;  // its title and numbers alone
constexpr double kHatchMm = 1.2;
constexpr double kLetterMm = 3.5, kLetterAsideMm = 1.5;  // of the section's letters, on paper
constexpr double kSideAsideMm = 1.5;                     // of the sides' names, on paper
constexpr double kLevelUnderMm = 6;  // level texts below the ground, where no extension line runs
constexpr double kEarthPastMm = 350, kEarthDeepMm = 90;  // of the ground beside the slab, the model
constexpr double kCutPastMm = 250;  // cutting line beyond what it cuts, in the model

/// Ropes and what holds them are below the scale of these views.
bool isShown(const Part& part) {
  return part.kind != PartKind::kRope && part.kind != PartKind::kTerminal &&
         part.kind != PartKind::kSpacer && part.kind != PartKind::kPulleyPin &&
         part.kind != PartKind::kPulleyScrew;
}

class Arrangement {
 public:
  explicit Arrangement(const GateViews& views) : views_(views), layout_(views.layout()) {}

  ViewBlock elevation(double drive_mm) {
    const bool is_open = drive_mm > 0;
    ViewBlock block(
        is_open ? "Elevation from the road, open" : "Elevation from the road, closed" + opensText(),
        fromRoad());
    draw(block, drive_mm);
    addGround(block);
    const double w = layout_.opening_mm;
    const double end = w + layout_.room_total_mm;
    block.linear({Side::kBelow, onGround(0), onGround(w), "opening "});
    block.linear({Side::kBelow, onGround(w), onGround(end), "room needed "});
    if (!is_open) {
      addHeights(block);
    } else if (std::abs(layout_.panels.back().leading_open_mm - w) > kLengthEqualMm) {
      // What the front panel keeps of the opening, or parks past its post.
      const double lead = layout_.panels.back().leading_open_mm;
      block.linear(
          {Side::kAbove, onGround(w), onGround(lead), lead > w ? "tuck " : "short of it "});
    }
    return block;
  }

  ViewBlock plan(double drive_mm) {
    const bool is_open = drive_mm > 0;
    ViewBlock block(is_open ? "Plan, open" : "Plan, closed" + opensText(), fromAbove());
    draw(block, drive_mm);
    if (is_open) {
      addCuttingLine(block);
    }
    addSides(block, is_open);
    for (int k = 1; k <= layout_.panel_count; ++k) {
      const PanelLayout& panel = layout_.panel(k);
      const double lead = is_open ? panel.leading_open_mm : panel.leading_closed_mm;
      const double trail = is_open ? panel.trailing_open_mm : panel.trailing_closed_mm;
      const double y = panel.front_y_mm + layout_.stack.frame_depth_mm / 2;
      // No blank in the prefix's number: "panel 1: 3100".
      block.linear({Side::kAbove, at(lead, y), at(trail, y), "panel " + std::to_string(k) + ": "});
      if (!is_open && k < layout_.panel_count) {
        const PanelLayout& front = layout_.panel(k + 1);
        block.linear({Side::kBelow, at(panel.leading_closed_mm, y), at(front.trailing_closed_mm, y),
                      "overlap "});
      }
    }
    if (is_open) {
      block.linear({Side::kBelow, at(layout_.opening_mm, 0),
                    at(layout_.opening_mm + layout_.room_total_mm, 0), "room needed "});
    } else {
      block.linear({Side::kBelow, at(0, 0), at(layout_.opening_mm, 0), "opening "});
    }
    return block;
  }

  ViewBlock section() {
    ViewBlock block("Section A-A, open", alongOpening(views_.model().opening_sign));
    block.sayScale();
    const double open_mm = layout_.drive_travel_mm;
    const Scene scene = sceneOf(views_, open_mm, [&](const Instance& instance) {
      return isShown(views_.partOf(instance));
    });
    const double sign = views_.model().opening_sign;
    const CutPlane plane{{-sign, 0, 0}, -cutMm()};
    const CutView view = cutView(scene.solids, block.view(), plane);
    addCut(block, scene, view);
    addSectionGround(block, scene, view);
    addSectionDimensions(block);
    return block;
  }

 private:
  std::string opensText() const {
    return views_.model().opening_sign > 0 ? ", opens \u2192" : ", opens \u2190";
  }

  /// Which side is the road, where neither panels nor numbers stand.
  void addSides(ViewBlock& block, bool is_open) const {
    const double x =
        is_open ? 0.3 * layout_.opening_mm : layout_.opening_mm + 0.6 * layout_.room_total_mm;
    const PaperBox& box = block.bounds();
    NoteRequest road{at(x, 0), "road side"};
    road.at[1] = box.bottom_mm;
    road.above_mm = -kSideAsideMm - 2.5;
    NoteRequest property{at(x, 0), "property side"};
    property.at[1] = box.top_mm;
    property.above_mm = kSideAsideMm;
    block.note(std::move(road));
    block.note(std::move(property));
  }

  Vec3 at(double x, double y) const { return views_.at(x, y, 0); }
  Vec3 onGround(double x) const { return views_.at(x, 0, views_.groundZ(x, 0)); }

  void draw(ViewBlock& block, double drive_mm) {
    const Scene scene = sceneOf(views_, drive_mm, [&](const Instance& instance) {
      return isShown(views_.partOf(instance));
    });
    block.curves(projected(scene.solids, block.view()), [&](const ViewCurve& curve) {
      const Instance& instance = views_.model().instances[scene.instances[curve.solid]];
      return curve.is_contour && rowOf(views_.partOf(instance).kind).is_main ? LineRole::kVisible
                                                                             : LineRole::kFine;
    });
  }

  /// The driveway along the front track, its level at both ends, and the earth beside the slab.
  void addGround(ViewBlock& block) const {
    constexpr double kSagMm = 2;
    std::array<double, 2> ends = {-2 * views_.model().spec.site.fence_post_mm,
                                  layout_.opening_mm + layout_.room_total_mm};
    for (const Instance& one : views_.model().instances) {
      if (views_.partOf(one).kind == PartKind::kFooting) {
        const double sign = views_.model().opening_sign;
        ends[0] = std::min({ends[0], sign * one.bounds.low[0], sign * one.bounds.high[0]});
        ends[1] = std::max({ends[1], sign * one.bounds.low[0], sign * one.bounds.high[0]});
      }
    }
    const std::array<double, 2> past = {ends[0] - kEarthPastMm, ends[1] + kEarthPastMm};
    std::vector<PathVertex> line;
    for (const double x : layout_.ground.line.stations(past[0], past[1], kSagMm)) {
      const Vec3 on = seen(block.view(), onGround(x));
      line.push_back({on[0], on[1]});
    }
    block.curve(LineRole::kGround, std::move(line));
    for (int end = 0; end < 2; ++end) {
      std::vector<PaperPoint> top;
      for (const double x : {ends.at(end), past.at(end)}) {
        const Vec3 on = seen(block.view(), onGround(x));
        top.push_back({on[0], on[1]});
      }
      addEarth(block, top[0], top[1]);
      const bool is_left = top[1].x_mm < top[0].x_mm;
      NoteRequest level{onGround(past.at(end)), levelText(slabZ(end))};
      level.anchor = is_left ? TextAnchor::kRight : TextAnchor::kLeft;
      level.right_mm = is_left ? -kSideAsideMm : kSideAsideMm;
      level.above_mm = -kLevelUnderMm;
      block.note(std::move(level));
    }
  }

  /// Its top at an end, as the set-out has it.
  double slabZ(int end) const {
    const GateSpec& spec = views_.model().spec;
    const FootingExtent slab = footingExtent(spec, layout_);
    return footingZ(spec, layout_, layout_.panel_count, end == 0 ? slab.from_x_mm : slab.to_x_mm);
  }

  static std::string levelText(double z_mm) {
    return "slab " + std::string(z_mm > 0.5 ? "+" : "") + shown(z_mm, 0);
  }

  /// Cut earth under a stretch of ground: hatched, with no outline but the ground's.
  static void addEarth(ViewBlock& block, const PaperPoint& from, const PaperPoint& to) {
    block.hatch({{{from.x_mm, from.y_mm},
                  {to.x_mm, to.y_mm},
                  {to.x_mm, to.y_mm - kEarthDeepMm},
                  {from.x_mm, from.y_mm - kEarthDeepMm}}},
                kHatchMm, 135);
  }

  void addHeights(ViewBlock& block) const {
    const PanelLayout& front = layout_.panels.back();
    const double x = front.leading_closed_mm;
    const Side side = views_.model().opening_sign > 0 ? Side::kLeft : Side::kRight;
    const double ground = views_.groundZ(x, 0);
    const double under = front.undersideZ(x);
    block.linear({side, views_.at(x, 0, ground), views_.at(x, 0, under)});
    block.linear({side, views_.at(x, 0, under), views_.at(x, 0, front.topZ(x))});
    block.linear({side, views_.at(x, 0, ground), views_.at(x, 0, front.topZ(x))});
  }

  /// Where a section past the post meets the fewest uprights and fittings, nearest to the middle.
  double cutMm() {
    if (cut_mm_) {
      return *cut_mm_;
    }
    constexpr double kStepMm = 10, kOffPostMm = 150;
    const double from = layout_.opening_mm + kOffPostMm;
    const double to = layout_.opening_mm + std::max(layout_.room_mm, 2 * kOffPostMm) - kOffPostMm;
    std::vector<std::pair<double, double>> small;
    const auto& instances = views_.model().instances;
    for (int i = 0; i < static_cast<int>(instances.size()); ++i) {
      const Bounds bounds = views_.boundsAt(i, layout_.drive_travel_mm);
      if (bounds.high[0] - bounds.low[0] < kMostSmallMm) {
        const double sign = views_.model().opening_sign;
        small.emplace_back(std::min(sign * bounds.low[0], sign * bounds.high[0]),
                           std::max(sign * bounds.low[0], sign * bounds.high[0]));
      }
    }
    double best = (from + to) / 2;
    double least = std::numeric_limits<double>::infinity();
    for (double x = from; x <= to; x += kStepMm) {
      double cost = std::abs(x - (from + to) / 2) * 1e-4;
      for (const auto& [low, high] : small) {
        cost += low - 1 < x && x < high + 1 ? 1 : 0;
      }
      if (cost < least) {
        least = cost;
        best = x;
      }
    }
    cut_mm_ = best;
    return best;
  }

  void addCuttingLine(ViewBlock& block) {
    const double x = cutMm();
    const double low = -kCutPastMm;
    const double high = block.bounds().top_mm + kCutPastMm;
    block.line(LineRole::kCutting, at(x, low), at(x, high));
    // With the way it looks: the opening direction.
    const bool is_right = views_.model().opening_sign > 0;
    const std::string letter = is_right ? "A \u2192" : "\u2190 A";
    const TextAnchor anchor = is_right ? TextAnchor::kLeft : TextAnchor::kRight;
    const double aside = is_right ? kLetterAsideMm : -kLetterAsideMm;
    // Apart, however small the view.
    block.note({at(x, low), letter, anchor, -kLetterMm - kLetterAsideMm, aside, kLetterMm});
    block.note({at(x, high), letter, anchor, 0, aside, kLetterMm});
  }

  void addCut(ViewBlock& block, const Scene& scene, const CutView& view) const {
    for (const CutFace& face : view.faces) {
      const Instance& instance = views_.model().instances[scene.instances[face.solid]];
      // Neighbouring panels are told apart by the hatching's direction.
      block.cutFace(face.loops, kHatchMm, instance.panel % 2 == 0 ? 45 : 135);
    }
    block.curves(view.behind, [](const ViewCurve&) { return LineRole::kFine; });
  }

  /// The ground to both sides of the slab, as high as its upper corners.
  void addSectionGround(ViewBlock& block, const Scene& scene, const CutView& view) const {
    constexpr double kPastMm = 45;
    PaperBox slab;
    double left = 0, right = 0;  // heights
    for (const CutFace& face : view.faces) {
      const Instance& one = views_.model().instances[scene.instances[face.solid]];
      if (views_.partOf(one).kind != PartKind::kFooting) {
        continue;
      }
      for (const PathVertex& corner : face.loops.front()) {
        const bool is_first = slab.isEmpty();
        if (is_first || corner.x_mm < slab.left_mm - kLengthEqualMm ||
            (corner.x_mm < slab.left_mm + kLengthEqualMm && corner.y_mm > left)) {
          left = corner.y_mm;
        }
        if (is_first || corner.x_mm > slab.right_mm + kLengthEqualMm ||
            (corner.x_mm > slab.right_mm - kLengthEqualMm && corner.y_mm > right)) {
          right = corner.y_mm;
        }
        slab.include(PaperPoint{corner.x_mm, corner.y_mm});
      }
    }
    if (slab.isEmpty()) {
      return;
    }
    for (const auto& [from, to] :
         {std::pair(PaperPoint{slab.left_mm, left}, PaperPoint{slab.left_mm - kPastMm, left}),
          std::pair(PaperPoint{slab.right_mm, right},
                    PaperPoint{slab.right_mm + kPastMm, right})}) {
      block.curve(LineRole::kGround, {{from.x_mm, from.y_mm}, {to.x_mm, to.y_mm}});
      addEarth(block, from, to);
    }
  }

  void addSectionDimensions(ViewBlock& block) {
    const double x = cutMm();
    const double z = views_.groundZ(x, 0);
    const double depth = layout_.stack.frame_depth_mm;
    std::vector<Vec3> across;
    for (int k = layout_.panel_count; k >= 1; --k) {
      const double y = layout_.panel(k).front_y_mm;
      across.push_back(views_.at(x, y, z));
      across.push_back(views_.at(x, y + depth, z));
    }
    // From the back of the fence line.
    across.push_back(views_.at(x, 0, z));
    block.running(
        {Side::kBelow, views_.at(x, 0, z), across, minus(views_.at(x, 1, z), views_.at(x, 0, z))});
    const Side side = views_.model().opening_sign > 0 ? Side::kRight : Side::kLeft;
    const PanelLayout& front = layout_.panels.back();
    // The same bodies as closed, one travel on: heights of the front panel, parked.
    const Pose pose = views_.model().poseAt(layout_.panel_count, layout_.drive_travel_mm);
    const double closed_x = x - front.travel_mm;
    Vec3 top = carried(pose, views_.at(closed_x, 0, front.topZ(closed_x)));
    Vec3 under = carried(pose, views_.at(closed_x, 0, front.undersideZ(closed_x)));
    top[1] = under[1] = front.front_y_mm;
    const Vec3 ground = views_.at(x, front.front_y_mm, z);
    block.linear({side, ground, under});
    block.linear({side, ground, top});
  }

  static constexpr double kMostSmallMm = 400;
  const GateViews& views_;
  const Layout& layout_;
  std::optional<double> cut_mm_;
};

}  // namespace

namespace {

using Rows = std::vector<std::vector<const ViewBlock*>>;

/// In short; the report has them all.
const std::vector<std::string> kCautions = {
    "CAUTION: automatic gates crush and shear. Positive stops at both ends of the travel are never "
    "optional. Guard ropes, pulleys and every gap that closes.",
    "Local codes and licensed practitioners decide on structure, footings, electrical work and the "
    "safety of the finished gate; see the cautions in summary.html."};

/// A sheet with `rows` and, where there is one, the section beside them.
struct Attempt {
  Sheet sheet;
  double mm_per_mm = std::numeric_limits<double>::infinity();
};

Attempt attempt(const Sheet& empty, const std::string& words, const Rows& rows,
                const ViewBlock* section) {
  Attempt made{empty};
  std::vector<std::string> paragraphs = {words};
  paragraphs.insert(paragraphs.end(), kCautions.begin(), kCautions.end());
  PaperBox main =
      addLowerLeft(made.sheet, drawnParagraphs(paragraphs, drawingSpace(empty).beside.widthMm()));
  if (section != nullptr) {
    PaperBox side = main;
    side.left_mm = main.right_mm - std::max(kSectionShare * main.widthMm(), kSectionLeastMm);
    main.right_mm = side.left_mm;
    addGrid(made.sheet, side, {{{section}}});
  }
  if (const auto scale = addGrid(made.sheet, main, {rows})) {
    made.mm_per_mm = *scale;
  }
  return made;
}

/// Hand, ground, and where what is bought stands.
std::string wordsOf(const Model& model) {
  const SiteSpec& site = model.spec.site;
  std::string words = model.opening_sign > 0 ? "Opens to the right" : "Opens to the left";
  words += ", seen from the road; the motor stands on the property side. ";
  if (!site.track_survey_mm.empty()) {
    words += "Tracks as surveyed: levels on the set-out sheets. ";
  } else if (site.grade != 0) {
    words += std::string("The ground ") + (site.grade > 0 ? "rises" : "falls") + " by " +
             shown(100 * std::abs(site.grade), 2) + " % in the opening direction. ";
  } else {
    words += "Level ground. ";
  }
  const FootingExtent slab = footingExtent(model.spec, model.layout);
  words += "Slab " + shown(slab.to_x_mm - slab.from_x_mm, 0) + " x " +
           shown(slab.to_y_mm - slab.from_y_mm, 0) + ", " +
           shown(model.spec.hardware.post.footing_depth_mm, 0) + " deep; fence " +
           shown(site.fence_height_mm, 0) + " high. ";
  words +=
      "Levels of the slab's ends in mm from the driveway on the front track at the latch-side "
      "post. ";
  return words +
         "What is bought and what is there already is told in the parts list; the last sheet lists "
         "all sheets.";
}

/// A small sheet: every view and the words each on one of their own.
void addOneByOne(SheetMaker& maker, const std::vector<const ViewBlock*>& views,
                 const std::string& words) {
  int number = 0;
  for (const ViewBlock* view : views) {
    const std::string suffix = ++number > 1 ? "-" + std::to_string(number) : std::string();
    MadeSheet one{maker.empty("general-arrangement" + suffix, "General arrangement"),
                  "general arrangement"};
    one.mm_per_mm = addNeeded(one.sheet, drawingSpace(one.sheet).above, {{{view}}});
    maker.sheets.push_back(std::move(one));
  }
  std::vector<std::string> paragraphs = {words};
  paragraphs.insert(paragraphs.end(), kCautions.begin(), kCautions.end());
  MadeSheet notes{maker.empty("general-arrangement-notes-list", "General arrangement, notes"),
                  "general arrangement"};
  const PaperBox above = drawingSpace(notes.sheet).above;
  addMoved(notes.sheet, drawnParagraphs(paragraphs, above.widthMm()),
           {above.left_mm, above.top_mm});
  maker.sheets.push_back(std::move(notes));
}

}  // namespace

void addGeneralArrangement(SheetMaker& maker) {
  Arrangement arrangement(maker.views);
  const double open_mm = maker.layout().drive_travel_mm;
  const ViewBlock elevations[] = {arrangement.elevation(0), arrangement.elevation(open_mm)};
  const ViewBlock plans[] = {arrangement.plan(0), arrangement.plan(open_mm)};
  const ViewBlock section = arrangement.section();
  const bool is_first = maker.model().spec.drawings.projection == ProjectionAngle::kFirst;
  // From above: below the front view in first angle, above it in third.
  const auto column = [&](int i) {
    return is_first ? Rows{{&elevations[i]}, {&plans[i]}} : Rows{{&plans[i]}, {&elevations[i]}};
  };
  Rows all = column(0);
  const Rows open = column(1);
  all.insert(all.end(), open.begin(), open.end());
  const Rows beside = {{column(0)[0][0], open[0][0]}, {column(0)[1][0], open[1][0]}};
  const Sheet empty = maker.empty("general-arrangement", "General arrangement");
  const std::string words = wordsOf(maker.model());
  // One sheet, unless two show the gate larger.
  std::vector<Attempt> one = {attempt(empty, words, all, &section),
                              attempt(empty, words, beside, &section)};
  Attempt best = one[1].mm_per_mm < one[0].mm_per_mm ? std::move(one[1]) : std::move(one[0]);
  // The section stands beside what shows where it is cut.
  const Sheet second = maker.empty("general-arrangement-open", "General arrangement, open");
  Attempt first = attempt(empty, words, column(0), nullptr);
  Attempt other = attempt(second, words, open, &section);
  const bool has_own = other.mm_per_mm > first.mm_per_mm;
  if (has_own) {
    other = attempt(second, words, open, nullptr);
  }
  const bool is_one = first.mm_per_mm >= best.mm_per_mm;
  if (std::isinf(is_one ? best.mm_per_mm : std::max(first.mm_per_mm, other.mm_per_mm))) {
    addOneByOne(maker, {&elevations[0], &plans[0], &elevations[1], &plans[1], &section}, words);
    return;
  }
  if (is_one) {
    maker.sheets.push_back({std::move(best.sheet), "general arrangement", best.mm_per_mm});
    return;
  }
  first.sheet.title += ", closed";
  maker.sheets.push_back({std::move(first.sheet), "general arrangement", first.mm_per_mm});
  maker.sheets.push_back({std::move(other.sheet), "general arrangement", other.mm_per_mm});
  if (has_own) {
    MadeSheet across{maker.empty("general-arrangement-section", "General arrangement, section"),
                     "general arrangement"};
    across.mm_per_mm = addNeeded(across.sheet, drawingSpace(across.sheet).above, {{{&section}}});
    maker.sheets.push_back(std::move(across));
  }
}

}  // namespace leafstack
