#include "generator/verdict/load_warnings.h"

#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/loads/loads_parts.h"
#include "generator/verdict/post_warnings.h"
#include "generator/verdict/ratings.h"
#include "params/catalogue/catalogue.h"
#include "params/table/hardware_rows.h"

namespace leafstack {
namespace {

// A lag at the latch that a catch plate's lead-in still takes; common practice, no source.
constexpr double kMostLagMm = 5;
// From this safety on a rope's permanent stretch is the least (row W13): thickness does not help.
constexpr double kStretchesLeast = 8;
// Rope sizes that are easily bought, row W1's.
constexpr double kRopeSizesMm[] = {2, 3, 4, 5, 6};
// Of the edge of a hold-to-run gate (row S4).
constexpr double kFastEdge_mm_s = 500;
constexpr const char* kPulleyToo =
    " (give inset and bracket clearance to suit; the clash check says whether the drive clears "
    "them)";

class LoadWarnings {
 public:
  LoadWarnings(const Model& model, const LoadReport& report)
      : spec_(model.spec), layout_(model.layout), report_(report) {}

  std::vector<Warning> run() {
    warnAboutRopes();
    warnAboutWheels();
    warnAboutDrive();
    warnAboutRunaway();
    warnAboutStructure();
    warnAboutRatings();
    return std::move(warnings_);
  }

 private:
  void add(const char* id, std::string text, const char* where) {
    warnings_.push_back({id, std::move(text), where});
  }

  /// The last warning makes the gate not ready.
  void condemn(Against against, std::string in_short, double times_allowed = 0) {
    warnings_.back().against = against;
    warnings_.back().in_short = std::move(in_short);
    warnings_.back().times_allowed = times_allowed;
    warnings_.back().excess = std::max(times_allowed - 1, 0.0);
  }

  static std::string nameOf(const RopeRow& row) {
    std::string name = row.opening ? "the opening rope " : "the closing rope ";
    name += row.mark;
    name += " of panel ";
    return name + std::to_string(row.carrier);
  }

  void warnAboutRopes() {
    const RopeRow* weakest = nullptr;
    const RopeRow* longest = nullptr;
    double pulley_N = 0;
    for (const RopeRow& row : report_.ropes) {
      if (row.safety && (weakest == nullptr || *row.safety < *weakest->safety)) {
        weakest = &row;
      }
      if (longest == nullptr || row.adjuster_needed_mm > longest->adjuster_needed_mm) {
        longest = &row;
      }
      pulley_N = std::max(pulley_N, row.pulley_load_N);
    }
    if (longest == nullptr) {
      return;
    }
    if (weakest != nullptr && *weakest->safety < spec_.checks.rope_safety) {
      add("rope-weak",
          nameOf(*weakest) + " works at " + shown(weakest->working_tension_N, 0) + " N (" +
              weakest->working_case + ") and breaks at " + shown(weakest->breaking_force_N, 0) +
              " N, " + shown(100 * weakest->termination_efficiency) +
              " % of it in its terminations. That is a safety of " + shown(*weakest->safety) +
              ", less than the " + shown(spec_.checks.rope_safety) + " asked for. " +
              thickerRope(*weakest),
          "/ropes/diameter_mm");
      condemn(Against::kStrength, "rope " + weakest->mark + " too weak",
              spec_.checks.rope_safety / *weakest->safety);
    }
    warnAboutBending(report_.ropes.front());
    warnAboutLoops(report_.ropes.front());
    const double rated = ratedLoad_N("rope pulley");
    if (!spec_.hardware.pulley.bought.rating_N && pulley_N > rated) {
      add("pulley-overload",
          "a rope pulley carries up to " + shown(pulley_N, 0) + " N, more than the " +
              shown(rated, 0) +
              " N of the generic one. Take a heavier pulley and bolt, or lighter panels",
          "/ropes");
      condemn(Against::kStrength, "rope pulleys overloaded", pulley_N / rated);
    }
    if (longest->adjuster_needed_mm > longest->adjuster_mm) {
      add("adjuster-short",
          nameOf(*longest) + " will stretch " + shown(longest->permanent_stretch_mm, 1) +
              " mm for good. Its adjuster of " + shown(longest->adjuster_mm, 1) +
              " mm, set mid-way, should have " + shown(longest->adjuster_needed_mm, 1) +
              " mm of thread or more" +
              (longest->safety.value_or(kStretchesLeast) < kStretchesLeast
                   ? "; a thicker rope stretches less"
                   : ""),
          "/ropes/adjuster_mm");
    }
    if (report_.drive.lag_start_mm > kMostLagMm) {
      add("rope-lag",
          "closing, the front panel lags " + shown(report_.drive.lag_start_mm, 1) +
              " mm behind when starting and " + shown(report_.drive.lag_moving_mm, 1) +
              " mm when moving, by the ropes' stretch. A thicker rope or a gentler start helps",
          "/ropes/diameter_mm");
    }
  }

  void warnAboutLoops(const RopeRow& row) {
    if (spec_.ropes.termination == RopeTermination::kSwaged ||
        spec_.hardware.terminal.kind == TerminalKind::kEye) {
      return;
    }
    add("loops-not-drawn",
        row.termination +
            " at the ropes' ends are not drawn: the solids show swaged terminals, and the clash "
            "check knows of no loop. Each takes about " +
            shown((row.order_length_mm - row.length_mm) / 2, 0) +
            " mm of rope past its bracket. Take eyes (hardware.terminal.kind)",
        "/ropes/termination");
  }

  /// The least size that is strong enough, and the pulley that goes with it.
  std::string thickerRope(const RopeRow& weak) const {
    for (double size : kRopeSizesMm) {
      RopeSpec thicker = spec_.ropes;
      thicker.diameter_mm = size;
      const double breaking = ropeClass(thicker).breaking_factor * size * size *
                              ropeGrade_N_mm2(spec_.ropes) * terminationOf(thicker).efficiency;
      if (size > spec_.ropes.diameter_mm &&
          breaking >= spec_.checks.rope_safety * weak.working_tension_N) {
        return "A rope of " + shown(size) + " mm has " + shown(breaking / weak.working_tension_N) +
               ", with pulleys of " + shown(size * (weak.desired_bend_ratio + 1)) +
               " mm pitch diameter" + kPulleyToo;
      }
    }
    return "No rope up to " + shown(*std::rbegin(kRopeSizesMm)) +
           " mm is enough: lighter panels, or a gentler start";
  }

  void warnAboutBending(const RopeRow& row) {
    if (row.bend_ratio >= row.desired_bend_ratio || row.isBentNearlyAsDesired()) {
      return;
    }
    const double pitch = (row.bend_ratio + 1) * row.diameter_mm;
    const bool too_sharp = row.bend_ratio < row.least_bend_ratio;
    std::string cure = "Pulleys of " + shown((row.desired_bend_ratio + 1) * row.diameter_mm) +
                       " mm pitch diameter cure it" + kPulleyToo;
    const double thinner = pitch / (row.desired_bend_ratio + 1);
    const auto beyond = std::upper_bound(std::begin(kRopeSizesMm), std::end(kRopeSizesMm), thinner);
    if (beyond != std::begin(kRopeSizesMm)) {
      cure += ". So does a rope of " + shown(*std::prev(beyond)) + " mm, where it is strong enough";
    }
    RopeSpec pliant = spec_.ropes;
    pliant.construction = RopeConstruction::k7x19;
    if (spec_.ropes.construction == RopeConstruction::k7x7 &&
        row.bend_ratio >= ropeClass(pliant).desired_bend_ratio) {
      cure += ". So does a 7x19 rope, which bends more readily";
    }
    add("bend-ratio",
        "pulley to rope ratio " + shown(row.bend_ratio) + " (groove's bottom) is below the " +
            shown(row.desired_bend_ratio) + " desired" +
            (too_sharp
                 ? " and the least of " + shown(row.least_bend_ratio) + ": the rope will not last"
                 : std::string()) +
            " (rope makers' tables). " + cure,
        "/ropes/pulley_pitch_mm");
  }

  /// Against what the shelf says; what it leaves out is told once, where it is somebody's own.
  void warnAboutRatings() {
    std::string missing;
    bool is_rated = false;
    for (const RatedLoad& one : ratedLoads(spec_, report_)) {
      is_rated = is_rated || one.rated_N;
      const BoughtItem& item = *boughtItem(spec_.hardware, one.group);
      if (one.isOver()) {
        const std::string id = std::string(one.group) + "-overload";
        add(id.c_str(),
            std::string(one.what) + " carries up to " + shown(one.load_N, 0) +
                " N, more than the " + shown(*one.rated_N, 0) + " N that " +
                (item.item.empty() ? "it" : item.item) +
                " is rated for. Take one that carries as much, or lighter panels",
            one.pointer);
        condemn(Against::kStrength, std::string(one.what) + " overloaded",
                one.load_N / *one.rated_N);
      } else if (!one.rated_N) {
        missing += (missing.empty() ? "" : ", ") + std::string(one.what) + " (up to " +
                   shown(one.load_N, 0) + " N)";
      }
    }
    if (!missing.empty() && (is_rated || spec_.hardware.is_users)) {
      add("ratings-missing",
          "no rating is given for " + missing +
              ". Type rating_N from the supplier's sheet, so that they are judged by it",
          "/hardware");
    }
  }

  void warnAboutWheels() {
    const double rated = ratedLoad_N("track wheel");
    for (const PanelLoad& panel : report_.panels) {
      const double most = std::max(panel.leading_wheel_N, panel.trailing_wheel_N);
      const std::string name = "panel " + std::to_string(panel.number);
      if (!spec_.hardware.wheel.bought.rating_N && most > rated) {
        add("wheel-overload",
            name + "'s wheels carry up to " + shown(most, 0) + " N, more than the " +
                shown(rated, 0) + " N of the generic one. Take heavier wheels, or lighter panels",
            "/gate");
        condemn(Against::kStrength, name + "'s wheels overloaded", most / rated);
      }
      if (std::min(panel.leading_wheel_N, panel.trailing_wheel_N) < 0) {
        add("wheel-lifts",
            name + "'s weight stands beyond its wheels: it would tip along the track", "/gate");
        condemn(Against::kTrack, name + " tips off its wheels");
        warnings_.back().is_hazard = true;
      }
    }
  }

  void warnAboutDrive() {
    const DriveRow& drive = report_.drive;
    const double wanted = std::max(drive.required_force_N, drive.braking_force_N);
    if (drive.front_speed_mm_s > kFastEdge_mm_s) {
      add("front-edge-fast",
          "the front panel's edge runs at up to " + shown(drive.front_speed_mm_s, 0) +
              " mm/s, more than the " + shown(kFastEdge_mm_s, 0) +
              " mm/s that hold-to-run gates keep below. " +
              shown(spec_.drive.speed_mm_s * kFastEdge_mm_s / drive.front_speed_mm_s, 0) +
              " mm/s at the drive would keep to it",
          "/drive/speed_mm_s");
    }
    if (drive.motor_force_N && wanted > *drive.motor_force_N) {
      add("motor-weak",
          "the " + drive.motor + " motor gives " + shown(*drive.motor_force_N, 0) +
              " N at its pinion, and " + shown(wanted, 0) + " N are needed " +
              (wanted == drive.required_force_N ? "to start" : "to slow down") +
              " at the worst point. Take one of at least that" +
              (drive.moving.forces.drive_N < *drive.motor_force_N ? ", or a gentler start" : "") +
              ". Moving takes " + shown(drive.force_N, 0) + " N",
          "/drive/motor");
      condemn(Against::kDrive, "the motor is too weak", wanted / *drive.motor_force_N);
    }
  }

  void warnAboutRunaway() {
    for (const Runaway& runaway : report_.drive.runaways) {
      add("runs-by-gravity",
          (runaway.opens ? "hazard: released, the gate would run open"
                         : "hazard: released, the gate would run shut") +
              std::string(" on its own, pushed by ") +
              (runaway.force_N < 1 ? "less than 1" : "up to " + shown(runaway.force_N, 0)) +
              " N, and reach " + shown(runaway.speed_mm_s, 0) + " mm/s at the drive, " +
              shown(runaway.speed_mm_s * layout_.panel_count, 0) +
              " mm/s at the front panel. The drive must hold at least " +
              shown(report_.drive.holding_force_N, 0) + " N when it is off (" +
              (spec_.hardware.motor.self_locking ? "the shelf says that its gear locks itself"
                                                 : "a self-locking gear or a brake") +
              "). Guard its release",
          "/site/grade");
      warnings_.back().is_hazard = true;
      if (!spec_.hardware.motor.self_locking) {
        warnings_.back().proviso = "its drive holds " + shown(report_.drive.holding_force_N, 0) +
                                   " N when off (released, it runs " +
                                   (runaway.opens ? "open" : "shut") + " by itself)";
      }
    }
  }

  static std::string nameOf(const StructureMember& member) {
    return (member.panel > 0 ? "panel " + std::to_string(member.panel) + "'s " : "the ") +
           member.name;
  }

  void warnAboutStructure() {
    const StructureReport& structure = report_.structure;
    if (!structure.problem.empty()) {
      add("frame-unknown",
          "no frame could be made of this gate (" + structure.problem +
              "): whether it stands in the wind is not known",
          "/gate");
      condemn(Against::kStrength, "its frame could not be judged");
      return;
    }
    warnAboutMembers();
    for (const StructurePost& post : structure.posts) {
      if (post.plate_use.value_or(0) > 1) {
        add("plate-overload",
            "the base plate of the " + post.name + " reaches " + shown(100 * *post.plate_use, 0) +
                " % of its plastic moment (" + post.case_name + ", factors included). " +
                shown(spec_.hardware.post.plate_mm * std::sqrt(*post.plate_use), 1) +
                " mm of plate would do, or anchors nearer to the post",
            "/hardware/post/plate_mm");
        condemn(Against::kStrength, "the " + post.name + "'s base plate overloaded",
                *post.plate_use);
      }
    }
    warnAboutHolding();
    warnAboutAxles();
    if (structure.deflection_mm > structure.deflection_limit_mm) {
      add("frame-soft",
          "the frame moves " + shown(structure.deflection_mm, 0) + " mm across the track (" +
              structure.deflection_case + "), more than the " +
              shown(structure.deflection_limit_mm, 0) +
              " mm allowed (checks.deflection_mm; no limit for gates is published)",
          "/checks/deflection_mm");
      condemn(Against::kStrength,
              "the frame gives " + shown(structure.deflection_mm, 1) + " mm of " +
                  shown(structure.deflection_limit_mm, 1) + " allowed",
              structure.deflection_mm / structure.deflection_limit_mm);
    }
    warnAboutTrack();
  }

  /// Receivers' plates, and welds; keepers' plates: warnAboutTrack().
  void warnAboutHolding() {
    for (const StructurePlate& plate : report_.structure.plates) {
      const bool is_top = plate.name.find("top receiver") != std::string::npos;
      const bool is_bottom = plate.name.find("bottom receiver") != std::string::npos;
      const bool is_ears = plate.name.find("ears") != std::string::npos;
      if (plate.use > 1 && is_ears) {
        add("plate-overload",
            plate.name + ", reach " + shown(100 * plate.use, 0) +
                " % of their plastic moment under " + shown(plate.force_N, 0) +
                " N, factors included (" + plate.case_name + "). " +
                shown(plate.thick_mm * std::sqrt(plate.use), 1) + " mm of plate would do",
            "/hardware/post/plate_mm");
        condemn(Against::kStrength, "the overhead bracket plate's ears overloaded", plate.use);
      }
      if (plate.use > 1 && (is_top || is_bottom)) {
        add("receiver-overload",
            plate.name + " reaches " + shown(100 * plate.use, 0) +
                " % of its plastic moment under " + shown(plate.force_N, 0) +
                " N, factors included (" + plate.case_name + "). " +
                shown(plate.thick_mm * std::sqrt(plate.use), 1) +
                " mm of plate would do, or a wider one",
            is_top ? "/hardware/receiver/plate_mm" : "/hardware/stop/catch_plate_mm");
        condemn(Against::kStrength, plate.name + " overloaded", plate.use);
      }
    }
    for (const StructureWeld& weld : report_.structure.welds) {
      if (weld.use > 1) {
        const bool is_keeper = weld.name.find("keeper") != std::string::npos;
        const bool is_plate = weld.name.find("base plate") != std::string::npos;
        add("weld-overload",
            weld.name + ", of " + shown(weld.leg_mm) + " mm leg, would bear " +
                shown(weld.line_N_mm, 0) + " N on each mm, " + shown(100 * weld.use, 0) +
                " % of its strength (" + weld.case_name +
                ", factors included). Longer or thicker parts take a heavier weld",
            is_keeper  ? "/hardware/keeper/length_mm"
            : is_plate ? "/hardware/post"
                       : "/hardware/stop/catch_post_mm");
        condemn(Against::kStrength, weld.name + " overloaded", weld.use);
      }
    }
  }

  /// Of all wheels' axles the worst.
  void warnAboutAxles() {
    const auto& axles = report_.structure.axles;
    const auto worst = std::max_element(
        axles.begin(), axles.end(),
        [](const StructureAxle& p, const StructureAxle& q) { return p.use < q.use; });
    if (worst == axles.end() || worst->use <= 1) {
      return;
    }
    const std::string name = "panel " + std::to_string(worst->panel) + "'s " +
                             (worst->leading ? "leading" : "trailing") + " wheel's axle";
    add("axle-overload",
        name + " reaches " + shown(100 * worst->use, 0) + " % of what it bears as a pin of " +
            shown(worst->yield_N_mm2, 0) + " N/mm2, factors included (EN 1993-1-8, 3.13). One of " +
            shown(worst->diameter_mm * std::cbrt(worst->use), 1) +
            " mm would do, or a rail less deep",
        "/hardware/wheel/axle_mm");
    condemn(Against::kStrength, name + " overloaded", worst->use);
  }

  void warnAboutMembers() {
    std::vector<const StructureMember*> over;
    for (const StructureMember& member : report_.structure.members) {
      if (member.use > 1) {
        over.push_back(&member);
      }
    }
    if (over.empty()) {
      return;
    }
    std::stable_sort(over.begin(), over.end(),
                     [](const auto* p, const auto* q) { return p->use > q->use; });
    std::string text = "too much in the wind assumed (" +
                       shown(report_.wind.velocity_pressure_Pa, 0) + " Pa, " + report_.wind.basis +
                       ") or under a push, factors included";
    for (const StructureMember* member : over) {
      text += ". At " + shown(100 * member->use, 0) + " % of what it bears: " + nameOf(*member) +
              " (" + member->case_name + ")";
    }
    const std::string& worst = over.front()->name;
    add("member-overload", text + ". Heavier sections or a more open infill help",
        over.front()->panel == 0                   ? "/guides/post_mm"
        : worst.find("stile") != std::string::npos ? "/gate/stile"
        : worst.find("top") != std::string::npos   ? "/gate/top_rail"
        : worst.find("rail") != std::string::npos  ? "/gate/bottom_rail"
                                                   : "/gate/infill");
    condemn(
        Against::kStrength,
        nameOf(*over.front()) + " at " + shown(100 * over.front()->use, 0) + " % of what it bears",
        over.front()->use);
    warnings_.back().excess = 0;
    for (const StructureMember* member : over) {
      warnings_.back().excess += member->use - 1;
    }
  }

  /// A wheel that neither its groove nor its keeper holds.
  void warnAboutTrack() {
    const StructureWheel* worst = nullptr;
    for (const StructureWheel& wheel : report_.structure.wheels) {
      if (!isHeld(wheel) && (worst == nullptr || wheel.ratio > worst->ratio)) {
        worst = &wheel;
      }
    }
    if (worst == nullptr) {
      return;
    }
    const std::string name = "panel " + std::to_string(worst->panel) + "'s " +
                             (worst->leading ? "leading" : "trailing") + " wheel";
    add("leaves-track",
        "hazard: " + name +
            (worst->vertical_N > 0
                 ? " is pushed sideways with " + shown(std::abs(worst->lateral_N), 0) +
                       " N under " + shown(worst->vertical_N, 0) + " N of weight, " +
                       shown(worst->ratio) + " times it, and its groove holds " +
                       shown(worst->limit) + " times"
                 : " is lifted off its track with " + shown(-worst->vertical_N, 0) + " N") +
            " (" + worst->case_name + ", no factors). " +
            (worst->climbs_at_m_s
                 ? "It would climb out in a gust of " + shown(*worst->climbs_at_m_s, 0) + " m/s. "
                 : "") +
            (worst->ratio > worst->keeper_limit
                 ? "Its keeper's plates do not catch it: they stand beside a part of the track "
                   "that leans, or too far off. A bar in a deep groove is caught by plates that "
                   "end below its middle, an angle by plates beside a flat that it is welded on "
                   "(hardware.track.flat_mm)"
                 : "Its keeper's plates reach " + shown(100 * worst->keeper_use, 0) +
                       " % of their plastic moment. Thicker or longer ones hold it"),
        "/hardware/keeper");
    warnings_.back().is_hazard = true;
    condemn(Against::kTrack, name + " leaves its track",
            worst->ratio > worst->keeper_limit ? worst->ratio / worst->limit : worst->keeper_use);
  }

  const GateSpec& spec_;
  const Layout& layout_;
  const LoadReport& report_;
  std::vector<Warning> warnings_;
};

}  // namespace

std::vector<Warning> loadWarnings(const Model& model, const LoadReport& report) {
  std::vector<Warning> warnings = LoadWarnings(model, report).run();
  for (Warning& warning : postWarnings(model, report.structure)) {
    warnings.push_back(std::move(warning));
  }
  return warnings;
}

}  // namespace leafstack
