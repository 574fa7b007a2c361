#include "generator/loads/tensioning.h"

#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

std::string endsOf(const RopeRow& rope) {
  const std::string behind =
      rope.carrier == 1 ? std::string("the ground") : "panel " + std::to_string(rope.carrier - 1);
  return "panel " + std::to_string(rope.carrier + 1) + " and on " + behind;
}

/// What pushes a taut rope aside midway, with what it then stretches all over: 4 T' d / L, where T'
/// is T and E A (2 d^2 / L) over the rope's length. Statics of a flat triangle.
double pushAside_N(const RopeRow& rope, double tension_N, double span_mm, double aside_mm) {
  const double stiffness_N =  // E A, from what it stretches when it works
      rope.stretch_mm > 0 ? rope.working_tension_N * rope.length_mm / rope.stretch_mm : 0;
  const double taut_N =
      tension_N + stiffness_N * (2 * aside_mm * aside_mm / span_mm) / rope.length_mm;
  return 4 * taut_N * aside_mm / span_mm;
}

/// "; set it to 120 N: a free length of 2000 mm then sags 2.3 mm midway and takes 2.6 N to push
/// 10 mm aside there". A flat parabola's, w L^2 / (8 T), as in handbooks of cables.
std::string tensionOf(const RopeRow& rope, const std::vector<RopeRow>& ropes) {
  constexpr double kGravity_m_s2 = 9.81, kAsideMm = 10;
  const double tension_N = setTension_N(ropes, rope.carrier);
  if (tension_N <= 0 || rope.length_mm <= 0) {
    return "";
  }
  const double span_mm = rope.free_length_mm > 2500   ? 2000
                         : rope.free_length_mm > 1250 ? 1000
                                                      : 500;
  const double weight_N_mm = rope.mass_kg * kGravity_m_s2 / rope.length_mm;
  return "; set it to " + shown(tension_N, 0) + " N: a free length of " + shown(span_mm, 0) +
         " mm then sags " + shown(weight_N_mm * span_mm * span_mm / (8 * tension_N), 1) +
         " mm midway and takes " + shown(pushAside_N(rope, tension_N, span_mm, kAsideMm), 1) +
         " N to push " + shown(kAsideMm, 0) + " mm aside there";
}

std::string stepOf(const RopeRow& rope, const std::vector<RopeRow>& ropes) {
  const std::string front = std::to_string(rope.carrier + 1);
  std::string text = std::to_string(rope.tension_order) + ". Rope " + rope.mark + ", " +
                     (rope.opening ? "opening" : "closing") + ", of panel " +
                     std::to_string(rope.carrier) + ", its ends on " + endsOf(rope) + ": ";
  // The closing rope places the panel in front; the opening one then holds it there.
  text += rope.opening ? "draw it in until both of that panel's ropes are taut and panel " + front +
                             " has not moved"
                       : "draw it in until panel " + front + "'s leading end is at X " +
                             shown(rope.draws_panel_to_mm, 1);
  return text + tensionOf(rope, ropes) + "; " + shown(rope.each_way_mm, 1) + " mm in and " +
         shown(rope.each_way_mm, 1) + " out at either end.";
}

}  // namespace

/// Of a panel's two ropes one pulls while the other lets go: set to half of what works, neither
/// goes slack and neither takes more than it works with. Common practice, no source.
double setTension_N(const std::vector<RopeRow>& ropes, int carrier) {
  double most_N = 0;
  for (const RopeRow& rope : ropes) {
    most_N = rope.carrier == carrier ? std::max(most_N, rope.working_tension_N) : most_N;
  }
  constexpr double kWholeN = 10;  // no spring balance reads finer
  return std::ceil(most_N / 2 / kWholeN) * kWholeN;
}

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
    steps.push_back(stepOf(*rope, ropes));
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
