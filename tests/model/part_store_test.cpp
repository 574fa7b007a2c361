// Parts kept from one model to the next: nothing that is told of a gate may depend on what was
// built before it. The judge is the same gate built with nothing kept.
#include "generator/model/part_store.h"

#include <gtest/gtest.h>

#include <thread>

#include "generator/model/model.h"
#include "params/table/hardware_rows.h"
#include "params/table/values.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using gates::Json;
using gates::specOf;

Model builtWith(const GateSpec& spec, PartStore* store) {
  Model model = buildModel(spec, gates::laidOut(spec), store);
  measureAreas(model, store);
  return model;
}

void expectSame(const Model& kept, const Model& fresh) {
  ASSERT_EQ(kept.parts.size(), fresh.parts.size());
  ASSERT_EQ(kept.contacts.size(), fresh.contacts.size());
  for (std::size_t i = 0; i < fresh.parts.size(); ++i) {
    const Part& one = kept.parts[i];
    const Part& other = fresh.parts[i];
    ASSERT_EQ(one.identity, other.identity);
    EXPECT_EQ(one.in_words, other.in_words);
    EXPECT_EQ(one.volume_mm3, other.volume_mm3) << other.in_words;
    EXPECT_EQ(one.area_mm2, other.area_mm2) << other.in_words;
    EXPECT_EQ(one.face_count, other.face_count) << other.in_words;
    EXPECT_EQ(one.centroid_mm, other.centroid_mm) << other.in_words;
    EXPECT_EQ(one.bounds.low, other.bounds.low) << other.in_words;
    EXPECT_EQ(one.bounds.high, other.bounds.high) << other.in_words;
  }
  for (std::size_t i = 0; i < fresh.instances.size(); ++i) {
    EXPECT_EQ(kept.instances[i].bounds.low, fresh.instances[i].bounds.low);
    EXPECT_EQ(kept.instances[i].bounds.high, fresh.instances[i].bounds.high);
  }
}

/// Random gates one after the other through one store, each with the slope, survey and hand of its
/// turn: a solid that follows from more than its identity says is found out by the gate after.
TEST(PartStore, KeptPartsAreThoseBuiltAfresh) {
  gates::GateDice dice(20261128);
  PartStore store;
  for (int i = 0; i < 12; ++i) {
    Json file = dice.gate();
    if (i % 3 == 1) {
      file["site"]["grade"] = 0.02 * (i - 5);
    } else if (i % 3 == 2) {
      file["site"]["track_survey_mm"] = {{-2000, 0}, {3000, 3 * i}, {7000, 40}, {12000, 60 + i}};
    }
    file["guides"]["recess_mm"] = i % 2 == 0 ? 12 : 0;
    const ReadResult read = readGate(file.dump(), "test gate");
    if (!read.gate || !layOut(withPanelsChosen(read.gate->spec)).problems.empty()) {
      continue;
    }
    for (const char* hand : {"right", "left"}) {
      file["site"]["opens"] = hand;
      const GateSpec spec = specOf(file);
      SCOPED_TRACE(file.dump());
      const Model kept = builtWith(spec, &store);
      expectSame(kept, builtWith(spec, nullptr));
    }
  }
  EXPECT_GT(store.hits(), 50u);
}

/// One edited number leaves most parts as they are, and the second time nothing is built.
TEST(PartStore, AnEditBuildsOnlyWhatItTouches) {
  PartStore store;
  GateSpec spec = gates::specWith({{"/gate/panels", 3}});
  builtWith(spec, &store);
  spec.gate.overlap_mm += 5;
  const std::size_t before = store.misses();
  const Model edited = builtWith(spec, &store);
  const std::size_t built = store.misses() - before;
  EXPECT_GT(built, 0u);
  EXPECT_LT(built, edited.parts.size() / 2);
  const std::size_t after = store.misses();
  builtWith(spec, &store);
  EXPECT_EQ(store.misses(), after);
}

/// Of all mounts and kinds of stops, by `share` more.
void scaleGroup(GateSpec& spec, std::string_view group, double share) {
  const std::string before = "/hardware/" + std::string(group) + "/";
  for (const Parameter& row : hardwareRows()) {
    if (std::string_view(row.pointer).starts_with(before)) {
      const Slot slot = row.slot(spec);
      if (auto* const* number = std::get_if<double*>(&slot)) {
        **number *= share;
      }
    }
  }
}

/// Parts other than those on the footing, which catch and which keep, take no size of these groups:
/// were one of them built otherwise, the kept one would be told from it. No rating is a size.
TEST(PartStore, SizesOfTheSitesGroupsMoveNoOtherPart) {
  for (const GateSpec& spec :
       {gates::specWith({{"/gate/panels", 3}, {"/gate/infill/kind", "open"}}),
        gates::specWith(
            {{"/gate/panels", 2}, {"/guides/mount", "overhead"}, {"/site/grade", 0.03}}),
        gates::specWith(
            {{"/gate/panels", 2}, {"/guides/mount", "reach-over"}, {"/gate/return", true}})}) {
    for (const std::string_view group : kSiteGroups) {
      SCOPED_TRACE(group);
      PartStore store;
      const std::size_t all = builtWith(spec, &store).parts.size();
      GateSpec edited = spec;
      scaleGroup(edited, group, 1.02);
      const std::size_t before = store.misses();
      const Model kept = builtWith(edited, &store);
      expectSame(kept, builtWith(edited, nullptr));
      EXPECT_GT(store.misses(), before);
      EXPECT_LT(store.misses() - before, all / 2);
    }
    GateSpec rated = spec;
    rated.hardware.wheel.bought.rating_N = 12345;
    PartStore store;
    builtWith(spec, &store);
    const std::size_t before = store.misses();
    builtWith(rated, &store);
    EXPECT_EQ(store.misses(), before);
  }
}

TEST(PartStore, ForgetsWhatIsNoLongerUsed) {
  PartStore store;
  GateSpec spec = gates::specWith({{"/gate/panels", 1}, {"/gate/infill/kind", "open"}});
  const std::size_t parts = builtWith(spec, &store).parts.size();
  for (int i = 0; i < 3 * PartStore::kModelsKept; ++i) {
    spec.site.opening_mm += 1;
    builtWith(spec, &store);
  }
  EXPECT_LE(store.size(), parts * (PartStore::kModelsKept + 2));
}

/// Several gates at once from one store, each with the figures it has alone.
TEST(PartStore, ServesThreadsAtOnce) {
  PartStore store;
  constexpr int kThreads = 4, kRounds = 3;
  std::vector<GateSpec> specs;
  for (int i = 0; i < kThreads; ++i) {
    specs.push_back(gates::specWith({{"/gate/panels", 1 + i % 2}, {"/site/opening_mm", 4000 + i}}));
  }
  std::vector<Model> alone;
  for (const GateSpec& spec : specs) {
    alone.push_back(builtWith(spec, nullptr));
  }
  std::vector<std::vector<Model>> together(kThreads);
  std::vector<std::thread> threads;
  for (int i = 0; i < kThreads; ++i) {
    threads.emplace_back([&, i] {
      for (int round = 0; round < kRounds; ++round) {
        together[i].push_back(builtWith(specs[i], &store));
      }
    });
  }
  for (std::thread& thread : threads) {
    thread.join();
  }
  for (int i = 0; i < kThreads; ++i) {
    for (const Model& model : together[i]) {
      expectSame(model, alone[i]);
    }
  }
}

}  // namespace
}  // namespace leafstack
