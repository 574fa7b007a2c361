#include "generator/compare/arrangement.h"

#include <algorithm>
#include <cmath>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/layout.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {

std::string_view ArrangementChoice::motorName() const {
  return motor.name == "custom" ? "given" : std::string_view(motor.name);
}

bool Arrangement::has(Hazard hazard) const {
  return std::find(hazards.begin(), hazards.end(), hazard) != hazards.end();
}

std::string_view toString(Stacking stacking) {
  return stacking == Stacking::kFlush ? "flush" : "staggered";
}

std::string_view toString(GuideMount mount) {
  switch (mount) {
    case GuideMount::kPost:
      return "post";
    case GuideMount::kOverhead:
      return "overhead";
    case GuideMount::kReachOver:
      return "reach-over";
  }
  return "";
}

std::string_view idOf(Hazard hazard) {
  switch (hazard) {
    case Hazard::kRunsAway:
      return "runs-away";
    case Hazard::kMotorWeak:
      return "motor-weak";
    case Hazard::kRopeWeak:
      return "rope-weak";
    case Hazard::kBracketShows:
      return "bracket-in-view";
  }
  return "";
}

std::string_view meaningOf(Hazard hazard) {
  switch (hazard) {
    case Hazard::kRunsAway:
      return "runs by itself when released on its slope";
    case Hazard::kMotorWeak:
      return "motor too weak to start it";
    case Hazard::kRopeWeak:
      return "ropes too weak";
    case Hazard::kBracketShows:
      return "overhead bracket in view above the fence";
  }
  return "";
}

std::string hazardText(const GateSpec& spec, const Arrangement& arrangement, Hazard hazard) {
  const DriveNeed& drive = arrangement.drive;
  switch (hazard) {
    case Hazard::kRunsAway:
      return "released on its slope it runs by itself, the front panel up to " +
             std::to_string(arrangement.choice.panels) + " times as fast as the back one";
    case Hazard::kMotorWeak:
      return "to start it takes " + shown(drive.required_force_N, 0) + " N, the motor gives " +
             shown(*drive.motor_force_N, 0) + " N";
    case Hazard::kRopeWeak:
      return "a rope's safety is " + shown(*drive.rope_safety, 1) + ", less than the " +
             shown(spec.checks.rope_safety, 1) + " asked for";
    case Hazard::kBracketShows:
      return "the overhead bracket stands " + shown(*arrangement.bracket_over_fence_mm, 0) +
             " mm above the fence, in view from the road";
  }
  return "";
}

std::string nameOf(const ArrangementChoice& choice) {
  std::string text = std::to_string(choice.panels);
  text += choice.panels == 1 ? " panel, " : " panels, ";
  if (choice.panels >= 3) {
    text += std::string(toString(choice.stacking)) + ", ";
  }
  text += std::string(nameOf(choice.mount)) + ", ";
  return text + std::string(choice.motorName()) + " motor";
}

std::vector<ArrangementChoice> choicesFor(const GateSpec& spec) {
  std::vector<NamedMotor> motors;
  if (spec.motors) {
    motors = *spec.motors;
  }
  if (motors.empty() || spec.drive.motor.name == "custom") {
    motors.push_back({spec.drive.motor, spec.hardware.motor});
  }
  std::vector<ArrangementChoice> choices;
  for (int panels = 1; panels <= kMostPanels; ++panels) {
    for (const Stacking stacking : {Stacking::kFlush, Stacking::kStaggered}) {
      if (panels < 3 && stacking == Stacking::kStaggered) {
        continue;
      }
      for (const GuideMount mount :
           {GuideMount::kPost, GuideMount::kOverhead, GuideMount::kReachOver}) {
        for (const NamedMotor& motor : motors) {
          choices.push_back({panels, stacking, mount, motor.drive, motor.body});
        }
      }
    }
  }
  return choices;
}

void applyChoice(const GateSpec& given, const ArrangementChoice& choice, GateSpec& tried) {
  tried.gate.panels = choice.panels;
  tried.gate.stacking = choice.stacking;
  tried.guides.mount = choice.mount;
  tried.drive.motor = choice.motor;
  tried.hardware.motor = choice.body;
  const auto& heights = given.ropes.heights_mm;
  const auto& drops = given.guides.drop_mm;
  const auto count = static_cast<std::size_t>(choice.panels);
  tried.ropes.heights_mm.reset();
  if (heights && heights->size() + 1 == count) {
    tried.ropes.heights_mm = heights;
  }
  tried.guides.drop_mm.reset();
  if (drops && drops->size() == count) {
    tried.guides.drop_mm = drops;
  }
}

std::vector<std::string> overridesOf(const GateSpec& given, const ArrangementChoice& choice) {
  std::vector<std::string> sets = {"/gate/panels=" + std::to_string(choice.panels),
                                   "/gate/stacking=" + std::string(toString(choice.stacking)),
                                   "/guides/mount=" + std::string(toString(choice.mount))};
  if (choice.motorName() != "given") {
    sets.push_back("/drive/motor=" + choice.motor.name);
  }
  const auto count = static_cast<std::size_t>(choice.panels);
  if (given.ropes.heights_mm && given.ropes.heights_mm->size() + 1 != count) {
    sets.push_back("/ropes/heights_mm=auto");
  }
  if (given.guides.drop_mm && given.guides.drop_mm->size() != count) {
    sets.push_back("/guides/drop_mm=auto");
  }
  return sets;
}

std::vector<std::string> overridesOf(const GateSpec& given, const Arrangement& made) {
  std::vector<std::string> sets = overridesOf(given, made.choice);
  for (const ChosenValue& one : made.sections) {
    sets.push_back(one.pointer + "=" + one.value);
  }
  return sets;
}

}  // namespace leafstack
