// One row a rope: lengths, tensions, strength, stretch.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/loads/loads_parts.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

// A rope is cut and swaged to this; common practice, no source.
constexpr double kCutToleranceMm = 3;

std::string inWords(const ChainCase& chain, const Layout& layout) {
  std::string text =
      std::string(toString(chain.phase)) + (chain.opening ? ", opening" : ", closing");
  if (layout.ground.is_surveyed) {
    text += ", at drive travel " + shown(chain.at_mm);
  }
  return text;
}

/// Takes from every case what this rope of its set carries.
void findTensions(const std::vector<ChainCase>& cases, std::size_t set, const Layout& layout,
                  RopeRow& row) {
  for (const ChainCase& chain : cases) {
    const RopePull& pull = chain.forces.ropes[set];
    // Pull along the motion is the rope's that pulls that way; the other holds back.
    const bool is_this = (chain.opening == row.opening) == (pull.front_N > 0);
    if (!is_this) {
      continue;
    }
    const double tension = std::max(std::abs(pull.front_N), std::abs(pull.rear_N));
    if (tension > row.working_tension_N) {
      row.working_tension_N = tension;
      row.working_case = inWords(chain, layout);
    }
    row.pulley_load_N = std::max(row.pulley_load_N, std::abs(pull.pulley_N()));
    row.rear_end_N = std::max(row.rear_end_N, std::abs(pull.rear_N));
  }
}

void findStretch(const RopeSpec& spec, const RopeClass& rope, RopeRow& row) {
  const double stiffness = rope.stiffness_N_mm2 * spec.diameter_mm * spec.diameter_mm;
  row.stretch_mm = row.working_tension_N * row.length_mm / stiffness;
  constexpr double kPercent = 100;
  const double never_worked = 1e9;
  row.permanent_stretch_mm =
      permanentStretchPercent(row.safety.value_or(never_worked)) / kPercent * row.length_mm;
  // Mid-way, half the range takes up.
  row.adjuster_needed_mm = 2 * (row.permanent_stretch_mm + kCutToleranceMm);
}

}  // namespace

std::vector<RopeRow> ropeRows(const Model& model, const std::vector<ChainCase>& cases) {
  const RopeSpec& spec = model.spec.ropes;
  const RopeClass rope = ropeClass(spec);
  const Termination termination = terminationOf(spec);
  const Terminal terminal = terminalOf(model.spec);
  const double square = spec.diameter_mm * spec.diameter_mm;
  std::vector<RopeRow> rows;
  for (const RopeRun& run : model.ropes) {
    const Part& part = model.parts[run.part];
    RopeRow row;
    row.mark = run.mark;
    row.carrier = run.carrier;
    row.opening = run.opening;
    row.diameter_mm = spec.diameter_mm;
    row.construction = spec.construction == RopeConstruction::k7x19 ? "7x19" : "7x7";
    row.free_length_mm = part.length_mm - 2 * (terminal.mouthMm() - terminal.ropeEndMm());
    row.length_mm = row.free_length_mm + 2 * terminal.insideMm();
    row.order_length_mm = std::ceil(row.length_mm + 2 * termination.turn_back_mm);
    row.adjuster_mm = 2 * terminal.adjust_mm;
    row.each_way_mm = terminal.adjust_mm / 2;
    row.tension_order = 2 * run.carrier - (run.opening ? 0 : 1);
    row.draws_panel_to_mm = model.layout.panel(run.carrier + 1).leading_closed_mm;
    row.termination = spec.termination == RopeTermination::kSwaged    ? "swaged terminals"
                      : spec.termination == RopeTermination::kFerrule ? "loops with ferrules"
                                                                      : "loops with clips";
    row.clips_per_end = termination.clips;
    row.breaking_force_N = rope.breaking_factor * square * ropeGrade_N_mm2(spec);
    row.termination_efficiency = termination.efficiency;
    findTensions(cases, static_cast<std::size_t>(run.carrier - 1), model.layout, row);
    if (row.working_tension_N > 0) {
      row.safety = row.breaking_force_N * row.termination_efficiency / row.working_tension_N;
    }
    const double pitch = model.layout.ropes.at(run.carrier - 1).pitch_mm;
    row.bend_ratio = (pitch - spec.diameter_mm) / spec.diameter_mm;
    row.desired_bend_ratio = rope.desired_bend_ratio;
    row.least_bend_ratio = rope.least_bend_ratio;
    findStretch(spec, rope, row);
    row.mass_kg = part.massKg();
    rows.push_back(row);
  }
  return rows;
}

void findHeldPulls(const Model& model, const DriveRow& drive, std::vector<RopeRow>& ropes) {
  const std::vector<RopeAnchors> anchors = anchorsOf(model);
  if (anchors.empty()) {
    return;
  }
  std::vector<double> need(model.layout.panels.size());
  need.back() = 1;
  const ChainForces held = solveChain(need, anchors, /*efficiency=*/1);
  const double full = std::max(drive.motor_force_N.value_or(0), drive.required_force_N);
  for (RopeRow& row : ropes) {
    const RopePull& pull = held.ropes.at(static_cast<std::size_t>(row.carrier - 1));
    row.held_pull_N = full * pull.front_N / held.drive_N;
  }
}

}  // namespace leafstack
