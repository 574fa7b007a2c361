#include "generator/installing/loading.h"

#include <algorithm>
#include <map>
#include <utility>

namespace leafstack {
namespace {

constexpr double kOnePerson_kg = 25, kSlingShare = 0.25, kEndShare = 0.05, kShortMm = 1000;

/// By instance, from 1; 0 of what is there before.
std::vector<int> stepNumbers(const Model& model, const Installation& plan) {
  std::vector<int> numbers(model.instances.size());
  for (std::size_t s = 0; s < plan.steps.size(); ++s) {
    for (const InstallGroup& group : plan.steps[s].groups) {
      for (const int instance : group.instances) {
        numbers[instance] = static_cast<int>(s) + 1;
      }
    }
  }
  return numbers;
}

std::vector<PackingRow> packedBy(const Model& model, const Installation& plan) {
  std::vector<bool> comes_later(model.instances.size());
  for (const InstallStep& step : plan.steps) {
    for (const InstallGroup& group : step.groups) {
      for (const int instance : group.instances) {
        comes_later[instance] = step.stage != InstallStage::kPanel;
      }
    }
  }
  return packingRows(model, comes_later);
}

bool isPacked(const Part& part) {
  return part.supply != Supply::kSite && part.supply != Supply::kEnvelope;
}

/// `instances` as they leave the shop: one by one but for what is `welded`.
std::vector<std::vector<int>> parted(const std::vector<int>& instances,
                                     const std::vector<std::vector<int>>& welded) {
  std::vector<std::vector<int>> pieces;
  std::vector<int> left = instances;
  for (const std::vector<int>& group : welded) {
    std::vector<int> piece;
    for (const int instance : group) {
      const auto found = std::find(left.begin(), left.end(), instance);
      if (found != left.end()) {
        piece.push_back(instance);
        left.erase(found);
      }
    }
    if (!piece.empty()) {
      pieces.push_back(std::move(piece));
    }
  }
  for (const int instance : left) {
    pieces.push_back({instance});
  }
  return pieces;
}

}  // namespace

std::vector<LoadingRow> loadingRows(const Model& model, const Installation& plan) {
  const std::vector<int> numbers = stepNumbers(model, plan);
  std::vector<LoadingRow> rows;
  for (const PackingRow& load : packedBy(model, plan)) {
    LoadingRow row;
    row.load = load;
    row.step = numbers[load.instances.front()];
    for (const int instance : load.instances) {
      row.step = std::min(row.step, numbers[instance]);
    }
    const bool is_post = load.panel == 0 && load.height_mm > load.length_mm;  // lies when slung
    const double centre = load.centre_mm[is_post ? 2 : 0];
    const double length = is_post ? load.height_mm : load.length_mm;
    row.centre_mm = centre;
    const double within = std::min(centre, length - centre) - kEndShare * length;
    const double off = length < kShortMm ? 0 : std::clamp(within, 0.0, kSlingShare * length);
    row.sling_mm = {centre - off, centre + off};
    row.is_lifted = load.mass_kg > kOnePerson_kg;
    rows.push_back(std::move(row));
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const LoadingRow& a, const LoadingRow& b) { return a.step < b.step; });
  std::reverse(rows.begin(), rows.end());
  return rows;
}

std::vector<BoxRow> boxRows(const Model& model, const Installation& plan) {
  std::vector<bool> is_loaded(model.instances.size());
  for (const PackingRow& row : packedBy(model, plan)) {
    for (const int instance : row.instances) {
      is_loaded[instance] = true;
    }
  }
  const std::vector<std::vector<int>> welded = weldedInShop(model);
  std::vector<BoxRow> rows;
  std::map<std::vector<int>, std::size_t> row_of;  // by parts
  const auto add = [&](const std::vector<int>& together, int step) {
    std::vector<int> parts;
    for (const int instance : together) {
      parts.push_back(model.instances[instance].part);
    }
    const auto [known, is_new] = row_of.try_emplace(parts, rows.size());
    if (is_new) {
      const Part& first = model.parts[parts.front()];
      BoxRow row{"", first.name, parts.size() == 1 ? first.section : "", step, 0, parts.size() > 1};
      std::vector<std::string> told;
      for (const int part : parts) {
        const std::string& mark = model.parts[part].mark;
        if (std::find(told.begin(), told.end(), mark) == told.end()) {
          told.push_back(mark);
          row.marks += (row.marks.empty() ? "" : " ") + mark;
        }
      }
      rows.push_back(std::move(row));
    }
    BoxRow& row = rows[known->second];
    ++row.quantity;
    for (const int part : parts) {
      row.mass_kg += model.parts[part].massKg();
    }
  };
  for (std::size_t s = 0; s < plan.steps.size(); ++s) {
    for (const InstallGroup& group : plan.steps[s].groups) {
      std::vector<int> together;
      for (const int instance : group.instances) {
        if (!is_loaded[instance] && isPacked(model.parts[model.instances[instance].part])) {
          together.push_back(instance);
        }
      }
      if (together.size() == group.instances.size()) {
        add(together, static_cast<int>(s) + 1);
      } else {
        // Goes up with what is loaded by itself: what is welded to one another in one.
        for (const std::vector<int>& pieces : parted(together, welded)) {
          add(pieces, static_cast<int>(s) + 1);
        }
      }
    }
  }
  return rows;
}

}  // namespace leafstack
