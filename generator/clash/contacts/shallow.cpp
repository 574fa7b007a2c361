#include "generator/clash/contacts/shallow.h"

#include <algorithm>
#include <utility>

namespace leafstack {
namespace {

bool isShallowSeenFrom(const PlacedShapes& shapes, int a, int b, double permitted_mm) {
  const Bounds& p = shapes.ownBounds(a);
  const Bounds q = shapes.boundsSeenFrom(a, b);
  const auto velocity = shapes.velocitySeenFrom(a, b);
  // A rope's bounds hold all it is in the course of the travel, so it counts as standing.
  for (int axis = kAlongX; axis <= kAlongZ; ++axis) {
    const bool stands = axis == kAlongY || (velocity && (*velocity)[axis] == 0);
    const double overlap =
        std::min(p.high[axis], q.high[axis]) - std::max(p.low[axis], q.low[axis]);
    if (stands && overlap <= permitted_mm + kClearanceToleranceMm) {
      return true;
    }
  }
  return false;
}

/// Bounds that overlap by no more, along an axis of either one's own along which the pair does
/// not move.
bool isShallowByBounds(const PlacedShapes& shapes, const Contact& contact) {
  return isShallowSeenFrom(shapes, contact.a, contact.b, contact.permitted_overlap_mm) ||
         (!shapes.leanAlike(contact.a, contact.b) &&
          isShallowSeenFrom(shapes, contact.b, contact.a, contact.permitted_overlap_mm));
}

/// A rope can be thinner however it is surrounded; else the part of fewer triangles is the less
/// work. Either proof will do.
bool isThinnedFirst(PlacedShapes& shapes, int one, int other) {
  if (shapes.isRope(one) || shapes.isRope(other)) {
    return shapes.isRope(one) && !shapes.isRope(other);
  }
  const auto pieces = [&](int instance) {
    return shapes.mesh(instance, Fineness::kCoarse).tree().pieces().size();
  };
  return pieces(one) < pieces(other);
}

/// Two proofs. Where no overlap is permitted, the first part is made thinner: if it is free of
/// the other then, the other nowhere reaches deeper into it. Where some is, the second is
/// shifted: if that sets it free, the overlap is no deeper than the shift.
bool isShallowBySweep(PlacedShapes& shapes, const Contact& contact, const Stretch& stretch,
                      Effort& effort) {
  const auto is_free = [&](const PairQuery& query) {
    return leastBetween(shapes, query, stretch, {kTouchMm, 0}).at_least_mm > 0 &&
           !isInside(shapes, query, stretch.from_mm);
  };
  const PairQuery asked{.a = contact.a, .b = contact.b, .effort = &effort};
  PairQuery query = asked;
  if (contact.permitted_overlap_mm == 0) {
    query.is_thinner = true;
    if (isThinnedFirst(shapes, query.b, query.a)) {
      std::swap(query.a, query.b);
    }
    if (is_free(query)) {
      return true;
    }
    std::swap(query.a, query.b);
    return is_free(query);
  }
  const double permitted = contact.permitted_overlap_mm + kContactToleranceMm;
  // Along the axes of either one, where they lean differently.
  const int frames = shapes.leanAlike(contact.a, contact.b) ? 1 : 2;
  for (int turn = 0; turn < 6 * frames; ++turn) {
    query = asked;
    if (turn >= 6) {
      std::swap(query.a, query.b);
    }
    query.shift[turn % 6 / 2] = turn % 2 == 0 ? permitted : -permitted;
    if (is_free(query)) {
      return true;
    }
  }
  return false;
}

}  // namespace

bool isShallow(PlacedShapes& shapes, const Contact& contact, const Stretch& stretch,
               Effort& effort) {
  return isShallowByBounds(shapes, contact) || isShallowBySweep(shapes, contact, stretch, effort);
}

}  // namespace leafstack
