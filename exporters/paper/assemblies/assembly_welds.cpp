// Where an assembly's welds are shown: each in a view that sees it, or with what is in the way.
#include <algorithm>
#include <limits>

#include "exporters/paper/assemblies/assembly_views.h"

namespace leafstack {

/// Where a weld's arrow points: into the first group that has one of its places, at its own place
/// or the same place of a group that looks alike; or at none.
AssemblyViews::WeldHome AssemblyViews::homeOf(const WeldGroup& weld) const {
  const Vec3 at = assembly_.frame.of(weld.at);
  WeldHome home;
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    std::vector<Vec3> lows = {groups_[g].low};
    lows.insert(lows.end(), groups_[g].others.begin(), groups_[g].others.end());
    const Box box = aroundOf(groups_[g]);
    for (const Vec3& low : lows) {
      const Vec3 here = minus(at, minus(low, groups_[g].low));
      double off = 0;
      for (int axis = 0; axis < 3; ++axis) {
        off = std::max({off, box.low[axis] - here[axis], here[axis] - box.high[axis]});
      }
      // What is seen in its rail has no other view.
      if (off < nearest && (off == 0 || isInRail())) {
        nearest = off;
        home = {static_cast<int>(g), minus(assembly_.frame.at(here), weld.at)};
      }
    }
  }
  return home;
}

/// Those of the views first; then the others, and what each is called.
std::vector<WeldEye> AssemblyViews::eyesOf(bool from_road, const AssemblyFrame& frame,
                                           std::size_t views) const {
  const Vec3 toward[] = {front(from_road, frame).toward, plan(from_road, frame).toward,
                         end(frame).toward};
  const char* const sides[] = {"from the property side", "from the road"};
  const char* const words[] = {sides[from_road ? 1 : 0], "from above", "from the latch side"};
  const char* const opposite[] = {sides[from_road ? 0 : 1], "from below", "from the far end"};
  std::vector<WeldEye> eyes;
  for (std::size_t v = 0; v < std::size(toward); ++v) {
    eyes.push_back({toward[v], v < views ? "" : words[v]});
  }
  for (std::size_t v = 0; v < std::size(toward); ++v) {
    eyes.push_back({minus({}, toward[v]), opposite[v]});
  }
  return eyes;
}

/// In the row `above` the front view, and of all of it below; what only another view shows there:
/// those of a group, of none (-1), or all.
std::vector<LabelRequest> AssemblyViews::addWelds(std::vector<ViewBlock>& blocks,
                                                  LabelRequest above, bool from_road,
                                                  const int* of_group) const {
  const bool is_detail = of_group != nullptr && *of_group >= 0;
  std::vector<LabelRequest> rows(blocks.size(), LabelRequest{Side::kAbove, {}});
  rows[0] = std::move(above);
  LabelRequest below{Side::kBelow, {}};
  const double middle = (blocks[0].bounds().bottom_mm + blocks[0].bounds().top_mm) / 2;
  std::vector<int> hiders = assembly_.instances;
  if (!isInRail()) {
    hiders.insert(hiders.end(), assembly_.context.begin(), assembly_.context.end());
  }
  const WeldSight sight(views_, hiders);
  const std::vector<WeldEye> eyes =
      eyesOf(from_road, is_detail ? frameOf(groups_[*of_group]) : assembly_.frame, blocks.size());
  for (const WeldGroup& weld : welds()) {
    const WeldHome home = homeOf(weld);
    if (of_group != nullptr && home.group != *of_group) {
      continue;
    }
    const Vec3 shift = of_group == nullptr ? Vec3{} : home.shift;
    const auto is_shown = [&](const Vec3& point) {
      return !is_detail || isWithin(plus(point, shift), aroundOf(groups_[*of_group]));
    };
    for (SeenWeld& one : sight.seen(weld, eyes, is_shown)) {
      const Vec3 at = plus(one.group.at, shift);
      const bool is_low = one.eye == 0 && !is_detail && seen(blocks[0].view(), at)[1] < middle;
      (is_low ? below : rows[one.eye]).labels.push_back({at, "", std::move(one.group.signs)});
    }
  }
  blocks[0].labels(std::move(rows[0]));
  blocks[0].labels(std::move(below));
  rows[0] = {};
  return rows;
}

bool AssemblyViews::isWithin(const Vec3& point, const Box& box) const {
  const Vec3 local = assembly_.frame.of(point);
  for (int axis = 0; axis < 3; ++axis) {
    if (local[axis] < box.low[axis] || local[axis] > box.high[axis]) {
      return false;
    }
  }
  return true;
}

std::vector<WeldGroup> AssemblyViews::weldsOfNoDetail() const {
  std::vector<WeldGroup> left = welds();
  std::erase_if(left, [&](const WeldGroup& weld) { return homeOf(weld).group >= 0; });
  return left;
}

std::vector<WeldGroup> AssemblyViews::seenFromFront(const std::vector<WeldGroup>& groups) const {
  std::vector<int> hiders = assembly_.instances;
  hiders.insert(hiders.end(), assembly_.context.begin(), assembly_.context.end());
  return WeldSight(views_, hiders).inOneView(groups, eyesOf(isFromRoad(), assembly_.frame, 1));
}

std::vector<WeldGroup> AssemblyViews::welds() const {
  std::vector<WeldGroup> groups = weldGroups(schedules_.welds, assembly_.panel);
  // One of the two is here, and the other here or of the frame: nothing else is welded to it.
  std::erase_if(groups, [&](const WeldGroup& one) {
    return !bounds_.contains(one.instances[0]) && !bounds_.contains(one.instances[1]);
  });
  return groups;
}

}  // namespace leafstack
