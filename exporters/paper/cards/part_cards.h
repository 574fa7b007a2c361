// A card for every part that the shop cuts: what goes with it from bench to bench.
#pragma once

#include <vector>

#include "exporters/paper/sheet/sheet.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// A4 each, in the order of the cut list: views of the part in the frame of its own files
/// (generator/shop/part_files.h) with its extents, section, material, quantity, mass, finish, ends
/// and cut-outs in words, and its file. `status` as in gateSheets().
std::vector<Sheet> partCards(const Model& model, const Schedules& schedules,
                             const std::string& status = "");

}  // namespace leafstack
