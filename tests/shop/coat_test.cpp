// Clearances with the coat on: solids are drawn bare.
#include <gtest/gtest.h>

#include "generator/clash/proof/requirements.h"
#include "generator/clash/report/clash.h"
#include "params/table/shelf_rules.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

Part cut(const char* material, Supply supply) {
  Part part;
  part.material = material;
  part.supply = supply;
  return part;
}

/// Zinc is for steel, powder for aluminium too; what is bought comes as it is.
TEST(Coat, LiesOnWhatTheShopMakes) {
  ShopSpec shop;
  const Part tube = cut("steel", Supply::kCutTube), box = cut("aluminium", Supply::kCutTube);
  const Part wheel = cut("steel", Supply::kBought);
  EXPECT_EQ(coatOn_mm(shop, tube), 0);
  shop.finish = ShopFinish::kGalvanised;
  // EN ISO 1461: 0.07 and 0.085 at least, from memory.
  EXPECT_GE(coatOn_mm(shop, tube), 0.085);
  EXPECT_EQ(coatOn_mm(shop, box), 0);
  EXPECT_EQ(coatOn_mm(shop, wheel), 0);
  shop.finish = ShopFinish::kGalvanisedPowder;
  EXPECT_GE(coatOn_mm(shop, tube), 0.085 + 0.06);  // and EN 13438
  EXPECT_GT(coatOn_mm(shop, box), 0);
  shop.coat_mm = 0.25;
  EXPECT_EQ(withCoats({10, "why"}, shop, tube, tube).clearance_mm, 10.5);
  EXPECT_EQ(withCoats({10, "why"}, shop, tube, wheel).clearance_mm, 10.25);
  EXPECT_EQ(withCoats({10, "why"}, shop, wheel, wheel).reason, "why");
}

/// 15 mm to the fence as drawn are 15 still when coated, and a gap given as drawn is not.
TEST(Coat, IsMadeRoomFor) {
  const GateSpec spec =
      gates::specWith({{"/shop/finish", "galvanised-powder"}, {"/shop/coat_mm", 0.4}});
  const Layout layout = gates::laidOut(spec);
  EXPECT_NEAR(layout.stack.setback_mm, 15 + 0.4, 1e-9);
  EXPECT_EQ(checkClashes(buildModel(spec, layout)).verdict, Verdict::kClear);
  const GateSpec close = gates::specWith(
      {{"/shop/finish", "galvanised-powder"}, {"/shop/coat_mm", 0.4}, {"/site/setback_mm", 15}});
  const ClashReport report = checkClashes(buildModel(close, gates::laidOut(close)));
  EXPECT_EQ(report.verdict, Verdict::kTight);
  for (const Finding& finding : report.findings) {
    EXPECT_NE(finding.requirement.find("shop.coat_mm"), std::string::npos) << finding.requirement;
  }
}

/// The return passes wide posts as far off as the front panel does.
TEST(Coat, IsMadeRoomForBesideWidePosts) {
  const GateSpec spec = gates::specWith({{"/site/opening_mm", 5400},
                                         {"/site/opens", "left"},
                                         {"/site/fence_post_mm", 400},
                                         {"/shop/finish", "galvanised"}});
  EXPECT_EQ(checkClashes(buildModel(spec, gates::laidOut(spec))).verdict, Verdict::kClear);
}

/// Default gates of every set, coated as thickly as usual, are clear without the user's doing: rope
/// brackets, which pass the pulleys' flanges side by side, are shorter by both coats.
TEST(Coat, IsMadeRoomForInDefaultGates) {
  for (const char* const set : {"light", "medium", "heavy"}) {
    for (const int panels : {2, 3, 4}) {
      const GateSpec spec = gates::specWith(
          {{"/shop/finish", "galvanised-powder"}, {"/gate/panels", panels}, {"/hardware", set}});
      const ClashReport report = checkClashes(buildModel(spec, gates::laidOut(spec)));
      EXPECT_EQ(report.verdict, Verdict::kClear)
          << set << " " << panels << ": " << report.findings.size() << " findings";
    }
  }
}

/// Faces drawn 2 mm apart, 1.2 of coat on each: bare they pass, coated they do not.
TEST(Coat, FacesThatMeetOnceCoatedClash) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 3},
                                         {"/shop/finish", "galvanised-powder"},
                                         {"/shop/coat_mm", 1.2},
                                         {"/hardware/guide/running_gap_mm", 1.4},
                                         {"/hardware/keeper/play_mm", 2.6},
                                         {"/gate/bottom_rail", "RHS 120x50x3"}});
  const ClashReport report = checkClashes(buildModel(spec, gates::laidOut(spec)));
  EXPECT_EQ(report.verdict, Verdict::kClash);
  int met = 0;
  for (const Finding& finding : report.findings) {
    // Screws and nuts are bought bare.
    const bool is_bare = finding.text.find("screw") != std::string::npos ||
                         finding.text.find("nut") != std::string::npos;
    EXPECT_EQ(finding.coats_mm, is_bare ? 1.2 : 2.4) << finding.text;
    EXPECT_EQ(finding.meetsCoated(), finding.clearance_mm <= finding.coats_mm) << finding.text;
    met += finding.meetsCoated() ? 1 : 0;
    EXPECT_EQ(finding.text.find("once both are coated") != std::string::npos,
              finding.meetsCoated());
  }
  EXPECT_GT(met, 0);
}

/// A block runs between a coated rail and a coated channel; keepers beside a coated track.
TEST(Coat, LeavesPlayToWhatSlides) {
  const auto broken = [](double coat_mm, double run_mm, double play_mm) {
    const GateSpec spec = gates::specWith(
        {{"/hardware/guide/running_gap_mm", run_mm}, {"/hardware/keeper/play_mm", play_mm}});
    GateSpec coated = spec;
    coated.shop.finish = ShopFinish::kGalvanised;
    coated.shop.coat_mm = coat_mm;
    int count = 0;
    for (const ShelfRule& rule : shelfRules(coated)) {
      const bool is_of_coats = rule.pointers.back() == "/shop/coat_mm";
      count += is_of_coats && rule.figure < rule.least ? 1 : 0;
    }
    return count;
  };
  EXPECT_EQ(broken(0.3, 0.5, 0.8), 0);
  EXPECT_EQ(broken(0.3, 0.35, 0.8), 1);
  EXPECT_EQ(broken(0.3, 0.35, 0.65), 2);
}

}  // namespace
}  // namespace leafstack
