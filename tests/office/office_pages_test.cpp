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
#include "generator/shop/order.h"
#include "generator/shop/packing/loading.h"
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
    return {quotePage(quote, kMade, say),
            costPage(quote, kMade, say),
            handoverPage({model, schedules, clash, advice, {picture, scale}, &prices}, kMade, say),
            ordersPage(model, schedules, kMade, say),
            packingPage(model, schedules, kMade, say),
            installPage({model, schedules, clash, advice, installationOf(model)}, kMade, say)};
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
  std::vector<InstallGroup>& groups = plan.steps.back().groups;
  for (const Vec3& from : {Vec3{1, 0, 0}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, -1, 0},
                           Vec3{0, 0, 1}, Vec3{0, 0, -1}}) {
    groups.push_back(groups.front());
    groups.back().way = WayIn{{from, 10}, {{0, 0, 1}, 60}};
  }
  groups.push_back(groups.front());
  groups.back().blocked = WaysIn::Meeting{0, 1};
  for (FastenerRow& row : two.schedules.fasteners) {
    row.grade = "A2-70";
  }
  all += installPage({two.model, two.schedules, two.clash, two.advice, plan}, kMade, say);
  // Gaps through which an arm reaches what passes behind.
  const Office three = officeOf({{"/site/opening_mm", 4000}});
  for (const PriceList& list : {PriceList{}, prices}) {
    all += quotePage({three.model, three.schedules, three.clash, three.advice, list, three.picture},
                     kMade, say);
  }
  all += installPage(
      {three.model, three.schedules, three.clash, three.advice, installationOf(three.model)}, kMade,
      say);
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

// Turns and slings by hand: what is installed last is loaded first; slings lie on either side of
// the centre of gravity, as far off, within the piece.
TEST(PackingPage, LoadsInTheReverseOrderOfInstalling) {
  const Office office = officeOf({{"/gate/panels", 3}});
  const std::vector<LoadingRow> rows = loadingRows(office.schedules.packing, office.model);
  ASSERT_EQ(rows.size(), office.schedules.packing.size());
  EXPECT_EQ(rows[0].load.what, "panel 3");
  EXPECT_EQ(rows[2].load.what, "panel 1");
  EXPECT_EQ(rows.back().load.what.find("track"), 0U);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_EQ(rows[i].installed, static_cast<int>(rows.size() - i));
    const auto& [first, second] = rows[i].sling_mm;
    EXPECT_NEAR(first + second, 2 * rows[i].load.centre_mm[0], 1e-6);
    EXPECT_GE(first, 0);
    EXPECT_LE(second, rows[i].load.length_mm);
    EXPECT_EQ(rows[i].is_lifted, rows[i].load.mass_kg > 25);
  }
  double rows_kg = 0, order_kg = 0;
  for (const LoadingRow& row : rows) {
    rows_kg += row.load.mass_kg * row.load.pieces;
  }
  for (const PartRow& part : office.schedules.parts) {
    order_kg += part.supply == toString(Supply::kSite) || part.supply == toString(Supply::kEnvelope)
                    ? 0
                    : part.mass_kg * part.quantity;
  }
  EXPECT_NEAR(rows_kg + boxMassKg(office.model), order_kg, 1e-6);
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
