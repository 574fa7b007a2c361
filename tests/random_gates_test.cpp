// 200 seeded random gates, end to end: laid out, built, checked. Four shards of the same test, so
// that a run can be split and a failure found sooner.
#include <gtest/gtest.h>

#include <string>

#include "generator/clash/clash.h"
#include "generator/layout.h"
#include "generator/model.h"
#include "generator/occt/checked.h"
#include "tests/random_gates.h"

namespace leafstack {
namespace {

constexpr unsigned kGatesPerShard = 50;

std::string findingsOf(const ClashReport& report) {
  std::string text(toString(report.verdict));
  for (const Finding& finding : report.findings) {
    text += "\n  " + finding.id + ": " + finding.text;
  }
  return text;
}

void expectSound(const Model& model) {
  for (const Part& part : model.parts) {
    EXPECT_NO_THROW(closedSolid(part.solid, part.mark));
    EXPECT_GT(part.volume_mm3, 0) << part.mark;
    if (part.kind == PartKind::kRope) {
      EXPECT_NO_THROW(closedSolid(part.open_solid, part.mark + " (open)"));
    }
    // The slowest checker, on the parts made face by face.
    if (part.kind == PartKind::kBottomRail || part.kind == PartKind::kRope) {
      EXPECT_NO_THROW(checkedSolid(part.solid, part.mark));
    }
  }
}

void expectShardClear(unsigned shard) {
  unsigned rejected = 0;
  for (unsigned i = 0; i < kGatesPerShard; ++i) {
    const unsigned seed = 1 + shard * kGatesPerShard + i;
    const gates::Json file = gates::GateDice(seed).gate();
    SCOPED_TRACE("seed " + std::to_string(seed) + ": " + file.dump());
    const GateSpec spec = gates::specOf(file);
    const LayoutResult laid_out = layOut(spec);
    if (!laid_out.problems.empty()) {
      ++rejected;  // refused in words; few may be
      continue;
    }
    const Model model = buildModel(spec, laid_out.layout);
    expectSound(model);
    const ClashReport report = checkClashes(model);
    EXPECT_EQ(report.verdict, Verdict::kClear) << findingsOf(report);
    EXPECT_TRUE(report.findings.empty());
  }
  EXPECT_LT(rejected, kGatesPerShard / 5);
}

TEST(RandomGates, FirstFiftyAreClear) {
  expectShardClear(0);
}

TEST(RandomGates, SecondFiftyAreClear) {
  expectShardClear(1);
}

TEST(RandomGates, ThirdFiftyAreClear) {
  expectShardClear(2);
}

TEST(RandomGates, FourthFiftyAreClear) {
  expectShardClear(3);
}

}  // namespace
}  // namespace leafstack
