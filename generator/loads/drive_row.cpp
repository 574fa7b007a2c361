// The drive: force, power, time, energy, and what happens when it is released.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/loads/loads_parts.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

const ChainCase& worst(const std::vector<ChainCase>& cases, Phase phase) {
  const ChainCase* found = nullptr;
  for (const ChainCase& chain : cases) {
    if (chain.phase == phase && (found == nullptr || chain.ideal.drive_N > found->ideal.drive_N)) {
      found = &chain;
    }
  }
  return *found;
}

double total(const std::vector<double>& values) {
  double sum = 0;
  for (double value : values) {
    sum += value;
  }
  return sum;
}

/// Ratio-squared mass: what the drive feels when it accelerates the gate.
double reducedMassKg(const Model& model, const LoadReport& report) {
  double mass = 0;
  for (const PanelLoad& panel : report.panels) {
    const double ratio = model.speed_ratio.at(panel.number);
    mass += ratio * ratio * panel.mass.mass_kg;
  }
  return mass;
}

/// Force at the drive by which gravity overcomes clean wheels, in one direction at one position.
double gravityPull(const Model& model, const LoadReport& report, bool opening, double at_mm) {
  const double resistance = report.resistance.least();
  double force = 0;
  for (const PanelLoad& panel : report.panels) {
    const double sine = slopeAt(model, panel.number, panel.mass.centre_mm, at_mm);
    const double down = opening ? -sine : sine;
    force += model.speed_ratio.at(panel.number) * panel.mass.mass_kg * kGravity *
             (down - resistance * std::sqrt(1 - sine * sine));
  }
  return force;
}

/// Rolls freely from every position; energy piles up while gravity wins.
std::vector<Runaway> runawaysOf(const Model& model, const LoadReport& report,
                                double track_travel_mm) {
  const std::vector<double> at = loadPositions(model.layout);
  const double reduced = reducedMassKg(model, report);
  const double step =
      at.size() > 1 ? track_travel_mm / static_cast<double>(at.size() - 1) : track_travel_mm;
  std::vector<Runaway> runaways;
  for (bool opening : {true, false}) {
    Runaway runaway;
    runaway.opens = opening;
    double energy_Nmm = 0, most_Nmm = 0;
    for (std::size_t i = 0; i < at.size(); ++i) {
      const double force =
          gravityPull(model, report, opening, opening ? at[i] : at[at.size() - 1 - i]);
      runaway.force_N = std::max(runaway.force_N, force);
      energy_Nmm = std::max(energy_Nmm + force * step, 0.0);
      most_Nmm = std::max(most_Nmm, energy_Nmm);
    }
    runaway.speed_mm_s = kMmPerM * std::sqrt(2 * most_Nmm / kMmPerM / reduced);
    if (runaway.force_N > 0) {
      runaways.push_back(runaway);
    }
  }
  std::stable_sort(runaways.begin(), runaways.end(),
                   [](const Runaway& p, const Runaway& q) { return p.speed_mm_s > q.speed_mm_s; });
  return runaways;
}

double holdingForce(const Model& model, const LoadReport& report) {
  double most = 0;
  for (double at : loadPositions(model.layout)) {
    double force = 0;
    for (const PanelLoad& panel : report.panels) {
      force += model.speed_ratio.at(panel.number) * panel.mass.mass_kg * kGravity *
               slopeAt(model, panel.number, panel.mass.centre_mm, at);
    }
    most = std::max(most, std::abs(force));
  }
  return most;
}

/// Greatest lag of the front panel in one phase of closing.
double lagMm(const Model& model, const LoadReport& report, const std::vector<ChainCase>& cases,
             Phase phase) {
  const RopeSpec& spec = model.spec.ropes;
  const double stiffness = ropeClass(spec).stiffness_N_mm2 * spec.diameter_mm * spec.diameter_mm;
  const std::vector<RopeAnchors> anchors = anchorsOf(model);
  double most = 0;
  for (const ChainCase& chain : cases) {
    if (chain.opening || chain.phase != phase) {
      continue;
    }
    std::vector<double> stretch;
    for (std::size_t i = 0; i < anchors.size(); ++i) {
      const double pull = chain.forces.ropes[i].rear_N;
      // The rope of the set that pulls: the closing one, or the opening one that holds back.
      const RopeRow& row = report.ropes.at(2 * i + (pull > 0 ? 1 : 0));
      stretch.push_back(pull * row.length_mm / stiffness);
    }
    most = std::max(most, std::abs(frontLag(model.layout.panel_count, anchors, stretch)));
  }
  return most;
}

void findMass(const LoadReport& report, DriveRow& row) {
  for (const PanelLoad& panel : report.panels) {
    row.moving_mass_kg += panel.mass.mass_kg;
    for (int axis = 0; axis < 3; ++axis) {
      row.centre_mm[axis] += panel.mass.mass_kg * panel.mass.centre_mm[axis];
    }
  }
  for (double& coordinate : row.centre_mm) {
    coordinate /= row.moving_mass_kg;
  }
}

void findForces(const std::vector<ChainCase>& cases, DriveRow& row) {
  row.moving = worst(cases, Phase::kMoving);
  row.starting = worst(cases, Phase::kStarting);
  row.force_N = row.moving.ideal.drive_N;
  row.start_force_N = row.starting.ideal.drive_N;
  row.required_force_N = row.starting.forces.drive_N;
  row.pulley_loss_N = row.required_force_N - row.start_force_N;
  row.single_force_N = total(row.moving.need_N);
  row.ratio_to_single = row.force_N / row.single_force_N;
  for (const ChainCase& chain : cases) {
    row.braking_force_N = std::max(row.braking_force_N, -chain.ideal.drive_N);
  }
}

void findMotion(const Model& model, const LoadReport& report, DriveRow& row) {
  const DriveSpec& drive = model.spec.drive;
  const double speed = drive.speed_mm_s;
  row.pinion_diameter_mm =
      model.spec.hardware.rack.module_mm * model.spec.hardware.motor.pinion_teeth;
  row.torque_Nm = row.required_force_N * row.pinion_diameter_mm / 2 / kMmPerM;
  row.track_travel_mm = trackTravelMm(model.layout);
  row.time = travelTime({row.track_travel_mm, speed, drive.acceleration_mm_s2,
                         drive.slow_speed_mm_s, drive.slow_travel_mm});
  const double top = row.time.top_speed_mm_s;
  constexpr double kSecondsPerMinute = 60;
  row.pinion_rpm = top * kSecondsPerMinute / (std::numbers::pi * row.pinion_diameter_mm);
  row.power_W = row.moving.forces.drive_N * top / kMmPerM;
  row.peak_power_W = row.required_force_N * top / kMmPerM;
  row.front_speed_mm_s = model.speed_ratio.back() * top;
  row.kinetic_energy_J = reducedMassKg(model, report) / 2 * (top / kMmPerM) * (top / kMmPerM);
}

}  // namespace

DriveRow driveRow(const Model& model, const LoadReport& report,
                  const std::vector<ChainCase>& cases) {
  DriveRow row;
  findMass(report, row);
  findForces(cases, row);
  findMotion(model, report, row);
  row.holding_force_N = holdingForce(model, report);
  row.motor = model.spec.drive.motor.name;
  row.motor_force_N = model.spec.drive.motor.force_N;
  row.runaways = runawaysOf(model, report, row.track_travel_mm);
  if (!report.ropes.empty()) {
    row.lag_moving_mm = lagMm(model, report, cases, Phase::kMoving);
    row.lag_start_mm = lagMm(model, report, cases, Phase::kStarting);
  }
  return row;
}

}  // namespace leafstack
