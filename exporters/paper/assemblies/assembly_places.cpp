// Where an assembly's parts are, in rows of numbers on its views; sizes of what is folded and
// notched.
#include <BRepTools.hxx>
#include <BRepTools_WireExplorer.hxx>
#include <BRep_Tool.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Trsf.hxx>
#include <gp_XYZ.hxx>
#include <numbers>
#include <optional>
#include <set>

#include "exporters/paper/assemblies/assembly_views.h"
#include "exporters/paper/assemblies/even_runs.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostOfKind = 20;  // numbers in one row
constexpr int kFewEvenly = 4;            // each with its own number
constexpr std::size_t kMostEnds = 8;     // of one kind, each with a number
/// Their places stand in the table alone.
bool isInTableAlone(PartKind kind) {
  return kind == PartKind::kAnchor || kind == PartKind::kScrew || kind == PartKind::kWasher ||
         kind == PartKind::kNut || kind == PartKind::kPulleyScrew ||
         kind == PartKind::kTerminalNut || kind == PartKind::kAxleRing;
}

/// Corners of the outline of a part's far face along one of its own axes, in order; of a prism, of
/// what it is drawn out from. None where that face is not flat.
std::vector<gp_XYZ> outlineOf(const Part& part, int axis) {
  std::vector<gp_XYZ> outline;
  for (TopExp_Explorer at(part.solid, TopAbs_FACE); at.More(); at.Next()) {
    std::vector<gp_XYZ> corners;
    for (BRepTools_WireExplorer edge(BRepTools::OuterWire(TopoDS::Face(at.Current()))); edge.More();
         edge.Next()) {
      corners.push_back(BRep_Tool::Pnt(edge.CurrentVertex()).XYZ());
    }
    const bool is_far = std::all_of(corners.begin(), corners.end(), [&](const gp_XYZ& one) {
      return std::abs(one.Coord(axis + 1) - part.bounds.high[axis]) < kBoundsSlackMm;
    });
    if (is_far && corners.size() > outline.size()) {
      outline = std::move(corners);
    }
  }
  return outline;
}

}  // namespace

void AssemblyViews::addPlaces(ViewBlock& block, int axis, Side side, const std::vector<int>& parts,
                              const AssemblyFrame& page, const Box* within,
                              bool has_top_rows) const {
  constexpr int kAcross = 1;  // which is told alike in both frames
  const int rows = assembly_.top && axis != kAcross && has_top_rows ? 2 : 1;
  bool has_row = false;
  for (int which = 0; which < rows; ++which) {
    std::vector<int> own;
    for (const int i : parts) {
      const int frame = frame_of_.at(i);
      // Of what leans the plate or channel alone: the rest is told from that.
      const bool is_carrier = frames_[frame].carrier == i;
      const bool is_alike = axis == kAcross && frames_[frame].carrier < 0;
      if (frame == which || is_alike || (which == 0 && is_carrier)) {
        own.push_back(i);
      }
    }
    const AssemblyFrame& frame = frames_[which].frame;
    if (areAlike(frame, page) || axis == kAcross) {
      const double at0 = assembly_.frame.of(frame.origin)[axis];
      const bool has_zero = !within || (within->low[axis] <= at0 && within->high[axis] >= at0);
      const Side at = which == 0 || within == nullptr || !has_row ? side
                      : side == Side::kBelow                      ? Side::kAbove
                      : side == Side::kLeft                       ? Side::kRight
                                                                  : Side::kLeft;
      // What has no larger view has its holes here.
      addRow(block, {axis, at, has_zero, within != nullptr || groups_.empty()}, own, frame,
             which == 0 ? bounds_ : own_);
      has_row = has_row || !own.empty();
    }
  }
}

/// A row of numbers along an axis of a frame: nearest corners, middles of what is turned, and both
/// ends of what is long; fasteners stand in the table alone.
void AssemblyViews::addRow(ViewBlock& block, const Row& row, const std::vector<int>& parts,
                           const AssemblyFrame& frame,
                           const std::map<int, FrameBounds>& where) const {
  const int axis = row.axis;
  const auto isUntold = [&](PartKind kind) {
    const bool has_hole = kind == PartKind::kAnchor || kind == PartKind::kScrew;
    const bool is_of_slab = row.axis == 2 && isOfATrack(kind);  // told from there
    return is_of_slab || (isInTableAlone(kind) && !(has_hole && row.has_holes));
  };
  std::map<double, Vec3> points;  // by place: the first part there
  std::map<PartKind, std::vector<double>> places;
  for (const int i : parts) {
    if (!isUntold(partOf(i).kind)) {
      places[partOf(i).kind].push_back(placeIn(where, i, axis));
    }
  }
  std::set<double> told;  // of many evenly apart the first and the last; the table has all
  for (const auto& [kind, all] : places) {
    if (distinct(all).size() > kMostOfKind && evenRuns(all).size() > kMostOfKind / 2) {
      told.insert({distinct(all).front(), distinct(all).back()});
      continue;
    }
    for (const EvenRun& run : evenRuns(all)) {
      told.insert({run.first_mm, run.lastMm()});
      for (int i = 1; run.count <= kFewEvenly && i + 1 < run.count; ++i) {
        told.insert(run.first_mm + i * run.pitch_mm);
      }
    }
  }
  for (const int i : parts) {
    Vec3 local = where.at(i).corner;
    local[axis] = placeIn(where, i, axis);
    const auto near = told.lower_bound(local[axis] - kSameNumberMm);
    if (!isUntold(partOf(i).kind) && near != told.end() && *near < local[axis] + kSameNumberMm) {
      points.emplace(local[axis], local);
    }
    // Under a raked top the far ends of uprights would stand among what is told from that.
    const bool has_far_end = axis != 2 || !assembly_.top;
    if (has_far_end && where.at(i).high[axis] - where.at(i).low[axis] > kLongPartMm &&
        places[partOf(i).kind].size() <= kMostEnds) {
      local[axis] = where.at(i).high[axis];
      points.emplace(local[axis], local);
    }
  }
  if (points.empty()) {
    return;
  }
  Vec3 datum = points.begin()->second;
  datum[axis] = 0;
  RunningRequest request{row.side, frame.at(datum), {}};
  const Vec3 axes[] = {frame.along, frame.across, frame.up};
  request.counts_along = axes[axis];
  if (row.has_zero) {
    request.features.push_back(request.datum);
  }
  double last = 0;
  for (const auto& [place, local] : points) {
    if (std::abs(place - last) > kSameNumberMm && std::abs(place) > kSameNumberMm) {
      request.features.push_back(frame.at(local));
      last = place;
    }
  }
  if (!request.features.empty()) {
    block.running(std::move(request));
  }
}

double AssemblyViews::placeIn(const std::map<int, FrameBounds>& where, int instance,
                              int axis) const {
  const FrameBounds& box = where.at(instance);
  if (partOf(instance).kind == PartKind::kTrackDowel && axis == 0) {
    // Where it meets its track, which may fall: along that. Its own origin is in its upper end.
    const gp_XYZ at =
        views_.model().instances[instance].at_closed.Transformation().TranslationPart();
    return frameOf(instance).of({at.X(), at.Y(), at.Z()})[0];
  }
  return isTurned(partOf(instance).kind) ? (box.low[axis] + box.high[axis]) / 2 : box.corner[axis];
}

/// Of a receiver bent from plate, seen in its plan: how far it reaches, how wide it is between its
/// legs and at its mouth, and how much of them is bent open.
void AssemblyViews::addFolds(ViewBlock& above, const std::vector<int>& parts, Side side) const {
  constexpr int kPlanAxis = 2;
  std::set<int> told;
  for (const int i : parts) {
    const Instance& one = views_.model().instances[i];
    if (partOf(i).kind != PartKind::kReceiver || !told.insert(one.part).second) {
      continue;
    }
    const std::vector<gp_XYZ> outline = outlineOf(partOf(i), kPlanAxis);
    const Bounds& own = partOf(i).bounds;
    const double far = isRightHand() ? own.high[0] : own.low[0];
    const double back = isRightHand() ? own.low[0] : own.high[0];
    const double middle = (own.low[1] + own.high[1]) / 2;
    // Of each leg, the front one first, the inner corner at the mouth, and where it is bent.
    struct Leg {
      gp_XYZ mouth, bend;
    };
    std::array<std::optional<Leg>, 2> legs;
    const std::size_t count = outline.size();
    for (std::size_t k = 0; k < count; ++k) {
      const gp_XYZ& at = outline[k];
      const gp_XYZ& before = outline[(k + count - 1) % count];
      const gp_XYZ& after = outline[(k + 1) % count];
      std::optional<Leg>& leg = legs.at(at.Y() > middle ? 1 : 0);
      const bool is_inner = !leg || std::abs(at.Y() - middle) < std::abs(leg->mouth.Y() - middle);
      if (std::abs(at.X() - far) < kLengthEqualMm && is_inner) {
        const bool is_after = (after - at).Modulus() > (before - at).Modulus();
        leg = {at, is_after ? after : before};
      }
    }
    const auto placed = [&](gp_XYZ at) {
      one.at_closed.Transformation().Transforms(at);
      return Vec3{at.X(), at.Y(), at.Z()};
    };
    if (!legs[1]) {
      continue;
    }
    const gp_XYZ& mouth = legs[1]->mouth;
    const gp_XYZ& bend = legs[1]->bend;
    above.linear({Side::kAbove, placed({back, mouth.Y(), mouth.Z()}), placed(mouth), "leg "});
    if (legs[0]) {
      above.linear({side, placed(legs[0]->bend), placed(bend), "inside "});
      if (std::abs(mouth.Y() - bend.Y()) > kLengthEqualMm) {
        above.linear({side, placed(legs[0]->mouth), placed(mouth), "mouth "});
      }
    }
    if (std::abs(mouth.Y() - bend.Y()) > kLengthEqualMm) {
      above.linear({Side::kAbove, placed(bend), placed(mouth), "open "});
      const double angle_deg =
          std::atan(std::abs((mouth.Y() - bend.Y()) / (mouth.X() - bend.X()))) * 180 /
          std::numbers::pi;
      above.labels(
          {Side::kAbove, {{placed(bend), "bent open by " + shown(angle_deg, 1) + " deg", {}}}});
    }
  }
}

/// What is cut out of a board's corner, once for each mark.
void AssemblyViews::addNotches(ViewBlock& front, const std::vector<int>& parts, Side side) const {
  std::set<std::string> told;
  for (const int i : parts) {
    const Part& part = partOf(i);
    if (part.kind != PartKind::kBoard || !told.insert(part.mark).second) {
      continue;
    }
    int thin = 0;
    for (const int axis : {1, 2}) {
      thin = part.bounds.high[axis] - part.bounds.low[axis] <
                     part.bounds.high[thin] - part.bounds.low[thin]
                 ? axis
                 : thin;
    }
    const std::vector<gp_XYZ> outline = outlineOf(part, thin);
    const auto isOnEdge = [&](const gp_XYZ& at, int axis) {
      return at.Coord(axis + 1) < part.bounds.low[axis] + kBoundsSlackMm ||
             at.Coord(axis + 1) > part.bounds.high[axis] - kBoundsSlackMm;
    };
    for (std::size_t k = 0; k < outline.size(); ++k) {
      const gp_XYZ& at = outline[k];
      const bool is_inside = !isOnEdge(at, (thin + 1) % 3) && !isOnEdge(at, (thin + 2) % 3);
      if (!is_inside) {
        continue;
      }
      const auto placed = [&](gp_XYZ point) {
        views_.model().instances[i].at_closed.Transformation().Transforms(point);
        return Vec3{point.X(), point.Y(), point.Z()};
      };
      const std::size_t count = outline.size();
      for (const std::size_t other : {(k + count - 1) % count, (k + 1) % count}) {
        const Vec3 from = placed(at), to = placed(outline[other]);
        const bool is_upright = std::abs(to[2] - from[2]) > std::abs(to[0] - from[0]);
        front.linear({is_upright ? side : Side::kAbove, from, to, "notch "});
      }
    }
  }
}

}  // namespace leafstack
