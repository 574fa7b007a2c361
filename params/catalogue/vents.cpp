#include "params/catalogue/vents.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "params/catalogue/catalogue_table.h"

namespace leafstack {
namespace {

constexpr double kTableUpToLong_mm = 2800;
constexpr double kShareOfHollow = 0.3;
constexpr double kLeastHole_mm = 10;

/// Row of the first section that this one is smaller than; -1: none is.
int rowFor(const CatalogueTable& table, const HollowSection& section) {
  const double larger = std::max(section.height_mm, section.depth_mm);
  const double smaller = std::min(section.height_mm, section.depth_mm);
  for (int row = 0; row < table.rowCount(); ++row) {
    const bool fits = larger == smaller ? larger < table.number(row, "square_mm")
                                        : larger < table.number(row, "larger_mm") &&
                                              smaller < table.number(row, "smaller_mm");
    if (fits) {
      return row;
    }
  }
  return -1;
}

}  // namespace

double leastVent_mm(const HollowSection& section, double length_mm, int holes) {
  const CatalogueTable& table = catalogueTable("vents");
  const int row = rowFor(table, section);
  double least = std::max(kLeastHole_mm, section.wall_mm);
  if (row >= 0) {
    const double told = table.number(row, holes == 1   ? "one_mm"
                                          : holes == 2 ? "two_mm"
                                                       : "four_mm");
    if (told <= 0) {
      return 0;
    }
    least = std::max(least, told);
  }
  if (row < 0 || length_mm > kTableUpToLong_mm) {
    const double hollow =
        (section.height_mm - 2 * section.wall_mm) * (section.depth_mm - 2 * section.wall_mm);
    const double each = kShareOfHollow * hollow / holes;
    least = std::max(least, std::ceil(2 * std::sqrt(each / std::numbers::pi)));
  }
  return least;
}

double zincCoat_um(double steel_mm) {
  if (steel_mm > 6) {
    return 85;
  }
  return steel_mm > 3 ? 70 : steel_mm >= 1.5 ? 55 : 45;
}

}  // namespace leafstack
