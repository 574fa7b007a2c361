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
constexpr double kNotMetMm = -std::numeric_limits<double>::infinity();

/// How far two bodies may be out of place relative to each other.
Vec3 outOf(const Model& model, int a, int b, double tolerance) {
  Vec3 out{};
  for (const int one : {a, b}) {
    const int body = model.instances[one].body;
    for (int axis = 0; axis < 3; ++axis) {
      out[axis] += model.unsure_mm.empty()
                       ? (body > 0 ? tolerance : 0)
                       : model.off_mm[body][axis] +
                             tolerance / toleranceOf(model) * model.unsure_mm[body][axis];
    }
  }
  return out;
}

class BuiltGate {
 public:
  explicit BuiltGate(PlacedShapes& shapes) : shapes_(shapes) {}

  /// Nothing nearer than `met_mm` is looked for once there is such.
  Clearance left(int a, int b, double tolerance, Fineness fineness, double enough,
                 double met_mm = kNotMetMm) {
    const Vec3 out = outOf(shapes_.model(), a, b, tolerance);
    const auto near = nearStretch(shapes_, a, b, enough, std::max({out[0], out[1], out[2]}));
    if (!near) {
      Clearance far;
      far.at_least_mm = enough;
      return far;
    }
    Effort effort = effort_.grant();
    const PairQuery query{.a = a, .b = b, .fineness = fineness, .free = out, .effort = &effort};
    Clearance least =
        leastBetween(shapes_, query, *near, {.enough_mm = enough, .if_within_mm = met_mm});
    effort_.settle(effort);
    if (effort.isCut()) {
      least.clearance_mm = std::min(least.clearance_mm, std::max(0.0, least.at_least_mm));
      is_coarse_ = true;
    }
    return least;
  }

  bool canMeet(int a, int b, double tolerance) {
    return left(a, b, tolerance, Fineness::kFine, kClearanceToleranceMm, kTouchMm).clearance_mm <=
           kTouchMm;
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

  /// Some of what was said is only a bound: effort was used up.
  bool isCoarse() const { return is_coarse_; }

 private:
  PlacedShapes& shapes_;
  GateEffort effort_{{.in_all = 30'000'000, .least = 3'000, .most = 3'000'000}};
  bool is_coarse_ = false;
};

}  // namespace

double toleranceOf(const Model& model) {
  if (model.unsure_mm.empty()) {
    return model.spec.checks.build_tolerance_mm;
  }
  double most = 0;
  for (const auto& body : model.unsure_mm) {
    most = std::max({most, body[0], body[1], body[2]});
  }
  return most;
}

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
    const bool can_meet =
        left.at_least_mm <= kTouchMm && gate.canMeet(pair[0], pair[1], tolerance_mm);
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
  built.is_coarse = gate.isCoarse();
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
