// The clash check against the Flexible Collision Library, position by position through the travel.
//
// Nothing but the model is shared: the kernel's own mesher makes the triangles, FCL's box trees and
// triangle routines measure them. FCL knows surfaces only, so of a part wholly inside another it
// sees nothing: the faults below all cut surfaces, and the last test shows what it would miss.
// Source: Pan, Chitta, Manocha, "FCL: A general purpose library for collision and proximity
// queries", ICRA 2012; here version 0.7.
#include <fcl/narrowphase/collision.h>
#include <fcl/narrowphase/distance.h>
#include <gtest/gtest.h>

#include <BRepClass3d_SolidClassifier.hxx>
#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "generator/clash/findings/findings.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/report/clash.h"
#include "generator/clash/report/finding_part.h"
#include "generator/occt/checked.h"
#include "tests/clash/fcl_surface.h"
#include "tests/support/built_gates.h"
#include "tests/support/random_gates.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

// Pairs whose bounds never come nearer are of no interest: the largest clearance asked by default.
constexpr double kNearMm = 15;
// Drive travel from one position to the next.
constexpr double kStepMm = 1;
// A rope's strands change their length, so it is meshed anew at every position: fewer of them.
constexpr int kRopeSteps = 4;
// Coordinates of some metres in doubles, through a few dozen operations.
constexpr double kRoundingMm = 1e-6;
// How closely the ends of a contact have to agree: a chord error's worth where round parts graze.
constexpr double kEndMm = 0.1;

/// A gate as FCL sees it.
class FclGate {
 public:
  explicit FclGate(const Model& model) : model_(model), of_part_(model.parts.size()) {
    for (const RopeRun& run : model.ropes) {
      ropes_[run.instance] = &run;
    }
    for (const Contact& contact : model.contacts) {
      declared_.insert(std::minmax(contact.a, contact.b));
    }
  }

  bool isRope(int instance) const { return ropes_.count(instance) > 0; }
  bool isDeclared(int a, int b) const { return declared_.count(std::minmax(a, b)) > 0; }

  /// Distance of the two instances' bounds at one position; a rope's are good across the track
  /// only.
  /// Is one of them wholly inside the other? The kernel says where a corner lies.
  bool isInside(int a, int b, double drive_mm) const {
    const auto holds = [&](int outer, int other) {
      const Instance& body = model_.instances[outer];
      const double shift = model_.shiftMm(model_.instances[other].panel, drive_mm) -
                           model_.shiftMm(body.panel, drive_mm);
      const Bounds inner = boxOf(other);
      for (int axis = 0; axis < 3; ++axis) {
        const double moved = axis == 0 ? shift : 0;
        if (inner.low[axis] + moved < body.bounds.low[axis] ||
            inner.high[axis] + moved > body.bounds.high[axis]) {
          return false;
        }
      }
      return !isRope(other) && hasCornerOf(outer, other, drive_mm);
    };
    return holds(a, b) || holds(b, a);
  }

  double boxDistanceAt(int a, int b, double drive_mm) const {
    const Instance& one = model_.instances[a];
    const Instance& other = model_.instances[b];
    const double shift =
        model_.shiftMm(other.panel, drive_mm) - model_.shiftMm(one.panel, drive_mm);
    const Bounds p = boxOf(a);
    const Bounds q = boxOf(b);
    double squared = 0;
    for (int axis = isRope(a) || isRope(b) ? 1 : 0; axis < 3; ++axis) {
      const double moved = axis == 0 ? shift : 0;
      const double gap =
          std::max({0.0, p.low[axis] - q.high[axis] - moved, q.low[axis] + moved - p.high[axis]});
      squared += gap * gap;
    }
    return std::sqrt(squared);
  }

  /// Distance of the surfaces, or `enough_mm` where it is more; 0 or less where they cross.
  double distanceAt(int a, int b, double drive_mm, double enough_mm) {
    fcl::DistanceResultd result(enough_mm);
    fcl::distance(&surface(a, drive_mm).triangles, placeOf(a, drive_mm),
                  &surface(b, drive_mm).triangles, placeOf(b, drive_mm), fcl::DistanceRequestd(),
                  result);
    return result.min_distance;
  }

  bool collideAt(int a, int b, double drive_mm) {
    fcl::CollisionResultd result;
    return fcl::collide(&surface(a, drive_mm).triangles, placeOf(a, drive_mm),
                        &surface(b, drive_mm).triangles, placeOf(b, drive_mm),
                        fcl::CollisionRequestd(), result) > 0;
  }

  double errorMm(int a, int b) {
    return surface(a, 0).error_mm + surface(b, 0).error_mm + kRoundingMm;
  }

  /// Positions to look at: closed alone for a pair that stands still, some for ropes, else steps.
  std::vector<double> positions(int a, int b) const {
    const double travel = model_.layout.drive_travel_mm;
    const bool rope = isRope(a) || isRope(b);
    if (!rope && model_.instances[a].panel == model_.instances[b].panel) {
      return {0};
    }
    std::vector<double> all;
    const int steps = rope ? kRopeSteps : static_cast<int>(std::ceil(travel / kStepMm));
    for (int i = 0; i <= steps; ++i) {
      all.push_back(rope ? travel * i / steps : std::min(i * kStepMm, travel));
    }
    return all;
  }

 private:
  fcl::Transform3d placeOf(int instance, double drive_mm) const {
    const gp_Trsf at = locationAt(model_, model_.instances[instance], drive_mm).Transformation();
    fcl::Transform3d place = fcl::Transform3d::Identity();
    for (int row = 0; row < 3; ++row) {
      for (int column = 0; column < 4; ++column) {
        place(row, column) = at.Value(row + 1, column + 1);
      }
    }
    return place;
  }

  bool hasCornerOf(int outer, int other, double drive_mm) const {
    const auto placed = [&](int instance) {
      const Instance& one = model_.instances[instance];
      return taken(model_.parts[one.part]).Moved(locationAt(model_, one, drive_mm));
    };
    const TopExp_Explorer corner(placed(other), TopAbs_VERTEX);
    BRepClass3d_SolidClassifier where(placed(outer));
    where.Perform(BRep_Tool::Pnt(TopoDS::Vertex(corner.Current())), kRoundingMm);
    return where.State() == TopAbs_IN;
  }

  /// Wherever its adjuster may stand.
  static const TopoDS_Shape& taken(const Part& part) {
    return part.reach ? part.reach->solid : part.solid;
  }
  Bounds boxOf(int instance) const {
    const Instance& one = model_.instances[instance];
    const Part& part = model_.parts[one.part];
    return part.reach ? movedBounds(part.reach->bounds, one.at_closed) : one.bounds;
  }

  const Surface& surface(int instance, double drive_mm) {
    const int part = model_.instances[instance].part;
    auto& slot = isRope(instance) ? of_rope_[{instance, drive_mm}] : of_part_[part];
    if (!slot) {
      slot = surfaceOf(isRope(instance) ? ropeSolidAt(model_, *ropes_.at(instance), drive_mm)
                                        : taken(model_.parts[part]));
    }
    return *slot;
  }

  const Model& model_;
  std::vector<std::shared_ptr<Surface>> of_part_;
  std::map<int, const RopeRun*> ropes_;
  std::map<std::pair<int, double>, std::shared_ptr<Surface>> of_rope_;
  std::set<std::pair<int, int>> declared_;
};

using gates::modelWith;

// ---------------------------------------------------------------- distances

/// Every undeclared pair of one gate that moves: what FCL measures against what was proved.
class DistanceCheck {
 public:
  explicit DistanceCheck(const Model& model) : model_(model), fcl_(model), shapes_(model) {}

  void run() {
    const int count = static_cast<int>(model_.instances.size());
    for (int a = 0; a < count; ++a) {
      for (int b = a + 1; b < count; ++b) {
        const bool moves = model_.instances[a].panel != model_.instances[b].panel;
        if (moves && !fcl_.isDeclared(a, b)) {
          checkPair(a, b);
        }
      }
    }
  }

  int pairs = 0, positions = 0;

 private:
  void checkPair(int a, int b) {
    double nearest = kNearMm;
    double at = 0;
    int looked = 0;
    for (double drive : fcl_.positions(a, b)) {
      if (fcl_.boxDistanceAt(a, b, drive) <= kNearMm) {
        ++looked;
        const double distance = fcl_.distanceAt(a, b, drive, kNearMm);
        at = distance < nearest ? drive : at;
        nearest = std::min(nearest, distance);
      }
    }
    if (looked > 0) {
      ++pairs;
      positions += looked;
      SCOPED_TRACE(model_.instanceName(a) + " and " + model_.instanceName(b) + ", FCL's least at " +
                   std::to_string(at));
      compare(a, b, nearest);
    }
  }

  void compare(int a, int b, double nearest) {
    const Clearance proved =
        leastBetween(shapes_, {a, b}, {0, model_.layout.drive_travel_mm}, {kNearMm});
    const double error = fcl_.errorMm(a, b);
    // The least over all positions is no less than this, so none of them is.
    EXPECT_GE(nearest, proved.at_least_mm - error);
    if (proved.clearance_mm > kNearMm) {
      EXPECT_EQ(nearest, kNearMm);
      return;
    }
    const bool rope = fcl_.isRope(a) || fcl_.isRope(b);
    const double there = fcl_.distanceAt(a, b, proved.at_mm, kNearMm + error);
    EXPECT_GE(there, proved.clearance_mm - proved.error_mm - error);
    EXPECT_LE(there, proved.clearance_mm + proved.error_mm + error);
    if (!rope) {
      const double per_mm = norm(*shapes_.velocitySeenFrom(a, b));
      EXPECT_LE(nearest, proved.clearance_mm + proved.error_mm + error + per_mm * kStepMm / 2);
    }
  }

  const Model& model_;
  FclGate fcl_;
  PlacedShapes shapes_;
};

void checkDistances(gates::Changes changes) {
  const Model model = modelWith(changes);
  DistanceCheck check(model);
  check.run();
  EXPECT_GT(check.pairs, 50);
  EXPECT_GT(check.positions, 20000);
}

TEST(ClashByFcl, DistancesOfThreePanelsWithBoards) {
  checkDistances(
      {{"/site/opening_mm", 3000}, {"/gate/panels", 3}, {"/gate/cladding/kind", "boards"}});
}

TEST(ClashByFcl, DistancesOfALeftHandStaggeredGate) {
  checkDistances({{"/site/opening_mm", 3000},
                  {"/gate/panels", 2},
                  {"/site/opens", "left"},
                  {"/gate/stacking", "staggered"}});
}

TEST(ClashByFcl, DistancesUnderAnOverheadGuide) {
  checkDistances({{"/site/opening_mm", 3000}, {"/gate/panels", 2}, {"/guides/mount", "overhead"}});
}

// ---------------------------------------------------------------- where they collide

using GroupKey = std::array<std::string, 2>;

GroupKey keyOf(const FindingPart& a, const FindingPart& b) {
  const std::string one = a.mark + "@" + std::to_string(a.panel);
  const std::string other = b.mark + "@" + std::to_string(b.panel);
  return {std::min(one, other), std::max(one, other)};
}

bool isCovered(const std::vector<Stretch>& stretches, double at, double grown_mm) {
  return std::any_of(stretches.begin(), stretches.end(), [&](const Stretch& one) {
    const double half = (one.to_mm - one.from_mm) / 2;
    const double grown = std::max(grown_mm, -half);  // a point stays a point
    return at >= one.from_mm - grown - kRoundingMm && at <= one.to_mm + grown + kRoundingMm;
  });
}

/// A gate with a fault: where FCL sees undeclared pairs meet, and what the report says.
class MeetingCheck {
 public:
  explicit MeetingCheck(const Model& model)
      : model_(model), fcl_(model), report_(checkClashes(model)) {
    for (const Finding& finding : report_.findings) {
      const bool meets = finding.finding_class == FindingClass::kPenetration ||
                         finding.finding_class == FindingClass::kTouch;
      if (meets && !fcl_.isDeclared(finding.instance_a, finding.instance_b)) {
        reported_[keyOf(finding.a, finding.b)] = &finding;
      }
    }
  }

  void run() {
    const int count = static_cast<int>(model_.instances.size());
    for (int a = 0; a < count; ++a) {
      for (int b = a + 1; b < count; ++b) {
        if (!fcl_.isDeclared(a, b)) {
          lookAt(a, b);
        }
      }
    }
    for (const auto& [key, positions] : met_) {
      compare(key, positions);
    }
  }

  /// Reported contacts between these two parts' names; 0 where there are none.
  int reported(const std::string& one, const std::string& other) const {
    return static_cast<int>(
        std::count_if(reported_.begin(), reported_.end(), [&](const auto& entry) {
          const Finding& finding = *entry.second;
          return (finding.a.name == one && finding.b.name == other) ||
                 (finding.a.name == other && finding.b.name == one);
        }));
  }

 private:
  std::vector<Stretch> stretchesOf(const GroupKey& key) const {
    const auto found = reported_.find(key);
    return found == reported_.end() ? std::vector<Stretch>{} : found->second->stretches_mm;
  }

  void lookAt(int a, int b) {
    if (!canMeet(a, b)) {
      return;
    }
    const GroupKey key = keyOf(describe(model_, a), describe(model_, b));
    std::vector<double> positions = fcl_.positions(a, b);
    if (positions.size() > 1) {
      for (const Stretch& one : stretchesOf(key)) {
        positions.insert(positions.end(), {one.from_mm - 2 * kEndMm, one.from_mm + 2 * kEndMm,
                                           one.to_mm - 2 * kEndMm, one.to_mm + 2 * kEndMm});
      }
    }
    for (double drive : positions) {
      if (drive >= 0 && drive <= model_.layout.drive_travel_mm) {
        const bool now = meets(a, b, drive);
        bool& known = met_[key][drive];
        known = known || now;
      }
    }
  }

  bool canMeet(int a, int b) const {
    const std::vector<double> positions = fcl_.positions(a, b);
    return std::any_of(positions.begin(), positions.end(),
                       [&](double drive) { return fcl_.boxDistanceAt(a, b, drive) <= kTouchMm; });
  }

  bool meets(int a, int b, double drive) {
    if (fcl_.boxDistanceAt(a, b, drive) > kTouchMm) {
      return false;
    }
    // Surfaces say nothing of what is wholly inside another part.
    if (fcl_.isInside(a, b, drive)) {
      return true;
    }
    const double touch = kTouchMm + fcl_.errorMm(a, b);
    return fcl_.distanceAt(a, b, drive, 2 * touch) <= touch;
  }

  void compare(const GroupKey& key, const std::map<double, bool>& positions) {
    SCOPED_TRACE(key[0] + " and " + key[1]);
    const std::vector<Stretch> stretches = stretchesOf(key);
    for (const auto& [drive, is_met] : positions) {
      if (is_met) {
        EXPECT_TRUE(isCovered(stretches, drive, kEndMm)) << "FCL sees them meet at " << drive;
      } else {
        EXPECT_FALSE(isCovered(stretches, drive, -kEndMm)) << "FCL sees them apart at " << drive;
      }
    }
    const auto found = reported_.find(key);
    if (found != reported_.end() && found->second->finding_class == FindingClass::kPenetration) {
      const Finding& finding = *found->second;
      EXPECT_TRUE(fcl_.collideAt(finding.instance_a, finding.instance_b, finding.worst_at_mm) ||
                  fcl_.isInside(finding.instance_a, finding.instance_b, finding.worst_at_mm));
    }
  }

  const Model& model_;
  FclGate fcl_;
  ClashReport report_;
  std::map<GroupKey, const Finding*> reported_;
  std::map<GroupKey, std::map<double, bool>> met_;
};

std::vector<int> instancesOf(const Model& model, PartKind kind, int panel) {
  std::vector<int> found;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    if (model.instances[i].panel == panel && model.parts[model.instances[i].part].kind == kind) {
      found.push_back(i);
    }
  }
  return found;
}

TEST(ClashByFcl, FencePostInTheGatesWay) {
  Model model = modelWith({{"/site/opening_mm", 3000},
                           {"/gate/panels", 2},
                           {"/site/opens", "left"},
                           {"/gate/stacking", "staggered"}});
  // As far as the pickets, and not so far that a spacer sleeve is wholly within the post.
  shift(model, instancesOf(model, PartKind::kFencePost, 0).at(1), {0, 29, 0});
  MeetingCheck check(model);
  check.run();
  EXPECT_EQ(check.reported("picket", "fence post"), 1);
  EXPECT_EQ(check.reported("wheel axle", "fence post"), 1);
}

TEST(ClashByFcl, BoardsProudOfTheirPanels) {
  Model model = modelWith(
      {{"/site/opening_mm", 3000}, {"/gate/panels", 3}, {"/gate/cladding/kind", "boards"}});
  for (int panel : {1, 2, 3}) {
    shift(model, instancesOf(model, PartKind::kBoard, panel).at(2), {0, -40, 0});
  }
  MeetingCheck check(model);
  check.run();
  EXPECT_EQ(check.reported("board", "guide rail"), 2);
  EXPECT_EQ(check.reported("board", "fence post"), 1);
}

TEST(ClashByFcl, PulleyRaisedIntoItsRail) {
  Model model = modelWith({{"/site/opening_mm", 3000}, {"/gate/panels", 2}});
  shift(model, instancesOf(model, PartKind::kPulley, 1).at(0), {0, 0, 18});
  MeetingCheck check(model);
  check.run();
  EXPECT_EQ(check.reported("rope pulley", "bottom rail"), 1);
}

TEST(ClashByFcl, EndStopInTheRunningGearsWay) {
  Model model = modelWith({{"/site/opening_mm", 3000}, {"/gate/panels", 2}});
  shift(model, instancesOf(model, PartKind::kEndStop, 0).at(0), {-300, 0, 0});
  MeetingCheck check(model);
  check.run();
  EXPECT_EQ(check.reported("track wheel", "end stop"), 1);
  EXPECT_EQ(check.reported("opening rope", "end stop"), 1);
}

TEST(ClashByFcl, SeesNothingOfAPartWhollyInsideAnother) {
  Model model = modelWith({{"/gate/panels", 1}});
  const int wheel = instancesOf(model, PartKind::kWheel, 1).at(0);
  const int footing = instancesOf(model, PartKind::kFooting, 0).at(0);
  const Bounds ground = model.instances[footing].bounds;
  shift(model, wheel, {0, 0, ground.low[2] + 50 - model.instances[wheel].bounds.low[2]});
  const ClashReport report = checkClashes(model);
  const auto found =
      std::find_if(report.findings.begin(), report.findings.end(), [&](const Finding& finding) {
        return finding.finding_class == FindingClass::kPenetration &&
               std::minmax(finding.instance_a, finding.instance_b) == std::minmax(wheel, footing);
      });
  ASSERT_NE(found, report.findings.end());
  const double middle = (found->fromMm() + found->toMm()) / 2;
  EXPECT_FALSE(FclGate(model).collideAt(wheel, footing, middle));
}

}  // namespace
}  // namespace leafstack
