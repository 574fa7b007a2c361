// Loads, ropes, drive and wind: the figures that decide the hardware. An aid to a competent person,
// not a structural design.
//
// Units: N, mm, kg, N mm in names; slopes and forces along the track. "Opening" and "closing" are
// directions of motion. Sources by row id: params/catalogue/SOURCES.md.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/loads/statics/panel_masses.h"
#include "generator/loads/statics/rope_chain.h"
#include "generator/loads/statics/travel_time.h"
#include "generator/model/model.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {

/// m/s2, the value that the worked examples of the sources use.
inline constexpr double kGravity = 9.81;

/// Rolling resistance as shares of the weight, term by term (rows F1, F2).
struct WheelResistance {
  double lever = 0, bearing = 0, rim = 0, dirt = 0;
  double total = 0;       ///< the sum, or the figure given
  bool is_given = false;  ///< by the gate file, whatever the terms say

  double clean() const { return lever + bearing + rim; }
  /// What may be relied on to hold or brake: no dirt, and no more than is given.
  double least() const { return total < clean() ? total : clean(); }
};
/// F = W ((2 / D)(mu d / 2 + f) + c) for a wheel that runs on diameter D on an axle of diameter d.
WheelResistance wheelResistance(const BearingClass& bearing, double running_diameter_mm,
                                double axle_mm);
WheelResistance wheelResistance(const DriveSpec& drive, const HardwareSpec& shelf);

enum class Phase { kMoving, kStarting, kStopping };
std::string_view toString(Phase phase);

/// One state of the whole gate.
struct ChainCase {
  bool opening = true;
  Phase phase = Phase::kMoving;
  double at_mm = 0;            ///< drive travel
  std::vector<double> need_N;  ///< panel 1 first
  ChainForces ideal;           ///< pulleys without losses
  ChainForces forces;          ///< with them
};

struct PanelLoad {
  int number = 1;
  PanelMass mass;
  double least_slope = 0, most_slope = 0;  ///< rise per mm along its motion, over the travel
  double leading_wheel_N = 0, trailing_wheel_N = 0;
};

/// One row of tables/ropes.csv.
struct RopeRow {
  std::string mark;
  int carrier = 1;
  bool opening = true;
  double diameter_mm = 0;
  std::string construction;
  double length_mm = 0;  ///< cut length: closed, both ends in their terminals, adjuster mid-way
  double free_length_mm = 0;   ///< between the terminals
  double order_length_mm = 0;  ///< with what the terminations take, up to the next mm
  std::string termination;
  int clips_per_end = 0;
  double working_tension_N = 0;              ///< greatest of either strand, pulley losses included
  std::string working_case;                  ///< when
  double pulley_load_N = 0, rear_end_N = 0;  ///< greatest, of both strands, and at the rear bracket
  double held_pull_N = 0;  ///< the drive's full force against a front panel that is held fast
  double breaking_force_N = 0;
  double termination_efficiency = 1;
  std::optional<double> safety;  ///< none where it never works
  /// Of the groove's bottom, the pitch diameter less one rope, to the rope: makers' tables count
  /// so.
  double bend_ratio = 0, desired_bend_ratio = 0, least_bend_ratio = 0;
  /// Below what rope makers desire, but by so little that rope and pulley as sold differ by more:
  /// common practice, no source. Told in the sheets, not warned of.
  bool isBentNearlyAsDesired() const {
    constexpr double kNearly = 0.95;
    return bend_ratio < desired_bend_ratio && bend_ratio >= kNearly * desired_bend_ratio;
  }
  double stretch_mm = 0;            ///< elastic, at the working tension
  double permanent_stretch_mm = 0;  ///< to be expected in its life
  double adjuster_needed_mm = 0, adjuster_mm = 0;
  int tension_order = 1;         ///< among the gate's ropes: from the back, closing ropes first
  double each_way_mm = 0;        ///< that either end can be drawn in, and as far let out
  double draws_panel_to_mm = 0;  ///< X of the leading end of the panel in front, closed
  double mass_kg = 0;
};

/// What happens when the drive is released on a slope and nothing holds.
struct Runaway {
  double force_N = 0;  ///< greatest, at the drive, with clean wheels
  bool opens = false;
  double speed_mm_s = 0;  ///< of panel 1, after the worst stretch of the travel
};

struct DriveRow {
  double moving_mass_kg = 0;
  std::array<double, 3> centre_mm{};  ///< of all that moves, closed
  double force_N = 0;                 ///< moving at the worst point, sum of ratio x need
  double start_force_N = 0;           ///< the same, starting
  double pulley_loss_N = 0;           ///< on top, when starting
  double required_force_N = 0;        ///< start and losses: what to order the motor by
  double braking_force_N = 0;         ///< slowing down, at the worst point; 0 = never pushed
  double holding_force_N = 0;         ///< at rest on the slope, without friction
  double single_force_N = 0;          ///< one panel of the same mass, moving
  double ratio_to_single = 1;
  double power_W = 0, peak_power_W = 0;
  double torque_Nm = 0, pinion_diameter_mm = 0, pinion_rpm = 0;
  double track_travel_mm = 0;  ///< of panel 1, along its track
  TravelTime time;
  double front_speed_mm_s = 0, kinetic_energy_J = 0;  ///< at the top speed that is reached
  std::string motor;
  std::optional<double> motor_force_N;
  double lag_moving_mm = 0, lag_start_mm = 0;  ///< of the front panel, closing
  std::vector<Runaway> runaways;  ///< one for each direction it would run, the faster first
  ChainCase moving, starting;     ///< the worst cases that the forces come from
};

/// Wind on one panel of the closed gate.
struct WindPanel {
  int number = 1;
  double from_mm = 0, to_mm = 0;  ///< what of it stands in the wind
  FrontArea area;
  double zone_coefficient = 0;                 ///< of a solid wall there
  double coefficient = 0;                      ///< on the gross area, by solidity
  double pressure_Pa = 0;                      ///< on the gross area
  double force_N = 0, force_arm_mm = 0;        ///< over the track
  double guide_arm_mm = 0;                     ///< of its own guide
  double front_guide_N = 0, front_arm_mm = 0;  ///< that the panel in front passes on, 0 = none
  double guide_N = 0;                          ///< reaction at its own guide block
  double wheels_N = 0;                         ///< sideways, on its track
};

struct WindReport {
  double velocity_pressure_Pa = 0;
  std::string basis;  ///< where the pressure comes from, in words
  bool is_class = false;
  std::vector<WindPanel> panels;
  double guide_N = 0;          ///< on the guide post, bracket or arm
  double foot_moment_Nmm = 0;  ///< at its foot; for an overhead bracket at the fence post's
  double foot_torque_Nmm = 0;  ///< of an arm about its post
};

struct LoadReport {
  WheelResistance resistance;
  std::vector<PanelLoad> panels;
  std::vector<RopeRow> ropes;
  DriveRow drive;
  WindReport wind;
  StructureReport structure;
};

}  // namespace leafstack
