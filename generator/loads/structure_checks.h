// What one case says of members and movements; the worst is kept. For structure.cpp.
#pragma once

#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/frame/structure_report.h"

namespace leafstack {

void addMembers(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
                const std::string& case_name, StructureReport& report);
/// `shape`: whose lines are to be found; it is kept where it moves most of its state.
void addDeflections(const Model& model, const frame::GateFrame& gate,
                    const frame::Response& response, DeflectedShape shape, StructureReport& report);
/// A tube's section where it is welded, under what acts there.
StructureMember atWeld(const Model& model, int instance, const frame::Inner& inner);
/// Design plastic moment of a plate of mild steel.
double plasticMoment_Nmm(double width_mm, double thickness_mm);
/// Share of its plastic moment to which a sideways force bends a track keeper's plate, wind's
/// factor included, between where it lets go of the track and the rail.
double keeperUse(const GateSpec& spec, double lateral_N);
/// By panel, then by name; what does not move last.
void sortMembers(StructureReport& report);

/// Solves a small dense system; rows as given.
std::vector<double> solvedDense(std::vector<std::vector<double>> rows, std::vector<double> right);

}  // namespace leafstack
