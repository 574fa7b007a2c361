// A model's instances as the sweep takes them: trees of convex pieces, where they stand at closed,
// and how they move.
//
// Frames: the gate's, which is the model's (model.h), and each instance's own, which stands where
// the instance does and leans with it: turned about Y by up to 45 degrees, so that what is long and
// leans has boxes that fit. Any other turn of an instance is in its tree.
#pragma once

#include <array>
#include <atomic>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "generator/clash/placed/body_motions.h"
#include "generator/clash/placed/rope_over_travel.h"
#include "generator/geometry/made_once.h"
#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/moving/sweep.h"
#include "generator/model/model.h"
#include "generator/model/rope_play.h"

namespace leafstack {

/// How finely round surfaces are meshed. Every level is as true as its error says; finer ones are
/// made only for the pairs whose verdict hangs on it.
enum class Fineness { kCoarse, kFine, kFinest };
inline constexpr std::array<double, 3> kDeflectionsMm = {0.05, 0.01, 0.0005};

/// How far straight stretches of a motion that is not straight may deviate at each fineness: less
/// than half of what round surfaces may err at the same, so that it is meshes that verdicts hang
/// on.
inline constexpr std::array<double, 3> kDeviationsMm = {0.02, 0.005, 0.0005};

/// By how much thinnerBodies() are thinner: more than twice what both parts' coarse meshes err,
/// once for the faces that seem to cross and once for the proof.
inline constexpr double kThinnerMm = 0.25;

/// One body of an instance: all of it, except for a rope, which is two strands, their two ends,
/// which are cut square, and a half turn.
struct Body {
  const HullTree* tree = nullptr;
  Placement place;  ///< of its instance's own frame, which is the tree's, in the gate's at closed
};

/// Places of a rope's strands among its bodies; the end of each comes next.
inline constexpr int kFrontStrand = 0, kRearStrand = 3;

struct SharedSolid;
struct ShapeStore;

/// May be asked by several threads at once; what is made on first use is made once.
class PlacedShapes {
 public:
  /// `model` and `store`, whose meshes are used where there is one, must outlive it.
  explicit PlacedShapes(const Model& model, ShapeStore* store = nullptr);

  const Model& model() const { return model_; }
  /// Bounds at closed, in the gate's frame; a rope's cover both ends of the travel.
  const Bounds& bounds(int instance) const { return bounds_[instance]; }
  bool isRope(int instance) const { return rope_of_[instance] >= 0; }
  const RopeRun& ropeRun(int instance) const { return model_.ropes[rope_of_[instance]]; }
  PartKind kindOf(int instance) const { return model_.parts[model_.instances[instance].part].kind; }
  int bodyOf(int instance) const { return model_.instances[instance].body; }
  bool isOneBody(int a, int b) const { return bodyOf(a) == bodyOf(b); }

  /// Do they change their places to each other, or their shapes, as the gate moves?
  bool changes(int a, int b) const { return !isOneBody(a, b) || isRope(a) || isRope(b); }
  /// Alike for pairs of the same two parts that stand alike to each other, to a thousandth of a mm.
  using PlaceKey = std::array<long long, 7>;
  PlaceKey placeKey(int a, int b) const;

  /// All that a verdict on two instances follows from, bit by bit; "" where it is not to be kept
  /// (kept.h). Of one body, how they stand to each other is all; else where they stand and
  /// how they go.
  std::string exactKey(int a, int b) const;

  /// The bodies an instance is made of; stay valid as long as this object. A rope's are its front
  /// strand, that one's end, its half turn, its rear strand and the end of that.
  std::vector<Body> bodies(int instance, Fineness fineness);
  /// The same, every surface drawn in by kThinnerMm.
  std::vector<Body> thinnerBodies(int instance, Fineness fineness);
  /// Mesh of an instance that is no rope, in its own frame.
  const TriangleMesh& mesh(int instance, Fineness fineness);

  /// Own frame of an instance in the gate's, at closed; the instance's bounds in it, a rope's over
  /// the whole travel.
  const Placement& place(int instance) const { return places_[instance]; }
  const Bounds& ownBounds(int instance) const { return own_bounds_[instance]; }
  /// No point of the instance is further from its body's pivot, in the XZ plane; 0 where everything
  /// goes straight, when it does not matter.
  double reachMm(int instance) const;
  /// The same from a point of the gate's frame, at closed, straight motions or not.
  double reachFrom(int instance, const Vec3& point) const;
  /// A solid of revolution about the axis across the track through its own frame's origin; false of
  /// any where everything goes straight, when it does not matter.
  bool isRound(int instance) const { return is_round_[instance]; }
  const BodyMotions& motions() const { return motions_; }
  /// What the drive's travel does to `b` as seen from `a`, both in the gate's frame at closed.
  BodyMotion motion(int a, int b) const {
    return motions_.motion(bodyOf(a), bodyOf(b), reachMm(b));
  }
  /// From b's own frame to a's own at `drive_mm`.
  Placement seenFrom(int a, int b, double drive_mm) const;
  /// b's bounds in a's own frame, at closed.
  Bounds boundsSeenFrom(int a, int b) const;
  /// How b goes in a's own frame, mm for every mm of drive travel; none where it does not go
  /// straight.
  std::optional<Vec3> velocitySeenFrom(int a, int b) const;
  bool leanAlike(int a, int b) const {
    return places_[a].cos == places_[b].cos && places_[a].sin == places_[b].sin;
  }
  /// From the instance's own frame to the gate's at `drive_mm`.
  Placement standing(int instance, double drive_mm) const {
    return combined(motions_.at(bodyOf(instance), drive_mm), places_[instance]);
  }
  /// Both strands of a rope have length at every position.
  bool ropeNeverRunsOut(int instance) const { return !ropes_run_out_[rope_of_[instance]]; }
  /// Most that a rope is out of line, at either end, with the groove or stud that holds it.
  double ropeBendDeg(int instance) const { return ropes_bend_deg_[rope_of_[instance]]; }
  /// How far two instances may stand to each other from where they are drawn.
  Vec3 playBetween(int a, int b) const { return play_.between(a, b); }
  /// The solid where it is at `drive_mm`, for the kernel.
  TopoDS_Shape shapeAt(int instance, double drive_mm) const;
  /// What the kernel says that both share at `drive_mm`.
  SharedSolid sharedAt(int a, int b, double drive_mm) const;

 private:
  using MeshKey = std::array<int, 3>;  ///< part, turn, fineness
  MeshKey keyOf(int instance, Fineness fineness) const;
  std::string storeKey(int instance, Fineness fineness) const;
  void addInstance(const Instance& instance);
  void addRope(int index);

  const Model& model_;
  ShapeStore* store_;
  BodyMotions motions_;
  RopePlay play_;
  std::vector<Bounds> bounds_, own_bounds_;
  std::vector<Placement> places_;
  std::vector<int> rope_of_;
  std::vector<RopeTrees> ropes_;
  std::vector<gp_Trsf> turns_;  ///< in own frames
  std::vector<int> turn_of_;    ///< by instance: parts turned differently have meshes of their own
  std::vector<bool> is_round_;
  std::map<std::array<int, 2>, bool> known_round_;  ///< by part and turn
  /// Of its own, or the store's.
  template <class Value>
  using Slot = MadeOnce<std::shared_ptr<const Value>>;
  template <class Value>
  Slot<Value>& slotOf(std::map<MeshKey, Slot<Value>>& slots, const MeshKey& key) {
    const std::lock_guard lock(mutex_);
    return slots[key];
  }
  std::mutex mutex_;  ///< of both maps, not of what their slots hold
  std::map<MeshKey, Slot<TriangleMesh>> meshes_;
  /// Of meshes_, by instance and fineness: asked so often that threads would wait for the mutex.
  std::vector<std::atomic<const TriangleMesh*>> known_meshes_;
  std::map<MeshKey, Slot<HullTree>> thinner_;
  std::vector<RopeTrees> thinner_ropes_;
  std::vector<bool> ropes_run_out_;
  std::vector<double> ropes_bend_deg_;
};

/// Two instances to be compared.
struct PairQuery {
  int a = 0, b = 0;
  Fineness fineness = Fineness::kCoarse;
  bool is_thinner = false;   ///< `a` with its surfaces drawn in
  Vec3 shift{};              ///< `b` stands this far out of its place, along a's own axes
  Vec3 free{};               ///< and may be this much further, either way, along the gate's axes
  Effort* effort = nullptr;  ///< what searches may take; none: unbounded
};

/// leastClearance() of two instances, points in the gate's frame as they are at `at_mm`.
Clearance leastBetween(PlacedShapes& shapes, const PairQuery& query, const Stretch& stretch,
                       const Wanted& wanted);

/// stretchesBelow() of two instances.
std::vector<Stretch> stretchesBetween(PlacedShapes& shapes, const PairQuery& query,
                                      const Stretch& stretch, double limit_mm, Reading reading);

/// Does one lie inside the other at `drive_mm`? Asked only where their surfaces do not cross, when
/// one point tells for all.
bool isInside(PlacedShapes& shapes, const PairQuery& query, double drive_mm);

}  // namespace leafstack
