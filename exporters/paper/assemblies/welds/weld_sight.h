// From where a weld is seen, and what has to be off for who lays it.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "exporters/paper/assemblies/welds/weld_labels.h"
#include "exporters/paper/blocks/gate_views.h"

namespace leafstack {

/// A direction in which one looks at a joint.
struct WeldEye {
  Vec3 toward{};      ///< from the gate to the eye, of length 1
  std::string words;  ///< of the direction; "" where a view is drawn from there
};

/// From the road, where a view is drawn, from behind, from above and from below.
std::vector<WeldEye> eyesOfFrame();

/// Signs of one joint that are shown in one view.
struct SeenWeld {
  int eye = 0;      ///< whose view the arrow is in
  WeldGroup group;  ///< `at` on the weld itself, each sign's `where` said where no view shows it
};

/// Closed, gate's frame.
class WeldSight {
 public:
  /// `hiders`: instances that may stand before a weld.
  WeldSight(const GateViews& views, const std::vector<int>& hiders);

  /// Each sign in the view of the first eye that sees some of its seams; of one that only an eye
  /// without a view sees, with its words in the first view; of one that none sees, with the parts
  /// that come after it. `is_shown`: whether a point is within the views.
  std::vector<SeenWeld> seen(const WeldGroup& group, const std::vector<WeldEye>& eyes,
                             const std::function<bool(const Vec3&)>& is_shown) const;
  /// All of them in the one view that there is.
  std::vector<WeldGroup> inOneView(const std::vector<WeldGroup>& groups,
                                   const std::vector<WeldEye>& eyes) const;

 private:
  struct Hider {
    int instance = 0;
    gp_Trsf inverse;
  };
  std::vector<int> before(const Vec3& point, const Vec3& toward) const;
  bool isLaid(const Vec3& point, const std::array<int, 2>& parts) const;
  bool hides(const Hider& hider, const Vec3& point, const Vec3& toward) const;
  std::string marksOf(const std::vector<int>& instances, const WeldGroup& group) const;

  const GateViews& views_;
  std::vector<Hider> hiders_;
};

}  // namespace leafstack
