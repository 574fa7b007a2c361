// What loads.cpp puts together; each in a file of its own.
#pragma once

#include "generator/loads/frame/frame_metal.h"
#include "generator/loads/load_report.h"

namespace leafstack {

inline constexpr double kMm2PerM2 = 1e6, kMm3PerM3 = 1e9;

/// Ropes of a model as anchors of its bodies.
std::vector<RopeAnchors> anchorsOf(const Model& model);

/// One panel as the ropes feel it.
struct MovingPanel {
  double mass_kg = 0, speed_ratio = 1;
  double sine = 0;  ///< of its slope along the motion, opening; uphill positive
};
/// Fills in needs and forces of a case of which direction and phase are given.
ChainCase solvedCase(const GateSpec& spec, const WheelResistance& resistance,
                     const std::vector<RopeAnchors>& ropes, const std::vector<MovingPanel>& panels,
                     ChainCase chain);

/// Every case: both directions, moving, starting and stopping, at every position that differs.
std::vector<ChainCase> chainCases(const Model& model, const LoadReport& report);
/// Positions of the drive where loads are looked at: one on even ground.
std::vector<double> loadPositions(const Layout& layout);
/// Rise per mm along the motion of a panel's centre of mass.
double slopeAt(const Layout& layout, int panel, const std::array<double, 3>& centre_mm,
               double drive_mm);
double slopeAt(const Model& model, int panel, const std::array<double, 3>& centre_mm,
               double drive_mm);
/// Panel 1's way along its track from closed to open.
double trackTravelMm(const Layout& layout);

std::vector<PanelLoad> panelLoads(const Model& model);
std::vector<RopeRow> ropeRows(const Model& model, const std::vector<ChainCase>& cases);
/// Fills RopeRow::held_pull_N: by the motor's own force where it is known, and at least by the one
/// that it is ordered by; as if pulleys and wheels lost nothing.
void findHeldPulls(const Model& model, const DriveRow& drive, std::vector<RopeRow>& ropes);
DriveRow driveRow(const Model& model, const LoadReport& report,
                  const std::vector<ChainCase>& cases);
WindReport windReport(const Model& model);

}  // namespace leafstack
