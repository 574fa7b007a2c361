// Which tubes and bars are cut from which stock lengths: pieces by material and section.
#pragma once

#include <string>
#include <vector>

#include "generator/model/model.h"
#include "generator/shop/stock/stock_plan.h"

namespace leafstack {

/// All pieces of one section, and how they are cut.
struct StockGroup {
  std::string material, section;
  std::vector<StockPiece> pieces;
  StockPlan plan;
};

/// What no stock length gives.
struct TooLongPiece {
  std::string mark, section;
  double length_mm = 0;
  const char* stock_at = "";  ///< where the gate file says what lengths there are
};

/// Without planning anything: quick. In the order of stockGroups().
std::vector<TooLongPiece> piecesLongerThanStock(const Model& model);

/// The gate file's rules for metal or for boards and battens, "auto" filled in.
StockRules stockRules(const ShopSpec& shop, bool is_timber = false);

/// Groups in order of material and section. Plates and folded blanks are not among them. Boards and
/// battens that are narrower than the others are ripped from one as wide, each from its own length.
/// What is too long stands in StockPlan::too_long; strips are cut from sheet.
std::vector<StockGroup> stockGroups(const Model& model);

}  // namespace leafstack
