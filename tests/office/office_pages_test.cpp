// The office's pages: well-formed, needing nothing else, every text from one table, and the same
// figures as the lists.
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "exporters/office/goods_pages.h"
#include "exporters/office/handover_page.h"
#include "exporters/office/install_page.h"
#include "exporters/office/quote_page.h"
#include "exporters/paper/pictures/picture.h"
#include "generator/handover/handover_rows.h"
#include "generator/installing/loading.h"
#include "generator/shop/order.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"
#include "tests/support/markup.h"

namespace leafstack {
namespace {

const Provenance kMade = {"2024-01-01T00:00:00Z", std::string(64, 'a')};

PriceList inventedPrices() {
  std::ifstream file(LEAFSTACK_SOURCE_DIR "/tests/quote/invented_prices.json");
  std::stringstream text;
  text << file.rdbuf();
  const PriceResult read = readPrices(text.str(), "prices");
  EXPECT_TRUE(read.prices);
  return read.prices.value_or(PriceList{});
}

struct Office {
  Model model;
  Schedules schedules;
  ClashReport clash;
  Advice advice;
  std::string picture;
  std::array<double, 3> scale{};

  std::vector<std::string> pages(const PriceList& prices,
                                 const PaperWords& say = englishWords()) const {
    const QuoteContents quote{model, schedules, clash, advice, prices, picture};
    const Installation plan = installationOf(model);
    return {quotePage(quote, kMade, say),
            costPage(quote, kMade, say),
            handoverPage({model, schedules, clash, advice, {picture, scale}, &prices}, kMade, say),
            ordersPage(model, schedules, kMade, say),
            packingPage(model, plan, kMade, say),
            installPage({model, schedules, clash, advice, plan}, kMade, say)};
  }
};

Office officeOf(gates::Changes changes) {
  const GateSpec spec = gates::specWith(changes);
  Office made{buildModel(spec, gates::laidOut(spec)), {}, {}, {}, "", {}};
  measureAreas(made.model);
  made.schedules = makeSchedules(made.model);
  planStock(made.model, made.schedules);
  findWelds(made.model, made.schedules);
  findCutouts(made.model, made.schedules);
  made.advice.warnings = warningsOf(made.model, made.schedules);
  const GatePictures pictures(made.model);
  made.picture = pictures.svgAt(0);
  made.scale = {pictures.scale().units_per_mm, pictures.scale().left_mm, pictures.scale().top_mm};
  return made;
}

std::size_t countOfText(const std::string& text, const std::string& wanted) {
  std::size_t count = 0;
  for (std::size_t at = text.find(wanted); at != std::string::npos;
       at = text.find(wanted, at + 1)) {
    ++count;
  }
  return count;
}

/// Without pictures that stand in the page itself: PNG by its signature in base 64.
std::string withoutPictures(std::string page) {
  const std::string head = "<img alt=\"\" src=\"data:image/png;base64,iVBORw0KGgo";
  for (std::size_t at = page.find(head); at != std::string::npos; at = page.find(head, at)) {
    page.erase(at, page.find("\">", at) + 2 - at);
  }
  return page;
}

TEST(OfficePages, AreWellFormedAndNeedNothingElse) {
  for (gates::Changes changes :
       {gates::Changes{{"/gate/panels", 1}},
        gates::Changes{{"/gate/panels", 3}, {"/site/grade", -0.1}, {"/site/opens", "left"}}}) {
    const Office office = officeOf(changes);
    for (const std::string& page : office.pages(inventedPrices())) {
      EXPECT_EQ(markupFault(withoutPictures(page)), "");
      for (const char* outside :
           {"<script", " src=", " href=", "url(", "@import", "<link", "<img"}) {
        EXPECT_EQ(withoutPictures(page).find(outside), std::string::npos) << outside;
      }
    }
  }
}

/// As if parts of one kind were of another.
void renameParts(Model& model, PartKind from, PartKind to) {
  for (Part& part : model.parts) {
    part.kind = part.kind == from ? to : part.kind;
  }
}

/// All pages of gates and price lists that between them say everything.
std::string everythingSaid(const PaperWords& say) {
  std::string all;
  const PriceList prices = inventedPrices();
  // A single panel, where no other fits; quoted with every finish; nothing stops, nothing proved.
  Office one = officeOf({{"/gate/panels", 1}, {"/site/opens", "left"}});
  one.model.spec.job = {"T", "N", "C", "F", "", "", "", "D", ""};
  one.model.spec.site.room_mm = 1;
  one.clash.verdict = Verdict::kTight;
  one.advice.warnings.push_back({.id = "made-up", .text = "hazard: made up.", .is_hazard = true});
  renameParts(one.model, PartKind::kEndStop, PartKind::kStile);
  renameParts(one.model, PartKind::kCatchBuffer, PartKind::kStile);
  renameParts(one.model, PartKind::kWheel, PartKind::kWheelCarrier);
  for (const ShopFinish finish : {ShopFinish::kNone, ShopFinish::kPainted, ShopFinish::kGalvanised,
                                  ShopFinish::kGalvanisedPowder}) {
    one.model.spec.shop.finish = finish;
    all += quotePage({one.model, one.schedules, one.clash, one.advice, prices, one.picture}, kMade,
                     say);
  }
  for (const std::string& page : one.pages(PriceList{}, say)) {
    all += page;
  }
  // Two on a slope, with options; ropes without and with covers.
  Office two = officeOf(
      {{"/site/grade", -0.1}, {"/shop/finish", "galvanised"}, {"/gate/cladding/kind", "boards"}});
  for (const PriceList& list : {PriceList{}, prices}) {
    for (const std::string& page : two.pages(list, say)) {
      all += page;
    }
    renameParts(two.model, PartKind::kPulleyCover, PartKind::kStile);
  }
  // Nothing of which a way is known, and ways from all sides; screws whose class no table has.
  Installation plan = installationOf(two.model);
  const auto ropes = std::find_if(plan.steps.begin(), plan.steps.end(), [](const auto& step) {
    return step.stage == InstallStage::kRopes;
  });
  std::vector<InstallGroup>& groups = ropes->groups;
  for (const Vec3& from : {Vec3{1, 0, 0}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, -1, 0},
                           Vec3{0, 0, 1}, Vec3{0, 0, -1}}) {
    groups.push_back(groups.front());
    groups.back().way = WayIn{{from, 10}, {{0, 0, 1}, 60}};
  }
  groups.push_back(groups.front());
  groups.back().way = WayIn{{{0, 0, 1}, 40}, {{1, 0, 0}, 150}, {{0, 0, 1}, 900}};
  groups.push_back(groups.front());
  groups.back().blocked = WaysIn::Meeting{0, 1};
  // Alike but for the side that they come from, and how far; stops and catch post after panels.
  for (const double last_mm : {60.0, 80.0}) {
    for (const Vec3& from : {Vec3{0, 1, 0}, Vec3{0, -1, 0}}) {
      groups.push_back(groups.front());
      groups.back().way = WayIn{{from, last_mm}};
    }
  }
  std::stable_sort(plan.steps.begin(), plan.steps.end(), [](const auto& a, const auto& b) {
    const auto at = [](const InstallStep& step) {
      return step.stage == InstallStage::kStops || step.stage == InstallStage::kCatch
                 ? static_cast<int>(InstallStage::kPanel)
                 : static_cast<int>(step.stage);
    };
    return at(a) < at(b) ||
           (at(a) == at(b) && a.stage == InstallStage::kPanel && b.stage != InstallStage::kPanel);
  });
  for (InstallStep& step : plan.steps) {
    step.panel =
        step.stage == InstallStage::kStops || step.stage == InstallStage::kCatch ? 2 : step.panel;
  }
  for (FastenerRow& row : two.schedules.fasteners) {
    row.torque_Nm = 0;
  }
  // As if the pulleys did not come on their panels.
  const InstallStep later{InstallStage::kPulleys, 0, {groups.front()}};
  plan.steps.push_back(later);
  all += installPage({two.model, two.schedules, two.clash, two.advice, plan}, kMade, say);
  // Gaps through which an arm reaches what passes behind.
  const Office three = officeOf({{"/site/opening_mm", 4000}});
  for (const PriceList& list : {PriceList{}, prices}) {
    all += quotePage({three.model, three.schedules, three.clash, three.advice, list, three.picture},
                     kMade, say);
  }
  // Sheltered, so that any infill will do; found ready, so that it can be signed.
  Office four = officeOf(
      {{"/site/opening_mm", 4000}, {"/checks/wind_Pa", 100}, {"/gate/infill/kind", "slats"}});
  four.advice.warnings = {{.id = "made-up", .text = "made up", .proviso = "somebody sees to it"}};
  four.model.spec.gate.material = FrameMaterial::kAluminium;
  renameParts(four.model, PartKind::kSlat, PartKind::kSheet);
  four.model.spec.footing.concrete_N_mm2 = 25;
  all += ordersPage(four.model, four.schedules, kMade, say);
  all += costPage({four.model, four.schedules, four.clash, four.advice, prices, four.picture},
                  kMade, say);
  all += quotePage({four.model, four.schedules, four.clash, four.advice, prices, four.picture},
                   kMade, say);
  // Pulleys that go in after their panel, and screws that no table tightens.
  Installation late = installationOf(three.model);
  const auto panel = std::find_if(late.steps.begin(), late.steps.end(), [](const auto& step) {
    return step.stage == InstallStage::kPanel;
  });
  panel->stage = InstallStage::kPulleys;
  Schedules unknown = three.schedules;
  for (FastenerRow& row : unknown.fasteners) {
    row.torque_Nm = 0;
  }
  all += installPage({three.model, unknown, three.clash, three.advice, late}, kMade, say);
  const PriceList dated =
      readPrices(R"({"valid_until": "2001-01-31", "maintenance_months": {"ropes": 1},
                     "items": {"standrad motor": 5}})",
                 "prices")
          .prices.value_or(PriceList{});
  all += costPage({three.model, three.schedules, three.clash, three.advice, dated, three.picture},
                  kMade, say);
  all += quotePage({three.model, three.schedules, three.clash, three.advice, dated, three.picture},
                   kMade, say);
  all += handoverPage({three.model,
                       three.schedules,
                       three.clash,
                       three.advice,
                       {three.picture, three.scale},
                       &dated},
                      kMade, say);
  return all + handoverPage({three.model,
                             three.schedules,
                             three.clash,
                             three.advice,
                             {three.picture, three.scale}},
                            kMade, say);
}

// Every text swapped: each of them is on some page, and no English one is left.
TEST(OfficePages, EveryTextComesFromOneTable) {
  const std::vector<std::string>& english = englishWords().texts();
  std::vector<std::string> swapped;
  for (std::size_t i = 0; i < english.size(); ++i) {
    swapped.push_back("\u00ab" + std::to_string(i) + "\u00bb {1} {2} {3} {4}");
  }
  const std::string all = everythingSaid(PaperWords(swapped));
  for (std::size_t i = 0; i < english.size(); ++i) {
    EXPECT_NE(all.find("\u00ab" + std::to_string(i) + "\u00bb"), std::string::npos)
        << "on no page: " << english[i];
    const std::string start = english[i].substr(0, english[i].find('{'));
    constexpr std::size_t kTelling = 24;  // a short word may be a part's name
    if (start.size() >= kTelling) {
      EXPECT_EQ(all.find(start), std::string::npos) << "not from the table: " << english[i];
    }
  }
}

TEST(QuotePage, TellsFirstWhatIsMissing) {
  const Office office = officeOf({});
  const std::vector<std::string> bare = office.pages(PriceList{});
  EXPECT_LT(bare[0].find("Not to be sent"), bare[0].find("What is offered"));
  EXPECT_NE(bare[0].find("incomplete, at least 0.00"), std::string::npos);
  EXPECT_LT(bare[1].find("Without a price"), bare[1].find("Bars and boards"));
  const std::vector<std::string> full = office.pages(inventedPrices());
  EXPECT_EQ(full[0].find("Not to be sent"), std::string::npos);
  EXPECT_EQ(full[0].find("incomplete"), std::string::npos);
  EXPECT_NE(full[0].find("2027-03-31"), std::string::npos);
}

TEST(HandoverPage, HasAPlaceForEveryHazardAndThreeReadingsAtNinePoints) {
  const Office office = officeOf({{"/gate/panels", 3}});
  const std::string page = office.pages(PriceList{})[2];
  const HandoverRows rows = handoverRows(office.model, office.schedules, office.advice.warnings);
  EXPECT_EQ(rows.points.size(), 9U);
  EXPECT_EQ(countOfText(page, "<circle"), rows.hazards.size());
  EXPECT_EQ(countOfText(page, "<tr><td>A</td>") + countOfText(page, "<tr><td>B</td>") +
                countOfText(page, "<tr><td>C</td>"),
            27U);
  EXPECT_NE(page.find("no declaration of conformity"), std::string::npos);
  EXPECT_NE(page.find("____ months"), std::string::npos);
  EXPECT_FALSE(rows.spares.empty());
}

// Hand arithmetic: the drive slows from 160 to 80 mm/s at 200 mm/s2 (48 mm), the last 100 mm
// slow.
TEST(Handover, SpeedBeforeTheEnd) {
  DriveSpec drive;
  EXPECT_DOUBLE_EQ(speedBeforeEnd_mm_s(drive, 160, 1000), 160);
  EXPECT_DOUBLE_EQ(speedBeforeEnd_mm_s(drive, 160, 148), 160);
  EXPECT_NEAR(speedBeforeEnd_mm_s(drive, 160, 124), std::sqrt(80.0 * 80 + 2 * 200 * 24), 1e-9);
  EXPECT_DOUBLE_EQ(speedBeforeEnd_mm_s(drive, 160, 100), 80);
  EXPECT_DOUBLE_EQ(speedBeforeEnd_mm_s(drive, 160, 16), 80);  // stops from 80 in 16 mm
  EXPECT_NEAR(speedBeforeEnd_mm_s(drive, 160, 4), 40, 1e-9);
  EXPECT_DOUBLE_EQ(speedBeforeEnd_mm_s(drive, 160, 0), 0);
}

// Turns and slings by hand: what is put up last is loaded first, by the steps of install.html;
// slings lie on either side of the centre of gravity, as far off, within the piece.
TEST(PackingPage, LoadsInTheReverseOrderOfPuttingUp) {
  for (const gates::Changes& changes :
       {gates::Changes{{"/gate/panels", 3}},
        gates::Changes{
            {"/gate/panels", 3}, {"/site/grade", 0.05}, {"/guides/mount", "overhead"}}}) {
    const Office office = officeOf(changes);
    const Installation plan = installationOf(office.model);
    const std::vector<LoadingRow> rows = loadingRows(office.model, plan);
    EXPECT_EQ(rows.back().load.what.find("track"), 0U);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      EXPECT_TRUE(i == 0 || rows[i].step <= rows[i - 1].step);
      const InstallStep& step = plan.steps.at(rows[i].step - 1);
      EXPECT_EQ(step.stage == InstallStage::kPanel, rows[i].load.panel > 0);
      EXPECT_TRUE(rows[i].load.panel == 0 || step.panel == rows[i].load.panel);
      const auto& [first, second] = rows[i].sling_mm;
      EXPECT_NEAR(first + second, 2 * rows[i].centre_mm, 1e-6);
      const PackingRow& load = rows[i].load;  // what stands higher than it is long lies when slung
      const bool is_post = load.panel == 0 && load.height_mm > load.length_mm;
      EXPECT_NEAR(rows[i].centre_mm, load.centre_mm[is_post ? 2 : 0], 1e-6);
      EXPECT_GE(first, 0);
      EXPECT_LE(second, std::max(rows[i].load.length_mm, rows[i].load.height_mm));
      EXPECT_EQ(rows[i].is_lifted, rows[i].load.mass_kg > 25);
    }
    double rows_kg = 0, order_kg = 0, box_kg = 0;
    for (const LoadingRow& row : rows) {
      rows_kg += row.load.mass_kg * row.load.pieces;
    }
    for (const PartRow& part : office.schedules.parts) {
      order_kg +=
          part.supply == toString(Supply::kSite) || part.supply == toString(Supply::kEnvelope)
              ? 0
              : part.mass_kg * part.quantity;
    }
    int stops = 0;
    for (const BoxRow& row : boxRows(office.model, plan)) {
      box_kg += row.mass_kg;
      stops += row.name == "end stop" && row.is_assembled ? row.quantity : 0;
    }
    EXPECT_NEAR(rows_kg + box_kg, order_kg, 1e-6);
    EXPECT_EQ(stops, 3);  // each with its foot, as the shop welds it
  }
}

// An overhead bracket's channel goes up with its arm, which is loaded by itself: in the box it is
// one with the keepers that are welded to it.
TEST(PackingPage, WhatIsWeldedIsOneInTheBox) {
  const Model model = gates::modelWith({{"/guides/mount", "overhead"}});
  int channels = 0;
  for (const BoxRow& row : boxRows(model, installationOf(model))) {
    EXPECT_NE(row.name, "lift keeper") << row.marks;
    channels += row.marks == "GC1 KL1" ? row.quantity : 0;
  }
  EXPECT_EQ(channels, 1);
}

// What the steps put in later does not come on its panel: the panel is lighter by it, and it is in
// the box, as one.
TEST(PackingPage, WhatComesLaterIsInTheBox) {
  const Model model = gates::modelWith({{"/gate/panels", 4}, {"/site/grade", 0.05}});
  const Installation plan = installationOf(model);
  ASSERT_TRUE(plan.isProved());
  double later_kg = 0, on_kg = 0, off_kg = 0;
  for (const InstallStep& step : plan.steps) {
    for (const InstallGroup& group : step.groups) {
      const Instance& first = model.instances[group.instances.front()];
      if (step.stage != InstallStage::kPanel && travelsWithPanel(model, first)) {
        later_kg += group.mass_kg;
      }
    }
  }
  for (const PackingRow& row : packingRows(model)) {
    on_kg += row.panel > 0 ? row.mass_kg : 0;
  }
  for (const LoadingRow& row : loadingRows(model, plan)) {
    off_kg += row.load.panel > 0 ? row.load.mass_kg : 0;
  }
  EXPECT_GT(later_kg, 1);
  EXPECT_NEAR(on_kg - off_kg, later_kg, 1e-6);
  int cradles = 0;
  for (const BoxRow& row : boxRows(model, plan)) {
    cradles += row.name == "rope pulley" && row.is_assembled ? row.quantity : 0;
  }
  EXPECT_EQ(cradles, 6);  // two a panel that carries ropes
}

// A gate that is not ready, or prices that are missing: a draft, told on top, with no place to
// sign.
TEST(QuotePage, OnlyWhatIsReadyAndPricedCanBeAccepted) {
  Office office = officeOf({});
  office.advice.warnings.clear();
  const auto quote = [&](const PriceList& prices) { return office.pages(prices)[0]; };
  EXPECT_NE(quote(inventedPrices()).find("Accepted"), std::string::npos);
  EXPECT_EQ(quote(inventedPrices()).find("Draft"), std::string::npos);
  EXPECT_EQ(quote(PriceList{}).find("Accepted"), std::string::npos);
  PriceList dated = inventedPrices();
  dated.valid_until = "2024-01-01";  // that day still
  EXPECT_NE(quote(dated).find("Accepted"), std::string::npos);
  dated.valid_until = "2023-12-31";
  EXPECT_EQ(quote(dated).find("Accepted"), std::string::npos);
  EXPECT_NE(quote(dated).find("2023-12-31, the price list"), std::string::npos);
  office.clash.verdict = Verdict::kClash;
  const std::string bare = quote(inventedPrices());
  EXPECT_EQ(bare.find("Accepted"), std::string::npos);
  EXPECT_EQ(bare.find("class=\"sign\""), std::string::npos);
  EXPECT_NE(bare.find("<h1>Draft of a quotation"), std::string::npos);
  EXPECT_LT(bare.find("Not to be sent or accepted"), bare.find("What is offered"));
}

// Every row of the order stands on some sheet, once.
TEST(OrdersPage, HasEveryRow) {
  const Office office = officeOf({{"/gate/cladding/kind", "boards"}});
  const std::string page = office.pages(PriceList{})[3];
  EXPECT_EQ(countOfText(page, "<tr><td class=\"n\">"), orderRows(office.schedules).size());
}

// 50 up, the middle but 2500 at most, 300 below the top.
TEST(Handover, HeightsOfTheForceTest) {
  EXPECT_EQ(forceHeights_mm(1600), (std::vector<double>{50, 800, 1300}));
  EXPECT_EQ(forceHeights_mm(6000), (std::vector<double>{50, 2500, 5700}));
}

}  // namespace
}  // namespace leafstack
