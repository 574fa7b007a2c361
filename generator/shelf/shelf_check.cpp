#include "generator/shelf/shelf_check.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <tuple>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/figures_that_do.h"
#include "generator/layout/layout.h"
#include "generator/shelf/measured_gate.h"
#include "params/table/hardware_rows.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

constexpr double kAny = std::numeric_limits<double>::infinity();
constexpr double kRangeStep = 0.1;  // to which limits are found: finer than anything is bought

bool isKept(const ShelfRule& rule) {
  return rule.figure > rule.least - kLengthEqualMm && rule.figure < rule.most + kLengthEqualMm;
}

JudgedRule judged(const ShelfRule& rule, const GateSpec& spec) {
  JudgedRule out;
  for (const std::string_view pointer : rule.pointers) {
    const Parameter* row = findParameter(pointer);
    auto value = row == nullptr ? std::nullopt : numberOf(*row, spec);
    if (!value && row != nullptr && row->kind == Kind::kAutoNumber && out.sizes.empty() &&
        rule.figure > 0) {
      value = rule.figure;  // what its "auto" comes to
    }
    if (value) {
      out.sizes.push_back({pointer, *value});
    }
  }
  out.figure = rule.figure;
  out.least = rule.least <= 0 ? -kAny : rule.least;
  out.most = rule.most;
  const Parameter* first = findParameter(rule.pointers.front());
  out.unit = first == nullptr ? "" : first->unit;
  out.is_of_choices =
      first == nullptr || out.sizes.empty() || out.sizes.front().pointer != rule.pointers.front();
  if (out.is_of_choices) {
    for (const std::string_view pointer : rule.pointers) {
      out.figure_name += (out.figure_name.empty() ? "" : " with ") + std::string(pointer);
    }
  }
  out.fits = isKept(rule);
  out.why = rule.why;
  return out;
}

/// The pinion's height is made up by packing below the motor; it cannot be taken away.
JudgedRule pinionRule(const GateSpec& spec, const Layout& layout) {
  JudgedRule rule;
  rule.is_of_gate = true;
  rule.sizes = {{"/hardware/motor/pinion_up_mm", spec.hardware.motor.pinion_up_mm},
                {"/hardware/rack/height_mm", spec.hardware.rack.height_mm}};
  rule.figure_name = "packing under the motor";
  rule.figure = layout.heights.motor_packing_mm;
  rule.least = 0;
  rule.most = kAny;
  rule.unit = "mm";
  rule.fits = rule.figure > -kLengthEqualMm;
  rule.why = "a pinion " + shown(spec.hardware.motor.pinion_up_mm) +
             " mm over the motor's feet stands too high for the rack, " +
             shown(layout.heights.rack_lower_up_mm) + " mm above the bottom rail's underside";
  return rule;
}

/// What its own base does of the pinion's height; no rule for a motor that has none.
std::optional<JudgedRule> bandRule(const GateSpec& spec, const Layout& layout) {
  const MotorHardware& motor = spec.hardware.motor;
  if (motor.adjust_mm <= 0) {
    return std::nullopt;
  }
  JudgedRule rule;
  rule.is_of_gate = true;
  rule.sizes = {{"/hardware/motor/adjust_mm", motor.adjust_mm}};
  rule.figure_name = "pinion over the middle of its base's range";
  rule.figure = layout.heights.motor_raise_mm;
  rule.least = -motor.adjust_mm;
  rule.most = motor.adjust_mm;
  rule.unit = "mm";
  rule.fits = std::abs(rule.figure) <= motor.adjust_mm + kLengthEqualMm;
  rule.why =
      "the rack wants the pinion " + shown(rule.figure) + " mm off the middle of its base's range";
  return rule;
}

/// Jaws turn by the gate's rake, or by what the ground makes two panels lean; no rule for blocks of
/// one piece.
std::optional<JudgedRule> turnRule(const GateSpec& spec, const Layout& layout) {
  if (spec.hardware.guide.block_mount != BlockMount::kPivoted) {
    return std::nullopt;
  }
  JudgedRule rule;
  rule.is_of_gate = true;
  rule.sizes = {{"/hardware/guide/turn_deg", spec.hardware.guide.turn_deg}};
  rule.figure_name = "most turn of a guide block's jaws";
  for (const GuideLayout& guide : layout.guides) {
    rule.figure = std::max(rule.figure, guide.turn_deg);
  }
  rule.least = -kAny;
  rule.most = spec.hardware.guide.turn_deg;
  rule.unit = "deg";
  rule.fits = rule.figure <= rule.most + kLengthEqualMm;
  rule.why = "the jaws of a guide block have to turn by " + shown(rule.figure) + " degrees";
  return rule;
}

/// Hardware lengthens panels, and those have to be parked; no rule where no room is given.
std::optional<JudgedRule> roomRule(const Layout& layout) {
  if (!layout.room_given) {
    return std::nullopt;
  }
  JudgedRule rule;
  rule.is_of_gate = true;
  rule.sizes = {{"/site/room_mm", layout.room_given_mm}};
  rule.figure_name = "room needed";
  rule.figure = layout.room_total_mm;
  rule.least = -kAny;
  rule.most = layout.room_given_mm;
  rule.unit = "mm";
  rule.fits = layout.fits;
  rule.why = "parked, the panels and their stops need " + shown(layout.room_total_mm) +
             " mm of room, and " + shown(layout.room_given_mm) + " mm are given";
  return rule;
}

/// Those that only a gate can break.
std::vector<JudgedRule> gateRules(const GateSpec& spec, const Layout& layout) {
  std::vector<JudgedRule> rules = {pinionRule(spec, layout)};
  for (auto& rule : {bandRule(spec, layout), turnRule(spec, layout), roomRule(layout)}) {
    if (rule) {
      rules.push_back(*rule);
    }
  }
  return rules;
}

/// What is first found wrong with a gate; "" for nothing.
std::string firstFault(const GateSpec& spec) {
  for (const ShelfRule& rule : shelfRules(spec)) {
    if (!isKept(rule)) {
      return rule.why;
    }
  }
  const LayoutResult result = layOut(spec);
  if (!result.problems.empty()) {
    return result.problems.front().text;
  }
  for (const JudgedRule& rule : gateRules(spec, result.layout)) {
    if (!rule.fits) {
      return rule.why;
    }
  }
  return "";
}

/// One row of a gate, tried at other values.
class Trial {
 public:
  /// `value`: the row's, or what its "auto" comes to.
  Trial(GateSpec spec, const Parameter& row, double value)
      : spec_(std::move(spec)), row_(row), value_(value), is_count_(*row.unit == '\0') {}

  double value() const { return value_; }

  std::string faultAt(double value) const {
    GateSpec changed = spec_;
    setFigure(row_, changed, value);
    return firstFault(changed);
  }

  /// From a value that does towards `limit`: how far it does, and what stops it.
  std::pair<double, std::string> reach(double limit) const {
    const double from = value();
    double good = from;
    for (int step = 1; step <= kRangeSteps; ++step) {
      const double at = rounded(from + (limit - from) * step / kRangeSteps);
      const std::string fault = faultAt(at);
      if (!fault.empty()) {
        auto [end, stops] = between(good, at, fault);
        // In steps it may end before the value itself, which does.
        end = limit < from ? std::min(end, from) : std::max(end, from);
        return {end, std::move(stops)};
      }
      good = at;
    }
    return {limit, ""};
  }

  /// From a value that does not do towards `limit`: the first that does.
  std::optional<double> cure(double limit) const {
    const double from = value();
    double bad = from;
    for (int step = 1; step <= kRangeSteps; ++step) {
      const double at = rounded(from + (limit - from) * step / kRangeSteps);
      if (faultAt(at).empty()) {
        return between(at, bad, "").first;
      }
      bad = at;
    }
    return std::nullopt;
  }

 private:
  double rounded(double value) const { return is_count_ ? std::round(value) : value; }

  std::pair<double, std::string> between(double good, double bad, std::string fault) const {
    const double close = is_count_ ? 1.5 : kRangeStep / 2;
    while (std::abs(bad - good) > close) {
      const double middle = rounded((good + bad) / 2);
      std::string there = faultAt(middle);
      if (there.empty()) {
        good = middle;
      } else {
        bad = middle;
        fault = std::move(there);
      }
    }
    if (is_count_) {
      return {good, std::move(fault)};
    }
    // Told in whole steps: the last that does, and what is wrong with the next.
    const double outward = bad > good ? 1 : -1;
    const double step = std::round(bad / kRangeStep);
    for (const double back : {-1.0, 0.0, 1.0, 2.0}) {
      const double told = (step - outward * back) * kRangeStep;
      if (faultAt(told).empty()) {
        std::string next = faultAt(told + outward * kRangeStep);
        return {told, next.empty() ? std::move(fault) : std::move(next)};
      }
    }
    return {good, std::move(fault)};  // a size nearer to what stops it than a step
  }

  GateSpec spec_;
  const Parameter& row_;
  double value_;
  bool is_count_;
};

/// Every size that is a number, or comes to one: what for.
template <class Use>
void forSizes(const GateSpec& spec, const Use& use) {
  const GateSpec given = withAutosGiven(spec);
  for (const Parameter& row : hardwareRows()) {
    const bool is_size = row.kind == Kind::kNumber || row.kind == Kind::kAutoNumber;
    const std::optional<double> value = is_size ? numberOf(row, given) : std::nullopt;
    if (value) {
      use(row, Trial(spec, row, *value));
    }
  }
}

void addRanges(const GateSpec& spec, ShelfCheck& check) {
  forSizes(spec, [&](const Parameter& row, const Trial& trial) {
    // What an "auto" comes to may be refused where it is given: rules of given ones ask more.
    if (!trial.faultAt(trial.value()).empty()) {
      return;
    }
    SizeRange range;
    range.is_auto = !numberOf(row, spec);
    range.row = &row;
    range.value = trial.value();
    std::tie(range.least, range.below) = trial.reach(row.limits.least);
    std::tie(range.most, range.above) = trial.reach(row.limits.most);
    check.ranges.push_back(std::move(range));
  });
}

void addCures(const GateSpec& spec, ShelfCheck& check) {
  forSizes(spec, [&](const Parameter& row, const Trial& trial) {
    for (const double limit : {row.limits.least, row.limits.most}) {
      if (const auto would = trial.cure(limit)) {
        check.cures.push_back({&row, trial.value(), *would});
      }
    }
  });
}

}  // namespace

bool ShelfCheck::rulesHold() const {
  return std::all_of(rules.begin(), rules.end(), [](const JudgedRule& rule) { return rule.fits; });
}

bool ShelfCheck::shelfRulesHold() const {
  return std::all_of(rules.begin(), rules.end(),
                     [](const JudgedRule& rule) { return rule.fits || rule.is_of_gate; });
}

ShelfCheck checkShelf(const GateSpec& spec) {
  ShelfCheck check;
  for (const ShelfRule& rule : shelfRules(spec)) {
    check.rules.push_back(judged(rule, spec));
  }
  check.has_ranges = false;
  return check;
}

ShelfCheck checkShelfOnGate(const GateSpec& spec) {
  ShelfCheck check = checkShelf(spec);
  LayoutResult result = layOut(spec);
  tellFigures(spec, result);
  check.problems = result.problems;
  if (check.problems.empty()) {
    const std::vector<JudgedRule> rules = gateRules(spec, result.layout);
    check.rules.insert(check.rules.end(), rules.begin(), rules.end());
  }
  // On surveyed ground a layout takes milliseconds, and here some thousand are needed.
  check.has_ranges = spec.site.track_survey_mm.empty();
  if (check.has_ranges && check.fits()) {
    addRanges(spec, check);
  } else if (check.has_ranges) {
    addCures(spec, check);
  }
  return check;
}

}  // namespace leafstack
