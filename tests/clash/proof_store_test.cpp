// Proofs kept from one check to the next: no report may depend on what was checked before. The
// judge is the same gate checked with nothing kept.
#include "generator/clash/proof/proof_store.h"
#include "generator/clash/report/clash.h"

#include <gtest/gtest.h>

#include <vector>

#include "exporters/lists/report/clash_report.h"
#include "generator/model/part_store.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using gates::Json;

/// The gate as edited, by whoever drags a number up and down again.
std::vector<Json> edits(const Json& gate) {
  std::vector<Json> all = {gate};
  const auto edit = [&](const char* pointer, const Json& value) {
    Json edited = gate;
    edited[Json::json_pointer(pointer)] = value;
    all.push_back(edited);
  };
  edit("/site/opening_mm", 5040);
  edit("/site/opening_mm", 5040.5);
  edit("/gate/height_mm", 1650);
  edit("/gate/overlap_mm", 100);
  edit("/gate/cladding/kind", "boards");
  edit("/checks/clearance_mm", 60);
  edit("/gate/panels", 2);
  all.push_back(gate);
  return all;
}

void expectSameReports(const Json& gate, ProofStore& proofs) {
  PartStore parts;
  for (const Json& edited : edits(gate)) {
    const GateSpec spec = gates::specOf(edited);
    const Model model = buildModel(spec, gates::laidOut(spec), &parts);
    EXPECT_EQ(clashJson(checkClashes(model, &proofs)).dump(), clashJson(checkClashes(model)).dump())
        << edited.dump();
  }
}

TEST(ProofStore, ReportsAreThoseOfACheckAfresh) {
  ProofStore proofs;
  expectSameReports(gates::gateFile({{"/site/opening_mm", 5000}, {"/gate/panels", 3}}), proofs);
  // The other hand and a slope, in the same store.
  expectSameReports(gates::gateFile({{"/site/opening_mm", 5000},
                                     {"/site/opens", "left"},
                                     {"/site/grade", 0.02},
                                     {"/gate/panels", 2}}),
                    proofs);
}

TEST(ProofStore, AGateCheckedAgainIsKnown) {
  ProofStore proofs;
  const GateSpec spec = gates::specOf(gates::gateFile({{"/gate/panels", 3}}));
  const Model model = buildModel(spec, gates::laidOut(spec));
  checkClashes(model, &proofs);
  const std::size_t meshes = proofs.meshes.meshes.misses();
  const std::size_t verdicts = proofs.verdicts.misses();
  const std::size_t contacts = proofs.contacts.misses();
  ASSERT_GT(meshes, 20u);
  ASSERT_GT(verdicts, 20u);
  ASSERT_GT(contacts, 20u);
  checkClashes(model, &proofs);
  EXPECT_EQ(proofs.meshes.meshes.misses(), meshes);
  EXPECT_EQ(proofs.verdicts.misses(), verdicts);
  EXPECT_EQ(proofs.contacts.misses(), contacts);
}

TEST(ProofStore, WhatIsNoLongerUsedIsForgotten) {
  Kept<int> kept;
  kept.keep("a", 1);
  for (int i = 0; i < Kept<int>::kChecksKept; ++i) {
    kept.endCheck();
  }
  EXPECT_NE(kept.find("a"), nullptr);
  for (int i = 0; i <= Kept<int>::kChecksKept; ++i) {
    kept.endCheck();
  }
  EXPECT_EQ(kept.find("a"), nullptr);
}

}  // namespace
}  // namespace leafstack
