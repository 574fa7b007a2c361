// Why rack, pinion and motor could not be put where a gate's layout has them.
#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/layout_parts.h"

namespace leafstack {
namespace {

namespace hw = hardware;
using Problems = std::vector<ProblemToCure>;

constexpr double kPinionOverFootingMm = 0.5;  // own choice: teeth turn, the footing is trowelled

// What may be changed for a pinion or a rack that stands at a wrong height.
void setPinionUp(GateSpec& spec, double value) {
  spec.hardware.motor.pinion_up_mm = value;
}
void setTeeth(GateSpec& spec, double value) {
  spec.hardware.motor.pinion_teeth = value;
}
void setFootingDrop(GateSpec& spec, double value) {
  spec.drive.footing_drop_mm = value;
}
void setPacking(GateSpec& spec, double value) {
  spec.drive.packing_mm = value;
}
void setPulleyThickness(GateSpec& spec, double value) {
  spec.hardware.pulley.thickness_mm = value;
}
void setBracketHeight(GateSpec& spec, double value) {
  spec.hardware.bracket.height_mm = value;
}
void setNutAcross(GateSpec& spec, double value) {
  spec.hardware.terminal.nut_across_mm = value;
}
void setAxleUp(GateSpec& spec, double value) {
  spec.hardware.wheel.axle_up_mm = value;
}
void setRailHeight(GateSpec& spec, double value) {
  spec.gate.bottom_rail.height_mm = value;
}
std::function<void(GateSpec&, double)> lowerRopes(const Layout& layout) {
  return [heights = layout.heights.rope_heights_mm](GateSpec& spec, double value) {
    spec.ropes.heights_mm = heights;
    spec.ropes.heights_mm->front() = value;
  };
}

// As far as the table goes.
constexpr double kLowestPinionMm = 10, kHighestPinionMm = 300, kFewestTeeth = 8;
constexpr double kDeepestFootingMm = 500, kLowestAxleMm = -250, kHighestRailMm = 200;
constexpr double kThinnestPulleyMm = 6, kLowestPartMm = 10;

FigureToTry deeperFooting(const GateSpec& spec, const Layout& layout, const char* before,
                          const char* after) {
  return {before, after, setFootingDrop, std::floor(footingDropMm(spec, layout)), kDeepestFootingMm,
          1};
}

void setFootingDepth(GateSpec& spec, double value) {
  spec.hardware.post.footing_depth_mm = value;
}

/// What lets the motor hold the rack lower, by `over_mm` at least.
std::vector<FigureToTry> lowerRack(const GateSpec& spec, const Layout& layout, double over_mm) {
  std::vector<FigureToTry> tries;
  if (spec.drive.packing_mm && *spec.drive.packing_mm > over_mm) {
    constexpr double kStepMm = 0.1;
    const double from = std::ceil((*spec.drive.packing_mm - over_mm) / kStepMm) * kStepMm;
    tries.push_back({"a packing of at most ", " mm", setPacking, from, 0, kStepMm});
  }
  tries.push_back({"a pinion at most ", " mm over the feet (/hardware/motor/pinion_up_mm)",
                   setPinionUp, std::ceil(spec.hardware.motor.pinion_up_mm), kLowestPinionMm, 1});
  tries.push_back(deeperFooting(spec, layout, "the footing behind the tracks ",
                                " mm below theirs (/drive/footing_drop_mm)"));
  return tries;
}

/// Feet of its own hold a rack, and with it the pinion, where they do.
void checkPinionRoom(const GateSpec& spec, const Layout& layout, Problems& problems) {
  const double room = pinionRoomMm(spec, layout);
  const double offset = spec.hardware.motor.pinion_offset_mm + layout.stack.drive_out_mm;
  if (offset < room - kLengthEqualMm) {
    const double out = std::ceil(room - offset);
    problems.push_back(
        {"/hardware/rack/offset_mm",
         "ropes' ends and pulleys pass the pinion, which has to stand " + shown(room) +
             " mm off the rail's face and stands " + shown(offset) + " mm: on feet that hold it " +
             shown(spec.hardware.rack.offset_mm + out) +
             " mm off (/hardware/motor/pinion_offset_mm and offset_mm with it), or on standoffs"});
  }
}

/// The rack, lower than anything of the rail that would hold it.
void checkRackIsHeld(const GateSpec& spec, const Layout& layout, Problems& problems) {
  const double under = lowestRackMm(spec) - layout.heights.rack_lower_up_mm;
  if (under > kLengthEqualMm) {
    problems.push_back({"/drive/packing_mm",
                        "the rack would be " + shown(layout.heights.rack_lower_up_mm) +
                            " mm above the bottom rail's underside, where nothing of the rail "
                            "holds it: a motor packing of at least " +
                            shown(std::ceil(layout.heights.motor_packing_mm + under)) + " mm"});
  }
}

/// Is it the ropes, which the rack has to clear, that ask for the packing?
bool liftsOverRopes(const GateSpec& spec, const Layout& layout) {
  const double packing = layout.heights.motor_packing_mm;
  return !layout.ropes.empty() && !spec.drive.packing_mm &&
         packing > motorWedgeMm(spec, layout) + kLengthEqualMm;
}

/// The rack, as high as ropes, or a motor given too much packing or too little depth of footing,
/// hold it.
void checkRackHeight(const GateSpec& spec, const Layout& layout, Problems& problems) {
  const double over = layout.heights.rack_lower_up_mm - highestRackMm(spec);
  if (over <= kLengthEqualMm) {
    return;
  }
  if (liftsOverRopes(spec, layout)) {
    const double rope = layout.heights.rope_heights_mm.front();
    const HardwareSpec& shelf = spec.hardware;
    std::vector<FigureToTry> tries = {
        {"ropes at most ", " mm up there", lowerRopes(layout), std::floor(rope), 0, 1},
        {"pulleys at most ", " mm thick (/hardware/pulley/thickness_mm)", setPulleyThickness,
         std::ceil(shelf.pulley.thickness_mm), kThinnestPulleyMm, 1},
        {"a bottom rail at least ", " mm high (/gate/bottom_rail)", setRailHeight,
         std::floor(spec.gate.bottom_rail.height_mm), kHighestRailMm, 1}};
    if (shelf.bracket.height_mm) {
      tries.push_back({"brackets at most ", " mm high (/hardware/bracket/height_mm)",
                       setBracketHeight, std::ceil(*shelf.bracket.height_mm), kLowestPartMm, 1});
    }
    if (shelf.terminal.nut_across_mm) {
      tries.push_back({"nuts at most ", " mm over flats (/hardware/terminal/nut_across_mm)",
                       setNutAcross, std::ceil(*shelf.terminal.nut_across_mm), kLowestPartMm, 1});
    }
    problems.push_back(
        {{"/ropes/heights_mm",
          "panel 1's ropes, " + shown(rope) +
              " mm up, are so high that the rack, which must clear them, would stand " +
              shown(over) + " mm above what the bottom rail holds: "},
         std::move(tries),
         "lower ropes there, or a higher rail (/gate/bottom_rail)"});
    return;
  }
  problems.push_back({spec.drive.packing_mm ? "/drive/packing_mm" : "/drive/footing_drop_mm",
                      "a motor with its pinion " + shown(spec.hardware.motor.pinion_up_mm) +
                          " mm over its feet holds the rack " +
                          shown(layout.heights.rack_lower_up_mm) +
                          " mm above the bottom rail's underside, where a rack of " +
                          shown(spec.hardware.rack.height_mm) + " mm goes up to " +
                          shown(highestRackMm(spec)) + " mm: ",
                      lowerRack(spec, layout, over), "a higher rail (/gate/bottom_rail)"});
}

/// Teeth reach furthest below the pinion's axis; the footing is highest at one end of that reach.
void checkPinionAboveFooting(const GateSpec& spec, const Layout& layout, Problems& problems) {
  const HardwareSpec& shelf = spec.hardware;
  const double module = shelf.rack.module_mm;
  const double tip = pinionPitchRadiusMm(shelf) + module;
  const double near_y = layout.panel(1).front_y_mm + layout.stack.frame_depth_mm +
                        layout.stack.drive_out_mm + shelf.motor.pinion_offset_mm;
  double over = std::numeric_limits<double>::infinity();
  for (const int strip : {1, kRearStrip}) {
    const bool is_rear = strip == kRearStrip;
    const double edge = layout.ground.rear_strip_y_mm;
    if (is_rear ? near_y + shelf.motor.pinion_width_mm <= edge : near_y >= edge) {
      continue;
    }
    for (const double x : {-tip, 0.0, tip}) {
      const double drop = tip - std::sqrt(tip * tip - x * x);
      over = std::min(over,
                      pinionZ(layout) + drop - footingZ(spec, layout, strip, layout.pinion_mm + x));
    }
  }
  const double into = tip + kPinionOverFootingMm - over;
  if (into <= kLengthEqualMm) {
    return;
  }
  problems.push_back({"/hardware/motor/pinion_up_mm",
                      "a pinion of " + shown(shelf.motor.pinion_teeth) + " teeth is " +
                          shown(2 * tip) + " mm over its tips, and its axis stands " + shown(over) +
                          " mm above the footing: a pinion ",
                      {{"at least ", " mm over the motor's feet", setPinionUp,
                        std::floor(shelf.motor.pinion_up_mm), kHighestPinionMm, 1},
                       {"of at most ", " teeth (/hardware/motor/pinion_teeth)", setTeeth,
                        shelf.motor.pinion_teeth, kFewestTeeth, 1},
                       deeperFooting(spec, layout, "over a footing ",
                                     " mm below the tracks' (/drive/footing_drop_mm)"),
                       {"on a gate whose axles are at most ", " mm up (/hardware/wheel/axle_up_mm)",
                        setAxleUp, std::ceil(shelf.wheel.axle_up_mm), kLowestAxleMm, 1}},
                      "of a smaller module (/hardware/rack/module_mm)"});
}

/// Feet of a rack are screwed to the rail's flat: above it there is only the corner.
void checkRackFeet(const GateSpec& spec, const Layout& layout, Problems& problems) {
  const RackHardware& rack = spec.hardware.rack;
  if (rack.fixing != RackFixing::kFoot) {
    return;
  }
  const HollowSection& rail = spec.gate.bottom_rail;
  const double top = layout.heights.rack_lower_up_mm + rack.height_mm +
                     (rack.foot_up_mm + rack.slot_height_mm) / 2;
  // Corners of an extruded rail are nearly sharp: there the top wall ends it.
  const double flat =
      std::min(holeZone(rail).high_mm, rail.height_mm - rail.wall_mm - kHoleInFlatMm);
  if (top > flat + kLengthEqualMm) {
    problems.push_back({"/hardware/motor/pinion_up_mm",
                        "the rack's feet are screwed " + shown(top) +
                            " mm up the bottom rail, whose flat ends at " + shown(flat) + " mm: ",
                        lowerRack(spec, layout, top - flat), "a higher rail (/gate/bottom_rail)"});
  }
}

/// The channel that stands over the motor, on a low gate.
void checkMotorUnderGuide(const GateSpec& spec, const Layout& layout, Problems& problems) {
  const GuideLayout& guide = layout.guides.front();
  const double half = spec.guides.channel_width_mm / 2 * guide.channelCosine();
  const double lean = std::abs(guide.channel_grade) * half;
  const double motor_end = layout.motor_start_mm + spec.drive.motor.length_mm;
  const bool over =
      guide.x_mm + half + lean > layout.motor_start_mm && guide.x_mm - half - lean < motor_end &&
      layout.stack.post_gap_mm > spec.hardware.motor.offset_mm + layout.stack.drive_out_mm;
  const double low = guide.z_mm + guide.channel_low_mm * guide.channelCosine() - lean;
  const double top = pinionZ(layout) - spec.hardware.motor.pinion_up_mm -
                     layout.heights.motor_raise_mm + spec.hardware.motor.height_mm +
                     spec.hardware.motor.adjust_mm;
  if (over && low < top + hw::kHardwareClearanceMm) {
    problems.push_back(
        {"/gate/height_mm", "the guide channel would reach down to " + shown(low - top) +
                                " mm above the motor, which stands under it: take a higher gate, a "
                                "shorter motor or a larger gap before it (/drive/motor_gap_mm)"});
  }
}

/// On a slope the motor stands level on wedges: with little packing one would run out to nothing
/// before its end.
void checkMotorPacking(const GateSpec& spec, const Layout& layout, Problems& problems) {
  const MotorPacking packing = motorPacking(spec, layout);
  const bool is_none = packing.most() <= kLengthEqualMm;  // in the footing: a clash, told as such
  if (is_none || packing.isFlat() || packing.least() >= kThinnestWedgeEndMm - kLengthEqualMm) {
    return;
  }
  constexpr double kPerMm = 10;  // figures are given in tenths
  const double short_mm = (kThinnestWedgeEndMm - packing.least()) * layout.panel(1).cosine();
  const double least = std::ceil((layout.heights.motor_packing_mm + short_mm) * kPerMm) / kPerMm;
  problems.push_back({"/drive/packing_mm",
                      "motor packing " + shown(layout.heights.motor_packing_mm) +
                          " mm leaves the packer " + shown(packing.near_mm) +
                          " mm thick at the motor's driveway end and " + shown(packing.far_mm) +
                          " mm at the other: allowed from " + shown(least) +
                          " mm, where its thin end is " + shown(kThinnestWedgeEndMm) +
                          " mm; nearest " + shown(least) + " mm"});
}

/// Cast in steps the footing's two strips still are one.
void checkFootingSteps(const GateSpec& spec, const Layout& layout, Problems& problems) {
  constexpr double kLeastSharedMm = 50;  // of their height. Own choice
  const double drop = footingDropMm(spec, layout);
  const double depth = spec.hardware.post.footing_depth_mm;
  if (drop <= std::max(0.0, depth - kLeastSharedMm) + kLengthEqualMm) {
    return;
  }
  std::vector<FigureToTry> tries = {
      {"a footing at least ", " mm deep (/hardware/post/footing_depth_mm)", setFootingDepth,
       std::floor(depth), kDeepestFootingMm + kLeastSharedMm, 1},
      {"a pinion at most ", " mm over the motor's feet (/hardware/motor/pinion_up_mm)", setPinionUp,
       std::ceil(spec.hardware.motor.pinion_up_mm), kLowestPinionMm, 1}};
  if (spec.drive.footing_drop_mm) {
    tries.push_back({"a drop of at most ", " mm", setFootingDrop, std::ceil(drop), 0, 1});
  }
  problems.push_back({"/drive/footing_drop_mm",
                      "the footing behind the tracks, " + shown(drop) +
                          " mm below theirs, hardly meets it, which is " + shown(depth) +
                          " mm deep: ",
                      std::move(tries), "a deeper footing (/hardware/post/footing_depth_mm)"});
}

}  // namespace

std::vector<ProblemToCure> curableProblems(const GateSpec& spec, const Layout& layout) {
  Problems problems = driveProblems(spec, layout);
  for (ProblemToCure& one : footProblems(spec, layout)) {
    problems.push_back(std::move(one));
  }
  return problems;
}

std::vector<ProblemToCure> driveProblems(const GateSpec& spec, const Layout& layout) {
  Problems problems;
  checkRackHeight(spec, layout, problems);
  checkRackIsHeld(spec, layout, problems);
  checkPinionRoom(spec, layout, problems);
  checkPinionAboveFooting(spec, layout, problems);
  checkRackFeet(spec, layout, problems);
  checkFootingSteps(spec, layout, problems);
  checkMotorUnderGuide(spec, layout, problems);
  checkMotorPacking(spec, layout, problems);
  return problems;
}

}  // namespace leafstack
