#include "generator/installing/way_in.h"

#include <algorithm>
#include <limits>

#include "generator/clash/proof/proof.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

std::pair<int, int> sorted(int a, int b) {
  return {std::min(a, b), std::max(a, b)};
}

/// Straight from where it already is.
class GoneMotion : public RelativeMotion {
 public:
  GoneMotion(const Vec3& begins_mm, const Vec3& along) : begins_mm_(begins_mm), along_(along) {}
  Chord chord(const Stretch& stretch) const override {
    return {{plus(begins_mm_, along_, stretch.from_mm)}, {plus(begins_mm_, along_, stretch.to_mm)}};
  }

 private:
  Vec3 begins_mm_, along_;
};

Vec3 opposite(const Vec3& v) {
  return {-v[0], -v[1], -v[2]};
}

/// Does the box meet the other one on its way, to within what touches?
bool sweepsOver(const Bounds& coming, const StraightWay& way, const Vec3& begins_mm,
                const Bounds& standing) {
  for (int axis = 0; axis < 3; ++axis) {
    const double run = way.from[axis] * way.length_mm, begins = begins_mm[axis];
    if (coming.low[axis] + begins + std::min(0.0, run) > standing.high[axis] + kBoundsSlackMm ||
        coming.high[axis] + begins + std::max(0.0, run) < standing.low[axis] - kBoundsSlackMm) {
      return false;
    }
  }
  return true;
}

}  // namespace

WaysIn::WaysIn(const Model& model) : model_(model), shapes_(model) {
  for (const Contact& contact : model.contacts) {
    const bool is_cut = contact.permitted_overlap_mm > 0 || isThin(contact.a) || isThin(contact.b);
    (is_cut ? cut_ : touch_).insert(sorted(contact.a, contact.b));
  }
  pushTo(0);
}

/// A shim, which made thinner would be nothing.
bool WaysIn::isThin(int instance) const {
  const Bounds& own = model_.parts[model_.instances[instance].part].bounds;
  double least = own.high[0] - own.low[0];
  for (const int axis : {1, 2}) {
    least = std::min(least, own.high[axis] - own.low[axis]);
  }
  return least <= 2 * kThinnerMm;
}

void WaysIn::pushTo(double drive_mm) {
  drive_mm_ = drive_mm;
  standing_.clear();
  for (const Instance& instance : model_.instances) {
    const Part& part = model_.parts[instance.part];
    standing_.push_back(drive_mm == 0 || instance.body == 0
                            ? instance.bounds
                            : movedBounds(part.bounds, locationAt(model_, instance, drive_mm)));
  }
}

Bounds WaysIn::boundsOf(const std::vector<int>& group) const {
  Bounds box = emptyBox();
  for (const int instance : group) {
    include(box, model_.instances[instance].bounds.low);
    include(box, model_.instances[instance].bounds.high);
  }
  return box;
}

double WaysIn::wayOut_mm(const std::vector<int>& group, const std::vector<int>& there,
                         const Vec3& from, const Vec3& begins_mm) const {
  const Bounds box = boundsOf(group);
  double most = 0;
  for (const int instance : there) {
    const Bounds& other = standing_[instance];
    double least = std::numeric_limits<double>::infinity();
    for (int axis = 0; axis < 3; ++axis) {
      const double low = box.low[axis] + begins_mm[axis], high = box.high[axis] + begins_mm[axis];
      if (from[axis] != 0) {
        const double gone = from[axis] > 0 ? other.high[axis] - low : high - other.low[axis];
        least = std::min(least, gone / std::abs(from[axis]));
      } else if (low > other.high[axis] || high < other.low[axis]) {
        least = 0;  // never above one another
      }
    }
    most = std::max(most, least);
  }
  return most;
}

bool WaysIn::isFree(int coming, int standing, const RelativeMotion& motion,
                    const RelativeMotion& back, double length_mm) {
  const auto placed = [&](int instance, const Body& body) {
    return instance == standing
               ? combined(shapes_.motions().at(shapes_.bodyOf(instance), drive_mm_), body.place)
               : body.place;
  };
  const auto isApart = [&](int one, int other, const RelativeMotion& goes, Fineness fineness,
                           bool is_thinner) {
    for (const Body& a :
         is_thinner ? shapes_.thinnerBodies(one, fineness) : shapes_.bodies(one, fineness)) {
      for (const Body& b : shapes_.bodies(other, fineness)) {
        const SweptPair pair{*a.tree, *b.tree, {}, goes, {}, placed(one, a), placed(other, b)};
        if (leastClearance(pair, {0, length_mm}, {kTouchMm, 0}).at_least_mm <= 0) {
          return false;
        }
      }
    }
    return true;
  };
  const std::pair<int, int> pair = sorted(coming, standing);
  if (cut_.contains(pair)) {
    return true;
  }
  if (touch_.contains(pair)) {
    // Either one made thinner: if it is free of the other then, neither reaches deeper into it.
    return isApart(standing, coming, motion, Fineness::kCoarse, true) ||
           isApart(coming, standing, back, Fineness::kCoarse, true);
  }
  if (isApart(standing, coming, motion, Fineness::kCoarse, false)) {
    return true;
  }
  // What meets even where one is thinner meets for certain: finer meshes would not help.
  return isApart(standing, coming, motion, Fineness::kCoarse, true) &&
         (isApart(standing, coming, motion, Fineness::kFine, false) ||
          isApart(standing, coming, motion, Fineness::kFinest, false));
}

std::optional<WaysIn::Meeting> WaysIn::meetingOn(const std::vector<int>& group,
                                                 const std::vector<int>& there,
                                                 const StraightWay& way, const Vec3& begins_mm) {
  const GoneMotion motion(begins_mm, way.from), back(opposite(begins_mm), opposite(way.from));
  const Bounds box = boundsOf(group);
  const auto met = [&](int standing) -> std::optional<Meeting> {
    const Bounds& other = standing_[standing];
    if (shapes_.isRope(standing) || !sweepsOver(box, way, begins_mm, other)) {
      return std::nullopt;
    }
    for (const int coming : group) {
      if (!shapes_.isRope(coming) &&
          sweepsOver(model_.instances[coming].bounds, way, begins_mm, other) &&
          !isFree(coming, standing, motion, back, way.length_mm)) {
        return Meeting{coming, standing};
      }
    }
    return std::nullopt;
  };
  // What was in one way is often in the next.
  if (std::find(there.begin(), there.end(), last_met_) != there.end()) {
    if (const auto found = met(last_met_)) {
      return found;
    }
  }
  for (const int standing : there) {
    if (const auto found = standing == last_met_ ? std::nullopt : met(standing)) {
      last_met_ = standing;
      return found;
    }
  }
  return std::nullopt;
}

std::optional<WaysIn::Meeting> WaysIn::meeting(const std::vector<int>& group,
                                               const std::vector<int>& there, const WayIn& way) {
  Vec3 gone{};
  for (const StraightWay& leg : way) {
    if (const auto found = meetingOn(group, there, leg, gone)) {
      return found;
    }
    gone = plus(gone, leg.from, leg.length_mm);
  }
  return std::nullopt;
}

}  // namespace leafstack
