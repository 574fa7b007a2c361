// What a shelf says of its items besides sizes: names, masses and ratings in lists and loads.
#include <gtest/gtest.h>

#include <algorithm>

#include "exporters/lists/tables.h"
#include "generator/compare/cost/estimate.h"
#include "generator/layout/layout.h"
#include "generator/model/part_store.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/ratings.h"
#include "generator/verdict/warnings.h"
#include "params/read_gate.h"
#include "params/table/table.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

GateSpec specWithHardware(const std::string& hardware) {
  const ReadResult read = readGate(
      R"({"site": {"opening_mm": 6000}, "gate": {"panels": 3}, "hardware": )" + hardware + "}",
      "gate.json");
  EXPECT_TRUE(read.gate) << (read.problems.empty() ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

constexpr const char* kNamed = R"({
  "wheel": {"item": "W-100", "supplier": "Yard", "finish": "zinc plated", "mass_kg": 1.5,
            "rating_N": 500},
  "pulley": {"mass_kg": 0.9, "rating_N": 3000}, "guide": {"mass_kg": 0.4},
  "rack": {"mass_kg": 4}, "terminal": {"item": "T 3", "rating_N": 100},
  "motor": {"item": "M 1", "mass_kg": 14}})";

struct BuiltShelf {
  Model model;
  Schedules schedules;
};

BuiltShelf builtWith(const std::string& hardware) {
  const GateSpec spec = specWithHardware(hardware);
  BuiltShelf built{buildModel(spec, layOut(spec).layout), {}};
  built.schedules = makeSchedules(built.model);
  return built;
}

const PartRow& partOf(const BuiltShelf& built, PartKind kind) {
  for (std::size_t i = 0; i < built.model.parts.size(); ++i) {
    if (built.model.parts[i].kind == kind) {
      return built.schedules.parts[i];
    }
  }
  throw std::out_of_range("no such part");
}

TEST(ShelfItems, MassesOfTheSupplierBeatTheSolids) {
  const BuiltShelf plain = builtWith("\"medium\"");
  const BuiltShelf named = builtWith(kNamed);
  EXPECT_EQ(partOf(named, PartKind::kWheel).mass_kg, 1.5);
  EXPECT_TRUE(partOf(named, PartKind::kWheel).mass_is_suppliers);
  EXPECT_EQ(partOf(named, PartKind::kAxle).mass_kg, partOf(plain, PartKind::kAxle).mass_kg);
  EXPECT_EQ(partOf(named, PartKind::kMotor).mass_kg, 14);
  const PartRow& rack = partOf(named, PartKind::kRack);
  EXPECT_NEAR(rack.mass_kg, 4 * rack.length_mm / 1000, 1e-9) << "pieces of 1000 mm";
  // Front panel, by hand: two wheels and nothing else of these.
  const double by_wheels = 2 * (1.5 - partOf(plain, PartKind::kWheel).mass_kg);
  EXPECT_NEAR(named.schedules.panel_mass_kg.back() - plain.schedules.panel_mass_kg.back(),
              by_wheels, 1e-9);
}

// compare weighs panels without solids: it has to know of the same masses.
TEST(ShelfItems, EstimatesTakeThemToo) {
  const BuiltShelf named = builtWith(kNamed);
  const std::vector<Bill> bills =
      Estimator(named.model.spec).panelsOf(named.model.spec, named.model.layout);
  for (std::size_t panel = 0; panel < bills.size(); ++panel) {
    const double solids = named.schedules.panel_mass_kg[panel];
    EXPECT_NEAR(bills[panel].massKg(), solids, kEstimateAgreement * solids) << panel + 1;
  }
}

// A store keeps parts of one identity: the supplier's mass is no part of it.
TEST(ShelfItems, KeptPartsTakeTheMassOfTheirOwnGate) {
  PartStore store;
  const GateSpec named = specWithHardware(kNamed);
  const GateSpec plain = specWithHardware("\"medium\"");
  const Layout layout = layOut(plain).layout;
  const Model first = buildModel(named, layout, &store);
  const Model second = buildModel(plain, layout, &store);
  for (const Part& part : second.parts) {
    EXPECT_FALSE(part.supplier_mass_kg) << part.mark;
  }
  EXPECT_EQ(gates::onlyPart(first, PartKind::kWheel).massKg(), 1.5);
}

TEST(ShelfItems, NamesStandInTheBillOnlyWhereTheyAreGiven) {
  const std::string plain = billCsv(builtWith("\"medium\"").schedules);
  EXPECT_EQ(plain.find("supplier"), std::string::npos);
  const std::string named = billCsv(builtWith(kNamed).schedules);
  EXPECT_NE(named.find("mass_total_kg,item,supplier,finish"), std::string::npos) << named;
  EXPECT_NE(named.find("W-100,Yard,zinc plated"), std::string::npos) << named;
}

std::string warningOf(const BuiltShelf& built, const std::string& id) {
  std::string text;
  for (const Warning& one : warningsOf(built.model, built.schedules)) {
    if (one.id == id) {
      EXPECT_TRUE(text.empty()) << "told twice: " << id;
      text = one.text;
    }
  }
  return text;
}

// The wheel carries its share of a panel: more than 500 N. The rope's pull is above 100 N.
TEST(ShelfItems, OverItsRatingIsAWarningWithItsFigure) {
  const BuiltShelf named = builtWith(kNamed);
  const std::string wheel = warningOf(named, "wheel-overload");
  EXPECT_NE(wheel.find("more than the 500 N that W-100 is rated for"), std::string::npos) << wheel;
  EXPECT_NE(warningOf(named, "terminal-overload").find("100 N that T 3"), std::string::npos);
  EXPECT_EQ(warningOf(named, "pulley-overload"), "");
  double most = 0;
  for (const PanelLoad& panel : named.schedules.loads.panels) {
    most = std::max({most, panel.leading_wheel_N, panel.trailing_wheel_N});
  }
  const auto loads = ratedLoads(named.model.spec, named.schedules.loads);
  EXPECT_EQ(loads.front().load_N, most);
  EXPECT_TRUE(loads.front().isOver());
}

TEST(ShelfItems, MissingRatingsAreToldOnceWhereOthersAreGiven) {
  const std::string missing = warningOf(builtWith(kNamed), "ratings-missing");
  for (const char* words : {"a rope bracket", "a guide block", "the rack"}) {
    EXPECT_NE(missing.find(words), std::string::npos) << missing;
  }
  EXPECT_EQ(missing.find("a track wheel"), std::string::npos) << missing;
  EXPECT_EQ(warningOf(builtWith("\"heavy\""), "ratings-missing"), "") << "nobody's own";
}

/// The caution about generic sizes; "" where there is none.
std::string genericOf(const GateSpec& spec) {
  for (const std::string& caution : cautions(spec.hardware)) {
    if (caution.find("generic") != std::string::npos) {
      return caution;
    }
  }
  return "";
}

TEST(ShelfItems, OnlyGenericSizesAreCalledGeneric) {
  EXPECT_EQ(genericOf(specWithHardware("\"heavy\"")).find("Hardware sizes are generic"), 0U);
  const GateSpec some = specWithHardware(R"({"wheel": {"width_mm": 25}})");
  EXPECT_EQ(some.hardware.sizes - some.hardware.generic_sizes, 1);
  EXPECT_EQ(genericOf(some).find(std::to_string(some.hardware.generic_sizes) + " of "), 0U);
  GateSpec own = some;
  own.hardware.generic_sizes = 0;
  EXPECT_EQ(genericOf(own), "");
}

// Every kind that is bought and of the shelf has one item of its group that lists name; what only
// the shop cuts has none.
TEST(ShelfItems, EveryGroupHasPartsAndAnItem) {
  for (const Parameter* group : childrenOf("/hardware")) {
    if (group->kind != Kind::kGroup) {
      continue;
    }
    const std::string_view name = keyOf(*group);
    const bool is_cut = std::all_of(kPartKinds.begin(), kPartKinds.end(), [&](const auto& row) {
      return row.shelf != name || row.supply == Supply::kCutPlate;
    });
    EXPECT_NE(is_cut,
              std::any_of(kPartKinds.begin(), kPartKinds.end(),
                          [&](const auto& row) { return row.shelf == name && row.is_item; }))
        << name;
  }
}

}  // namespace
}  // namespace leafstack
