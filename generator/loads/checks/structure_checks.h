// What one case says of members and movements; the worst is kept. For structure.cpp.
#pragma once

#include <map>
#include <string_view>
#include <vector>

#include "generator/loads/checks/rail_holes.h"
#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/frame/structure_report.h"

namespace leafstack {

using WeakPlaces = std::map<int, std::vector<WeakPlace>>;

/// Rails are judged a second time at their holes, under a name of its own: "bottom rail at its
/// holes".
void addMembers(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
                const std::string& case_name, StructureReport& report, const WeakPlaces& weak = {});
/// `shape`: whose lines are to be found; it is kept where it moves most of its state.
void addDeflections(const Model& model, const frame::GateFrame& gate,
                    const frame::Response& response, DeflectedShape shape, StructureReport& report);
/// A tube's section where it is welded, under what acts there.
StructureMember atWeld(const Model& model, int instance, const frame::Inner& inner);
/// Design plastic moment of a plate, N mm, by its material's yield beside a weld.
double plasticMoment_Nmm(double width_mm, double thickness_mm, std::string_view material = "steel");
/// Share of its plastic moment to which a sideways force bends a track keeper's plate, wind's
/// factor included: a cantilever from the rail.
double keeperUse(const GateSpec& spec, double lateral_N);
/// What holds the gate in one case, by the response to it and the receivers' forces; up to
/// `groove_limit` times its weight a wheel's groove holds.
CaseReactions reactionsOf(const Model& model, const frame::GateFrame& gate,
                          const frame::Response& response, const std::vector<double>& receivers,
                          const std::string& case_name, double groove_limit);
/// By panel, then by name; what does not move last.
void sortMembers(StructureReport& report);

/// Solves a small dense system; rows as given.
std::vector<double> solvedDense(std::vector<std::vector<double>> rows, std::vector<double> right);

}  // namespace leafstack
