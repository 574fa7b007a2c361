#include "generator/loads/tensioning.h"

#include <algorithm>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

std::string endsOf(const RopeRow& rope) {
  const std::string behind =
      rope.carrier == 1 ? std::string("the ground") : "panel " + std::to_string(rope.carrier - 1);
  return "panel " + std::to_string(rope.carrier + 1) + " and on " + behind;
}

std::string stepOf(const RopeRow& rope) {
  const std::string front = std::to_string(rope.carrier + 1);
  std::string text = std::to_string(rope.tension_order) + ". Rope " + rope.mark + ", " +
                     (rope.opening ? "opening" : "closing") + ", of panel " +
                     std::to_string(rope.carrier) + ", its ends on " + endsOf(rope) + ": ";
  // The closing rope places the panel in front; the opening one then holds it there.
  text += rope.opening ? "draw it in until both of that panel's ropes are taut and panel " + front +
                             " has not moved"
                       : "draw it in until panel " + front + "'s leading end is at X " +
                             shown(rope.draws_panel_to_mm, 1);
  return text + "; " + shown(rope.each_way_mm, 1) + " mm in and " + shown(rope.each_way_mm, 1) +
         " out at either end.";
}

}  // namespace

std::vector<std::string> tensioningSteps(const std::vector<RopeRow>& ropes) {
  if (ropes.empty()) {
    return {};
  }
  // Common practice, no source.
  std::vector<std::string> steps = {
      "Tension the ropes with the gate closed and panel 1 held where it is when closed, every "
      "terminal mid-way in its range first, one rope after the other:"};
  std::vector<const RopeRow*> rows;
  for (const RopeRow& rope : ropes) {
    rows.push_back(&rope);
  }
  std::sort(rows.begin(), rows.end(),
            [](const RopeRow* a, const RopeRow* b) { return a->tension_order < b->tension_order; });
  for (const RopeRow* rope : rows) {
    steps.push_back(stepOf(*rope));
  }
  steps.push_back(
      "The nut that bears on its bracket draws a rope in; hold the terminal so that the rope does "
      "not "
      "twist, then lock with the second nut. Open and close the gate by hand a few times, measure "
      "the "
      "leading ends again, and once more after some weeks: ropes stretch.");
  return steps;
}

}  // namespace leafstack
