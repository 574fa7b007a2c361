// The readable summary that `check` prints: the same contents as report.json, in plain words.
#pragma once

#include <string>

#include "exporters/lists/report/report.h"

namespace leafstack {

/// Plain text, lines of at most about 100 characters, ends with newline.
std::string summaryText(const ReportContents& contents);

/// Warnings as a list, wrapped: as the summary and `build` print them.
std::string warningLines(const std::vector<Warning>& warnings);

/// One line: verdict of the clash check with the number of findings, for `build`.
std::string verdictLine(const ClashReport& clash);

}  // namespace leafstack
