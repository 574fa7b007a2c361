#include "params/catalogue/bars.h"

#include <algorithm>

#include "params/catalogue/catalogue_table.h"

namespace leafstack {
namespace {

constexpr double kSame_mm = 1e-6;

}  // namespace

std::optional<SolidBar> barFor(double one_mm, double other_mm) {
  const auto [smaller, larger] = std::minmax(one_mm, other_mm);
  const CatalogueTable& table = catalogueTable("bars");
  std::optional<SolidBar> best;
  for (int row = 0; row < table.rowCount(); ++row) {
    const SolidBar bar{table.number(row, "larger_mm"), table.number(row, "smaller_mm")};
    const bool holds = bar.larger_mm > larger - kSame_mm && bar.smaller_mm > smaller - kSame_mm;
    if (holds && (!best || bar.larger_mm * bar.smaller_mm < best->larger_mm * best->smaller_mm)) {
      best = bar;
    }
  }
  return best;
}

double plateNoThicker_mm(double most_mm) {
  const CatalogueTable& table = catalogueTable("plates");
  double found = table.number(0, "thickness_mm");
  for (int row = 0; row < table.rowCount(); ++row) {
    const double thickness = table.number(row, "thickness_mm");
    found = thickness < most_mm + kSame_mm ? std::max(found, thickness) : found;
  }
  return found;
}

std::vector<double> platesToHeight_mm(double height_mm) {
  std::vector<double> plates;
  while (height_mm > kSame_mm) {
    plates.push_back(std::min(height_mm, plateNoThicker_mm(height_mm)));
    height_mm -= plates.back();
  }
  return plates;
}

}  // namespace leafstack
