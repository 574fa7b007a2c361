// A fabricator's prices and hours as a file, and what an arrangement costs by them.
//
// JSON, in the currency's own units: prices up to four decimals, hours likewise, no number below 0.
// Every price may be left out: what has none is named, is in no sum, and keeps arrangements from
// being ranked by cost. 0 is a price. A section with a price per metre is charged by the metre,
// otherwise by the kg of its material.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "generator/compare/cost/cost.h"
#include "params/reading/diagnostics.h"

namespace leafstack {

/// Work of one kind: so many hours a unit, at so much an hour.
struct Operation {
  std::optional<Price> hours;     ///< for each piece, hole, metre, panel, rope, m3 or gate
  std::optional<Price> per_hour;  ///< none: the list's
};

/// kg of CO2 equivalent in a kg of a material, and who says so.
struct CarbonFactor {
  Price kg_per_kg;
  std::string source;
};

struct PriceList {
  using Prices = std::map<std::string, Price, std::less<>>;

  std::string currency, valid_until;
  Prices per_kg;    ///< steel, aluminium, timber, plate, galvanising
  Prices per_m;     ///< by section designation, or rope, rack, guide rail, guide channel
  Prices per_m2;    ///< galvanising, powder coating, paint
  Prices per_m3;    ///< concrete
  Prices per_item;  ///< motors, mounts, wheels, pulleys ...
  Prices items;     ///< by supplier's reference or by the words of tables/order.csv
  std::optional<Price> per_m3_dug, per_hour;
  Prices hours;  ///< of work, roughly, for comparing: gate, panel, rope, mounts, m3 dug
  /// Of work in full: cut, drill, plate, weld, assemble, rope, install, dig, gate.
  std::map<std::string, Operation, std::less<>> operations;
  std::optional<Price> margin_percent, tax_percent;
  std::map<std::string, CarbonFactor, std::less<>> carbon;  ///< steel, aluminium, timber
  /// Between two looks at it: ropes, wheels, guides, screws, stops, drive, forces.
  Prices maintenance_months;
};

struct PriceResult {
  std::optional<PriceList> prices;  ///< empty exactly when `problems` is not
  std::vector<Diagnostic> problems;
};

/// Reads a price list; reports every problem at once, unknown keys with a suggestion. A list may
/// price motors of many shelves: one that is none of `motors`, by name, is a problem only where its
/// name is nearly that of one.
PriceResult readPrices(std::string_view text, std::string_view source_name,
                       std::span<const std::string> motors = {});

struct Arrangement;
struct Bill;
struct GateSpec;

/// `gate` is the whole gate's bill.
Cost costOf(const PriceList& prices, const GateSpec& spec, const Arrangement& arrangement,
            const Bill& gate, bool in_words);

}  // namespace leafstack
