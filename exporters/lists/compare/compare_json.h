// `compare --json`.
#pragma once

#include <string>

#include "generator/compare/arrangements.h"

namespace leafstack {

/// { site, arrangements (best first), recommended: index or null, why, notes }; two blanks a level,
/// ends with newline.
std::string compareJson(const SiteComparison& comparison, const std::string& currency);

}  // namespace leafstack
