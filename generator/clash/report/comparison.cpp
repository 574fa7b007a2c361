#include "generator/clash/report/comparison.h"

#include <algorithm>

namespace leafstack {
namespace {

/// The parts an id names: what follows its class.
std::string partsOf(const std::string& id) {
  const std::size_t colon = id.find(':');
  return colon == std::string::npos ? id : id.substr(colon + 1);
}

}  // namespace

void compareWith(ClashReport& report, const EarlierFindings& earlier) {
  std::vector<EarlierFinding> left = earlier.findings;
  const auto take = [&](Finding& finding, auto isSame) {
    const auto match = std::find_if(left.begin(), left.end(), isSame);
    if (match == left.end()) {
      return;
    }
    finding.status = FindingStatus::kStillThere;
    finding.was_id = match->id;
    left.erase(match);
  };
  // Unchanged ones first, so that each of several findings of one pair meets its own.
  for (Finding& finding : report.findings) {
    finding.status = FindingStatus::kNew;
    finding.was_id.clear();
    take(finding, [&](const EarlierFinding& one) { return one.id == finding.id; });
  }
  for (Finding& finding : report.findings) {
    if (finding.status == FindingStatus::kNew) {
      take(finding,
           [&](const EarlierFinding& one) { return partsOf(one.id) == partsOf(finding.id); });
    }
  }
  Comparison comparison;
  comparison.input_sha256 = earlier.input_sha256;
  comparison.resolved = std::move(left);
  for (const Finding& finding : report.findings) {
    ++(finding.status == FindingStatus::kNew ? comparison.new_ones : comparison.still_there);
  }
  report.against = std::move(comparison);
}

std::string_view toString(FindingStatus status) {
  switch (status) {
    case FindingStatus::kNotCompared:
      return "";
    case FindingStatus::kNew:
      return "new";
    case FindingStatus::kStillThere:
      return "still there";
  }
  return "";
}

}  // namespace leafstack
