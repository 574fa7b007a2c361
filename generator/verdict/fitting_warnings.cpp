#include "generator/verdict/fitting_warnings.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

/// What is to be tapped is drilled in any case.
bool isTapped(const Schedules& schedules, const std::string& mark, double hole_mm) {
  return std::any_of(
      schedules.fasteners.begin(), schedules.fasteners.end(), [&](const FastenerRow& row) {
        return row.holds_in == mark && std::abs(row.tapped_mm - hole_mm) < kLengthEqualMm;
      });
}

void warnAboutHoles(const Schedules& schedules, std::vector<Warning>& warnings) {
  for (const ProfileRow& row : schedules.profiles) {
    const double hole = row.profile ? row.profile->smallestHoleMm() : 0;
    if (hole > 0 && hole < row.thickness_mm && !isTapped(schedules, row.mark, hole)) {
      warnings.push_back({"small-hole",
                          row.name + " " + row.mark + " has a hole of " + shown(hole) +
                              " mm in plate of " + shown(row.thickness_mm) +
                              " mm: have it drilled, not cut",
                          ""});
    }
  }
}

/// One warning for all that are alike and that no tool reaches, on whatever panel.
void warnAboutTools(const Schedules& schedules, std::vector<Warning>& warnings) {
  std::vector<FastenerRow> alike;
  for (const FastenerRow& row : schedules.fasteners) {
    const auto known = std::find_if(alike.begin(), alike.end(), [&](const FastenerRow& one) {
      return std::tie(one.mark, one.what, one.under_head, one.tool, one.blocked_by) ==
             std::tie(row.mark, row.what, row.under_head, row.tool, row.blocked_by);
    });
    if (known != alike.end()) {
      known->quantity += row.quantity;
    } else if (!row.blocked_by.empty()) {
      alike.push_back(row);
    }
  }
  for (const FastenerRow& row : alike) {
    std::string met;
    for (const std::string& mark : row.blocked_by) {
      met += (met.empty() ? "" : ", ") + mark;
    }
    warnings.push_back(
        {"no-tool",
         std::to_string(row.quantity) + " of " + row.mark + " (" + row.size + " through " +
             row.under_head + "; " + row.what + "): a " + row.tool + " meets " + met +
             (row.tool.starts_with("socket") ? ", and a ring spanner has no room either" : "") +
             "; put it in before that, or give it room",
         ""});
  }
}

}  // namespace

std::vector<Warning> fittingWarnings(const Schedules& schedules) {
  std::vector<Warning> warnings;
  warnAboutHoles(schedules, warnings);
  warnAboutTools(schedules, warnings);
  return warnings;
}

}  // namespace leafstack
