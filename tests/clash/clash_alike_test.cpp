// What is said of a pair because one alike was judged is what judging it says; and the ends of what
// is said are where it says they are.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <vector>

#include "generator/clash/proof/alike.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::modelWith;

constexpr double kRequiredMm = 85;  // more than is left between panels: much is too near

struct Near {
  int a = 0, b = 0;
  Stretch near;
};

/// Pairs of different bodies that are worth judging, one in `every`; no ropes.
std::vector<Near> nearPairs(PlacedShapes& shapes, int every) {
  const int count = static_cast<int>(shapes.model().instances.size());
  std::vector<Near> pairs;
  for (int a = 0; a < count; ++a) {
    for (int b = a + 1; b < count; ++b) {
      const bool is_out = shapes.isOneBody(a, b) || shapes.isRope(a) || shapes.isRope(b);
      if (is_out || (a * 31 + b) % every != 0) {
        continue;
      }
      if (const auto near = nearStretch(shapes, a, b, kRequiredMm)) {
        pairs.push_back({a, b, *near});
      }
    }
  }
  return pairs;
}

double clearanceAt(PlacedShapes& shapes, const Near& pair, const PairVerdict& verdict, double at) {
  return leastBetween(shapes, {pair.a, pair.b, verdict.fineness}, {at, at}, {1000}).clearance_mm;
}

constexpr double kEndMm = 1e-5;  // ends are bisected to a tenth of that

void expectEqual(const std::vector<Stretch>& said, const std::vector<Stretch>& own) {
  ASSERT_EQ(said.size(), own.size());
  for (std::size_t i = 0; i < own.size(); ++i) {
    EXPECT_NEAR(said[i].from_mm, own[i].from_mm, kEndMm);
    EXPECT_NEAR(said[i].to_mm, own[i].to_mm, kEndMm);
  }
}

void expectCovers(const std::vector<Stretch>& said, const std::vector<Stretch>& own) {
  for (const Stretch& one : own) {
    EXPECT_TRUE(std::any_of(said.begin(), said.end(),
                            [&](const Stretch& wide) {
                              return wide.from_mm <= one.from_mm + kEndMm &&
                                     wide.to_mm >= one.to_mm - kEndMm;
                            }))
        << one.from_mm << " to " << one.to_mm;
  }
}

void expectSame(PlacedShapes& shapes, const Near& pair, const PairVerdict& said) {
  Effort effort;
  const PairVerdict own = judgePair(shapes, {pair.a, pair.b, kRequiredMm, pair.near}, effort);
  SCOPED_TRACE(shapes.model().instanceName(pair.a) + " and " + shapes.model().instanceName(pair.b));
  EXPECT_EQ(said.state, own.state);
  EXPECT_EQ(said.is_contained, own.is_contained);
  // A gate's effort may be used up with so much to tell: then stretches are longer than the truth,
  // never shorter, and their ends less sure (proof.h).
  if (said.is_coarse) {
    expectCovers(said.below, own.below);
    expectCovers(said.contact, own.contact);
    EXPECT_GE(said.ends_within_mm, own.ends_within_mm - kEndMm);
  } else {
    expectEqual(said.below, own.below);
    expectEqual(said.contact, own.contact);
    EXPECT_NEAR(said.ends_within_mm, own.ends_within_mm, kEndMm);
  }
  if (own.state == PairState::kProved) {
    return;
  }
  EXPECT_NEAR(said.least.clearance_mm, own.least.clearance_mm, 1e-6);
  // Where it is so near may be anywhere on a stretch; the points must be of that position.
  EXPECT_GE(said.least.at_mm, pair.near.from_mm);
  EXPECT_LE(said.least.at_mm, pair.near.to_mm);
  EXPECT_NEAR(clearanceAt(shapes, pair, said, said.least.at_mm), said.least.clearance_mm, 1e-6);
  if (said.least.clearance_mm > 0) {
    EXPECT_NEAR(norm(minus(said.least.on_b, said.least.on_a)), said.least.clearance_mm, 1e-6);
    const Placement a = shapes.standing(pair.a, said.least.at_mm);
    const Bounds where = placedBox(a, shapes.ownBounds(pair.a));
    for (int axis = 0; axis < 3; ++axis) {
      EXPECT_GE(said.least.on_a[axis], where.low[axis] - 0.1);
      EXPECT_LE(said.least.on_a[axis], where.high[axis] + 0.1);
    }
  }
}

/// Judged on all cores ahead or in turn: the same, to the last bit.
void expectEqualBits(const PairVerdict& one, const PairVerdict& other) {
  EXPECT_EQ(one.state, other.state);
  EXPECT_EQ(one.is_coarse, other.is_coarse);
  EXPECT_EQ(one.is_contained, other.is_contained);
  EXPECT_EQ(one.fineness, other.fineness);
  EXPECT_EQ(one.ends_within_mm, other.ends_within_mm);
  EXPECT_EQ(one.least.clearance_mm, other.least.clearance_mm);
  EXPECT_EQ(one.least.at_mm, other.least.at_mm);
  EXPECT_EQ(one.least.on_a, other.least.on_a);
  EXPECT_EQ(one.least.on_b, other.least.on_b);
  for (const auto stretches : {&PairVerdict::below, &PairVerdict::contact}) {
    ASSERT_EQ((one.*stretches).size(), (other.*stretches).size());
    for (std::size_t i = 0; i < (one.*stretches).size(); ++i) {
      EXPECT_EQ((one.*stretches)[i].from_mm, (other.*stretches)[i].from_mm);
      EXPECT_EQ((one.*stretches)[i].to_mm, (other.*stretches)[i].to_mm);
    }
  }
}

class ClashAlike : public testing::TestWithParam<gates::Json> {};

TEST_P(ClashAlike, SaysWhatJudgingSays) {
  const GateSpec spec = gates::specOf(GetParam());
  const Model model = buildModel(spec, gates::laidOut(spec));
  PlacedShapes shapes(model);
  AlikePairs alike(shapes), ahead(shapes);
  const std::vector<Near> pairs = nearPairs(shapes, 7);
  std::vector<AskedPair> asked;
  for (const Near& pair : pairs) {
    asked.push_back({pair.a, pair.b, kRequiredMm, pair.near});
  }
  ahead.judgeAhead(asked);
  std::set<int> checked;
  int exact = 0;
  for (int i = 0; i < static_cast<int>(pairs.size()); ++i) {
    const PairVerdict said = alike.judge(asked[i]);
    expectEqualBits(said, ahead.judge(asked[i]));
    if (i % 9 == 5) {
      expectSame(shapes, pairs[i], said);
      checked.insert(i);
      exact += said.is_coarse ? 0 : 1;
    }
  }
  EXPECT_GT(checked.size(), 10U);
  EXPECT_GE(exact, 10) << "too few were judged to the end to compare";
}

INSTANTIATE_TEST_SUITE_P(Gates, ClashAlike,
                         testing::Values(gates::gateFile({{"/site/opening_mm", 3000}}),
                                         gates::gateFile({{"/site/opening_mm", 3600},
                                                          {"/gate/panels", 3},
                                                          {"/site/opens", "left"},
                                                          {"/gate/stacking", "staggered"}}),
                                         gates::gateFile({{"/site/opening_mm", 3000},
                                                          {"/site/grade", 0.04},
                                                          {"/gate/infill/gap_mm", 70}})));

/// Beyond the ends of what is told the requirement is kept, within them it is not.
TEST(ClashTold, EndsAreWhereTheRequirementBegins) {
  const Model model = modelWith({{"/site/opening_mm", 3000}});
  PlacedShapes shapes(model);
  int ends = 0;
  for (const Near& pair : nearPairs(shapes, 17)) {
    Effort effort;
    const PairVerdict said = judgePair(shapes, {pair.a, pair.b, kRequiredMm, pair.near}, effort);
    const double limit = kRequiredMm - kClearanceToleranceMm;
    const double within = said.ends_within_mm + 1e-5;
    const auto expectEnd = [&](double at, double outwards) {
      SCOPED_TRACE(model.instanceName(pair.a) + " and " + model.instanceName(pair.b) + " at " +
                   std::to_string(at));
      if (at > pair.near.from_mm && at < pair.near.to_mm) {
        EXPECT_GE(clearanceAt(shapes, pair, said, at + outwards * within), limit - 1e-6);
        // With its effort used up a stretch may be longer than the truth (proof.h).
        if (!said.is_coarse) {
          ++ends;
          // Up to a coarse mesh's error too long: seen where a stretch was told by that mesh.
          EXPECT_LT(clearanceAt(shapes, pair, said, at - outwards * within),
                    limit + kDeflectionsMm.front());
        }
      }
    };
    for (const Stretch& one : said.below) {
      expectEnd(one.from_mm, -1);
      expectEnd(one.to_mm, 1);
    }
  }
  EXPECT_GT(ends, 30);
}

/// A pair that may not take the work it needs is told coarsely, and is never clear unless it is.
TEST(ClashTold, UsedUpEffortIsNeverClear) {
  const Model model = modelWith({{"/site/opening_mm", 3000}});
  PlacedShapes shapes(model);
  int open = 0;
  for (const Near& pair : nearPairs(shapes, 17)) {
    SCOPED_TRACE(model.instanceName(pair.a) + " and " + model.instanceName(pair.b));
    Effort plenty;
    const PairVerdict whole = judgePair(shapes, {pair.a, pair.b, kRequiredMm, pair.near}, plenty);
    Effort little(plenty.taken() / 2);
    const PairVerdict said = judgePair(shapes, {pair.a, pair.b, kRequiredMm, pair.near}, little);
    EXPECT_LE(said.least.at_least_mm, whole.least.clearance_mm + whole.least.error_mm + 1e-6);
    Effort none(0);
    const PairVerdict unseen = judgePair(shapes, {pair.a, pair.b, kRequiredMm, pair.near}, none);
    if (unseen.state != PairState::kProved) {
      EXPECT_TRUE(std::isfinite(unseen.least.clearance_mm)) << "figures are for the report";
      EXPECT_GE(unseen.least.clearance_mm + unseen.least.error_mm, whole.least.at_least_mm - 1e-6);
    }
    if (said.state == PairState::kProved) {
      EXPECT_EQ(whole.state, PairState::kProved);
      continue;
    }
    open += said.is_coarse ? 1 : 0;
    const double within = whole.ends_within_mm + (said.is_coarse ? 0 : said.ends_within_mm) + 1e-5;
    for (const Stretch& below : whole.below) {
      const auto covers = [&](const Stretch& one) {
        return one.from_mm <= below.from_mm + within && one.to_mm >= below.to_mm - within;
      };
      EXPECT_TRUE(std::any_of(said.below.begin(), said.below.end(), covers));
    }
  }
  EXPECT_GT(open, 0);
}

}  // namespace
}  // namespace leafstack
