// One welded joint of two parts, from the faces that they share: which edges are welded, how, and
// what that comes to.
#pragma once

#include <array>
#include <gp_Trsf.hxx>
#include <vector>

#include "generator/geometry/vec.h"
#include "generator/model/model.h"
#include "generator/shop/welds/contact_patch.h"
#include "generator/shop/welds/weld_kinds.h"

namespace leafstack {

/// One straight line of weld.
struct WeldLine {
  double length_mm = 0;
  int pieces = 0;
  double gap_mm = 0;
  Vec3 outward{};
};

/// One joint: what its patches come to, by kind.
struct WeldJoint {
  double edge_mm[2] = {0, 0}, length_mm[2] = {0, 0};
  int pieces[2] = {0, 0};
  std::vector<WeldLine> lines[2];
  std::vector<WeldSeam> seams[2];  ///< in the first one's frame
  double open_mm = 0;              ///< short ends
  double flare_mm = 0;             ///< of the butt weld's edges, where a corner rounds off
  bool is_all_round = false;
  double thinner_mm = 0, thicker_mm = 0;
  Vec3 middle{};
  int ending = -1;  ///< which of the two ends here, if any

  bool isKnown() const { return edge_mm[0] + edge_mm[1] > 0; }
  /// All along, or in pieces where that is long.
  void lay(const ShopSpec& shop, int kind, double length, const Vec3& outward = {});
  /// Two lines alike that look away from one another: one sign for both sides.
  bool hasTwoSides(int kind) const;
  double gapMm(int kind) const;
};

/// A part and its flat sides, in the first one's frame.
struct JointSide {
  const Part& part;
  std::vector<FlatSide> flats;
};

/// Where a joint is: `between` is where b stands, seen from a; `others`, what is welded to both.
struct JointPlace {
  gp_Trsf between;
  double gap_mm = 0;
  std::vector<std::vector<FlatSide>> others;
};
WeldJoint makeJoint(const ShopSpec& shop, const JointSide& a, const JointSide& b,
                    const JointPlace& place);

}  // namespace leafstack
