#include "params/table/shelf_rules.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr double kAny = std::numeric_limits<double>::infinity();
// Metal left beside a groove, a hole or a bore (own choice: less is no part one would make).
constexpr double kRim_mm = 1;
constexpr double kEdge_mm = 2;
// A pinion's teeth stand on a rim about its shaft: root diameter m (z - 2.5), common practice.
constexpr double kRootBelowPitch = 2.5;
// Half a millimetre wider than the bar, as the wheel is drawn.
constexpr double kGrooveOverBar_mm = 0.5;

std::string mm(double value) {
  return formatFigure(value) + " mm";
}

void addWheelRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const WheelHardware& wheel = shelf.wheel;
  const double bar = shelf.track.size_mm;
  rules.push_back(
      {{"/hardware/wheel/outside_mm", "/hardware/wheel/running_mm", "/hardware/track/size_mm"},
       wheel.outside_mm,
       wheel.running_mm + 2 * kRim_mm,
       wheel.running_mm + bar,
       "a wheel of " + mm(wheel.outside_mm) + " that runs on " + mm(wheel.running_mm) +
           " has no groove that a bar of " + mm(bar) + " goes into"});
  // Across the groove at the wheel's outside.
  const double groove = bar / 2 + kGrooveOverBar_mm;
  const double off = wheel.running_mm / 2 + groove - wheel.outside_mm / 2;
  const double across = 2 * std::sqrt(std::max(0.0, groove * groove - off * off));
  rules.push_back({{"/hardware/wheel/width_mm", "/hardware/wheel/outside_mm",
                    "/hardware/wheel/running_mm", "/hardware/track/size_mm"},
                   wheel.width_mm,
                   across + 2 * kRim_mm,
                   kAny,
                   "a wheel " + mm(wheel.width_mm) + " wide has no rims beside a groove of " +
                       mm(across) + " for a bar of " + mm(bar)});
  rules.push_back({{"/hardware/wheel/axle_mm", "/hardware/wheel/running_mm"},
                   wheel.axle_mm,
                   0,
                   wheel.running_mm - 2 * kEdge_mm - 2 * kRim_mm,
                   "an axle of " + mm(wheel.axle_mm) + " leaves nothing of a wheel that runs on " +
                       mm(wheel.running_mm)});
  rules.push_back(
      {{"/hardware/wheel/axle_head_mm", "/hardware/wheel/axle_mm"},
       wheel.axle_head_mm,
       wheel.axle_mm + 2 * kRim_mm,
       kAny,
       "a head of " + mm(wheel.axle_head_mm) + " does not hold an axle of " + mm(wheel.axle_mm)});
}

void addDriveRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const double teeth = shelf.motor.pinion_teeth;
  rules.push_back({{"/hardware/motor/pinion_teeth"},
                   teeth,
                   std::ceil(teeth),
                   std::ceil(teeth),
                   "a pinion has whole teeth"});
  const double root = shelf.rack.module_mm * (teeth - kRootBelowPitch);
  rules.push_back({{"/hardware/motor/pinion_shaft_mm", "/hardware/motor/pinion_teeth",
                    "/hardware/rack/module_mm"},
                   shelf.motor.pinion_shaft_mm,
                   0,
                   root - 2 * kEdge_mm,
                   "a shaft of " + mm(shelf.motor.pinion_shaft_mm) +
                       " leaves no rim under the teeth of a pinion with a root of " + mm(root)});
}

void addRopeRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const HardwareSpec& shelf = spec.hardware;
  rules.push_back({{"/hardware/pulley/bolt_across_mm", "/hardware/pulley/bolt_mm"},
                   shelf.pulley.bolt_across_mm,
                   shelf.pulley.bolt_mm + 2 * kRim_mm,
                   kAny,
                   "a head of " + mm(shelf.pulley.bolt_across_mm) + " does not hold a bolt of " +
                       mm(shelf.pulley.bolt_mm)});
  rules.push_back({{"/hardware/bracket/foot_length_mm", "/hardware/bracket/foot_hole_mm"},
                   shelf.bracket.foot_length_mm,
                   4 * shelf.bracket.foot_hole_mm,
                   kAny,
                   "a foot " + mm(shelf.bracket.foot_length_mm) +
                       " long has no room for two holes of " + mm(shelf.bracket.foot_hole_mm)});
}

void addGuideRules(const GateSpec& spec, std::vector<ShelfRule>& rules) {
  const GuideHardware& guide = spec.hardware.guide;
  const double width = spec.guides.channel_width_mm;
  rules.push_back({{"/hardware/guide/lip_mm", "/hardware/guide/channel_wall_mm",
                    "/hardware/guide/running_gap_mm", "/guides/channel_width_mm"},
                   guide.lip_mm,
                   guide.channel_wall_mm + kRim_mm,
                   (width - 2 * guide.running_gap_mm) / 2 - 2 * kEdge_mm,
                   "lips of " + mm(guide.lip_mm) + " on a channel " + mm(width) +
                       " wide with walls of " + mm(guide.channel_wall_mm) +
                       " hold no block with a neck"});
}

void addPlateRules(const HardwareSpec& shelf, std::vector<ShelfRule>& rules) {
  const auto wider = [&](const char* plate, double plate_mm, const char* hole, double hole_mm,
                         const char* what, double beside_mm = 0) {
    rules.push_back({{plate, hole},
                     plate_mm,
                     beside_mm + hole_mm + 2 * kEdge_mm,
                     kAny,
                     std::string(what) + " of " + mm(plate_mm) + " has no edge beside a hole of " +
                         mm(hole_mm)});
  };
  const PostHardware& post = shelf.post;
  wider("/hardware/post/plate_front_mm", post.plate_front_mm, "/hardware/post/plate_hole_mm",
        post.plate_hole_mm, "a base plate's front");
  wider("/hardware/post/plate_back_mm", post.plate_back_mm, "/hardware/post/plate_hole_mm",
        post.plate_hole_mm, "a base plate's back");
  wider("/hardware/post/overhead_ear_mm", post.overhead_ear_mm, "/hardware/post/overhead_hole_mm",
        post.overhead_hole_mm, "an overhead bracket's ear");
  wider("/hardware/stop/foot_mm", shelf.stop.foot_mm, "/hardware/stop/foot_hole_mm",
        shelf.stop.foot_hole_mm, "an end stop's foot", shelf.stop.thickness_mm);
  rules.push_back({{"/hardware/stop/catch_wall_mm", "/hardware/stop/catch_post_mm"},
                   shelf.stop.catch_wall_mm,
                   0,
                   shelf.stop.catch_post_mm / 4,
                   "a catch post of " + mm(shelf.stop.catch_post_mm) + " with walls of " +
                       mm(shelf.stop.catch_wall_mm) + " is hardly hollow"});
}

}  // namespace

std::vector<ShelfRule> shelfRules(const GateSpec& spec) {
  std::vector<ShelfRule> rules;
  addWheelRules(spec.hardware, rules);
  addDriveRules(spec.hardware, rules);
  addRopeRules(spec, rules);
  addGuideRules(spec, rules);
  addPlateRules(spec.hardware, rules);
  return rules;
}

}  // namespace leafstack
