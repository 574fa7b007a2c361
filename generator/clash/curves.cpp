#include "generator/clash/curves.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <tuple>

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/report/finding_part.h"
#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

/// Before any halving: a clearance changes by no more than the bodies' relative speed, four at
/// most, times this from one position to the next.
constexpr int kFirstPositions = 97;

/// Wider only where too few pairs come that near: most gates have them within the first.
constexpr std::array<double, 3> kLookedWithinMm = {12, 40, kCurveToMm};

/// Coarse meshes of round parts may be nearer or further apart than the parts by this.
constexpr double kCoarseWithinMm = 0.25;

/// Around the least that the coarse meshes have, where the finest may have theirs.
constexpr double kAboutMm = 2;

/// A pair, and where its bounds are near enough for a curve and for one to hold the other.
struct NearPair {
  std::array<int, 2> instances{};
  Stretch near;
  std::optional<Stretch> nested;
};

bool holds(const Stretch& stretch, double at_mm) {
  return at_mm >= stretch.from_mm && at_mm <= stretch.to_mm;
}

/// Alike pairs.
struct Group {
  std::vector<NearPair> pairs;
  double least_mm = kCurveToMm;
};
using GroupKey = std::tuple<std::string, int, std::string, int>;

class Curves {
 public:
  explicit Curves(const Model& model)
      : model_(model), shapes_(model), travel_mm_(model.layout.drive_travel_mm) {}

  std::vector<ClearanceCurve> run() {
    const std::map<GroupKey, Group> groups = tightestGroups();
    std::vector<std::pair<ClearanceCurve, const Group*>> ranked;
    for (const auto& [key, group] : groups) {
      ranked.emplace_back(ClearanceCurve{}, &group);
    }
    inParallel(static_cast<int>(ranked.size()), [&](int i) {
      auto& [curve, group] = ranked[static_cast<std::size_t>(i)];
      curve = leastOf(*group);
    });
    std::stable_sort(ranked.begin(), ranked.end(), [](const auto& p, const auto& q) {
      return p.first.least_mm < q.first.least_mm;
    });
    std::vector<ClearanceCurve> curves(std::min<std::size_t>(ranked.size(), kCurvesShown));
    inParallel(static_cast<int>(curves.size()), [&](int i) {
      auto& [curve, group] = ranked[static_cast<std::size_t>(i)];
      addPoints(*group, curve);
      curves[static_cast<std::size_t>(i)] = std::move(curve);
    });
    return curves;
  }

 private:
  GroupKey keyOf(int a, int b) const {
    const FindingPart one = describe(model_, a);
    const FindingPart other = describe(model_, b);
    return {one.mark, one.panel, other.mark, other.panel};
  }

  /// Undesigned pairs of different bodies.
  std::vector<std::array<int, 2>> movingPairs() const {
    std::set<std::array<int, 2>> declared;
    for (const Contact& contact : model_.contacts) {
      declared.insert({contact.a, contact.b});
    }
    std::vector<std::array<int, 2>> pairs;
    const int count = static_cast<int>(model_.instances.size());
    for (int a = 0; a < count; ++a) {
      for (int b = a + 1; b < count; ++b) {
        if (!shapes_.isOneBody(a, b) && declared.count({a, b}) == 0) {
          pairs.push_back({a, b});
        }
      }
    }
    return pairs;
  }

  /// Looks within a little first: what is not near then is further apart than what was found.
  std::map<GroupKey, Group> tightestGroups() {
    const std::vector<std::array<int, 2>> pairs = movingPairs();
    std::map<GroupKey, Group> groups;
    for (const double within : kLookedWithinMm) {
      groups.clear();
      for (const auto& pair : pairs) {
        if (const auto near = nearStretch(shapes_, pair[0], pair[1], within)) {
          const Clearance least = between(pair, *near, within, Fineness::kCoarse);
          if (least.clearance_mm < within) {
            Group& group = groups[keyOf(pair[0], pair[1])];
            group.least_mm = std::min(group.least_mm, std::max(0.0, least.clearance_mm));
          }
        }
      }
      if (static_cast<int>(groups.size()) >= kCurvesShown) {
        break;
      }
    }
    dropFarther(groups);
    for (const auto& pair : pairs) {
      const auto group = groups.find(keyOf(pair[0], pair[1]));
      if (group == groups.end()) {
        continue;
      }
      if (const auto near = nearStretch(shapes_, pair[0], pair[1], kCurveToMm)) {
        group->second.pairs.push_back({pair, *near, nearStretch(shapes_, pair[0], pair[1], 0)});
      }
    }
    return groups;
  }

  /// Keeps the tightest, and all that finer meshes may yet show to be as tight.
  static void dropFarther(std::map<GroupKey, Group>& groups) {
    std::vector<double> least;
    for (const auto& [key, group] : groups) {
      least.push_back(group.least_mm);
    }
    if (static_cast<int>(least.size()) <= kCurvesShown) {
      return;
    }
    std::nth_element(least.begin(), least.begin() + (kCurvesShown - 1), least.end());
    const double most = least[kCurvesShown - 1] + 2 * kCoarseWithinMm;
    std::erase_if(groups, [&](const auto& one) { return one.second.least_mm > most; });
  }

  Clearance between(const std::array<int, 2>& pair, const Stretch& stretch, double enough_mm,
                    Fineness fineness) {
    const PairQuery query{.a = pair[0], .b = pair[1], .fineness = fineness};
    return leastBetween(shapes_, query, stretch, {enough_mm});
  }

  /// 0 for a part inside another, whose surfaces may be far apart.
  double clearanceAt(const Group& group, double at_mm) {
    double least = kCurveToMm;
    for (const NearPair& one : group.pairs) {
      if (!holds(one.near, at_mm)) {
        continue;  // further apart than any curve goes
      }
      const auto& pair = one.instances;
      const Clearance here = between(pair, {at_mm, at_mm}, least, Fineness::kFine);
      least = std::min(least, std::max(0.0, here.clearance_mm));
      const bool can_contain = one.nested && holds(*one.nested, at_mm);
      if (least > 0 && can_contain && isInside(shapes_, {.a = pair[0], .b = pair[1]}, at_mm)) {
        return 0;
      }
    }
    return least;
  }

  /// Where it is, on the meshes that the whole travel is searched with; how much, on fine ones: the
  /// finest of a wheel or pulley takes longer than all the rest, for less than a page can show.
  void setLeast(const Group& group, ClearanceCurve& curve) {
    Clearance least;
    std::array<int, 2> nearest = group.pairs.front().instances;
    for (const auto& [pair, near, nested] : group.pairs) {
      const double wanted = std::min(least.clearance_mm, group.least_mm + kCurveWithinMm);
      const Clearance here = between(pair, near, wanted, Fineness::kCoarse);
      if (here.clearance_mm < least.clearance_mm) {
        least = here;
        nearest = pair;
      }
    }
    const Stretch about = {std::max(0.0, least.at_mm - kAboutMm),
                           std::min(travel_mm_, least.at_mm + kAboutMm)};
    const double wanted = std::max(0.0, least.clearance_mm) + kCurveWithinMm;
    const Clearance best = between(nearest, about, wanted, Fineness::kFine);
    curve.instance_a = nearest[0];
    curve.instance_b = nearest[1];
    curve.least_mm = std::max(0.0, best.clearance_mm);
    curve.at_mm = best.at_mm;
    curve.points_mm = {best.on_a, best.on_b};
  }

  ClearanceCurve leastOf(const Group& group) {
    ClearanceCurve curve;
    setLeast(group, curve);
    curve.a = describe(model_, curve.instance_a);
    curve.b = describe(model_, curve.instance_b);
    curve.pairs = static_cast<int>(group.pairs.size());
    return curve;
  }

  void addPoints(const Group& group, ClearanceCurve& curve) {
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
};

}  // namespace

std::vector<ClearanceCurve> clearanceCurves(const Model& model) {
  return Curves(model).run();
}

}  // namespace leafstack
