#include "generator/shop/stock/stock_rows.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "generator/shop/flat/flat_profile.h"

namespace leafstack {
namespace {

// Usual stock; common practice, no source.
const std::vector<double> kUsualStockMm = {6000, 6500, 8000};

bool isSawn(const Part& part) {
  const bool bar = part.supply == Supply::kCutTube || part.supply == Supply::kCutBar;
  return bar && !isFlatWork(part) && part.length_mm > 0;
}

int quantityOf(const Model& model, int part) {
  return static_cast<int>(
      std::count_if(model.instances.begin(), model.instances.end(),
                    [part](const Instance& instance) { return instance.part == part; }));
}

/// A track bar in as few equal lengths as the longest stock allows.
StockPiece trackPiece(StockPiece piece, double longest_mm) {
  if (piece.length_mm > longest_mm) {
    const double lengths = std::ceil(piece.length_mm / longest_mm);
    piece.length_mm /= lengths;
    piece.quantity *= static_cast<int>(lengths);
  }
  return piece;
}

/// Pieces by material and section, as they are to be sawn.
using Pieces = std::map<std::pair<std::string, std::string>, std::vector<StockPiece>>;

Pieces sawnPieces(const Model& model) {
  const StockRules rules = stockRules(model.spec.shop);
  const double longest =
      *std::max_element(rules.stock_mm.begin(), rules.stock_mm.end()) - rules.trim_mm;
  Pieces by_section;
  for (int index = 0; index < static_cast<int>(model.parts.size()); ++index) {
    const Part& part = model.parts[index];
    if (!isSawn(part)) {
      continue;
    }
    StockPiece piece{part.mark, part.length_mm, quantityOf(model, index)};
    by_section[{part.material, part.section}].push_back(
        part.kind == PartKind::kTrack ? trackPiece(piece, longest) : piece);
  }
  return by_section;
}

}  // namespace

StockRules stockRules(const ShopSpec& shop) {
  return {shop.stock_lengths_mm.value_or(kUsualStockMm), shop.kerf_mm, shop.trim_mm};
}

std::vector<StockGroup> stockGroups(const Model& model) {
  const StockRules rules = stockRules(model.spec.shop);
  std::vector<StockGroup> groups;
  for (const auto& [key, pieces] : sawnPieces(model)) {
    StockGroup group{key.first, key.second, pieces, planStock(pieces, rules)};
    groups.push_back(std::move(group));
  }
  return groups;
}

std::vector<TooLongPiece> piecesLongerThanStock(const Model& model) {
  const StockRules rules = stockRules(model.spec.shop);
  std::vector<TooLongPiece> found;
  for (const auto& [key, pieces] : sawnPieces(model)) {
    for (const StockPiece& piece : tooLongPieces(pieces, rules)) {
      found.push_back({piece.mark, key.second, piece.length_mm});
    }
  }
  return found;
}

}  // namespace leafstack
