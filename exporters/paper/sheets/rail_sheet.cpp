// The bottom rail of each panel with every cut-out: all of it, and larger where cut-outs are.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheet/window.h"
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

constexpr double kNearMm = 260;        // cut-outs no further apart along the rail share a detail
constexpr double kPastCutOutsMm = 25;  // shown to either side of them
constexpr double kFineScale = 5;       // of all of a rail, at which it needs no details
constexpr std::size_t kMostDetails = 6;

/// A stretch of the rail with cut-outs, along it from its leading end.
struct Stretch {
  double from_mm = 0, to_mm = 0;
};

bool isSide(Wall wall) {
  return wall == Wall::kFront || wall == Wall::kRear;
}

/// One bottom rail, in its own frame.
class RailSheet {
 public:
  RailSheet(SheetMaker& maker, const Instance& rail)
      : maker_(maker), rail_(rail), part_(maker.views.partOf(rail)) {
    sign_ = maker.model().opening_sign;
    for (const WallView& one : kWallViews) {
      for (const TubeHole& hole : holesIn(part_, one.wall)) {
        count(hole, one.wall);
      }
    }
  }

  void add(int panel) {
    number_ = std::to_string(panel);
    std::vector<ViewBlock> blocks;
    for (const WallView& one : kWallViews) {
      blocks.push_back(wallView(one, nullptr));
    }
    MadeSheet made = empty("");
    const TableBlock list = table();
    const ViewGrid all = gridOf({&blocks[0], &blocks[1], &blocks[2], &blocks[3]});
    addAboveTable(made, all, list);
    const std::vector<Stretch> stretches = stretchesOf();
    if ((made.mm_per_mm > 0 && made.mm_per_mm <= kFineScale) || stretches.size() > kMostDetails) {
      addWhole(std::move(made), {&blocks[0], &blocks[1]}, {&blocks[2], &blocks[3]});
      return;
    }
    // Two of its walls, bare but for the details' places; then each of those.
    const ViewBlock top = bare(kWallViews[0], stretches);
    const ViewBlock front = bare(kWallViews[1], stretches);
    std::vector<DrawnLot> lots = {{drawn({&top, &front}), ""}};
    for (const Stretch& stretch : stretches) {
      lots.push_back({detail(stretch, lots.size()), std::to_string(lots.size())});
    }
    addLots(maker_, names(), lots, &list);
  }

 private:
  SheetNames names() const {
    const MadeSheet one = empty("");
    return {one.sheet.name, one.sheet.title};
  }

  DrawnGrid drawn(const std::vector<const ViewBlock*>& views) const {
    return needed(drawnForSheet(empty("").sheet, gridOf(views), 1), names().name);
  }

  /// On one sheet with the table, or by twos.
  void addWhole(MadeSheet made, const std::vector<const ViewBlock*>& upper,
                const std::vector<const ViewBlock*>& lower) {
    if (made.mm_per_mm > 0) {
      maker_.sheets.push_back(std::move(made));
      return;
    }
    const TableBlock list = table();
    addLots(maker_, names(), {{drawn(upper), ""}, {drawn(lower), ""}}, &list);
  }

  /// Of a stretch the walls that have cut-outs there, the sides above the others.
  DrawnGrid detail(const Stretch& stretch, std::size_t number) const {
    constexpr double kDetailScale = 2;
    std::vector<ViewBlock> blocks;
    for (const int wall : {1, 3, 2, 0}) {
      if (!holesWithin(kWallViews[wall].wall, stretch).empty()) {
        blocks.push_back(wallView(kWallViews[wall], &stretch));
      }
    }
    ViewGrid grid;
    grid.are_columns_aligned = false;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      if (i % 2 == 0) {
        grid.rows.emplace_back();
      }
      grid.rows.back().push_back(&blocks[i]);
    }
    return needed(drawnForSheet(empty("").sheet, grid, kDetailScale),
                  names().name + ", detail " + std::to_string(number));
  }

  /// Along the rail, of all walls together.
  std::vector<Stretch> stretchesOf() const {
    std::vector<double> places;
    for (const WallView& one : kWallViews) {
      for (const TubeHole& hole : holesIn(part_, one.wall)) {
        places.push_back(std::abs(hole.x_mm) - hole.length_mm / 2);
        places.push_back(std::abs(hole.x_mm) + hole.length_mm / 2);
      }
    }
    for (const Splice& splice : part_.splices) {
      places.push_back(splice.at_mm);
    }
    std::sort(places.begin(), places.end());
    std::vector<Stretch> all;
    for (const double place : places) {
      if (all.empty() || place > all.back().to_mm + kNearMm) {
        all.push_back({place, place});
      }
      all.back().to_mm = place;
    }
    for (Stretch& one : all) {
      // An end that is near belongs to it.
      one.from_mm = one.from_mm < kNearMm ? -kNearMm : one.from_mm - kPastCutOutsMm;
      one.to_mm = one.to_mm > part_.length_mm - kNearMm ? part_.length_mm + kNearMm
                                                        : one.to_mm + kPastCutOutsMm;
    }
    return all;
  }

  std::vector<TubeHole> holesWithin(Wall wall, const Stretch& stretch) const {
    std::vector<TubeHole> holes = holesIn(part_, wall);
    std::erase_if(holes, [&](const TubeHole& hole) {
      return std::abs(hole.x_mm) < stretch.from_mm || std::abs(hole.x_mm) > stretch.to_mm;
    });
    return holes;
  }

  /// A wall with its ends, and where the details are.
  ViewBlock bare(const WallView& one, const std::vector<Stretch>& stretches) const {
    ViewBlock block = outlined(one, nullptr);
    block.running(endsOf(one.wall));
    addSize(block, one.wall);
    LabelRequest letters{Side::kBelow, {}, false};
    int number = 0;
    for (const Stretch& stretch : stretches) {
      const double middle =
          (std::max(stretch.from_mm, 0.0) + std::min(stretch.to_mm, part_.length_mm)) / 2;
      letters.labels.push_back({{sign_ * middle, part_.bounds.low[1], part_.bounds.low[2]},
                                "detail " + std::to_string(++number),
                                {}});
    }
    block.labels(std::move(letters));
    return block;
  }

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

  /// A wall, or what of it is in a stretch.
  ViewBlock outlined(const WallView& one, const Stretch* within) const {
    ViewBlock block(one.title, one.view());
    PlacedViewSolid placed;
    placed.solid = maker_.views.solidOf(rail_.part);
    PaperBox window;
    if (within != nullptr) {
      block.sayScale();
      const double past = 1e4;  // across, all of it
      for (const double along : {within->from_mm, within->to_mm}) {
        for (const double across : {-past, past}) {
          const Vec3 at = seen(block.view(), {sign_ * along, across, across});
          window.include(PaperPoint{at[0], at[1]});
        }
      }
    }
    for (const ViewCurve& curve : projected({placed}, block.view())) {
      if (within == nullptr) {
        block.curve(LineRole::kVisible, curve.vertices, curve.is_closed);
        continue;
      }
      for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
        block.curve(LineRole::kVisible, std::move(stretch));
      }
    }
    if (one.wall == Wall::kRear && within == nullptr) {
      // Seen from behind the rail runs the other way: under the other views all the same.
      block.alignBy(block.bounds().left_mm - (sign_ > 0 ? 0 : part_.bounds.low[0]), 0);
    }
    return block;
  }

  /// Numbers stand above: from the upper edge as seen, on top and underneath; the ends of raked
  /// rails are at the lower edge.
  Vec3 startOf(Wall wall) const {
    const double edge_y = wall == Wall::kTop ? part_.bounds.high[1] : part_.bounds.low[1];
    const double edge_z = isSide(wall) && isSquare() ? part_.bounds.high[2] : part_.bounds.low[2];
    return {0, edge_y, edge_z};
  }

  bool isSquare() const { return part_.ends[0].angle_deg == 0; }

  /// From the leading end to the other; of a raked rail's top the corners that the saw leaves
  /// there, from the same 0.
  RunningRequest endsOf(Wall wall) const {
    const Vec3 start = startOf(wall);
    RunningRequest along{Side::kAbove, start, {start, {sign_ * edgeMm(), start[1], start[2]}}};
    if (wall == Wall::kTop && !isSquare()) {
      const double upper = sign_ > 0 ? part_.bounds.low[0] : part_.bounds.high[0];
      const double off =
          std::abs(upper) > kLengthEqualMm ? upper : sign_ * (part_.length_mm - edgeMm());
      for (const double x : {off, off + sign_ * edgeMm()}) {
        along.features.push_back({x, start[1], start[2]});
      }
    }
    return along;
  }

  ViewBlock wallView(const WallView& one, const Stretch* within) const {
    ViewBlock block = outlined(one, within);
    const Stretch all{-1e9, 1e9};
    const Stretch& here = within != nullptr ? *within : all;
    const std::vector<TubeHole> holes = holesWithin(one.wall, here);
    RunningRequest along = endsOf(one.wall);
    const Vec3 start = startOf(one.wall);
    std::erase_if(along.features, [&](const Vec3& at) {
      return sign_ * at[0] < here.from_mm || sign_ * at[0] > here.to_mm;
    });
    for (const TubeHole& hole : holes) {
      const Vec3 at = holeAt(hole, one.wall);
      const bool is_new = std::none_of(
          along.features.begin(), along.features.end(),
          [&](const Vec3& other) { return std::abs(other[0] - at[0]) < kLengthEqualMm; });
      if (is_new) {
        along.features.push_back(at);
      }
    }
    addJoints(block, along, {start[1], start[2]}, here);
    along.counts_along = {sign_, 0, 0};
    block.running(std::move(along));
    if (within == nullptr) {
      addAcross(block, one.wall, holes);
    } else {
      addUp(block, one.wall, holes, here);
    }
    LabelRequest tags{Side::kBelow, {}, false};
    for (const TubeHole& hole : holes) {
      tags.labels.push_back({holeAt(hole, one.wall), tagOf(hole, one.wall)});
    }
    block.labels(std::move(tags));
    return block;
  }

  /// In a row from the lower edge, or from the front face, up to the other.
  void addUp(ViewBlock& block, Wall wall, const std::vector<TubeHole>& holes,
             const Stretch& here) const {
    const int axis = isSide(wall) ? 2 : 1;
    const double near = std::max(here.from_mm, 0.0);
    Vec3 low = {sign_ * near, part_.bounds.low[1], part_.bounds.low[2]};
    Vec3 high = low;
    high[axis] = part_.bounds.high[axis];
    RunningRequest up{leadsLeft(wall) ? Side::kLeft : Side::kRight, low, {low, high}};
    up.counts_along = isSide(wall) ? Vec3{0, 0, 1} : Vec3{0, 1, 0};
    for (const TubeHole& hole : holes) {
      const Vec3 at = holeAt(hole, wall);
      const bool is_new = std::none_of(
          up.features.begin(), up.features.end(),
          [&](const Vec3& other) { return std::abs(other[axis] - at[axis]) < kLengthEqualMm; });
      if (is_new) {
        up.features.push_back(at);
      }
    }
    block.running(std::move(up));
  }

  /// Where the rail's pieces meet, square to it.
  void addJoints(ViewBlock& block, RunningRequest& along, const std::array<double, 2>& edge,
                 const Stretch& here) const {
    const Bounds& box = part_.bounds;
    for (const Splice& splice : part_.splices) {
      if (splice.at_mm < here.from_mm || splice.at_mm > here.to_mm) {
        continue;
      }
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

  /// The leading end is to the left but where the view is from behind or the hand the other.
  bool leadsLeft(Wall wall) const { return (wall == Wall::kRear) == (sign_ < 0); }

  /// Distances of holes from the lower edge, or from the front face, once each.
  void addAcross(ViewBlock& block, Wall wall, const std::vector<TubeHole>& holes) const {
    const Side near = leadsLeft(wall) ? Side::kLeft : Side::kRight;
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
    addSize(block, wall);
  }

  void addSize(ViewBlock& block, Wall wall) const {
    const Side far = leadsLeft(wall) ? Side::kRight : Side::kLeft;
    const Vec3 low = {sign_ * edgeMm(), part_.bounds.low[1], part_.bounds.low[2]};
    Vec3 high = low;
    high[isSide(wall) ? 2 : 1] = isSide(wall) ? part_.bounds.high[2] : part_.bounds.high[1];
    block.linear({far, low, high});
  }

  static std::string keyOf(const TubeHole& hole, Wall wall) {
    return std::to_string(static_cast<int>(wall)) + " " + hole.sizeText() + " " +
           shown(hole.across_mm, 3);
  }

  std::string tagOf(const TubeHole& hole, Wall wall) const {
    const std::string key = keyOf(hole, wall);
    return std::find_if(tags_.begin(), tags_.end(), [&](const Tag& tag) { return tag.key == key; })
        ->letter;
  }

  /// One letter for all holes alike: same wall, size and height.
  void count(const TubeHole& hole, Wall wall) {
    const std::string key = keyOf(hole, wall);
    for (Tag& tag : tags_) {
      if (tag.key == key) {
        ++tag.quantity;
        tag.positions += ", " + shown(std::abs(hole.x_mm), 2);
        return;
      }
    }
    const std::string letter(1, static_cast<char>('A' + tags_.size()));
    tags_.push_back({key, letter, wall, hole, 1, shown(std::abs(hole.x_mm), 2)});
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
