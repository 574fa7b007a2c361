// The blocks of concrete under the posts, each in plan and in section across the track.
#include <algorithm>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheet/window.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"

namespace leafstack {
namespace {

// Hatching on paper: the slab's, which is a solid of the model, and the block's under it.
constexpr double kSlabHatchMm = 1.2, kBlockHatchMm = 2.4;
constexpr double kSlabAngleDeg = 45, kBlockAngleDeg = 135;

class BlockSection {
 public:
  BlockSection(const GateViews& views, const StructurePost& post)
      : views_(views), post_(post), block_(*post.block) {
    const int strip = post.is_guide_post ? kRearStrip : views.layout().panel_count;
    top_z_ = footingZ(views.model().spec, views.layout(), strip, block_.middle_x_mm);
  }

  /// From above, with what stands on it and the slab's edges.
  ViewBlock plan() const {
    ViewBlock block("Plan at the " + post_.name, fromAbove());
    const double from_x = block_.middle_x_mm - block_.along_mm / 2;
    const double to_x = block_.middle_x_mm + block_.along_mm / 2;
    PaperBox window;
    std::vector<PathVertex> loop;
    for (const auto& [x, y] : {std::pair{from_x, fromY()}, std::pair{to_x, fromY()},
                               std::pair{to_x, toY()}, std::pair{from_x, toY()}}) {
      const Vec3 on = seen(block.view(), views_.at(x, y, 0));
      loop.push_back({on[0], on[1]});
      window.include(PaperPoint{on[0], on[1]});
    }
    constexpr double kAroundBlockMm = 120;
    window = window.grown(kAroundBlockMm);
    const Scene scene = sceneOf(views_, 0, [&](const Instance& one) {
      const PartKind kind = views_.partOf(one).kind;
      return one.panel == 0 && kind != PartKind::kRope && kind != PartKind::kTerminal &&
             kind != PartKind::kMotor;
    });
    for (const ViewCurve& curve : projected(scene.solids, block.view())) {
      for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
        block.curve(LineRole::kFine, std::move(stretch));
      }
    }
    block.curve(LineRole::kHidden, std::move(loop), true);
    const auto at = [&](double x, double y) { return views_.at(x, y, 0); };
    const FootingExtent slab = footingExtent(views_.model().spec, views_.layout());
    const double post_x = block_.middle_x_mm;
    RunningRequest along{Side::kBelow, at(0, fromY()), {}, minus(at(1, 0), at(0, 0))};
    along.features = {at(from_x, fromY()), at(post_x, fromY()), at(to_x, fromY())};
    RunningRequest across{views_.model().opening_sign > 0 ? Side::kLeft : Side::kRight,
                          at(from_x, 0),
                          {at(from_x, fromY()), at(from_x, toY())},
                          {0, 1, 0}};
    for (const double y : {0.0, slab.from_y_mm, slab.to_y_mm}) {
      const bool is_new =
          std::abs(y - fromY()) > kLengthEqualMm && std::abs(y - toY()) > kLengthEqualMm;
      if (is_new && y > fromY() - kAroundBlockMm && y < toY() + kAroundBlockMm) {
        across.features.push_back(at(from_x, y));
      }
    }
    block.running(std::move(along));
    block.running(std::move(across));
    return block;
  }

  ViewBlock section() const {
    ViewBlock block("Section at the " + post_.name, alongOpening(views_.model().opening_sign));
    addCut(block);
    addBlock(block);
    addPocket(block);
    addDimensions(block);
    return block;
  }

 private:
  double fromY() const { return block_.middle_y_mm - block_.across_mm / 2; }
  double toY() const { return block_.middle_y_mm + block_.across_mm / 2; }
  double bottomZ() const { return top_z_ - block_.depth_mm; }
  double slabZ() const { return top_z_ - views_.model().spec.hardware.post.footing_depth_mm; }
  Vec3 at(double y, double z) const { return views_.at(block_.middle_x_mm, y, z); }

  std::vector<PathVertex> rectangle(const ViewBlock& block, double low_z, double high_z) const {
    std::vector<PathVertex> loop;
    for (const Vec3& corner :
         {at(fromY(), low_z), at(toY(), low_z), at(toY(), high_z), at(fromY(), high_z)}) {
      const Vec3 on = seen(block.view(), corner);
      loop.push_back({on[0], on[1]});
    }
    return loop;
  }

  void addCut(ViewBlock& block) const {
    const Scene scene = sceneOf(views_, 0, [&](const Instance& one) {
      const PartKind kind = views_.partOf(one).kind;
      return one.panel == 0 && kind != PartKind::kRope && kind != PartKind::kTerminal;
    });
    const double sign = views_.model().opening_sign;
    const CutView cut = cutView(scene.solids, block.view(), {{-sign, 0, 0}, -block_.middle_x_mm});
    for (const CutFace& face : cut.faces) {
      block.cutFace(face.loops, kSlabHatchMm, kSlabAngleDeg);
    }
    block.curves(cut.behind, [](const ViewCurve&) { return LineRole::kFine; });
  }

  /// Cast as one with the slab: whole in dashes, and hatched where it is alone.
  void addBlock(ViewBlock& block) const {
    block.curve(LineRole::kHidden, rectangle(block, bottomZ(), top_z_), true);
    if (bottomZ() < slabZ() - kLengthEqualMm) {
      block.cutFace({rectangle(block, bottomZ(), slabZ())}, kBlockHatchMm, kBlockAngleDeg);
    }
  }

  /// The side of the pocket dug into a bank, where there is one.
  void addPocket(ViewBlock& block) const {
    const auto& pockets = views_.layout().ground.pockets;
    const bool is_there =
        block_.middle_x_mm + block_.along_mm / 2 > views_.layout().opening_mm + kLengthEqualMm;
    if (views_.model().spec.site.bank > 0 && !pockets.empty() && is_there) {
      const double y = pockets.front().width_mm;
      block.line(LineRole::kPhantom, at(y, bottomZ()), at(y, top_z_));
      block.labels({Side::kAbove, {{at(y, top_z_), "side of the pocket"}}});
    }
  }

  void addDimensions(ViewBlock& block) const {
    const FootingExtent slab = footingExtent(views_.model().spec, views_.layout());
    // From the back of the fence line.
    block.running({Side::kBelow,
                   at(0, bottomZ()),
                   {at(0, bottomZ()), at(fromY(), bottomZ()), at(toY(), bottomZ()),
                    at(slab.from_y_mm, slabZ()), at(slab.to_y_mm, slabZ())},
                   minus(at(1, bottomZ()), at(0, bottomZ()))});
    const bool is_right = views_.model().opening_sign > 0;
    const Side side = is_right ? Side::kRight : Side::kLeft;
    block.linear({side, at(fromY(), bottomZ()), at(fromY(), top_z_), "block "});
    block.linear({side, at(slab.from_y_mm, slabZ()), at(slab.from_y_mm, top_z_), "slab "});
  }

  const GateViews& views_;
  const StructurePost& post_;
  const PostBlock& block_;
  double top_z_ = 0;
};

/// "Under the guide post: 900 x 900 mm, 900 mm deep; reaches 390 mm into the clear opening."
std::string inWords(const StructurePost& post) {
  const PostBlock& block = *post.block;
  std::string text = "Under the " + post.name + ": " + shown(block.along_mm) + " mm along x " +
                     shown(block.across_mm) + " mm across, " + shown(block.depth_mm) +
                     " mm deep with the slab, cast as one with it";
  const char* before = "; reaches ";
  for (const BlockReach& reach : block.reaches) {
    text += before + shown(reach.by_mm, 0) + " mm " + reach.what;
    before = ", ";
  }
  return text + ".";
}

}  // namespace

void addPostBlocksSheet(SheetMaker& maker) {
  std::vector<ViewBlock> views;
  std::vector<std::string> notes;
  for (const StructurePost& post : maker.schedules.loads.structure.posts) {
    if (post.block) {
      const BlockSection block(maker.views, post);
      views.push_back(block.plan());
      views.push_back(block.section());
      notes.push_back(inWords(post));
    }
  }
  if (views.empty()) {
    return;
  }
  notes.emplace_back(
      "X runs from the latch-side post face along the track, Y from the back of the fence line; in "
      "the plans the middle number along is the block's middle.");
  notes.emplace_back(
      "Found by the wind assumed, the blocks' own weight alone holding them; soil, frost and what "
      "lies in the ground are not known here. A licensed engineer decides.");
  MadeSheet made{maker.empty("post-blocks", "Blocks under the posts"), "section"};
  const PaperBox space =
      addLowerLeft(made.sheet, drawnParagraphs(notes, drawingSpace(made.sheet).beside.widthMm()));
  // In a row, or the plans over the sections where that is larger.
  ViewGrid row{{{}}, false}, rows{{{}, {}}, false};
  for (std::size_t i = 0; i < views.size(); ++i) {
    row.rows.front().push_back(&views[i]);
    rows.rows[i % 2].push_back(&views[i]);
  }
  const PaperRoom room{space.widthMm(), space.heightMm()};
  const auto in_row = DrawnGrid::fitted(row, room);
  const auto in_rows = DrawnGrid::fitted(rows, room);
  if (!in_row && !in_rows) {  // a small sheet
    int number = 0;
    for (const ViewBlock& view : views) {
      const std::string suffix = ++number > 1 ? "-" + std::to_string(number) : std::string();
      MadeSheet one{maker.empty("post-blocks" + suffix, "Blocks under the posts"), "section"};
      one.mm_per_mm = addNeeded(one.sheet, drawingSpace(one.sheet).above, {{{&view}}});
      maker.sheets.push_back(std::move(one));
    }
    MadeSheet words{maker.empty("post-blocks-notes-list", "Blocks under the posts"), "section"};
    const PaperBox above = drawingSpace(words.sheet).above;
    addMoved(words.sheet, drawnParagraphs(notes, above.widthMm()), {above.left_mm, above.top_mm});
    maker.sheets.push_back(std::move(words));
    return;
  }
  const bool is_row = in_row && (!in_rows || in_row->mmPerMm() <= in_rows->mmPerMm());
  const DrawnGrid drawn = needed(is_row ? in_row : in_rows, made.sheet.name);
  drawn.addTo(made.sheet, space);
  made.mm_per_mm = drawn.mmPerMm();
  maker.sheets.push_back(std::move(made));
}

}  // namespace leafstack
