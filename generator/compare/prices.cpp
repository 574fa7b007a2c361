#include "generator/compare/prices.h"
#include "generator/compare/arrangement.h"
#include "generator/compare/cost/estimate.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/layout.h"

namespace leafstack {
namespace {

/// Adds up one arrangement.
class Counter {
 public:
  Counter(const PriceList& prices, bool in_words) : prices_(prices), in_words_(in_words) {
    if (!prices.carbon.empty()) {
      cost.carbon_kg = Amount{};
    }
  }

  /// By the metre where the list has a price for that, else by the kg.
  void material(std::string_view metre, std::string_view what, std::string_view of,
                const Quantity& quantity) {
    if (quantity.mass_kg == 0) {
      return;
    }
    carbon(metre == "rope" ? "steel" : of, quantity.mass_kg);
    const auto per_m = prices_.per_m.find(metre);
    if (per_m != prices_.per_m.end()) {
      add(cost.material, what, amountOf(quantity.length_mm / kMmPerM), "m", per_m->second);
      return;
    }
    priced(prices_.per_kg, of, cost.material, what, amountOf(quantity.mass_kg), "kg");
  }
  void item(std::string_view what, int count) {
    if (count > 0) {
      priced(prices_.per_item, what, cost.items, what, amountOf(count), "");
    }
  }
  void digging(double m3) {
    if (m3 > 0 && prices_.per_m3_dug) {
      add(cost.digging, "pocket dug", amountOf(m3), "m3", *prices_.per_m3_dug);
    } else if (m3 > 0) {
      missing("pocket dug");
    }
  }
  /// What the list has no hours for is missing, but where it has none at all: then all work is.
  void work(std::string_view what, double count) {
    if (count <= 0 || prices_.hours.empty()) {
      return;
    }
    const auto hours = prices_.hours.find(what);
    if (hours == prices_.hours.end()) {
      missing("hours for " + std::string(what));
      return;
    }
    hours_.parts += times(amountOf(count), hours->second).parts;
  }
  void finishWork() {
    if (prices_.per_hour && !prices_.hours.empty()) {
      add(cost.labour, "work", hours_, "h", *prices_.per_hour);
    } else {
      missing("work");
    }
  }
  /// None as soon as the list has no factor for something.
  void carbon(std::string_view of, double mass_kg) {
    if (mass_kg == 0 || !cost.carbon_kg) {
      return;
    }
    const auto factor = prices_.carbon.find(of);
    if (factor == prices_.carbon.end()) {
      cost.carbon_kg.reset();
      return;
    }
    cost.carbon_kg->parts += times(amountOf(mass_kg), factor->second.kg_per_kg).parts;
  }

  Cost cost;

 private:
  void add(Money& into, std::string_view what, Amount quantity, const char* unit, Price price) {
    const Money sum = leafstack::costOf(quantity, price);
    into += sum;
    if (in_words_) {
      cost.lines.push_back({std::string(what), quantity, unit, price, sum});
    }
  }
  void missing(std::string_view what) {
    ++cost.missing;
    if (in_words_) {
      cost.unpriced.emplace_back(what);
    }
  }
  void priced(const PriceList::Prices& list, std::string_view name, Money& into,
              std::string_view what, Amount quantity, const char* unit) {
    const auto found = list.find(name);
    if (found == list.end()) {
      missing(what);
      return;
    }
    add(into, what, quantity, unit, found->second);
  }

  const PriceList& prices_;
  bool in_words_;
  Amount hours_;
};

}  // namespace

Cost costOf(const PriceList& prices, const GateSpec& spec, const Arrangement& arrangement,
            const Bill& gate, bool in_words) {
  const PanelSpec& frame = spec.gate;
  const std::string_view metal = frame.material == FrameMaterial::kSteel ? "steel" : "aluminium";
  Counter counter(prices, in_words);
  counter.material(frame.bottom_rail.designation, "bottom rails", metal,
                   gate.of(Stock::kBottomRail));
  counter.material(frame.top_rail.designation, "top rails", metal, gate.of(Stock::kTopRail));
  counter.material(frame.stile.designation, "stiles", metal, gate.of(Stock::kStile));
  counter.material(frame.infill.section.designation, "infill", metal, gate.of(Stock::kInfill));
  counter.material("", "sheets", metal, gate.of(Stock::kSheet));
  counter.material("", "cladding", "timber", gate.of(Stock::kCladding));
  counter.material("guide rail", "guide rails", metal, gate.of(Stock::kGuideRail));
  counter.material("guide channel", "guide channels", "steel", gate.of(Stock::kGuideChannel));
  const bool is_nylon = spec.hardware.rack.material == RackMaterial::kNylon;
  counter.material("rack", "rack", is_nylon ? "" : "steel", gate.of(Stock::kRack));
  // By the metre or by the piece, whichever the list has.
  const bool by_metre = prices.per_m.contains("rope");
  if (by_metre) {
    counter.material("rope", "rope", "", gate.of(Stock::kRope));
  }
  counter.item("track wheel", gate.of(Stock::kWheel).items);
  counter.item("rope pulley", arrangement.pulleys);
  // The panels' and the ground's.
  const int brackets = gate.of(Stock::kRopeBracket).items + (arrangement.ropes > 0 ? 1 : 0);
  counter.item("rope bracket", brackets);
  counter.item("rope", by_metre && !prices.per_item.contains("rope") ? 0 : arrangement.ropes);
  counter.item("guide block", arrangement.choice.panels);
  counter.item(nameOf(arrangement.choice.mount), 1);
  counter.item(std::string(arrangement.choice.motorName()) + " motor", 1);
  counter.digging(arrangement.pocket_m3);
  counter.work("gate", 1);
  counter.work("panel", arrangement.choice.panels);
  counter.work("rope", arrangement.ropes);
  counter.work(nameOf(arrangement.choice.mount), 1);
  counter.work("m3 dug", arrangement.pocket_m3);
  counter.finishWork();
  return counter.cost;
}

}  // namespace leafstack
