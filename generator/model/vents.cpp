#include "generator/model/vents.h"

#include <BRepClass3d_SolidClassifier.hxx>
#include <TopExp_Explorer.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Trsf.hxx>
#include <limits>
#include <numbers>
#include <optional>
#include <set>
#include <utility>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/numbers.h"
#include "generator/geometry/vec.h"
#include "generator/layout/figures/sections.h"
#include "generator/model/tube_frame.h"
#include "generator/occt/kernel_says.h"
#include "params/catalogue/vents.h"

namespace leafstack {
namespace {

// The hole's edge off the end: clear of the weld's leg, and within 10 mm of it.
constexpr double kOffEndMm[] = {8, 10};
// Beside a hole nothing lies on the wall nearer than a weld's leg, nor over it nearer than this.
// Both common practice, no source.
constexpr double kWeldRoomMm = 4, kFreeBeforeMm = 5;
constexpr double kOffCornerMm = 1;  // hole's edge off the round corner of the section
constexpr double kOffMiddleStepMm = 0.5;
// Parts that are welded over an end lie this near to it: a weld bridges a gap of 1 mm.
constexpr double kOverEndMm = 0.6;
constexpr int kSamples = 9;               // a side, of a hollow's end
constexpr int kFacesOfPlainTube = 18;     // four walls and corners, in and out, and two ends
constexpr int kFront = 100, kNoRank = 0;  // the front is seen: after everything else

constexpr std::array<Wall, 4> kWalls = {Wall::kFront, Wall::kRear, Wall::kBottom, Wall::kTop};

gp_Pnt pointOf(const Vec3& p) {
  return {p[0], p[1], p[2]};
}

/// What lies beside an instance on the same body.
struct Neighbour {
  const Part* part = nullptr;
  gp_Trsf to_own;  ///< from the gate's frame to the part's
  bool is_welded = false;
};

bool isInside(const Bounds& box, const gp_Pnt& p, double beyond_mm) {
  for (int axis = 0; axis < 3; ++axis) {
    const double at = p.Coord(axis + 1);
    if (at < box.low[axis] - beyond_mm || at > box.high[axis] + beyond_mm) {
      return false;
    }
  }
  return true;
}

/// A hole that could be, or one of several.
struct Place {
  VentHole hole;
  int rank = kNoRank;  ///< the less, the better hidden
};
/// Holes of one end that serve together.
struct Choice {
  std::vector<Place> places;
  double cost = 0;
};

class PartPlanner {
 public:
  PartPlanner(const Model& model, int part, const TubeFrame& frame, const std::vector<int>& placed,
              const std::set<std::pair<int, int>>& welds)
      : model_(model), part_(model.parts[part]), frame_(frame), placed_(placed) {
    for (const int instance : placed) {
      beside_.push_back(besideOf(instance, welds));
    }
    int faces = 0;
    for (TopExp_Explorer face(part_.solid, TopAbs_FACE); face.More(); face.Next()) {
      ++faces;
    }
    is_cut_ = faces > kFacesOfPlainTube;
    plan_.part = part;
  }

  PartVents plan() {
    std::array<bool, 2> closed{};
    std::array<std::vector<Choice>, 2> choices;
    for (const int end : {0, 1}) {
      for (std::size_t i = 0; i < placed_.size() && !closed[end]; ++i) {
        closed[end] = isClosed(end, i);
      }
      if (closed[end]) {
        choices[end] = choicesAt(end);
        if (choices[end].empty()) {
          plan_.unvented.push_back(endName(end));
        }
      }
    }
    take(choices);
    return std::move(plan_);
  }

 private:
  std::vector<Neighbour> besideOf(int instance, const std::set<std::pair<int, int>>& welds) const {
    constexpr double kNearMm = 20;
    std::vector<Neighbour> beside;
    const Instance& one = model_.instances[instance];
    for (int other = 0; other < static_cast<int>(model_.instances.size()); ++other) {
      const Instance& candidate = model_.instances[other];
      const Part& what = model_.parts[candidate.part];
      bool is_near = other != instance && candidate.panel == one.panel &&
                     what.kind != PartKind::kRope && what.supply != Supply::kSite &&
                     !isFastener(what.kind);  // not in the bath
      for (int axis = 0; axis < 3 && is_near; ++axis) {
        is_near = candidate.bounds.low[axis] < one.bounds.high[axis] + kNearMm &&
                  one.bounds.low[axis] < candidate.bounds.high[axis] + kNearMm;
      }
      if (is_near) {
        beside.push_back({&what, candidate.at_closed.Transformation().Inverted(),
                          welds.count(std::minmax(instance, other)) > 0});
      }
    }
    return beside;
  }

  gp_Trsf placeOf(std::size_t i) const {
    return model_.instances[placed_[i]].at_closed.Transformation();
  }

  /// Tubes and plates are as good as their boxes; what is welded otherwise closes nothing.
  bool isClosed(int end, std::size_t i) const {
    const HollowSection& tube = frame_.section;
    const double inner_h = tube.height_mm - 2 * tube.wall_mm;
    const double inner_d = tube.depth_mm - 2 * tube.wall_mm;
    const gp_Trsf place = placeOf(i);
    int free = 0;
    for (int a = 0; a < kSamples; ++a) {
      for (int b = 0; b < kSamples; ++b) {
        const double h = tube.wall_mm + inner_h * (a + 0.5) / kSamples;
        const double d = tube.wall_mm + inner_d * (b + 0.5) / kSamples;
        const double t = frame_.endAt(end, h) + (end == 0 ? -kOverEndMm : kOverEndMm);
        const gp_Pnt point = pointOf(frame_.at(t, h, d)).Transformed(place);
        const bool covered =
            std::any_of(beside_[i].begin(), beside_[i].end(), [&](const Neighbour& other) {
              return other.is_welded &&
                     (other.part->tube || other.part->supply == Supply::kCutPlate) &&
                     isInside(other.part->bounds, point.Transformed(other.to_own), kOverEndMm);
            });
        free += covered ? 0 : 1;
      }
    }
    const double radius = leastVent_mm(tube, part_.length_mm, 1) / 2;
    return inner_h * inner_d * free / (kSamples * kSamples) < std::numbers::pi * radius * radius;
  }

  /// Beside a hole, as far as a weld reaches, and before it nothing lies on the wall.
  bool isFree(const VentHole& hole, std::size_t i) const {
    constexpr double kIntoWallMm = 0.5;
    const double reach = hole.diameter_mm / 2 + kWeldRoomMm;
    const double half = (kFreeBeforeMm + kIntoWallMm) / 2;
    const Vec3 out = frame_.outward(hole.wall);
    const gp_Pnt middle = pointOf(plus(hole.centre_mm, out, half - kIntoWallMm));
    const gp_Trsf place = placeOf(i);
    return std::none_of(beside_[i].begin(), beside_[i].end(), [&](const Neighbour& other) {
      const gp_Trsf to_own = other.to_own * place;
      const gp_Pnt at = middle.Transformed(to_own);
      const gp_Vec way = gp_Vec(out[0], out[1], out[2]).Transformed(to_own);
      for (int axis = 1; axis <= 3; ++axis) {
        const double along = std::abs(way.Coord(axis));
        const double reaches = reach * std::sqrt(std::max(0.0, 1 - along * along)) + half * along;
        const Bounds& box = other.part->bounds;
        if (at.Coord(axis) + reaches <= box.low[axis - 1] ||
            at.Coord(axis) - reaches >= box.high[axis - 1]) {
          return false;
        }
      }
      return true;
    });
  }

  /// A pocket may have taken the wall away.
  bool isInWall(const VentHole& hole) const {
    if (!is_cut_) {
      return true;
    }
    constexpr int kRimPoints = 12;
    constexpr double kBeyondRimMm = 1, kTolerance = 1e-6;
    const Vec3 into = frame_.outward(hole.wall);
    const Vec3 middle = plus(hole.centre_mm, into, -frame_.section.wall_mm / 2);
    bool is_in = true;
    kernelSays(part_.in_words, [&] {
      BRepClass3d_SolidClassifier classifier(part_.solid);
      for (int i = 0; i <= kRimPoints && is_in; ++i) {
        const double radius = i == kRimPoints ? 0 : hole.diameter_mm / 2 + kBeyondRimMm;
        const double angle = 2 * std::numbers::pi * i / kRimPoints;
        Vec3 at = middle;
        at[frame_.along] += radius * std::cos(angle);
        at[frame_.acrossAxis(hole.wall)] += radius * std::sin(angle);
        classifier.Perform(pointOf(at), kTolerance);
        is_in = classifier.State() == TopAbs_IN;
      }
    });
    return is_in;
  }

  /// Rear first, then what looks down, then sides, then what holds rain; the front last of all. A
  /// post bends most across the gate: at its foot its sides, near the neutral axis, come first.
  int rankOf(Wall wall, std::size_t i) const {
    const Vec3 out = frame_.outward(wall);
    const gp_Vec way = gp_Vec(out[0], out[1], out[2]).Transformed(placeOf(i));
    const bool is_post = part_.kind == PartKind::kGuidePost || part_.kind == PartKind::kCatchPost;
    constexpr int kRear = 1, kUnder = 2, kSide = 3, kTop = 4;
    if (std::abs(way.Y()) > 0.5) {
      return way.Y() > 0 ? kRear : kFront;
    }
    if (std::abs(way.Z()) > 0.5) {
      return way.Z() < 0 ? kUnder : kTop;
    }
    return is_post ? 0 : kSide;
  }

  VentHole holeAt(int end, Wall wall, double diameter, double across, double off) const {
    const double r = diameter / 2;
    const double h = isAcrossDepth(wall) ? across : isHigh(wall) ? frame_.section.height_mm : 0;
    const double lean = isAcrossDepth(wall) ? std::abs(frame_.slope[end]) * r : 0;
    const double t = frame_.endAt(end, h) + (end == 0 ? 1 : -1) * (lean + off + r);
    return {wall, t - frame_.box.low[frame_.along], across, diameter,
            frame_.onWall(wall, t, across)};
  }

  /// Free places of a hole in one wall: in its middle, and as far to either side as it goes.
  std::vector<Place> placesIn(int end, Wall wall, double diameter, bool only_middle) const {
    std::vector<Place> places;
    const double middle = frame_.width(wall) / 2;
    const double room = middle - cornerRadii(frame_.section).outer_mm - kOffCornerMm - diameter / 2;
    if (room < -kLengthEqualMm) {
      return places;
    }
    const double aside =
        only_middle ? 0 : std::floor(std::max(0.0, room) / kOffMiddleStepMm) * kOffMiddleStepMm;
    for (const double off_middle : {-aside, aside, 0.0}) {
      for (const double off : kOffEndMm) {
        const VentHole hole = holeAt(end, wall, diameter, middle + off_middle, off);
        if (fits(end, hole) && isFreeEverywhere(hole) && isInWall(hole)) {
          places.push_back({hole, worstRank(wall)});
          break;
        }
      }
      if (aside == 0) {
        break;
      }
    }
    return places;
  }

  /// Short pieces: it does not reach the weld of the other end.
  bool fits(int end, const VentHole& hole) const {
    const double reach = hole.diameter_mm / 2 + kOffEndMm[0];
    const double h = frame_.section.height_mm;
    const double t = hole.centre_mm[frame_.along];
    return end == 0 ? t + reach < std::min(frame_.endAt(1, 0), frame_.endAt(1, h))
                    : t - reach > std::max(frame_.endAt(0, 0), frame_.endAt(0, h));
  }

  bool isFreeEverywhere(const VentHole& hole) const {
    for (std::size_t i = 0; i < placed_.size(); ++i) {
      if (!isFree(hole, i)) {
        return false;
      }
    }
    return true;
  }

  int worstRank(Wall wall) const {
    int worst = 0;
    for (std::size_t i = 0; i < placed_.size(); ++i) {
      worst = std::max(worst, rankOf(wall, i));
    }
    return worst;
  }

  std::vector<Choice> choicesAt(int end) const {
    constexpr double kSeveral = 10;  // fewer and larger holes come first, hidden ones before that
    std::vector<Choice> choices;
    for (const int number : {1, 2, 4}) {
      const double diameter = leastVent_mm(frame_.section, part_.length_mm, number);
      if (diameter <= 0) {
        continue;
      }
      std::vector<std::vector<Place>> by_wall;
      for (const Wall wall : kWalls) {
        by_wall.push_back(placesIn(end, wall, diameter, number > 1));
      }
      for (unsigned walls = 1; walls < 16; ++walls) {
        addChoices(by_wall, walls, number, (number - 1) * kSeveral, choices);
      }
    }
    return choices;
  }

  /// One hole in each of the walls whose bits are set, where that is as many as asked for.
  static void addChoices(const std::vector<std::vector<Place>>& by_wall, unsigned walls, int number,
                         double cost, std::vector<Choice>& choices) {
    std::vector<Choice> made = {Choice{{}, cost}};
    for (unsigned wall = 0; wall < by_wall.size(); ++wall) {
      if ((walls >> wall & 1U) == 0) {
        continue;
      }
      std::vector<Choice> longer;
      for (const Choice& choice : made) {
        for (const Place& place : by_wall[wall]) {
          longer.push_back(choice);
          longer.back().places.push_back(place);
          longer.back().cost += place.rank;
        }
      }
      made = std::move(longer);
    }
    for (Choice& choice : made) {
      if (static_cast<int>(choice.places.size()) == number) {
        choices.push_back(std::move(choice));
      }
    }
  }

  Vec3 middleOf(const Choice& choice) const {
    Vec3 sum{};
    for (const Place& place : choice.places) {
      sum = plus(sum, place.hole.centre_mm, 1.0 / static_cast<double>(choice.places.size()));
    }
    sum[frame_.along] = 0;
    return sum;
  }

  bool areApart(const Choice& one, const Choice& other) const {
    for (const Place& a : one.places) {
      for (const Place& b : other.places) {
        const double apart = std::abs(a.hole.along_mm - b.hole.along_mm) -
                             (a.hole.diameter_mm + b.hole.diameter_mm) / 2;
        if (a.hole.wall == b.hole.wall && apart < kOffEndMm[0]) {
          return false;
        }
      }
    }
    return true;
  }

  void take(const std::array<std::vector<Choice>, 2>& choices) {
    constexpr double kPerMm = 1e-3;  // across the section: less than any rank
    const Choice none;
    const Choice* best[2] = {nullptr, nullptr};
    double least = std::numeric_limits<double>::infinity();
    const auto listed = [&](int end) {
      std::vector<const Choice*> all;
      for (const Choice& choice : choices[end]) {
        all.push_back(&choice);
      }
      return all.empty() ? std::vector<const Choice*>{&none} : all;
    };
    for (const Choice* low : listed(0)) {
      for (const Choice* high : listed(1)) {
        const bool both = !low->places.empty() && !high->places.empty();
        const double apart = both ? norm(minus(middleOf(*low), middleOf(*high))) : 0;
        const double cost = low->cost + high->cost - apart * kPerMm;
        if (cost < least && areApart(*low, *high)) {
          least = cost;
          best[0] = low;
          best[1] = high;
        }
      }
    }
    if (best[0] == nullptr) {  // too short for both: one end's serve
      plan_.unvented.push_back(endName(1));
      best[0] = &*std::min_element(choices[0].begin(), choices[0].end(),
                                   [](const auto& p, const auto& q) { return p.cost < q.cost; });
      best[1] = &none;
    }
    for (const Choice* choice : best) {
      for (const Place& place : choice->places) {
        plan_.holes.push_back(place.hole);
      }
    }
  }

  std::string endName(int end) const {
    constexpr const char* kNames[3][2] = {
        {"leading end", "trailing end"}, {"front end", "rear end"}, {"lower end", "upper end"}};
    return kNames[frame_.along][end];
  }

  const Model& model_;
  const Part& part_;
  const TubeFrame& frame_;
  const std::vector<int>& placed_;
  std::vector<std::vector<Neighbour>> beside_;  ///< by instance, as `placed_`
  bool is_cut_ = false;
  PartVents plan_;
};

}  // namespace

std::vector<PartVents> planVents(const Model& model) {
  std::set<std::pair<int, int>> welds;
  for (const Contact& contact : model.contacts) {
    if (contact.kind == ContactKind::kWelded) {
      welds.insert(std::minmax(contact.a, contact.b));
    }
  }
  std::vector<std::vector<int>> placed(model.parts.size());
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    placed[model.instances[i].part].push_back(i);
  }
  std::vector<PartVents> plans(model.parts.size());
  inParallel(static_cast<int>(plans.size()), [&](int i) {
    const Part& part = model.parts[i];
    plans[i].part = i;
    if (!part.tube || part.material != "steel" || part.kind == PartKind::kBottomRail ||
        placed[i].empty()) {
      return;
    }
    if (const auto frame = frameOf(part)) {
      plans[i] = PartPlanner(model, i, *frame, placed[i], welds).plan();
    }
  });
  std::erase_if(plans,
                [](const PartVents& plan) { return plan.holes.empty() && plan.unvented.empty(); });
  return plans;
}

std::string ventInWords(const Part& part, const VentHole& vent) {
  const TubeFrame frame = frameOf(part).value();
  constexpr const char* kNames[3][2] = {
      {"leading side", "trailing side"}, {"front", "rear"}, {"underside", "top"}};
  constexpr const char* kEnds[3] = {"leading end", "front end", "lower end"};
  return "vent hole dia " + shown(vent.diameter_mm) + " in the " +
         kNames[frame.axisOf(vent.wall)][isHigh(vent.wall) ? 1 : 0] + " at " +
         shown(vent.along_mm) + " from the " + kEnds[frame.along] + ", " + shown(vent.across_mm) +
         " from the " + kNames[frame.acrossAxis(vent.wall)][0];
}

std::vector<TopoDS_Shape> ventTools(const Part& part) {
  constexpr double kBeyondMm = 1;  // past both faces of the wall
  constexpr Plane kSquareTo[] = {Plane::kYZ, Plane::kXZ, Plane::kXY};
  const TubeFrame frame = frameOf(part).value();
  std::vector<TopoDS_Shape> tools;
  for (const VentHole& vent : part.vents) {
    const int axis = frame.axisOf(vent.wall);
    const double face = vent.centre_mm[axis];
    const double out = isHigh(vent.wall) ? 1 : -1;
    const double ends[2] = {face + out * kBeyondMm,
                            face - out * (frame.section.wall_mm + kBeyondMm)};
    const Point2 centre{vent.centre_mm[axis == 0 ? 1 : 0], vent.centre_mm[axis == 2 ? 1 : 2]};
    tools.push_back(prism(kSquareTo[axis], Outline::circle(centre, vent.diameter_mm / 2),
                          {std::min(ends[0], ends[1]), std::max(ends[0], ends[1])}));
  }
  return tools;
}

}  // namespace leafstack
