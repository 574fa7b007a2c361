#include "exporters/lists/report/loads_report.h"

#include "exporters/bytes/json_numbers.h"
#include "exporters/bytes/rounding.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kNmmPerNm = 1000;

Json chainJson(const ChainCase& chain) {
  Json json;
  json["direction"] = chain.opening ? "opening" : "closing";
  json["phase"] = toString(chain.phase);
  json["at_mm"] = num(chain.at_mm);
  json["panel_need_N"] = Json::array();
  for (double need : chain.need_N) {
    json["panel_need_N"].push_back(num(need));
  }
  json["rope_tension_N"] = Json::array();
  for (const RopePull& pull : chain.ideal.ropes) {
    json["rope_tension_N"].push_back(num(pull.front_N));
  }
  json["drive_N"] = num(chain.ideal.drive_N);
  json["ground_anchor_N"] = num(chain.ideal.ground_N);
  json["drive_with_pulley_losses_N"] = num(chain.forces.drive_N);
  return json;
}

Json resistanceJson(const WheelResistance& resistance) {
  Json json;
  json["lever"] = num(resistance.lever);
  json["bearing"] = num(resistance.bearing);
  json["rim"] = num(resistance.rim);
  json["dirt"] = num(resistance.dirt);
  json["total"] = num(resistance.total);
  json["given"] = resistance.is_given;
  return json;
}

Json panelJson(const PanelLoad& panel) {
  Json json;
  json["number"] = panel.number;
  json["mass_kg"] = num(panel.mass.mass_kg);
  json["centre_mm"] = point(panel.mass.centre_mm);
  json["leading_wheel_N"] = num(panel.leading_wheel_N);
  json["trailing_wheel_N"] = num(panel.trailing_wheel_N);
  json["slope"] = {num(panel.least_slope), num(panel.most_slope)};
  return json;
}

Json windPanelJson(const WindPanel& panel) {
  Json json;
  json["number"] = panel.number;
  json["from_mm"] = num(panel.from_mm);
  json["to_mm"] = num(panel.to_mm);
  json["gross_area_mm2"] = num(panel.area.gross_mm2);
  json["solidity"] = num(panel.area.solidity());
  json["zone_coefficient"] = num(panel.zone_coefficient);
  json["coefficient"] = num(panel.coefficient);
  json["pressure_Pa"] = num(panel.pressure_Pa);
  json["force_N"] = num(panel.force_N);
  json["guide_block_N"] = num(panel.guide_N);
  json["wheels_N"] = num(panel.wheels_N);
  return json;
}

Json windJson(const WindReport& wind) {
  Json json;
  json["pressure_Pa"] = num(wind.velocity_pressure_Pa);
  json["basis"] = wind.basis;
  json["panels"] = Json::array();
  for (const WindPanel& panel : wind.panels) {
    json["panels"].push_back(windPanelJson(panel));
  }
  json["guide_post_N"] = num(wind.guide_N);
  json["foot_moment_Nm"] = num(wind.foot_moment_Nmm / kNmmPerNm);
  json["foot_torque_Nm"] = num(wind.foot_torque_Nmm / kNmmPerNm);
  return json;
}

}  // namespace

Json ropesJson(const LoadReport& loads) {
  Json ropes = Json::array();
  for (const RopeRow& row : loads.ropes) {
    Json json;
    json["mark"] = row.mark;
    json["carried_by"] = row.carrier;
    json["does"] = row.opening ? "opening" : "closing";
    json["construction"] = row.construction;
    json["diameter_mm"] = num(row.diameter_mm);
    json["length_mm"] = num(row.length_mm);
    json["between_terminations_mm"] = num(row.free_length_mm);
    json["order_length_mm"] = num(row.order_length_mm);
    json["termination"] = row.termination;
    json["clips_per_end"] = row.clips_per_end;
    json["working_tension_N"] = num(row.working_tension_N);
    json["working_case"] = row.working_case;
    json["pulley_load_N"] = num(row.pulley_load_N);
    json["rear_end_N"] = num(row.rear_end_N);
    json["breaking_force_N"] = num(row.breaking_force_N);
    json["termination_efficiency"] = num(row.termination_efficiency);
    json["safety"] = maybe(row.safety);
    json["bend_ratio"] = num(row.bend_ratio);
    json["desired_bend_ratio"] = num(row.desired_bend_ratio);
    json["least_bend_ratio"] = num(row.least_bend_ratio);
    json["stretch_mm"] = num(row.stretch_mm);
    json["permanent_stretch_mm"] = num(row.permanent_stretch_mm);
    json["adjuster_needed_mm"] = num(row.adjuster_needed_mm);
    json["adjuster_mm"] = num(row.adjuster_mm);
    ropes.push_back(std::move(json));
  }
  return ropes;
}

Json driveJson(const LoadReport& loads, const Layout& layout) {
  const DriveRow& row = loads.drive;
  Json json;
  json["moving_mass_kg"] = num(row.moving_mass_kg);
  json["force_N"] = num(row.force_N);
  json["start_force_N"] = num(row.start_force_N);
  json["pulley_loss_N"] = num(row.pulley_loss_N);
  json["required_force_N"] = num(row.required_force_N);
  json["braking_force_N"] = num(row.braking_force_N);
  json["holding_force_N"] = num(row.holding_force_N);
  json["power_W"] = num(row.power_W);
  json["peak_power_W"] = num(row.peak_power_W);
  json["ratio_to_single"] = num(row.ratio_to_single);
  json["single_force_N"] = num(row.single_force_N);
  json["torque_Nm"] = num(row.torque_Nm);
  json["pinion_diameter_mm"] = num(row.pinion_diameter_mm);
  json["pinion_rpm"] = num(row.pinion_rpm);
  json["track_travel_mm"] = num(row.track_travel_mm);
  json["opening_time_s"] = num(row.time.total_s);
  json["top_speed_mm_s"] = num(row.time.top_speed_mm_s);
  json["front_speed_mm_s"] = num(row.front_speed_mm_s);
  json["kinetic_energy_J"] = num(row.kinetic_energy_J);
  json["motor"] = row.motor;
  json["motor_force_N"] = maybe(row.motor_force_N);
  json["motor_packing_mm"] = num(layout.heights.motor_packing_mm);
  json["front_lag_moving_mm"] = num(row.lag_moving_mm);
  json["front_lag_start_mm"] = num(row.lag_start_mm);
  json["runs_by_gravity"] = Json::array();
  for (const Runaway& runaway : row.runaways) {
    json["runs_by_gravity"].push_back({{"direction", runaway.opens ? "opening" : "closing"},
                                       {"force_N", num(runaway.force_N)},
                                       {"speed_mm_s", num(runaway.speed_mm_s)}});
  }
  return json;
}

Json loadsJson(const LoadReport& loads) {
  Json json;
  json["rolling_resistance"] = resistanceJson(loads.resistance);
  json["centre_mm"] = point(loads.drive.centre_mm);
  json["panels"] = Json::array();
  for (const PanelLoad& panel : loads.panels) {
    json["panels"].push_back(panelJson(panel));
  }
  json["moving"] = chainJson(loads.drive.moving);
  json["starting"] = chainJson(loads.drive.starting);
  json["wind"] = windJson(loads.wind);
  return json;
}

}  // namespace leafstack
