// What holds tracks, motor and cladding, by hand arithmetic.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <set>

#include "generator/shop/schedules.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;

Model modelOf(const char* gate) {
  const GateSpec spec = gates::specOf(Json::parse(gate));
  return buildModel(spec, gates::laidOut(spec));
}

std::vector<const Instance*> instancesOf(const Model& model, PartKind kind) {
  std::vector<const Instance*> found;
  for (const Instance& instance : model.instances) {
    if (model.parts[instance.part].kind == kind) {
      found.push_back(&instance);
    }
  }
  return found;
}

double middle(const Instance& instance, int axis) {
  return (instance.bounds.low[axis] + instance.bounds.high[axis]) / 2;
}

/// Dowels of 12 under every piece, 60 off both its ends and at most 500 apart, their tops on the
/// footing's line; and as many in the lists.
void expectDowels(const Model& model, PartKind carrier) {
  std::size_t seen = 0;
  std::set<double> rows;
  for (const Instance* piece : instancesOf(model, carrier)) {
    std::vector<double> places;
    for (const Instance* dowel : instancesOf(model, PartKind::kTrackDowel)) {
      const double x = middle(*dowel, 0);
      if (std::abs(middle(*dowel, 1) - middle(*piece, 1)) < 1 && x > piece->bounds.low[0] &&
          x < piece->bounds.high[0]) {
        places.push_back(x);
      }
    }
    rows.insert(std::round(middle(*piece, 1)));
    std::sort(places.begin(), places.end());
    ASSERT_GE(places.size(), 2U);
    seen += places.size();
    // A dowel that leans has its middle half its length to the side: at 4 % 2 mm.
    EXPECT_NEAR(places.front() - piece->bounds.low[0], 60, 3);
    EXPECT_NEAR(piece->bounds.high[0] - places.back(), 60, 3);
    for (std::size_t i = 1; i < places.size(); ++i) {
      EXPECT_LE(places[i] - places[i - 1], 500.01);
    }
  }
  EXPECT_EQ(rows.size(), model.layout.panels.size());
  EXPECT_EQ(seen, instancesOf(model, PartKind::kTrackDowel).size());
  Schedules schedules = makeSchedules(model);
  findWelds(model, schedules);
  int cut = 0, set_out = 0;
  for (const CutRow& row : schedules.cut_list) {
    if (row.name == "track dowel") {
      cut += row.quantity;
      EXPECT_EQ(row.section, "round 12");
      EXPECT_EQ(row.length_mm, 100);
    }
  }
  for (const SetOutRow& row : schedules.set_out) {
    if (row.point.starts_with("first dowel")) {
      set_out += std::stoi(row.note);
      EXPECT_NE(row.note.find("holes dia 18, 110 deep"), std::string::npos) << row.note;
    }
  }
  EXPECT_EQ(cut, static_cast<int>(seen));
  EXPECT_EQ(set_out, cut);
  int welded = 0;
  for (const WeldRow& row : schedules.welds) {
    if (row.what == "the dowel is welded under its track") {
      welded += row.joints;
      EXPECT_NEAR(row.length_mm, 12 * std::numbers::pi, 0.05);  // all round, by chords on a flat
      EXPECT_FALSE(row.is_on_site);
    }
  }
  EXPECT_EQ(welded, cut);
}

TEST(TrackDowels, StandUnderEveryPiece) {
  const Model bars =
      modelOf(R"({"leafstack":1,"site":{"opening_mm":7600,"grade":0.04,"opens":"left"},
      "gate":{"panels":3},"shop":{"stock_lengths_mm":[6000]}})");
  EXPECT_GT(instancesOf(bars, PartKind::kTrack).size(), 3U);  // the front one in pieces
  expectDowels(bars, PartKind::kTrack);
  const Model flats = modelOf(R"({"leafstack":1,"site":{"opening_mm":7000},"hardware":"heavy",
      "gate":{"panels":2},"shop":{"stock_lengths_mm":[6000]}})");
  EXPECT_GT(instancesOf(flats, PartKind::kTrackFlat).size(), 2U);
  expectDowels(flats, PartKind::kTrackFlat);
}

/// A gate without them is ready on a condition only.
TEST(TrackDowels, AreMissedWhereThereAreNone) {
  for (const double dowel_mm : {0.0, 10.0}) {
    const GateSpec spec = gates::specWith({{"/site/dowel_mm", dowel_mm}});
    const Model model = buildModel(spec, gates::laidOut(spec));
    EXPECT_EQ(instancesOf(model, PartKind::kTrackDowel).empty(), dowel_mm == 0);
    const std::vector<Warning> warnings = warningsOf(model, makeSchedules(model));
    const auto said = std::find_if(warnings.begin(), warnings.end(), [](const Warning& warning) {
      return warning.id == "unfixed-track";
    });
    EXPECT_EQ(said != warnings.end(), dowel_mm == 0);
    if (said != warnings.end()) {
      EXPECT_NE(said->proviso, "");
    }
  }
}

/// Of a motor whose feet are not known 30 off its ends and in the middle of packers of 40: 260 - 60
/// and 200 - 40 apart. Every packer has a hole where an anchor goes through.
TEST(MotorAnchors, GoThroughItsPackers) {
  const GateSpec plain = gates::specWith({{"/gate/panels", 2}});
  const GateSpec known = gates::specWith(
      {{"/hardware/motor/feet_along_mm", 172}, {"/hardware/motor/feet_across_mm", 114}});
  const std::array<double, 2> apart[] = {{200, 160}, {172, 114}};
  for (const int which : {0, 1}) {
    const GateSpec& spec = which == 0 ? plain : known;
    const Model model = buildModel(spec, gates::laidOut(spec));
    Extent along{1e9, -1e9}, across{1e9, -1e9};
    int anchors = 0;
    for (const Fastening& fastening : model.fastenings) {
      if (fastening.what == "the anchor holds the motor") {
        ++anchors;
        along = {std::min(along.from, fastening.seat_mm[0]),
                 std::max(along.to, fastening.seat_mm[0])};
        across = {std::min(across.from, fastening.seat_mm[1]),
                  std::max(across.to, fastening.seat_mm[1])};
      }
    }
    EXPECT_EQ(anchors, 4);
    EXPECT_NEAR(along.to - along.from, apart[which][0], 1e-9);
    EXPECT_NEAR(across.to - across.from, apart[which][1], 1e-9);
    const Schedules schedules = makeSchedules(model);
    int packers = 0;
    for (const ProfileRow& row : schedules.profiles) {
      if (row.name == "motor packer" && row.profile) {
        ++packers;
        EXPECT_NEAR(row.profile->smallestHoleMm(), 11, 1e-9);  // M10, ISO 273 medium
      }
    }
    EXPECT_GE(packers, 1);
    int set_out = 0;
    for (const SetOutRow& row : schedules.set_out) {
      if (row.item == "motor base" && row.point == "anchor") {
        ++set_out;
        EXPECT_EQ(row.note.find("as most motors") != std::string::npos, which == 0);
      }
    }
    EXPECT_EQ(set_out, 4);
  }
}

/// End stops by one anchor each, the ground bracket by two; where they stand, by the solids.
TEST(SetOut, HasTheAnchorsOfFeet) {
  const Model model = modelOf(R"({"leafstack":1,"site":{"opening_mm":5700,"opens":"left"},
      "gate":{"panels":3}})");
  std::map<std::string, int> rows;
  for (const SetOutRow& row : makeSchedules(model).set_out) {
    if (row.point == "anchor" &&
        (row.item.starts_with("end stop") || row.item == "ground rope bracket")) {
      ++rows[row.item];
      const auto stands = instancesOf(model, PartKind::kAnchor);
      EXPECT_TRUE(std::any_of(stands.begin(), stands.end(), [&](const Instance* anchor) {
        return std::abs(middle(*anchor, 0) + row.at_mm[0]) < 0.01 &&  // mirrored
               std::abs(middle(*anchor, 1) - row.at_mm[1]) < 0.01 &&
               std::abs(anchor->bounds.low[2] - row.at_mm[2]) < 0.01;
      })) << row.item;
    }
  }
  const std::map<std::string, int> expected = {{"end stop of panel 1", 1},
                                               {"end stop of panel 2", 1},
                                               {"end stop of panel 3", 1},
                                               {"ground rope bracket", 2}};
  EXPECT_EQ(rows, expected);
}

/// The overhead bracket's four, on the fence post's face: as far apart as its plate's holes.
TEST(SetOut, HasTheAnchorsOfTheOverheadBracket) {
  const Model model = modelOf(R"({"leafstack":1,"site":{"opening_mm":5700,"grade":0.02},
      "gate":{"panels":2},"guides":{"mount":"overhead"}})");
  int rows = 0;
  for (const SetOutRow& row : makeSchedules(model).set_out) {
    if (row.point == "anchor" && row.item == "overhead bracket") {
      ++rows;
      const auto stands = instancesOf(model, PartKind::kAnchor);
      EXPECT_TRUE(std::any_of(stands.begin(), stands.end(), [&](const Instance* anchor) {
        return std::abs(middle(*anchor, 0) - row.at_mm[0]) < 0.01 &&
               std::abs(middle(*anchor, 2) - row.at_mm[2]) < 0.01;
      }));
      EXPECT_NEAR(row.at_mm[1], 0, 0.01);
    }
  }
  EXPECT_EQ(rows, 4);
}

/// A board crosses two rails, with two screws in each; all of them in a flat of the frame.
TEST(CladdingScrews, HoldEveryBoardAtEveryRail) {
  const Model model = modelOf(R"({"leafstack":1,"site":{"opening_mm":5400},
      "gate":{"panels":2,"cladding":{"kind":"boards","width_mm":140}}})");
  std::map<int, std::map<PartKind, int>> held;
  for (const Fastening& fastening : model.fastenings) {
    if (fastening.kind == ScrewKind::kDrilling) {
      const PartKind in = model.parts[model.instances[fastening.holds_in].part].kind;
      ++held[fastening.under_head][in];
      EXPECT_EQ(fastening.grip_mm, 20);
      EXPECT_GE(fastening.length_mm, 20 + 3 + 10);  // board, wall, drill point
    }
  }
  EXPECT_EQ(held.size(), instancesOf(model, PartKind::kBoard).size());
  int notched = 0;
  for (auto& [board, rails] : held) {
    EXPECT_EQ(rails[PartKind::kBottomRail], 2);
    notched += rails[PartKind::kTopRail] < 2 ? 1 : 0;  // ends under the guide channel
  }
  EXPECT_LE(notched, 1);
}

}  // namespace
}  // namespace leafstack
