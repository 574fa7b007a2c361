// The readable summary that `check` prints: the same contents as report.json, in plain words.
#pragma once

#include <string>

#include "exporters/lists/report/report.h"

namespace leafstack {

/// Plain text, lines of at most about 100 characters, ends with newline.
std::string summaryText(const ReportContents& contents);

/// Warnings as a list, wrapped: as the summary and `build` print them.
std::string warningLines(const Advice& advice);

/// One line: what the clash check says, with the number of findings.
std::string clashLine(const ClashReport& clash);

}  // namespace leafstack
