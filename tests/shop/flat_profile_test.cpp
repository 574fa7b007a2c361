// Flat profiles against the solids' faces, hand calculations of folds, and the DXF writer.
#include <gtest/gtest.h>

#include <TopExp_Explorer.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <set>
#include <string>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/dxf/dxf.h"
#include "exporters/cad/dxf/profiles.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/outline.h"
#include "generator/shop/flat/flat_profile.h"
#include "generator/shop/flat/hole_edges.h"
#include "generator/shop/schedules.h"
#include "tests/support/built_gates.h"
#include "tests/support/text_count.h"

namespace leafstack {
namespace {

using gates::modelWith;

const BendRule kRule{4, 0.42};

const Part& partNamed(const Model& model, const std::string& name) {
  for (const Part& part : model.parts) {
    if (part.name == name) {
      return part;
    }
  }
  throw std::invalid_argument(name);
}

/// A panel's own, which nothing is screwed through, unlike the post's.
const Part& panelChannel(const Model& model) {
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    if (instance.panel > 0 && part.kind == PartKind::kGuideChannel) {
      return part;
    }
  }
  throw std::invalid_argument("guide channel");
}

double largestFaceMm2(const TopoDS_Shape& solid) {
  double most = 0;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    most = std::max(most, surfaceArea(faces.Current()));
  }
  return most;
}

/// What countersinks take out of a flat part of the default set, by hand: cones of 90 degrees for
/// M5 in the pulleys' flanges and in their cheeks, heads of twice the thread, holes 0.5 wider.
double sunkMm3(PartKind kind) {
  const auto cone = [](double thread) {
    const double head = thread, hole = (thread + 0.5) / 2, deep = head - hole;
    return std::numbers::pi * deep * ((head * head + head * hole + hole * hole) / 3 - hole * hole);
  };
  return kind == PartKind::kPulleyCheek    ? cone(5)
         : kind == PartKind::kPulleyFlange ? 2 * cone(5)
                                           : 0;
}

// P1, P2 and P3 on every flat part of the matrix.
TEST(FlatProfiles, AreTheFacesOfTheSolids) {
  int plates = 0;
  for (const auto& built : gates::builtMatrix()) {
    SCOPED_TRACE(built.text);
    for (const Part& part : built.model.parts) {
      const auto profile = flatProfileOf(part, kRule);
      if (!isFlatWork(part)) {
        EXPECT_FALSE(profile) << part.mark;
        continue;
      }
      ASSERT_TRUE(profile) << part.mark << " " << part.name;
      double area = profile->loops[0].areaMm2();
      for (std::size_t i = 1; i < profile->loops.size(); ++i) {
        area -= profile->loops[i].areaMm2();
      }
      EXPECT_NEAR(profile->area_mm2 / area, 1, 1e-12);
      if (!profile->bends.empty()) {
        continue;
      }
      ++plates;
      EXPECT_NEAR(profile->area_mm2 / largestFaceMm2(part.solid), 1, 1e-9) << part.mark;
      const bool is_bracket = part.name.find("rope bracket") != std::string::npos;
      const double volume = profile->area_mm2 * profile->thickness_mm;
      if (is_bracket) {  // bored across
        EXPECT_GT(volume, part.volume_mm3 * 1.001);
      } else {
        EXPECT_NEAR((volume - sunkMm3(part.kind)) / part.volume_mm3, 1, 1e-9) << part.mark;
      }
      for (const ProfileLoop& loop : profile->loops) {
        if (loop.is_circle) {
          EXPECT_GE(loop.x_mm - loop.radius_mm, -1e-9);
          EXPECT_LE(loop.x_mm + loop.radius_mm, profile->width_mm + 1e-9);
        }
        for (const ProfileVertex& vertex : loop.vertices) {
          EXPECT_GE(std::min(vertex.x_mm, vertex.y_mm), -1e-9);
          EXPECT_LE(vertex.y_mm, profile->height_mm + 1e-9);
        }
      }
    }
  }
  EXPECT_GT(plates, 100);
}

// By hand: post 80, plate 8 beside it and 38 before and behind it, four holes of 14, 1.2 times that
// from the edges.
TEST(FlatProfiles, GuidePostPlateByHand) {
  const Model model = modelWith({});
  const auto profile = flatProfileOf(partNamed(model, "guide post base plate"), kRule);
  ASSERT_TRUE(profile);
  EXPECT_NEAR(profile->width_mm, 96, 1e-9);
  EXPECT_NEAR(profile->height_mm, 156, 1e-9);
  EXPECT_EQ(profile->loops.size(), 5U);
  EXPECT_NEAR(profile->area_mm2, 96 * 156 - 4 * std::numbers::pi * 49, 1e-6);
  EXPECT_NEAR(profile->smallestHoleMm(), 14, 1e-9);
  std::set<std::pair<int, int>> holes;
  for (std::size_t i = 1; i < 5; ++i) {
    EXPECT_TRUE(profile->loops[i].is_circle);
    EXPECT_NEAR(profile->loops[i].radius_mm, 7, 1e-9);
    holes.insert({static_cast<int>(std::lround(profile->loops[i].x_mm)),
                  static_cast<int>(std::lround(profile->loops[i].y_mm))});
  }
  EXPECT_EQ(holes, (std::set<std::pair<int, int>>{{17, 17}, {79, 17}, {17, 139}, {79, 139}}));
}

TEST(FlatProfiles, LeftHandIsTheMirrorImage) {
  const Model right = modelWith({});
  const Model left = modelWith({{"/site/opens", "left"}});
  const auto one = flatProfileOf(partNamed(right, "ground bracket foot"), kRule);
  const auto other = flatProfileOf(partNamed(left, "ground bracket foot"), kRule);
  ASSERT_TRUE(one && other);
  EXPECT_NEAR(one->area_mm2, other->area_mm2, 1e-6);
  std::multiset<long> holes, mirrored;
  for (std::size_t i = 1; i < one->loops.size(); ++i) {
    holes.insert(std::lround(1000 * one->loops[i].x_mm));
    mirrored.insert(std::lround(1000 * (other->width_mm - other->loops[i].x_mm)));
  }
  EXPECT_EQ(holes, mirrored);
}

// ---------------------------------------------------------------- folds

// Common practice, no source: bend allowance = angle x (inside radius + K x thickness); the flats
// are the outside lengths less (radius + thickness) at each square bend. By hand for a channel 80
// wide, 40 deep, lips 16, t = 4, r = 4, K = 0.42: 16 + 40 + 80 + 40 + 16 - 8 x 8 + 4 x 8.9221.
TEST(Folds, GuideChannelBlankByHand) {
  const Model model = modelWith({});
  Part channel = partNamed(model, "guide channel");
  EXPECT_FALSE(flatProfileOf(channel, kRule));  // bought: a section, cut to length
  channel.section = "folded " + channel.section;
  const auto blank = flatProfileOf(channel, kRule);
  ASSERT_TRUE(blank);
  EXPECT_NEAR(bendAllowanceMm(90, 4, kRule), 8.9221, 0.0001);
  EXPECT_NEAR(blank->width_mm, 163.688, 0.001);
  EXPECT_NEAR(blank->height_mm, 100, 1e-9);
  ASSERT_EQ(blank->bends.size(), 4U);
  // First lip flat 8, then the middle of its bend.
  EXPECT_NEAR(blank->bends[0].x_mm, 8 + 8.9221 / 2, 0.001);
  EXPECT_NEAR(blank->bends[1].x_mm, 8 + 8.9221 + 24 + 8.9221 / 2, 0.001);
  for (const BendLine& bend : blank->bends) {
    EXPECT_NEAR(bend.angle_deg, 90, 1e-9);
    EXPECT_EQ(bend.up, blank->bends[0].up);  // all one way
  }
  EXPECT_NEAR(blank->bends[0].x_mm + blank->bends[3].x_mm, blank->width_mm, 1e-6);
}

// A channel with its bends drawn has the blank of the same with sharp corners: with lips of 20,
// 8 more than above.
TEST(Folds, DrawnBendsUnfoldAsTheirCorners) {
  const Model model =
      modelWith({{"/hardware/guide/channel", "folded"}, {"/hardware/guide/lip_mm", 20}});
  const Part& channel = panelChannel(model);
  const auto blank = flatProfileOf(channel, kRule);
  ASSERT_TRUE(blank);
  EXPECT_NEAR(blank->width_mm, 171.688, 0.001);
  ASSERT_EQ(blank->bends.size(), 4U);
  EXPECT_NEAR(blank->bends[0].x_mm, 12 + 8.9221 / 2, 0.001);
  // Its metal: the flats, and quarter rings between radii 4 and 8.
  const double flats = 2 * 12 + 2 * 24 + 64;
  EXPECT_NEAR(channel.volume_mm3, 100 * (4 * flats + std::numbers::pi * (64 - 16)), 1e-3);
}

// Folded back with true radii, the blank's metal is the drawn solid's but for the corners: each
// sharp corner holds r t (2 - pi / 2) + t^2 (1 - pi / 4) more a mm than its bend.
TEST(Folds, RefoldedVolumeIsTheSolidsButForTheCorners) {
  const Model model = modelWith({});
  const Part& part = panelChannel(model);
  for (const BendRule& rule : {BendRule{4, 0.42}, BendRule{12, 0.5}, BendRule{1, 0.3}}) {
    const auto blank = flatProfileOf(part, rule);
    if (!blank) {
      continue;  // lips too short for 12
    }
    const double t = blank->thickness_mm, r = rule.radius_mm;
    double flats = blank->area_mm2, bends = 0, corners = 0;
    for (const BendLine& bend : blank->bends) {
      const double angle = bend.angle_deg * std::numbers::pi / 180;
      const double length = bend.to_mm - bend.from_mm;
      flats -= bendAllowanceMm(bend.angle_deg, t, rule) * length;
      bends += angle * (r + t / 2) * t * length;
      corners += (r * t * (2 - std::numbers::pi / 2) + t * t * (1 - std::numbers::pi / 4)) * length;
    }
    EXPECT_NEAR((flats * t + bends + corners) / part.volume_mm3, 1, 1e-9)
        << part.name << " r " << r;
  }
}

// An end stop is two plates. On a slope the upright stands plumb: 140 over the footing less 12 of
// the foot, over the slope's cosine, and where its outer face is the longer one 12 times the slope
// more; 50 wide, its faces 12 apart, bevelled at the foot alone.
TEST(FlatProfiles, ABevelledPlateHasTheBlankThatBothItsFacesLieIn) {
  for (const double grade : {0.06, -0.06}) {
    const Model model = modelWith({{"/site/grade", grade}, {"/gate/height_mm", 1500}});
    const Part& stop = partNamed(model, "end stop");
    const auto blank = flatProfileOf(stop, kRule);
    ASSERT_TRUE(blank) << grade;
    EXPECT_TRUE(blank->is_bevelled);
    EXPECT_NEAR(blank->thickness_mm, 12, 1e-9);
    const double shorter = std::min(blank->width_mm, blank->height_mm);
    const double longer = std::max(blank->width_mm, blank->height_mm);
    const double face = 128 * std::hypot(1, 0.06);
    EXPECT_NEAR(shorter, 50, 1e-6);
    const double outer = longer - face;
    EXPECT_TRUE(std::abs(outer) < 1e-6 || std::abs(outer - 12 * 0.06) < 1e-6) << outer;
    ASSERT_EQ(blank->loops.size(), 3U);                     // the outline, two of the buffer's
    const double holes = 2 * std::numbers::pi * 3.4 * 3.4;  // M8 tapped: ISO 2306
    EXPECT_NEAR(stop.volume_mm3, 12 * (50 * (longer - 12 * 0.06 / 2) - holes), 0.01);
    EXPECT_FALSE(stop.cutouts.empty());
  }
}

/// A plate 60 by 40 with one hole.
FlatProfile plateWithHole(double x, double y, double hole) {
  FlatProfile plate;
  plate.thickness_mm = 6;
  plate.loops.push_back({{{0, 0}, {60, 0}, {60, 40}, {0, 40}}});
  ProfileLoop round;
  round.is_circle = true;
  round.x_mm = x;
  round.y_mm = y;
  round.radius_mm = hole / 2;
  plate.loops.push_back(round);
  return plate;
}

// EN 1993-1-8 table 3.3: 1.2 x 11 = 13.2 from the middle to an edge. The rule of press makers:
// 2 x 6 + 6 = 18 from a hole's edge to where a fold begins, here a quarter turn about 6 + 0.42 x 6
// with its middle at 30: 30 - 8.52 x pi / 4 = 23.308.
TEST(HoleEdges, AreWhatTheStandardAsksFor) {
  const BendRule rule{6, 0.42};
  EXPECT_TRUE(nearHoles(plateWithHole(13.2, 20, 11), rule).empty());
  const auto near = nearHoles(plateWithHole(40, 13.1, 11), rule);
  ASSERT_EQ(near.size(), 1U);
  EXPECT_FALSE(near[0].is_to_fold);
  EXPECT_NEAR(near[0].is_mm, 13.1, 1e-9);
  EXPECT_NEAR(near[0].least_mm, 13.2, 1e-9);
  for (const double middle : {8.0, 12.0}) {
    FlatProfile folded = plateWithHole(middle, 20, 4);
    folded.bends.push_back({30, 0, 40, 90, 6, true});
    const double off = 30 - 8.52 * std::numbers::pi / 4 - middle - 2;
    const auto close = nearHoles(folded, rule);
    EXPECT_EQ(close.size(), off < 18 ? 1U : 0U) << middle;
    if (!close.empty()) {
      EXPECT_TRUE(close[0].is_to_fold);
      EXPECT_NEAR(close[0].is_mm, off, 1e-9);
    }
  }
}

TEST(HoleEdges, HaveRoomInEveryPlateOfTheBuiltInSets) {
  for (const char* set : {"light", "medium", "heavy"}) {
    for (const char* mount : {"post", "overhead", "reach-over"}) {
      const Model model =
          modelWith({{"/hardware", set}, {"/guides/mount", mount}, {"/drive/motor", "narrow"}});
      int holes = 0;
      for (const ProfileRow& row : makeSchedules(model).profiles) {
        holes += row.profile ? static_cast<int>(row.profile->loops.size()) - 1 : 0;
        EXPECT_TRUE(row.near_holes.empty()) << set << " " << mount << " " << row.name;
      }
      EXPECT_GT(holes, 10);
    }
  }
}

TEST(Folds, TooTightForTheFlatsIsRefused) {
  EXPECT_FALSE(flatProfileOf(partNamed(modelWith({}), "guide channel"), {13, 0.42}));
}

// A Z of two flats each way: one bend is taken from outside, the other from inside.
TEST(Folds, ZSectionBendsBothWays) {
  Part part;
  part.mark = "Z1";
  part.supply = Supply::kCutPlate;
  part.section = "bent plate";
  part.solid = prism(
      Plane::kXY,
      Outline::polygon({{0, 0}, {30, 0}, {30, 40}, {60, 40}, {60, 43}, {27, 43}, {27, 3}, {0, 3}}),
      {0, 50});
  const auto blank = flatProfileOf(part, {3, 0.4});
  ASSERT_TRUE(blank);
  ASSERT_EQ(blank->bends.size(), 2U);
  EXPECT_NE(blank->bends[0].up, blank->bends[1].up);
  // Along either side: 30, 40, 30 with one corner outside (3 + 3) and one inside (3).
  const double allowance = std::numbers::pi / 2 * (3 + 1.2);
  EXPECT_NEAR(blank->width_mm, 30 + 40 + 30 - 2 * 6 - 2 * 3 + 2 * allowance, 1e-6);
}

TEST(FlatProfiles, StepsAreNoFlatCutAndBevelsOnlyOfRectangles) {
  Part part;
  part.supply = Supply::kCutPlate;
  part.section = "plate";
  part.solid = fuse(box({0, 0, 0}, {50, 30, 5}), box({0, 0, 5}, {20, 30, 9}));
  EXPECT_FALSE(flatProfileOf(part, kRule));
  // One edge leans: the blank is the larger face.
  part.solid = prism(Plane::kXZ, Outline::polygon({{0, 0}, {60, 0}, {57, 5}, {0, 5}}), {0, 40});
  const auto bevelled = flatProfileOf(part, kRule);
  ASSERT_TRUE(bevelled && bevelled->is_bevelled);
  EXPECT_NEAR(bevelled->area_mm2, 60 * 40, 1e-9);
  // No rectangle: whoever bevels it has to see more than a size.
  part.solid = fuse(part.solid, box({10, 40, 0}, {30, 60, 5}));
  EXPECT_FALSE(flatProfileOf(part, kRule));
}

// An outline with arcs: a slot's ends stay true arcs, half turns of bulge 1.
TEST(FlatProfiles, ArcsStayArcs) {
  Part part;
  part.supply = Supply::kCutPlate;
  part.section = "plate";
  part.solid = prism(Plane::kXY, Outline::roundedRectangle({0, 0}, {100, 60}, 8),
                     {Outline::slot({50, 30}, 20, 6)}, {0, 6});
  const auto profile = flatProfileOf(part, kRule);
  ASSERT_TRUE(profile);
  ASSERT_EQ(profile->loops.size(), 2U);
  EXPECT_EQ(profile->loops[0].vertices.size(), 8U);
  double bulges = 0;
  for (const ProfileVertex& vertex : profile->loops[0].vertices) {
    bulges += vertex.bulge;
  }
  EXPECT_NEAR(bulges, 4 * std::tan(std::numbers::pi / 8), 1e-9);
  EXPECT_NEAR(profile->smallestHoleMm(), 12, 1e-9);
  EXPECT_NEAR(profile->area_mm2,
              6000 - (4 - std::numbers::pi) * 64 - 28 * 12 - std::numbers::pi * 36, 1e-6);
}

// ---------------------------------------------------------------- DXF

DxfDrawing sample() {
  DxfDrawing drawing;
  drawing.layer("CUT", 7);
  drawing.closedPolyline("CUT", {{0, 0, 0}, {100, 0, 1}, {100, 50, 0}, {0, 50, 0}});
  drawing.circle("CUT", 20, 20, 5);
  return drawing;
}

TEST(Dxf, R12HasNoLightPolylinesAndNoHandles) {
  const std::string file = sample().file(DxfVersion::kR12);
  EXPECT_NE(file.find("AC1009"), std::string::npos);
  EXPECT_EQ(countOf(file, "LWPOLYLINE"), 0U);
  EXPECT_EQ(countOf(file, "VERTEX\n"), 4U);
  EXPECT_EQ(countOf(file, "\n100\n"), 0U);
}

TEST(Dxf, RefusesWhatItCannotSay) {
  DxfDrawing drawing = sample();
  EXPECT_THROW(drawing.circle("NO SUCH", 0, 0, 1), std::logic_error);
  EXPECT_THROW(drawing.circle("CUT", std::nan(""), 0, 1), ExportError);
  EXPECT_THROW(drawing.line("CUT", 0, 0, std::numeric_limits<double>::infinity(), 1), ExportError);
}

TEST(Dxf, TextOutsideAsciiIsEscaped) {
  DxfDrawing drawing = sample();
  drawing.text("CUT", 1, 2, 3, "Tor \xC3\xA4\n\xE2\x82\xAC \xFF");
  EXPECT_NE(drawing.file().find("Tor \\U+00E4 \\U+20AC ?"), std::string::npos);
}

TEST(Profiles, PathsAndLayers) {
  const Model model = modelWith({});
  const Schedules schedules = makeSchedules(model);
  std::set<std::string> paths;
  bool has_fold = false;
  std::string unmarked;  // too small for letters of 2.5 with 2 around them
  for (const ProfileRow& row : schedules.profiles) {
    ASSERT_TRUE(row.profile) << row.mark;
    EXPECT_TRUE(paths.insert(row.file).second);
    const std::string plain = profileDxf(row, {});
    EXPECT_EQ(plain.find("BEND"), std::string::npos);
    EXPECT_EQ(plain.find("MARK"), std::string::npos);
    const std::string marked = profileDxf(row, {DxfVersion::kR2000, true});
    if (marked.find("\n" + row.mark + "\n") == std::string::npos) {
      unmarked += row.mark + ' ';
      EXPECT_LT(std::min(row.profile->width_mm, row.profile->height_mm), 20) << row.mark;
    }
    const bool folds = !row.profile->bends.empty();
    has_fold = has_fold || folds;
    EXPECT_EQ(countOf(marked, "  0\nLINE\n"), row.profile->bends.size());
    EXPECT_EQ(folds, row.note.find("folded from a blank") != std::string::npos);
  }
  EXPECT_LT(unmarked.size(), 4 * schedules.profiles.size() / 2) << unmarked;
  EXPECT_TRUE(has_fold);
  // Channels are bought as a section: no blank of theirs.
  for (const std::string& path : paths) {
    EXPECT_EQ(path.find("/GC"), std::string::npos) << path;
  }
}

}  // namespace
}  // namespace leafstack
