#include "params/catalogue/sold.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "params/catalogue/bars.h"
#include "params/catalogue/catalogue_table.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr double kSameSize_mm = 1e-6;

bool isSame(double one, double other) {
  return std::abs(one - other) < kSameSize_mm;
}

std::string joinedSizes(const std::vector<double>& sizes) {
  std::string out;
  for (const double size : sizes) {
    out += (out.empty() ? "" : "x") + formatFigure(size);
  }
  return out;
}

/// The row that is no smaller in any of `columns`, of the least product; its figures, or none.
std::vector<double> nextRow(const char* table_name, const std::vector<const char*>& columns,
                            const std::vector<double>& least) {
  const CatalogueTable& table = catalogueTable(table_name);
  std::vector<double> best;
  double best_product = std::numeric_limits<double>::infinity();
  for (int row = 0; row < table.rowCount(); ++row) {
    std::vector<double> sizes;
    double product = 1;
    bool holds = true;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      sizes.push_back(table.number(row, columns[i]));
      product *= sizes.back();
      holds = holds && sizes.back() > least[i] - kSameSize_mm;
    }
    if (holds && product < best_product) {
      best = sizes;
      best_product = product;
    }
  }
  return best;
}

std::optional<std::string> hollowInstead(const char* table_name, std::vector<double> sizes) {
  if (sizes.size() != 3) {
    return std::nullopt;
  }
  std::sort(sizes.begin(), sizes.begin() + 2, std::greater<>());
  const std::vector<double> next =
      nextRow(table_name, {"larger_mm", "smaller_mm", "wall_mm"}, sizes);
  if (next.empty()) {
    return std::nullopt;
  }
  if (isSame(next[0], sizes[0]) && isSame(next[1], sizes[1]) && isSame(next[2], sizes[2])) {
    return std::nullopt;
  }
  return (isSame(next[0], next[1]) ? "SHS " : "RHS ") + joinedSizes(next);
}

std::optional<std::string> angleInstead(const char* table_name, const std::vector<double>& sizes) {
  if (sizes.size() != 3) {
    return std::nullopt;
  }
  const std::vector<double> next =
      nextRow(table_name, {"leg_mm", "thickness_mm"}, {std::max(sizes[0], sizes[1]), sizes[2]});
  if (next.empty()) {
    return std::nullopt;
  }
  const bool is_sold =
      isSame(sizes[0], sizes[1]) && isSame(next[0], sizes[0]) && isSame(next[1], sizes[2]);
  return is_sold ? std::nullopt
                 : std::optional("angle " + joinedSizes({next[0], next[0], next[1]}));
}

/// Rounds that merchants keep, from memory.
std::optional<std::string> roundInstead(double wanted_mm, std::string_view turned) {
  constexpr double kRounds_mm[] = {8, 10, 12, 14, 16, 18, 20, 22, 25, 30, 35, 40, 50};
  for (const double round : kRounds_mm) {
    if (round > wanted_mm - kSameSize_mm) {
      const bool is_sold = turned.empty() && isSame(round, wanted_mm);
      return is_sold ? std::nullopt
                     : std::optional("round " + formatFigure(round) + std::string(turned));
    }
  }
  return std::nullopt;
}

std::optional<std::string> flatInstead(const std::vector<double>& sizes) {
  if (sizes.size() != 2) {
    return std::nullopt;
  }
  const std::optional<SolidBar> bar = barFor(sizes[0], sizes[1]);
  if (!bar) {
    return std::nullopt;
  }
  const auto [smaller, larger] = std::minmax(sizes[0], sizes[1]);
  const bool is_sold = isSame(bar->larger_mm, larger) && isSame(bar->smaller_mm, smaller);
  return is_sold ? std::nullopt
                 : std::optional("flat " + joinedSizes({bar->larger_mm, bar->smaller_mm}));
}

std::optional<std::string> plateInstead(const std::vector<double>& sizes) {
  if (sizes.empty()) {
    return std::nullopt;
  }
  const double thickness = *std::min_element(sizes.begin(), sizes.end());
  const double next = plateNoThinner_mm(thickness);
  if (next <= 0) {
    return std::nullopt;
  }
  return isSame(next, thickness) ? std::nullopt : std::optional("plate " + formatFigure(next));
}

}  // namespace

std::optional<std::string> soldInstead(std::string_view section, std::string_view material) {
  const bool is_aluminium = material == "aluminium";
  if (material != "steel" && !is_aluminium) {
    return std::nullopt;
  }
  const std::vector<double> sizes = sizesIn(section);
  if (section.starts_with("SHS ") || section.starts_with("RHS ")) {
    return hollowInstead(is_aluminium ? "sections-aluminium" : "sections", sizes);
  }
  if (section.starts_with("angle ")) {
    return angleInstead(is_aluminium ? "angles-aluminium" : "angles", sizes);
  }
  if (section.starts_with("round ") && sizes.size() == 1) {
    return roundInstead(sizes[0], "");
  }
  if (section.starts_with("sleeve dia ") && sizes.size() == 1) {
    return roundInstead(sizes[0], ", turned and bored");
  }
  if (section.starts_with("flat ")) {
    return flatInstead(sizes);
  }
  if (section.starts_with("plate ") || section.starts_with("bent plate ")) {
    return plateInstead(sizes);
  }
  return std::nullopt;
}

double soldBeside_mm(double along_mm, double across_mm, double wall_mm) {
  const CatalogueTable& table = catalogueTable("sections");
  double best = std::numeric_limits<double>::infinity();
  for (int row = 0; row < table.rowCount(); ++row) {
    const double larger = table.number(row, "larger_mm");
    const double smaller = table.number(row, "smaller_mm");
    if (!isSame(table.number(row, "wall_mm"), wall_mm)) {
      continue;
    }
    for (const auto& [one, other] : {std::pair(larger, smaller), std::pair(smaller, larger)}) {
      if (isSame(other, across_mm) && one > along_mm - kSameSize_mm) {
        best = std::min(best, one);
      }
    }
  }
  return std::isfinite(best) ? best : along_mm;
}

}  // namespace leafstack
