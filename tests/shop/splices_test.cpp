// Rails in pieces, tracks with gaps, what travels: by hand arithmetic and on the solids.
#include "generator/model/splices.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <map>
#include <numbers>
#include <numeric>
#include <set>

#include "generator/clash/report/clash.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/occt/checked.h"
#include "generator/shop/packing/packing.h"
#include "generator/shop/schedules.h"
#include "generator/shop/welds/weld_rows.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;

Model builtFrom(const char* gate) {
  const GateSpec spec = gates::specOf(Json::parse(gate));
  return buildModel(spec, gates::laidOut(spec));
}

bool isSplicedKind(PartKind kind) {
  return kind == PartKind::kBottomRail || kind == PartKind::kTopRail ||
         kind == PartKind::kGuideRail;
}

/// Bars of 3000 give 2990; rails of some 3.4 m.
constexpr const char* kOwnGates[] = {
    R"({"leafstack":1,"site":{"opening_mm":6500},"gate":{"panels":2},
        "shop":{"stock_lengths_mm":[3000]}})",
    R"({"leafstack":1,"site":{"opening_mm":6100,"grade":0.04,"opens":"left"},
        "gate":{"panels":2,"infill":{"kind":"slats"}},"shop":{"stock_lengths_mm":[3000]}})",
    R"({"leafstack":1,"site":{"opening_mm":9200},"hardware":"heavy",
        "gate":{"panels":3,"top":"level"},"guides":{"mount":"overhead"},
        "shop":{"stock_lengths_mm":[2600],"finish":"galvanised"}})",
    R"({"leafstack":1,"site":{"opening_mm":6900,"grade":-0.02},
        "gate":{"panels":2,"material":"aluminium"},"shop":{"stock_lengths_mm":[2500]}})"};

class Splices : public testing::TestWithParam<const char*> {};

TEST_P(Splices, PiecesAreTheRail) {
  const Model model = builtFrom(GetParam());
  const double longest = model.spec.shop.longestPiece_mm();
  int spliced = 0;
  for (const Part& part : model.parts) {
    if (!isSplicedKind(part.kind)) {
      EXPECT_TRUE(part.splices.empty()) << part.in_words;
      continue;
    }
    EXPECT_EQ(part.splices.empty(), part.length_mm <= longest) << part.in_words;
    const std::vector<double> lengths = pieceLengths_mm(part);
    EXPECT_EQ(lengths.size(), part.splices.size() + 1);
    EXPECT_NEAR(std::accumulate(lengths.begin(), lengths.end(), 0.0), part.length_mm, 1e-3);
    EXPECT_LE(*std::max_element(lengths.begin(), lengths.end()), longest + 1e-6);
    if (part.splices.empty()) {
      continue;
    }
    ++spliced;
    double volume = 0;
    const std::vector<Part> pieces = pieceParts(part);
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      volume += massProperties(checkedSolid(pieces[i].solid, "piece")).volume_mm3;
      EXPECT_NEAR(pieces[i].bounds.high[0] - pieces[i].bounds.low[0], lengths[i], 2e-3);
      EXPECT_EQ(pieces[i].mark, part.mark + "-" + std::to_string(i + 1));
    }
    EXPECT_NEAR(volume, part.volume_mm3, 1e-6 * part.volume_mm3) << part.in_words;
  }
  EXPECT_GE(spliced, 3);
}

/// Nothing is welded, screwed or put into a rail where it is joined.
TEST_P(Splices, StandClearOfAllElse) {
  const Model model = builtFrom(GetParam());
  int joints = 0;
  for (const Instance& rail : model.instances) {
    const Part& part = model.parts[rail.part];
    for (const Splice& splice : part.splices) {
      ++joints;
      for (const double up : {part.bounds.low[2], part.bounds.high[2]}) {
        const double x = gp_Pnt(model.opening_sign * splice.at_mm, 0, up)
                             .Transformed(rail.at_closed.Transformation())
                             .X();
        for (const Contact& contact : model.contacts) {
          const bool is_a = &model.instances[contact.a] == &rail;
          if (!is_a && &model.instances[contact.b] != &rail) {
            continue;
          }
          const Instance& other = model.instances[is_a ? contact.b : contact.a];
          const PartKind kind = model.parts[other.part].kind;
          const bool lies_along = isSplicedKind(kind) || kind == PartKind::kSlat ||
                                  kind == PartKind::kRack || kind == PartKind::kSpliceStrip;
          if (other.panel == rail.panel && !lies_along) {
            EXPECT_FALSE(other.bounds.low[0] < x + 10 && other.bounds.high[0] > x - 10)
                << part.in_words << " at " << splice.at_mm << ": "
                << model.parts[other.part].in_words;
          }
        }
      }
    }
  }
  EXPECT_GE(joints, 6);
}

/// Strips lie against the walls, half of each on either side, within the hollow and off one
/// another; by rule 5 mm thick, at least 50 a side.
TEST_P(Splices, HaveStripsInside) {
  const Model model = builtFrom(GetParam());
  std::map<const Instance*, int> expected, found;
  for (const Instance& rail : model.instances) {
    const Part& part = model.parts[rail.part];
    if (part.tube && !part.splices.empty()) {
      expected[&rail] = 4 * static_cast<int>(part.splices.size());
    }
  }
  for (const Contact& contact : model.contacts) {
    for (const auto& [one, other] :
         {std::pair(contact.a, contact.b), std::pair(contact.b, contact.a)}) {
      const Instance& strip = model.instances[one];
      if (model.parts[strip.part].kind != PartKind::kSpliceStrip) {
        continue;
      }
      const Instance& rail = model.instances[other];
      const Part& of = model.parts[rail.part];
      ++found[&rail];
      const HollowSection& tube = *of.tube;
      const Bounds local = movedBounds(model.parts[strip.part].bounds,
                                       TopLoc_Location(rail.at_closed.Transformation().Inverted() *
                                                       strip.at_closed.Transformation()));
      const double y0 = local.low[1], y1 = local.high[1], z0 = local.low[2], z1 = local.high[2];
      const double t = tube.wall_mm, eps = 1e-6;
      EXPECT_TRUE(std::abs(y0 - t) < eps || std::abs(y1 - tube.depth_mm + t) < eps ||
                  std::abs(z0 - t) < eps || std::abs(z1 - tube.height_mm + t) < eps);
      EXPECT_GE(y0, t - eps);
      EXPECT_GE(z0, t - eps);
      EXPECT_LE(y1, tube.depth_mm - t + eps);
      EXPECT_LE(z1, tube.height_mm - t + eps);
      EXPECT_NEAR(std::min(y1 - y0, z1 - z0), 5, eps);
      const double middle = model.opening_sign * (local.low[0] + local.high[0]) / 2;
      EXPECT_TRUE(std::any_of(of.splices.begin(), of.splices.end(), [&](const Splice& splice) {
        return std::abs(splice.at_mm - middle) < 1e-6;
      }));
      EXPECT_GE(local.high[0] - local.low[0], 100 - eps);
    }
  }
  EXPECT_EQ(found, expected);
}

TEST_P(Splices, StandInEveryListAndMeetNothing) {
  const Model model = builtFrom(GetParam());
  Schedules schedules = makeSchedules(model);
  findWelds(model, schedules);
  planStock(model, schedules);
  std::map<std::string, int> planned;  // pieces by mark
  for (const StockGroup& group : schedules.stock) {
    EXPECT_TRUE(group.plan.too_long.empty()) << group.section;
    for (const StockPiece& piece : group.pieces) {
      planned[piece.mark] += piece.quantity;
    }
  }
  std::map<std::string, int> welded;
  for (const WeldRow& row : schedules.welds) {
    if (row.what.starts_with("the rail's pieces")) {
      EXPECT_EQ(row.a, row.b);
      EXPECT_EQ(row.kind, WeldKind::kButt);
      EXPECT_FALSE(row.is_on_site);
      welded[row.a] += row.joints;
    }
  }
  for (const CutRow& row : schedules.cut_list) {
    const auto part = std::find_if(model.parts.begin(), model.parts.end(),
                                   [&](const Part& one) { return one.mark == row.mark; });
    const int joints = static_cast<int>(part->splices.size());
    EXPECT_EQ(welded[row.mark], joints * row.quantity);
    for (int i = 0; joints > 0 && i <= joints; ++i) {
      EXPECT_EQ(planned[row.mark + "-" + std::to_string(i + 1)], row.quantity);
      EXPECT_NE(row.cutouts.find(row.mark + "-" + std::to_string(i + 1)), std::string::npos);
    }
  }
  for (const Finding& finding : checkClashes(model).findings) {
    // Coats on brackets that pass flanges are told without pieces, too (coat_test.cpp).
    EXPECT_NE(finding.requirement.find("shop.coat_mm"), std::string::npos) << finding.id;
  }
  for (const Warning& warning : warningsOf(model, schedules)) {
    EXPECT_NE(warning.id, "longer-than-stock") << warning.text;
  }
}

INSTANTIATE_TEST_SUITE_P(OwnGates, Splices, testing::ValuesIn(kOwnGates));

/// RHS 100x50x3 round the middle of its wall: sides 97 and 47, corners of radius 4.5 (6 outside, 3
/// inside, EN 10219): 288 - 8 x 4.5 + 2 pi x 4.5 = 280.27. An angle of 32x4: 32 + 28 = 60.
TEST(SpliceWelds, AreAsLongAsTheWall) {
  const Model model = builtFrom(kOwnGates[0]);
  int seen = 0;
  for (const WeldRow& row : weldRows(model)) {
    if (!row.what.starts_with("the rail's pieces")) {
      continue;
    }
    if (row.a.starts_with("BR")) {
      EXPECT_NEAR(row.length_mm, 288 - 36 + 9 * std::numbers::pi, 1e-6);
      EXPECT_EQ(row.leg_mm, 3);
      ++seen;
    } else if (row.a.starts_with("GR")) {
      EXPECT_NEAR(row.length_mm, 60, 1e-6);
      EXPECT_EQ(row.leg_mm, 4);
      ++seen;
    }
  }
  EXPECT_GE(seen, 3);
}

/// Where panels are longer than what travels their rails part at one place, and lie in lengths that
/// do; no mass is lost.
TEST(Transport, PartsRailsAtOnePlace) {
  const Model whole = builtFrom(R"({"leafstack":1,"site":{"opening_mm":6500,"grade":0.03},
                                  "gate":{"panels":2}})");
  const Model parted = builtFrom(R"({"leafstack":1,"site":{"opening_mm":6500,"grade":0.03},
      "gate":{"panels":2},"shop":{"transport_mm":[2600,2300]}})");
  Schedules schedules = makeSchedules(parted);
  findWelds(parted, schedules);
  std::map<int, double> mass, mass_whole;
  for (const PackingRow& row : packingRows(whole)) {
    mass_whole[row.panel] += row.panel > 0 ? row.mass_kg : 0;
  }
  std::map<int, int> lengths;
  for (const PackingRow& row : packingRows(parted)) {
    if (row.panel > 0) {
      mass[row.panel] += row.mass_kg;
      if (row.what.find("length") != std::string::npos) {
        ++lengths[row.panel];
        EXPECT_LE(row.length_mm, 2600) << row.what;
      }
    }
  }
  for (int panel = 1; panel <= 2; ++panel) {
    EXPECT_EQ(lengths[panel], 2);
    EXPECT_EQ(siteJoints_mm(parted, panel).size(), 1U);
    std::set<PartKind> kinds;
    std::vector<double> places;
    double strips = 0;
    for (const Instance& one : parted.instances) {
      const Part& part = parted.parts[one.part];
      strips += one.panel == panel && part.kind == PartKind::kSpliceStrip ? part.massKg() : 0;
      for (const Splice& splice : part.splices) {
        if (one.panel == panel) {
          EXPECT_TRUE(splice.is_on_site);
          kinds.insert(part.kind);
          places.push_back(
              gp_Pnt(splice.at_mm, 0, 0).Transformed(one.at_closed.Transformation()).X());
        }
      }
    }
    EXPECT_NEAR(mass[panel], mass_whole[panel] + strips, 1e-6);
    EXPECT_EQ(kinds.size(), 3U);
    for (const double x : places) {
      EXPECT_NEAR(x, places.front(), 5);
    }
  }
  for (const WeldRow& row : schedules.welds) {
    EXPECT_TRUE(!row.what.starts_with("the rail's pieces") || row.is_on_site);
  }
  EXPECT_EQ(checkClashes(parted).verdict, Verdict::kClear);
}

std::set<std::string> warningIds(const Json& shop, const char* infill) {
  const Model model = gates::modelWith({{"/gate/panels", 2},
                                        {"/site/opening_mm", 6500},
                                        {"/gate/infill/kind", infill},
                                        {"/shop", shop}});
  std::set<std::string> ids;
  for (const Warning& warning : warningsOf(model, makeSchedules(model))) {
    ids.insert(warning.id);
    // Racks lie across in any case, and are screwed on.
    if (warning.id == "across-site-joint" && warning.text.find("SL") != std::string::npos) {
      ids.insert("slats-across");
    }
  }
  return ids;
}

TEST(Transport, LimitsAreTold) {
  EXPECT_TRUE(warningIds({{"lift_kg", 40}}, "pickets").contains("heavier-than-lift"));
  EXPECT_FALSE(warningIds({{"lift_kg", 900}}, "pickets").contains("heavier-than-lift"));
  // 1.8 m and more high.
  const Json low = {{"transport_mm", {6000, 1000}}}, high = {{"transport_mm", {6000, 2800}}};
  EXPECT_TRUE(warningIds(low, "pickets").contains("larger-than-transport"));
  EXPECT_FALSE(warningIds(high, "pickets").contains("larger-than-transport"));
  // Slats lie across a joint on site, pickets stand beside it.
  const Json parted = {{"transport_mm", {2600, 2800}}};
  EXPECT_TRUE(warningIds(parted, "slats").contains("slats-across"));
  EXPECT_FALSE(warningIds(parted, "pickets").contains("slats-across"));
}

/// Pieces of a track as far apart as asked for, not welded, and wheels roll over: at a gap of 4 a
/// wheel of 80 sinks by 40 - sqrt(1600 - 4) = 0.05.
TEST(TrackGaps, AreRolledOver) {
  const Model model = builtFrom(R"({"leafstack":1,"site":{"opening_mm":5400,"track_gap_mm":4},
      "gate":{"panels":3},"shop":{"stock_lengths_mm":[3000]}})");
  int gaps = 0;
  for (int panel = 1; panel <= 3; ++panel) {
    const TrackEnds whole = trackEnds(model.spec, model.layout, panel);
    const auto pieces = trackPieces(model.spec, model.layout, panel);
    EXPECT_NEAR(pieces.front().from_x_mm, whole.from_x_mm, 1e-9);
    EXPECT_NEAR(pieces.back().to_x_mm, whole.to_x_mm, 1e-6);
    for (std::size_t i = 1; i < pieces.size(); ++i) {
      EXPECT_NEAR(pieces[i].from_x_mm - pieces[i - 1].to_x_mm, 4, 1e-6);
      ++gaps;
    }
  }
  EXPECT_GE(gaps, 2);
  Schedules schedules = makeSchedules(model);
  findWelds(model, schedules);
  for (const WeldRow& row : schedules.welds) {
    EXPECT_EQ(row.what.find("track's pieces"), std::string::npos);
  }
  int told = 0;
  for (const SetOutRow& row : schedules.set_out) {
    told += row.point.find("a gap of 4") != std::string::npos ? 1 : 0;
  }
  EXPECT_EQ(told, gaps);
  EXPECT_EQ(checkClashes(model).verdict, Verdict::kClear);
}

/// Long tracks on flats: what the shop welds together is one flat and the angle on it; flats' ends
/// and what an angle has on the next flat are welded on site, over the joint that it bridges.
TEST(TrackJoints, ShopAndSiteAgree) {
  for (const char* const opens : {"right", "left"}) {
    const Model model = gates::modelWith({{"/site/opening_mm", 9000},
                                          {"/site/opens", opens},
                                          {"/site/grade", 0.02},
                                          {"/gate/panels", 2},
                                          {"/hardware", "heavy"}});
    std::map<std::string, std::array<int, 2>> rows;  // by the kinds' letters: in the shop, on site
    for (const WeldRow& row : weldRows(model)) {
      rows[row.a.substr(0, 2) + row.b.substr(0, 2)][row.is_on_site ? 1 : 0] += row.joints;
      if (row.a.substr(0, 2) == "TF" && row.b.substr(0, 2) == "TF") {
        EXPECT_EQ(row.kind, WeldKind::kButt);
        EXPECT_NEAR(row.length_mm, 2 * model.spec.hardware.track.flat_mm, 1e-9);  // both edges
      }
    }
    EXPECT_GT(rows["TKTF"][0] + rows["TFTK"][0], 0);
    EXPECT_EQ(rows["TKTF"][1] + rows["TFTK"][1], rows["TFTF"][1]);
    EXPECT_EQ(rows["TFTF"][0] + rows["TKTK"][0], 0);
    EXPECT_GT(rows["TKTK"][1], 0);
    for (const std::vector<int>& group : weldedInShop(model)) {
      int flats = 0, angles = 0;
      for (const int instance : group) {
        const PartKind kind = model.parts[model.instances[instance].part].kind;
        flats += kind == PartKind::kTrackFlat ? 1 : 0;
        angles += kind == PartKind::kTrack ? 1 : 0;
      }
      EXPECT_LE(flats, 1);
      EXPECT_LE(angles, 1);
    }
  }
}

/// Bent over a survey, ends share no flat that a search would find: joined all the same, where they
/// meet.
TEST(TrackJoints, BentTracksHaveTheirs) {
  for (const char* const opens : {"right", "left"}) {
    const Model model = gates::modelWith(
        {{"/site/opening_mm", 6200},
         {"/site/opens", opens},
         {"/gate/panels", 2},
         {"/site/track_survey_mm",
          gates::Json::array({{0, 0}, {1500, -6}, {3100, -9}, {4700, -3}, {9500, 14}})}});
    int joints = 0;
    for (const WeldRow& row : weldRows(model)) {
      if (!row.a.starts_with("TK") || !row.b.starts_with("TK")) {
        continue;
      }
      ++joints;
      EXPECT_TRUE(row.is_on_site);
      EXPECT_NEAR(row.length_mm, std::numbers::pi * 20, 0.1);
      for (const int instance : row.instances) {
        const Bounds& box = model.instances[instance].bounds;
        EXPECT_LT(
            std::min(std::abs(box.low[0] - row.at_mm[0]), std::abs(box.high[0] - row.at_mm[0])), 1);
        EXPECT_GT(row.at_mm[2], box.low[2]);
        EXPECT_LT(row.at_mm[2], box.high[2]);
      }
    }
    EXPECT_EQ(joints, 1);
  }
}

/// A dowel's weld is round its upper end, however the track slopes.
TEST(TrackJoints, DowelsAreWeldedAtTheirTops) {
  for (const double grade : {0.0, 0.08, -0.08}) {
    for (const char* const opens : {"right", "left"}) {
      const Model model =
          gates::modelWith({{"/site/grade", grade}, {"/site/opens", opens}, {"/gate/panels", 2}});
      int seen = 0;
      for (const WeldRow& row : weldRows(model)) {
        for (const int instance : row.instances) {
          const Instance& stands = model.instances[instance];
          if (model.parts[stands.part].kind != PartKind::kTrackDowel) {
            continue;
          }
          ++seen;
          const Bounds& own = model.parts[stands.part].bounds;
          const gp_Pnt at = gp_Pnt(row.at_mm[0], row.at_mm[1], row.at_mm[2])
                                .Transformed(stands.at_closed.Transformation().Inverted());
          EXPECT_NEAR(at.X(), (own.low[0] + own.high[0]) / 2, 0.01) << grade << opens;
          EXPECT_NEAR(at.Y(), (own.low[1] + own.high[1]) / 2, 0.01);
          EXPECT_NEAR(at.Z(), own.high[2], 0.01);
        }
      }
      EXPECT_GT(seen, 1);
    }
  }
}

}  // namespace
}  // namespace leafstack
