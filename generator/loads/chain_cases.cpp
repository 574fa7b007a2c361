// Panels' needs at every position, and the rope chain's forces for them.
#include <algorithm>
#include <cmath>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/loads/loads_parts.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr int kSurveySteps = 240;  // a survey has at most 200 points
// Half the stretch over which a slope is taken: far below any bend, far above rounding.
constexpr double kSlopeStepMm = 0.5;

ChainCase caseOf(const Model& model, const LoadReport& report, ChainCase chain) {
  std::vector<MovingPanel> panels;
  for (const PanelLoad& panel : report.panels) {
    panels.push_back({panel.mass.mass_kg, model.speed_ratio.at(panel.number),
                      slopeAt(model, panel.number, panel.mass.centre_mm, chain.at_mm)});
  }
  return solvedCase(model.spec, report.resistance, anchorsOf(model), panels, std::move(chain));
}

}  // namespace

std::string_view toString(Phase phase) {
  switch (phase) {
    case Phase::kMoving:
      return "moving";
    case Phase::kStarting:
      return "starting";
    case Phase::kStopping:
      return "stopping";
  }
  return "";
}

WheelResistance wheelResistance(const BearingClass& bearing, double running_diameter_mm,
                                double axle_mm) {
  WheelResistance resistance;
  resistance.lever = 2 / running_diameter_mm * bearing.lever_mm;
  resistance.bearing = 2 / running_diameter_mm * bearing.friction_factor * axle_mm / 2;
  resistance.rim = bearing.rim_factor;
  resistance.total = resistance.clean();
  return resistance;
}

WheelResistance wheelResistance(const DriveSpec& drive, const HardwareSpec& shelf) {
  WheelResistance resistance = wheelResistance(bearingClass(drive.wheel_bearing),
                                               shelf.wheel.running_mm, shelf.wheel.axle_mm);
  resistance.dirt = drive.dirt_allowance;
  resistance.is_given = drive.rolling_resistance.has_value();
  resistance.total = drive.rolling_resistance.value_or(resistance.clean() + resistance.dirt);
  return resistance;
}

ChainCase solvedCase(const GateSpec& spec, const WheelResistance& resistance,
                     const std::vector<RopeAnchors>& ropes, const std::vector<MovingPanel>& panels,
                     ChainCase chain) {
  const double acceleration = spec.drive.acceleration_mm_s2 / kMmPerM;
  const double inertia = chain.phase == Phase::kMoving     ? 0
                         : chain.phase == Phase::kStarting ? acceleration
                                                           : -acceleration;
  chain.need_N.reserve(panels.size());
  for (const MovingPanel& panel : panels) {
    const double sine = (chain.opening ? 1 : -1) * panel.sine;
    const double cosine = std::sqrt(1 - sine * sine);
    // Dirt helps to stop: it must not be relied on.
    const double share = chain.phase == Phase::kStopping ? resistance.least() : resistance.total;
    chain.need_N.push_back(panel.mass_kg * kGravity * (sine + share * cosine) +
                           panel.mass_kg * panel.speed_ratio * inertia);
  }
  chain.ideal = solveChain(chain.need_N, ropes, /*efficiency=*/1);
  chain.forces = solveChain(chain.need_N, ropes, spec.ropes.pulley_efficiency);
  return chain;
}

std::vector<RopeAnchors> anchorsOf(const Model& model) {
  std::vector<RopeAnchors> ropes;
  for (const RopeRun& run : model.ropes) {
    if (run.opening) {  // opening and closing rope share their bodies
      ropes.push_back({run.carrier, run.frontBody(), run.rearBody()});
    }
  }
  return ropes;
}

std::vector<double> loadPositions(const Layout& layout) {
  if (!layout.ground.is_surveyed) {
    return {0};
  }
  std::vector<double> positions;
  for (int i = 0; i <= kSurveySteps; ++i) {
    positions.push_back(layout.drive_travel_mm * i / kSurveySteps);
  }
  return positions;
}

double slopeAt(const Model& model, int panel, const std::array<double, 3>& centre_mm,
               double drive_mm) {
  return slopeAt(model.layout, panel, centre_mm, drive_mm);
}

double slopeAt(const Layout& layout, int panel, const std::array<double, 3>& centre_mm,
               double drive_mm) {
  const BodyTravel& travel = *layout.ground.travels.at(panel);
  const double from = std::max(drive_mm - kSlopeStepMm, 0.0);
  const auto before = carried(travel.at(from), centre_mm);
  const auto after = carried(travel.at(from + 2 * kSlopeStepMm), centre_mm);
  const double x = after[0] - before[0];
  const double z = after[2] - before[2];
  return z / std::hypot(x, z);
}

double trackTravelMm(const Layout& layout) {
  const BodyTravel& travel = *layout.ground.travels.at(1);
  const std::array<double, 2> pivot = travel.pivot_mm();
  const int steps = layout.ground.is_surveyed ? kSurveySteps : 1;
  double length = 0;
  std::array<double, 3> last{pivot[0], 0, pivot[1]};
  for (int i = 1; i <= steps; ++i) {
    const auto next =
        carried(travel.at(layout.drive_travel_mm * i / steps), {pivot[0], 0, pivot[1]});
    length += std::hypot(next[0] - last[0], next[2] - last[2]);
    last = next;
  }
  return length;
}

std::vector<ChainCase> chainCases(const Model& model, const LoadReport& report) {
  std::vector<ChainCase> cases;
  for (double at : loadPositions(model.layout)) {
    for (bool opening : {true, false}) {
      for (Phase phase : {Phase::kMoving, Phase::kStarting, Phase::kStopping}) {
        ChainCase chain;
        chain.opening = opening;
        chain.phase = phase;
        chain.at_mm = at;
        cases.push_back(caseOf(model, report, std::move(chain)));
      }
    }
  }
  return cases;
}

std::vector<PanelLoad> panelLoads(const Model& model) {
  std::vector<PanelLoad> loads;
  int number = 0;
  for (const PanelMass& mass : panelMasses(model)) {
    PanelLoad load;
    load.number = ++number;
    load.mass = mass;
    load.least_slope = load.most_slope = slopeAt(model, number, mass.centre_mm, 0);
    for (double at : loadPositions(model.layout)) {
      const double slope = slopeAt(model, number, mass.centre_mm, at);
      load.least_slope = std::min(load.least_slope, slope);
      load.most_slope = std::max(load.most_slope, slope);
    }
    // The weight's plumb line between the points where the wheels touch, square below their axles.
    const double weight = mass.mass_kg * kGravity;
    const PanelLayout& layout = model.layout.panel(number);
    const double sine = layout.grade * layout.cosine();
    const double lead = mass.wheels_x_mm.front() + model.spec.hardware.wheel.running_mm / 2 * sine;
    const double base = mass.wheels_x_mm.back() - mass.wheels_x_mm.front();
    load.trailing_wheel_N = weight * (mass.centre_mm[0] - lead) / base;
    load.leading_wheel_N = weight - load.trailing_wheel_N;
    loads.push_back(load);
  }
  return loads;
}

}  // namespace leafstack
