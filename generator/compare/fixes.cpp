#include "generator/compare/fixes.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "generator/compare/ranking.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/layout.h"

namespace leafstack {
namespace {

constexpr unsigned bit(Binding binding) {
  return 1u << static_cast<unsigned>(binding);
}
constexpr unsigned kRack = bit(Binding::kRack), kGuide = bit(Binding::kGuide),
                   kRopes = bit(Binding::kRopeGround) | bit(Binding::kRopeBracket),
                   kReturn = bit(Binding::kReturn);

/// What "auto" comes to, from here on given.
double& given(std::optional<double>& value, double computed) {
  return value ? *value : value.emplace(computed);
}

/// A number of the gate file that takes room; how far down it may go.
struct Knob {
  const char* pointer;
  const char* words;
  double* (*slot)(GateSpec&);
  double least;
  unsigned demands;  ///< that it bears on
};

// Down to what random gates prove clear in the tests (random_gates.h); hardware further down still
// lays out, but touches.
constexpr Knob kKnobs[] = {
    {"/gate/tuck_mm", "tuck", [](GateSpec& g) { return &g.gate.tuck_mm; }, 0,
     kRack | kGuide | kRopes | kReturn},
    {"/gate/closing_overlap_mm", "closing overlap",
     [](GateSpec& g) { return &g.gate.closing_overlap_mm; }, 0, kRack | kGuide | kRopes | kReturn},
    {"/gate/overlap_mm", "overlap", [](GateSpec& g) { return &g.gate.overlap_mm; }, 80,
     kGuide | kRopes | kReturn},
    {"/drive/motor_gap_mm", "gap before the motor",
     [](GateSpec& g) { return &g.drive.motor_gap_mm; }, 5, kRack},
    {"/guides/post_gap_mm", "gap before the guide post",
     [](GateSpec& g) { return &g.guides.post_gap_mm; }, 10, kRack | kGuide},
    {"/guides/post_mm", "guide post", [](GateSpec& g) { return &g.guides.post_mm; }, 60,
     kRack | kGuide},
    {"/guides/margin_mm", "margin beside the guide channel",
     [](GateSpec& g) { return &g.guides.margin_mm; }, 5, kRack | kGuide},
    {"/guides/channel_width_mm", "guide channel",
     [](GateSpec& g) { return &g.guides.channel_width_mm; }, 70, kRack | kGuide | kRopes | kReturn},
    {"/drive/rack_inset_mm", "rack inset", [](GateSpec& g) { return &g.drive.rack_inset_mm; }, 10,
     kRack},
    {"/ropes/bracket_clearance_mm", "bracket clearance",
     [](GateSpec& g) { return &given(g.ropes.bracket_clearance_mm, bracketClearanceMm(g)); }, 0,
     kRopes | kReturn},
    {"/ropes/pulley_inset_mm", "pulley inset",
     [](GateSpec& g) { return &given(g.ropes.pulley_inset_mm, pulleyInsetMm(g)); }, 0,
     kRopes | kReturn},
};

class Fixer {
 public:
  explicit Fixer(const SiteComparison& comparison)
      : comparison_(comparison), tried_(comparison.spec) {}

  /// Of the arrangement as it is, with one number changed or without its return.
  std::vector<Fix> numbersOf(Arrangement made) {
    made_ = &made;
    made.fixes.clear();
    byNumbers();
    return made.fixes;
  }

  void fix(Arrangement& made) {
    made_ = &made;
    byOtherRows();
    if (isEnough()) {
      return;
    }
    byNumbers();
    if (!isEnough() && made.choice.stacking == Stacking::kStaggered) {
      byRow([&](const Arrangement& one) {
        return one.choice.panels == made.choice.panels && one.choice.stacking == Stacking::kFlush &&
               isLike(one, true, true);
      });
    }
    byMorePanels();
    if (made.fixes.empty()) {
      may_be_weak_ = true;
      byOtherRows();
      byMorePanels();
      may_be_weak_ = false;
    }
  }

 private:
  bool isEnough() const { return made_->fixes.size() >= kMostFixes; }

  bool isLike(const Arrangement& one, bool same_mount, bool same_motor) const {
    return (one.choice.mount == made_->choice.mount) == same_mount &&
           (one.choice.motor.name == made_->choice.motor.name) == same_motor;
  }

  void byNumbers() {
    applyChoice(comparison_.spec, made_->choice, tried_);
    tried_.site.bank = 0;
    for (const Knob& knob : kKnobs) {
      if (!isEnough() && (knob.demands & bit(made_->binding)) != 0) {
        byNumber(knob);
      }
    }
    if (!isEnough() && made_->binding == Binding::kReturn) {
      byNoReturn();
    }
    tried_.gate.has_return = comparison_.spec.gate.has_return;
  }

  /// Mount, then motor, then both.
  void byOtherRows() {
    for (const auto& [same_mount, same_motor] :
         {std::pair(false, true), std::pair(true, false), std::pair(false, false)}) {
      if (!same_mount && !same_motor && !made_->fixes.empty()) {
        return;  // one of the two is enough
      }
      byRow([&](const Arrangement& one) {
        return one.choice.panels == made_->choice.panels &&
               one.choice.stacking == made_->choice.stacking && isLike(one, same_mount, same_motor);
      });
    }
  }

  /// With as little else changed as starts: nothing, the motor, the mount, or both.
  void byMorePanels() {
    const std::size_t before = made_->fixes.size();
    for (int panels = made_->choice.panels + 1; panels <= kMostPanels; ++panels) {
      for (const auto& [same_mount, same_motor] :
           {std::pair(true, true), std::pair(true, false), std::pair(false, true),
            std::pair(false, false)}) {
        if (made_->fixes.size() > before) {
          return;
        }
        byRow([&](const Arrangement& one) {
          return one.choice.panels == panels && isLike(one, same_mount, same_motor) &&
                 (made_->choice.panels < 3 || one.choice.stacking == made_->choice.stacking);
        });
      }
    }
  }

  /// The best ranked row that is wanted, fits and starts.
  void byRow(const std::function<bool(const Arrangement&)>& wanted) {
    if (isEnough()) {
      return;
    }
    const Arrangement* best = nullptr;
    for (const Arrangement& one : comparison_.arrangements) {
      const bool starts = may_be_weak_ || !one.has(Hazard::kMotorWeak);
      if (one.fits && starts && wanted(one) && (best == nullptr || one.rank < best->rank)) {
        best = &one;
      }
    }
    if (best != nullptr) {
      made_->fixes.push_back(
          {changesTo(*best), overridesOf(comparison_.spec, best->choice), best->room_total_mm});
    }
  }

  std::string changesTo(const Arrangement& row) const {
    const ArrangementChoice& to = row.choice;
    const ArrangementChoice& from = made_->choice;
    std::vector<std::string> changes;
    if (to.mount != from.mount) {
      changes.emplace_back(nameOf(to.mount));
    }
    if (to.motor.name != from.motor.name) {
      changes.push_back(std::string(to.motorName()) + " motor");
    }
    if (to.panels != from.panels) {
      changes.push_back(std::to_string(to.panels) + " panels");
    }
    if (to.stacking != from.stacking) {
      changes.push_back(std::string(toString(to.stacking)) + " stacking");
    }
    std::string text;
    for (const std::string& change : changes) {
      text += text.empty() ? "" : " and ";
      text += change;
    }
    text += row.has(Hazard::kMotorWeak) ? ", though its motor is too weak to start it" : "";
    return text;
  }

  /// The arrangement's own overrides and one more.
  std::vector<std::string> with(std::string set) const {
    std::vector<std::string> sets = overridesOf(comparison_.spec, made_->choice);
    sets.push_back(std::move(set));
    return sets;
  }

  struct Outcome {
    bool room_fits = false, sound = false;
    double room_mm = 0;
  };

  Outcome outcome() const {
    const LayoutResult result = layOut(tried_);
    return {result.layout.fits, result.problems.empty(), result.layout.room_total_mm};
  }

  Outcome outcomeAt(double& slot, long long value) {
    slot = static_cast<double>(value);
    return outcome();
  }

  /// The most, in whole mm, that still fits. Less of it always takes less room, and hardware that
  /// gets too small stays so.
  void byNumber(const Knob& knob) {
    double& slot = *knob.slot(tried_);
    const double given = slot;
    auto high = static_cast<long long>(std::ceil(given));  // does not fit
    auto low = static_cast<long long>(std::ceil(knob.least));
    if (low < high && outcomeAt(slot, low).room_fits) {
      low = leastSound(slot, low, high);
      if (low < high && outcomeAt(slot, low).room_fits) {
        while (high - low > 1) {
          const long long middle = low + (high - low) / 2;
          (outcomeAt(slot, middle).room_fits ? low : high) = middle;
        }
        const Outcome found = outcomeAt(slot, low);
        if (found.room_fits && found.sound) {
          made_->fixes.push_back({std::string(knob.words) + " " + std::to_string(low) +
                                      " mm instead of " + shown(given),
                                  with(std::string(knob.pointer) + "=" + std::to_string(low)),
                                  found.room_mm});
        }
      }
    }
    slot = given;
  }

  long long leastSound(double& slot, long long low, long long high) {
    if (outcomeAt(slot, low).sound) {
      return low;
    }
    while (high - low > 1) {
      const long long middle = low + (high - low) / 2;
      (outcomeAt(slot, middle).sound ? high : low) = middle;
    }
    return high;
  }

  void byNoReturn() {
    tried_.gate.has_return = false;
    const Outcome found = outcome();
    if (found.room_fits && found.sound) {
      made_->fixes.push_back({"no return", with("/gate/return=false"), found.room_mm});
    }
  }

  const SiteComparison& comparison_;
  GateSpec tried_;
  Arrangement* made_ = nullptr;
  bool may_be_weak_ = false;  ///< where nothing else is left
};

bool isOwn(const ArrangementChoice& choice, const GateSpec& spec, const Layout& layout) {
  return choice.panels == layout.panel_count && choice.mount == spec.guides.mount &&
         choice.motor.name == spec.drive.motor.name &&
         (choice.panels < 3 || choice.stacking == spec.gate.stacking);
}

}  // namespace

std::vector<Fix> numberFixes(const SiteComparison& comparison, const Layout& layout) {
  for (const Arrangement& one : comparison.arrangements) {
    if (isOwn(one.choice, comparison.spec, layout)) {
      return Fixer(comparison).numbersOf(one);
    }
  }
  return {};
}

void findFixes(SiteComparison& comparison) {
  Fixer fixer(comparison);
  for (Arrangement& arrangement : comparison.arrangements) {
    const bool only_short = arrangement.laid_out && arrangement.problems.empty();
    if (!arrangement.fits && only_short) {
      fixer.fix(arrangement);
    }
  }
}

}  // namespace leafstack
