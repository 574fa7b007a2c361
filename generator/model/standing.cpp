#include "generator/model/standing.h"

#include "generator/geometry/moving/sweep.h"

namespace leafstack {

bool standWithin(const TriangleMesh& a, const TriangleMesh& b, const Vec3& apart_mm,
                 double gap_mm) {
  const StraightMotion still({0, 0, 0});
  const SweptPair pair{a.tree(), b.tree(), apart_mm, still, {}};
  Wanted wanted;
  wanted.enough_mm = gap_mm + kMeshDeflectionMm;
  wanted.if_within_mm = gap_mm;
  return leastClearance(pair, {0, 0}, wanted).at_least_mm <= gap_mm;
}

}  // namespace leafstack
