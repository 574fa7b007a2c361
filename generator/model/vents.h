// Vents and drains of the hollow sections that go through a zinc bath. A hollow whose end is closed
// by what is welded over it, and left so, bursts in the bath, and what stays in it rusts.
//
// Frame: the layout's, before a left-hand gate is mirrored.
#pragma once

#include <string>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

struct PartVents {
  int part = 0;  ///< index into Model::parts
  std::vector<VentHole> holes;
  std::vector<std::string> unvented;
};

/// Of every steel tube with a closed end, from solids, bounds and contacts as built; in the order
/// of parts. An end counts as closed where tubes and plates welded to the part leave less of the
/// hollow free than the hole that it needs. Holes are as large as leastVent_mm() says, their edges
/// within 10 mm of the end, on hidden sides first, diagonally opposite at the two ends, free of
/// all that lies on the wall in any place where the part stands. Bottom rails have open ends,
/// pockets and slots: they need none.
std::vector<PartVents> planVents(const Model& model);

/// "vent hole dia 12 in the rear at 14, 10 across".
std::string ventInWords(const Part& part, const VentHole& vent);

/// What is cut out of the part for its vents.
std::vector<TopoDS_Shape> ventTools(const Part& part);

}  // namespace leafstack
