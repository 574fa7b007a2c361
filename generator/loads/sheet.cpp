#include "generator/loads/sheet.h"

#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/loads/checks/post_sheet.h"
#include "generator/loads/loads_parts.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

std::string with(double value, int decimals, const char* unit) {
  return shown(value, decimals) + " " + unit;
}
std::string newtons(double value) {
  return with(value, 1, "N");
}
std::string mm(double value) {
  return with(value, 1, "mm");
}
std::string newtonMetres(double value_Nmm) {
  return with(value_Nmm / kNmmPerNm, 0, "N m");
}
std::string number(double value) {
  return shown(value, 4);
}
std::string panelName(int number) {
  return "panel " + std::to_string(number);
}
/// "T" + "1" -> "T1".
std::string indexed(const char* letter, int index) {
  return std::string(letter) + std::to_string(index);
}

/// Writes one gate's sheet, section by section.
class Sheet {
 public:
  Sheet(const Model& model, const LoadReport& report) : model_(model), report_(report) {}

  std::vector<SheetSection> run() {
    masses();
    resistance();
    chain("Statics, moving", report_.drive.moving);
    chain("Statics, starting", report_.drive.starting);
    ropes();
    drive();
    runaway();
    wind();
    frame();
    return std::move(sections_);
  }

 private:
  void begin(std::string title, std::string note = {}) {
    sections_.push_back({std::move(title), std::move(note), {}});
  }
  void line(std::string what, std::string formula, std::string value, std::string source = {}) {
    sections_.back().lines.push_back(
        {std::move(what), std::move(formula), std::move(value), std::move(source)});
  }

  void masses() {
    begin("Masses and wheels",
          "Volumes of the solids times densities; X, Y and Z of the centres closed, from the "
          "datum. Wheel loads: the weight's plumb line between the two wheels.");
    for (const PanelLoad& panel : report_.panels) {
      const PanelMass& mass = panel.mass;
      line("m" + std::to_string(panel.number) + ", " + panelName(panel.number),
           "sum of V x density", with(mass.mass_kg, 1, "kg"), "R5, R6, R7");
      line("centre of gravity", "sum of m x r / m",
           "X " + shown(mass.centre_mm[0], 0) + ", Y " + shown(mass.centre_mm[1], 0) + ", Z " +
               shown(mass.centre_mm[2], 0) + " mm");
      line("wheels, leading and trailing",
           "W = " + shown(mass.mass_kg, 1) + " x " + shown(kGravity) + " N, shared between X " +
               shown(mass.wheels_x_mm.front(), 0) + " and " + shown(mass.wheels_x_mm.back(), 0),
           newtons(panel.leading_wheel_N) + " and " + newtons(panel.trailing_wheel_N));
    }
    line("all that moves", "", with(report_.drive.moving_mass_kg, 1, "kg"));
  }

  void resistance() {
    const WheelResistance& r = report_.resistance;
    const BearingClass bearing = bearingClass(model_.spec.drive.wheel_bearing);
    const double running = model_.spec.hardware.wheel.running_mm;
    begin("Rolling resistance",
          "Shares of the weight: F = W ((2 / D)(mu d / 2 + f) + c), and dirt. D is the running "
          "diameter on the track bar.");
    line("lever arm of rolling",
         "2 f / D = 2 x " + number(bearing.lever_mm) + " / " + shown(running), number(r.lever),
         "F2");
    line("bearing",
         "mu d / D = " + number(bearing.friction_factor) + " x " +
             shown(model_.spec.hardware.wheel.axle_mm) + " / " + shown(running),
         number(r.bearing), "F2");
    line("flanks of the groove", "c", number(r.rim), "F2");
    line("dirt on the track", "allowance", number(r.dirt), "F1, assumed");
    line("mu", r.is_given ? "as given in the gate file" : "sum", number(r.total));
  }

  void chain(const char* title, const ChainCase& chain) {
    const bool starting = chain.phase == Phase::kStarting;
    std::string note = chain.opening ? "Opening" : "Closing";
    note += model_.layout.ground.is_surveyed
                ? ", at drive travel " + mm(chain.at_mm) + ", the worst point for the drive. "
                : ", the worse direction. ";
    begin(title, note +
                     "f along the track; T in the rope set that panel k carries, pulleys without "
                     "losses; T0 is the drive.");
    const int count = model_.layout.panel_count;
    const double a = model_.spec.drive.acceleration_mm_s2 / kMmPerM;
    double work = 0;
    for (int k = 1; k <= count; ++k) {
      const PanelLoad& panel = report_.panels[k - 1];
      const double need = chain.need_N[k - 1];
      const double ratio = model_.speed_ratio.at(k);
      const double sine =
          (chain.opening ? 1 : -1) * slopeAt(model_, k, panel.mass.centre_mm, chain.at_mm);
      std::string formula = "m g (sin + mu cos) = " + shown(panel.mass.mass_kg, 1) + " x " +
                            shown(kGravity) + " x (" + number(sine) + " + " +
                            number(report_.resistance.total) + " x " +
                            number(std::sqrt(1 - sine * sine)) + ")";
      if (starting) {
        formula +=
            " + m k a = " + shown(panel.mass.mass_kg, 1) + " x " + shown(ratio) + " x " + number(a);
      }
      line(indexed("f", k), formula, newtons(need));
      work += ratio * need;
    }
    tensions(chain, count);
    line("check by virtual work", "sum of k f", newtons(work), "T0 again");
    if (!starting) {
      line("one panel of the same mass", "sum of f", newtons(report_.drive.single_force_N));
      line("ratio to that single panel", "T0 / sum of f", number(report_.drive.ratio_to_single),
           count > 1 ? "(n + 1) / 2 for equal panels" : "");
    }
  }

  void tensions(const ChainCase& chain, int count) {
    const auto pull = [&](int k) {
      return k >= 1 && k < count ? chain.ideal.ropes[k - 1].front_N : 0.0;
    };
    for (int k = count; k >= 1; --k) {
      const double value = k == 1 ? chain.ideal.drive_N : pull(k - 1);
      line(k == 1 ? "T0, drive" : indexed("T", k - 1) + ", pulley load " + newtons(2 * value),
           indexed("f", k) + " + 2 " + indexed("T", k) + " - " + indexed("T", k + 1) + " = " +
               newtons(chain.need_N[k - 1]) + " + 2 x " + newtons(pull(k)) + " - " +
               newtons(pull(k + 1)),
           newtons(value), "equilibrium of panel " + std::to_string(k));
    }
  }

  void ropes() {
    if (report_.ropes.empty()) {
      return;
    }
    const RopeSpec& spec = model_.spec.ropes;
    const RopeClass rope = ropeClass(spec);
    const RopeRow& any = report_.ropes.front();
    begin("Ropes",
          "Working tension: the worse strand in the worst case, moving, starting or slowing down, "
          "pulley losses included (each pulley passes " +
              number(spec.pulley_efficiency) +
              " of the pull, W7). Add what you tension the ropes by. Stretch is that of the whole "
              "length at the working tension. Adjusters are drawn mid-way; threads as plain "
              "cylinders.");
    const std::string d2 = " x " + shown(spec.diameter_mm) + "^2";
    line("breaking force",
         "K d^2 R = " + number(rope.breaking_factor) + d2 + " x " + shown(ropeGrade_N_mm2(spec)),
         newtons(any.breaking_force_N), "W1");
    line("terminations", any.termination, number(any.termination_efficiency), "W9");
    line("stiffness EA", number(rope.stiffness_N_mm2) + d2,
         shown(rope.stiffness_N_mm2 * spec.diameter_mm * spec.diameter_mm, 0) + " N", "W12");
    line("pulley to rope",
         "D / d = " + shown(any.bend_ratio * spec.diameter_mm) + " / " + shown(spec.diameter_mm) +
             ", D at the bottom of the groove",
         shown(any.bend_ratio) + " (desired " + shown(any.desired_bend_ratio) + ", least " +
             shown(any.least_bend_ratio) + ")" +
             (any.isBentNearlyAsDesired() ? "; within 5 % of desired" : ""),
         "W4, rope makers' tables");
    for (const RopeRow& row : report_.ropes) {
      ropeLines(row);
    }
    line("lag of the front panel when closing, moving", "sum of (n - k) x stretch of rope k",
         with(report_.drive.lag_moving_mm, 2, "mm"), "W12");
    line("the same, starting", "", with(report_.drive.lag_start_mm, 2, "mm"), "W12");
  }

  void ropeLines(const RopeRow& row) {
    const std::string who = row.mark + " (" + panelName(row.carrier) +
                            (row.opening ? ", opening rope)" : ", closing rope)");
    line(who + ", length", "both strands, half a turn, ends in their terminals",
         mm(row.length_mm) + ", " + mm(row.free_length_mm) + " between terminals");
    line(who + ", working tension", row.working_case, newtons(row.working_tension_N), "W7");
    if (row.safety) {
      line(who + ", safety",
           "breaking force x terminations / tension = " + newtons(row.breaking_force_N) + " x " +
               number(row.termination_efficiency) + " / " + newtons(row.working_tension_N),
           shown(*row.safety, 1) + " (asked for " + shown(model_.spec.checks.rope_safety) + ")",
           "W8");
    }
    line(who + ", stretch", "T L / EA, and for good",
         with(row.stretch_mm, 2, "mm") + " and " + with(row.permanent_stretch_mm, 2, "mm"),
         "W12, W13");
    line(who + ", adjuster", "2 x (permanent stretch + 3 mm for cutting)",
         mm(row.adjuster_needed_mm) + " of thread; " + mm(row.adjuster_mm) + " taken");
  }

  void drive() {
    const DriveRow& d = report_.drive;
    begin("Drive", "At the pinion, at the worst point of the travel.");
    line("force, moving", "T0", newtons(d.force_N));
    line("force, starting", "T0 + sum of k^2 m a", newtons(d.start_force_N));
    line("lost in the pulleys, starting", "", newtons(d.pulley_loss_N), "W7");
    line("force to order the motor by", "starting + lost", newtons(d.required_force_N));
    if (d.motor_force_N) {
      line("motor \"" + d.motor + "\"", "", newtons(*d.motor_force_N), "catalogue or as given");
    }
    if (d.braking_force_N > 0) {
      line("force to slow down", "clean wheels", newtons(d.braking_force_N));
    }
    line("torque at the pinion",
         "F m z / 2 = " + newtons(d.required_force_N) + " x " +
             shown(model_.spec.hardware.rack.module_mm) + " x " +
             shown(model_.spec.hardware.motor.pinion_teeth) + " / 2",
         with(d.torque_Nm, 1, "N m"), "F5");
    line("pinion speed",
         "v / (pi m z) = " + shown(d.time.top_speed_mm_s) + " / (pi x " +
             shown(d.pinion_diameter_mm) + ")",
         with(d.pinion_rpm, 1, "rpm"), "F5");
    const std::string at_speed = " x " + shown(d.time.top_speed_mm_s / kMmPerM, 3) + " m/s";
    line("power, moving", "F v = " + newtons(d.moving.forces.drive_N) + at_speed,
         with(d.power_W, 0, "W"));
    line("power, end of the start", "F v = " + newtons(d.required_force_N) + at_speed,
         with(d.peak_power_W, 0, "W"));
    line("opening time",
         "start " + shown(d.time.start_s, 1) + " + cruise " + shown(d.time.cruise_s, 1) +
             " + slowing " + shown(d.time.slowing_s, 1) + " + slow " + shown(d.time.slow_s, 1) +
             " s over " + mm(d.track_travel_mm),
         with(d.time.total_s, 1, "s"));
    line("front panel's speed",
         "n v = " + shown(model_.speed_ratio.back()) + " x " + shown(d.time.top_speed_mm_s),
         with(d.front_speed_mm_s, 0, "mm/s"));
    line("kinetic energy of all panels", "sum of m (k v)^2 / 2", with(d.kinetic_energy_J, 1, "J"));
  }

  void runaway() {
    const DriveRow& d = report_.drive;
    if (d.holding_force_N < 1e-6) {
      return;
    }
    begin("Released on the slope",
          "Clean wheels, no dirt, no pulley losses: what may happen, not what is likely.");
    line("force to hold it at rest", "|sum of k m g sin|", newtons(d.holding_force_N));
    for (const Runaway& runaway : d.runaways) {
      const std::string way = runaway.opens ? "opening" : "closing";
      line("push beyond clean wheels, " + way, "sum of k m g (sin - mu cos)",
           newtons(runaway.force_N), "F2");
      line("speed reached, " + way, "sqrt(2 E / sum of k^2 m)",
           with(runaway.speed_mm_s, 0, "mm/s at the drive"));
    }
    if (d.runaways.empty()) {
      line("clean wheels hold it", "sum of k m g (sin - mu cos) <= 0", "it stays", "F2");
    }
  }

  void wind() {
    const WindReport& w = report_.wind;
    begin("Wind on the closed gate",
          "Bounds by moments alone, with nothing at the latch post: each panel stands on wheels in "
          "line, so moments about its track give the reaction at its guide block, from the front "
          "panel back, and the guide post carries them all. Coefficients of a wall, on the gross "
          "area.");
    line(w.is_class ? "pressure" : "velocity pressure", w.basis,
         with(w.velocity_pressure_Pa, 0, "Pa"),
         model_.spec.checks.wind_Pa                              ? ""
         : w.is_class                                            ? "V3"
         : model_.spec.checks.wind_terrain == WindTerrain::kGust ? "V1"
                                                                 : "V1, V5");
    for (auto panel = w.panels.rbegin(); panel != w.panels.rend(); ++panel) {
      const std::string who = panelName(panel->number);
      line(
          who + ", solidity",
          "solid / gross area from X " + shown(panel->from_mm, 0) + " to " + shown(panel->to_mm, 0),
          shown(panel->area.solidity(), 3));
      line(who + ", coefficient",
           "solid wall there " + shown(panel->zone_coefficient, 3) + ", by its solidity",
           shown(panel->coefficient, 3), w.is_class ? "V4" : "V2, V6");
      line(who + ", force",
           "q c A = " + shown(w.velocity_pressure_Pa, 0) + " x " + shown(panel->coefficient, 3) +
               " x " + shown(panel->area.gross_mm2 / 1e6, 3) + " m2",
           newtons(panel->force_N));
      line(who + ", guide block",
           "(F a + R' h') / h = (" + newtons(panel->force_N) + " x " +
               shown(panel->force_arm_mm, 0) + " + " + newtons(panel->front_guide_N) + " x " +
               shown(panel->front_arm_mm, 0) + ") / " + shown(panel->guide_arm_mm, 0),
           newtons(panel->guide_N), "moments about the track");
      line(who + ", wheels sideways",
           "F + R' - R = " + newtons(panel->force_N) + " + " + newtons(panel->front_guide_N) +
               " - " + newtons(panel->guide_N),
           newtons(panel->wheels_N));
    }
    line(model_.spec.guides.mount == GuideMount::kOverhead ? "fence post's foot, moment"
                                                           : "guide post's foot, moment",
         "R1 x height", with(w.foot_moment_Nmm / kNmmPerNm, 0, "N m"));
  }

  void frame() {
    const StructureReport& f = report_.structure;
    begin("The gate as one frame in space (an aid, not a structural design)",
          f.problem.empty()
              ? "Every rail, stile, upright, picket and slat is a beam in space with shear "
                "deformation, joined rigidly at its axes; sheets and boards are loads only. Panels "
                "are held across and up at their wheels, along by ropes or rack, and joined across "
                "by their guide blocks, running gaps left out; posts are fast at their feet. "
                "Closed, half open and parked; wind from both sides, or a push of " +
                    shown(model_.spec.checks.push_N, 0) +
                    " N on the front panel's top leading corner, with the gate's weight. Strength "
                    "with 1.35 x weight and " +
                    shown(model_.spec.checks.wind_factor) +
                    " x wind (EN 1990, from memory): sigma = |N| / A + |M1| / W1 + |M2| / W2, tau "
                    "by Bredt and shear area, use = sqrt(sigma^2 + 3 tau^2) / yield; aluminium "
                    "within 20 mm of a weld by its softened zone. The bottom rail is judged at "
                    "its holes as well, by what is left of its walls there: strips taken off A "
                    "and W about the centroid of the rest, shear by the width left; the walls' own "
                    "bending over a hole is left out. Movements, wheels and blocks without factors."
              : "No frame could be made of this gate: " + f.problem + ".");
    for (const StructureMember& m : f.members) {
      const std::string who = m.panel > 0 ? panelName(m.panel) + "'s " + m.name : "the " + m.name;
      line(who + ", " + m.section + ", " + m.case_name,
           "at " + mm(m.at_mm) + ": N " + newtons(m.pull_N) + ", M across " +
               newtonMetres(m.across_Nmm) + ", upright " + newtonMetres(m.upright_Nmm) + ", T " +
               newtonMetres(m.twist_Nmm) + netText(m) + "; sqrt(" + shown(m.normal_N_mm2, 1) +
               "^2 + 3 x " + shown(m.shear_N_mm2, 1) + "^2) / " + shown(m.yield_N_mm2, 0),
           shown(100 * m.use, 0) + " %" +
               (m.taken_off.empty() ? ", moves " + mm(m.deflection_mm) : std::string()));
    }
    for (const StructurePost& post : f.posts) {
      line("foot of the " + post.name + ", " + post.case_name,
           "M " + with(post.moment_Nm, 0, "N m") +
               (post.plate_use
                    ? ", plate M / (b t^2 / 4 x yield) " + shown(100 * *post.plate_use, 0) + " %"
                    : ""),
           shown(100 * post.use, 0) + " %");
      for (SheetLine& one : postLines(model_, post)) {
        sections_.back().lines.push_back(std::move(one));
      }
    }
    for (SheetLine& one : holdingLines(f)) {
      sections_.back().lines.push_back(std::move(one));
    }
    if (f.problem.empty()) {
      frameAtRest();
    }
  }

  /// What is left of a section at a hole.
  static std::string netText(const StructureMember& m) {
    return m.taken_off.empty()
               ? ""
               : "; less " + m.taken_off + ": A " + shown(m.area_mm2, 0) + " mm2, W across " +
                     shown(m.across_mm3, 0) + ", upright " + shown(m.upright_mm3, 0) + " mm3";
  }

  void frameAtRest() {
    const StructureReport& f = report_.structure;
    line("greatest movement across, " + f.deflection_case,
         "allowed " + mm(f.deflection_limit_mm) +
             (model_.spec.checks.deflection_mm ? "" : ", a fiftieth of the height"),
         mm(f.deflection_mm), "no limit for gates is published");
    for (const StructureWheel& w : f.wheels) {
      line(panelName(w.panel) + "'s " + (w.leading ? "leading" : "trailing") + " wheel, " +
               w.case_name,
           "L / V = " + newtons(std::abs(w.lateral_N)) + " / " + newtons(w.vertical_N) +
               ", held by its groove up to " + shown(w.limit) + " (mu 0.3)" +
               (w.ratio <= w.keeper_limit
                    ? "; its keeper's plate, taking it all, at "
                    : "; its keeper does not catch it; its plate would be at ") +
               shown(100 * w.keeper_use, 0) + " % of its plastic moment",
           w.vertical_N > 0 ? shown(w.ratio) : "lifts", "Nadal");
    }
    for (const StructureAxle& a : f.axles) {
      line(panelName(a.panel) + "'s " + (a.leading ? "leading" : "trailing") + " wheel's axle",
           "M = F (b + 4 c + 2 a) / 8 + S r / 2 = " + shown(a.moment_Nmm / 1000, 1) + " N m, F " +
               newtons(a.weight_N) + ", S " + newtons(a.side_N) + ", b " + mm(a.hub_mm) + ", c " +
               mm(a.gap_mm) + ", a " + mm(a.wall_mm) + "; over 1.5 W f_y, d " + mm(a.diameter_mm) +
               ", f_y " + shown(a.yield_N_mm2, 0) + " N/mm2",
           shown(100 * a.use, 0) + " %", "EN 1993-1-8, 3.13");
    }
    for (const StructureDetail& d : f.details) {
      line(d.name + ", " + d.case_name, d.formula,
           d.bears > 0 ? shown(100 * d.use, 0) + " %" : "nothing bears it", d.source);
    }
    for (const StructureBlock& block : f.blocks) {
      line(panelName(block.panel) + "'s guide block, " + block.case_name, "across the track",
           newtons(block.force_N));
    }
    for (const StructureReceiver& one : f.receivers) {
      line("the " + one.name + ", " + one.case_name, "after " + mm(one.play_mm) + " of play",
           newtons(one.force_N));
    }
    std::string frequencies;
    for (double one : f.frequencies_Hz) {
      frequencies += (frequencies.empty() ? "" : ", ") + shown(one, 2);
    }
    if (!frequencies.empty()) {  // left out where nobody waits for them
      line("natural frequencies, closed", "no receiver touching", frequencies + " Hz");
    }
  }

  const Model& model_;
  const LoadReport& report_;
  std::vector<SheetSection> sections_;
};

}  // namespace

std::vector<SheetSection> calculationSheet(const Model& model, const LoadReport& report) {
  return Sheet(model, report).run();
}

}  // namespace leafstack
