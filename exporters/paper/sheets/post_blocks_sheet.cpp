// The blocks of concrete under the posts, each in section across the track.
#include <algorithm>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
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

  ViewBlock made() const {
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
      views.push_back(BlockSection(maker.views, post).made());
      notes.push_back(inWords(post));
    }
  }
  if (views.empty()) {
    return;
  }
  notes.emplace_back(
      "Found by the wind assumed, the blocks' own weight alone holding them; soil, frost and what "
      "lies in the ground are not known here. A licensed engineer decides.");
  MadeSheet made{maker.empty("post-blocks", "Blocks under the posts"), "section"};
  const PaperBox space =
      addLowerLeft(made.sheet, drawnParagraphs(notes, drawingSpace(made.sheet).beside.widthMm()));
  ViewGrid grid{{{}}, false};
  for (const ViewBlock& view : views) {
    grid.rows.front().push_back(&view);
  }
  made.mm_per_mm = addGrid(made.sheet, space, grid).value_or(0);
  maker.sheets.push_back(std::move(made));
}

}  // namespace leafstack
