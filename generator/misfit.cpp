// What to relax when a gate does not fit the room, and which arrangements would.
#include <algorithm>
#include <cstdlib>

#include "generator/compare/arrangements.h"
#include "generator/layout.h"
#include "generator/numbers.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostSuggestions = 5;

std::string bindingAdvice(const GateSpec& spec, const Layout& layout) {
  const bool on_post = spec.guides.mount == GuideMount::kPost;
  switch (layout.binding) {
    case Binding::kRack:
      return std::string(
                 "the rack binds: panel 1's bottom rail must reach the pinion when closed; ") +
             (on_post ? "an overhead bracket or reach-over arm moves the motor to the driveway's "
                        "edge, and a narrow motor needs less overrun"
                      : "a narrow motor is shorter and needs less overrun");
    case Binding::kGuide:
      return "the guide binds: panel 1's frame must reach the guide (and its return) when closed; "
             "a narrower channel, less margin or no return shortens it";
    case Binding::kRopeGround:
      return "the ground rope binds: the ground bracket needs pulley inset + bracket clearance (" +
             shown(layout.reach_mm) +
             " mm) to each pulley; a smaller inset or clearance shortens it";
    case Binding::kRopeBracket:
      return "the rope bracket binds: panel 2's bracket must stay " + shown(layout.reach_mm) +
             " mm inside panel 1's trailing end when open; less overlap, inset or clearance "
             "shortens it";
  }
  return "";
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

std::string alternativeText(const Arrangement& one) {
  std::string text = "would fit: " + nameOf(one.choice) + ": room " + shown(one.room_mm) + " mm";
  return one.has(Hazard::kMotorWeak) ? text + ", but the motor is too weak" : text;
}

}  // namespace

std::vector<std::string> explainMisfit(const GateSpec& spec, const Layout& layout) {
  std::vector<std::string> lines;
  lines.push_back("the gate needs " + shown(layout.room_mm) + " mm of room beside the opening, " +
                  shown(layout.room_mm - layout.room_given_mm) + " mm more than the " +
                  shown(layout.room_given_mm) + " mm given");
  lines.push_back(bindingAdvice(spec, layout));
  const SiteComparison comparison = compareArrangements(spec, {.in_words = false});
  const std::vector<const Arrangement*> fitting = alternatives(comparison, layout.panel_count);
  if (fitting.empty()) {
    lines.push_back("no arrangement of one to four panels fits this room; the least change is " +
                    shown(layout.room_mm - layout.room_given_mm) + " mm more room");
  }
  for (std::size_t i = 0; i < std::min(kMostSuggestions, fitting.size()); ++i) {
    lines.push_back(alternativeText(*fitting[i]));
  }
  return lines;
}

std::string_view nameOf(GuideMount mount) {
  switch (mount) {
    case GuideMount::kPost:
      return "guide post";
    case GuideMount::kOverhead:
      return "overhead bracket";
    case GuideMount::kReachOver:
      return "reach-over arm";
  }
  return "";
}

}  // namespace leafstack
