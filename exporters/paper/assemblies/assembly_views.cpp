#include "exporters/paper/assemblies/assembly_views.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "exporters/paper/sheet/window.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostMarks = 8;  // of one kind, each with a leader
constexpr double kAroundMm = 30;       // shown of what is beside a group
constexpr double kSameHoleMm = 0.05;   // of two in one column
constexpr double kUprightShare = 0.2;  // of a line's length, for leaders from below

constexpr const char* kFrontTitles[] = {"From the property side", "From the road"};

Side opposite(Side side) {
  return side == Side::kLeft ? Side::kRight : Side::kLeft;
}

PictureView looking(const Vec3& right, const Vec3& up) {
  return {right, up, cross(right, up)};
}
Vec3 reversed(const Vec3& v) {
  return {-v[0], -v[1], -v[2]};
}

/// A point of a line that is as far as can be from where other leaders run, the middle first.
PaperPoint apartFrom(const std::vector<double>& taken, const PaperPoint& from, const PaperPoint& to,
                     bool is_row) {
  constexpr double kEnoughMm = 12;
  PaperPoint best;
  double best_away = -1;
  for (const double share : {0.5, 0.3, 0.7, 0.12, 0.88}) {
    const PaperPoint at{from.x_mm + share * (to.x_mm - from.x_mm),
                        from.y_mm + share * (to.y_mm - from.y_mm)};
    double away = kEnoughMm;
    for (const double other : taken) {
      away = std::min(away, std::abs((is_row ? at.x_mm : at.y_mm) - other));
    }
    if (away > best_away) {
      best_away = away;
      best = at;
    }
  }
  return best;
}

}  // namespace

AssemblyViews::AssemblyViews(const GateViews& views, const Schedules& schedules,
                             const Assembly& assembly)
    : views_(views),
      schedules_(schedules),
      assembly_(assembly),
      bounds_(boundsOf(views.model(), assembly)),
      groups_(nearGroups(views.model(), assembly)) {
  findFrames();
}

/// In which its views are level: the top's for what sits there.
const AssemblyFrame& AssemblyViews::frameOf(const NearGroup& group) const {
  const bool is_on_top =
      assembly_.top && (group.low[2] + group.high[2]) / 2 > assembly_.top_above_mm;
  return is_on_top ? *assembly_.top : assembly_.frame;
}

const Part& AssemblyViews::partOf(int instance) const {
  return views_.partOf(views_.model().instances[instance]);
}

/// Of what is on a panel: whether it stands before the frame, hidden from the property side.
bool AssemblyViews::isOnRoadSide(const NearGroup& group) const {
  if (isFromRoad()) {
    return true;
  }
  const double depth = views_.layout().stack.frame_depth_mm;
  return (group.low[1] + group.high[1]) / 2 < depth / 2;
}

// The gate's views, turned so that the assembly's own frame is level in them; the plan is as if
// tipped over from the front view.
PictureView AssemblyViews::front(bool from_road, const AssemblyFrame& frame) const {
  return looking(isRightHand() == from_road ? frame.along : reversed(frame.along), frame.up);
}
PictureView AssemblyViews::plan(bool from_road, const AssemblyFrame& frame) const {
  return looking(isRightHand() == from_road ? frame.along : reversed(frame.along),
                 from_road ? frame.across : reversed(frame.across));
}
PictureView AssemblyViews::end(const AssemblyFrame& frame) const {
  return looking(isRightHand() ? reversed(frame.across) : frame.across, frame.up);
}

std::vector<ViewBlock> AssemblyViews::whole(Told told) const {
  const bool from_road = isFromRoad();
  const AssemblyFrame& page = assembly_.frame;
  std::vector<SeenHere> seen(assembly_.panel > 0 ? 2 : 3);
  std::vector<ViewBlock> blocks;
  const bool is_turned = assembly_.panel > 0 && std::abs(page.along[2]) > 0;
  blocks.push_back(
      drawnWhole(kFrontTitles[from_road] +
                     std::string(is_turned ? ", turned until the bottom rail is level" : ""),
                 front(from_road, page), true, seen[0]));
  blocks.push_back(drawnWhole("From above", plan(from_road, page), false, seen[1]));
  if (assembly_.panel == 0) {
    blocks.push_back(drawnWhole("From the latch side", end(page), false, seen[2]));
  }
  const std::vector<int> parts = told == Told::kLong ? longParts() : assembly_.instances;
  addPlaces(blocks[0], 2, nearDatum(from_road), parts, page, nullptr);
  addPlaces(blocks[1], 0, Side::kBelow, notOnTop(parts), page, nullptr);
  addPlaces(blocks[1], 1, nearDatum(from_road), parts, page, nullptr);
  if (blocks.size() > 2) {
    addPlaces(blocks[2], 1, Side::kBelow, parts, page, nullptr);
  }
  // Across from the row of heights.
  addNotches(blocks[0], parts, nearDatum(from_road) == Side::kLeft ? Side::kRight : Side::kLeft);
  addFolds(blocks[1], told == Told::kAll ? parts : std::vector<int>{},
           opposite(nearDatum(from_road)));
  const int in_none = -1;
  std::vector<LabelRequest> above;
  if (told == Told::kLong) {
    const PaperBox& box = blocks[0].bounds();
    const bool is_tall = box.heightMm() > 2 * box.widthMm();
    LabelRequest letters =
        addFrames(blocks[0], is_tall ? opposite(nearDatum(from_road)) : Side::kAbove);
    if (is_tall) {
      blocks[0].labels(std::move(letters));
      letters = {Side::kAbove, {}};
    }
    above = addWelds(blocks, std::move(letters), from_road, &in_none);
  } else if (told == Told::kAll) {
    above = addWelds(blocks, {Side::kAbove, {}}, from_road, nullptr);
  }
  addMarks(blocks, seen, parts, opposite(nearDatum(from_road)), std::move(above));
  addSquareOn(blocks, parts, from_road);
  return blocks;
}

std::vector<ViewBlock> AssemblyViews::detail(int which, bool has_top_rows) const {
  const NearGroup& group = groups_.at(which);
  const AssemblyFrame& page = frameOf(group);
  const bool from_road = isOnRoadSide(group);
  std::vector<SeenHere> seen(3);
  std::string title = "Detail " + group.letter;
  if (!group.others.empty()) {
    title += ", " + std::to_string(group.others.size() + 1) + " alike";
  }
  title += from_road ? ", from the road" : ", from the property side";
  std::vector<ViewBlock> blocks = {
      drawnDetail(title, front(from_road, page), group, true, seen[0]),
      drawnDetail("From above", plan(from_road, page), group, false, seen[1]),
      drawnDetail("From the latch side", end(page), group, false, seen[2])};
  const Box box = aroundOf(group);
  addPlaces(blocks[0], 2, nearDatum(from_road), group.instances, page, &box, has_top_rows);
  addPlaces(blocks[1], 0, Side::kBelow, group.instances, page, &box, has_top_rows);
  addPlaces(blocks[2], 1, Side::kBelow, group.instances, page, &box);
  addFolds(blocks[1], group.instances, opposite(nearDatum(from_road)));
  std::vector<LabelRequest> above = addWelds(blocks, {Side::kAbove, {}}, from_road, &which);
  addMarks(blocks, seen, group.instances, Side::kBelow, std::move(above));
  // About its own middle, so that details share a sheet wherever they are.
  const auto middle = [](const ViewBlock& block) {
    const PaperBox& around = block.bounds();
    return PaperPoint{(around.left_mm + around.right_mm) / 2,
                      (around.bottom_mm + around.top_mm) / 2};
  };
  const PaperPoint in_front = middle(blocks[0]);
  blocks[0].alignBy(in_front.x_mm, in_front.y_mm);
  blocks[1].alignBy(in_front.x_mm, middle(blocks[1]).y_mm);
  blocks[2].alignBy(middle(blocks[2]).x_mm, in_front.y_mm);
  addSquareOn(blocks, group.instances, from_road, /*is_centred=*/true);
  blocks[0].sayScale();
  return blocks;
}

ViewBlock AssemblyViews::bare() const {
  SeenHere seen;
  return drawnWhole(kFrontTitles[isFromRoad()], front(isFromRoad(), assembly_.frame),
                    assembly_.panel > 0, seen);
}

std::vector<int> AssemblyViews::longParts() const {
  std::vector<int> parts;
  std::set<int> in_groups;
  std::set<std::string> marks;
  for (const NearGroup& group : groups_) {
    for (const int i : group.instances) {
      in_groups.insert(i);
      marks.insert(partOf(i).mark);
    }
  }
  for (const int i : assembly_.instances) {
    bool is_long = false;
    for (int axis = 0; axis < 3; ++axis) {
      is_long = is_long || bounds_.at(i).high[axis] - bounds_.at(i).low[axis] > kLongPartMm;
    }
    // Those of a group that is told once have their details there.
    if (!in_groups.contains(i) && (is_long || !marks.contains(partOf(i).mark))) {
      parts.push_back(i);
    }
  }
  return parts;
}

AssemblyViews::Box AssemblyViews::aroundOf(const NearGroup& group) const {
  Box box{group.low, group.high};
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] -= kAroundMm;
    box.high[axis] += kAroundMm;
  }
  return box;
}

PaperBox AssemblyViews::windowOf(const PictureView& view, const Box& box) const {
  PaperBox window;
  for (int corner = 0; corner < 8; ++corner) {
    Vec3 local{};
    for (int axis = 0; axis < 3; ++axis) {
      local[axis] = (corner >> axis & 1) != 0 ? box.high[axis] : box.low[axis];
    }
    const Vec3 at = seen(view, assembly_.frame.at(local));
    window.include(PaperPoint{at[0], at[1]});
  }
  return window;
}

bool AssemblyViews::meets(int instance, const Box& box) const {
  const FrameBounds own = boundsIn(assembly_.frame, views_.model(), instance);
  for (int axis = 0; axis < 3; ++axis) {
    if (own.low[axis] > box.high[axis] || own.high[axis] < box.low[axis]) {
      return false;
    }
  }
  return true;
}

/// All of it, with what it is fixed to in narrow lines.
ViewBlock AssemblyViews::drawnWhole(const std::string& title, const PictureView& view,
                                    bool has_context, SeenHere& seen_here) const {
  const auto known = drawn_.find(title);  // asked for again with other rows and signs
  if (known != drawn_.end()) {
    seen_here = known->second.seen;
    return known->second.block;
  }
  ViewBlock block(title, view);
  Scene scene;
  const bool stands_behind = assembly_.panel == 0;
  for (const auto* list : {&assembly_.instances, &assembly_.context}) {
    if (list == &assembly_.context && (!has_context || stands_behind)) {
      continue;
    }
    for (const int i : *list) {
      scene.solids.push_back(views_.placed(i, 0));
      scene.instances.push_back(i);
    }
  }
  for (const ViewCurve& curve : projected(scene.solids, view)) {
    const int instance = scene.instances[curve.solid];
    const bool is_own = bounds_.contains(instance);
    block.curve(is_own ? LineRole::kVisible : LineRole::kFine, curve.vertices, curve.is_closed);
    if (is_own && !curve.is_hidden) {
      note(seen_here, instance, curve.vertices, 1);
    }
  }
  if (stands_behind && !assembly_.context.empty()) {
    addBehind(block);
  }
  drawn_.insert({title, {block, seen_here}});
  return block;
}

/// What an assembly is screwed to, as far as it is near, as if one saw through it; in the front
/// view with where its holes are.
void AssemblyViews::addBehind(ViewBlock& block) const {
  constexpr double kNearMm = 60;
  Box box{bounds_.begin()->second.low, bounds_.begin()->second.high};
  for (const auto& [i, own] : bounds_) {
    for (int axis = 0; axis < 3; ++axis) {
      box.low[axis] = std::min(box.low[axis], own.low[axis] - kNearMm);
      box.high[axis] = std::max(box.high[axis], own.high[axis] + kNearMm);
    }
  }
  std::vector<PlacedViewSolid> behind;
  for (const int i : assembly_.context) {
    behind.push_back(views_.placed(i, 0));
  }
  const PaperBox window = windowOf(block.view(), box);
  for (const ViewCurve& curve : projected(behind, block.view())) {
    for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
      block.curve(LineRole::kPhantom, std::move(stretch));
    }
  }
  if (std::abs(dot(block.view().toward, assembly_.frame.across)) < 0.5) {
    return;  // another view
  }
  for (const int post : assembly_.context) {
    const Bounds& own = views_.model().instances[post].bounds;
    const Vec3 near = {isRightHand() ? own.low[0] : own.high[0], own.low[1],
                       assembly_.frame.at(box.low)[2]};
    Vec3 far = near;
    far[0] = isRightHand() ? own.high[0] : own.low[0];
    RunningRequest holes{Side::kBelow, near, {near, far}, assembly_.frame.along};
    for (const Fastening& one : views_.model().fastenings) {
      if (one.holds_in == post && bounds_.contains(one.screw) &&
          std::none_of(holes.features.begin(), holes.features.end(), [&](const Vec3& other) {
            return std::abs(other[0] - one.seat_mm[0]) < kSameHoleMm;
          })) {
        holes.features.push_back(one.seat_mm);
      }
    }
    block.running(std::move(holes));
  }
}

/// A group's own parts, and of all else what reaches into its window in narrow lines; what it is
/// in as if one saw through it.
ViewBlock AssemblyViews::drawnDetail(const std::string& title, const PictureView& view,
                                     const NearGroup& group, bool has_context,
                                     SeenHere& seen_here) const {
  ViewBlock block(title, view);
  const Box box = aroundOf(group);
  const PaperBox window = windowOf(view, box);
  Scene scene, through;
  for (const int i : assembly_.instances) {
    if (meets(i, box)) {
      scene.solids.push_back(views_.placed(i, 0));
      scene.instances.push_back(i);
    }
  }
  for (const int i : assembly_.context) {
    if ((has_context || isInRail()) && meets(i, box)) {
      Scene& into = isInRail() ? through : scene;
      into.solids.push_back(views_.placed(i, 0));
      into.instances.push_back(i);
    }
  }
  for (const ViewCurve& curve : projected(scene.solids, view)) {
    const int instance = scene.instances[curve.solid];
    const bool is_own =
        std::binary_search(group.instances.begin(), group.instances.end(), instance);
    for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
      if (is_own && !curve.is_hidden) {
        note(seen_here, instance, stretch, kUprightShare);
      }
      block.curve(is_own ? LineRole::kVisible : LineRole::kFine, std::move(stretch));
    }
  }
  for (const ViewCurve& curve : projected(through.solids, view)) {
    for (auto& stretch : stretchesWithin(curve.vertices, curve.is_closed, window)) {
      block.curve(LineRole::kPhantom, std::move(stretch));
    }
  }
  return block;
}

void AssemblyViews::note(SeenHere& seen, int instance, const std::vector<PathVertex>& vertices,
                         double upright_share) {
  for (std::size_t k = 0; k + 1 < vertices.size(); ++k) {
    const PathVertex& a = vertices[k];
    const PathVertex& b = vertices[k + 1];
    const double length = std::hypot(b.x_mm - a.x_mm, upright_share * (b.y_mm - a.y_mm));
    Seen& best = seen[instance];
    if (length > best.length_mm) {
      // Of an arc its end: its chord is not on it.
      best = {length,
              {a.x_mm, a.y_mm},
              a.bulge == 0 ? PaperPoint{b.x_mm, b.y_mm} : PaperPoint{a.x_mm, a.y_mm}};
    }
  }
}

/// Where details are, each frame drawn; the first of those alike has their letter and number.
LabelRequest AssemblyViews::addFrames(ViewBlock& block, Side side) const {
  LabelRequest letters{side, {}}, low_letters{Side::kBelow, {}};
  const double middle = (block.bounds().bottom_mm + block.bounds().top_mm) / 2;
  for (const NearGroup& group : groups_) {
    std::vector<Vec3> lows = {group.low};
    lows.insert(lows.end(), group.others.begin(), group.others.end());
    for (const Vec3& low : lows) {
      Box box = aroundOf(group);
      for (int axis = 0; axis < 3; ++axis) {
        box.low[axis] += low[axis] - group.low[axis];
        box.high[axis] += low[axis] - group.low[axis];
      }
      const PaperBox frame = windowOf(block.view(), box);
      block.curve(LineRole::kPhantom,
                  {{frame.left_mm, frame.bottom_mm},
                   {frame.right_mm, frame.bottom_mm},
                   {frame.right_mm, frame.top_mm},
                   {frame.left_mm, frame.top_mm}},
                  true);
      if (&low != &lows.front()) {
        continue;
      }
      const double x = side == Side::kLeft    ? frame.left_mm
                       : side == Side::kRight ? frame.right_mm
                                              : (frame.left_mm + frame.right_mm) / 2;
      // From below to what is low: no leader runs among the uprights.
      const double up = (frame.bottom_mm + frame.top_mm) / 2;
      const bool is_low = side == Side::kAbove && up < middle;
      const double y = side != Side::kAbove ? up : is_low ? frame.bottom_mm : frame.top_mm;
      const Vec3 at = plus(plus({0, 0, 0}, block.view().right, x), block.view().up, y);
      (is_low ? low_letters : letters)
          .labels.push_back({at,
                             "detail " + group.letter +
                                 (lows.size() > 1 ? ", " + std::to_string(lows.size()) + "x" : ""),
                             {}});
    }
  }
  block.labels(std::move(low_letters));
  return letters;
}

/// Every mark once, in the first view that shows a part of it, away from the rows of numbers; what
/// is hidden in all, behind or in other parts, by its middle.
void AssemblyViews::addMarks(std::vector<ViewBlock>& blocks, const std::vector<SeenHere>& seen,
                             const std::vector<int>& parts, Side first,
                             std::vector<LabelRequest> above) const {
  std::set<std::string> marked, hidden;
  for (const int i : parts) {
    const bool is_seen = std::any_of(seen.begin(), seen.end(), [&](const SeenHere& view) {
      return std::any_of(view.begin(), view.end(),
                         [&](const auto& one) { return partOf(one.first).mark == partOf(i).mark; });
    });
    if (!is_seen) {
      hidden.insert(partOf(i).mark);
    }
  }
  for (std::size_t v = 0; v < blocks.size(); ++v) {
    ViewBlock& block = blocks[v];
    LabelRequest marks{v == 0 ? first : Side::kAbove, {}};
    if (v > 0 && v < above.size()) {  // one row, so that leaders keep off the signs
      marks.labels = std::move(above[v].labels);
    }
    const bool is_row = marks.side == Side::kAbove || marks.side == Side::kBelow;
    std::vector<double> taken;  // along the side, by other leaders
    for (const auto& [instance, where] : seen[v]) {
      // Tracks stand one behind another: told from above.
      const bool is_asked = std::find(parts.begin(), parts.end(), instance) != parts.end() &&
                            (v > 0 || !isOfATrack(partOf(instance).kind));
      const std::string words = markWords(partOf(instance));
      if (is_asked && marked.insert(words).second) {
        PaperPoint at = apartFrom(taken, where.from, where.to, is_row);
        if (const PartKind kind = partOf(instance).kind;
            kind == PartKind::kBoard || kind == PartKind::kBatten) {  // not on a joint
          const FrameBounds& box = bounds_.at(instance);
          Vec3 on = plus(box.low, minus(box.high, box.low), 0.5);
          constexpr double kFirst = 0.3, kStep = 0.1;  // each leader at another height
          on[2] = box.low[2] + (kFirst + kStep * static_cast<double>(taken.size() % 6)) *
                                   (box.high[2] - box.low[2]);
          const Vec3 middle = leafstack::seen(block.view(), assembly_.frame.at(on));
          at = {middle[0], middle[1]};
        }
        taken.push_back(is_row ? at.x_mm : at.y_mm);
        marks.labels.push_back(
            {plus(plus({0, 0, 0}, block.view().right, at.x_mm), block.view().up, at.y_mm),
             words,
             {}});
      }
    }
    for (const int i : v == 0 ? parts : std::vector<int>{}) {
      if (hidden.contains(partOf(i).mark) && marked.insert(markWords(partOf(i))).second) {
        const FrameBounds& box = bounds_.at(i);
        const Vec3 middle = plus(box.low, minus(box.high, box.low), 0.5);
        marks.labels.push_back({assembly_.frame.at(middle), markWords(partOf(i)), {}});
        addHidden(block, i);
      }
    }
    block.labels(std::move(marks));
  }
}

/// What a leader ends in though no view shows it.
void AssemblyViews::addHidden(ViewBlock& block, int instance) const {
  for (const ViewCurve& curve : projected({views_.placed(instance, 0)}, block.view())) {
    if (!curve.is_hidden) {
      block.curve(LineRole::kHidden, curve.vertices, curve.is_closed);
    }
  }
}

/// Of many marks of one kind, as boards of a raked gate have them, the first and the last.
std::string AssemblyViews::markWords(const Part& part) const {
  std::vector<std::string> alike;
  for (const int i : assembly_.instances) {
    const Part& other = partOf(i);
    if (other.kind == part.kind &&
        std::find(alike.begin(), alike.end(), other.mark) == alike.end()) {
      alike.push_back(other.mark);
    }
  }
  return alike.size() > kMostMarks ? alike.front() + " to " + alike.back() : part.mark;
}

}  // namespace leafstack
