// Why a gate does not fit its room, and what would.
#include "generator/compare/misfit.h"

#include <algorithm>
#include <cstdlib>
#include <string>
#include <vector>

#include "generator/compare/arrangements.h"
#include "generator/compare/fixes.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

/// Lower-case words of ours with a capital at their start.
std::string asSentence(std::string_view words) {
  std::string out(words);
  out.front() = static_cast<char>(out.front() - 'a' + 'A');
  return out;
}

constexpr std::size_t kMostSuggestions = 5;

std::string bindingAdvice(const GateSpec& spec, const Layout& layout) {
  const ExtensionRule& rule = ruleOf(layout.binding);
  std::string text = "the " + std::string(rule.name) + " binds, ";
  text.append(rule.meaning);
  if (spec.guides.mount == GuideMount::kPost && !rule.change_on_post.empty()) {
    text += ". " + asSentence(rule.change_on_post);
  }
  return text + ". " + asSentence(rule.change);
}

/// The gate's own arrangement with one number changed, which the user may give as it stands.
std::string ownFixText(const Fix& fix) {
  return "would fit as it is with " + fix.text + " (--set " + fix.overrides.back() + "): room " +
         shown(fix.room_mm) + " mm";
}

int changesTo(const ArrangementChoice& to, const GateSpec& given, int panels) {
  return std::abs(to.panels - panels) + (to.panels >= 3 && to.stacking != given.gate.stacking) +
         (to.mount != given.guides.mount) + (to.motor.name != given.drive.motor.name);
}

/// What fits and starts, least changed first; what only fits where nothing starts.
std::vector<const Arrangement*> alternatives(const SiteComparison& comparison, int panels) {
  std::vector<const Arrangement*> fitting;
  bool any_starts = false;
  for (const int index : comparison.ranked) {
    const Arrangement& one = comparison.arrangements[index];
    const bool starts = !one.has(Hazard::kMotorWeak);
    if (one.fits && (starts || !any_starts)) {  // what starts is ranked first
      any_starts = any_starts || starts;
      fitting.push_back(&one);
    }
  }
  std::stable_sort(fitting.begin(), fitting.end(), [&](const auto* one, const auto* other) {
    return changesTo(one->choice, comparison.spec, panels) <
           changesTo(other->choice, comparison.spec, panels);
  });
  return fitting;
}

/// What comes nearest to fitting where nothing does; null where nothing can be laid out.
const Arrangement* nearestOf(const SiteComparison& comparison) {
  const Arrangement* found = nullptr;
  for (const Arrangement& one : comparison.arrangements) {
    const bool is_short = one.laid_out && one.problems.empty() && one.margin_mm.value_or(0) < 0;
    if (is_short && (found == nullptr || one.room_total_mm < found->room_total_mm)) {
      found = &one;
    }
  }
  return found;
}

std::string nothingFitsText(const SiteComparison& comparison, double own_short_mm) {
  const std::string text = "no arrangement of one to four panels fits this room";
  const Arrangement* nearest = nearestOf(comparison);
  if (nearest == nullptr || -*nearest->margin_mm >= own_short_mm) {
    return text + "; the least change is " + shown(own_short_mm) + " mm more room";
  }
  const std::string weak =
      nearest->has(Hazard::kMotorWeak) ? ", though its motor is too weak to start it" : "";
  return text + "; the least change is " + shown(-*nearest->margin_mm) + " mm more room, with " +
         nameOf(nearest->choice) + weak;
}

std::string alternativeText(const Arrangement& one) {
  std::string text =
      "would fit: " + nameOf(one.choice) + ": room " + shown(one.room_total_mm) + " mm";
  return one.has(Hazard::kMotorWeak) ? text + ", but the motor is too weak" : text;
}

}  // namespace

std::vector<std::string> explainMisfit(const GateSpec& spec, const Layout& layout) {
  std::vector<std::string> lines;
  const double short_mm = layout.room_total_mm - layout.room_given_mm;
  lines.push_back(
      "the gate needs " + shown(layout.room_total_mm) + " mm of room beside the opening (" +
      shown(layout.room_total_mm - layout.room_mm) + " of them for the end stops), " +
      shown(short_mm) + " mm more than the " + shown(layout.room_given_mm) + " mm given");
  const SiteComparison comparison = compareArrangements(spec, {.in_words = false});
  const std::vector<Fix> own_fixes = numberFixes(comparison, layout);
  const std::vector<const Arrangement*> fitting = alternatives(comparison, layout.panel_count);
  if (!own_fixes.empty() || !fitting.empty()) {  // else there is nothing that would help
    lines.push_back(bindingAdvice(spec, layout));
  }
  for (const Fix& fix : own_fixes) {
    lines.push_back(ownFixText(fix));
  }
  if (fitting.empty()) {
    lines.push_back(nothingFitsText(comparison, short_mm));
  }
  for (std::size_t i = 0; i < std::min(kMostSuggestions, fitting.size()); ++i) {
    lines.push_back(alternativeText(*fitting[i]));
  }
  return lines;
}

}  // namespace leafstack
