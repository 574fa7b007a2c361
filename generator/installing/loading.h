// What leaves the shop in which turn, and where it is slung: loaded in the reverse order of the
// steps by which the gate is put up, so that what is needed first lies nearest.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/installing/installation.h"
#include "generator/shop/packing/packing.h"

namespace leafstack {

struct LoadingRow {
  PackingRow load;
  int step = 0;  ///< by which it is put up, from 1: the number on install.html
  /// Centre of gravity, along it from its leading or latch-side end, of a post from its foot.
  double centre_mm = 0;
  /// From the same end: two slings as far off its centre of gravity as
  /// each other, so that it hangs level; both at it where it is too short for two.
  std::array<double, 2> sling_mm{};
  /// Heavier than one person lifts (25 kg, common practice, no source).
  bool is_lifted = false;
};

/// In the order of loading: what is put up last comes first. Panels without what comes later.
std::vector<LoadingRow> loadingRows(const Model& model, const Installation& plan);

/// What is bought or cut, drawn, and in none of the rows nor on any panel: single parts, and what
/// the shop welds or puts together, as one.
struct BoxRow {
  std::string marks;  ///< of all in one, the first one's first
  std::string name, section;
  int step = 0;  ///< by which the first is put up
  int quantity = 0;
  bool is_assembled = false;  ///< of several parts
  double mass_kg = 0;         ///< of all
};
/// In the order of the steps.
std::vector<BoxRow> boxRows(const Model& model, const Installation& plan);

}  // namespace leafstack
