// Frames of whole gates, solved again by Z88 (Debian's package, a general finite element program):
// its beam in space is thin, so shear deformation is left out of both for this.
#include <gtest/gtest.h>

#include <cmath>

#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/loads.h"
#include "generator/loads/structure_loads.h"
#include "tests/loads/z88.h"
#include "tests/support/built_gates.h"

namespace leafstack::frame {
namespace {

using gates::Json;

/// The largest of either half of all sixes.
std::array<double, 2> largest(const std::vector<Six>& all) {
  std::array<double, 2> out{};
  for (const Six& six : all) {
    for (int i = 0; i < 6; ++i) {
      out[i / 3] = std::max(out[i / 3], std::abs(six[i]));
    }
  }
  return out;
}

Loads both(Loads first, const Loads& second) {
  first.on_nodes.insert(first.on_nodes.end(), second.on_nodes.begin(), second.on_nodes.end());
  first.along_members.insert(first.along_members.end(), second.along_members.begin(),
                             second.along_members.end());
  return first;
}

constexpr double kAgreed = 1e-3;  // of the largest: a tenth of a percent

void expectAgreement(const Model& model, double share) {
  GateFrame gate = gateFrame(model, share * model.layout.drive_travel_mm);
  for (Member& member : gate.frame.members) {
    member.section.shear_y_mm2 = member.section.shear_z_mm2 = 0;
  }
  const Loads loads = both(weightOf(model, gate), windOn(model, findLoads(model).wind, gate,
                                                         share * model.layout.drive_travel_mm));
  const Response ours = Solver(gate.frame).solve(loads);
  const Judged theirs = Z88().solve(gate.frame, atNodes(gate.frame, loads));

  const std::array<double, 2> moved = largest(theirs.moved);
  ASSERT_GT(moved[0], 1);  // mm: a gate that the wind does move
  for (std::size_t node = 0; node < ours.moved.size(); ++node) {
    for (int i = 0; i < 6; ++i) {
      ASSERT_NEAR(ours.moved[node][i], theirs.moved[node][i], kAgreed * moved[i / 3])
          << "node " << node << " movement " << i;
    }
  }
  const EndForces own = endForces(gate.frame, ours, loads);
  std::vector<Six> all;
  for (const auto& ends : theirs.ends) {
    all.insert(all.end(), ends.begin(), ends.end());
  }
  const std::array<double, 2> most = largest(all);
  for (std::size_t member = 0; member < own.size(); ++member) {
    for (int end = 0; end < 2; ++end) {
      for (int i = 0; i < 6; ++i) {
        ASSERT_NEAR(own[member][end][i], theirs.ends[member][end][i], kAgreed * most[i / 3])
            << "member " << member << " end " << end << " force " << i;
      }
    }
  }
}

struct JudgedGate {
  const char* name;
  std::vector<std::pair<const char*, Json>> changes;
  double share;  ///< of the drive's travel
};

class FrameZ88 : public testing::TestWithParam<JudgedGate> {};

TEST_P(FrameZ88, MovementsAndForcesAgreeWithinATenthOfAPercent) {
  Json file = gates::gateFile();
  for (const auto& [pointer, value] : GetParam().changes) {
    file[Json::json_pointer(pointer)] = value;
  }
  const GateSpec spec = gates::specOf(file);
  expectAgreement(buildModel(spec, gates::laidOut(spec)), GetParam().share);
}

// Gates of the tests' own; none is of the gallery.
const JudgedGate kGates[] = {
    {"OnePanelSteel", {{"/site/opening_mm", 3400}, {"/gate/panels", 1}}, 0},
    {"OnePanelAluminium",
     {{"/site/opening_mm", 4100},
      {"/gate/panels", 1},
      {"/gate/material", "aluminium"},
      {"/gate/infill/kind", "slats"}},
     0},
    {"TwoSteel", {{"/site/opening_mm", 5300}, {"/gate/panels", 2}}, 0},
    {"TwoOverheadHalfOpen",
     {{"/site/opening_mm", 5300},
      {"/gate/panels", 2},
      {"/guides/mount", "overhead"},
      {"/site/fence_height_mm", 2100}},
     0.5},
    {"TwoSheetLeft",
     {{"/site/opening_mm", 4700},
      {"/gate/panels", 2},
      {"/site/opens", "left"},
      {"/gate/infill/kind", "sheet"}},
     0},
    {"ThreeReachOver",
     {{"/site/opening_mm", 6400}, {"/gate/panels", 3}, {"/guides/mount", "reach-over"}},
     0},
    {"ThreeRakedParked",
     {{"/site/opening_mm", 6400}, {"/gate/panels", 3}, {"/site/grade", 0.05}},
     1},
    {"FourSteel", {{"/site/opening_mm", 7700}, {"/gate/panels", 4}}, 0},
    {"FourAluminiumBoards",
     {{"/site/opening_mm", 7100},
      {"/gate/panels", 4},
      {"/gate/material", "aluminium"},
      {"/gate/cladding/kind", "boards"}},
     0},
    {"FourSteppedHalfOpen",
     {{"/site/opening_mm", 6900},
      {"/gate/panels", 4},
      {"/gate/top", "stepped"},
      {"/site/grade", -0.02}},
     0.5}};

INSTANTIATE_TEST_SUITE_P(Gates, FrameZ88, testing::ValuesIn(kGates),
                         [](const auto& one) { return std::string(one.param.name); });

}  // namespace
}  // namespace leafstack::frame
