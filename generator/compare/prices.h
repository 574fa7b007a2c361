// A fabricator's price list, and what an arrangement costs by it.
//
// JSON. Every price may be left out; what has none is not in the total. A section with a price per
// metre is charged by the metre, otherwise by the kg of its material.
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

struct PriceList {
  using Prices = std::map<std::string, double, std::less<>>;

  std::string currency;
  Prices per_kg;    ///< steel, aluminium, timber
  Prices per_m;     ///< by section designation, or rope, rack, guide rail, guide channel
  Prices per_item;  ///< motors, mounts, wheels, pulleys ...
  std::optional<double> per_m3_dug, per_hour;
  Prices hours;  ///< of work: gate, panel, rope, mounts, m3 dug
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
