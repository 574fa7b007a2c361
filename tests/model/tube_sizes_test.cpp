// Sections go from the gate file to every list as numbers: what is printed of them is rounded.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "generator/shop/schedules.h"
#include "generator/shop/wrap/wrap_template.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

constexpr double kPostMm = 80.1234, kWallMm = 4;

Model gateWithOddPost() {
  const GateSpec spec = gates::specWith({{"/guides/post_mm", kPostMm}, {"/site/grade", 0.03}});
  Model model = buildModel(spec, gates::laidOut(spec));
  measureAreas(model);
  return model;
}

const Part& postOf(const Model& model) {
  for (const Part& part : model.parts) {
    if (part.kind == PartKind::kGuidePost) {
      return part;
    }
  }
  throw std::logic_error("a gate without a guide post");
}

/// Girth of a rounded square outside, EN 10219-2: outer corners of twice the wall.
TEST(TubeSizes, ReachTheTemplateUnrounded) {
  const Model model = gateWithOddPost();
  const Part& post = postOf(model);
  ASSERT_NE(post.section.find("80.12"), std::string::npos) << post.section;
  const std::optional<WrapTemplate> made = wrapTemplateOf(post);
  ASSERT_TRUE(made.has_value()) << "its foot follows the slope";
  EXPECT_NEAR(made->girth_mm, 4 * kPostMm - (8 - 2 * std::numbers::pi) * 2 * kWallMm, 1e-9);
}

/// What is painted outside is girth x length, to the little that the slanted foot changes.
TEST(TubeSizes, ReachTheCoatingListUnrounded) {
  const Model model = gateWithOddPost();
  const Part& post = postOf(model);
  const Schedules schedules = makeSchedules(model);
  for (const CoatingRow& row : schedules.coating) {
    if (row.mark == post.mark) {
      const double inside = 4 * (kPostMm - 2 * kWallMm) - (8 - 2 * std::numbers::pi) * kWallMm;
      EXPECT_NEAR(row.all_m2 - row.outside_m2, inside * post.length_mm / 1e6, 1e-9);
      return;
    }
  }
  FAIL() << "the post is not painted";
}

/// Every cut tube of a gate knows its sizes, and its words are made from them.
TEST(TubeSizes, AreKnownOfEveryCutTube) {
  for (const Part& part : gateWithOddPost().parts) {
    ASSERT_EQ(part.tube.has_value(), part.supply == Supply::kCutTube) << part.in_words;
    if (part.tube) {
      EXPECT_EQ(part.section, part.tube->designation);
    }
  }
}

}  // namespace
}  // namespace leafstack
