// The gate as solids: the numbered properties of model.h, both hands, and where parts stand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <gp_Trsf.hxx>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "generator/layout/figures/hardware.h"
#include "generator/model/model.h"
#include "generator/occt/checked.h"
#include "tests/support/built_gates.h"
#include "tests/support/mesh_distance.h"

namespace leafstack {
namespace {

namespace hw = hardware;
using gates::Built;
using gates::builtMatrix;
using gates::Json;
using gates::matrix;
using gates::modelWith;
using gates::onlyPart;

constexpr double kModelRelative = 1e-9;
constexpr double kModelExactMm = 1e-6;

bool isRope(const Part& part) {
  return part.kind == PartKind::kRope;
}

void expectSameBounds(const Bounds& a, const Bounds& b, double tolerance_mm,
                      const std::string& what) {
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_NEAR(a.low[axis], b.low[axis], tolerance_mm) << what << " axis " << axis;
    EXPECT_NEAR(a.high[axis], b.high[axis], tolerance_mm) << what << " axis " << axis;
  }
}

// ---------------------------------------------------------------- M1 to M5

TEST(ModelProperties, MatrixHoldsEveryChoiceWithEveryPanelCount) {
  std::set<std::string> seen;
  for (const Json& file : matrix()) {
    const std::string panels = std::to_string(file["gate"]["panels"].get<int>()) + " ";
    for (const char* pointer : {"/site/opens", "/gate/stacking", "/guides/mount"}) {
      seen.insert(panels + file[Json::json_pointer(pointer)].get<std::string>());
    }
    seen.insert(file["gate"]["infill"]["kind"].get<std::string>());
    seen.insert(file["gate"]["cladding"]["kind"].get<std::string>());
  }
  EXPECT_EQ(seen.size(), 4U * (2 + 2 + 3) + 4U + 3U);
}

bool isLettersThenDigits(const std::string& mark) {
  const auto digit =
      std::find_if(mark.begin(), mark.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
  return digit != mark.begin() && digit != mark.end() &&
         std::all_of(mark.begin(), digit, [](char c) { return c >= 'A' && c <= 'Z'; }) &&
         std::all_of(digit, mark.end(), [](char c) { return c >= '0' && c <= '9'; });
}

TEST(ModelProperties, M2MarksAreUniqueAndNamesToo) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    std::set<std::string> marks;
    for (const Part& part : gate.model.parts) {
      EXPECT_TRUE(isLettersThenDigits(part.mark)) << part.mark;
      EXPECT_TRUE(marks.insert(part.mark).second) << part.mark;
      EXPECT_FALSE(part.name.empty()) << part.mark;
    }
    std::set<std::string> names;
    std::set<int> used;
    for (int i = 0; i < static_cast<int>(gate.model.instances.size()); ++i) {
      EXPECT_TRUE(names.insert(gate.model.instanceName(i)).second) << gate.model.instanceName(i);
      used.insert(gate.model.instances[i].part);
    }
    EXPECT_EQ(used.size(), gate.model.parts.size()) << "every part is placed somewhere";
  }
}

TEST(ModelProperties, M3MassIsVolumeTimesDensity) {
  // Section tables to EN 10219 (steel), EN AW-6060 data sheets (aluminium); the rest from memory.
  const std::map<std::string, double> densities = {
      {"steel", 7850},  {"aluminium", 2700}, {"timber", 420}, {"nylon", 1150},
      {"rubber", 1200}, {"concrete", 2400},  {"envelope", 0}, {"site", 0}};
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const Part& part : gate.model.parts) {
      const double measured = massProperties(part.solid).volume_mm3;
      EXPECT_GT(measured, 0) << part.mark;
      EXPECT_NEAR(part.volume_mm3 / measured, 1, kModelRelative) << part.mark;
      EXPECT_NEAR(part.massKg(), measured * 1e-9 * part.density_kg_m3,
                  kModelRelative * (1 + part.massKg()))
          << part.mark;
      if (!isRope(part)) {
        ASSERT_TRUE(densities.count(part.material)) << part.material;
        EXPECT_EQ(part.density_kg_m3, densities.at(part.material)) << part.mark;
      }
    }
  }
}

// Wire-rope tables (row W1, 7x19 of 3 mm): 3.43 kg per 100 m.
TEST(ModelProperties, M3RopeWeighsWhatItsTableSays) {
  const Model model = modelWith({{"/ropes/diameter_mm", 3}});
  for (const RopeRun& run : model.ropes) {
    const Part& rope = model.parts[run.part];
    EXPECT_NEAR(rope.massKg() / rope.length_mm * 1e5, 3.43, 0.005) << rope.mark;
  }
}

TEST(ModelProperties, M5BoundsOfTurnedParts) {
  const Model model = modelWith({{"/gate/panels", 2}});
  const HardwareSpec& shelf = model.spec.hardware;
  const double wheel = shelf.wheel.outside_mm / 2;
  const double half = shelf.wheel.width_mm / 2;
  expectSameBounds(onlyPart(model, PartKind::kWheel).bounds,
                   {{-wheel, -half, -wheel}, {wheel, half, wheel}}, kBoundsSlackMm, "wheel");
  const double pulley = model.layout.ropes.front().pitch_mm / 2 + shelf.pulley.flange_mm;
  const double thick = shelf.pulley.thickness_mm / 2;
  expectSameBounds(onlyPart(model, PartKind::kPulley).bounds,
                   {{-pulley, -pulley, -thick}, {pulley, pulley, thick}}, kBoundsSlackMm, "pulley");
}

TEST(ModelProperties, M5InstanceBoundsEncloseTheirMeshes) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (int i = 0; i < static_cast<int>(gate.model.instances.size()); ++i) {
      const Instance& instance = gate.model.instances[i];
      const TriangleMesh mesh =
          placedMesh(gate.model.parts[instance.part].solid, instance.at_closed);
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_GE(mesh.bounds().low[axis], instance.bounds.low[axis] - kBoundsSlackMm)
            << gate.model.instanceName(i);
        EXPECT_LE(mesh.bounds().high[axis], instance.bounds.high[axis] + kBoundsSlackMm)
            << gate.model.instanceName(i);
        // Corners of a mesh lie on the solid, so the box is no larger than needed.
        EXPECT_NEAR(mesh.bounds().low[axis], instance.bounds.low[axis],
                    mesh.errorMm() + kModelExactMm);
        EXPECT_NEAR(mesh.bounds().high[axis], instance.bounds.high[axis],
                    mesh.errorMm() + kModelExactMm);
      }
    }
  }
}

// ---------------------------------------------------------------- hands

Bounds mirroredBounds(const Bounds& bounds) {
  return {{-bounds.high[0], bounds.low[1], bounds.low[2]},
          {-bounds.low[0], bounds.high[1], bounds.high[2]}};
}

TEST(ModelHands, LeftIsTheExactMirrorOfRight) {
  for (std::size_t i = 0; i < builtMatrix().size(); i += 5) {
    SCOPED_TRACE(builtMatrix()[i].text);
    GateSpec spec = builtMatrix()[i].model.spec;
    spec.site.opens = Hand::kRight;
    const Model right = buildModel(spec, gates::laidOut(spec));
    spec.site.opens = Hand::kLeft;
    const Model left = buildModel(spec, gates::laidOut(spec));
    EXPECT_EQ(right.opening_sign, 1);
    EXPECT_EQ(left.opening_sign, -1);
    ASSERT_EQ(left.parts.size(), right.parts.size());
    for (std::size_t p = 0; p < left.parts.size(); ++p) {
      EXPECT_EQ(left.parts[p].mark, right.parts[p].mark);
      const MassProperties one = massProperties(left.parts[p].solid);
      const MassProperties other = massProperties(right.parts[p].solid);
      EXPECT_NEAR(one.volume_mm3 / other.volume_mm3, 1, kModelRelative) << left.parts[p].mark;
      EXPECT_NEAR(one.centroid_mm[0], -other.centroid_mm[0], kModelExactMm) << left.parts[p].mark;
      EXPECT_NEAR(one.centroid_mm[1], other.centroid_mm[1], kModelExactMm) << left.parts[p].mark;
      EXPECT_NEAR(one.centroid_mm[2], other.centroid_mm[2], kModelExactMm) << left.parts[p].mark;
    }
    ASSERT_EQ(left.instances.size(), right.instances.size());
    for (std::size_t k = 0; k < left.instances.size(); ++k) {
      EXPECT_EQ(left.instances[k].panel, right.instances[k].panel);
      expectSameBounds(left.instances[k].bounds, mirroredBounds(right.instances[k].bounds),
                       kModelExactMm, left.instanceName(static_cast<int>(k)));
    }
    EXPECT_EQ(left.contacts.size(), right.contacts.size());
    for (int panel = 0; panel <= left.layout.panel_count; ++panel) {
      EXPECT_NEAR(left.shiftMm(panel, 100), -right.shiftMm(panel, 100), kModelExactMm);
    }
  }
}

// ---------------------------------------------------------------- where things stand

TEST(ModelPlaces, PanelsKeepWithinTheirLayoutEnds) {
  const std::set<PartKind> beyond = {PartKind::kFrontBracket, PartKind::kRearBracket,
                                     PartKind::kTerminal, PartKind::kTerminalNut, PartKind::kRope};
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    const Model& model = gate.model;
    for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
      const Instance& instance = model.instances[i];
      if (instance.panel == 0 || beyond.count(model.parts[instance.part].kind) > 0) {
        continue;
      }
      const Bounds bounds =
          model.opening_sign > 0 ? instance.bounds : mirroredBounds(instance.bounds);
      const PanelLayout& panel = model.layout.panel(instance.panel);
      EXPECT_GE(bounds.low[0], panel.leading_closed_mm - kBoundsSlackMm) << model.instanceName(i);
      EXPECT_LE(bounds.high[0], panel.trailing_closed_mm + kBoundsSlackMm) << model.instanceName(i);
    }
  }
}

TEST(ModelPlaces, NothingOfAPanelStandsAboveItsTop) {
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    for (const Instance& instance : gate.model.instances) {
      if (instance.panel > 0) {
        EXPECT_LE(instance.bounds.high[2], gate.model.layout.heights.top_mm + kBoundsSlackMm);
      }
    }
  }
}

TEST(ModelPlaces, CladdingIsCutClearOfChannels) {
  constexpr double kCutClearMm = 5;
  int measured = 0;
  for (const Built& gate : builtMatrix()) {
    SCOPED_TRACE(gate.text);
    const Model& model = gate.model;
    for (const Instance& board : model.instances) {
      const PartKind kind = model.parts[board.part].kind;
      if (kind != PartKind::kBoard && kind != PartKind::kBatten) {
        continue;
      }
      for (const Instance& channel : model.instances) {
        const PartKind other = model.parts[channel.part].kind;
        const bool guide = other == PartKind::kGuideChannel || other == PartKind::kChannelPacker;
        const bool near = boxDistance(board.bounds, channel.bounds, 0) < 2 * kCutClearMm;
        if (guide && near && channel.panel == board.panel) {
          const TriangleMesh one = placedMesh(model.parts[board.part].solid, board.at_closed);
          const TriangleMesh two = placedMesh(model.parts[channel.part].solid, channel.at_closed);
          EXPECT_GE(nearest(one.tree(), two.tree()).clearance_mm, kCutClearMm - kModelExactMm);
          ++measured;
        }
      }
    }
  }
  EXPECT_GT(measured, 0);
}

TEST(ModelPlaces, PicketGapsAreNoWiderThanAsked) {
  const Model model = modelWith({{"/gate/panels", 3}, {"/gate/infill/gap_mm", 70}});
  std::map<int, std::vector<std::pair<double, double>>> solid_from_to;
  for (const Instance& instance : model.instances) {
    const PartKind kind = model.parts[instance.part].kind;
    if (kind == PartKind::kPicket || kind == PartKind::kStile) {
      solid_from_to[instance.panel].emplace_back(instance.bounds.low[0], instance.bounds.high[0]);
    }
  }
  ASSERT_EQ(solid_from_to.size(), 3U);
  for (auto& [panel, bars] : solid_from_to) {
    std::sort(bars.begin(), bars.end());
    for (std::size_t i = 1; i < bars.size(); ++i) {
      EXPECT_LE(bars[i].first - bars[i - 1].second, 70 + kModelExactMm) << "panel " << panel;
      EXPECT_GT(bars[i].first - bars[i - 1].second, 0) << "panel " << panel;
    }
  }
}

TEST(ModelPlaces, RopeLineEndsAtBracketsAllTheWay) {
  const Model model = modelWith({{"/gate/panels", 4}});
  for (const RopeRun& run : model.ropes) {
    const RopeLayout& rope = model.layout.ropes[run.carrier - 1];
    for (int i = 0; i <= 4; ++i) {
      const double drive = model.layout.drive_travel_mm * i / 4;
      const auto line = ropeLineAt(model, run, drive);
      const double leading = model.layout.panel(run.carrier).leading_closed_mm;
      // The line is in its carrier's frame; what is drawn of a rope ends 8 mm past its bracket's
      // middle: 14 into a screw that ends 16 - 10 before it.
      const double own = leading + run.carrier * drive;
      const double front = rope.front_bracket_mm + (run.carrier + 1) * drive;
      const double rear = rope.rear_bracket_mm + (run.carrier - 1) * drive;
      const double side = run.opening ? -8 : 8;
      EXPECT_NEAR(own + line.front()[0], front + side, kModelExactMm);
      EXPECT_NEAR(own + line.back()[0], rear + side, kModelExactMm);
    }
  }
}

}  // namespace
}  // namespace leafstack
