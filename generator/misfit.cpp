// What to relax when a gate does not fit the room, and which arrangements would.
#include <algorithm>
#include <array>

#include "generator/layout.h"
#include "generator/numbers.h"
#include "params/table.h"

namespace leafstack {
namespace {

constexpr std::size_t kMostSuggestions = 5;

struct Arrangement {
  int changes = 0;
  double room_mm = 0;
  std::string text;
};

std::string bindingAdvice(const GateSpec& spec, const Layout& layout) {
  const bool on_post = spec.guides.mount == GuideMount::kPost;
  switch (layout.binding) {
    case Binding::kRack:
      return std::string(
                 "the rack binds: panel 1's bottom rail must reach the pinion when closed; ") +
             (on_post ? "an overhead bracket or reach-over arm moves the motor to the driveway's "
                        "edge, and a narrow motor needs less overrun"
                      : "a narrow motor is shorter and needs less overrun");
    case Binding::kGuide:
      return "the guide binds: panel 1's frame must reach the guide (and its return) when closed; "
             "a narrower channel, less margin or no return shortens it";
    case Binding::kRopeGround:
      return "the ground rope binds: the ground bracket needs pulley inset + bracket clearance (" +
             shown(layout.reach_mm) +
             " mm) to each pulley; a smaller inset or clearance shortens it";
    case Binding::kRopeBracket:
      return "the rope bracket binds: panel 2's bracket must stay " + shown(layout.reach_mm) +
             " mm inside panel 1's trailing end when open; less overlap, inset or clearance "
             "shortens it";
  }
  return "";
}

/// Tries one arrangement; appends it when it lays out and fits.
void tryArrangement(const GateSpec& given, const Layout& layout, const GateSpec& tried,
                    std::vector<Arrangement>& fitting) {
  const LayoutResult result = layOut(tried);
  if (!result.problems.empty() || !result.layout.fits) {
    return;
  }
  Arrangement found;
  const bool stacking_matters = *tried.gate.panels >= 3;
  found.changes = std::abs(*tried.gate.panels - layout.panel_count) +
                  (stacking_matters && tried.gate.stacking != given.gate.stacking) +
                  (tried.guides.mount != given.guides.mount) +
                  (tried.drive.motor.name != given.drive.motor.name);
  found.room_mm = result.layout.room_mm;
  found.text =
      std::to_string(*tried.gate.panels) + (*tried.gate.panels == 1 ? " panel, " : " panels, ");
  if (stacking_matters) {
    found.text += tried.gate.stacking == Stacking::kFlush ? "flush, " : "staggered, ";
  }
  found.text += std::string(nameOf(tried.guides.mount)) + ", " + tried.drive.motor.name +
                " motor: room " + shown(found.room_mm) + " mm";
  fitting.push_back(found);
}

std::vector<Arrangement> fittingArrangements(const GateSpec& spec, const Layout& layout) {
  std::vector<Arrangement> fitting;
  std::vector<MotorSpec> motors = {spec.drive.motor};
  if (spec.drive.motor.name != "narrow") {
    motors.push_back(*catalogueMotor("narrow"));
  }
  for (int count = 1; count <= 4; ++count) {
    for (Stacking stacking : {Stacking::kFlush, Stacking::kStaggered}) {
      if (count < 3 && stacking != spec.gate.stacking) {
        continue;  // stacking only differs from three panels on
      }
      for (GuideMount mount : {GuideMount::kPost, GuideMount::kOverhead, GuideMount::kReachOver}) {
        for (const MotorSpec& motor : motors) {
          GateSpec tried = spec;
          tried.gate.panels = count;
          tried.gate.stacking = stacking;
          tried.guides.mount = mount;
          tried.drive.motor = motor;
          if (spec.ropes.heights_mm) {
            tried.ropes.heights_mm.reset();
          }
          tryArrangement(spec, layout, tried, fitting);
        }
      }
    }
  }
  std::stable_sort(fitting.begin(), fitting.end(), [](const Arrangement& a, const Arrangement& b) {
    return a.changes != b.changes ? a.changes < b.changes : a.room_mm > b.room_mm;
  });
  return fitting;
}

}  // namespace

std::vector<std::string> explainMisfit(const GateSpec& spec, const Layout& layout) {
  std::vector<std::string> lines;
  lines.push_back("the gate needs " + shown(layout.room_mm) + " mm of room beside the opening, " +
                  shown(layout.room_mm - layout.room_given_mm) + " mm more than the " +
                  shown(layout.room_given_mm) + " mm given");
  lines.push_back(bindingAdvice(spec, layout));
  const std::vector<Arrangement> fitting = fittingArrangements(spec, layout);
  if (fitting.empty()) {
    lines.push_back("no arrangement of one to four panels fits this room; the least change is " +
                    shown(layout.room_mm - layout.room_given_mm) + " mm more room");
  }
  for (std::size_t i = 0; i < std::min(kMostSuggestions, fitting.size()); ++i) {
    lines.push_back("would fit: " + fitting[i].text);
  }
  return lines;
}

std::string_view nameOf(GuideMount mount) {
  switch (mount) {
    case GuideMount::kPost:
      return "guide post";
    case GuideMount::kOverhead:
      return "overhead bracket";
    case GuideMount::kReachOver:
      return "reach-over arm";
  }
  return "";
}

}  // namespace leafstack
