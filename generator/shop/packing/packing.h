// What travels and is lifted as one piece: panels, posts, tracks; how large, how heavy, hung where.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// One row of tables/packing.csv, as it stands in the closed gate.
struct PackingRow {
  std::string what;  ///< "panel 1", "guide post GP1"
  /// All that the shop welds into it, the heaviest first; of a panel none: the cut list says what
  /// is on it.
  std::string marks;
  std::vector<int> instances;  ///< in it, of all pieces
  std::string loose;  ///< screws, anchors, washers and nuts that go with it: "4 AN1 4 WA1 4 NU1"
  int panel = 0;      ///< 0 = does not move
  int pieces = 1;
  double length_mm = 0, depth_mm = 0, height_mm = 0;  ///< overall: along, across, plumb;
                                                      ///< of a bar that leans, along it
  double mass_kg = 0;                                 ///< of one
  /// Centre of gravity of one from its leading or latch-side end, its front and its lowest point.
  std::array<double, 3> centre_mm{};
};

/// Panels with all that they carry but floating guide blocks, which are put in on site; a panel
/// that is joined on site in its lengths, rails by their share. Then what is fixed and no panel
/// carries, with all that the shop welds to it, but bought small parts, site work and envelopes,
/// from 5 kg. `comes_later`, by instance: what of a panel is put in on site and is not on it;
/// empty: nothing is.
std::vector<PackingRow> packingRows(const Model& model, const std::vector<bool>& comes_later = {});

/// Whether it leaves the shop on its panel.
bool travelsWithPanel(const Model& model, const Instance& instance);
/// What the shop welds into one, of what no panel carries: instances, the heaviest first.
std::vector<std::vector<int>> weldedInShop(const Model& model);

}  // namespace leafstack
