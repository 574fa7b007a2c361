#include "params/catalogue/bars.h"

#include <algorithm>
#include <charconv>
#include <system_error>

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
  // Strip of DIN 988 and of feeler gauges, from memory.
  constexpr double kShims_mm[] = {0.5, 0.3, 0.2, 0.1, kLeastShim_mm};
  const double thinnest = catalogueTable("plates").number(0, "thickness_mm");
  std::vector<double> plates;
  while (height_mm > thinnest - kSame_mm) {
    plates.push_back(plateNoThicker_mm(height_mm));
    height_mm -= plates.back();
  }
  for (const double shim : kShims_mm) {
    while (height_mm > shim - kSame_mm) {
      plates.push_back(shim);
      height_mm -= shim;
    }
  }
  return plates;
}

std::vector<double> sizesIn(std::string_view section) {
  std::vector<double> sizes;
  const std::size_t first = section.find_first_of("0123456789");
  if (first == std::string_view::npos) {
    return sizes;
  }
  std::string_view rest = section.substr(first);
  while (!rest.empty()) {
    double size = 0;
    const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), size);
    if (error != std::errc()) {
      break;
    }
    sizes.push_back(size);
    rest = rest.substr(static_cast<std::size_t>(end - rest.data()));
    if (!rest.starts_with('x')) {
      break;
    }
    rest.remove_prefix(1);
  }
  return sizes;
}

std::optional<double> solidThickness_mm(std::string_view section) {
  constexpr std::string_view kSolids[] = {"plate ", "flat ",  "square ",     "round ",
                                          "angle ", "block ", "bent plate ", "strip "};
  for (const std::string_view solid : kSolids) {
    if (!section.starts_with(solid)) {
      continue;
    }
    const std::vector<double> sizes = sizesIn(section);
    return sizes.empty() ? std::nullopt
                         : std::optional(*std::min_element(sizes.begin(), sizes.end()));
  }
  return std::nullopt;
}

bool isShim(double thickness_mm) {
  return thickness_mm < catalogueTable("plates").number(0, "thickness_mm") - kSame_mm;
}

double plateNoThinner_mm(double least_mm) {
  const CatalogueTable& table = catalogueTable("plates");
  for (int row = 0; row < table.rowCount(); ++row) {
    if (table.number(row, "thickness_mm") > least_mm - kSame_mm) {
      return table.number(row, "thickness_mm");
    }
  }
  return 0;
}

}  // namespace leafstack
