#include "generator/shop/stock/stock_rows.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/model/splices.h"
#include "generator/shop/flat/flat_profile.h"

namespace leafstack {
namespace {

// Common practice, no source.
const std::vector<double> kUsualTimberMm = {2400, 3000, 3600, 4200, 4800, 5400};

bool isTimber(const Part& part) {
  return part.supply == Supply::kCutTimber;
}

bool isSawn(const Part& part) {
  const bool bar = part.supply == Supply::kCutTube || part.supply == Supply::kCutBar;
  const bool is_of_sheet = part.section.starts_with("strip ");
  return (isTimber(part) || (bar && !isFlatWork(part) && !is_of_sheet)) && part.length_mm > 0;
}

/// What it is cut from.
std::string stockOf(const Part& part, const CladdingSpec& cladding) {
  return isTimber(part) ? "timber " + shown(cladding.width_mm) + "x" + shown(cladding.thickness_mm)
                        : part.section;
}

int quantityOf(const Model& model, int part) {
  return static_cast<int>(
      std::count_if(model.instances.begin(), model.instances.end(),
                    [part](const Instance& instance) { return instance.part == part; }));
}

/// Pieces of one material and section, as they are to be sawn.
struct Sawn {
  bool is_timber = false;
  std::vector<StockPiece> pieces;
};
using Pieces = std::map<std::pair<std::string, std::string>, Sawn>;

Pieces sawnPieces(const Model& model) {
  Pieces by_section;
  for (int index = 0; index < static_cast<int>(model.parts.size()); ++index) {
    const Part& part = model.parts[index];
    if (!isSawn(part)) {
      continue;
    }
    Sawn& sawn = by_section[{part.material, stockOf(part, model.spec.gate.cladding)}];
    sawn.is_timber = isTimber(part);
    int piece = 0;
    for (const double length : pieceLengths_mm(part)) {
      sawn.pieces.push_back({pieceMark(part, piece++), length, quantityOf(model, index)});
    }
  }
  return by_section;
}

}  // namespace

StockRules stockRules(const ShopSpec& shop, bool is_timber) {
  if (is_timber) {
    return {shop.timber_lengths_mm.value_or(kUsualTimberMm), shop.kerf_mm, shop.trim_mm};
  }
  return {shop.stock_lengths_mm.value_or(
              std::vector<double>(kUsualStock_mm.begin(), kUsualStock_mm.end())),
          shop.kerf_mm, shop.trim_mm};
}

std::vector<StockGroup> stockGroups(const Model& model) {
  std::vector<StockGroup> groups;
  for (const auto& [key, sawn] : sawnPieces(model)) {
    const StockRules rules = stockRules(model.spec.shop, sawn.is_timber);
    StockGroup group{key.first, key.second, sawn.pieces, planStock(sawn.pieces, rules)};
    groups.push_back(std::move(group));
  }
  return groups;
}

std::vector<TooLongPiece> piecesLongerThanStock(const Model& model) {
  std::vector<TooLongPiece> found;
  for (const auto& [key, sawn] : sawnPieces(model)) {
    const StockRules rules = stockRules(model.spec.shop, sawn.is_timber);
    for (const StockPiece& piece : tooLongPieces(sawn.pieces, rules)) {
      found.push_back({piece.mark, key.second, piece.length_mm,
                       sawn.is_timber ? "/shop/timber_lengths_mm" : "/shop/stock_lengths_mm"});
    }
  }
  return found;
}

}  // namespace leafstack
