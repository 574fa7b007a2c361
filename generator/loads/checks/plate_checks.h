// Plates that keep the gate at the latch and on its track, bent by what the frame presses on them,
// and the fillets that hold these and the posts. For structure.cpp.
//
// Forces carry their factors. Fillets run along both sides of a joint that is named, or all round
// it; their leg follows from the thicknesses (params/catalogue/welds.h). The walls that they are on
// are not judged.
#pragma once

#include <vector>

#include "generator/layout/ground/post_plates.h"
#include "generator/loads/frame/space_frame.h"
#include "generator/loads/frame/structure_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// Two fillets of `length_mm` side by side, a force at right angles to them, `lever_mm` beyond
/// their middle, that bends the joint about an axis in its plane: N on each mm at their far ends,
/// F / (2 l) + 3 F e / l^2.
double twoFillets_N_mm(double force_N, double lever_mm, double length_mm);

/// All round a rectangular post on its base plate: N on each mm where it is greatest.
double allRound_N_mm(const PostPlate& plate, const frame::Inner& foot);

/// A post's weld on its base plate in one case.
StructureWeld postWeld(const GateSpec& spec, const PostPlate& plate, double wall_mm,
                       const frame::Inner& foot);

/// The ears of the overhead bracket's plate, each held to the fence post by two bolts: the one that
/// is pulled hardest bends half an ear's height about the tube's side. `held`: what holds the
/// plate, N and N mm along and about X, Y, Z. How the fence post bears it is not judged.
StructurePlate overheadEars(const PostHardware& shelf, const frame::Six& held);

/// Plates and welds of receivers and track keepers, by the forces that the report has of them.
void addHoldingPlates(const Model& model, StructureReport& report);

}  // namespace leafstack
