// Which frame each part of an assembly is told in, and the views of what leans in its own plane.
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Trsf.hxx>
#include <gp_XYZ.hxx>

#include "exporters/paper/assemblies/assembly_views.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kSameWay = 0.999999;  // cosine of what counts as one direction
constexpr double kThickMostMm = 45;    // of what has a plane of its own: plates, channels
constexpr double kLeastMm = 40;        // smaller ones go with what they sit on
constexpr double kReachMm = 40;        // from a plate's outline to the parts that sit on it

/// A part's own axes, where it stands.
std::array<Vec3, 3> axesOf(const Instance& one) {
  const gp_Trsf motion = one.at_closed.Transformation();
  std::array<Vec3, 3> axes{};
  for (int axis = 0; axis < 3; ++axis) {
    axes[axis] = {motion.Value(1, axis + 1), motion.Value(2, axis + 1), motion.Value(3, axis + 1)};
  }
  return axes;
}

/// The axis that runs most nearly as `way` does, with its sense.
Vec3 nearestTo(const std::array<Vec3, 3>& axes, const Vec3& way) {
  Vec3 best{};
  double most = 0;
  for (const Vec3& axis : axes) {
    if (const double share = dot(axis, way); std::abs(share) > std::abs(most)) {
      most = share;
      best = share > 0 ? axis : minus({}, axis);
    }
  }
  return best;
}

bool areParallel(const std::array<Vec3, 3>& axes, const AssemblyFrame& frame) {
  const Vec3 ways[] = {frame.along, frame.across, frame.up};
  return std::all_of(std::begin(ways), std::end(ways),
                     [&](const Vec3& way) { return dot(nearestTo(axes, way), way) > kSameWay; });
}

}  // namespace

bool AssemblyViews::areAlike(const AssemblyFrame& a, const AssemblyFrame& b) {
  return dot(a.along, b.along) > kSameWay && dot(a.up, b.up) > kSameWay;
}

/// The assembly's own first, then that of a raked top, then one for each plate or channel that
/// leans in these.
void AssemblyViews::findFrames() {
  frames_.push_back({assembly_.frame, -1});
  if (assembly_.top) {
    frames_.push_back({*assembly_.top, -1});
  }
  std::vector<int> leaning;
  for (const int i : assembly_.instances) {
    const FrameBounds box = boundsIn(assembly_.frame, views_.model(), i);
    const bool is_on_top = assembly_.top && box.low[2] > assembly_.top_above_mm;
    frame_of_[i] = is_on_top ? 1 : 0;
    const AssemblyFrame& frame = frames_[frame_of_[i]].frame;
    if (!isFastener(partOf(i).kind) && !standsPlumb(partOf(i).kind) &&
        !areParallel(axesOf(views_.model().instances[i]), frame)) {
      leaning.push_back(i);
    }
  }
  std::vector<int> carriers;
  const auto extents = [&](int i) {
    const Bounds& own = partOf(i).bounds;
    Vec3 size = minus(own.high, own.low);
    std::sort(size.begin(), size.end());
    return size;
  };
  for (const int i : leaning) {
    const Vec3 size = extents(i);
    const bool is_made =
        partOf(i).supply == Supply::kCutPlate || partOf(i).kind == PartKind::kGuideChannel;
    if (is_made && size[0] < kThickMostMm && size[2] > kLeastMm && size[2] < kLongPartMm) {
      carriers.push_back(i);
    }
  }
  std::stable_sort(carriers.begin(), carriers.end(), [&](int a, int b) {
    const bool is_base = partOf(a).kind == PartKind::kBasePlate;
    if (is_base != (partOf(b).kind == PartKind::kBasePlate)) {
      return is_base;
    }
    return extents(a)[1] * extents(a)[2] > extents(b)[1] * extents(b)[2];
  });
  std::vector<int> taken;
  for (const int carrier : carriers) {
    const auto axes = axesOf(views_.model().instances[carrier]);
    AssemblyFrame frame;
    const AssemblyFrame& from = frames_[frame_of_[carrier]].frame;
    frame.along = nearestTo(axes, from.along);
    frame.across = nearestTo(axes, from.across);
    frame.up = nearestTo(axes, from.up);
    frame.origin = from.origin;
    frame.origin = frame.at(boundsIn(frame, views_.model(), carrier).corner);
    const FrameBounds around = boundsIn(frame, views_.model(), carrier);
    const int number = static_cast<int>(frames_.size());
    for (const int i : leaning) {
      const FrameBounds box = boundsIn(frame, views_.model(), i);
      bool is_near = areParallel(axesOf(views_.model().instances[i]), frame);
      for (int axis = 0; axis < 3; ++axis) {
        const double middle = (box.low[axis] + box.high[axis]) / 2;
        is_near = is_near && middle > around.low[axis] - kReachMm &&
                  middle < around.high[axis] + kReachMm;
      }
      const bool has_own =
          i != carrier && std::find(carriers.begin(), carriers.end(), i) != carriers.end();
      if (is_near && !has_own && std::find(taken.begin(), taken.end(), i) == taken.end()) {
        taken.push_back(i);
        frame_of_[i] = number;
      }
    }
    frames_.push_back({frame, carrier});
  }
  // A screw is told with what is under its head.
  for (const Fastening& one : views_.model().fastenings) {
    const auto under = frame_of_.find(one.under_head);
    for (const int i : {one.screw, one.washer, one.nut}) {
      if (under != frame_of_.end() && frame_of_.contains(i)) {
        frame_of_[i] = under->second;
      }
    }
  }
  for (const int i : assembly_.instances) {
    own_[i] = boundsIn(frameOf(i), views_.model(), i);
  }
}

/// Without what is told from the top rail's corner: that is in details and in the table.
std::vector<int> AssemblyViews::notOnTop(std::vector<int> parts) const {
  std::erase_if(parts, [&](int i) { return assembly_.top && frame_of_.at(i) == 1; });
  return parts;
}

/// In the end view's column and the plan's row of a grid.
void AssemblyViews::addSquareOn(std::vector<ViewBlock>& blocks, const std::vector<int>& parts,
                                bool from_road, bool is_centred) const {
  const auto middle = [](const ViewBlock& block) {
    const PaperBox& box = block.bounds();
    return PaperPoint{(box.left_mm + box.right_mm) / 2, (box.bottom_mm + box.top_mm) / 2};
  };
  const std::size_t end = 2;
  bool is_first = true;
  for (ViewBlock& one : squareOn(parts, from_road)) {
    const PaperPoint own = middle(one);
    const double column =
        is_first && !is_centred && blocks.size() > end ? middle(blocks[end]).x_mm : 0;
    const double row = is_centred ? 0 : middle(blocks[1]).y_mm;
    one.alignBy(own.x_mm - column, own.y_mm - row);
    blocks.push_back(std::move(one));
    is_first = false;
  }
}

/// Plates and channels among `parts` that lean in the page's frame, each seen square on with what
/// sits on it.
std::vector<ViewBlock> AssemblyViews::squareOn(const std::vector<int>& parts,
                                               bool from_road) const {
  std::vector<ViewBlock> blocks;
  for (std::size_t f = 0; f < frames_.size(); ++f) {
    const int carrier = frames_[f].carrier;
    if (carrier < 0 || std::find(parts.begin(), parts.end(), carrier) == parts.end()) {
      continue;
    }
    const AssemblyFrame& frame = frames_[f].frame;
    const FrameBounds& box = own_.at(carrier);
    int thin = 0;
    for (int axis = 1; axis < 3; ++axis) {
      thin = box.high[axis] - box.low[axis] < box.high[thin] - box.low[thin] ? axis : thin;
    }
    const PictureView view = thin == 2   ? plan(from_road, frame)
                             : thin == 1 ? front(from_road, frame)
                                         : end(frame);
    const std::string& mark = partOf(carrier).mark;
    ViewBlock block(mark + ", square to it", view);
    std::vector<int> own;
    Scene scene;
    for (const int i : assembly_.instances) {
      const bool is_own = frame_of_.at(i) == static_cast<int>(f);
      if (is_own) {
        own.push_back(i);
        scene.solids.push_back(views_.placed(i, 0));
        scene.instances.push_back(i);
      }
    }
    for (const ViewCurve& curve : projected(scene.solids, view)) {
      const bool is_carrier = scene.instances[curve.solid] == carrier;
      block.curve(is_carrier ? LineRole::kVisible : LineRole::kFine, curve.vertices,
                  curve.is_closed);
    }
    const int right = thin == 0 ? 1 : 0;
    const int upright = thin == 2 ? 1 : 2;
    addRow(block, {right, Side::kBelow, true, true}, own, frame, own_);
    addRow(block, {upright, nearDatum(from_road), true, true}, own, frame, own_);
    // Its own size closes the rows.
    for (const int axis : {right, upright}) {
      Vec3 from = box.low, to = box.low;
      to[axis] = box.high[axis];
      block.linear({axis == right                         ? Side::kAbove
                    : nearDatum(from_road) == Side::kLeft ? Side::kRight
                                                          : Side::kLeft,
                    frame.at(from), frame.at(to)});
    }
    blocks.push_back(std::move(block));
  }
  return blocks;
}

}  // namespace leafstack
