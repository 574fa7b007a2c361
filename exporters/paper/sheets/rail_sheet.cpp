// The bottom rail of each panel with every cut-out.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"
#include "generator/model/wall_holes.h"

namespace leafstack {
namespace {

struct WallView {
  Wall wall{};
  const char* title;
  PictureView (*view)();
};

constexpr WallView kWallViews[] = {{Wall::kTop, "Top", fromAbove},
                                   {Wall::kFront, "Front face (road side)", fromRoad},
                                   {Wall::kBottom, "Underside", fromBelow},
                                   {Wall::kRear, "Rear face (property side)", fromProperty}};

bool isSide(Wall wall) {
  return wall == Wall::kFront || wall == Wall::kRear;
}

/// One bottom rail, in its own frame.
class RailSheet {
 public:
  RailSheet(SheetMaker& maker, const Instance& rail)
      : maker_(maker), rail_(rail), part_(maker.views.partOf(rail)) {
    sign_ = maker.model().opening_sign;
  }

  void add(int panel) {
    number_ = std::to_string(panel);
    std::vector<ViewBlock> blocks;
    for (const WallView& one : kWallViews) {
      blocks.push_back(wallView(one));
    }
    MadeSheet made = empty("");
    addAboveTable(made, gridOf({&blocks[0], &blocks[1], &blocks[2], &blocks[3]}), table());
    if (made.mm_per_mm > 0) {
      maker_.sheets.push_back(std::move(made));
      return;
    }
    // A small sheet: two views each, and the table by itself.
    for (const int first : {0, 2}) {
      MadeSheet half = empty(first > 0 ? "-2" : "");
      const PaperBox above = drawingSpace(half.sheet).above;
      half.mm_per_mm =
          addGrid(half.sheet, above, gridOf({&blocks[first], &blocks[first + 1]})).value_or(0);
      maker_.sheets.push_back(std::move(half));
    }
    MadeSheet list = empty("-list");
    const PaperBox above = drawingSpace(list.sheet).above;
    const DrawnTable drawn = drawnTable(table(), 0, {above.widthMm(), above.heightMm()});
    addMoved(list.sheet, drawn.sheet, {above.left_mm, above.top_mm});
    maker_.sheets.push_back(std::move(list));
  }

 private:
  MadeSheet empty(const std::string& suffix) const {
    return {maker_.empty("bottom-rail-panel-" + number_ + suffix,
                         "Bottom rail " + part_.mark + ", panel " + number_),
            "workshop drawing"};
  }

  static ViewGrid gridOf(const std::vector<const ViewBlock*>& views) {
    ViewGrid grid;
    for (const ViewBlock* view : views) {
      grid.rows.push_back({view});
    }
    return grid;
  }

  Vec3 holeAt(const TubeHole& hole, Wall wall) const {
    const double outer_y = wall == Wall::kRear ? part_.bounds.high[1] : part_.bounds.low[1];
    const double outer_z = wall == Wall::kTop ? part_.bounds.high[2] : part_.bounds.low[2];
    return isSide(wall) ? Vec3{hole.x_mm, outer_y, hole.across_mm}
                        : Vec3{hole.x_mm, hole.across_mm, outer_z};
  }

  ViewBlock wallView(const WallView& one) {
    ViewBlock block(one.title, one.view());
    PlacedViewSolid placed;
    placed.solid = maker_.views.solidOf(rail_.part);
    block.curves(projected({placed}, block.view()),
                 [](const ViewCurve&) { return LineRole::kVisible; });
    if (one.wall == Wall::kRear) {
      // Seen from behind the rail runs the other way: under the other views all the same.
      block.alignBy(block.bounds().left_mm - (sign_ > 0 ? 0 : part_.bounds.low[0]), 0);
    }
    const std::vector<TubeHole> holes = holesIn(part_, one.wall);
    // Numbers stand above: from the upper edge as seen, on top and underneath; the ends of raked
    // rails are at the lower edge.
    const double edge_y = one.wall == Wall::kTop ? part_.bounds.high[1] : part_.bounds.low[1];
    const bool is_square = part_.ends[0].angle_deg == 0;
    const double edge_z =
        isSide(one.wall) && is_square ? part_.bounds.high[2] : part_.bounds.low[2];
    const Vec3 start = {0, edge_y, edge_z};
    RunningRequest along{Side::kAbove, start, {start}};
    for (const TubeHole& hole : holes) {
      along.features.push_back(holeAt(hole, one.wall));
    }
    addJoints(block, along, {edge_y, edge_z});
    along.features.push_back({sign_ * edgeMm(), edge_y, edge_z});
    if (one.wall == Wall::kTop && !is_square) {
      // The corners that the saw leaves of this wall, from the same 0.
      const double upper = sign_ > 0 ? part_.bounds.low[0] : part_.bounds.high[0];
      const double off =
          std::abs(upper) > kLengthEqualMm ? upper : sign_ * (part_.length_mm - edgeMm());
      for (const double x : {off, off + sign_ * edgeMm()}) {
        along.features.push_back({x, edge_y, edge_z});
      }
    }
    block.running(std::move(along));
    addAcross(block, one.wall, holes);
    LabelRequest tags{Side::kBelow, {}, false};
    for (const TubeHole& hole : holes) {
      tags.labels.push_back({holeAt(hole, one.wall), tagOf(hole, one.wall)});
    }
    block.labels(std::move(tags));
    return block;
  }

  /// Where the rail's pieces meet, square to it.
  void addJoints(ViewBlock& block, RunningRequest& along, const std::array<double, 2>& edge) const {
    const Bounds& box = part_.bounds;
    for (const Splice& splice : part_.splices) {
      const double x = sign_ * splice.at_mm;
      block.line(LineRole::kVisible, {x, box.low[1], box.low[2]}, {x, box.high[1], box.low[2]});
      block.line(LineRole::kVisible, {x, box.low[1], box.low[2]}, {x, box.low[1], box.high[2]});
      along.features.push_back({x, edge[0], edge[1]});
    }
  }

  /// Along the lower edge, between the corners.
  double edgeMm() const {
    const double slope = std::abs(part_.ends[0].angle_deg) > 0
                             ? std::tan(std::abs(part_.ends[0].angle_deg) * std::acos(-1.0) / 180)
                             : 0;
    return part_.length_mm - slope * (part_.bounds.high[2] - part_.bounds.low[2]);
  }

  /// Distances of holes from the lower edge, or from the front face, once each.
  void addAcross(ViewBlock& block, Wall wall, const std::vector<TubeHole>& holes) const {
    // The leading end is to the left but where the view is from behind or the hand the other.
    const bool leads_left = (wall == Wall::kRear) == (sign_ < 0);
    const Side near = leads_left ? Side::kLeft : Side::kRight;
    const Side far = leads_left ? Side::kRight : Side::kLeft;
    std::vector<double> told;
    for (const TubeHole& hole : holes) {
      const bool is_new = std::none_of(told.begin(), told.end(), [&](double other) {
        return std::abs(other - hole.across_mm) < kLengthEqualMm;
      });
      if (is_new) {
        told.push_back(hole.across_mm);
        const Vec3 at = holeAt(hole, wall);
        Vec3 edge = at;
        edge[isSide(wall) ? 2 : 1] = isSide(wall) ? part_.bounds.low[2] : part_.bounds.low[1];
        block.linear({near, edge, at});
      }
    }
    const Vec3 low = {sign_ * edgeMm(), part_.bounds.low[1], part_.bounds.low[2]};
    Vec3 high = low;
    high[isSide(wall) ? 2 : 1] = isSide(wall) ? part_.bounds.high[2] : part_.bounds.high[1];
    block.linear({far, low, high});
  }

  /// One letter for all holes alike: same wall, size and height.
  std::string tagOf(const TubeHole& hole, Wall wall) {
    const std::string key = std::to_string(static_cast<int>(wall)) + " " + hole.sizeText() + " " +
                            shown(hole.across_mm, 3);
    for (Tag& tag : tags_) {
      if (tag.key == key) {
        ++tag.quantity;
        tag.positions += ", " + shown(std::abs(hole.x_mm), 2);
        return tag.letter;
      }
    }
    const std::string letter(1, static_cast<char>('A' + tags_.size()));
    tags_.push_back({key, letter, wall, hole, 1, shown(std::abs(hole.x_mm), 2)});
    return letter;
  }

  TableBlock table() const {
    TableBlock table;
    table.heads = {"", "wall", "for", "size", "qty", "up / in", "centres from the leading end"};
    table.is_number = {false, false, false, false, true, true, false};
    table.most_mm = {0, 0, 62, 0, 0, 0, 62};
    for (const Tag& tag : tags_) {
      const char* wall = tag.wall == Wall::kTop      ? "top"
                         : tag.wall == Wall::kBottom ? "underside"
                         : tag.wall == Wall::kFront  ? "front"
                                                     : "rear";
      std::string purpose = purposeOf(maker_.layout().hardware, tag.hole, tag.wall);
      if (purpose == "wheel axle" && maker_.model().spec.shop.coatMm() > 0) {
        purpose += ", reamed to it after coating";
      }
      table.rows.push_back({tag.letter, wall, purpose, tag.hole.sizeText(),
                            std::to_string(tag.quantity), shown(tag.hole.across_mm, 2),
                            tag.positions});
    }
    if (!part_.splices.empty()) {
      table.rows.push_back(
          {"", "", "joint", "", std::to_string(part_.splices.size()), "", part_.cutouts.back()});
    }
    if (part_.ends[0].angle_deg != 0) {
      table.rows.push_back({"", "", "", "", "", "", sawWords()});
    }
    for (const CoatingRow& coat : maker_.schedules.coating) {
      if (coat.mark == part_.mark && !coat.after.empty()) {
        table.rows.push_back({"", "", "its finish", "", "", "", coat.after});
      }
    }
    return table;
  }

  /// How a raked rail leaves the saw, and from which of its corners all is told: as in the cut
  /// list.
  std::string sawWords() const {
    const double beyond = sign_ > 0 ? -part_.bounds.low[0] : part_.bounds.high[0];
    const bool is_before = beyond > kLengthEqualMm;
    const double height = part_.bounds.high[2] - part_.bounds.low[2];
    const double angle = std::abs(part_.ends[0].angle_deg);
    const double off = height * std::tan(angle * std::acos(-1.0) / 180);
    return "ends cut parallel at " + shown(angle, 2) +
           " deg in elevation: the leading end's upper corner " + shown(off, 1) +
           (is_before ? " before" : " behind") + " its lower one; " + shown(part_.length_mm, 1) +
           " over all, " + shown(edgeMm(), 1) +
           " along each edge; positions along the lower edge, from its leading corner, on all four "
           "walls";
  }

  struct Tag {
    std::string key, letter;
    Wall wall{};
    TubeHole hole;
    int quantity = 0;
    std::string positions;
  };

  SheetMaker& maker_;
  const Instance& rail_;
  const Part& part_;
  double sign_ = 1;
  std::string number_;
  std::vector<Tag> tags_;
};

}  // namespace

void addRailSheet(SheetMaker& maker, int panel) {
  for (const Instance& one : maker.model().instances) {
    if (one.panel == panel && maker.views.partOf(one).kind == PartKind::kBottomRail) {
      RailSheet(maker, one).add(panel);
      return;
    }
  }
}

}  // namespace leafstack
