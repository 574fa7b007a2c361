#include "generator/compare/fixes.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "generator/compare/ranking.h"
#include "generator/numbers.h"

namespace leafstack {
namespace {

/// A number of the gate file that takes room; how far down it may go.
struct Knob {
  const char* pointer;
  const char* words;
  double* (*slot)(GateSpec&);
  double least;
  bool rack, guide, ropes;  ///< the constraints it bears on
};

// Down to what random gates prove clear in the tests (random_gates.h); hardware further down still
// lays out, but touches.
constexpr Knob kKnobs[] = {
    {"/gate/tuck_mm", "tuck", [](GateSpec& g) { return &g.gate.tuck_mm; }, 0, true, true, true},
    {"/gate/closing_overlap_mm", "closing overlap",
     [](GateSpec& g) { return &g.gate.closing_overlap_mm; }, 0, true, true, true},
    {"/gate/overlap_mm", "overlap", [](GateSpec& g) { return &g.gate.overlap_mm; }, 80, false, true,
     true},
    {"/drive/motor_gap_mm", "gap before the motor",
     [](GateSpec& g) { return &g.drive.motor_gap_mm; }, 5, true, false, false},
    {"/guides/post_gap_mm", "gap before the guide post",
     [](GateSpec& g) { return &g.guides.post_gap_mm; }, 10, true, true, false},
    {"/guides/post_mm", "guide post", [](GateSpec& g) { return &g.guides.post_mm; }, 60, true, true,
     false},
    {"/guides/margin_mm", "margin beside the guide channel",
     [](GateSpec& g) { return &g.guides.margin_mm; }, 5, true, true, false},
    {"/guides/channel_width_mm", "guide channel",
     [](GateSpec& g) { return &g.guides.channel_width_mm; }, 70, true, true, true},
    {"/drive/rack_inset_mm", "rack inset", [](GateSpec& g) { return &g.drive.rack_inset_mm; }, 10,
     true, false, false},
    {"/ropes/bracket_clearance_mm", "bracket clearance",
     [](GateSpec& g) { return &g.ropes.bracket_clearance_mm; }, 0, false, false, true},
    {"/ropes/pulley_inset_mm", "pulley inset", [](GateSpec& g) { return &g.ropes.pulley_inset_mm; },
     0, false, false, true},
};

bool bearsOn(const Knob& knob, Binding binding) {
  switch (binding) {
    case Binding::kRack:
      return knob.rack;
    case Binding::kGuide:
      return knob.guide;
    case Binding::kRopeGround:
    case Binding::kRopeBracket:
      return knob.ropes;
  }
  return false;
}

class Fixer {
 public:
  explicit Fixer(SiteComparison& comparison) : comparison_(comparison), tried_(comparison.spec) {}

  void fix(Arrangement& made) {
    made_ = &made;
    byOtherRows();
    if (isEnough()) {
      return;
    }
    applyChoice(comparison_.spec, made.choice, tried_);
    tried_.site.bank = 0;
    for (const Knob& knob : kKnobs) {
      if (!isEnough() && bearsOn(knob, made.binding)) {
        byNumber(knob);
      }
    }
    if (!isEnough() && made.binding == Binding::kGuide && tried_.gate.has_return) {
      byNoReturn();
    }
    tried_.gate.has_return = comparison_.spec.gate.has_return;
    if (!isEnough() && made.choice.stacking == Stacking::kStaggered) {
      byRow([&](const Arrangement& one) {
        return one.choice.panels == made.choice.panels && one.choice.stacking == Stacking::kFlush &&
               isLike(one, true, true);
      });
    }
    const std::size_t before = made.fixes.size();
    for (int panels = made.choice.panels + 1; made.fixes.size() == before && panels <= 4;
         ++panels) {
      byRow([&](const Arrangement& one) {
        return one.choice.panels == panels && isLike(one, true, true) &&
               (made.choice.panels < 3 || one.choice.stacking == made.choice.stacking);
      });
    }
  }

 private:
  bool isEnough() const { return made_->fixes.size() >= kMostFixes; }

  bool isLike(const Arrangement& one, bool same_mount, bool same_motor) const {
    return (one.choice.mount == made_->choice.mount) == same_mount &&
           (one.choice.motor.name == made_->choice.motor.name) == same_motor;
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

  /// The best ranked row that is wanted and fits.
  void byRow(const std::function<bool(const Arrangement&)>& wanted) {
    if (isEnough()) {
      return;
    }
    const Arrangement* best = nullptr;
    for (const Arrangement& one : comparison_.arrangements) {
      if (one.fits && wanted(one) && (best == nullptr || one.rank < best->rank)) {
        best = &one;
      }
    }
    if (best != nullptr) {
      made_->fixes.push_back(
          {changesTo(best->choice), overridesOf(comparison_.spec, best->choice), best->room_mm});
    }
  }

  std::string changesTo(const ArrangementChoice& to) const {
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
      changes.emplace_back(toString(to.stacking));
    }
    std::string text;
    for (const std::string& change : changes) {
      text += text.empty() ? "" : " and ";
      text += change;
    }
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
    return {result.layout.fits, result.problems.empty(), result.layout.room_mm};
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

  SiteComparison& comparison_;
  GateSpec tried_;
  Arrangement* made_ = nullptr;
};

}  // namespace

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
