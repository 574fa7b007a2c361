// What leaves the shop in which turn, and where it is slung: loaded in the reverse order of
// installing, so that what is needed first lies nearest.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/shop/packing/packing.h"

namespace leafstack {

struct LoadingRow {
  PackingRow load;
  int installed = 0;  ///< turn in which it is put in on site, from 1
  /// Along it from its leading or latch-side end: two slings as far off its centre of gravity as
  /// each other, so that it hangs level; both at it where it is too short for two.
  std::array<double, 2> sling_mm{};
  /// Heavier than one person lifts (25 kg, common practice, no source).
  bool is_lifted = false;
};

/// In the order of loading: front panel first, tracks last. Installed: tracks, posts and brackets,
/// panels back to front.
std::vector<LoadingRow> loadingRows(const std::vector<PackingRow>& packing, const Model& model);

/// What is bought or cut, drawn, and in none of the rows nor on any panel.
struct BoxRow {
  std::string mark, name, section;
  int quantity = 0;
  double mass_kg = 0;  ///< of all
};
/// In the order of the model's parts.
std::vector<BoxRow> boxRows(const Model& model);

}  // namespace leafstack
