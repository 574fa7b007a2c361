// What the shop and the buyer are told beside sizes: sheets too small, growth, grades, places.
#include <gtest/gtest.h>

#include <algorithm>
#include <regex>

#include "generator/shop/order.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

struct Made {
  Model model;
  Schedules schedules;
};
Made made(gates::Changes changes) {
  const GateSpec spec = gates::specWith(changes);
  Made one{buildModel(spec, gates::laidOut(spec)), {}};
  one.schedules = makeSchedules(one.model);
  return one;
}

/// A field of a panel of 2.7 m is no wider than a sheet of 3 m and wider than one of 1.2 m.
TEST(Sheets, TooSmallForAPieceAreTold) {
  for (const double length_mm : {1200.0, 6000.0}) {
    const Made one = made({{"/gate/infill/kind", "sheet"},
                           {"/shop/sheet_mm", gates::Json::array({length_mm, length_mm / 2})}});
    double longest = 0;
    for (const ProfileRow& row : one.schedules.profiles) {
      if (row.name == "infill sheet" && row.profile) {
        longest = std::max({longest, row.profile->width_mm, row.profile->height_mm});
      }
    }
    ASSERT_GT(longest, 1200);
    ASSERT_LT(longest, 5900);
    const std::vector<Warning> warnings = warningsOf(one.model, one.schedules);
    const auto said = std::count_if(warnings.begin(), warnings.end(), [](const Warning& warning) {
      return warning.id == "larger-than-sheet" &&
             warning.text.find("infill sheet") != std::string::npos;
    });
    EXPECT_EQ(said > 0, length_mm < 2000) << longest;
  }
}

/// Steel: 11.5e-6/K (a track maker's page) over 70 K.
TEST(LongTracks, GrowAsTheSetOutSays) {
  const Made one = made({{"/site/opening_mm", 6400}, {"/gate/panels", 2}});
  int told = 0;
  for (const SetOutRow& row : one.schedules.set_out) {
    std::smatch found;
    if (row.point == "end" && row.item.starts_with("track") &&
        std::regex_search(row.note, found, std::regex("grows by ([0-9.]+) mm"))) {
      const auto start = std::find_if(
          one.schedules.set_out.begin(), one.schedules.set_out.end(),
          [&](const SetOutRow& other) { return other.item == row.item && other.point == "start"; });
      ASSERT_NE(start, one.schedules.set_out.end());
      const double length = row.at_mm[0] - start->at_mm[0];
      EXPECT_GT(length, 4000);
      EXPECT_NEAR(std::stod(found[1]), 11.5e-6 * 70 * length, 0.051);
      ++told;
    }
  }
  EXPECT_GE(told, 1);
}

/// Screws 8.8 and nuts 8 of steel; zinc baths begin at M8 (ISO 10684), from memory.
TEST(Fastenings, HaveGradeAndFinish) {
  for (const bool dipped : {false, true}) {
    const Made one = made({{"/shop/finish", dipped ? "galvanised" : "none"}});
    int screws = 0, nuts = 0;
    for (const BillRow& bill : one.schedules.bill) {
      if (bill.name == "screw" || bill.name == "nut") {
        const bool is_screw = bill.name == "screw";
        (is_screw ? screws : nuts) += 1;
        EXPECT_EQ(bill.quality.grade, is_screw ? "8.8" : "8") << bill.description;
        const double thread = std::stod(bill.description.substr(1));
        EXPECT_EQ(bill.quality.finish, !dipped      ? "zinc-plated, ISO 4042"
                                       : thread < 8 ? "zinc flakes, ISO 10683"
                                                    : "hot-dip galvanised, ISO 10684")
            << bill.description;
      }
    }
    EXPECT_GE(screws, 3);
    EXPECT_GE(nuts, 1);
    for (const OrderRow& row : orderRows(one.schedules)) {
      if (row.per_box > 0 && row.what.starts_with("screw")) {
        EXPECT_NE(row.what.find("grade 8.8"), std::string::npos) << row.what;
      }
    }
  }
}

/// The first dowel 60 from the track's end, in the middle of a bar of 20 that lies along X from 0
/// (its axis 10 up and across), by hand; and a post's plate under its lower end.
TEST(Welds, SayWhereTheyAre) {
  Made one = made({{"/gate/panels", 2}});
  findWelds(one.model, one.schedules);
  int dowels = 0, posts = 0;
  for (const WeldRow& row : one.schedules.welds) {
    EXPECT_NE(row.where.find(row.a + " at "), std::string::npos) << row.mark << " " << row.where;
    EXPECT_NE(row.where.find(row.b + " at "), std::string::npos) << row.mark << " " << row.where;
    if (row.what == "the dowel is welded under its track") {
      ++dowels;
      EXPECT_TRUE(row.where.find("at 60, 10, 0") != std::string::npos) << row.where;
    }
    if (row.what == "the post is welded to its base plate" && row.a.starts_with("CA")) {
      ++posts;
      EXPECT_TRUE(row.where.starts_with(row.a + " at 0,")) << row.where;
    }
  }
  EXPECT_EQ(dowels, 2);
  EXPECT_EQ(posts, 1);
}

}  // namespace
}  // namespace leafstack
