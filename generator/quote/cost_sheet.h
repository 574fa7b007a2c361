// What a gate costs by a firm's price list, line by line from the gate's own lists: the office's
// sheet behind a quotation.
//
// Quantities are rounded to the thousandth of their unit before they meet their price, each line to
// the hundredth of the currency, half away from zero; all sums are of rounded lines (decimal.h).
//
// Properties (tests/quote/cost_sheet_test.cpp, tests/readers/cost_sheet.py): C1 every line is its
// quantity times its price, and every sum its lines'; C2 everything in tables/order.csv is in
// exactly one line or named as missing; C3 what is missing is in no sum, and the sheet is then
// incomplete; C4 the same for any order of the price list.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "generator/compare/prices.h"
#include "generator/shop/schedules.h"

namespace leafstack {

enum class CostGroup { kSections, kPlates, kBought, kConcrete, kCoating, kWork };
inline constexpr int kCostGroups = static_cast<int>(CostGroup::kWork) + 1;

struct SheetCost {
  CostGroup group{};
  std::string what;   ///< as in the lists: "SHS 50x50x3", "track wheel, dia 100 ...", "weld"
  std::string marks;  ///< of the parts that it is for; "" for work
  Amount quantity;    ///< of work: what is counted, before it is turned into hours
  std::string unit;   ///< "m", "kg", "m2", "m3", "piece", "box of 100", "hole" ...
  std::optional<Price> hours_each;  ///< of work
  Amount hours;                     ///< of work: quantity times that
  std::optional<Price> price;       ///< for a unit, of work for an hour; none: missing
  std::string priced_as;            ///< which entry of the price list: "/per_m/SHS 50x50x3"
  Money cost;                       ///< 0 where missing

  bool isMissing() const { return !price || (group == CostGroup::kWork && !hours_each); }
};

/// An entry of the price list's items that this gate has nothing for.
struct IdleItem {
  std::string entry;
  std::string meant;  ///< what is ordered under nearly that name; "" where nothing is
};

struct CostSheet {
  std::string currency, valid_until;
  std::vector<SheetCost> lines;  ///< by group, then as in the lists
  Money sums[kCostGroups] = {};
  Money cost;  ///< of all lines with a price
  std::optional<Price> margin_percent, tax_percent;
  Money margin, net, tax, gross;     ///< of what has a price
  std::vector<std::string> missing;  ///< what has no price, in words
  std::vector<IdleItem> idle;        ///< a list may serve many gates: no fault by itself
  bool isComplete() const { return missing.empty(); }
};

/// `schedules` with stock, welds and cutouts filled in, of a model with areas.
CostSheet costSheet(const PriceList& prices, const Schedules& schedules);
/// Of a gate that nobody has built: its solids and lists are made for it. None where it cannot be
/// laid out or built.
std::optional<CostSheet> costSheetOf(const PriceList& prices, const GateSpec& spec);

}  // namespace leafstack
