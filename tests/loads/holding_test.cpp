// What is left of rails at their holes, plates that hold the gate, and welds: worked by hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "generator/layout/ground/site_extents.h"
#include "generator/loads/checks/net_section.h"
#include "generator/loads/checks/plate_checks.h"
#include "generator/loads/checks/rail_holes.h"
#include "generator/loads/checks/structure_checks.h"
#include "generator/loads/loads.h"
#include "generator/loads/structure.h"
#include "generator/shop/set_out.h"
#include "generator/verdict/load_warnings.h"
#include "generator/verdict/warnings.h"
#include "params/catalogue/welds.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::modelWith;

// A tube of 60 with ears of 30, holes of 10 in them 12 from the edges: bolts stand 18 off the tube,
// 96 apart along the track and 36 in height. Pulled off with 1000 N, bent by 380 Nm about the track
// and by 80 Nm about the plumb line: 250 + 380 000 / 72 + 80 000 / 192 = 5944.4 N on one bolt. On
// 30 of 10 mm plate: 5944.4 x 18 = 107 000 / (30 x 10^2 / 4 x 235) = 0.6071.
TEST(OverheadEars, ByHand) {
  PostHardware shelf;
  shelf.overhead_mm = 60;
  shelf.overhead_ear_mm = 30;
  shelf.overhead_hole_mm = 10;
  shelf.plate_mm = 10;
  const StructurePlate ears = overheadEars(shelf, {500, -1000, 700, 380e3, 90e3, -80e3});
  EXPECT_NEAR(ears.force_N, 107000 / 18.0, 1e-9);
  EXPECT_NEAR(ears.use, 107000 / (30 * 100 / 4.0 * 235), 1e-9);
}

TEST(OverheadEars, AreJudgedWhereThereIsABracketAndThinOnesWarnedOf) {
  for (const double plate_mm : {4.0, 12.0}) {
    SCOPED_TRACE(plate_mm);
    const Model model = modelWith({{"/gate/panels", 2},
                                   {"/guides/mount", "overhead"},
                                   {"/checks/wind_speed_m_s", 34},
                                   {"/hardware/post/plate_mm", plate_mm}});
    const LoadReport loads = findLoads(model);
    int seen = 0, warned = 0;
    for (const StructurePlate& plate : loads.structure.plates) {
      if (plate.name.find("ears") != std::string::npos) {
        ++seen;
        EXPECT_EQ(plate.use > 1, plate_mm < 10) << plate.use;
        EXPECT_FALSE(plate.case_name.empty());
      }
    }
    for (const Warning& warning : warningsOf(model, loads)) {
      warned += warning.id == "plate-overload" && warning.text.find("ears") != std::string::npos;
    }
    EXPECT_EQ(seen, 1);
    EXPECT_EQ(warned, plate_mm < 10 ? 1 : 0);
  }
  for (const StructurePlate& plate : findLoads(modelWith({{"/gate/panels", 2}})).structure.plates) {
    EXPECT_EQ(plate.name.find("ears"), std::string::npos);
  }
}

// EN 10219-2's table, from memory: RHS 100x50x3 has 8.41 cm2, 106 and 36.1 cm4. A slot 30 wide in
// the middle of its underside takes 90 mm2 at z = -48.5:
//   A = 751; z_s = 90 x 48.5 / 751 = 5.81
//   I_upright = 1 060 000 - 90 x 48.5^2 - 751 x 5.81^2 = 823 000; W = 823 000 / 55.81 = 14 740
//   I_across = 361 000 - 3 x 30^3 / 12 = 354 250; W = 354 250 / 25 = 14 170
TEST(NetSection, OfASlotInTheUndersideByHand) {
  const HollowSection tube{100, 50, 3, ""};
  const WallGap slot{TubeWall::kBottom, 0, 100, 10, 40, "wheel pocket"};
  const NetSection net = netSection(tube, std::span(&slot, 1));
  EXPECT_NEAR(net.area_mm2, 751, 2);
  EXPECT_NEAR(net.upright_mm3, 14740, 95);  // the table ends at 0.5 cm4, over 55.8 mm
  EXPECT_NEAR(net.across_mm3, 14170, 60);
  EXPECT_NEAR(net.flanges_left, 1 - 30.0 / 47, 1e-9);
  EXPECT_EQ(net.sides_left, 1);
}

// Both sides slotted alike, 40 high in the middle: nothing moves, 2 x 3 x 40 is taken at 23.5 from
// the middle: I_across = 361 000 - 2 x (120 x 23.5^2 + 40 x 27 / 12) = 228 280; W = 9131.
TEST(NetSection, OfSlotsInBothSidesByHand) {
  const HollowSection tube{100, 50, 3, ""};
  const WallGap slots[] = {{TubeWall::kFront, 0, 90, 30, 70, "pulley slot"},
                           {TubeWall::kRear, 0, 90, 30, 70, "pulley slot"}};
  const NetSection net = netSection(tube, slots);
  EXPECT_NEAR(net.area_mm2, 841 - 240, 2);
  EXPECT_NEAR(net.across_mm3, 9131, 60);
  EXPECT_NEAR(net.sides_left, 1 - 40.0 / 97, 1e-9);
  EXPECT_EQ(net.flanges_left, 1);
}

TEST(NetSection, WithoutHolesIsTheWholeSection) {
  const HollowSection tube{80, 40, 3, ""};
  const NetSection net = netSection(tube, {});
  EXPECT_DOUBLE_EQ(net.area_mm2, bendingAcross(tube).area_mm2);
  EXPECT_DOUBLE_EQ(net.across_mm3, bendingAcross(tube).modulus_mm3);
  EXPECT_DOUBLE_EQ(net.upright_mm3, bendingUpright(tube).modulus_mm3);
}

TEST(NetSection, RailsOfEitherHandAreWeakenedAlike) {
  const Model right = modelWith({{"/gate/panels", 3}});
  const Model left = modelWith({{"/gate/panels", 3}, {"/site/opens", "left"}});
  const auto one = weakPlaces(right), other = weakPlaces(left);
  ASSERT_EQ(one.size(), other.size());
  auto same = other.begin();
  for (const auto& [part, places] : one) {
    ASSERT_EQ(places.size(), same->second.size());
    EXPECT_GT(places.size(), 6u) << "two pockets and their axles at least";
    double least = 1;
    for (std::size_t i = 0; i < places.size(); ++i) {
      EXPECT_NEAR(places[i].net.area_mm2, same->second[i].net.area_mm2, 1e-6);
      EXPECT_NEAR(places[i].at_mm, same->second[i].at_mm, 1e-6);
      EXPECT_LT(places[i].net.area_mm2, bendingAcross(*right.parts[part].tube).area_mm2);
      least = std::min(least, places[i].net.flanges_left);
    }
    EXPECT_LT(least, 0.6) << "the wheel's pocket takes most of the underside";
    ++same;
  }
}

TEST(Holding, TheRailIsJudgedAtItsHoles) {
  const StructureReport report = findLoads(modelWith({{"/gate/panels", 2}})).structure;
  int found = 0;
  for (const StructureMember& member : report.members) {
    const double gross = bendingAcross({100, 50, 3, ""}).area_mm2;
    if (member.name == "bottom rail at its holes") {
      ++found;
      EXPECT_LT(member.area_mm2, gross);
      EXPECT_NE(member.taken_off, "");
      EXPECT_GT(member.use, 0);
    } else if (member.name == "bottom rail") {
      EXPECT_NEAR(member.area_mm2, gross, 1e-9);
      EXPECT_EQ(member.taken_off, "");
    }
  }
  EXPECT_EQ(found, 2);
}

// EN 1993-1-8, 4.5.3.3, worked in handbooks as 207.8 for S235.
TEST(Holding, FilletsHoldWhatTheStandardSays) {
  EXPECT_NEAR(filletStrength_N_mm2("steel"), 207.8, 0.05);
  // EN 1999-1-1, 8.6.3, from memory: 160 / (1.732 x 1.25).
  EXPECT_NEAR(filletStrength_N_mm2("aluminium"), 73.9, 0.05);
  EXPECT_EQ(filletLeg_mm(12, 4), 4);  // the published table's 5, no more than the thinner part
  EXPECT_EQ(filletLeg_mm(5, 3), 3);
  EXPECT_EQ(filletLeg_mm(3, 2), 2);
  EXPECT_EQ(filletLeg_mm(5, 1.5), 1.5);
  // However great the force: 4 x sqrt 2 = 5.66, which is no leg that a welder is told.
  EXPECT_EQ(filletLegFor_mm(4, 4, 1e6, 200), 5.5);
  EXPECT_EQ(filletLeg_mm(25, 20), 8);
}

// Welds as lines (any handbook of welded structures): two lines of 40, 1000 N 60 beyond their
// middle: 1000 / 80 + 60 000 x 20 / (2 x 40^3 / 12) = 12.5 + 112.5.
TEST(Holding, TwoFilletsByHand) {
  EXPECT_NEAR(twoFillets_N_mm(1000, 60, 40), 125, 1e-9);
}

// All round a square of 80: S = b d + d^2 / 3 = 8533 mm2; 2 kN m make 234 N/mm; 1 kN m of twist
// 1e6 / (2 x 80 x 80) = 78.1; 3.2 kN of shear 3200 / 160 = 20: sqrt(234.4^2 + 98.1^2) = 254.1.
TEST(Holding, AWeldAllRoundByHand) {
  PostPlate plate;
  plate.post_along_mm = plate.post_across_mm = 80;
  frame::Inner foot;
  foot.about_z_Nmm = 2e6;
  foot.twist_Nmm = -1e6;
  foot.shear_y_N = 3200;
  EXPECT_NEAR(allRound_N_mm(plate, foot), 254.1, 0.1);
}

const StructurePlate& plateNamed(const StructureReport& report, const std::string& part) {
  for (const StructurePlate& plate : report.plates) {
    if (plate.name.find(part) != std::string::npos) {
      return plate;
    }
  }
  throw std::runtime_error(part);
}

// A rectangle's plastic modulus is b t^2 / 4; mild steel yields at 235.
TEST(Holding, ReceiversPlatesBendByTheirForce) {
  const StructureReport report = findLoads(modelWith({{"/gate/panels", 2}})).structure;
  const StructurePlate& plate = plateNamed(report, "top receiver");
  EXPECT_NEAR(
      plate.use,
      plate.force_N * plate.lever_mm / (plate.width_mm * plate.thick_mm * plate.thick_mm / 4 * 235),
      1e-9);
  // 5 off the panel and 20 of buffer, then to the middle of 15 that are straight of the 30.
  EXPECT_NEAR(plate.lever_mm, 25 + 7.5, 1e-6);
  EXPECT_EQ(plate.width_mm, 80);
  EXPECT_GT(plate.force_N, 0);
  const StructureReport thin =
      findLoads(modelWith({{"/gate/panels", 2}, {"/hardware/receiver/plate_mm", 3}})).structure;
  EXPECT_NEAR(plateNamed(thin, "top receiver").use / plate.use, 4, 0.05);
}

TEST(Holding, EveryPartThatHoldsHasItsWeld) {
  const StructureReport report = findLoads(modelWith({{"/gate/panels", 3}})).structure;
  std::string names;
  for (const StructureWeld& weld : report.welds) {
    names += weld.name + "\n";
    EXPECT_NEAR(weld.use, weld.line_N_mm / (weld.leg_mm / std::sqrt(2.0) * weld.strength_N_mm2),
                1e-9);
    EXPECT_LE(weld.use, 1) << weld.name;
    EXPECT_NE(weld.formula, "");
  }
  for (const char* part :
       {"bottom receiver", "top receiver", "track keeper", "guide post", "catch post"}) {
    EXPECT_NE(names.find(part), std::string::npos) << part << " in\n" << names;
  }
}

// A keeper of aluminium yields in its weld's zone: 65 / 1.1 instead of 235 (EN 1999-1-1).
TEST(Holding, KeepersOfAluminiumAreSofter) {
  GateSpec steel = modelWith({}).spec, light = steel;
  light.gate.material = FrameMaterial::kAluminium;
  EXPECT_NEAR(keeperUse(light, 1000) / keeperUse(steel, 1000), 235 / (65 / 1.1), 1e-9);
}

// A keeper beside the flat of the heavy set: a cantilever from the rail, 67.506 over the footing,
// to the flat's top at 15, the wheel climbed by its play of 1.5, so 54.006; 120 x 5 of S235 yields
// through at 120 x 5^2 / 4 x 235 = 176.25 N m. Its saddle is welded by two fillets across the flat
// of a rail 50 deep with corners of 6, 38 each: F / (2 l) + 3 F e / l^2 on a throat of 3 / sqrt 2,
// which bears 360 / (sqrt 3 x 0.8 x 1.25) = 207.8 N/mm2 (EN 1993-1-8, 4.5.3.3).
TEST(Holding, AKeeperBesideAFlatByHand) {
  const Model model = modelWith({{"/gate/panels", 3}, {"/hardware/set", "heavy"}});
  const StructureReport report = findLoads(model).structure;
  double most = 0;
  for (const StructureWheel& wheel : report.wheels) {
    most = std::max(most, wheel.most_lateral_N);
    EXPECT_TRUE(isHeld(wheel)) << wheel.panel;
  }
  const double force = 1.5 * most, lever = 54.006;
  const auto plate = std::find_if(report.plates.begin(), report.plates.end(), [](const auto& one) {
    return one.name.find("track keeper") != std::string::npos;
  });
  ASSERT_NE(plate, report.plates.end());
  EXPECT_NEAR(plate->use, force * lever / (120 * 5 * 5 / 4.0 * 235), 1e-4);
  const auto weld = std::find_if(report.welds.begin(), report.welds.end(), [](const auto& one) {
    return one.name.find("saddle") != std::string::npos;
  });
  ASSERT_NE(weld, report.welds.end());
  const double line = force / (2 * 38) + 3 * force * lever / (38 * 38);
  EXPECT_NEAR(weld->line_N_mm, line, 0.01);
  EXPECT_NEAR(weld->use, line / (3 / std::sqrt(2.0) * 360 / (std::sqrt(3.0) * 0.8 * 1.25)), 1e-3);
}

TEST(Blocks, WhereTheyReachToIsSetOut) {
  const Model model = modelWith({{"/gate/panels", 2}});
  const LoadReport loads = findLoads(model);
  for (const StructurePost& post : loads.structure.posts) {
    ASSERT_TRUE(post.block);
    const PostBlock& block = *post.block;
    const double into = std::min(block.middle_x_mm + block.along_mm / 2, model.layout.opening_mm) -
                        std::max(block.middle_x_mm - block.along_mm / 2, 0.0);
    double told = 0;
    for (const BlockReach& reach : block.reaches) {
      told = reach.what == "into the clear opening" ? reach.by_mm : told;
    }
    EXPECT_NEAR(told, std::max(into, 0.0), 1e-9) << post.name;
    std::string note;
    for (const SetOutRow& row : setOutRows(model, loads.structure)) {
      note += row.mark == post.mark && row.point == "middle of the block under it" ? row.note : "";
    }
    EXPECT_EQ(note.find("into the clear opening") != std::string::npos, into > 0) << note;
  }
}

// Against the slab (from the track's front to behind the motor) and the pocket dug into a bank,
// 400 wide here: a block 900 across about the guide post's plate goes past both.
TEST(Blocks, AreComparedWithSlabAndPocket) {
  const auto guide_post_of = [](gates::Changes changes) {
    const Model model = modelWith(std::move(changes));
    const LoadReport loads = findLoads(model);
    for (const StructurePost& post : loads.structure.posts) {
      if (post.is_guide_post) {
        return std::pair{*post.block, loadWarnings(model, loads)};
      }
    }
    throw std::logic_error("no guide post");
  };
  const auto by = [](const PostBlock& block, std::string_view what) {
    for (const BlockReach& reach : block.reaches) {
      if (reach.what == what) {
        return reach.by_mm;
      }
    }
    return 0.0;
  };
  const auto count = [](const std::vector<Warning>& warnings) {
    return std::count_if(warnings.begin(), warnings.end(),
                         [](const Warning& one) { return one.id == "block-past-pocket"; });
  };
  const auto [dug, dug_warnings] = guide_post_of({{"/gate/panels", 2},
                                                  {"/site/bank", 0.2},
                                                  {"/site/pocket_width_mm", 400},
                                                  {"/footing/block_across_mm", 900}});
  EXPECT_NEAR(by(dug, kPastPocket), dug.middle_y_mm + 450 - 400, 1e-9);
  EXPECT_EQ(count(dug_warnings), 1);
  const auto [wide, wide_warnings] = guide_post_of({{"/gate/panels", 2},
                                                    {"/site/bank", 0.2},
                                                    {"/site/pocket_width_mm", 1200},
                                                    {"/footing/block_across_mm", 900}});
  EXPECT_EQ(by(wide, kPastPocket), 0);
  EXPECT_EQ(count(wide_warnings), 0);
  const FootingExtent slab =
      footingExtent(modelWith({{"/gate/panels", 2}}).spec, modelWith({{"/gate/panels", 2}}).layout);
  EXPECT_NEAR(by(wide, "out of the slab towards the property"),
              std::max(0.0, wide.middle_y_mm + 450 - slab.to_y_mm), 1e-9);
  EXPECT_NEAR(by(wide, "out of the slab towards the road"),
              std::max(0.0, slab.from_y_mm - (wide.middle_y_mm - 450)), 1e-9);
}

TEST(Blocks, TheirSizesAreResolvedWithTheirReason) {
  const Model model = modelWith({{"/gate/panels", 2}});
  const LoadReport loads = findLoads(model);
  int told = 0;
  for (const ComputedLoad& one : computedLoads(model.spec, loads)) {
    if (one.pointer.starts_with("/footing/block_")) {
      ++told;
      EXPECT_NE(one.why.find("under the guide post"), std::string::npos) << one.why;
      EXPECT_TRUE(one.values.size() == 1 || one.values.size() == loads.structure.posts.size());
    }
  }
  EXPECT_EQ(told, 3);
  GateSpec given = model.spec;
  given.footing.block_along_mm = 900;
  told = 0;
  for (const ComputedLoad& one : computedLoads(given, loads)) {
    told += one.pointer.starts_with("/footing/block_") ? 1 : 0;
  }
  EXPECT_EQ(told, 2);
}

}  // namespace
}  // namespace leafstack
