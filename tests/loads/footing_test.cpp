// Base plates, anchors and blocks under posts, against arithmetic by hand.
#include <gtest/gtest.h>

#include <BRepClass3d_SolidClassifier.hxx>
#include <cmath>

#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/loads/loads.h"
#include "generator/loads/statics/anchor_cone.h"
#include "generator/loads/statics/post_block.h"
#include "generator/shop/set_out.h"
#include "generator/verdict/load_warnings.h"
#include "params/catalogue/welds.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::modelWith;

// EN 1990, table A1.2(A), factors from memory. By hand: 0.6 x 0.8 x 0.5 m of 2400 kg/m3 weigh
// 0.24 x 2400 x 9.81 = 5650.56 N. Across: 900 + 600 x 0.5 = 1200 N m against 0.9 x 5650.56 x 0.4 =
// 2034.20 N m. Along: 1000 N m against 0.9 x 5650.56 x 0.3 = 1525.65 N m, which is the worse.
TEST(PostBlock, TipsAboutTheWorseEdge) {
  const BlockSize block{600, 800, 500, 2400};
  EXPECT_NEAR(block.weightN(), 5650.56, 1e-9);
  const Tipping across = tippingOf(block, {"", 900e3, 600, 0, 0});
  EXPECT_TRUE(across.is_across);
  EXPECT_NEAR(across.tipping_Nmm, 1200e3, 1e-6);
  EXPECT_NEAR(across.righting_Nmm, 2034201.6, 1e-6);
  const Tipping worse = tippingOf(block, {"", 900e3, 600, 1000e3, 0});
  EXPECT_FALSE(worse.is_across);
  EXPECT_NEAR(worse.use(), 1000e3 / 1525651.2, 1e-9);
}

// EN 1997-1, annex D (Meyerhof), from memory: e = 1200 / 5650.56 = 0.212368 m, 0.8 - 2 e =
// 0.375264 m, 5650.56 / (0.6 x 0.375264) = 25096 Pa. Past the block's edge nothing bears.
TEST(PostBlock, PressesOnTheAreaAboutItsResultant) {
  const BlockSize block{600, 800, 500, 2400};
  EXPECT_NEAR(soilPressure_kPa(block, {"", 900e3, 600, 0, 0}), 25.096, 0.001);
  EXPECT_NEAR(soilPressure_kPa(block, {}), 5.65056 / 0.48, 1e-9);
  EXPECT_TRUE(std::isinf(soilPressure_kPa(block, {"", 2300e3, 0, 0, 0})));
}

// The smallest that holds: one step less does not. Its depth needs no steel (EN 1992-1-1, 12.9.3,
// from memory): twice the outstand, up to the next 100, and no less than the slab.
TEST(PostBlock, IsTheSmallestStepThatHolds) {
  BlockWish wish;
  wish.post_along_mm = wish.post_across_mm = 80;
  wish.slab_mm = 200;
  wish.density_kg_m3 = 2400;
  for (const double moment_Nm : {100.0, 700.0, 2500.0, 9000.0}) {
    wish.factored = {{"", moment_Nm * 1e3, moment_Nm / 2, 0, 0}};
    const BlockSize block = blockFor(wish);
    EXPECT_EQ(block.along_mm, block.across_mm);
    EXPECT_LE(tippingOf(block, wish.factored.front()).use(), 1) << moment_Nm;
    const auto depth = [](double side) {
      return std::max(200.0, std::ceil((side - 80) / 100) * 100);
    };
    EXPECT_EQ(block.depth_mm, depth(block.along_mm));
    const double less = block.along_mm - 100;
    if (less >= 300) {
      EXPECT_GT(tippingOf({less, less, depth(less), 2400}, wish.factored.front()).use(), 1);
    }
  }
  // Soft ground asks for more than tipping does.
  wish.unfactored = {{"", 6000e3, 3000, 0, 0}};
  const BlockSize firm = blockFor(wish);
  wish.soil_kPa = 50;
  const BlockSize soft = blockFor(wish);
  EXPECT_GT(soft.along_mm, firm.along_mm);
  EXPECT_LE(soilPressure_kPa(soft, wish.unfactored.front()), 50);
  EXPECT_GT(soilPressure_kPa(firm, wish.unfactored.front()), 50);
  // Sides as given: deeper until it holds.
  wish.soil_kPa.reset();
  wish.factored = {{"", 700e3, 350, 0, 0}};
  wish.along_mm = wish.across_mm = 500;
  const BlockSize deep = blockFor(wish);
  EXPECT_EQ(deep.along_mm, 500);
  EXPECT_LE(tippingOf(deep, wish.factored.front()).use(), 1);
  EXPECT_GT(tippingOf({500, 500, deep.depth_mm - 100, 2400}, wish.factored.front()).use(), 1);
}

// EN 1992-4, 7.2.1.4, from memory: in cracked C20/25 one anchor far from every edge holds 7.7 x
// sqrt(20) x 60^1.5 = 16.0 kN at 60 mm and 34.4 kN at 100 mm, as approvals print it. Two, 3 h
// apart, hold twice that. At 60 mm a dense net of bars leaves 0.5 + 60 / 200 = 0.8 of it.
TEST(AnchorCone, FarFromEdges) {
  const AnchorRow deep{100, 300, {1000, 1000}, {1000, 1000}};
  EXPECT_NEAR(coneResistance_N(deep, 20), 2 * 34435, 20);
  const AnchorRow one{60, 0, {1000, 1000}, {1000, 1000}};
  EXPECT_NEAR(coneResistance_N(one, 20), 0.8 * 16004, 10);
}

// By hand, h 100, an edge at 75 before a row of two 200 apart: A = (150 + 200 + 150)(75 + 150) =
// 112500 of 90000, psi_s = 0.7 + 0.3 x 75 / 150 = 0.85: 34435 x 1.25 x 0.85 = 36587 N.
TEST(AnchorCone, NearAnEdge) {
  const AnchorRow row{100, 200, {400, 400}, {75, 400}};
  EXPECT_NEAR(coneResistance_N(row, 20), 36587, 20);
  EXPECT_EQ(coneResistance_N({100, 200, {400, 400}, {0, 0}}, 20), 0);
}

// The kernel's classifier finds every anchor of the set-out in a hole of the plate's solid, and
// steel just beyond the hole's edge.
TEST(PostPlates, AnchorsOfTheSetOutStandInTheHolesOfTheSolids) {
  for (const char* hand : {"right", "left"}) {
    for (const char* mount : {"post", "reach-over", "overhead"}) {
      const Model model = modelWith({{"/site/opens", hand}, {"/guides/mount", mount}});
      std::size_t found = 0, anchors = 0;
      for (const SetOutRow& row : setOutRows(model, {})) {
        if (row.point != "anchor" || row.item.find("post") == std::string::npos) {
          continue;
        }
        ++anchors;
        EXPECT_EQ(row.note, "M12, hole dia 14 in the plate");
        for (const Instance& plate : model.instances) {
          const Part& part = model.parts[plate.part];
          if (part.kind != PartKind::kBasePlate ||
              part.name.find("post base") == std::string::npos) {
            continue;
          }
          const auto isSteel = [&](double aside) {
            gp_Pnt at(model.opening_sign * (row.at_mm[0] + aside), row.at_mm[1], row.at_mm[2] + 6);
            at.Transform(plate.at_closed.Transformation().Inverted());
            return BRepClass3d_SolidClassifier(part.solid, at, 1e-6).State() == TopAbs_IN;
          };
          if (isSteel(7.1)) {
            ++found;
            EXPECT_FALSE(isSteel(0));
            EXPECT_FALSE(isSteel(6.9));
          }
        }
      }
      EXPECT_EQ(anchors, std::string(mount) == "overhead" ? 4U : 8U);
      EXPECT_EQ(found, anchors);
    }
  }
}

const StructurePost& guidePost(const StructureReport& structure) {
  return structure.posts.at(0);
}

// The block gets what panel 1's guide block brings, at its height over the block's lower edge.
TEST(Footing, GuidePostsBlockByHand) {
  const Model model = modelWith({{"/checks/wind_Pa", 600}});
  const StructureReport structure = findLoads(model).structure;
  const StructurePost& post = guidePost(structure);
  const PostBlock& block = post.block.value();
  const double arm = model.layout.guides.front().z_mm - model.spec.hardware.post.plate_mm;
  const double force = 1.5 * structure.blocks.front().force_N;
  EXPECT_NEAR(block.tipping_Nm, force * (arm + block.depth_mm) / 1000, 1e-6 * block.tipping_Nm);
  EXPECT_NEAR(block.righting_Nm,
              0.9 * block.across_mm * block.along_mm * block.depth_mm / 1e9 * 2400 * 9.81 *
                  block.across_mm / 2 / 1000,
              1e-6 * block.righting_Nm);
  EXPECT_LE(block.use, 1);
  EXPECT_FALSE(block.soil_use);
  EXPECT_FALSE(post.anchors->cone_N);
  EXPECT_FALSE(post.anchors->pull_use);
  EXPECT_NEAR(post.anchors->spacing_mm, 80 + 2 * 8 - 2 * 1.2 * 14, 1e-9);
}

const Warning* warned(const std::vector<Warning>& all, const std::string& id) {
  for (const Warning& one : all) {
    if (one.id == id) {
      return &one;
    }
  }
  return nullptr;
}

TEST(Footing, WhatIsGivenIsChecked) {
  const auto warningsWith = [](gates::Changes changes) {
    const Model model = modelWith(changes);
    return loadWarnings(model, findLoads(model));
  };
  const char* const ids[] = {"block-tips",  "soil-overload", "anchor-overload",
                             "anchor-cone", "anchor-near",   "plate-weld-room"};
  const auto sound = warningsWith({});
  for (const char* id : ids) {
    EXPECT_EQ(warned(sound, id), nullptr) << id;
  }
  const auto bad = warningsWith({{"/footing/block_along_mm", 400},
                                 {"/footing/block_across_mm", 400},
                                 {"/footing/block_depth_mm", 400},
                                 {"/footing/soil_kPa", 50},
                                 {"/footing/concrete_N_mm2", 20},
                                 {"/footing/anchor_depth_mm", 40},
                                 {"/footing/anchor_pull_N", 1000},
                                 {"/footing/anchor_edge_mm", 300},
                                 {"/footing/anchor_spacing_mm", 90},
                                 {"/site/setback_mm", 12}});
  for (const char* id : ids) {
    const Warning* one = warned(bad, id);
    ASSERT_NE(one, nullptr) << id;
    EXPECT_NE(one->against, Against::kNothing) << id;
    EXPECT_FALSE(one->in_short.empty()) << id;
  }
  const auto good = warningsWith({{"/footing/soil_kPa", 200},
                                  {"/footing/concrete_N_mm2", 30},
                                  {"/footing/anchor_depth_mm", 200},
                                  {"/footing/anchor_pull_N", 40000},
                                  {"/footing/anchor_edge_mm", 100},
                                  {"/footing/anchor_spacing_mm", 55}});
  for (const char* id : ids) {
    EXPECT_EQ(warned(good, id), nullptr) << id << ": " << warned(good, id)->text;
  }
}

// Least fillets by the thicker part: under 6: 3, to 12: 5, to 20: 6, over: 8 (a published table).
TEST(Footing, LeastFillets) {
  const std::pair<double, double> rows[] = {{5, 3}, {6, 5}, {12, 5}, {15, 6}, {20, 6}, {25, 8}};
  for (const auto& [thick, leg] : rows) {
    EXPECT_EQ(leastFilletLeg_mm(thick), leg) << thick;
  }
}

}  // namespace
}  // namespace leafstack
