// The set-out plan with its levels: all of it, and larger where points stand close.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheet/window.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/ground/survey.h"

namespace leafstack {
namespace {

constexpr double kListApartMm = 8;

TableBlock setOutTable(const std::vector<SetOutRow>& rows) {
  TableBlock table;
  table.heads = {"no.", "item", "mark", "point", "X", "Y", "Z (level)", "note"};
  table.is_number = {true, false, false, false, true, true, true, false};
  table.most_mm = {0, 40, 0, 70, 0, 0, 0, 110};
  int number = 0;
  for (const SetOutRow& row : rows) {
    table.rows.push_back({std::to_string(++number), row.item, row.mark, row.point,
                          lengthText(row.at_mm[0]), lengthText(row.at_mm[1]),
                          shown(row.at_mm[2], 0), row.note});
  }
  return table;
}

/// What is there before the gate is: ground work, posts, and what stands on them.
bool isSiteWork(const Instance& instance) {
  return instance.panel == 0;
}

/// From its foot to its head, whichever way it is seen.
struct BlockBox {
  double from_x_mm = 0, to_x_mm = 0, from_y_mm = 0, to_y_mm = 0, depth_mm = 0;
  int strip = 0;
};
std::vector<BlockBox> blocksOf(const GateViews& views, const StructureReport& structure) {
  std::vector<BlockBox> all;
  for (const StructurePost& post : structure.posts) {
    if (post.block) {
      const PostBlock& block = *post.block;
      all.push_back({block.middle_x_mm - block.along_mm / 2, block.middle_x_mm + block.along_mm / 2,
                     block.middle_y_mm - block.across_mm / 2,
                     block.middle_y_mm + block.across_mm / 2, block.depth_mm,
                     post.is_guide_post ? kRearStrip : views.layout().panel_count});
    }
  }
  return all;
}

/// The blocks under the posts lie in the ground.
void addBlocks(ViewBlock& plan, const GateViews& views, const StructureReport& structure) {
  for (const BlockBox& box : blocksOf(views, structure)) {
    std::vector<PathVertex> loop;
    for (const auto& [x, y] :
         {std::pair{box.from_x_mm, box.from_y_mm}, std::pair{box.to_x_mm, box.from_y_mm},
          std::pair{box.to_x_mm, box.to_y_mm}, std::pair{box.from_x_mm, box.to_y_mm}}) {
      const Vec3 on = seen(plan.view(), views.at(x, y, 0));
      loop.push_back({on[0], on[1]});
    }
    plan.curve(LineRole::kHidden, std::move(loop), true);
  }
}

/// What is dug out of a bank beside the driveway for the room behind the post.
void addPocket(ViewBlock& plan, const GateViews& views) {
  const Layout& layout = views.layout();
  if (views.model().spec.site.bank <= 0 || layout.ground.pockets.empty()) {
    return;
  }
  const PocketLayout& pocket = layout.ground.pockets.front();
  std::vector<PathVertex> loop;
  for (const auto& [along, across] :
       {std::pair{0, 0}, std::pair{1, 0}, std::pair{1, 1}, std::pair{0, 1}}) {
    const Vec3 on = seen(plan.view(), views.at(layout.opening_mm + along * pocket.room_mm,
                                               across * pocket.width_mm, 0));
    loop.push_back({on[0], on[1]});
  }
  plan.curve(LineRole::kPhantom, std::move(loop), true);
}

/// Points that stand close together along the track: shown larger by themselves.
struct Cluster {
  std::vector<int> rows;
  double from_mm = 0, to_mm = 0;
};

/// What the plan itself tells: the site, the slab, the tracks.
bool isOfPlan(const SetOutRow& row) {
  return row.item == "datum" || row.item == "fence post" || row.item == "footing" ||
         row.item.rfind("track of panel", 0) == 0 || row.point == "middle of the block under it";
}

/// Breaks the rows where a stretch of the track has none; few points are no cluster.
std::vector<Cluster> clustersOf(const std::vector<SetOutRow>& rows) {
  constexpr double kBreakMm = 700;
  constexpr std::size_t kFewest = 5;
  std::vector<int> order(rows.size());
  std::iota(order.begin(), order.end(), 0);
  std::erase_if(order, [&](int i) { return isOfPlan(rows[i]); });
  std::stable_sort(order.begin(), order.end(),
                   [&](int a, int b) { return rows[a].at_mm[0] < rows[b].at_mm[0]; });
  std::vector<Cluster> all;
  for (const int i : order) {
    const double x = rows[i].at_mm[0];
    if (all.empty() || x > all.back().to_mm + kBreakMm) {
      all.push_back({{}, x, x});
    }
    all.back().rows.push_back(i);
    all.back().to_mm = x;
  }
  std::erase_if(all, [](const Cluster& one) { return one.rows.size() < kFewest; });
  return all;
}

class SetOutViews {
 public:
  SetOutViews(const GateViews& views, const Schedules& schedules)
      : views_(views), schedules_(schedules) {
    const Scene scene = sceneOf(views, 0, [&](const Instance& one) {
      const PartKind kind = views.partOf(one).kind;
      return isSiteWork(one) && kind != PartKind::kGuideBlock && kind != PartKind::kGuideJaws &&
             kind != PartKind::kPivotBolt && kind != PartKind::kTerminal;
    });
    curves_ = projected(scene.solids, fromAbove());
    for (const ViewCurve& curve : curves_) {
      const Instance& one = views.model().instances[scene.instances[curve.solid]];
      roles_.push_back(rowOf(views.partOf(one).kind).is_main ? LineRole::kVisible
                                                             : LineRole::kFine);
    }
  }

  /// All of it; of points in clusters only the first and the last have a number, and none a place.
  ViewBlock plan(const std::vector<Cluster>& clusters) const {
    ViewBlock block("Set-out plan", fromAbove());
    for (std::size_t i = 0; i < curves_.size(); ++i) {
      block.curve(roles_[i], curves_[i].vertices, curves_[i].is_closed);
    }
    addBlocks(block, views_, schedules_.loads.structure);
    addPocket(block, views_);
    std::vector<int> alone(schedules_.set_out.size());
    std::iota(alone.begin(), alone.end(), 0);
    LabelRequest labels{Side::kAbove, {}};
    char letter = 'A';
    for (const Cluster& one : clusters) {
      for (const int row : one.rows) {
        std::erase(alone, row);
      }
      addFrame(block, one, letter++, labels);
    }
    addPoints(block, alone, std::move(labels), true);
    return block;
  }

  /// The slab's fall, with levels to the millimetre, and how deep it and the blocks go.
  ViewBlock side() const {
    ViewBlock block("Slab and blocks, from the road", fromRoad());
    const Scene scene = sceneOf(views_, 0, [&](const Instance& one) {
      const PartKind kind = views_.partOf(one).kind;
      return kind == PartKind::kFooting || kind == PartKind::kFencePost;
    });
    block.curves(projected(scene.solids, block.view()), [&](const ViewCurve& curve) {
      const Instance& one = views_.model().instances[scene.instances[curve.solid]];
      return views_.partOf(one).kind == PartKind::kFooting ? LineRole::kVisible : LineRole::kFine;
    });
    const Layout& layout = views_.layout();
    const GateSpec& spec = views_.model().spec;
    const bool is_right = views_.model().opening_sign > 0;
    for (const BlockBox& box : blocksOf(views_, schedules_.loads.structure)) {
      const double top = footingZ(spec, layout, box.strip, (box.from_x_mm + box.to_x_mm) / 2);
      const Vec3 corners[] = {views_.at(box.from_x_mm, 0, top), views_.at(box.to_x_mm, 0, top),
                              views_.at(box.to_x_mm, 0, top - box.depth_mm),
                              views_.at(box.from_x_mm, 0, top - box.depth_mm)};
      for (int i = 0; i < 4; ++i) {
        block.line(LineRole::kHidden, corners[i], corners[(i + 1) % 4]);
      }
      const bool is_latch = box.strip != kRearStrip;
      block.linear({is_latch == is_right ? Side::kLeft : Side::kRight, corners[is_latch ? 3 : 2],
                    corners[is_latch ? 0 : 1], "block "});
    }
    const FootingExtent slab = footingExtent(spec, layout);
    LabelRequest levels{Side::kAbove, {}};
    for (const double x : {slab.from_x_mm, 0.0, layout.opening_mm, slab.to_x_mm}) {
      const double z = footingZ(spec, layout, layout.panel_count, x);
      levels.labels.push_back({views_.at(x, 0, z), "level " + shown(z, 0), {}});
    }
    const double end = slab.to_x_mm;
    const double end_z = footingZ(spec, layout, layout.panel_count, end);
    block.linear({is_right ? Side::kRight : Side::kLeft,
                  views_.at(end, 0, end_z - spec.hardware.post.footing_depth_mm),
                  views_.at(end, 0, end_z), "slab "});
    block.labels(std::move(levels));
    if (layout.ground.is_surveyed) {
      const Range run = backWheelsRun(layout);
      const auto onTrack = [&](double x) {
        return views_.at(x, 0, layout.ground.lineOf(1).heightMm(x));
      };
      block.linear({Side::kBelow, onTrack(run.low), onTrack(run.high),
                    "back track that the rack wants straight "});
    }
    return block;
  }

  ViewBlock detail(const Cluster& cluster, char letter) const {
    ViewBlock block(std::string("Detail ") + letter, fromAbove());
    block.sayScale();
    const PaperBox window = windowOf(cluster);
    for (std::size_t i = 0; i < curves_.size(); ++i) {
      for (auto& stretch : stretchesWithin(curves_[i].vertices, curves_[i].is_closed, window)) {
        block.curve(roles_[i], std::move(stretch));
      }
    }
    addPoints(block, cluster.rows, {Side::kAbove, {}});
    return block;
  }

 private:
  PaperBox windowOf(const Cluster& cluster) const {
    constexpr double kAroundPointsMm = 120;
    PaperBox box;
    for (const int row : cluster.rows) {
      const Vec3 at = seen(fromAbove(), pointOf(row));
      box.include(PaperPoint{at[0], at[1]});
    }
    return box.grown(kAroundPointsMm);
  }

  Vec3 pointOf(int row) const {
    const auto& at = schedules_.set_out[row].at_mm;
    return views_.at(at[0], at[1], at[2]);
  }

  void addFrame(ViewBlock& block, const Cluster& cluster, char letter, LabelRequest& labels) const {
    const PaperBox box = windowOf(cluster);
    block.curve(LineRole::kPhantom,
                {{box.left_mm, box.bottom_mm},
                 {box.right_mm, box.bottom_mm},
                 {box.right_mm, box.top_mm},
                 {box.left_mm, box.top_mm}},
                true);
    labels.labels.push_back(
        {{(box.left_mm + box.right_mm) / 2, box.top_mm, 0}, std::string("detail ") + letter, {}});
  }

  /// Numbers of the list; of points one behind another all on one leader, from the top down, which
  /// ends at the last.
  void addNumbers(const std::vector<int>& rows, LabelRequest& labels) const {
    constexpr double kOneLineMm = 2;
    std::vector<int> order = rows;
    const auto placed = [&](int row) { return seen(fromAbove(), pointOf(row)); };
    std::stable_sort(order.begin(), order.end(),
                     [&](int a, int b) { return placed(a)[0] < placed(b)[0]; });
    for (std::size_t i = 0; i < order.size();) {
      std::size_t end = i + 1;
      while (end < order.size() && placed(order[end])[0] - placed(order[i])[0] < kOneLineMm) {
        ++end;
      }
      std::vector<int> line(order.begin() + static_cast<std::ptrdiff_t>(i),
                            order.begin() + static_cast<std::ptrdiff_t>(end));
      std::stable_sort(line.begin(), line.end(),
                       [&](int a, int b) { return placed(a)[1] > placed(b)[1]; });
      std::string words;
      for (const int row : line) {
        words += (words.empty() ? "" : ", ") + std::to_string(row + 1);
      }
      labels.labels.push_back({pointOf(line.back()), words, {}});
      i = end;
    }
  }

  /// Numbers of the list, and rows of places from the datum.
  void addPoints(ViewBlock& block, const std::vector<int>& rows, LabelRequest labels,
                 bool has_blocks = false) const {
    const Vec3 datum = views_.at(0, 0, 0);
    RunningRequest along{Side::kBelow, datum, {}, minus(views_.at(1, 0, 0), datum)};
    RunningRequest across{views_.model().opening_sign > 0 ? Side::kLeft : Side::kRight,
                          datum,
                          {},
                          minus(views_.at(0, 1, 0), datum)};
    std::vector<double> xs, ys;
    const auto once = [](std::vector<double>& told, double value) {
      const bool is_new = std::none_of(told.begin(), told.end(), [&](double other) {
        return std::abs(other - value) < 0.05;  // as printed
      });
      if (is_new) {
        told.push_back(value);
      }
      return is_new;
    };
    for (const int row : rows) {
      const auto& at = schedules_.set_out[row].at_mm;
      if (once(xs, at[0])) {
        along.features.push_back(pointOf(row));
      }
      if (once(ys, at[1])) {
        across.features.push_back(pointOf(row));
      }
    }
    addNumbers(rows, labels);
    for (const BlockBox& box :
         has_blocks ? blocksOf(views_, schedules_.loads.structure) : std::vector<BlockBox>{}) {
      for (const double x : {box.from_x_mm, box.to_x_mm}) {
        if (once(xs, x)) {
          along.features.push_back(views_.at(x, box.from_y_mm, 0));
        }
      }
      for (const double y : {box.from_y_mm, box.to_y_mm}) {
        if (once(ys, y)) {
          across.features.push_back(views_.at(box.from_x_mm, y, 0));
        }
      }
    }
    if (!rows.empty()) {
      block.running(std::move(along));
      block.running(std::move(across));
    }
    block.labels(std::move(labels));
  }

  const GateViews& views_;
  const Schedules& schedules_;
  std::vector<ViewCurve> curves_;
  std::vector<LineRole> roles_;
};

}  // namespace

namespace {

/// What the concreter has to know, and what is not designed here.
std::vector<std::string> notesOf(const SheetMaker& maker) {
  const GateSpec& spec = maker.model().spec;
  const FootingExtent slab = footingExtent(spec, maker.layout());
  std::string words = "Slab " + shown(slab.to_x_mm - slab.from_x_mm, 0) + " x " +
                      shown(slab.to_y_mm - slab.from_y_mm, 0) + ", " +
                      shown(spec.hardware.post.footing_depth_mm, 0) + " deep";
  if (maker.layout().ground.is_surveyed) {
    words += ", its top as surveyed: levels in the list";
  } else if (spec.site.grade != 0 || spec.site.cross_grade != 0) {
    words += ", cast as one with a fall: its top ";
    words += spec.site.grade < 0 ? "falls" : "rises";
    words += " " + shown(100 * std::abs(spec.site.grade), 2) + " % in the opening direction";
    if (spec.site.cross_grade != 0) {
      words += spec.site.cross_grade < 0 ? ", falls " : ", rises ";
      words += shown(100 * std::abs(spec.site.cross_grade), 2) +
               " % towards the property (levels are those under each track)";
    }
  }
  words += ". Its steel, and that of the blocks, is by others.";
  const std::string& cable = spec.hardware.motor.cable;
  std::vector<std::string> notes = {
      "X runs from the latch-side post face along the track, measured level; Y from the back of "
      "the fence line "
      "towards the property, levels from the driveway on the front track at the latch-side post. "
      "Numbers above are those of the list.",
      words,
      "Not drawn, to be settled before casting: the motor's conduit (" +
          (cable.empty() ? std::string("its end within the motor's base; see the maker's sheet")
                         : cable) +
          "), and where water leaves the slab and runs past the tracks.",
      "Check the opening, the levels and underground services on site before digging."};
  if (spec.site.bank > 0) {
    notes.insert(notes.begin() + 2, "Dash and two dots: the pocket in the bank.");
  }
  return notes;
}

}  // namespace

void addSetOutSheets(SheetMaker& maker) {
  const std::vector<SetOutRow>& rows = maker.schedules.set_out;
  MadeSheet made{maker.empty("set-out-plan", "Set-out plan"), "set-out plan"};
  const SetOutViews views(maker.views, maker.schedules);
  const std::vector<Cluster> clusters = clustersOf(rows);
  const ViewBlock plan = views.plan(clusters);
  const ViewBlock side = views.side();
  const bool is_left = maker.model().opening_sign < 0;
  std::vector<std::string> notes = notesOf(maker);
  if (is_left) {
    notes.insert(notes.begin(), "This gate opens to the left: X runs to the left.");
  }
  const MadeSheet bare = made;
  const PaperBox space =
      addLowerLeft(made.sheet, drawnParagraphs(notes, drawingSpace(made.sheet).beside.widthMm()));
  // The list stands on the same sheet where it leaves the plan its scale.
  const TableBlock list = setOutTable(rows);
  const DrawnTable drawn =
      drawnTable(list, 0, {space.widthMm(), std::numeric_limits<double>::infinity()});
  PaperBox over_list = space;
  over_list.bottom_mm += drawn.box.heightMm() + kListApartMm / 2;
  Sheet together = made.sheet;
  const ViewGrid both{{{&plan}, {&side}}};
  const std::optional<double> alone = addGrid(made.sheet, space, both);
  const bool fits =
      over_list.heightMm() > 0 && alone && addGrid(together, over_list, both) == alone;
  if (fits) {
    made.sheet = std::move(together);
    addMoved(made.sheet, drawn.sheet, {space.left_mm, space.bottom_mm + drawn.box.heightMm()});
  }
  made.mm_per_mm = alone.value_or(0);
  if (!alone) {  // a small sheet: the plan by itself, levels with the words
    MadeSheet levels{maker.empty("set-out-levels", "Set-out, levels"), "set-out plan"};
    const PaperBox over = addLowerLeft(
        levels.sheet, drawnParagraphs(notes, drawingSpace(bare.sheet).above.widthMm()));
    levels.mm_per_mm = addGrid(levels.sheet, over, {{{&side}}}).value_or(0);
    made = bare;
    made.mm_per_mm = addGrid(made.sheet, drawingSpace(made.sheet).above, {{{&plan}}}).value_or(0);
    maker.sheets.push_back(std::move(made));
    maker.sheets.push_back(std::move(levels));
  } else {
    maker.sheets.push_back(std::move(made));
  }
  char letter = 'A';
  for (const Cluster& one : clusters) {
    const ViewBlock detail = views.detail(one, letter);
    MadeSheet larger{maker.empty(std::string("set-out-detail-") + static_cast<char>(letter | 0x20),
                                 std::string("Set-out, detail ") + letter),
                     "set-out plan"};
    larger.mm_per_mm =
        addGrid(larger.sheet, drawingSpace(larger.sheet).above, {{{&detail}}}).value_or(0);
    maker.sheets.push_back(std::move(larger));
    ++letter;
  }
  if (!fits) {
    addTableSheets(maker, {"set-out-list", "Set-out list with levels"}, list, "list");
  }
}

}  // namespace leafstack
