// summary.html and tables/ropes.csv: whole, well-formed, escaped, and the same figures as the
// loads.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <numbers>
#include <string>
#include <vector>

#include "exporters/bytes/xml_text.h"
#include "exporters/lists/tables.h"
#include "exporters/page/summary_page.h"
#include "exporters/paper/pictures/picture.h"
#include "generator/loads/sheet.h"
#include "generator/verdict/warnings.h"
#include "params/catalogue/catalogue.h"
#include "tests/support/built_gates.h"
#include "tests/support/markup.h"

namespace leafstack {
namespace {

struct Page {
  Model model;
  Schedules schedules;
  ClashReport clash;
  std::string html;
};

Page pageOf(gates::Changes changes) {
  const GateSpec spec = gates::specWith(changes);
  Page page{buildModel(spec, gates::laidOut(spec)), {}, {}, ""};
  page.schedules = makeSchedules(page.model);
  const GatePictures pictures(page.model);
  const std::string closed = pictures.svgAt(0);
  const std::string open = pictures.svgAt(page.model.layout.drive_travel_mm);
  page.html = summaryPage({page.model,
                           page.schedules,
                           page.clash,
                           {warningsOf(page.model, page.schedules)},
                           closed,
                           open},
                          {"2024-01-01T00:00:00Z", std::string(64, 'a')});
  return page;
}

TEST(SummaryPage, IsWellFormedAndNeedsNothingElse) {
  for (gates::Changes changes :
       {gates::Changes{}, gates::Changes{{"/gate/panels", 1}},
        gates::Changes{{"/gate/panels", 3}, {"/site/grade", -0.1}, {"/site/opens", "left"}}}) {
    const Page page = pageOf(changes);
    EXPECT_EQ(markupFault(page.html), "");
    for (const char* outside : {"<script", " src=", " href=", "url(", "@import", "<link", "<img"}) {
      EXPECT_EQ(page.html.find(outside), std::string::npos) << outside;
    }
    EXPECT_EQ(page.html.rfind("<!DOCTYPE html>\n", 0), 0U);
  }
}

TEST(SummaryPage, TellsEveryLineWarningFigureAndCaution) {
  const Page page = pageOf({{"/gate/panels", 3}, {"/site/grade", -0.1}});
  const auto expectTold = [&](const std::string& text) {
    EXPECT_NE(page.html.find(xmlEscaped(text)), std::string::npos) << text;
  };
  const std::vector<Warning> warnings = warningsOf(page.model, page.schedules);
  ASSERT_FALSE(warnings.empty());
  for (const SheetSection& section : calculationSheet(page.model, page.schedules.loads)) {
    expectTold(section.title);
    for (const SheetLine& line : section.lines) {
      expectTold(line.what);
      expectTold(line.formula);
      expectTold(line.value);
    }
  }
  for (const Warning& warning : warnings) {
    expectTold(warning.text);
  }
  for (const SafetyFigure& figure : safetyFigures()) {
    expectTold(figure.text);
  }
  for (const std::string& caution : cautions({})) {
    expectTold(caution);
  }
  for (const RopeRow& rope : page.schedules.loads.ropes) {
    expectTold(rope.mark);
  }
}

TEST(SummaryPage, EscapesWhatTheOwnerWrote) {
  const Page page = pageOf(
      {{"/job/title", "A <b>\"gate\"</b> & more"}, {"/job/client", "<script>alert(1)</script>"}});
  EXPECT_EQ(page.html.find("<script>"), std::string::npos);
  EXPECT_EQ(page.html.find("<b>\"gate\""), std::string::npos);
  EXPECT_EQ(markupFault(page.html), "");
}

std::vector<std::string> linesOf(const std::string& csv) {
  std::vector<std::string> lines;
  std::size_t from = 0;
  for (std::size_t end = 0; (end = csv.find("\r\n", from)) != std::string::npos; from = end + 2) {
    lines.push_back(csv.substr(from, end - from));
  }
  return lines;
}

TEST(RopeTable, HasEveryRopeWithItsOrderLength) {
  const Page page = pageOf({{"/gate/panels", 4}, {"/ropes/termination", "clips"}});
  const std::vector<std::string> lines = linesOf(ropesCsv(page.schedules));
  ASSERT_EQ(lines.size(), 7U);
  for (std::size_t i = 0; i < 6; ++i) {
    const RopeRow& row = page.schedules.loads.ropes[i];
    const std::string begins = row.mark + "," + std::to_string(row.carrier) + "," +
                               (row.opening ? "opening" : "closing") + ",7x19,3.0," +
                               std::to_string(static_cast<int>(row.order_length_mm)) + ",";
    EXPECT_EQ(lines[i + 1].rfind(begins, 0), 0U) << lines[i + 1];
    // Two clips an end and the turn-back of row W11, 3-1/4 in.
    EXPECT_NEAR(row.order_length_mm, row.length_mm + 2 * 82.55, 1);
    EXPECT_NE(lines[i + 1].find(",loops with clips,2,"), std::string::npos);
  }
  EXPECT_EQ(linesOf(ropesCsv(pageOf({{"/gate/panels", 1}}).schedules)).size(), 1U);
}

// ---------------------------------------------------------------- coating and stock

// Row T5, calculated by R3's formulas: SHS 50x50x3 has an outer girth of 189.699 mm and 540.823 mm2
// of metal. Outside of a stile: girth x length and both end faces; inside, 47 and 44 wide with
// corners of 3: 176 - (8 - 2 pi) x 3.
TEST(CoatingTable, StileByHand) {
  const GateSpec spec = gates::specWith({});
  Model model = buildModel(spec, gates::laidOut(spec));
  measureAreas(model);
  const Schedules schedules = makeSchedules(model);
  const auto stile = std::find_if(schedules.coating.begin(), schedules.coating.end(),
                                  [](const CoatingRow& row) { return row.name == "stile"; });
  ASSERT_NE(stile, schedules.coating.end());
  const double outside = 189.699 * 1500 + 2 * 540.823;
  const double inside = (176 - (8 - 2 * std::numbers::pi) * 3) * 1500;
  EXPECT_NEAR(stile->outside_m2 * 1e6, outside, 2);
  EXPECT_NEAR(stile->all_m2 * 1e6, outside + inside, 2);
  // The last line sums the rows above it.
  const std::vector<std::string> lines = linesOf(coatingCsv(schedules));
  ASSERT_EQ(lines.size(), schedules.coating.size() + 2);
  double all = 0;
  for (const CoatingRow& row : schedules.coating) {
    EXPECT_LE(row.outside_m2, row.all_m2) << row.mark;
    EXPECT_GT(row.outside_m2, 0) << row.mark;
    all += row.all_m2 * row.quantity;
  }
  EXPECT_EQ(lines.back().rfind(",total,,,,,", 0), 0U) << lines.back();
  EXPECT_NEAR(std::stod(lines.back().substr(11)), all, 1e-4);
}

// Every sawn piece of the gate is in the plan as often as it stands in the gate.
TEST(StockTable, HasEveryPieceAsOftenAsTheGate) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 3}, {"/site/opening_mm", 9000}});
  const Model model = buildModel(spec, gates::laidOut(spec));
  Schedules schedules = makeSchedules(model);
  planStock(model, schedules);
  std::map<std::string, double> metres;
  for (const StockGroup& group : schedules.stock) {
    for (const StockBar& bar : group.plan.bars) {
      for (const StockCut& cut : bar.cuts) {
        metres[cut.mark] += cut.length_mm;
      }
    }
    EXPECT_TRUE(group.plan.too_long.empty()) << group.section;
  }
  int sawn = 0;
  for (const CutRow& row : schedules.cut_list) {
    const bool is_bar = row.section.rfind("plate", 0) != 0 && row.section.rfind("sheet", 0) != 0 &&
                        row.section.rfind("bent", 0) != 0 && row.section.rfind("strip", 0) != 0;
    EXPECT_NEAR(metres[row.mark], is_bar ? row.length_mm * row.quantity : 0, 1e-6) << row.mark;
    sawn += is_bar ? 1 : 0;
  }
  EXPECT_GT(sawn, 8);
}

}  // namespace
}  // namespace leafstack
