// What the shop and the buyer are told beside sizes: sheets too small, growth, grades, places.
#include <gtest/gtest.h>

#include <BRepAdaptor_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <gp_Cone.hxx>
#include <gp_Lin.hxx>
#include <gp_Vec.hxx>
#include <map>
#include <numbers>
#include <regex>
#include <set>

#include "generator/clash/report/clash.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/model/coats.h"
#include "generator/shop/coating_notes.h"
#include "generator/shop/cutouts.h"
#include "generator/shop/fasteners.h"
#include "generator/shop/order.h"
#include "generator/shop/schedules.h"
#include "generator/shop/welds/weld_rows.h"
#include "generator/verdict/warnings.h"
#include "params/catalogue/catalogue.h"
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

using gates::Json;

Model tried(const char* text) {
  const GateSpec spec = gates::specOf(Json::parse(text));
  return buildModel(spec, gates::laidOut(spec));
}

/// A cheek and its slots by their figures: a coat on either side of both.
TEST(AsMade, CradlesGoIntoCoatedSlots) {
  for (const char* const set : {"light", "medium", "heavy"}) {
    for (const double coat : {0.0, 0.15, 0.3, 0.7}) {
      const GateSpec spec = gates::specWith({{"/hardware", set},
                                             {"/gate/panels", 2},
                                             {"/shop/finish", "galvanised-powder"},
                                             {"/shop/coat_mm", coat}});
      const PulleyCradle c = cradleOf(spec);
      EXPECT_GE(c.entry_half_mm - c.rim_mm - 2 * coat, 0.1) << set << " " << coat;
      EXPECT_GE(c.far_half_mm - c.tongue_half_mm - 2 * coat, 0.1) << set << " " << coat;
      // The bare pin bears on the cheek's coat, so that goes out by two.
      EXPECT_GE(c.slot_half_height_mm - c.cheek_high_mm - 3 * coat, 0.1) << set << " " << coat;
    }
  }
}

/// Every screw goes through every coated hole, or the hole's part says that it is run back.
TEST(AsMade, ScrewsGoThroughCoatedHoles) {
  for (const char* const set : {"light", "medium", "heavy"}) {
    for (const double coat : {0.3, 0.7}) {
      const Model model = gates::modelWith({{"/hardware", set},
                                            {"/gate/panels", 2},
                                            {"/shop/finish", "galvanised-powder"},
                                            {"/shop/coat_mm", coat}});
      const std::vector<std::string> notes = coatingNotes(model);
      int through = 0;
      for (const Fastening& one : model.fastenings) {
        const Instance& stands = model.instances[one.under_head];
        const Part& part = model.parts[stands.part];
        const double on = coatOn_mm(model.spec.shop, part);
        if (on == 0 || one.kind == ScrewKind::kDrilling) {
          continue;
        }
        const gp_Trsf back = stands.at_closed.Transformation().Inverted();
        const gp_Pnt at = gp_Pnt(one.seat_mm[0], one.seat_mm[1], one.seat_mm[2]).Transformed(back);
        const gp_Vec way = gp_Vec(one.out[0], one.out[1], one.out[2]).Transformed(back);
        const double hole =
            holeAbout_mm(part, {at.X(), at.Y(), at.Z()}, {way.X(), way.Y(), way.Z()});
        ASSERT_GT(hole, one.thread_mm) << part.mark << ": " << one.what;
        const bool is_run_back = notes[stands.part].find("run holes dia ") != std::string::npos;
        EXPECT_TRUE(hole - 2 * on >= one.thread_mm || is_run_back)
            << set << " " << coat << " " << part.mark << ": dia " << hole << " for M"
            << one.thread_mm;
        // Sunk ones of cradles and channels are drawn larger: nothing is run back there.
        if (one.kind == ScrewKind::kCountersunk) {
          EXPECT_GE(hole - 2 * on, one.thread_mm) << part.mark;
        }
        ++through;
      }
      EXPECT_GT(through, 10);
      for (std::size_t i = 0; i < model.parts.size(); ++i) {
        const PartKind kind = model.parts[i].kind;
        if (kind == PartKind::kGuidePost || kind == PartKind::kCatchPost) {
          EXPECT_NE(notes[i].find("plug threads M"), std::string::npos) << model.parts[i].mark;
        }
        if (kind == PartKind::kRearBracket) {
          EXPECT_NE(notes[i].find("run holes dia "), std::string::npos) << model.parts[i].mark;
        }
      }
    }
  }
  for (const std::string& note : coatingNotes(gates::modelWith({}))) {
    EXPECT_EQ(note, "");
  }
}

/// A head of 90 degrees sinks into a coated cone until it touches: as far over the coated cone's
/// point as its rim is wide. It must not stand out of the face as it is drawn.
TEST(AsMade, SunkHeadsGoDownIntoCoatedHoles) {
  for (const auto& [finish, coat] :
       {std::pair{"none", 0.0}, {"galvanised", 0.15}, {"galvanised-powder", 0.6}}) {
    const Model model =
        gates::modelWith({{"/gate/panels", 2}, {"/shop/finish", finish}, {"/shop/coat_mm", coat}});
    int sunk = 0;
    for (const Fastening& one : model.fastenings) {
      const Instance& stands = model.instances[one.under_head];
      const Part& part = model.parts[stands.part];
      if (one.kind != ScrewKind::kCountersunk) {
        continue;
      }
      const double on = coatOn_mm(model.spec.shop, part);
      const gp_Trsf back = stands.at_closed.Transformation().Inverted();
      const gp_Lin axis(gp_Pnt(one.seat_mm[0], one.seat_mm[1], one.seat_mm[2]).Transformed(back),
                        gp_Dir(one.out[0], one.out[1], one.out[2]).Transformed(back));
      int cones = 0;
      for (TopExp_Explorer faces(part.solid, TopAbs_FACE); faces.More(); faces.Next()) {
        const BRepAdaptor_Surface surface(TopoDS::Face(faces.Current()), false);
        if (surface.GetType() != GeomAbs_Cone || axis.Distance(surface.Cone().Apex()) > 0.01) {
          continue;
        }
        ++cones;
        EXPECT_NEAR(std::abs(surface.Cone().SemiAngle()), std::numbers::pi / 4, 1e-9);
        // Out of the joint from the face: where the coated cone has its point, and the head's rim.
        const double point = gp_Vec(axis.Location(), surface.Cone().Apex()).Dot(axis.Direction()) +
                             std::numbers::sqrt2 * on;
        EXPECT_LE(point + one.thread_mm, 1e-6) << finish << " " << part.mark;
        EXPECT_GE(point + one.thread_mm, -0.01) << finish << " " << part.mark;
      }
      EXPECT_EQ(cones, 1) << part.mark << ": " << one.what;
      ++sunk;
    }
    EXPECT_GT(sunk, 10);
  }
}

/// Wheels run on tracks, and dowels are bonded into concrete: no paint.
TEST(AsMade, TracksAndDowelsAreNotPainted) {
  for (const char* const finish : {"painted", "galvanised-powder"}) {
    const Schedules lists =
        makeSchedules(gates::modelWith({{"/shop/finish", finish}, {"/gate/panels", 2}}));
    int seen = 0;
    for (const CoatingRow& row : lists.coating) {
      if (row.mark.starts_with("TK") || row.mark.starts_with("TD")) {
        EXPECT_EQ(row.finish.find("paint"), std::string::npos) << row.finish;
        EXPECT_EQ(row.finish.find("powder"), std::string::npos) << row.finish;
        ++seen;
      }
    }
    EXPECT_GE(seen, 2) << finish;
  }
}

/// Lengths of ISO 888, from memory, or said to be cut from one.
TEST(AsMade, ScrewsAreOfLengthsThatAreSold) {
  const std::set<double> sold = {6,  8,  10, 12, 16, 20, 25,  30,  35,  40,  45,  50,
                                 55, 60, 65, 70, 80, 90, 100, 110, 120, 130, 140, 150};
  for (const char* const set : {"light", "medium", "heavy"}) {
    const Model model = gates::modelWith({{"/hardware", set}, {"/gate/panels", 2}});
    for (const Fastening& one : model.fastenings) {
      if (one.kind == ScrewKind::kAnchor || one.kind == ScrewKind::kDrilling) {
        continue;
      }
      const Part& screw = model.parts[model.instances[one.screw].part];
      EXPECT_TRUE(sold.contains(one.length_mm) ||
                  screw.section.find("cut from ") != std::string::npos)
          << set << " " << screw.mark << " " << screw.section;
    }
  }
}

/// The return's upright is open to the sky but for its cap.
TEST(AsMade, TheReturnUprightIsCapped) {
  const Model model = gates::modelWith({{"/gate/panels", 2}});
  int caps = 0;
  for (const Contact& contact : model.contacts) {
    const auto kind = [&](int i) { return model.parts[model.instances[i].part].kind; };
    const bool is_cap =
        kind(contact.a) == PartKind::kTubeCap || kind(contact.b) == PartKind::kTubeCap;
    caps += is_cap && (kind(contact.a) == PartKind::kReturnUpright ||
                       kind(contact.b) == PartKind::kReturnUpright);
  }
  EXPECT_EQ(caps, 1);
}

/// A step in the footing is one that is cast, and stands before the guide post's plate.
TEST(AsMade, PostsStandOnOneHeightOfFooting) {
  for (const double up : {60.0, 61.0, 63.0, 70.0}) {
    const GateSpec spec = gates::specWith({{"/hardware/motor/pinion_up_mm", 95 + up - 60},
                                           {"/gate/panels", 2},
                                           {"/site/grade", 0.02}});
    Layout layout;
    try {
      layout = gates::laidOut(spec);
    } catch (const std::exception&) {
      continue;
    }
    EXPECT_EQ(std::fmod(footingDropMm(spec, layout), 5), 0);
    EXPECT_LE(layout.ground.rear_strip_y_mm, guidePostPlate(spec, layout)->front_y_mm - 5 + 1e-9);
  }
}

/// Gates that were tried: nuts under a catch plate get a spanner, since no ratchet goes over the
/// socket, and ring spanners go on where there is room over the stud's end.
TEST(AsMade, ToolsAreThoseThatTurn) {
  const Model heavy = tried(R"({"leafstack":1,"site":{"opening_mm":6600,"opens":"left"},
      "gate":{"panels":3,"height_mm":1500,"infill":{"kind":"open"},
      "cladding":{"kind":"boards","width_mm":140}},
      "shop":{"finish":"galvanised"},"hardware":"heavy"})");
  int spanners = 0;
  for (const FastenerRow& row : fastenerRows(heavy)) {
    EXPECT_TRUE(row.blocked_by.empty()) << row.mark << " " << row.tool;
    spanners += row.what == "the anchor holds its base plate" && row.tool == "spanner 18"
                    ? row.quantity
                    : 0;
  }
  EXPECT_EQ(spanners, 2);
  const Model light = tried(R"({"leafstack":1,"site":{"opening_mm":5000,"opens":"right"},
      "gate":{"panels":2,"height_mm":1500,"material":"aluminium",
      "infill":{"kind":"slats","section":"RHS 50x25x2","gap_mm":30}},
      "guides":{"mount":"overhead"},"hardware":"light"})");
  for (const FastenerRow& row : fastenerRows(light)) {
    EXPECT_TRUE(row.blocked_by.empty()) << row.mark << " " << row.tool << ": " << row.what;
    spanners += row.tool.ends_with("spanner 18") && row.what == "the anchor holds its base plate"
                    ? row.quantity
                    : 0;
  }
  EXPECT_EQ(spanners, 4);
}

/// Screws of a steel channel on an aluminium panel: each has its hole, of the form drill's
/// diameter, in the member's file and list; a member that none goes into keeps its mark, and has
/// none.
TEST(AsMade, PanelsAreDrilledForTheirChannels) {
  for (const char* const opens : {"right", "left"}) {
    const GateSpec spec = gates::specWith(
        {{"/gate/material", "aluminium"}, {"/gate/panels", 3}, {"/site/opens", opens}});
    const Model model = buildModel(spec, gates::laidOut(spec));
    std::map<std::string, int> screws;  // by member
    double thread_mm = 0;
    for (const Fastening& one : model.fastenings) {
      const Instance& held = model.instances[one.under_head];
      if (model.parts[held.part].kind == PartKind::kGuideChannel && held.panel > 0) {
        EXPECT_FALSE(one.is_match_drilled);
        thread_mm = one.thread_mm;
        ++screws[model.instanceName(one.holds_in)];
      }
    }
    ASSERT_GE(screws.size(), 2U);
    const std::vector<CutoutRow> rows = cutoutRows(model);
    for (std::size_t i = 0; i < model.instances.size(); ++i) {
      const std::string name = model.instanceName(static_cast<int>(i));
      const Part& part = model.parts[model.instances[i].part];
      if (part.kind != PartKind::kTopRail && part.kind != PartKind::kStile) {
        continue;
      }
      const auto of_channel = std::count_if(rows.begin(), rows.end(), [&](const CutoutRow& row) {
        return row.mark == part.mark && row.wall == "front" &&
               std::abs(row.width_mm - threadClass(thread_mm).form_mm) < 1e-6 &&
               row.what == "flow-drilled M" + shown(thread_mm) +
                               ": the guide channel is fixed to its panel";
      });
      EXPECT_EQ(of_channel, screws.contains(name) ? screws.at(name) : 0) << name;
      const bool says =
          std::any_of(part.cutouts.begin(), part.cutouts.end(), [](const std::string& words) {
            return words.find("for the guide channel") != std::string::npos;
          });
      EXPECT_EQ(says, screws.contains(name)) << name;
    }
  }
}

/// Carriers of the gate that was tried with wheels on plates, M8 beside cheeks: a socket goes on.
/// Where nothing goes on, the gate is not ready.
TEST(AsMade, WhatNoToolReachesIsNotReady) {
  const auto told = [](gates::Changes settings) {
    const GateSpec spec = gates::specWith(settings);
    const Model model = buildModel(spec, gates::laidOut(spec));
    const Schedules schedules = makeSchedules(model);
    int blocked = 0;
    for (const FastenerRow& row : schedules.fasteners) {
      blocked += row.blocked_by.empty() ? 0 : 1;
    }
    int against = 0;
    for (const Warning& warning : warningsOf(model, schedules)) {
      against += warning.id == "no-tool" && warning.against == Against::kMaking ? 1 : 0;
    }
    EXPECT_EQ(blocked > 0, against > 0);
    return against;
  };
  EXPECT_EQ(told({{"/gate/panels", 2}}), 0);
  EXPECT_EQ(told({{"/guides/mount", "overhead"}, {"/hardware/post/overhead_ear_mm", 46}}), 0);
  EXPECT_GT(told({{"/guides/mount", "overhead"}, {"/hardware/post/overhead_ear_mm", 19}}), 0);
}

/// All that it takes to galvanise, none left out: each joint beyond 4:1 is named.
TEST(AsMade, EveryJointTooUnlikeForTheBathIsNamed) {
  const Model model = gates::modelWith({{"/gate/panels", 3}, {"/shop/finish", "galvanised"}});
  Schedules lists = makeSchedules(model);
  std::string text;
  for (const Warning& warning : warningsOf(model, lists)) {
    text += warning.id == "dip-thickness" ? warning.text : "";
  }
  int named = 0;
  for (const WeldRow& row : weldRows(model)) {
    if (row.thicker_mm > 4.001 * row.thinner_mm && !row.a.starts_with("P") &&
        !row.b.starts_with("P")) {
      EXPECT_TRUE(text.find(row.a + "-" + row.b + " (") != std::string::npos ||
                  text.find(row.b + "-" + row.a + " (") != std::string::npos)
          << row.a << " " << row.b << " in " << text;
      ++named;
    }
  }
  EXPECT_GT(named, 1);
}

/// A model without screws, anchors, nuts, washers, caps: what it was to check before there were
/// any.
Model leftWithoutFixings(const Model& model) {
  const std::set<PartKind> left_out = {
      PartKind::kScrew,       PartKind::kAnchor,  PartKind::kWasher,    PartKind::kNut,
      PartKind::kPulleyScrew, PartKind::kTubeCap, PartKind::kWheelBolt, PartKind::kPivotBolt};
  Model bare = model;
  bare.instances.clear();
  bare.contacts.clear();
  bare.fastenings.clear();
  std::vector<int> now(model.instances.size(), -1);
  for (std::size_t i = 0; i < model.instances.size(); ++i) {
    if (!left_out.contains(model.parts[model.instances[i].part].kind)) {
      now[i] = static_cast<int>(bare.instances.size());
      bare.instances.push_back(model.instances[i]);
    }
  }
  for (Contact contact : model.contacts) {
    if (now[contact.a] < 0 || now[contact.b] < 0) {
      continue;
    }
    contact.a = now[contact.a];
    contact.b = now[contact.b];
    for (Engagement& engagement : contact.engagements) {
      engagement.inner = now[engagement.inner];
    }
    bare.contacts.push_back(std::move(contact));
  }
  for (RopeRun& rope : bare.ropes) {
    rope.instance = now[rope.instance];
  }
  return bare;
}

/// What all those screws cost the check. By pairs that have to be swept, which the time goes into
/// and which no other program on this machine changes; the time itself is told.
TEST(AsMade, FixingsAddLessThanHalfToTheCheck) {
  for (const int panels : {2, 3}) {
    const Model with = gates::modelWith({{"/gate/panels", panels}});
    const Model without = leftWithoutFixings(with);
    const auto timed = [](const Model& model, double& seconds) {
      const std::clock_t from = std::clock();
      const ClashReport report = checkClashes(model);
      seconds = static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC;
      return report;
    };
    double all_s = 0, bare_s = 0;
    const ClashReport bare = timed(without, bare_s);
    const ClashReport all = timed(with, all_s);
    EXPECT_EQ(bare.verdict, all.verdict);
    EXPECT_GT(with.instances.size(), 1.2 * static_cast<double>(without.instances.size()));
    EXPECT_LT(all.counts.by_sweep, 1.5 * bare.counts.by_sweep);
    RecordProperty("instances_with", static_cast<int>(with.instances.size()));
    std::printf(
        "%d panels: %zu placed with fixings, %zu without; %d pairs and %d; swept %d and "
        "%d; processor %.2f s and %.2f s: %.2f\n",
        panels, with.instances.size(), without.instances.size(), all.pairs_checked,
        bare.pairs_checked, all.counts.by_sweep, bare.counts.by_sweep, all_s, bare_s,
        all_s / bare_s);
  }
}

}  // namespace
}  // namespace leafstack
