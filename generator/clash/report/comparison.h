// Findings of this run against those of an earlier one.
#pragma once

#include <string>
#include <vector>

#include "generator/clash/report/clash.h"

namespace leafstack {

/// Marks every finding of `report` as new or still there, and lists what the earlier run found and
/// this one does not. The same two parts (marks and panels) are the same finding even where its
/// class has changed: a penetration that is now a touch is still there.
void compareWith(ClashReport& report, const EarlierFindings& earlier);

}  // namespace leafstack
