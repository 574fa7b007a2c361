#include "generator/clash/findings/findings.h"

#include <algorithm>
#include <map>

#include "generator/clash/findings/measure.h"
#include "generator/clash/placed/ahead.h"
#include "generator/clash/report/finding_part.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

std::string sideId(const FindingPart& side) {
  return side.mark + "@" + std::to_string(side.panel);
}

// Lengths of travel that would be shown as 0: figures are shown to a hundredth.
constexpr double kNoLengthMm = 0.005;

constexpr const char* kOfTravel = " mm of drive travel";

/// One stretch, its last number followed by `unit`.
std::string inWords(const Stretch& stretch, double travel, bool is_coarse,
                    const std::string& unit) {
  const std::string about = is_coarse ? "about " : "";
  const bool from_closed = stretch.from_mm <= kNoLengthMm;
  const bool until_open = stretch.to_mm >= travel - kNoLengthMm;
  if (from_closed && until_open) {
    return is_coarse ? "at most throughout the travel" : "throughout the travel";
  }
  if (stretch.to_mm <= kNoLengthMm) {
    return "when closed";
  }
  if (stretch.from_mm >= travel - kNoLengthMm) {
    return "when open";
  }
  if (stretch.to_mm - stretch.from_mm <= kNoLengthMm) {
    return "at " + shown(stretch.from_mm) + unit;
  }
  if (until_open) {
    return "from " + about + shown(stretch.from_mm) + unit + " until open";
  }
  return "from " + (from_closed ? "closed" : about + shown(stretch.from_mm)) + " to " + about +
         shown(stretch.to_mm) + unit;
}

std::string whereInTravel(const Model& model, const Finding& finding) {
  constexpr std::size_t kMostShown = 3;
  const bool one_body =
      model.instances[finding.instance_a].body == model.instances[finding.instance_b].body;
  const bool stands = one_body && finding.toMm() == 0;
  if (stands) {
    return "";
  }
  std::string words;
  const auto& stretches = finding.stretches_mm;
  for (std::size_t i = 0; i < std::min(stretches.size(), kMostShown); ++i) {
    const bool is_told = words.find(kOfTravel) != std::string::npos;
    words += (i == 0 ? " " : ", ") + inWords(stretches[i], model.layout.drive_travel_mm,
                                             finding.is_coarse, is_told ? " mm" : kOfTravel);
  }
  if (stretches.size() > kMostShown) {
    words += " and " + std::to_string(stretches.size() - kMostShown) + " times more";
  }
  return words;
}

std::string explain(const Model& model, const Finding& finding) {
  const std::string pair = inWords(finding.a);
  const std::string other = inWords(finding.b);
  const std::string where = whereInTravel(model, finding);
  switch (finding.finding_class) {
    case FindingClass::kPenetration:
      return pair + " runs into " + other + where;
    case FindingClass::kTouch:
      return pair + " touches " + other + where;
    case FindingClass::kContactLost:
      return pair + " and " + other + where + ": " + finding.requirement;
    case FindingClass::kBelowClearance:
      if (finding.meetsCoated()) {
        return pair + " meets " + other + where +
               " once both are coated: " + shown(finding.clearance_mm) +
               " mm between them as drawn, of which the coats take " + shown(finding.coats_mm) +
               " mm (shop.coat_mm)";
      }
      return pair + " comes within " + shown(finding.clearance_mm) + " mm of " + other + where +
             "; " + shown(finding.required_mm) + " mm are required: " + finding.requirement;
    case FindingClass::kUnresolved:
      return "unresolved: " + pair + " and " + other + where + ": " + finding.doubt +
             "; look at this pair yourself";
  }
  return "";
}

int severity(FindingClass finding_class) {
  switch (finding_class) {
    case FindingClass::kPenetration:
      return 0;
    case FindingClass::kTouch:
      return 1;
    case FindingClass::kContactLost:
      return 2;
    case FindingClass::kUnresolved:
      return 3;
    case FindingClass::kBelowClearance:
      return 4;
  }
  return 5;
}

/// The faster body is the one that runs into the other; of one body, the earlier mark.
bool isSecondFirst(const FindingPart& a, const FindingPart& b) {
  return a.panel != b.panel ? a.panel < b.panel : a.mark > b.mark;
}

/// Pairs of one fault between parts of the same marks and panels.
struct PairGroup {
  std::vector<const PairFinding*> pairs;
};

std::string groupKey(const Model& model, const PairFinding& pair) {
  FindingPart a = describe(model, pair.a);
  FindingPart b = describe(model, pair.b);
  if (isSecondFirst(a, b)) {
    std::swap(a, b);
  }
  const int fault =
      pair.fault == PairFault::kShort && pair.contact.empty() ? -1 : static_cast<int>(pair.fault);
  return sideId(a) + ":" + sideId(b) + ":" + std::to_string(fault) + ":" +
         (pair.fault == PairFault::kContactLost ? pair.required.reason : std::string());
}

// Alike pairs whose depths are compared.
constexpr std::size_t kDepthsCompared = 50;

const PairFinding& worstOf(PlacedShapes& shapes, const PairGroup& group, Effort& effort) {
  const PairFinding* worst = group.pairs.front();
  if (group.pairs.size() == 1) {
    return *worst;
  }
  double deepest = -1;
  std::size_t compared = 0;
  for (const PairFinding* pair : group.pairs) {
    if (!pair->contact.empty() && ++compared > kDepthsCompared) {
      break;
    }
    const double depth = pair->contact.empty() ? 0 : deepestOf(shapes, *pair, 1, effort).depth_mm;
    const bool nearer = pair->least.clearance_mm < worst->least.clearance_mm;
    if (depth > deepest + kClearanceToleranceMm || (depth == 0 && deepest <= 0 && nearer)) {
      deepest = std::max(deepest, depth);
      worst = pair;
    }
  }
  return *worst;
}

/// Parts joined on purpose that do not move against each other, thought too deep by the sweep:
/// where the kernel finds nothing shared and the least shift frees them, they touch as they are
/// meant to.
bool isMereTouch(PlacedShapes& shapes, const PairGroup& group, const Finding& finding) {
  return finding.finding_class == FindingClass::kTouch &&
         std::all_of(group.pairs.begin(), group.pairs.end(), [&](const PairFinding* pair) {
           return pair->fault == PairFault::kTooDeep && !shapes.changes(pair->a, pair->b);
         });
}

Finding findingOf(PlacedShapes& shapes, const PairGroup& group, Effort& effort, bool is_trial) {
  const Model& model = shapes.model();
  const PairFinding& worst = worstOf(shapes, group, effort);
  Finding finding;
  finding.pairs = static_cast<int>(group.pairs.size());
  finding.a = describe(model, worst.a);
  finding.b = describe(model, worst.b);
  finding.instance_a = worst.a;
  finding.instance_b = worst.b;
  finding.required_mm = worst.required.clearance_mm;
  finding.requirement = worst.required.reason;
  finding.coats_mm = worst.required.coats_mm;
  measureWorst(shapes, worst, finding, effort, is_trial);
  for (const PairFinding* pair : group.pairs) {
    const auto& own = pair->contact.empty() ? pair->below : pair->contact;
    finding.stretches_mm.insert(finding.stretches_mm.end(), own.begin(), own.end());
    finding.below_required_mm.insert(finding.below_required_mm.end(), pair->below.begin(),
                                     pair->below.end());
    finding.ends_within_mm = std::max(finding.ends_within_mm, pair->ends_within_mm);
    finding.is_coarse = finding.is_coarse || pair->is_coarse;
  }
  finding.stretches_mm = united(std::move(finding.stretches_mm));
  finding.below_required_mm = united(std::move(finding.below_required_mm));
  if (finding.stretches_mm.empty()) {
    finding.stretches_mm = {{finding.worst_at_mm, finding.worst_at_mm}};
  }
  if (isSecondFirst(finding.a, finding.b)) {
    std::swap(finding.a, finding.b);
    std::swap(finding.instance_a, finding.instance_b);
    std::swap(finding.points_mm[0], finding.points_mm[1]);
    finding.depth_direction = minus({0, 0, 0}, finding.depth_direction);
  }
  finding.id = std::string(toString(finding.finding_class)) + ":" + sideId(finding.a) + ":" +
               sideId(finding.b);
  finding.text = explain(model, finding);
  return finding;
}

/// A finding, and the effort it took.
struct Measured {
  Finding finding;
  Effort effort;
};

}  // namespace

std::vector<Finding> groupFindings(PlacedShapes& shapes, const std::vector<PairFinding>& pairs,
                                   bool is_trial) {
  std::map<std::string, PairGroup> groups;
  for (const PairFinding& pair : pairs) {
    groups[groupKey(shapes.model(), pair)].pairs.push_back(&pair);
  }
  Searches<int, const PairGroup*, Measured> searches(
      {.in_all = 30'000'000, .least = 60'000, .most = 6'000'000},
      [&](const PairGroup* group, const Effort& granted) {
        Measured measured{{}, granted};
        measured.finding = findingOf(shapes, *group, measured.effort, is_trial);
        return measured;
      });
  std::vector<std::pair<int, const PairGroup*>> coming;
  for (const auto& [key, group] : groups) {
    coming.push_back({static_cast<int>(coming.size()), &group});
  }
  searches.expect(coming);
  std::vector<Finding> findings;
  for (const auto& [number, group] : coming) {
    Finding finding = searches.inTurn(number, group).finding;
    if (!isMereTouch(shapes, *group, finding)) {
      findings.push_back(std::move(finding));
    }
  }
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& p, const Finding& q) {
    const int one = severity(p.finding_class);
    const int other = severity(q.finding_class);
    return one != other ? one < other : p.volume_mm3 > q.volume_mm3;
  });
  // Two contacts of one pair may be lost for different reasons: ids stay unique.
  std::map<std::string, int> used;
  for (Finding& finding : findings) {
    const int turn = ++used[finding.id];
    finding.id += turn == 1 ? "" : "/" + std::to_string(turn);
  }
  return findings;
}

Verdict verdictOf(const std::vector<Finding>& findings) {
  Verdict verdict = Verdict::kClear;
  for (const Finding& finding : findings) {
    switch (finding.finding_class) {
      case FindingClass::kPenetration:
      case FindingClass::kTouch:
      case FindingClass::kContactLost:
        return Verdict::kClash;
      case FindingClass::kUnresolved:
        verdict = Verdict::kUnresolved;
        break;
      case FindingClass::kBelowClearance:
        if (finding.meetsCoated()) {
          return Verdict::kClash;
        }
        if (verdict == Verdict::kClear) {
          verdict = Verdict::kTight;
        }
        break;
    }
  }
  return verdict;
}

std::string_view toString(Verdict verdict) {
  switch (verdict) {
    case Verdict::kClear:
      return "clear";
    case Verdict::kTight:
      return "tight";
    case Verdict::kClash:
      return "clash";
    case Verdict::kUnresolved:
      return "unresolved";
  }
  return "";
}

std::string_view toString(FindingClass finding_class) {
  switch (finding_class) {
    case FindingClass::kPenetration:
      return "penetration";
    case FindingClass::kTouch:
      return "touch";
    case FindingClass::kContactLost:
      return "contact-lost";
    case FindingClass::kBelowClearance:
      return "below-clearance";
    case FindingClass::kUnresolved:
      return "unresolved";
  }
  return "";
}

}  // namespace leafstack
