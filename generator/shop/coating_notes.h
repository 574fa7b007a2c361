// What holes are for; what a galvaniser or painter keeps clear, and what the shop works over once
// parts are coated.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// Diameter of the narrowest round hole in a part about a line through `at_mm` along `way` (unit),
/// all in the part's own frame; 0 where there is none.
double holeAbout_mm(const Part& part, const std::array<double, 3>& at_mm,
                    const std::array<double, 3>& way);

/// By size in words ("dia 14"), what a round hole of a part is for: "for M12: the anchor holds the
/// post".
using HolePurposes = std::map<std::string, std::string>;
/// By part, from the screws and anchors that go through it.
std::vector<HolePurposes> holePurposes(const Model& model);

/// By part, "" where nothing is to be done: threads to plug or to run taps through, and holes that
/// what coats them leaves too narrow for their screws, to run back to their size.
std::vector<std::string> coatingNotes(const Model& model);

}  // namespace leafstack
