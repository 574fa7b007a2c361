#include "generator/clash/contacts/as_built.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "generator/clash/placed/ahead.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/report/finding_part.h"

namespace leafstack {
namespace {

// Pairs with more left than this are not listed, unless no pair has less.
constexpr double kListedWithinMm = 10;
constexpr double kAllowedToMm = 0.001;
constexpr double kNotMetMm = -std::numeric_limits<double>::infinity();

/// How far bodies may be out of place.
class OutOfPlace {
 public:
  explicit OutOfPlace(const Model& model) : model_(model), most_mm_(toleranceOf(model)) {}

  /// Two relative to each other.
  Vec3 of(int a, int b, double tolerance_mm) const {
    return plus(ofBody(model_.instances[a].body, tolerance_mm),
                ofBody(model_.instances[b].body, tolerance_mm), 1);
  }

 private:
  Vec3 ofBody(int body, double tolerance_mm) const {
    if (model_.unsure_mm.empty()) {
      const double out = body > 0 ? tolerance_mm : 0;
      return {out, out, out};
    }
    return plus(model_.off_mm[body], model_.unsure_mm[body], tolerance_mm / most_mm_);
  }

  const Model& model_;
  double most_mm_;
};

/// What is asked of a pair out of place, and what was found.
struct Asked {
  int a = 0, b = 0;
  double tolerance_mm = 0;
  Fineness fineness = Fineness::kCoarse;
  double enough_mm = 0;
  double met_mm = kNotMetMm;  ///< nothing nearer is looked for once there is such
};
struct Left {
  Clearance least;
  Effort effort;
};

class BuiltGate {
 public:
  explicit BuiltGate(PlacedShapes& shapes) : shapes_(shapes) {}

  /// Says which pairs will be asked about, by their places among `all`, and begins with them.
  void expect(const std::vector<Asked>& all) {
    std::vector<std::pair<int, Asked>> coming;
    for (std::size_t i = 0; i < all.size(); ++i) {
      coming.push_back({static_cast<int>(i), all[i]});
    }
    searches_.expect(std::move(coming));
  }

  /// `place`: as expected; kUnexpected where it was not.
  Clearance left(const Asked& asked, int place = kUnexpected) {
    const Left left = searches_.inTurn(place, asked);
    is_coarse_ = is_coarse_ || left.effort.isCut();
    return left.least;
  }

  bool canMeet(int a, int b, double tolerance) {
    return left({a, b, tolerance, Fineness::kFine, kClearanceToleranceMm, kTouchMm}).clearance_mm <=
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
  static constexpr int kUnexpected = -1;

  Left search(const Asked& asked, Effort effort) {
    const Vec3 out = out_.of(asked.a, asked.b, asked.tolerance_mm);
    const auto near =
        nearStretch(shapes_, asked.a, asked.b, asked.enough_mm, std::max({out[0], out[1], out[2]}));
    if (!near) {
      Clearance far;
      far.at_least_mm = asked.enough_mm;
      return {far, effort};
    }
    const PairQuery query{
        .a = asked.a, .b = asked.b, .fineness = asked.fineness, .free = out, .effort = &effort};
    Clearance least = leastBetween(shapes_, query, *near,
                                   {.enough_mm = asked.enough_mm, .if_within_mm = asked.met_mm});
    if (effort.isCut()) {
      least.clearance_mm = std::min(least.clearance_mm, std::max(0.0, least.at_least_mm));
    }
    return {least, effort};
  }

  PlacedShapes& shapes_;
  OutOfPlace out_{shapes_.model()};
  Searches<int, Asked, Left> searches_{
      {.in_all = 30'000'000, .least = 3'000, .most = 3'000'000},
      [this](const Asked& asked, const Effort& granted) { return search(asked, granted); }};
  bool is_coarse_ = false;
};

/// Those that bounds leave open.
std::vector<Asked> askedOf(const PlacedShapes& shapes, const std::vector<std::array<int, 2>>& pairs,
                           double tolerance_mm, double enough_mm) {
  const OutOfPlace out_of_place(shapes.model());
  std::vector<Asked> asked;
  for (const auto& [a, b] : pairs) {
    const Vec3 out = out_of_place.of(a, b, tolerance_mm);
    if (nearStretch(shapes, a, b, enough_mm, std::max({out[0], out[1], out[2]}))) {
      asked.push_back({a, b, tolerance_mm, Fineness::kCoarse, enough_mm});
    }
  }
  return asked;
}

/// Pairs of the same marks and panels.
struct Alike {
  std::array<int, 2> tightest{};
  double at_least_mm = 0;  ///< that the tightest is left
  double left_mm = 0, allowed_mm = 0;
  int pairs = 0, can_meet = 0;

  /// In order of what is told; of the rest what is left is never less than this says.
  std::array<double, 2> order() const { return {allowed_mm, std::max(0.0, at_least_mm)}; }
};

/// The tightest kBuiltPairsShown of the groups, on fine meshes: no more of them than it takes to
/// know that the others are no tighter.
std::vector<BuiltPair> tightestOf(BuiltGate& gate, const Model& model, std::vector<Alike> groups,
                                  double tolerance_mm) {
  std::stable_sort(groups.begin(), groups.end(),
                   [](const Alike& p, const Alike& q) { return p.order() < q.order(); });
  struct Row {
    BuiltPair told;
    std::array<int, 2> pair;
    std::array<double, 2> order() const { return {told.allowed_mm, told.left_mm}; }
  };
  std::vector<Row> rows;
  for (const Alike& group : groups) {
    if (rows.size() == kBuiltPairsShown && rows.back().order() <= group.order()) {
      break;
    }
    const auto [a, b] = group.tightest;
    Row row{{}, group.tightest};
    row.told.a = describe(model, a);
    row.told.b = describe(model, b);
    row.told.pairs = group.pairs;
    const Clearance left = gate.left({a, b, tolerance_mm, Fineness::kFine, kListedWithinMm});
    row.told.left_mm = std::max(0.0, left.clearance_mm);
    row.told.at_mm = left.at_mm;
    row.told.allowed_mm = group.allowed_mm;
    const auto place =
        std::upper_bound(rows.begin(), rows.end(), row,
                         [](const Row& p, const Row& q) { return p.order() < q.order(); });
    rows.insert(place, row);
    rows.resize(std::min<std::size_t>(rows.size(), kBuiltPairsShown));
  }
  std::vector<BuiltPair> told;
  const double enough = kListedWithinMm + 4 * tolerance_mm;
  for (Row& row : rows) {
    row.told.as_drawn_mm =
        gate.left({row.pair[0], row.pair[1], 0, Fineness::kFine, enough}).clearance_mm;
    told.push_back(row.told);
  }
  return told;
}

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

AsBuilt countAsBuilt(PlacedShapes& shapes, const std::vector<std::array<int, 2>>& pairs,
                     double tolerance_mm) {
  BuiltGate gate(shapes);
  const std::vector<Asked> asked = askedOf(shapes, pairs, tolerance_mm, kClearanceToleranceMm);
  gate.expect(asked);
  AsBuilt built;
  built.tolerance_mm = tolerance_mm;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    const bool can_meet = gate.left(asked[i], static_cast<int>(i)).at_least_mm <= kTouchMm &&
                          gate.canMeet(asked[i].a, asked[i].b, tolerance_mm);
    built.pairs_that_can_meet += can_meet ? 1 : 0;
  }
  built.is_coarse = gate.isCoarse();
  return built;
}

AsBuilt leastAsBuilt(PlacedShapes& shapes, const std::vector<std::array<int, 2>>& pairs,
                     double tolerance_mm) {
  BuiltGate gate(shapes);
  const Model& model = shapes.model();
  const std::vector<Asked> asked = askedOf(shapes, pairs, tolerance_mm, kListedWithinMm);
  gate.expect(asked);
  std::map<std::tuple<std::string, int, std::string, int>, Alike> alike;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    const std::array<int, 2> pair{asked[i].a, asked[i].b};
    const Clearance left = gate.left(asked[i], static_cast<int>(i));
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
      group.at_least_mm = left.at_least_mm;
    }
    group.allowed_mm = std::min(group.allowed_mm, allowed);
    group.left_mm = std::min(group.left_mm, left.clearance_mm);
  }
  AsBuilt built;
  built.tolerance_mm = tolerance_mm;
  std::vector<Alike> groups;
  for (const auto& [key, group] : alike) {
    built.pairs_that_can_meet += group.can_meet;
    groups.push_back(group);
  }
  built.pairs = tightestOf(gate, model, std::move(groups), tolerance_mm);
  built.is_coarse = gate.isCoarse();
  return built;
}

}  // namespace leafstack
