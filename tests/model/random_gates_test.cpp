// 300 seeded random gates, end to end: laid out, built, checked and clear; then each with one fault
// planted at a known place and stretch of travel, which has to be found there. Six shards, so that
// a run can be split and a failure found sooner.
#include <gtest/gtest.h>

#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "generator/occt/checked.h"
#include "tests/support/planted_faults.h"
#include "tests/support/random_gates.h"
#include "tests/support/report_text.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

constexpr unsigned kGatesPerShard = 50;
constexpr double kEndsMm = 0.05;

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

bool isSide(const FindingPart& side, const std::string& mark, int panel) {
  return side.mark == mark && side.panel == panel;
}

/// The finding of the planted pair.
const Finding* foundOf(const ClashReport& report, const faults::Planted& planted) {
  for (const Finding& finding : report.findings) {
    const bool same = (isSide(finding.a, planted.mark, planted.panel) &&
                       isSide(finding.b, planted.victim, planted.victim_panel)) ||
                      (isSide(finding.b, planted.mark, planted.panel) &&
                       isSide(finding.a, planted.victim, planted.victim_panel));
    if (same && finding.finding_class == FindingClass::kPenetration) {
      return &finding;
    }
  }
  return nullptr;
}

void expectFound(Model model, unsigned seed) {
  const faults::Planted planted = faults::Planter(model, seed).plant(seed);
  SCOPED_TRACE(planted.what + ": " + planted.mark + " and " + planted.victim + " from " +
               std::to_string(planted.from_mm) + " to " + std::to_string(planted.to_mm));
  ASSERT_LT(planted.from_mm, planted.to_mm) << "the fault is never met";
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClash);
  const Finding* found = foundOf(report, planted);
  ASSERT_NE(found, nullptr) << allText(report);
  EXPECT_NEAR(found->fromMm(), planted.from_mm, kEndsMm) << found->text;
  EXPECT_NEAR(found->toMm(), planted.to_mm, kEndsMm) << found->text;
  EXPECT_EQ(found->stretches_mm.size(), 1U) << found->text;
  EXPECT_LE(found->ends_within_mm, 0.01);
  if (planted.volume_mm3 > 0) {
    EXPECT_NEAR(found->volume_mm3, planted.volume_mm3, 1e-4 * planted.volume_mm3) << found->text;
  } else {
    EXPECT_GT(found->volume_mm3, 0);
  }
  EXPECT_GE(found->worst_at_mm, found->fromMm());
  EXPECT_LE(found->worst_at_mm, found->toMm());
  for (const Finding& finding : report.findings) {
    EXPECT_NE(finding.finding_class, FindingClass::kUnresolved) << finding.text;
  }
}

/// The gate of a seed; of the next thousand where it is refused, in words, as few may be.
struct LaidOutGate {
  gates::Json file;
  GateSpec spec;
  Layout layout;
};
LaidOutGate gateOf(unsigned seed, unsigned& refused) {
  for (;; seed += 1000, ++refused) {
    LaidOutGate gate;
    gate.file = gates::GateDice(seed).gate();
    gate.spec = gates::specOf(gate.file);
    LayoutResult laid_out = layOut(gate.spec);
    if (laid_out.problems.empty()) {
      gate.layout = std::move(laid_out.layout);
      return gate;
    }
  }
}

class RandomGates : public testing::TestWithParam<unsigned> {};

TEST_P(RandomGates, AreClearAndFaultsFound) {
  unsigned refused = 0;
  const unsigned step = kOneIn * static_cast<unsigned>(gates::rounds(3, 1));
  for (unsigned i = 0; i < kGatesPerShard; i += step) {
    const unsigned seed = 1 + GetParam() * kGatesPerShard + i;
    const LaidOutGate gate = gateOf(seed, refused);
    SCOPED_TRACE("seed " + std::to_string(seed) + ": " + gate.file.dump());
    const Model model = buildModel(gate.spec, gate.layout);
    expectSound(model);
    const ClashReport report = checkClashes(model);
    EXPECT_EQ(report.verdict, Verdict::kClear) << allText(report);
    EXPECT_TRUE(report.findings.empty());
    EXPECT_TRUE(report.proved_between_positions);
    expectFound(model, seed);
  }
  EXPECT_LT(refused, kGatesPerShard / 5);
}

INSTANTIATE_TEST_SUITE_P(Shards, RandomGates, testing::Range(0U, 6U));

}  // namespace
}  // namespace leafstack
