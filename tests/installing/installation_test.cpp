// How a gate is put up: every part goes in once, and no way in meets what is there. Ways are judged
// again by a library that shares nothing with the sweep, position by position.
#include <fcl/narrowphase/collision.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <set>

#include "generator/installing/holds.h"
#include "generator/installing/installation.h"
#include "generator/occt/checked.h"
#include "tests/clash/fcl_surface.h"
#include "tests/support/built_gates.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

/// Two instances by FCL (Pan, Chitta, Manocha, ICRA 2012) on the kernel's own triangles: one out of
/// its place, the other where the drive has it.
class Pairs {
 public:
  explicit Pairs(const Model& model) : model_(model), surfaces_(model.parts.size()) {}

  bool areNear(int coming, const Vec3& at, int standing, double drive) const {
    const Bounds& p = model_.instances[coming].bounds;
    const Bounds q = movedBounds(model_.parts[model_.instances[standing].part].bounds,
                                 locationAt(model_, model_.instances[standing], drive));
    for (int axis = 0; axis < 3; ++axis) {
      if (p.low[axis] + at[axis] > q.high[axis] || p.high[axis] + at[axis] < q.low[axis]) {
        return false;
      }
    }
    return true;
  }
  bool meet(int coming, const Vec3& at, int standing, double drive) {
    fcl::Transform3d place = placeOf(coming, 0);
    place.pretranslate(fcl::Vector3d(at[0], at[1], at[2]));
    fcl::CollisionResultd result;
    return fcl::collide(&surface(coming).triangles, place, &surface(standing).triangles,
                        placeOf(standing, drive), fcl::CollisionRequestd(), result) > 0;
  }

 private:
  fcl::Transform3d placeOf(int instance, double drive) const {
    const gp_Trsf at = locationAt(model_, model_.instances[instance], drive).Transformation();
    fcl::Transform3d place = fcl::Transform3d::Identity();
    for (int row = 0; row < 3; ++row) {
      for (int column = 0; column < 4; ++column) {
        place.matrix()(row, column) = at.Value(row + 1, column + 1);
      }
    }
    return place;
  }
  Surface& surface(int instance) {
    auto& made = surfaces_[model_.instances[instance].part];
    if (!made) {
      made = surfaceOf(model_.parts[model_.instances[instance].part].solid);
    }
    return *made;
  }

  const Model& model_;
  std::vector<std::shared_ptr<Surface>> surfaces_;
};

std::vector<int> all(const Installation& plan) {
  std::vector<int> instances = plan.there_before;
  for (const InstallStep& step : plan.steps) {
    for (const InstallGroup& group : step.groups) {
      instances.insert(instances.end(), group.instances.begin(), group.instances.end());
    }
  }
  return instances;
}

std::string blockedIn(const Model& model, const Installation& plan) {
  std::string text;
  for (const InstallStep& step : plan.steps) {
    for (const InstallGroup& group : step.groups) {
      if (group.blocked) {
        text += model.parts[model.instances[group.blocked->coming].part].mark + " meets " +
                model.parts[model.instances[group.blocked->standing].part].mark + "; ";
      }
    }
  }
  return text;
}

/// Stages in the order of work, but for what comes right after a panel that it would bar; stops of
/// every panel stand by then or come next; what is tried comes last, power after the hand.
void expectInOrder(const Model& model, const Installation& plan) {
  EXPECT_EQ(plan.steps.front().stage, InstallStage::kConcrete);
  InstallStage last = InstallStage::kConcrete;
  std::set<int> panels;
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const InstallStep& step = plan.steps[i];
    if (step.stage == InstallStage::kPanel) {
      panels.insert(step.panel);
      const PanelHolds holds = holdsOf(model, plan, step.panel);
      EXPECT_GT(holds.open.step, 0);
      EXPECT_LE(holds.open.step, static_cast<int>(i) + 2);
      EXPECT_EQ(holds.closed.step > 0, step.panel == model.layout.panel_count);
      EXPECT_GT(holds.clamp_to_mm - holds.clamp_from_mm, 20);  // room for a clamp
    } else if (step.panel > 0) {
      EXPECT_TRUE(panels.contains(step.panel));
      continue;
    }
    EXPECT_LE(last, step.stage);
    last = step.stage;
  }
  EXPECT_EQ(static_cast<int>(panels.size()), model.layout.panel_count);
  EXPECT_EQ(last, InstallStage::kHandover);
}

// Of gates with every hand, stacking, mount, infill, cladding and number of panels.
TEST(Installation, EveryPartGoesInOnceAndEveryWayIsFree) {
  const std::vector<gates::Built>& matrix = gates::builtMatrix();
  const int stride = gates::rounds(5, 1);  // 5: no number of panels is left out
  for (std::size_t at = 0; at < matrix.size(); at += stride) {
    const gates::Built& gate = matrix[at];
    SCOPED_TRACE(gate.text);
    const Installation plan = installationOf(gate.model);
    std::vector<int> told = all(plan);
    std::sort(told.begin(), told.end());
    std::vector<int> wanted(gate.model.instances.size());
    std::iota(wanted.begin(), wanted.end(), 0);
    EXPECT_EQ(told, wanted);
    EXPECT_TRUE(plan.isProved()) << blockedIn(gate.model, plan);
    expectInOrder(gate.model, plan);
  }
}

TEST(Installation, GoesInWithoutMeetingAnythingByAnotherLibrary) {
  constexpr int kPositions = 25;
  for (const gates::Changes& changes :
       {gates::Changes{{"/gate/panels", 3}, {"/site/grade", 0.05}},
        // Lift keepers over rails that rise towards them.
        gates::Changes{{"/gate/panels", 3}, {"/gate/top", "level"}, {"/site/grade", -0.05}},
        gates::Changes{{"/gate/panels", 2},
                       {"/gate/cladding/kind", "boards"},
                       {"/site/opens", "left"},
                       {"/guides/mount", "overhead"}}}) {
    const Model model = gates::modelWith(changes);
    const Installation plan = installationOf(model);
    std::set<std::pair<int, int>> touch;
    for (const Contact& contact : model.contacts) {
      touch.emplace(contact.a, contact.b);
      touch.emplace(contact.b, contact.a);
    }
    Pairs pairs(model);
    std::vector<int> there = plan.there_before;
    int looked = 0;
    for (const InstallStep& step : plan.steps) {
      const double drive = step.isPushedOpen() ? model.layout.drive_travel_mm : 0;
      for (const InstallGroup& group : step.groups) {
        Vec3 gone{};
        for (const StraightWay& way : group.way.value_or(WayIn{})) {
          for (int k = 0; k < kPositions; ++k) {
            const Vec3 at = plus(gone, way.from, way.length_mm * k / (kPositions - 1));
            for (const int coming : group.instances) {
              for (const int standing : there) {
                if (!touch.contains({coming, standing}) &&
                    pairs.areNear(coming, at, standing, drive)) {
                  ++looked;
                  EXPECT_FALSE(pairs.meet(coming, at, standing, drive))
                      << model.parts[model.instances[coming].part].mark << " and "
                      << model.parts[model.instances[standing].part].mark << " at " << at[0] << " "
                      << at[1] << " " << at[2];
                }
              }
            }
          }
          gone = plus(gone, way.from, way.length_mm);
        }
        there.insert(there.end(), group.instances.begin(), group.instances.end());
      }
    }
    EXPECT_GT(looked, 100);
  }
}

// What no straight way from above or along the track gives: level tops that keep a panel from being
// lifted, uneven tracks along which nothing rolls straight, an overhead channel square to its rail.
TEST(Installation, LevelTopsUnevenTracksAndLeaningChannelsHaveTheirWaysIn) {
  const gates::Json survey = {
      {{0, 3}, {1000, -2}, {2200, 2}, {3500, 7}, {5000, 12}, {7000, 20}, {9000, 27}},
      {{0, 0}, {1000, -6}, {2200, 3}, {3500, 8}, {5000, 12}, {7000, 18}, {9000, 24}}};
  const std::vector<gates::Json> sites = {
      gates::gateFile({{"/gate/panels", 3}, {"/gate/top", "level"}, {"/site/grade", -0.05}}),
      gates::gateFile({{"/gate/panels", 4}, {"/gate/top", "level"}, {"/site/grade", -0.05}}),
      gates::gateFile({{"/gate/panels", 2}, {"/site/grade", -0.05}, {"/guides/mount", "overhead"}}),
      gates::gateFile(
          {{"/gate/panels", 2}, {"/site/opening_mm", 5000}, {"/site/track_survey_mm", survey}})};
  for (gates::Json file : sites) {
    for (const char* hand : gates::kHands) {
      file["site"]["opens"] = hand;
      SCOPED_TRACE(file.dump());
      const GateSpec spec = gates::specOf(file);
      const Model model = buildModel(spec, gates::laidOut(spec));
      const Installation plan = installationOf(model);
      EXPECT_TRUE(plan.isProved()) << blockedIn(model, plan);
      EXPECT_FALSE(plan.isAnyPutOff());
      expectInOrder(model, plan);
    }
  }
}

// A beam over all of the gate: no panel can be let down any more, and it is said what by.
TEST(Installation, ABeamOverTheGateIsInTheWayOfItsPanels) {
  gates::Json file = gates::gateFile({{"/gate/panels", 2}});
  file["site"]["obstacles"] = gates::Json::array(
      {{{"name", "beam"}, {"box_mm", {{-2000, -1000, 2400}, {14000, 2000, 2600}}}}});
  const GateSpec spec = gates::specOf(file);
  const Model model = buildModel(spec, gates::laidOut(spec));
  const Installation plan = installationOf(model);
  EXPECT_FALSE(plan.isProved());
  int by_beam = 0;
  for (const InstallStep& step : plan.steps) {
    if (step.stage == InstallStage::kPanel) {
      ASSERT_TRUE(step.groups.front().blocked);
      const int standing = step.groups.front().blocked->standing;
      by_beam += model.parts[model.instances[standing].part].kind == PartKind::kObstacle ? 1 : 0;
    }
  }
  EXPECT_GT(by_beam, 0);
}

// By hand: a post of 1650 mm comes from above; from below there is the slab.
TEST(WaysIn, TellsWhatIsMet) {
  const Model model = gates::modelWith({});
  WaysIn ways(model);
  const auto first = [&](PartKind kind) {
    const auto found =
        std::find_if(model.instances.begin(), model.instances.end(),
                     [&](const Instance& one) { return model.parts[one.part].kind == kind; });
    return static_cast<int>(found - model.instances.begin());
  };
  const int post = first(PartKind::kGuidePost), slab = first(PartKind::kFooting);
  EXPECT_FALSE(ways.meeting({post}, {slab}, {{{0, 0, 1}, 3000}}));
  const auto met = ways.meeting({post}, {slab}, {{{0, 0, -1}, 3000}});
  ASSERT_TRUE(met);
  EXPECT_EQ(met->coming, post);
  EXPECT_EQ(met->standing, slab);
  // Up and then down again beside the slab is free only where it goes aside far enough.
  EXPECT_FALSE(
      ways.meeting({post}, {slab}, {{{0, 0, 1}, 100}, {{0, 1, 0}, 900}, {{0, 0, -1}, 500}}));
  EXPECT_TRUE(ways.meeting({post}, {slab}, {{{0, 0, 1}, 100}, {{0, 1, 0}, 50}, {{0, 0, -1}, 500}}));
}

}  // namespace
}  // namespace leafstack
