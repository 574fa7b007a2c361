// The comparison as a section of summary.html.
#pragma once

#include <string>

#include "generator/compare/arrangements.h"

namespace leafstack {

/// Heading, the recommendation in two sentences and a table of every arrangement, the one that is
/// built marked. Elements that fit the summary's style.
std::string comparisonSection(const SiteComparison& comparison, const ArrangementChoice& built);

/// Of a gate that is built as it stands; every arrangement that fits is built and loaded for it.
std::string comparisonSection(const GateSpec& spec, int panels);

}  // namespace leafstack
