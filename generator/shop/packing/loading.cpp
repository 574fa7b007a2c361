#include "generator/shop/packing/loading.h"

#include <algorithm>
#include <map>

namespace leafstack {
namespace {

constexpr double kOnePerson_kg = 25, kSlingShare = 0.25, kEndShare = 0.05, kShortMm = 1000;

/// Tracks before what stands on the footing beside them, then panels back to front, then what
/// they close against and stop at.
int siteTurn(const PackingRow& row, const Model& model) {
  if (row.panel > 0) {
    return 2 + row.panel;
  }
  const std::string heaviest = row.marks.substr(0, row.marks.find(' '));
  const auto part = std::find_if(model.parts.begin(), model.parts.end(),
                                 [&](const Part& one) { return one.mark == heaviest; });
  const bool is_track = part != model.parts.end() &&
                        (part->kind == PartKind::kTrack || part->kind == PartKind::kTrackFlat);
  const bool is_last = part != model.parts.end() &&
                       (part->kind == PartKind::kCatchPost || part->kind == PartKind::kEndStop);
  return is_track ? 1 : is_last ? 2 + model.layout.panel_count + 1 : 2;
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

std::vector<BoxRow> boxRows(const Model& model) {
  std::vector<bool> is_packed(model.instances.size());
  for (const std::vector<int>& together : packedTogether(model)) {
    for (const int instance : together) {
      is_packed[instance] = true;
    }
  }
  std::map<int, BoxRow> by_part;
  for (std::size_t i = 0; i < model.instances.size(); ++i) {
    const Part& part = model.parts[model.instances[i].part];
    if (!is_packed[i] && part.supply != Supply::kSite && part.supply != Supply::kEnvelope) {
      BoxRow& row = by_part[model.instances[i].part];
      row.mark = part.mark;
      row.name = part.name;
      row.section = part.section;
      ++row.quantity;
      row.mass_kg += part.massKg();
    }
  }
  std::vector<BoxRow> rows;
  for (auto& [part, row] : by_part) {
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace leafstack
