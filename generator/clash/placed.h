// A model's instances as the sweep takes them: trees of convex pieces, where they stand at closed,
// and how they move.
#pragma once

#include <array>
#include <map>
#include <memory>
#include <vector>

#include "generator/clash/mesh.h"
#include "generator/clash/sweep.h"
#include "generator/model.h"

namespace leafstack {

/// How finely round surfaces are meshed. Every level is as true as its error says; finer ones are
/// made only for the pairs whose verdict hangs on it.
enum class Fineness { kCoarse, kFine, kFinest };
inline constexpr std::array<double, 3> kDeflectionsMm = {0.05, 0.01, 0.0005};

/// By how much thinnerBodies() are thinner: more than twice what both parts' coarse meshes err,
/// once for the faces that seem to cross and once for the proof.
inline constexpr double kThinnerMm = 0.25;

/// One body of an instance: all of it, except for a rope, which is two strands, their two ends,
/// which are cut square, and a half turn.
struct Body {
  const HullTree* tree = nullptr;
  Vec3 at{};  ///< of the tree's frame in the gate's, at closed
};

class PlacedShapes {
 public:
  /// `model` must outlive it.
  explicit PlacedShapes(const Model& model);

  const Model& model() const { return model_; }
  /// Bounds at closed, in the gate's frame; a rope's cover both ends of the travel.
  const Bounds& bounds(int instance) const { return bounds_[instance]; }
  bool isRope(int instance) const { return rope_of_[instance] >= 0; }
  PartKind kindOf(int instance) const { return model_.parts[model_.instances[instance].part].kind; }
  bool isOneBody(int a, int b) const {
    return model_.instances[a].panel == model_.instances[b].panel;
  }

  /// Do they change their places to each other, or their shapes, as the gate moves?
  bool changes(int a, int b) const { return !isOneBody(a, b) || isRope(a) || isRope(b); }
  /// Alike for pairs of the same two parts that stand alike to each other, to a thousandth of a mm.
  using PlaceKey = std::array<long long, 6>;
  PlaceKey placeKey(int a, int b) const;

  /// The bodies an instance is made of; stay valid as long as this object.
  std::vector<Body> bodies(int instance, Fineness fineness);
  /// The same, every surface drawn in by kThinnerMm.
  std::vector<Body> thinnerBodies(int instance, Fineness fineness);
  /// Mesh of an instance that is no rope, in a frame at `Body::at`.
  const TriangleMesh& mesh(int instance, Fineness fineness);
  /// What the drive's travel does to `b` as seen from `a`, mm for every mm.
  StraightMotion motion(int a, int b) const;
  /// The same over one stretch of travel, along X.
  double relativeShift(int a, int b, double drive_mm) const;
  /// Both strands of a rope have length at every position.
  bool ropeNeverRunsOut(int instance) const;
  /// The solid where it is at `drive_mm`, for the kernel.
  TopoDS_Shape shapeAt(int instance, double drive_mm) const;

 private:
  struct Rope {
    HullTree front, front_end, turn, rear, rear_end;
  };
  using MeshKey = std::array<int, 3>;  ///< part, turn, fineness
  MeshKey keyOf(int instance, Fineness fineness) const;
  void addRope(int index);

  const Model& model_;
  std::vector<Bounds> bounds_;
  std::vector<int> rope_of_;
  std::vector<Rope> ropes_;
  std::vector<int> turn_of_;  ///< by instance: parts turned differently have meshes of their own
  std::map<MeshKey, std::unique_ptr<TriangleMesh>> meshes_;
  std::map<MeshKey, std::unique_ptr<HullTree>> thinner_;
  std::vector<Rope> thinner_ropes_;
};

/// Two instances to be compared.
struct PairQuery {
  int a = 0, b = 0;
  Fineness fineness = Fineness::kCoarse;
  bool is_thinner = false;  ///< `a` with its surfaces drawn in
  Vec3 shift{};             ///< `b` stands this far out of its place
  Vec3 free{};              ///< and may be this much further, either way, along each axis
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
