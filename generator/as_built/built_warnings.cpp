#include "generator/as_built/built_warnings.h"

#include <algorithm>

namespace leafstack {
namespace {

std::string counted(std::size_t count, const char* one) {
  return std::to_string(count) + " " + one + (count == 1 ? "" : "s");
}

std::size_t remadeIn(const Corrected& corrected) {
  return static_cast<std::size_t>(
      std::count_if(corrected.adjustments.begin(), corrected.adjustments.end(),
                    [](const Adjustment& one) { return one.is_remade; }));
}

/// The re-cuts, "; " between them.
std::string remade(const Corrected& corrected) {
  std::string text;
  for (const Adjustment& one : corrected.adjustments) {
    text += one.is_remade ? (text.empty() ? "" : "; ") + one.text : "";
  }
  return text;
}

}  // namespace

std::string inWords(const Corrected& corrected) {
  const std::size_t count = corrected.adjustments.size();
  std::string text = "As built and measured it ";
  switch (corrected.verdict) {
    case BuiltVerdict::kWorks:
      text += count == 0 ? "works as it stands"
                         : "works once its ropes are set (" + counted(count, "adjustment") + ")";
      break;
    case BuiltVerdict::kWorksAfter:
      text += "works after " + counted(count, "adjustment") + ", proved again with all of them";
      break;
    case BuiltVerdict::kRemake:
      text += "does not work with anything that can be set; the least to be made anew: " +
              remade(corrected);
      break;
    case BuiltVerdict::kCannot:
      if (!corrected.contradictions.empty()) {
        text = "What was measured cannot be: " + corrected.contradictions.front();
        break;
      }
      text += "does not work, and nothing was found that can be set or re-cut so that it does";
      if (!corrected.unmet.empty()) {
        text += ": " + corrected.unmet.front();
      }
      break;
  }
  if (corrected.proved.verdict == Verdict::kTight) {
    text +=
        "; within what the measurements leave unsure " +
        counted(static_cast<std::size_t>(corrected.proved.as_built.pairs_that_can_meet), "pair") +
        " of parts may still meet: measure those places closer";
  }
  return text;
}

std::vector<Warning> builtWarnings(const Corrected& corrected) {
  std::vector<Warning> warnings;
  Warning warning;
  warning.id = "as-built";
  warning.text = inWords(corrected);
  warning.where = "/as_built";
  const std::size_t set = corrected.adjustments.size() - remadeIn(corrected);
  switch (corrected.verdict) {
    case BuiltVerdict::kWorks:
    case BuiltVerdict::kWorksAfter:
      if (set > 0) {
        warning.proviso = "the " + counted(set, "adjustment") + " of its adjustment sheet " +
                          (set == 1 ? "is" : "are") + " made";
      }
      break;
    case BuiltVerdict::kRemake:
      warning.against = Against::kMaking;
      warning.in_short =
          "as built it needs re-cutting (" + counted(remadeIn(corrected), "part") + ")";
      break;
    case BuiltVerdict::kCannot:
      warning.against = Against::kMaking;
      warning.in_short = "as built it does not work";
      break;
  }
  warnings.push_back(std::move(warning));
  return warnings;
}

}  // namespace leafstack
