// Pieces of layOut() that stand in files of their own; each fills in or judges part of a layout.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "generator/layout/figures/layout_types.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/travel/rope_travel.h"

namespace leafstack {

/// Where the middle of both ropes may be in the bottom rail.
Flat ropeZone(const GateSpec& spec);
/// Half the height of all that goes with the ropes: brackets, or both pulleys with their covers.
double halfHardwareMm(const GateSpec& spec);
/// Half the height, from the middle between a panel's own ropes, of what stands of their cradles
/// where a bracket lies whose middle is so far from that panel's end along the rail; 0: nothing.
double halfCradlesUnderMm(const GateSpec& spec, double inset_mm);

/// Ropes, cladding, rack and motor, square to the rails; needs the panels' travels.
void layOutHeights(const GateSpec& spec, Layout& layout);

/// On surveyed ground the pinion is set for the rack's lowest place, which is known only after
/// findSurveyEffects(): raises a motor whose own wedges would run out, as far as the rail lets the
/// rack.
void raiseMotorOnSurvey(const GateSpec& spec, Layout& layout);

/// What uneven ground costs each panel: GroundLayout's `uneven`. Needs all else.
void findUneven(Layout& layout);

/// Pulleys, brackets and the heights of their bores.
void placeRopes(const GateSpec& spec, Layout& layout);
/// By how much brackets come too near to pulleys somewhere over the travel, because what they stand
/// on rises, falls and turns: the other rope's end then meets a pulley that it passes over or under
/// on level ground. 0 on ground that is not surveyed, and where the clearance is given.
double ropeEndsShortMm(const GateSpec& spec, const Layout& layout);

/// How a carrier's opening or closing rope goes, its ends in their terminals. The ground bracket
/// leans as panel 1 does, closed.
RopeWay ropeWayOf(const Layout& layout, const RopeLayout& rope, bool opening);
/// Where the ropes take the panels, and what they leave them (GroundLayout::ahead, rope_play_mm).
struct WhereRopesTake {
  std::vector<GroundLine> ahead;
  std::vector<double> play_mm;
};
/// Empty on ground that is not surveyed, and of one panel. Needs the ropes.
WhereRopesTake ropesOnSurvey(const Layout& layout);

/// A figure that may cure a problem: looked for from the value there is towards `limit`, in whole
/// `step_mm`, and told between its words only where the gate was laid out with it.
struct FigureToTry {
  std::string before, after;
  std::function<void(GateSpec&, double)> set;
  double from = 0, limit = 0, step = 1;
};
/// A problem with what may cure it, told behind its text; `otherwise` where none of it does.
struct ProblemToCure {
  LayoutProblem problem;
  std::vector<FigureToTry> tries = {};
  std::string otherwise = {};

  LayoutProblem untried() const { return {problem.pointer, problem.text + otherwise}; }
};

/// Every reason why a gate laid out like this cannot be built.
std::vector<LayoutProblem> problemsOf(const GateSpec& spec, const Layout& layout);
/// Those of rack, pinion and motor, and of the ground bracket's foot: with figures to try.
std::vector<ProblemToCure> curableProblems(const GateSpec& spec, const Layout& layout);
std::vector<ProblemToCure> driveProblems(const GateSpec& spec, const Layout& layout);
std::vector<ProblemToCure> footProblems(const GateSpec& spec, const Layout& layout);
/// Those of what stands on the footing, or over it.
void checkOnFooting(const GateSpec& spec, const Layout& layout,
                    std::vector<LayoutProblem>& problems);
/// Those of pulleys and their cradles.
void checkPulleys(const GateSpec& spec, const Layout& layout, std::vector<LayoutProblem>& problems);

}  // namespace leafstack
