// One arrangement of a gate, and a comparison of all: what is varied, what was found, in words.
// How they are found and their properties: arrangements.h.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "generator/compare/cost/cost.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/layout_types.h"

namespace leafstack {

struct ArrangementChoice {
  int panels = 2;
  Stacking stacking = Stacking::kFlush;
  GuideMount mount = GuideMount::kPost;
  MotorSpec motor;  ///< its name is "custom" for the gate file's own
  MotorHardware body;

  /// That of the shelf's motor, or "given".
  std::string_view motorName() const;
};
std::string_view toString(Stacking stacking);  ///< "flush", "staggered"
std::string_view toString(GuideMount mount);   ///< "post", "overhead", "reach-over"

/// Every choice for a gate, in a fixed order: by panels, stacking, mount, motor.
std::vector<ArrangementChoice> choicesFor(const GateSpec& spec);
/// Puts a choice into `tried`, which is a copy of `given` whatever choice it held before.
void applyChoice(const GateSpec& given, const ArrangementChoice& choice, GateSpec& tried);
/// The choice as overrides of the gate file: "/gate/panels=2" and so on.
std::vector<std::string> overridesOf(const GateSpec& given, const ArrangementChoice& choice);

enum class Hazard {
  kRunsAway,     ///< on its slope, when the drive is released
  kMotorWeak,    ///< less force than the start asks for
  kRopeWeak,     ///< less than checks.rope_safety
  kBracketShows  ///< overhead bracket seen over the fence
};
std::string_view idOf(Hazard hazard);

struct DriveNeed {
  double force_N = 0;           ///< moving, at the worst point of the travel
  double required_force_N = 0;  ///< starting, pulleys' losses included: to order the motor by
  double ratio_to_single = 1;
  double rope_tension_N = 0;
  std::optional<double> rope_safety;
  double opening_time_s = 0, front_speed_mm_s = 0;
  std::optional<double> motor_force_N;
};

/// One way to make an arrangement fit.
struct Fix {
  std::string text;                    ///< "overhead bracket", "tuck 12 mm instead of 40" ...
  std::vector<std::string> overrides;  ///< of the gate file, all it takes
  double room_mm = 0;                  ///< then needed
};

/// What was found when it was built and loaded.
struct ArrangementVerdict {
  struct Reason {
    std::string id, text;  ///< "motor-weak", "the motor is too weak"
  };
  std::vector<Reason> reasons;  ///< that tell against it; none where it is ready
  /// Clashes were checked through the whole travel. Otherwise that it fits stands for being clear.
  bool is_proved = false;

  bool isReady() const { return reasons.empty(); }
};

struct Arrangement {
  ArrangementChoice choice;
  double room_mm = 0, room_total_mm = 0;  ///< as the layout's
  std::optional<double>
      margin_mm;  ///< room left over, negative where it is short; none: no room given
  bool fits = false;
  Binding binding = Binding::kRack;
  ExtensionDemands demands;
  std::vector<double> panel_length_mm, panel_mass_kg;  ///< panel 1 first
  double mass_kg = 0;                                  ///< of all panels
  DriveNeed drive;
  int ropes = 0, pulleys = 0;
  double pocket_m3 = 0;
  std::optional<double> bracket_over_fence_mm;  ///< overhead only; positive: seen from the road
  std::vector<Hazard> hazards;
  std::vector<LayoutProblem> problems;  ///< why it cannot be laid out, or not be vouched for
  bool laid_out = false;                ///< no problem of the layout's own
  std::vector<Fix> fixes;               ///< smallest change first
  std::optional<Cost> cost;
  int rank = 0;  ///< from 1
  /// Where it fits and was looked at: generator/cures.
  std::optional<ArrangementVerdict> verdict;
  std::vector<ChosenValue> sections;  ///< that the gate file leaves to the program, chosen for it

  bool isReady() const { return verdict && verdict->isReady(); }
  bool isUnready() const { return verdict && !verdict->isReady(); }

  bool bracketShows() const { return bracket_over_fence_mm.value_or(-1) > kLengthEqualMm; }
  bool has(Hazard hazard) const;
};

struct SiteComparison {
  GateSpec spec;
  std::vector<Arrangement> arrangements;  ///< in the order of choicesFor()
  std::vector<int> ranked;                ///< indices, best first
  /// Index of the best, if it fits; where verdicts were looked for, if it is ready as well.
  std::optional<int> recommended;
  bool is_judged = false;  ///< verdicts were looked for
  bool vouched = true;  ///< `fits` holds for solids too; not on surveyed ground, nor with stricter
                        ///< checks than the hardware's usual
  std::string currency = {};       ///< of the prices, where there are any
  std::string why;                 ///< two sentences about it, or about why there is none
  std::vector<std::string> notes;  ///< what the comparison cannot vouch for
};

/// The same with the sections that were chosen for it.
std::vector<std::string> overridesOf(const GateSpec& given, const Arrangement& made);

/// "motor too weak to start it".
std::string_view meaningOf(Hazard hazard);
/// A hazard in one sentence.
std::string hazardText(const GateSpec& spec, const Arrangement& arrangement, Hazard hazard);
/// "2 panels, overhead bracket, narrow motor".
std::string nameOf(const ArrangementChoice& choice);

}  // namespace leafstack
