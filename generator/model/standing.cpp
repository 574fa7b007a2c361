#include "generator/model/standing.h"

#include <limits>

#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/moving/sweep.h"

namespace leafstack {

bool standWithin(const TopoDS_Shape& a, const TopLoc_Location& at_a, const TopoDS_Shape& b,
                 const TopLoc_Location& at_b, double gap_mm) {
  const TriangleMesh one(a, at_a.Transformation());
  const TriangleMesh other(b, at_b.Transformation());
  const StraightMotion still({0, 0, 0});
  const SweptPair pair{one.tree(), other.tree(), {}, still, {}};
  Wanted wanted;
  wanted.enough_mm = gap_mm + kMeshDeflectionMm;
  wanted.if_within_mm = gap_mm;
  return leastClearance(pair, {0, 0}, wanted).at_least_mm <= gap_mm;
}

}  // namespace leafstack
