#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "generator/clash/clash.h"
#include "generator/clash/exact.h"
#include "generator/clash/findings.h"
#include "generator/clash/pair.h"
#include "generator/clash/requirements.h"

namespace leafstack {
namespace {

// Clearances below this are measured and reported even where less is required.
constexpr double kMeasureWithinMm = 3;
// Positions inside a pair's near stretch: the ends, and between them no more than so many steps.
constexpr int kMostSteps = 8;
constexpr double kLeastStepMm = 5;
// Bounds that meet to within rounding.
constexpr double kMeetMm = 1e-6;
// Positions at which designed contacts are counted: closed, open and the quarters between.
constexpr int kContactSteps = 4;

struct Stretch {
  double from_mm = 0, to_mm = 0;
};

class ClashCheck {
 public:
  explicit ClashCheck(const Model& model) : model_(model), shapes_(model) {
    for (int i = 0; i < static_cast<int>(model.contacts.size()); ++i) {
      contact_of_[{model.contacts[i].a, model.contacts[i].b}] = i;
    }
    travel_mm_ = model.layout.drive_travel_mm;
    positions_ = {0, travel_mm_};  // designed contacts are always counted there
  }

  ClashReport run() {
    report_.least_clearance_mm = std::numeric_limits<double>::infinity();
    const int count = static_cast<int>(model_.instances.size());
    for (int a = 0; a < count; ++a) {
      for (int b = a + 1; b < count; ++b) {
        checkPair(a, b);
      }
    }
    checkContacts();
    report_.findings = groupFindings(model_, std::move(pair_findings_));
    report_.positions_mm.assign(positions_.begin(), positions_.end());
    report_.verdict = verdictOf(report_.findings);
    if (!std::isfinite(report_.least_clearance_mm)) {
      report_.least_clearance_mm = kMeasureWithinMm;  // no pair is nearer
    }
    return std::move(report_);
  }

 private:
  void checkPair(int a, int b) {
    const bool same_body = model_.instances[a].panel == model_.instances[b].panel;
    const bool changes = shapes_.isRope(a) || shapes_.isRope(b);
    ++report_.pairs_checked;
    if (contact_of_.count({a, b}) > 0) {
      return;  // checkContacts() looks after it
    }
    if (same_body) {
      if (boxDistance(shapes_.bounds(a), shapes_.bounds(b), 0) > kMeetMm) {
        return;
      }
      const Stretch all{0, changes ? travel_mm_ : 0};
      measureStretch(a, b, {0, "parts of one body must not meet unless they are joined"}, all);
      return;
    }
    const Requirement required = requirementOf(a, b);
    const double margin = std::max(required.clearance_mm, kMeasureWithinMm);
    if (const auto near = nearStretch(a, b, margin)) {
      measureStretch(a, b, required, *near);
    }
  }

  Requirement requirementOf(int a, int b) const {
    return requiredClearance(model_.spec, kindOf(a), kindOf(b));
  }
  PartKind kindOf(int instance) const { return model_.parts[model_.instances[instance].part].kind; }

  /// Drive travel over which the pair's bounds come within `margin`, solved exactly; none if never.
  std::optional<Stretch> nearStretch(int a, int b, double margin) const {
    const Bounds& p = shapes_.bounds(a);
    const Bounds& q = shapes_.bounds(b);
    double across = 0;
    for (int axis = 1; axis < 3; ++axis) {
      const double gap = std::max({0.0, p.low[axis] - q.high[axis], q.low[axis] - p.high[axis]});
      across += gap * gap;
    }
    if (across >= margin * margin) {
      return std::nullopt;
    }
    const double along = std::sqrt(margin * margin - across);
    const double per_mm = shapes_.relativeShift(a, b, 1);
    double from = (p.low[0] - along - q.high[0]) / per_mm;
    double to = (p.high[0] + along - q.low[0]) / per_mm;
    if (from > to) {
      std::swap(from, to);
    }
    from = std::max(from, 0.0);
    to = std::min(to, travel_mm_);
    if (from > to) {
      return std::nullopt;
    }
    return Stretch{from, to};
  }

  std::vector<double> positionsIn(const Stretch& stretch, bool rope) const {
    const double length = stretch.to_mm - stretch.from_mm;
    if (rope) {
      // Ropes are rebuilt per position: take the shared quarters of the travel.
      std::vector<double> quarters;
      for (int i = 0; i <= kContactSteps; ++i) {
        const double at = i * travel_mm_ / kContactSteps;
        if (at >= stretch.from_mm && at <= stretch.to_mm) {
          quarters.push_back(at);
        }
      }
      if (!quarters.empty() || length <= 0) {
        return quarters.empty() ? std::vector<double>{stretch.from_mm} : quarters;
      }
    }
    const int steps = std::clamp(static_cast<int>(std::ceil(length / kLeastStepMm)),
                                 length > 0 ? 2 : 0, kMostSteps);
    std::vector<double> positions;
    for (int i = 0; i <= steps; ++i) {
      positions.push_back(steps == 0 ? stretch.from_mm : stretch.from_mm + i * length / steps);
    }
    return positions;
  }

  void measureStretch(int a, int b, const Requirement& required, const Stretch& stretch) {
    const bool rope = shapes_.isRope(a) || shapes_.isRope(b);
    const bool same_body = model_.instances[a].panel == model_.instances[b].panel;
    const std::vector<double> positions = positionsIn(stretch, rope);
    std::vector<Measured> measured;
    for (double at : positions) {
      measured.push_back(
          shapes_.measure(a, b, at, required.clearance_mm, same_body ? 0 : kMeasureWithinMm));
      positions_.insert(at);
      report_.pairs_exact += measured.back().exact ? 1 : 0;
      if (isContained(a, b, at, measured.back())) {
        measured.back().clearance_mm = 0;
        measured.back().disputed = false;
        measured.back().is_contained = true;
      }
      noteLeast(a, b, measured.back(), same_body);
    }
    addFinding(a, b, required, positions, measured);
  }

  /// A part wholly inside another is no nearer to its skin for it.
  bool isContained(int a, int b, double at, const Measured& measured) {
    if (measured.clearance_mm <= 0) {
      return false;
    }
    const double shift = shapes_.relativeShift(a, b, at);
    Vec3 on_b = shapes_.mesh(b, at).points().front();
    on_b[0] += shift;
    Vec3 on_a = shapes_.mesh(a, at).points().front();
    on_a[0] -= shift;
    return shapes_.mesh(a, at).contains(on_b) || shapes_.mesh(b, at).contains(on_a);
  }

  void noteLeast(int a, int b, const Measured& measured, bool same_body) {
    if (same_body || measured.is_bound || measured.disputed ||
        measured.clearance_mm >= report_.least_clearance_mm) {
      return;
    }
    report_.least_clearance_mm = measured.clearance_mm;
    report_.least_clearance_between = model_.instanceName(a) + " and " + model_.instanceName(b);
  }

  static bool isShort(const Measured& measured, const Requirement& required) {
    return measured.clearance_mm <= 0 ||
           measured.clearance_mm < required.clearance_mm - kClearanceToleranceMm;
  }

  void addFinding(int a, int b, const Requirement& required, const std::vector<double>& positions,
                  const std::vector<Measured>& measured) {
    std::vector<int> bad;
    for (int i = 0; i < static_cast<int>(positions.size()); ++i) {
      if (measured[i].disputed || isShort(measured[i], required)) {
        bad.push_back(i);
      }
    }
    if (bad.empty()) {
      return;
    }
    PairFinding finding;
    finding.a = a;
    finding.b = b;
    finding.required = required;
    finding.from_mm = edge(a, b, required, positions, bad.front(), -1);
    finding.to_mm = edge(a, b, required, positions, bad.back(), +1);
    judgeWorst(finding, bad, positions, measured);
    pair_findings_.push_back(finding);
  }

  /// End of a short stretch: bisected on the meshes between a bad position and its good neighbour.
  double edge(int a, int b, const Requirement& required, const std::vector<double>& positions,
              int bad, int step) {
    constexpr double kEdgeMm = 0.01;
    const int good = bad + step;
    if (good < 0 || good >= static_cast<int>(positions.size())) {
      return positions[bad];
    }
    double inside = positions[bad];
    double outside = positions[good];
    const double limit = std::max(required.clearance_mm, kTouchMm);
    while (std::abs(outside - inside) > kEdgeMm) {
      const double middle = (inside + outside) / 2;
      (shapes_.approach(a, b, middle, limit).distance_mm < limit ? inside : outside) = middle;
    }
    return inside;
  }

  void judgeWorst(PairFinding& finding, const std::vector<int>& bad,
                  const std::vector<double>& positions, const std::vector<Measured>& measured) {
    int worst = bad[bad.size() / 2];
    for (int i : bad) {
      if (measured[i].clearance_mm < measured[worst].clearance_mm) {
        worst = i;
      }
      finding.disputed |= measured[i].disputed;
    }
    finding.worst_at_mm = positions[worst];
    Measured judged = measured[worst];
    if (!judged.exact && !judged.disputed && !judged.is_contained) {
      judged = shapes_.measureExactly(finding.a, finding.b, finding.worst_at_mm, judged.approach);
      finding.disputed |= judged.disputed;
      report_.pairs_exact += judged.exact ? 1 : 0;
    }
    finding.clearance_mm = judged.clearance_mm;
    finding.points_mm = {judged.approach.on_a, judged.approach.on_b};
    if (finding.clearance_mm <= 0) {
      finding.shared = sharedSolid(shapes_.shapeAt(finding.a, finding.worst_at_mm),
                                   shapes_.shapeAt(finding.b, finding.worst_at_mm));
      const double error = shapes_.errorMm(finding.a, finding.b, finding.worst_at_mm);
      const double depth = deepest(finding.a, finding.b, finding.worst_at_mm);
      // The kernel finds nothing in common where the meshes plainly overlap: do not believe it.
      finding.disputed |= finding.shared.volume_mm3 < kNoVolumeMm3 && depth > error + kMeetMm;
    }
  }

  double deepest(int a, int b, double at) {
    return deepestPoint(shapes_.mesh(a, at), shapes_.mesh(b, at), shapes_.relativeShift(a, b, at));
  }

  void checkContacts() {
    std::vector<ContactCount> counts;
    for (const Contact& contact : model_.contacts) {
      ContactCount count;
      count.contact = &contact;
      const bool moves = model_.instances[contact.a].panel != model_.instances[contact.b].panel;
      const int steps = moves ? kContactSteps : 0;
      for (int i = 0; i <= steps; ++i) {
        const double at = steps == 0 ? 0 : i * travel_mm_ / steps;
        ++count.positions;
        count.hits += isHit(contact, at) ? 1 : 0;
        checkOverlap(contact, at);
      }
      counts.push_back(count);
    }
    report_.designed_contacts = groupContacts(model_, counts);
  }

  bool isHit(const Contact& contact, double at) {
    const double shift = shapes_.relativeShift(contact.a, contact.b, at);
    const double reach = contact.permitted_gap_mm + kMeetMm;
    if (boxDistance(shapes_.bounds(contact.a), shapes_.bounds(contact.b), shift) > reach) {
      return false;
    }
    if (model_.instances[contact.a].panel == model_.instances[contact.b].panel) {
      return true;  // joined parts: their bounds meet, and they do not move
    }
    const double error = shapes_.errorMm(contact.a, contact.b, at);
    const double enough = reach + error;
    return shapes_.approach(contact.a, contact.b, at, enough + kMeetMm).distance_mm <= enough;
  }

  /// Deeper than permitted is a clash after all. Bounds first; then mesh points inside the other.
  void checkOverlap(const Contact& contact, double at) {
    const double shift = shapes_.relativeShift(contact.a, contact.b, at);
    const Bounds& p = shapes_.bounds(contact.a);
    const Bounds& q = shapes_.bounds(contact.b);
    double overlap = std::numeric_limits<double>::infinity();
    for (int axis = 0; axis < 3; ++axis) {
      const double moved = axis == 0 ? shift : 0;
      overlap = std::min(overlap, std::min(p.high[axis], q.high[axis] + moved) -
                                      std::max(p.low[axis], q.low[axis] + moved));
    }
    if (overlap <= contact.permitted_overlap_mm + kClearanceToleranceMm ||
        alreadyJudged(contact, at)) {
      return;
    }
    const double error = shapes_.errorMm(contact.a, contact.b, at);
    const double depth = deepest(contact.a, contact.b, at);
    if (depth <= contact.permitted_overlap_mm + error + kClearanceToleranceMm) {
      return;
    }
    PairFinding finding;
    finding.a = contact.a;
    finding.b = contact.b;
    finding.required = {0, "designed contact: " + contact.reason};
    finding.from_mm = finding.to_mm = finding.worst_at_mm = at;
    finding.shared = sharedSolid(shapes_.shapeAt(contact.a, at), shapes_.shapeAt(contact.b, at));
    finding.disputed = finding.shared.volume_mm3 < kNoVolumeMm3;
    pair_findings_.push_back(finding);
  }

  /// The same two parts in the same relative place need judging once.
  bool alreadyJudged(const Contact& contact, double at) {
    if (shapes_.isRope(contact.a) || shapes_.isRope(contact.b)) {
      return at > 0;  // the rope's ends and turn keep their place at its pulley and brackets
    }
    const Instance& a = model_.instances[contact.a];
    const Instance& b = model_.instances[contact.b];
    std::array<long long, 5> key = {a.part, b.part, 0, 0, 0};
    for (int axis = 0; axis < 3; ++axis) {
      const double moved = axis == 0 ? shapes_.relativeShift(contact.a, contact.b, at) : 0;
      key[2 + axis] = std::llround((b.bounds.low[axis] + moved - a.bounds.low[axis]) * 1000);
    }
    return !judged_.insert(key).second;
  }

  const Model& model_;
  PlacedShapes shapes_;
  std::map<std::pair<int, int>, int> contact_of_;
  std::set<std::array<long long, 5>> judged_;
  std::set<double> positions_;
  double travel_mm_ = 0;
  std::vector<PairFinding> pair_findings_;
  ClashReport report_;
};

}  // namespace

ClashReport checkClashes(const Model& model) {
  return ClashCheck(model).run();
}

}  // namespace leafstack
