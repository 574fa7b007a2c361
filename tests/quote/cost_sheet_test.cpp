// The cost sheet beside the lists it is made from; tests/readers/cost_sheet.py adds it up anew.
// Prices are invented.
#include <gtest/gtest.h>

#include <numbers>
#include <set>
#include <sstream>

#include "generator/quote/cost_sheet.h"
#include "generator/shop/bar_area.h"
#include "generator/shop/order.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

struct Priced {
  Model model;
  Schedules schedules;
};

Priced pricedGate(gates::Changes changes) {
  const GateSpec spec = gates::specWith(changes);
  Priced made{buildModel(spec, gates::laidOut(spec)), {}};
  made.schedules = makeSchedules(made.model);
  planStock(made.model, made.schedules);
  findWelds(made.model, made.schedules);
  findCutouts(made.model, made.schedules);
  return made;
}

PriceList listOf(const char* text) {
  const PriceResult read = readPrices(text, "prices");
  EXPECT_TRUE(read.prices);
  return read.prices.value_or(PriceList{});
}

std::multiset<std::string> marksIn(const std::string& text) {
  std::istringstream words(text);
  return {std::istream_iterator<std::string>(words), {}};
}

TEST(CostSheet, WithoutPricesEverythingIsMissingAndNothingIsSummed) {
  const Priced gate = pricedGate({});
  const CostSheet sheet = costSheet(PriceList{}, gate.schedules);
  EXPECT_FALSE(sheet.isComplete());
  EXPECT_EQ(sheet.gross, Money{});
  EXPECT_EQ(sheet.missing.size(), sheet.lines.size() + 2);  // margin and tax
  for (const SheetCost& line : sheet.lines) {
    EXPECT_TRUE(line.isMissing()) << line.what;
  }
}

// C2: marks of the order are in the sheet exactly once.
TEST(CostSheet, EverythingOrderedIsInOneLine) {
  for (gates::Changes changes :
       {gates::Changes{}, gates::Changes{{"/gate/panels", 1}},
        gates::Changes{{"/gate/panels", 3}, {"/gate/cladding/kind", "boards"}}}) {
    const Priced gate = pricedGate(changes);
    std::multiset<std::string> in_sheet;
    std::set<std::string> ordered, listed;
    for (const SheetCost& line : costSheet(PriceList{}, gate.schedules).lines) {
      in_sheet.merge(marksIn(line.group == CostGroup::kConcrete ? "" : line.marks));
    }
    for (const OrderRow& row : orderRows(gate.schedules)) {
      if (row.unit != "m3") {
        const auto marks = marksIn(row.marks);
        ordered.insert(marks.begin(), marks.end());
      }
    }
    listed.insert(in_sheet.begin(), in_sheet.end());
    EXPECT_EQ(listed, ordered);
    for (const std::string& mark : listed) {
      EXPECT_EQ(in_sheet.count(mark), 1U) << mark;
    }
  }
}

// By hand: 2 h x 40 a panel and 10 % on it, 20 % tax on that; the margin of what is missing is
// none.
TEST(CostSheet, SumsByHand) {
  const Priced gate = pricedGate({});
  const CostSheet sheet = costSheet(
      listOf(R"({"currency": "EUR", "operations": {"assemble": {"hours": 2, "per_hour": 40}},
                 "items": {"track wheel": 24.55}, "margin_percent": 10, "tax_percent": 20})"),
      gate.schedules);
  const std::int64_t cents = 2 * 2 * 40'00 + 4 * 24'55;
  EXPECT_EQ(sheet.cost, Money{cents});
  EXPECT_EQ(sheet.margin, Money{2582});  // of 258.20
  EXPECT_EQ(sheet.net, Money{28402});
  EXPECT_EQ(sheet.tax, Money{5680});  // 56.804
  EXPECT_EQ(sheet.gross, Money{34082});
  EXPECT_FALSE(sheet.isComplete());
}

TEST(CostSheet, ZeroIsAPriceAndALongerNameComesFirst) {
  const Priced gate = pricedGate({});
  const CostSheet sheet = costSheet(
      listOf(R"({"items": {"stop buffer": 0, "screw": 9, "screw M8x16": 7.5}})"), gate.schedules);
  int buffers = 0, screws = 0;
  for (const SheetCost& line : sheet.lines) {
    if (line.what.starts_with("stop buffer")) {
      ++buffers;
      EXPECT_FALSE(line.isMissing());
      EXPECT_EQ(line.cost, Money{});
    }
    if (line.what.starts_with("screw M8x16")) {
      ++screws;
      EXPECT_EQ(line.priced_as, "/items/screw M8x16");
      EXPECT_EQ(line.cost, Money{7'50});  // a box
    }
  }
  EXPECT_GT(buffers, 0);
  EXPECT_GT(screws, 0);
}

// Areas by hand: a tube's by EN 10219-2 with its rounded corners (4 T2 (2 - pi / 4) is not asked:
// 2 T (B + H - 2 T) - (4 - pi) (ro2 - ri2) with ro = 2 T, ri = T), solid bars' by their sizes.
TEST(CostSheet, BarsWeighWhatIsBought) {
  EXPECT_NEAR(barAreaMm2("SHS 50x50x3"), 2 * 3 * (50 + 50 - 6) - (4 - std::numbers::pi) * 27, 1e-9);
  EXPECT_DOUBLE_EQ(barAreaMm2("flat 35x15"), 525);
  EXPECT_DOUBLE_EQ(barAreaMm2("square 35"), 1225);
  EXPECT_NEAR(barAreaMm2("round 20"), 314.159265, 1e-6);
  EXPECT_DOUBLE_EQ(barAreaMm2("angle 32x32x4"), 240);
  EXPECT_DOUBLE_EQ(barAreaMm2("timber 120x28"), 3360);
  EXPECT_DOUBLE_EQ(barAreaMm2("sleeve dia 17.2, bore 12.2"), 0);  // turned from a round
  EXPECT_DOUBLE_EQ(barAreaMm2("lipped channel 80x40x4"), 0);
}

// A slip in a name of the firm's own cannot be refused: what prices nothing is told, beside what is
// ordered under nearly that name.
TEST(CostSheet, ItemsThatPriceNothingAreTold) {
  const Priced gate = pricedGate({});
  const CostSheet sheet = costSheet(
      listOf(
          R"({"items": {"standrad motor": 5, "weathercock": 7, "wheel bolt": 1, "track wheel": 20}})"),
      gate.schedules);
  ASSERT_EQ(sheet.idle.size(), 3U);
  EXPECT_EQ(sheet.idle[0].entry, "standrad motor");
  EXPECT_EQ(sheet.idle[0].meant, "standard motor");
  EXPECT_EQ(sheet.idle[1].entry, "weathercock");
  EXPECT_EQ(sheet.idle[1].meant, "");
  EXPECT_EQ(sheet.idle[2].entry, "wheel bolt");  // no slip for "wheel axle"
  EXPECT_EQ(sheet.idle[2].meant, "");
}

}  // namespace
}  // namespace leafstack
