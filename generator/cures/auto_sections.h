// Sections and guide post that the gate file leaves to the program ("auto"): the lightest that
// hold.
//
// Holding is what the frame of the whole gate says (generator/loads/frame): no member that is
// chosen above what it bears, no more movement across the track than checks.deflection_mm, and no
// clash. Members given are taken as they are: where they fail, the gate's own warnings say so.
//
// Order of choosing: for each depth that members left to the program may have, all start from the
// lightest section kept; the member with the highest use is raised until all hold, where the frame
// only moves too much the one that helps most for its weight; then each, in the order bottom rail,
// top rail, stile, guide post, goes back to the lightest that holds beside the others. The depth
// with the lightest members is taken; one is left as soon as what it asks for is no lighter than
// what holds already. Then combinations of that depth that are lighter in all are tried, heaviest
// first, but for those that are weaker throughout than one which failed. With one member left to
// the program that is the lightest of all that hold; with more, none can be made lighter alone, and
// no lighter combination of those tried holds.
#pragma once

#include <string>
#include <vector>

#include "generator/cures/trial.h"

namespace leafstack {

struct SectionChoice {
  std::vector<ChosenValue> chosen;  ///< none where a problem is
  std::vector<std::string> problems;
};

/// Whether anything of the gate is left to it.
bool leavesSections(const GateSpec& spec);

/// `spec` as read: with what choosing starts from, which lays out and fits its site.
SectionChoice chooseSections(const GateSpec& spec, Trials& trials);

/// Sections for a gate much like one that they were chosen for (`from`): the same where they hold,
/// else raised until they do. Not the lightest, and clashes are not checked.
SectionChoice raisedSections(const GateSpec& spec, const std::vector<ChosenValue>& from,
                             Trials& trials);

}  // namespace leafstack
