#include "exporters/paper/set_out/set_out_views.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "exporters/paper/sheet/window.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/ground/survey.h"

namespace leafstack {
namespace {

constexpr double kBreakMm = 700;  // a stretch of the track with nothing to set out

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

/// What the plan itself tells: the site, the slab, the tracks.
bool isOfPlan(const SetOutRow& row) {
  return row.item == "datum" || row.item == "fence post" || row.item == "footing" ||
         row.item.rfind("track of panel", 0) == 0 || row.point == "middle of the block under it";
}

}  // namespace

SetOutViews::SetOutViews(const GateViews& views, const Schedules& schedules)
    : views_(views), schedules_(schedules), blocks_(blocksOf(views, schedules.loads.structure)) {
  findClusters();
  findPlaces();
  char letter = 'A';
  for (auto* list : {&places_, &clusters_}) {
    for (SetOutPlace& one : *list) {
      one.letter = letter++;
    }
  }
  const Scene scene = sceneOf(views, 0, [&](const Instance& one) {
    const PartKind kind = views.partOf(one).kind;
    return one.panel == 0 && kind != PartKind::kGuideBlock && kind != PartKind::kGuideJaws &&
           kind != PartKind::kPivotBolt && kind != PartKind::kTerminal;
  });
  curves_ = projected(scene.solids, fromAbove());
  for (const ViewCurve& curve : curves_) {
    const Instance& one = views.model().instances[scene.instances[curve.solid]];
    roles_.push_back(leafstack::rowOf(views.partOf(one).kind).is_main ? LineRole::kVisible
                                                                      : LineRole::kFine);
  }
}

/// Breaks the rows where a stretch of the track has none; few points are no cluster.
void SetOutViews::findClusters() {
  const std::vector<SetOutRow>& rows = schedules_.set_out;
  constexpr std::size_t kFewest = 5;
  std::vector<int> order(rows.size());
  std::iota(order.begin(), order.end(), 0);
  std::erase_if(order, [&](int i) { return isOfPlan(rows[i]); });
  std::stable_sort(order.begin(), order.end(),
                   [&](int a, int b) { return rows[a].at_mm[0] < rows[b].at_mm[0]; });
  for (const int i : order) {
    const double x = rows[i].at_mm[0];
    if (clusters_.empty() || x > clusters_.back().to_mm + kBreakMm) {
      clusters_.push_back({{}, x, x});
    }
    clusters_.back().rows.push_back(i);
    clusters_.back().to_mm = x;
  }
  std::erase_if(clusters_, [](const SetOutPlace& one) { return one.rows.size() < kFewest; });
}

/// What is in no cluster, and the blocks.
void SetOutViews::findPlaces() {
  const std::vector<SetOutRow>& rows = schedules_.set_out;
  struct Place {
    double from_mm = 0, to_mm = 0;
    int row = -1;
  };
  std::vector<Place> all;
  for (int i = 0; i < static_cast<int>(rows.size()); ++i) {
    const bool is_told =
        std::any_of(clusters_.begin(), clusters_.end(), [&](const SetOutPlace& one) {
          return std::find(one.rows.begin(), one.rows.end(), i) != one.rows.end();
        });
    if (!is_told) {
      all.push_back({rows[i].at_mm[0], rows[i].at_mm[0], i});
    }
  }
  for (const BlockBox& box : blocks_) {
    all.push_back({box.from_x_mm, box.to_x_mm});
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Place& a, const Place& b) { return a.from_mm < b.from_mm; });
  for (const Place& one : all) {
    if (places_.empty() || one.from_mm > places_.back().to_mm + kBreakMm) {
      places_.push_back({{}, one.from_mm, one.to_mm});
    }
    places_.back().to_mm = std::max(places_.back().to_mm, one.to_mm);
    if (one.row >= 0) {
      places_.back().rows.push_back(one.row);
    }
  }
}

/// The blocks under the posts lie in the ground.
void SetOutViews::addBlocks(ViewBlock& plan, const PaperBox* window) const {
  for (const BlockBox& box : blocks_) {
    std::vector<PathVertex> loop;
    for (const auto& [x, y] :
         {std::pair{box.from_x_mm, box.from_y_mm}, std::pair{box.to_x_mm, box.from_y_mm},
          std::pair{box.to_x_mm, box.to_y_mm}, std::pair{box.from_x_mm, box.to_y_mm}}) {
      const Vec3 on = seen(plan.view(), views_.at(x, y, 0));
      loop.push_back({on[0], on[1]});
    }
    if (window == nullptr) {
      plan.curve(LineRole::kHidden, std::move(loop), true);
      continue;
    }
    for (auto& stretch : stretchesWithin(loop, true, *window)) {
      plan.curve(LineRole::kHidden, std::move(stretch));
    }
  }
}

/// What is dug out of a bank beside the driveway for the room behind the post.
void SetOutViews::addPocket(ViewBlock& plan) const {
  const Layout& layout = views_.layout();
  if (views_.model().spec.site.bank <= 0 || layout.ground.pockets.empty()) {
    return;
  }
  const PocketLayout& pocket = layout.ground.pockets.front();
  std::vector<PathVertex> loop;
  for (const auto& [along, across] :
       {std::pair{0, 0}, std::pair{1, 0}, std::pair{1, 1}, std::pair{0, 1}}) {
    const Vec3 on = seen(plan.view(), views_.at(layout.opening_mm + along * pocket.room_mm,
                                                across * pocket.width_mm, 0));
    loop.push_back({on[0], on[1]});
  }
  plan.curve(LineRole::kPhantom, std::move(loop), true);
}

ViewBlock SetOutViews::plan() const {
  ViewBlock block("Set-out plan", fromAbove());
  for (std::size_t i = 0; i < curves_.size(); ++i) {
    block.curve(roles_[i], curves_[i].vertices, curves_[i].is_closed);
  }
  addBlocks(block, nullptr);
  addPocket(block);
  LabelRequest labels{Side::kAbove, {}};
  std::vector<int> rows;
  for (const SetOutPlace& one : places_) {
    addFrame(block, one, true, labels);
    std::copy_if(one.rows.begin(), one.rows.end(), std::back_inserter(rows),
                 [&](int row) { return isOfPlan(schedules_.set_out[row]); });
  }
  if (!rows.empty()) {
    block.running(rowOf(rows, 0, {}));
  }
  block.labels(std::move(labels));
  return block;
}

ViewBlock SetOutViews::side() const {
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
  for (const BlockBox& box : blocks_) {
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

ViewBlock SetOutViews::detail(const SetOutPlace& place, bool has_blocks) const {
  ViewBlock block(std::string("Detail ") + place.letter, fromAbove());
  block.sayScale();
  const PaperBox window = windowOf(place, has_blocks);
  for (std::size_t i = 0; i < curves_.size(); ++i) {
    for (auto& stretch : stretchesWithin(curves_[i].vertices, curves_[i].is_closed, window)) {
      block.curve(roles_[i], std::move(stretch));
    }
  }
  LabelRequest labels{Side::kAbove, {}};
  if (has_blocks) {
    addBlocks(block, &window);
    for (const SetOutPlace& one : clusters_) {
      const double middle = (one.from_mm + one.to_mm) / 2;
      if (middle > place.from_mm && middle < place.to_mm) {
        addFrame(block, one, false, labels);
      }
    }
  }
  const std::vector<BlockBox> blocks = has_blocks ? blocksWithin(place) : std::vector<BlockBox>{};
  addNumbers(place.rows, labels);
  block.running(rowOf(place.rows, 0, blocks));
  block.running(rowOf(place.rows, 1, blocks));
  block.labels(std::move(labels));
  return block;
}

std::vector<BlockBox> SetOutViews::blocksWithin(const SetOutPlace& place) const {
  std::vector<BlockBox> all = blocks_;
  std::erase_if(all, [&](const BlockBox& box) {
    return box.from_x_mm < place.from_mm || box.to_x_mm > place.to_mm;
  });
  return all;
}

PaperBox SetOutViews::windowOf(const SetOutPlace& place, bool has_blocks) const {
  constexpr double kAroundPointsMm = 120;
  PaperBox box;
  const auto include = [&](const Vec3& point) {
    const Vec3 at = seen(fromAbove(), point);
    box.include(PaperPoint{at[0], at[1]});
  };
  for (const int row : place.rows) {
    include(pointOf(row));
  }
  for (const BlockBox& block : has_blocks ? blocksWithin(place) : std::vector<BlockBox>{}) {
    include(views_.at(block.from_x_mm, block.from_y_mm, 0));
    include(views_.at(block.to_x_mm, block.to_y_mm, 0));
  }
  return box.grown(kAroundPointsMm);
}

Vec3 SetOutViews::pointOf(int row) const {
  const auto& at = schedules_.set_out[row].at_mm;
  return views_.at(at[0], at[1], at[2]);
}

void SetOutViews::addFrame(ViewBlock& block, const SetOutPlace& place, bool has_blocks,
                           LabelRequest& labels) const {
  const PaperBox box = windowOf(place, has_blocks);
  block.curve(LineRole::kPhantom,
              {{box.left_mm, box.bottom_mm},
               {box.right_mm, box.bottom_mm},
               {box.right_mm, box.top_mm},
               {box.left_mm, box.top_mm}},
              true);
  labels.labels.push_back({{(box.left_mm + box.right_mm) / 2, box.top_mm, 0},
                           std::string("detail ") + place.letter,
                           {}});
}

/// Numbers of the list; of points one behind another all on one leader, from the top down, which
/// ends at the last.
void SetOutViews::addNumbers(const std::vector<int>& rows, LabelRequest& labels) const {
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

/// Places from the datum, along the track (0) or across it (1), each once.
RunningRequest SetOutViews::rowOf(const std::vector<int>& rows, int axis,
                                  const std::vector<BlockBox>& blocks) const {
  const Vec3 datum = views_.at(0, 0, 0);
  const Side side = axis == 0                         ? Side::kBelow
                    : views_.model().opening_sign > 0 ? Side::kLeft
                                                      : Side::kRight;
  RunningRequest request{
      side, datum, {}, minus(axis == 0 ? views_.at(1, 0, 0) : views_.at(0, 1, 0), datum)};
  std::vector<double> told;
  const auto add = [&](double place, const Vec3& at) {
    const bool is_new = std::none_of(told.begin(), told.end(), [&](double other) {
      return std::abs(other - place) < 0.05;  // as printed
    });
    if (is_new) {
      told.push_back(place);
      request.features.push_back(at);
    }
  };
  for (const int row : rows) {
    add(schedules_.set_out[row].at_mm[axis], pointOf(row));
  }
  for (const BlockBox& box : blocks) {
    const double from = axis == 0 ? box.from_x_mm : box.from_y_mm;
    const double to = axis == 0 ? box.to_x_mm : box.to_y_mm;
    for (const double place : {from, to}) {
      add(place,
          axis == 0 ? views_.at(place, box.from_y_mm, 0) : views_.at(box.from_x_mm, place, 0));
    }
  }
  return request;
}

}  // namespace leafstack
