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
                          shown(row.at_mm[0], 1), shown(row.at_mm[1], 1), shown(row.at_mm[2], 1),
                          row.note});
  }
  return table;
}

/// What is there before the gate is: ground work, posts, and what stands on them.
bool isSiteWork(const Instance& instance) {
  return instance.panel == 0;
}

/// The blocks under the posts lie in the ground.
void addBlocks(ViewBlock& plan, const GateViews& views, const StructureReport& structure) {
  for (const StructurePost& post : structure.posts) {
    if (!post.block) {
      continue;
    }
    std::vector<PathVertex> loop;
    for (const auto& [along, across] :
         {std::pair{-0.5, -0.5}, std::pair{0.5, -0.5}, std::pair{0.5, 0.5}, std::pair{-0.5, 0.5}}) {
      const Vec3 on =
          seen(plan.view(), views.at(post.block->middle_x_mm + along * post.block->along_mm,
                                     post.block->middle_y_mm + across * post.block->across_mm, 0));
      loop.push_back({on[0], on[1]});
    }
    plan.curve(LineRole::kHidden, std::move(loop), true);
  }
}

/// Points that stand close together along the track: shown larger by themselves.
struct Cluster {
  std::vector<int> rows;
  double from_mm = 0, to_mm = 0;
};

/// Breaks the rows where a stretch of the track has none; few points are no cluster.
std::vector<Cluster> clustersOf(const std::vector<SetOutRow>& rows) {
  constexpr double kBreakMm = 700;
  constexpr std::size_t kFewest = 5;
  std::vector<int> order(rows.size());
  std::iota(order.begin(), order.end(), 0);
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
    addPoints(block, alone, std::move(labels));
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

  /// Numbers of the list, and rows of places from the datum.
  void addPoints(ViewBlock& block, const std::vector<int>& rows, LabelRequest labels) const {
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
      labels.labels.push_back({pointOf(row), std::to_string(row + 1), {}});
      if (once(xs, at[0])) {
        along.features.push_back(pointOf(row));
      }
      if (once(ys, at[1])) {
        across.features.push_back(pointOf(row));
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

void addSetOutSheets(SheetMaker& maker) {
  const std::vector<SetOutRow>& rows = maker.schedules.set_out;
  MadeSheet made{maker.empty("set-out-plan", "Set-out plan"), "set-out plan"};
  const SetOutViews views(maker.views, maker.schedules);
  const std::vector<Cluster> clusters = clustersOf(rows);
  const ViewBlock plan = views.plan(clusters);
  const bool is_left = maker.model().opening_sign < 0;
  std::vector<std::string> notes = {
      "Positions run from the latch-side post face along the track, and from the back of the fence "
      "line towards the property. Levels from the driveway on the front track at the latch-side "
      "post. Numbers are those of the list. Blocks of concrete under the posts are in dashes.",
      "Check the opening, the levels and underground services on site before digging."};
  if (is_left) {
    notes.insert(notes.begin(), "This gate opens to the left: X runs to the left.");
  }
  const PaperBox space =
      addLowerLeft(made.sheet, drawnParagraphs(notes, drawingSpace(made.sheet).beside.widthMm()));
  // The list stands on the same sheet where it leaves the plan its scale.
  const TableBlock list = setOutTable(rows);
  const DrawnTable drawn =
      drawnTable(list, 0, {space.widthMm(), std::numeric_limits<double>::infinity()});
  PaperBox over_list = space;
  over_list.bottom_mm += drawn.box.heightMm() + kListApartMm / 2;
  Sheet together = made.sheet;
  const std::optional<double> alone = addGrid(made.sheet, space, {{{&plan}}});
  const bool fits =
      over_list.heightMm() > 0 && alone && addGrid(together, over_list, {{{&plan}}}) == alone;
  if (fits) {
    made.sheet = std::move(together);
    addMoved(made.sheet, drawn.sheet, {space.left_mm, space.bottom_mm + drawn.box.heightMm()});
  }
  made.mm_per_mm = alone.value_or(0);
  maker.sheets.push_back(std::move(made));
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
