// Every pulley comes out with the gate closed and on its track: its cradle is swept along its way
// out against all that stands there, and a key reaches the screws that hold it.
#include <gtest/gtest.h>

#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax2.hxx>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "generator/clash/report/clash.h"
#include "generator/geometry/moving/sweep.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/layout.h"
#include "generator/model/wall_holes.h"
#include "tests/support/built_gates.h"
#include "tests/support/mesh_distance.h"

namespace leafstack {
namespace {

using gates::Json;

/// A pulley with what comes out together with it.
struct Unit {
  int pulley = 0, rail = 0, rope = 0;
  std::set<int> parts, screws;  ///< screws: those in the rail's wall, taken out first
  double out = 1;               ///< way out along Y
};

class Removal {
 public:
  explicit Removal(Model model) : model_(std::move(model)), cradle_(cradleOf(model_.spec)) {
    for (const Instance& one : model_.instances) {
      meshes_.push_back(std::make_unique<TriangleMesh>(model_.parts[one.part].solid,
                                                       one.at_closed.Transformation()));
    }
    for (int i = 0; i < count(); ++i) {
      if (kindOf(i) == PartKind::kPulley) {
        units_.push_back(unitOf(i));
      }
    }
  }

  const Model& model() const { return model_; }
  const PulleyCradle& cradle() const { return cradle_; }
  const std::vector<Unit>& units() const { return units_; }

  /// What the unit meets when it is drawn out to side `out`; with a solid of the test's own there.
  std::string metBy(const Unit& unit, double out, const TopoDS_Shape* planted = nullptr) const {
    // What touches at rest is taken from where it is further off than meshes are from the solids.
    constexpr double kHair = 0.5;
    std::unique_ptr<TriangleMesh> own;
    if (planted != nullptr) {
      own = std::make_unique<TriangleMesh>(*planted, gp_Trsf());
    }
    const double way = cradle_.wayOutMm() + 1;
    const StraightMotion motion({0, out, 0});
    std::string met;
    const auto look = [&](const TriangleMesh& other, int part, double from,
                          const std::string& name) {
      if (!mayMeet(meshes_[part]->bounds(), other.bounds(), out * way)) {
        return;
      }
      const Clearance least =
          leastClearance({other.tree(), meshes_[part]->tree(), {}, motion, {}}, {from, way}, {10});
      if (!(least.at_least_mm > 0)) {
        met += model_.instanceName(part) + " meets " + name + " after " +
               std::to_string(least.at_mm) + "\n";
      }
    };
    for (const int part : unit.parts) {
      for (int other = 0; other < count(); ++other) {
        if (!unit.parts.contains(other) && !unit.screws.contains(other) && other != unit.rope) {
          look(*meshes_[other], part, touches(part, other) ? kHair : 0, model_.instanceName(other));
        }
      }
      if (own) {
        look(*own, part, 0, "what was planted");
      }
    }
    return met;
  }

  /// What a key in the screws' heads would meet, `radius_mm` thick and as long.
  std::string metByKey(const Unit& unit, double radius_mm, double length_mm) const {
    std::string met;
    for (const int screw : unit.screws) {
      const Bounds& box = model_.instances[screw].bounds;
      const double y = unit.out > 0 ? box.high[1] : box.low[1];
      const gp_Pnt at((box.low[0] + box.high[0]) / 2, y + unit.out * 0.5,
                      (box.low[2] + box.high[2]) / 2);
      const TriangleMesh key(
          BRepPrimAPI_MakeCylinder(gp_Ax2(at, gp_Dir(0, unit.out, 0)), radius_mm, length_mm)
              .Shape(),
          gp_Trsf());
      for (int other = 0; other < count(); ++other) {
        if (other != unit.rope && mayMeet(key.bounds(), meshes_[other]->bounds(), 0) &&
            !(nearest(key.tree(), meshes_[other]->tree()).at_least_mm > 0)) {
          met += "the key meets " + model_.instanceName(other) + "\n";
        }
      }
    }
    return met;
  }

 private:
  int count() const { return static_cast<int>(model_.instances.size()); }
  PartKind kindOf(int i) const { return model_.parts[model_.instances[i].part].kind; }
  bool touches(int a, int b) const {
    return std::any_of(model_.contacts.begin(), model_.contacts.end(), [&](const Contact& one) {
      return one.a == std::min(a, b) && one.b == std::max(a, b);
    });
  }
  static bool mayMeet(const Bounds& a, const Bounds& b, double way) {
    constexpr double kNearMm = 10;
    for (int axis = 0; axis < 3; ++axis) {
      const double low = axis == 1 ? std::min(0.0, way) : 0;
      const double high = axis == 1 ? std::max(0.0, way) : 0;
      if (a.low[axis] + low > b.high[axis] + kNearMm ||
          a.high[axis] + high < b.low[axis] - kNearMm) {
        return false;
      }
    }
    return true;
  }

  /// By what is declared to hold what, from the pulley as far as the rail.
  Unit unitOf(int pulley) const {
    Unit unit;
    unit.pulley = pulley;
    std::vector<int> open = {pulley};
    while (!open.empty()) {
      const int at = open.back();
      open.pop_back();
      if (!unit.parts.insert(at).second) {
        continue;
      }
      for (const Contact& one : model_.contacts) {
        if (one.a != at && one.b != at) {
          continue;
        }
        const int other = one.a == at ? one.b : one.a;
        if (kindOf(other) == PartKind::kBottomRail) {
          unit.rail = other;
        } else if (kindOf(other) == PartKind::kRope) {
          unit.rope = other;
        } else {
          open.push_back(other);
        }
      }
    }
    for (const int part : std::set<int>(unit.parts)) {
      if (kindOf(part) == PartKind::kPulleyScrew && touches(part, unit.rail)) {
        unit.parts.erase(part);
        unit.screws.insert(part);
      }
      if (kindOf(part) == PartKind::kPulleyFlange) {
        const auto middle = [&](int i) {
          return model_.instances[i].bounds.low[1] + model_.instances[i].bounds.high[1];
        };
        unit.out = middle(part) > middle(pulley) ? 1 : -1;
      }
    }
    return unit;
  }

  Model model_;
  PulleyCradle cradle_;
  std::vector<std::unique_ptr<TriangleMesh>> meshes_;
  std::vector<Unit> units_;
};

std::vector<Json> gatesToTry() {
  std::vector<Json> files;
  int turn = 0;
  for (const char* set : {"light", "medium", "heavy"}) {
    for (const int panels : {2, 3, 4}) {
      files.push_back(gates::gateFile({{"/site/opening_mm", 1800 * panels + 700},
                                       {"/gate/panels", panels},
                                       {"/site/opens", gates::kHands[turn % 2]},
                                       {"/gate/stacking", gates::kStackings[(turn / 2) % 2]},
                                       {"/guides/mount", gates::kMounts[turn % 3]},
                                       {"/site/grade", 0.04 * (turn % 3 - 1)},
                                       {"/hardware", set}}));
      ++turn;
    }
  }
  return files;
}

TEST(PulleyRemoval, EveryPulleyComesOutOfAClosedGate) {
  constexpr double kKeyMm = 2.5, kKeyLengthMm = 70;  // a 3 mm key is 3.5 over its corners
  for (const Json& file : gatesToTry()) {
    const GateSpec spec = gates::specOf(file);
    const Removal removal(buildModel(spec, gates::laidOut(spec)));
    ASSERT_EQ(removal.units().size(), 2U * (removal.model().layout.panel_count - 1)) << file.dump();
    for (const Unit& unit : removal.units()) {
      SCOPED_TRACE(file.dump() + ": " + removal.model().instanceName(unit.pulley));
      // Pulley, pin, two cheeks, flange, two covers, two screws; the other two are in the rail.
      EXPECT_EQ(unit.parts.size(), 9U);
      EXPECT_EQ(unit.screws.size(), 2U);
      EXPECT_EQ(removal.metBy(unit, unit.out), "");
      EXPECT_EQ(removal.metByKey(unit, kKeyMm, kKeyLengthMm), "");
    }
  }
}

// The far side has a slot for the cheeks' tongue and the cover alone; and a slot 1 mm too short at
// one end stops the pulley's rim, which passes it by 0.5.
TEST(PulleyRemoval, AWayThatIsBlockedIsFound) {
  const Removal removal(gates::modelWith({{"/gate/panels", 2}}));
  for (const Unit& unit : removal.units()) {
    EXPECT_NE(removal.metBy(unit, -unit.out), "") << "drawn the wrong way";
    const Bounds& pulley = removal.model().instances[unit.pulley].bounds;
    const double x = (pulley.low[0] + pulley.high[0]) / 2;
    const double y = (pulley.low[1] + pulley.high[1]) / 2;
    const double z = (pulley.low[2] + pulley.high[2]) / 2;
    const PulleyCradle& cradle = removal.cradle();
    // The outboard end: leading pulleys come out to the rear, trailing ones to the front.
    const auto wall = [&](double short_mm) {
      const double end = x - unit.out * (cradle.entry_half_mm - short_mm);
      const double beyond = end - unit.out * 2;
      const double from = y + unit.out * cradle.inside_half_mm;
      const double to = y + unit.out * cradle.rail_half_mm;
      return BRepPrimAPI_MakeBox(gp_Pnt(std::min(end, beyond), std::min(from, to), z - 2),
                                 gp_Pnt(std::max(end, beyond), std::max(from, to), z + 2))
          .Shape();
    };
    const TopoDS_Shape sound = wall(0), shorter = wall(1);
    EXPECT_EQ(removal.metBy(unit, unit.out, &sound), "");
    EXPECT_NE(removal.metBy(unit, unit.out, &shorter), "");
  }
}

// A cradle is 2 x 43 over both covers, and takes 86 and 2 beside the rail; panels are 81 apart.
// Closed, panel 1's trailing pulley is 60 - 44 = 16 from the pinion, which is 23 off the rail; with
// a rack that overruns by 200 it is 156 from it, and beside the motor, 260 long, alone.
TEST(PulleyRemoval, OtherSidesOnlyWhereThereIsRoom) {
  const auto gate = [](const char* side, int panels, double overrun_mm, double motor_mm) {
    return gates::gateFile(
        {{"/gate/panels", panels},
         {"/drive/motor",
          {{"length_mm", 260}, {"overrun_closed_mm", overrun_mm}, {"overrun_open_mm", 60}}},
         {"/hardware", {{"pulley", {{"removal", side}}}, {"motor", {{"offset_mm", motor_mm}}}}}});
  };
  const GateSpec free = gates::specOf(gate("rear", 2, 200, 90));
  const Removal removal(buildModel(free, gates::laidOut(free)));
  ASSERT_EQ(removal.units().size(), 2U);
  for (const Unit& unit : removal.units()) {
    EXPECT_EQ(unit.out, 1);
    EXPECT_EQ(removal.metBy(unit, unit.out), "");
  }
  EXPECT_EQ(checkClashes(removal.model()).verdict, Verdict::kClear);
  struct Refused {
    Json gate;
    const char* room;
  };
  for (const Refused& one : {Refused{gate("rear", 2, 60, 90), "the pinion stands 23 mm"},
                             Refused{gate("rear", 2, 200, 44), "the motor stands 44 mm"},
                             Refused{gate("rear", 3, 200, 90), "a panel stands 81 mm"},
                             Refused{gate("front", 2, 60, 44), "a panel stands 81 mm"}}) {
    const LayoutResult refused = layOut(gates::specOf(one.gate));
    ASSERT_EQ(refused.problems.size(), 1U) << one.gate.dump();
    const LayoutProblem& problem = refused.problems.front();
    EXPECT_EQ(problem.pointer, "/hardware/pulley/removal");
    EXPECT_NE(problem.text.find("needs 88 mm"), std::string::npos) << problem.text;
    EXPECT_NE(problem.text.find(one.room), std::string::npos) << problem.text;
  }
}

// A slack rope of 3 does not pass the 1.5 between rim and cover, which the pulley does not touch.
// The cover goes from where the strand leaves, past the middle of its side, into the rail.
TEST(PulleyRemoval, TheCoverKeepsTheRopeInItsGroove) {
  const Removal removal(gates::modelWith({{"/gate/panels", 2}}));
  const Model& model = removal.model();
  for (const Unit& unit : removal.units()) {
    int covers = 0;
    for (const int part : unit.parts) {
      const Instance& one = model.instances[part];
      if (model.parts[one.part].kind != PartKind::kPulleyCover) {
        continue;
      }
      ++covers;
      const Instance& pulley = model.instances[unit.pulley];
      const TriangleMesh cover = placedMesh(model.parts[one.part].solid, one.at_closed);
      const TriangleMesh wheel = placedMesh(model.parts[pulley.part].solid, pulley.at_closed);
      EXPECT_NEAR(nearest(cover.tree(), wheel.tree()).clearance_mm, 1.5,
                  cover.errorMm() + wheel.errorMm());
    }
    EXPECT_EQ(covers, 2);
  }
  const PulleyCradle& cradle = removal.cradle();
  EXPECT_LT(cradle.mouth_deg, 90);
  EXPECT_LT(cradle.rootMm(), cradle.inside_half_mm);
  // asin(40 / 41.5): the strand's middle 36.5 off the axis, 1.5 of rope, 2 clear of it.
  EXPECT_NEAR(cradle.mouth_deg, std::asin(40 / 41.5) * 180 / M_PI, 1e-9);
  const GateSpec wide = gates::specOf(gates::gateFile());
  EXPECT_GT(wide.ropes.diameter_mm, wide.hardware.pulley.keeper_gap_mm);
}

// Screws of pulleys stand in the rail's sides; the stiles are welded to its top.
TEST(PulleyRemoval, NoThreadOfAPulleyIsUnderAWeld) {
  const Model model = gates::modelWith({{"/gate/panels", 3}});
  int rails = 0;
  for (const Part& part : model.parts) {
    if (part.kind != PartKind::kBottomRail) {
      continue;
    }
    ++rails;
    EXPECT_TRUE(holesIn(part, Wall::kTop).empty()) << part.mark;
    for (const TubeHole& hole : holesIn(part, Wall::kBottom)) {
      EXPECT_FALSE(hole.is_round) << part.mark;
    }
  }
  EXPECT_EQ(rails, 3);
}

}  // namespace
}  // namespace leafstack
