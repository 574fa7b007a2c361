#include "generator/clash/findings.h"

#include <algorithm>
#include <map>

#include "generator/numbers.h"

namespace leafstack {
namespace {

FindingPart describe(const Model& model, int instance) {
  const Instance& placed = model.instances[instance];
  const Part& part = model.parts[placed.part];
  return {part.mark, part.name, placed.panel};
}

std::string sideId(const FindingPart& side) {
  return side.mark + "@" + std::to_string(side.panel);
}

std::string inWords(const FindingPart& side) {
  const std::string owner =
      side.panel == 0 ? "the fixed " : "panel " + std::to_string(side.panel) + "'s ";
  return owner + side.name + " " + side.mark;
}

FindingClass classOf(const PairFinding& pair) {
  if (pair.disputed) {
    return FindingClass::kUnresolved;
  }
  if (pair.clearance_mm > 0) {
    return FindingClass::kBelowClearance;
  }
  return pair.shared.volume_mm3 >= kNoVolumeMm3 ? FindingClass::kPenetration : FindingClass::kTouch;
}

double leastExtent(const SharedSolid& shared) {
  if (shared.volume_mm3 < kNoVolumeMm3) {
    return 0;
  }
  double least = shared.bounds.high[0] - shared.bounds.low[0];
  for (int axis = 1; axis < 3; ++axis) {
    least = std::min(least, shared.bounds.high[axis] - shared.bounds.low[axis]);
  }
  return least;
}

std::string whereInTravel(const Model& model, const Finding& finding) {
  const double travel = model.layout.drive_travel_mm;
  const bool from_closed = finding.from_mm <= kLengthEqualMm;
  const bool until_open = finding.to_mm >= travel - kLengthEqualMm;
  if (finding.a.panel == finding.b.panel && finding.from_mm == finding.to_mm) {
    return "";
  }
  if (from_closed && until_open) {
    return " throughout the travel";
  }
  if (finding.to_mm - finding.from_mm <= kLengthEqualMm) {
    return " at " + shown(finding.from_mm) + " mm of drive travel";
  }
  return (from_closed ? std::string(" from closed")
                      : " from " + shown(finding.from_mm) + " mm of drive travel") +
         (until_open ? std::string(" until open") : " to " + shown(finding.to_mm) + " mm");
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
    case FindingClass::kBelowClearance:
      return pair + " comes within " + shown(finding.clearance_mm) + " mm of " + other + where +
             "; " + shown(finding.required_mm) + " mm are required: " + finding.requirement;
    case FindingClass::kUnresolved:
      return "unresolved: two methods disagree about " + pair + " and " + other + where +
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
    case FindingClass::kUnresolved:
      return 2;
    case FindingClass::kBelowClearance:
      return 3;
  }
  return 4;
}

Finding findingOf(const Model& model, const PairFinding& pair) {
  Finding finding;
  finding.finding_class = classOf(pair);
  finding.a = describe(model, pair.a);
  finding.b = describe(model, pair.b);
  finding.points_mm = pair.points_mm;
  // The faster body is the one that runs into the other; of one body, the earlier mark.
  const bool swap = finding.a.panel != finding.b.panel ? finding.a.panel < finding.b.panel
                                                       : finding.a.mark > finding.b.mark;
  if (swap) {
    std::swap(finding.a, finding.b);
    std::swap(finding.points_mm[0], finding.points_mm[1]);
  }
  finding.id = std::string(toString(finding.finding_class)) + ":" + sideId(finding.a) + ":" +
               sideId(finding.b);
  finding.from_mm = pair.from_mm;
  finding.to_mm = pair.to_mm;
  finding.worst_at_mm = pair.worst_at_mm;
  finding.clearance_mm = pair.clearance_mm;
  finding.required_mm = pair.required.clearance_mm;
  finding.requirement = pair.required.reason;
  finding.volume_mm3 = pair.shared.volume_mm3;
  finding.depth_mm = leastExtent(pair.shared);
  finding.depth_method = "least extent of the overlap solid's bounds at the worst position";
  return finding;
}

/// Takes `next` into `group`, keeping the worse one's figures.
void merge(Finding& group, const Finding& next) {
  const int pairs = group.pairs + 1;
  const double from = std::min(group.from_mm, next.from_mm);
  const double to = std::max(group.to_mm, next.to_mm);
  const bool worse = next.volume_mm3 != group.volume_mm3 ? next.volume_mm3 > group.volume_mm3
                                                         : next.clearance_mm < group.clearance_mm;
  if (worse) {
    group = next;
  }
  group.pairs = pairs;
  group.from_mm = from;
  group.to_mm = to;
}

}  // namespace

std::vector<Finding> groupFindings(const Model& model, std::vector<PairFinding> pairs) {
  std::map<std::string, Finding> groups;
  for (const PairFinding& pair : pairs) {
    const Finding finding = findingOf(model, pair);
    const auto known = groups.find(finding.id);
    if (known == groups.end()) {
      groups.emplace(finding.id, finding);
    } else {
      merge(known->second, finding);
    }
  }
  std::vector<Finding> findings;
  for (auto& entry : groups) {
    entry.second.text = explain(model, entry.second);
    findings.push_back(std::move(entry.second));
  }
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& p, const Finding& q) {
    const int one = severity(p.finding_class);
    const int other = severity(q.finding_class);
    return one != other ? one < other : p.volume_mm3 > q.volume_mm3;
  });
  return findings;
}

std::vector<ContactReport> groupContacts(const Model& model,
                                         const std::vector<ContactCount>& counts) {
  std::map<std::string, ContactReport> groups;
  std::vector<std::string> order;
  for (const ContactCount& count : counts) {
    const FindingPart a = describe(model, count.contact->a);
    const FindingPart b = describe(model, count.contact->b);
    const std::string key = sideId(a) + ":" + sideId(b) + ":" + count.contact->reason;
    const auto [at, is_new] = groups.try_emplace(key);
    ContactReport& row = at->second;
    if (is_new) {
      order.push_back(key);
      row.a = a;
      row.b = b;
      row.kind = std::string(toString(count.contact->kind));
      row.reason = count.contact->reason;
      row.permitted_gap_mm = count.contact->permitted_gap_mm;
      row.permitted_overlap_mm = count.contact->permitted_overlap_mm;
    }
    ++row.pairs;
    row.positions += count.positions;
    row.hits += count.hits;
  }
  std::vector<ContactReport> rows;
  for (const std::string& key : order) {
    rows.push_back(groups.at(key));
  }
  return rows;
}

Verdict verdictOf(const std::vector<Finding>& findings) {
  Verdict verdict = Verdict::kClear;
  for (const Finding& finding : findings) {
    switch (finding.finding_class) {
      case FindingClass::kPenetration:
      case FindingClass::kTouch:
        return Verdict::kClash;
      case FindingClass::kUnresolved:
        verdict = Verdict::kUnresolved;
        break;
      case FindingClass::kBelowClearance:
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
    case FindingClass::kBelowClearance:
      return "below-clearance";
    case FindingClass::kUnresolved:
      return "unresolved";
  }
  return "";
}

}  // namespace leafstack
