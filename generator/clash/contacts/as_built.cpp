#include "generator/clash/contacts/as_built.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "generator/clash/proof/proof.h"
#include "generator/clash/report/finding_part.h"

namespace leafstack {
namespace {

// Pairs with more left than this are not listed, unless no pair has less.
constexpr double kListedWithinMm = 10;
constexpr double kAllowedToMm = 0.001;

/// How far two bodies may be out of place relative to each other, per mm of tolerance.
double shareOf(const Model& model, int a, int b) {
  return (model.instances[a].body > 0 ? 1 : 0) + (model.instances[b].body > 0 ? 1 : 0);
}

class BuiltGate {
 public:
  explicit BuiltGate(PlacedShapes& shapes) : shapes_(shapes) {}

  Clearance left(int a, int b, double tolerance, Fineness fineness, double enough) {
    const double out = tolerance * shareOf(shapes_.model(), a, b);
    const auto near = nearStretch(shapes_, a, b, enough, out);
    if (!near) {
      Clearance far;
      far.at_least_mm = enough;
      return far;
    }
    const PairQuery query{.a = a, .b = b, .fineness = fineness, .free = {out, out, out}};
    return leastBetween(shapes_, query, *near, {enough});
  }

  bool canMeet(int a, int b, double tolerance) {
    return left(a, b, tolerance, Fineness::kFine, kClearanceToleranceMm).clearance_mm <= kTouchMm;
  }

  /// The tolerance at which the pair first can meet; `known` where that is no less.
  double allowed(int a, int b, double known) {
    if (!canMeet(a, b, known)) {
      return known;
    }
    double apart = 0;
    double meet = known;
    while (meet - apart > kAllowedToMm) {
      const double middle = (apart + meet) / 2;
      (canMeet(a, b, middle) ? meet : apart) = middle;
    }
    return apart;
  }

 private:
  PlacedShapes& shapes_;
};

}  // namespace

AsBuilt leastAsBuilt(PlacedShapes& shapes, const std::vector<std::array<int, 2>>& pairs,
                     double tolerance_mm) {
  struct Alike {
    std::array<int, 2> tightest{};
    double left_mm = 0, allowed_mm = 0;
    int pairs = 0, can_meet = 0;
  };
  BuiltGate gate(shapes);
  const Model& model = shapes.model();
  std::map<std::tuple<std::string, int, std::string, int>, Alike> alike;
  for (const auto& pair : pairs) {
    const Clearance left =
        gate.left(pair[0], pair[1], tolerance_mm, Fineness::kCoarse, kListedWithinMm);
    if (left.at_least_mm >= kListedWithinMm) {
      continue;
    }
    const FindingPart a = describe(model, pair[0]);
    const FindingPart b = describe(model, pair[1]);
    Alike& group = alike.try_emplace({a.mark, a.panel, b.mark, b.panel}).first->second;
    if (group.pairs == 0) {
      group.left_mm = kListedWithinMm;
      group.allowed_mm = tolerance_mm;
    }
    ++group.pairs;
    const bool can_meet = gate.canMeet(pair[0], pair[1], tolerance_mm);
    group.can_meet += can_meet ? 1 : 0;
    const double allowed =
        can_meet ? gate.allowed(pair[0], pair[1], group.allowed_mm) : group.allowed_mm;
    if (group.pairs == 1 || allowed < group.allowed_mm || left.clearance_mm < group.left_mm) {
      group.tightest = pair;
    }
    group.allowed_mm = std::min(group.allowed_mm, allowed);
    group.left_mm = std::min(group.left_mm, left.clearance_mm);
  }
  AsBuilt built;
  built.tolerance_mm = tolerance_mm;
  for (const auto& [key, group] : alike) {
    const auto [a, b] = group.tightest;
    BuiltPair row;
    row.a = describe(model, a);
    row.b = describe(model, b);
    row.pairs = group.pairs;
    const Clearance left = gate.left(a, b, tolerance_mm, Fineness::kFine, kListedWithinMm);
    row.left_mm = std::max(0.0, left.clearance_mm);
    row.at_mm = left.at_mm;
    const double enough = kListedWithinMm + 4 * tolerance_mm;
    row.as_drawn_mm = gate.left(a, b, 0, Fineness::kFine, enough).clearance_mm;
    row.allowed_mm = group.allowed_mm;
    built.pairs_that_can_meet += group.can_meet;
    built.pairs.push_back(row);
  }
  std::stable_sort(
      built.pairs.begin(), built.pairs.end(), [](const BuiltPair& p, const BuiltPair& q) {
        return p.allowed_mm != q.allowed_mm ? p.allowed_mm < q.allowed_mm : p.left_mm < q.left_mm;
      });
  if (built.pairs.size() > kBuiltPairsShown) {
    built.pairs.resize(kBuiltPairsShown);
  }
  return built;
}

}  // namespace leafstack
