#include "generator/shop/packing/loading.h"

#include <algorithm>

namespace leafstack {
namespace {

constexpr double kOnePerson_kg = 25, kSlingShare = 0.25, kEndShare = 0.05, kShortMm = 1000;

/// Tracks before what stands on the footing beside them, then panels back to front.
int siteTurn(const PackingRow& row, const Model& model) {
  if (row.panel > 0) {
    return 2 + row.panel;
  }
  const std::string heaviest = row.marks.substr(0, row.marks.find(' '));
  const auto part = std::find_if(model.parts.begin(), model.parts.end(),
                                 [&](const Part& one) { return one.mark == heaviest; });
  const bool is_track = part != model.parts.end() &&
                        (part->kind == PartKind::kTrack || part->kind == PartKind::kTrackFlat);
  return is_track ? 1 : 2;
}

}  // namespace

std::vector<LoadingRow> loadingRows(const std::vector<PackingRow>& packing, const Model& model) {
  std::vector<LoadingRow> rows;
  std::vector<std::pair<int, const PackingRow*>> turns;
  for (const PackingRow& row : packing) {
    turns.emplace_back(siteTurn(row, model), &row);
  }
  std::stable_sort(turns.begin(), turns.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  for (const auto& [turn, load] : turns) {
    LoadingRow row;
    row.load = *load;
    row.installed = static_cast<int>(rows.size()) + 1;
    const double centre = load->centre_mm[0], length = load->length_mm;
    const double within = std::min(centre, length - centre) - kEndShare * length;
    const double off = length < kShortMm ? 0 : std::clamp(within, 0.0, kSlingShare * length);
    row.sling_mm = {centre - off, centre + off};
    row.is_lifted = load->mass_kg > kOnePerson_kg;
    rows.push_back(row);
  }
  std::reverse(rows.begin(), rows.end());
  return rows;
}

double boxMassKg(const Model& model) {
  double on_rows = 0, all = 0;
  for (const PackingRow& row : packingRows(model)) {
    on_rows += row.mass_kg * row.pieces;
  }
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    if (part.supply != Supply::kSite && part.supply != Supply::kEnvelope) {
      all += part.massKg();
    }
  }
  return all - on_rows;
}

}  // namespace leafstack
