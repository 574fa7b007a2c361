#include "generator/clash/curves.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <tuple>

#include "generator/clash/findings.h"
#include "generator/clash/placed.h"
#include "generator/clash/proof.h"

namespace leafstack {
namespace {

/// Before any halving: a clearance changes by no more than the bodies' relative speed, four at
/// most, times this from one position to the next.
constexpr int kFirstPositions = 97;

/// Alike pairs.
struct Group {
  std::vector<std::array<int, 2>> pairs;
  double least_mm = kCurveToMm;
};
using GroupKey = std::tuple<std::string, int, std::string, int>;

class Curves {
 public:
  explicit Curves(const Model& model)
      : model_(model), shapes_(model), travel_mm_(model.layout.drive_travel_mm) {}

  std::vector<ClearanceCurve> run() {
    std::vector<ClearanceCurve> curves;
    for (const auto& [key, group] : tightestGroups()) {
      curves.push_back(curveOf(group));
    }
    std::stable_sort(
        curves.begin(), curves.end(),
        [](const ClearanceCurve& p, const ClearanceCurve& q) { return p.least_mm < q.least_mm; });
    return curves;
  }

 private:
  GroupKey keyOf(int a, int b) const {
    const FindingPart one = describe(model_, a);
    const FindingPart other = describe(model_, b);
    return {one.mark, one.panel, other.mark, other.panel};
  }

  std::map<GroupKey, Group> tightestGroups() {
    std::set<std::array<int, 2>> declared;
    for (const Contact& contact : model_.contacts) {
      declared.insert({contact.a, contact.b});
    }
    std::map<GroupKey, Group> groups;
    const int count = static_cast<int>(model_.instances.size());
    for (int a = 0; a < count; ++a) {
      for (int b = a + 1; b < count; ++b) {
        if (!shapes_.isOneBody(a, b) && declared.count({a, b}) == 0) {
          include(groups, a, b);
        }
      }
    }
    const double limit = limitOf(groups);
    std::erase_if(groups, [&](const auto& entry) { return entry.second.least_mm > limit; });
    while (static_cast<int>(groups.size()) > kCurvesShown) {  // as tight as each other
      groups.erase(std::max_element(groups.begin(), groups.end(), [](const auto& p, const auto& q) {
        return p.second.least_mm < q.second.least_mm;
      }));
    }
    return groups;
  }

  void include(std::map<GroupKey, Group>& groups, int a, int b) {
    // A group takes in all its pairs that come near at all, for its curve.
    if (!nearStretch(shapes_, a, b, kCurveToMm)) {
      return;
    }
    Group& group = groups[keyOf(a, b)];
    group.pairs.push_back({a, b});
    const double wanted = std::min(group.least_mm, limit_mm_);
    const Clearance least = between({a, b}, {0, travel_mm_}, wanted, Fineness::kCoarse);
    if (least.clearance_mm < group.least_mm) {
      group.least_mm = std::max(0.0, least.clearance_mm);
      limit_mm_ = limitOf(groups);
    }
  }

  /// What the last of the groups to be shown has.
  static double limitOf(const std::map<GroupKey, Group>& groups) {
    std::vector<double> leasts;
    for (const auto& entry : groups) {
      leasts.push_back(entry.second.least_mm);
    }
    if (static_cast<int>(leasts.size()) < kCurvesShown) {
      return kCurveToMm;
    }
    std::nth_element(leasts.begin(), leasts.begin() + kCurvesShown - 1, leasts.end());
    return leasts[kCurvesShown - 1];
  }

  Clearance between(const std::array<int, 2>& pair, const Stretch& stretch, double enough_mm,
                    Fineness fineness) {
    const PairQuery query{.a = pair[0], .b = pair[1], .fineness = fineness};
    return leastBetween(shapes_, query, stretch, {enough_mm});
  }

  /// 0 for a part inside another, whose surfaces may be far apart.
  double clearanceAt(const Group& group, double at_mm) {
    double least = kCurveToMm;
    for (const auto& pair : group.pairs) {
      const Clearance here = between(pair, {at_mm, at_mm}, least, Fineness::kFine);
      least = std::min(least, std::max(0.0, here.clearance_mm));
      const bool can_contain = nearStretch(shapes_, pair[0], pair[1], 0).has_value();
      if (least > 0 && can_contain && isInside(shapes_, {.a = pair[0], .b = pair[1]}, at_mm)) {
        return 0;
      }
    }
    return least;
  }

  void setLeast(const Group& group, ClearanceCurve& curve) {
    double least = kCurveToMm;
    std::array<int, 2> nearest = group.pairs.front();
    for (const auto& pair : group.pairs) {
      const Clearance here = between(pair, {0, travel_mm_}, least, Fineness::kFine);
      if (here.clearance_mm < least) {
        least = here.clearance_mm;
        nearest = pair;
      }
    }
    constexpr double kAnyway = std::numeric_limits<double>::infinity();
    const Clearance best = between(nearest, {0, travel_mm_}, kAnyway, Fineness::kFinest);
    curve.instance_a = nearest[0];
    curve.instance_b = nearest[1];
    curve.least_mm = std::max(0.0, best.clearance_mm);
    curve.at_mm = best.at_mm;
    curve.points_mm = {best.on_a, best.on_b};
  }

  ClearanceCurve curveOf(const Group& group) {
    ClearanceCurve curve;
    setLeast(group, curve);
    curve.a = describe(model_, curve.instance_a);
    curve.b = describe(model_, curve.instance_b);
    curve.pairs = static_cast<int>(group.pairs.size());
    std::set<double> positions = {curve.at_mm};
    for (int i = 0; i < kFirstPositions; ++i) {
      positions.insert(travel_mm_ * i / (kFirstPositions - 1));
    }
    CurvePoint last;
    for (const double at : positions) {
      const bool is_least = at == curve.at_mm;
      const CurvePoint next{at, is_least ? curve.least_mm : clearanceAt(group, at)};
      if (!curve.points.empty()) {
        refine(group, last, next, curve.points);
      }
      curve.points.push_back(next);
      last = next;
    }
    return curve;
  }

  /// Adds the points needed between two.
  void refine(const Group& group, const CurvePoint& from, const CurvePoint& to,
              std::vector<CurvePoint>& points) {
    if (to.at_mm - from.at_mm <= kCurveFinestMm) {
      return;
    }
    const double at = (from.at_mm + to.at_mm) / 2;
    const CurvePoint middle{at, clearanceAt(group, at)};
    const double straight = (from.clearance_mm + to.clearance_mm) / 2;
    if (std::abs(middle.clearance_mm - straight) <= kCurveWithinMm) {
      return;
    }
    refine(group, from, middle, points);
    points.push_back(middle);
    refine(group, middle, to, points);
  }

  const Model& model_;
  PlacedShapes shapes_;
  double travel_mm_;
  double limit_mm_ = kCurveToMm;
};

}  // namespace

std::vector<ClearanceCurve> clearanceCurves(const Model& model) {
  return Curves(model).run();
}

}  // namespace leafstack
