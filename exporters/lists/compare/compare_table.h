// `compare` for a terminal.
#pragma once

#include <string>

#include "generator/compare/arrangements.h"

namespace leafstack {

inline constexpr std::size_t kCompareWidth = 100;

/// The recommendation in two sentences, every arrangement in a line of at most kCompareWidth
/// characters, best first, the recommended one in more detail, and what would make the others fit.
std::string compareTable(const SiteComparison& comparison, const std::string& currency, bool all);

/// Its first line alone, and the hazards of what it recommends.
std::string compareVerdict(const SiteComparison& comparison);

}  // namespace leafstack
