// The frame of whole gates: what must hold of any, and the figures of a gate that a frame written
// apart from this program gave.
#include "generator/loads/structure.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "generator/loads/checks/axle_checks.h"
#include "generator/loads/checks/structure_checks.h"
#include "generator/loads/loads.h"
#include "generator/loads/structure_loads.h"
#include "generator/loads/wind/wind_pressure.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using frame::GateFrame;
using frame::Response;
using frame::Six;
using gates::modelWith;

const StructureMember& memberOf(const StructureReport& report, int panel, const char* name) {
  for (const StructureMember& member : report.members) {
    if (member.panel == panel && member.name == name) {
      return member;
    }
  }
  throw std::runtime_error(name);
}

/// Forces and moments about the origin, added up.
Six about(const Vec3& at, const Six& force) {
  const Vec3 turning = cross(at, {force[0], force[1], force[2]});
  return {force[0],
          force[1],
          force[2],
          force[3] + turning[0],
          force[4] + turning[1],
          force[5] + turning[2]};
}
void add(Six& sum, const Six& one) {
  for (int i = 0; i < 6; ++i) {
    sum[i] += one[i];
  }
}

/// What loads and holds bring to one panel, its guide blocks included: all six sums must be none.
void expectAtRest(const GateFrame& gate, const frame::Loads& loads, const Response& response,
                  std::size_t panel) {
  std::vector<bool> is_own(gate.frame.nodes.size());
  std::vector<int> open = gate.panel_nodes[panel];
  while (!open.empty()) {  // with all that is joined to it by more than a link
    const int node = open.back();
    open.pop_back();
    if (is_own[node]) {
      continue;
    }
    is_own[node] = true;
    for (const frame::Member& member : gate.frame.members) {
      if (!member.is_link && (member.a == node || member.b == node)) {
        open.push_back(member.a == node ? member.b : member.a);
      }
    }
  }
  Six sum{};
  double most = 0;
  const auto take = [&](const Vec3& at, const Six& force) {
    add(sum, about(at, force));
    most = std::max(most, std::abs(about(at, force)[3]));
  };
  for (const auto& [node, force] : loads.on_nodes) {
    if (is_own[node]) {
      take(gate.frame.nodes[node].at, force);
    }
  }
  for (const auto& [index, q] : loads.along_members) {
    const frame::Member& member = gate.frame.members[index];
    if (is_own[member.a]) {
      const double length = frame::lengthMm(gate.frame, member);
      const Vec3 a = gate.frame.nodes[member.a].at, b = gate.frame.nodes[member.b].at;
      take({(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2},
           {q[0] * length, q[1] * length, q[2] * length, 0, 0, 0});
    }
  }
  for (std::size_t node = 0; node < is_own.size(); ++node) {
    if (is_own[node]) {
      take(gate.frame.nodes[node].at, response.held[node]);
    }
  }
  for (const frame::BlockPlace& block : gate.blocks) {
    const frame::Member& link = gate.frame.members[block.link];
    const double pull = response.inside(gate.frame, block.link, 0).pull_N;
    const Vec3 way = minus(gate.frame.nodes[link.b].at, gate.frame.nodes[link.a].at);
    const double length = norm(way);
    for (int end : {0, 1}) {
      const int node = end == 0 ? link.a : link.b;
      if (is_own[node]) {
        const double f = (end == 0 ? pull : -pull) / length;
        take(gate.frame.nodes[node].at, {f * way[0], f * way[1], f * way[2], 0, 0, 0});
      }
    }
  }
  ASSERT_GT(most, 0);
  for (int i = 0; i < 3; ++i) {
    EXPECT_NEAR(sum[i], 0, 1e-6 * most / 1000) << i;
    EXPECT_NEAR(sum[i + 3], 0, 1e-6 * most) << i;
  }
}

TEST(Structure, EveryPanelIsAtRestAndWorkIsEnergy) {
  for (const auto& built : gates::builtMatrix()) {
    SCOPED_TRACE(built.text);
    const WindReport wind = findLoads(built.model).wind;
    for (double share : {0.0, 0.5, 1.0}) {
      const double drive = share * built.model.layout.drive_travel_mm;
      const GateFrame gate = frame::gateFrame(built.model, drive);
      const frame::Loads loads = windOn(built.model, wind, gate, drive);
      const frame::Solver solver(gate.frame);
      const Response response = solver.solve(loads);
      for (std::size_t panel = 0; panel < gate.panel_nodes.size(); ++panel) {
        expectAtRest(gate, loads, response, panel);
      }
      const Response push = solver.solve(pushOn(built.model, gate));
      EXPECT_NEAR(push.work_Nmm, push.energy_Nmm, 1e-6 * push.energy_Nmm);
    }
  }
}

/// Along X the wind is the same whichever half of the gate stands where: hands are mirrored.
TEST(Structure, HandsGiveMirroredResults) {
  for (int panels : {1, 2, 3, 4}) {
    const auto reportOf = [&](const char* hand) {
      return findLoads(modelWith({{"/gate/panels", panels},
                                  {"/site/opening_mm", 4300 + 700 * panels},
                                  {"/site/opens", hand}}))
          .structure;
    };
    const StructureReport right = reportOf("right"), left = reportOf("left");
    ASSERT_EQ(right.members.size(), left.members.size());
    for (std::size_t i = 0; i < right.members.size(); ++i) {
      EXPECT_EQ(right.members[i].name, left.members[i].name);
      EXPECT_NEAR(right.members[i].use, left.members[i].use, 1e-6 * right.members[i].use);
    }
    EXPECT_NEAR(right.deflection_mm, left.deflection_mm, 1e-6 * right.deflection_mm);
    ASSERT_EQ(right.frequencies_Hz.size(), 3U);
    for (int i = 0; i < 3; ++i) {
      EXPECT_NEAR(right.frequencies_Hz[i], left.frequencies_Hz[i], 1e-6);
    }
  }
}

// A space frame written apart from this program, with pickets and without a receiver, for the
// default gate of 6000 mm under 490 Pa: leading stile 49 %, trailing 64 %, bottom rail 50 %, top
// rail 57 % of yield on panel 1, wheels of panel 1 +2078 and -1151 N sideways, first mode 2.3 Hz.
// That frame took 1.2 / 0.96 x (1 - (1 - solidity)^2) for the wind where this program has a
// lattice, so the pressure is raised by as much; it counted overlaps and areas of its own: a tenth
// is allowed.
TEST(Structure, DefaultGateAsAFrameWrittenApart) {
  const double solidity =
      findLoads(modelWith({{"/site/opening_mm", 6000}})).wind.panels.front().area.solidity();
  const double then = 1.25 * coveredShare(solidity), now = coefficientAt(solidity, 2);
  const Model model =
      modelWith({{"/site/opening_mm", 6000}, {"/checks/wind_Pa", 490 * then / now}});
  const GateFrame gate = frame::gateFrame(model, 0);
  const frame::Solver solver(gate.frame);
  const frame::Loads wind = windOn(model, findLoads(model).wind, gate, 0);
  const Response service = solver.solve(wind);
  frame::Loads factored = wind;
  for (auto& [member, load] : factored.along_members) {
    load[1] *= 1.5;
  }
  for (const auto& [member, load] : weightOf(model, gate).along_members) {
    factored.along_members.emplace_back(member, Vec3{0, 0, 1.35 * load[2]});
  }
  StructureReport report;
  addMembers(model, gate, solver.solve(factored), "closed", report);
  EXPECT_NEAR(memberOf(report, 1, "leading stile").use, 0.49, 0.05);
  EXPECT_NEAR(memberOf(report, 1, "trailing stile").use, 0.64, 0.064);
  EXPECT_NEAR(memberOf(report, 1, "bottom rail").use, 0.50, 0.05);
  EXPECT_NEAR(memberOf(report, 1, "top rail").use, 0.57, 0.057);
  EXPECT_NEAR(service.held[gate.wheels.at(0).node][1], -2078, 208);
  EXPECT_NEAR(service.held[gate.wheels.at(1).node][1], 1151, 116);
  EXPECT_NEAR(solver.frequencies(1).at(0), 2.3, 0.23);
}

// A pin of 12 mm between walls of 3 mm, a hub of 20 in a rail of 100: gap 37. F = 1.35 x 3145 N;
// M = 4245.75 x (20 + 148 + 6) / 8 = 92345 N mm, of 1.5 x 169.65 x 235 = 59800: 154 %.
TEST(Structure, AnAxleByHand) {
  GateSpec spec = gates::specWith();
  spec.gate.bottom_rail = {100, 100, 3, "SHS 100x100x3"};
  spec.hardware.wheel.axle_mm = 12;
  spec.hardware.wheel.width_mm = 20;
  StructureWheel wheel;
  wheel.most_vertical_N = 3145;
  wheel.limit = 0.5;
  EXPECT_NEAR(axleOf(spec, wheel).moment_Nmm, 92345, 1);
  EXPECT_NEAR(axleOf(spec, wheel).use, 1.544, 0.001);
  // Sideways no more than its groove holds, 1572.5 N, by the wind's factor at 45 mm: half of it.
  wheel.most_lateral_N = 9000;
  spec.hardware.wheel.running_mm = 90;
  EXPECT_NEAR(axleOf(spec, wheel).moment_Nmm, 92345 + spec.checks.wind_factor * 1572.5 * 45 / 2, 1);
}

// Two wheels carry a panel as levers tell: of its solids' mass and centre, whatever the frame's
// members come to. On slopes what the ropes hold along the track turns the panel a little: level
// ones here.
TEST(Structure, WheelsCarryWhatTheSolidsWeigh) {
  for (
      const char* file :
      {R"({"site":{"opening_mm":5400},"gate":{"panels":2}})",
       R"({"site":{"opening_mm":6300,"opens":"left"},"gate":{"panels":3,"infill":{"kind":"slats"}}})",
       R"({"site":{"opening_mm":5200},"hardware":"heavy","gate":{"panels":2,"cladding":{"kind":"boards"}}})"}) {
    const GateSpec spec = gates::specOf(nlohmann::json::parse(file));
    const Model model = buildModel(spec, gates::laidOut(spec));
    const GateFrame gate = frame::gateFrame(model, 0);
    const Response weight = frame::Solver(gate.frame).solve(weightOf(model, gate));
    const auto masses = panelMasses(model);
    for (const frame::WheelPlace& wheel : gate.wheels) {
      const PanelMass& mass = masses.at(wheel.panel - 1);
      const double base = mass.wheels_x_mm.back() - mass.wheels_x_mm.front();
      const double trailing =
          mass.mass_kg * 9.81 * (mass.centre_mm[0] - mass.wheels_x_mm.front()) / base;
      EXPECT_NEAR(weight.held[wheel.node][2],
                  wheel.leading ? mass.mass_kg * 9.81 - trailing : trailing, 0.5)
          << file << " panel " << wheel.panel;
    }
  }
}

TEST(Structure, WindOnTheClosedGateIsTheSumOfItsPanels) {
  const Model model = modelWith({{"/site/opening_mm", 6000}});
  const WindReport wind = findLoads(model).wind;
  const GateFrame gate = frame::gateFrame(model, 0);
  double sum = 0;
  for (const auto& [member, load] : windOn(model, wind, gate, 0).along_members) {
    sum += load[1] * frame::lengthMm(gate.frame, gate.frame.members[member]);
  }
  double bound = 0;
  for (const WindPanel& panel : wind.panels) {
    bound += panel.force_N;
  }
  // Where panels overlap the frame sees their joint solidity, the panels' sum the front one's.
  EXPECT_GT(sum, bound);
  EXPECT_NEAR(sum, bound, 0.05 * bound);
}

// By hand: the lip of a round groove of 10.5, 5 deep, leans by acos((10.5 - 5) / 10.5) = 58.4
// degrees, and tan 58.4 = 1.626: (1.626 - 0.3) / (1 + 0.3 x 1.626) = 0.891. A V of 90 degrees: 0.7
// / 1.3.
TEST(Structure, WhatAGrooveHolds) {
  HardwareSpec shelf;
  EXPECT_NEAR(grooveLimit(shelf), 0.8913, 3e-4);
  shelf.wheel.groove = GrooveKind::kV;
  shelf.wheel.groove_deg = 90;
  EXPECT_NEAR(grooveLimit(shelf), 0.5385, 1e-4);
}

// By hand, on a bar of 20 with a groove 5 deep, whose lip is sqrt(100 - 25) = 8.66 aside. Play 2:
// it climbs sqrt(100 - 6.66^2) - 5 = 2.46, and plates 5 over the footing end at 7.46, under the
// middle of the bar. From 19 they would end over its crown. Play 9: the lip is over the crown
// before. Plates beside an angle's flanks go along them, 45 degrees up, and meet nothing. Beside
// its flat of 15 they end at 4 + 2, the play; from 14 they would end over it, and a wheel 10 deep
// is out before a play of 10.
TEST(Structure, WhatAKeeperCatches) {
  const auto limit = [](const char* set, std::optional<double> low_mm, double play_mm,
                        double flat_mm = 15) {
    GateSpec spec = gates::specWith({{"/hardware", set}});
    spec.hardware.keeper.low_mm = low_mm;
    spec.hardware.keeper.play_mm = play_mm;
    spec.hardware.track.flat_mm = flat_mm;
    return keeperLimit(spec);
  };
  EXPECT_TRUE(std::isinf(limit("medium", {}, 2)));
  EXPECT_TRUE(std::isinf(limit("light", {}, 2)));
  EXPECT_EQ(limit("medium", 19, 2), 0);
  // 10 over the footing: 2.46 above the middle, where the bar leans by asin(0.246) off upright.
  const double steep = std::sqrt(1 - 0.246 * 0.246) / 0.246;
  EXPECT_NEAR(limit("medium", 10, 2), (steep - 0.3) / (1 + 0.3 * steep), 0.01);
  EXPECT_EQ(limit("medium", {}, 9), 0);
  EXPECT_TRUE(std::isinf(limit("heavy", {}, 2)));
  EXPECT_EQ(limit("heavy", 14, 2), 0);
  EXPECT_EQ(limit("heavy", {}, 10), 0);
  EXPECT_EQ(limit("heavy", {}, 2, 0), 0);
}

// Each case's wheels and feet bear the frame's own weight, and what blows from the road blows the
// other way from the property: equilibrium.
TEST(Structure, ReactionsBearTheGateInEveryCase) {
  const Model model = gates::modelWith({{"/gate/panels", 3}});
  const LoadReport report = findLoads(model);
  ASSERT_EQ(report.structure.reactions.size(), 12U);  // 3 states, wind and push, either way
  std::map<std::string, double> across;
  std::map<std::string, double> weights;  // the open gate's frame has no catch post
  for (const CaseReactions& one : report.structure.reactions) {
    double up = 0;
    int feet = 0;
    for (const Reaction& reaction : one.at) {
      const bool between = reaction.what.find("block") != std::string::npos ||
                           reaction.what.find("receiver") != std::string::npos;
      up += between ? 0 : reaction.force_N[2];
      across[one.case_name] += between ? 0 : reaction.force_N[1];
      feet += reaction.moment_Nm != Vec3{} ? 1 : 0;
    }
    const std::string state = one.case_name.substr(0, one.case_name.find(','));
    EXPECT_EQ(feet, state == "closed" ? 2 : 1) << one.case_name;
    EXPECT_NEAR(up, weights.try_emplace(state, up).first->second, 1e-6 * up) << one.case_name;
  }
  double moving = 0;
  for (const PanelLoad& panel : report.panels) {
    moving += panel.mass.mass_kg * 9.81;
  }
  for (const auto& [state, weight] : weights) {
    EXPECT_GT(weight, moving) << state;  // posts weigh too
    EXPECT_LT(weight, 1.3 * moving) << state;
  }
  for (const char* state : {"closed", "half open", "parked"}) {
    for (const char* load : {", wind from the ", ", push from the "}) {
      const double one = across.at(std::string(state) + load + "road");
      EXPECT_LT(one, -100) << state << load;
      EXPECT_NEAR(across.at(std::string(state) + load + "property"), -one, 1e-6 * std::abs(one));
    }
  }
  // A push is what the parameter says.
  EXPECT_NEAR(across.at("closed, push from the road"), -model.spec.checks.push_N,
              1e-6 * model.spec.checks.push_N);
}

TEST(Structure, AWheelThatNoKeeperCatchesIsNotHeld) {
  StructureWheel wheel;
  wheel.vertical_N = 1000;
  wheel.ratio = 1.2;
  wheel.limit = 0.54;
  wheel.keeper_use = 0.1;
  EXPECT_FALSE(isHeld(wheel));
  wheel.keeper_limit = 1.5;
  EXPECT_TRUE(isHeld(wheel));
  wheel.keeper_use = 1.1;
  EXPECT_FALSE(isHeld(wheel));
}

}  // namespace
}  // namespace leafstack
