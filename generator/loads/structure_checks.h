// What one case says of members, posts and movements; the worst is kept. For structure.cpp.
#pragma once

#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/frame/structure_report.h"

namespace leafstack {

void addMembers(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
                const std::string& case_name, StructureReport& report);
void addPosts(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
              const std::string& case_name, StructureReport& report);
void addDeflections(const Model& model, const frame::GateFrame& gate,
                    const frame::Response& response, const std::string& case_name,
                    StructureReport& report);
/// Share of its plastic moment to which a sideways force bends a track keeper's plate, wind's
/// factor included, between where it lets go of the track and the rail.
double keeperUse(const GateSpec& spec, double lateral_N);
/// By panel, then by name; what does not move last.
void sortMembers(StructureReport& report);

/// Solves a small dense system; rows as given.
std::vector<double> solvedDense(std::vector<std::vector<double>> rows, std::vector<double> right);

}  // namespace leafstack
