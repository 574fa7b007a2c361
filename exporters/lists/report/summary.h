// The readable texts that `check` and `build` print: the same contents as report.json, in plain
// words. Each begins with the verdict, then what to do, then the layout.
#pragma once

#include <string>

#include "exporters/lists/report/report.h"

namespace leafstack {

/// What `check --full` prints: every figure, every warning with its cures, the cautions. Lines of
/// at most about 100 characters, ends with newline.
std::string summaryText(const ReportContents& contents);

/// What `check` prints: fewer than 40 lines for a gate of up to four panels. `misfit`:
/// explainMisfit() of a gate that does not fit.
std::string briefText(const ReportContents& contents, const std::vector<std::string>& misfit = {});

/// The verdict, and below it in short what to do: findings, hazards whole, what tells against the
/// gate, what else was noticed, and the change that cures it, an entry each; as many as keep it
/// under 40 lines together with `other_lines`.
std::string verdictAndTasks(const Advice& advice, const ClashReport* clash,
                            const std::vector<std::string>& misfit = {}, long other_lines = 0);

/// What is said even where all else is quiet: the verdict, every finding, hazard and reason, and
/// that parts can meet within the build tolerance.
std::string quietText(const Advice& advice, const ClashReport* clash);

/// Pieces that the whole text and the brief one share.
std::string panelTable(const Layout& layout, const Schedules* schedules);
std::string asBuiltText(const AsBuilt& built);
/// What it says, unwrapped; empty without a tolerance.
std::string asBuiltSentence(const AsBuilt& built);
std::string againstText(const std::optional<Comparison>& against);
/// How trying ended, and its settings on a line of their own, however long: they are pasted.
std::string cureLines(const Cure& cure);

/// One line: what the clash check says, with the number of findings.
std::string clashLine(const ClashReport& clash);

}  // namespace leafstack
