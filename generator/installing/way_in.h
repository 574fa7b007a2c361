// The straight way by which something comes to its place in a gate that is partly there, proved by
// the same sweep as the travel: nothing is sampled.
//
// What it is fixed to on purpose it may touch, but no deeper than meshes of round parts err; in
// what it cuts its own hole it is not looked at, nor are shims against what they lie on, nor ropes,
// which bend.
#pragma once

#include <optional>
#include <set>
#include <utility>
#include <vector>

#include "generator/clash/placed/placed.h"
#include "generator/model/model.h"

namespace leafstack {

struct StraightWay {
  Vec3 from{};           ///< unit, model's frame: from its place to where it comes from
  double length_mm = 0;  ///< that it goes straight
};
/// From its place outwards: what comes in goes the last of them first.
using WayIn = std::vector<StraightWay>;

class WaysIn {
 public:
  /// `model` must outlive it.
  explicit WaysIn(const Model& model);

  /// What would meet on the way: one of the group, and one of what is there.
  struct Meeting {
    int coming = 0, standing = 0;  ///< indices into Model::instances
  };
  /// What is there stands with the drive at `drive_mm` from now on; what comes in goes to where it
  /// is closed. At closed to begin with.
  void pushTo(double drive_mm);
  /// None where it is proved that the group meets nothing of what is there, all along its way. Not
  /// of the group among itself.
  std::optional<Meeting> meeting(const std::vector<int>& group, const std::vector<int>& there,
                                 const WayIn& way);
  /// How far the group, gone by `begins_mm`, goes until its bounds have left those of everything
  /// there.
  double wayOut_mm(const std::vector<int>& group, const std::vector<int>& there, const Vec3& from,
                   const Vec3& begins_mm) const;
  /// Where it comes in.
  Bounds boundsOf(const std::vector<int>& group) const;

 private:
  bool isThin(int instance) const;
  std::optional<Meeting> meetingOn(const std::vector<int>& group, const std::vector<int>& there,
                                   const StraightWay& way, const Vec3& begins_mm);
  bool isFree(int coming, int standing, const RelativeMotion& motion, const RelativeMotion& back,
              double length_mm);

  const Model& model_;
  PlacedShapes shapes_;
  double drive_mm_ = 0;
  int last_met_ = -1;                          ///< instance
  std::vector<Bounds> standing_;               ///< by instance
  std::set<std::pair<int, int>> touch_, cut_;  ///< the smaller index first
};

}  // namespace leafstack
