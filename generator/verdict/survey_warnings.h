// What uneven ground costs, and what of a survey itself is doubtful; none where nothing is
// surveyed.
#pragma once

#include <vector>

#include "generator/layout/figures/layout_types.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// Panels that ground or come near it, racks that rise, ropes led aside, ropes that slacken,
/// uprights that lean, points too close together.
std::vector<Warning> surveyWarnings(const SiteSpec& site, const Layout& layout);

}  // namespace leafstack
