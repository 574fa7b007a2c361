#include "generator/compare/ranking.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

auto fittingKey(const Standing& standing) {
  const bool alone = !standing.room_known && standing.panels == 1;
  return std::tuple(standing.readiness, standing.motor_weak, -standing.motor_force_N, alone,
                    standing.cost.value_or(Money{}), standing.panels, standing.mount_steps,
                    standing.motor_changed, standing.stacking_changed, standing.room_mm);
}

auto misfitKey(const Standing& standing) {
  return std::tuple(!standing.laid_out, standing.short_mm, standing.panels, standing.mount_steps,
                    standing.motor_changed, standing.stacking_changed);
}

std::string mm(double value) {
  return shown(value) + " mm";
}

/// The one that comes nearest to fitting among those that `wanted` picks; null if none is short.
template <typename Wanted>
const Arrangement* nearest(const SiteComparison& comparison, const Wanted& wanted) {
  const Arrangement* found = nullptr;
  for (const int index : comparison.ranked) {
    const Arrangement& one = comparison.arrangements[index];
    const bool is_short = !one.fits && one.laid_out && one.margin_mm.value_or(0) < 0;
    if (is_short && wanted(one) && (found == nullptr || one.room_total_mm < found->room_total_mm)) {
      found = &one;
    }
  }
  return found;
}

std::string whyNone(const SiteComparison& comparison) {
  const Arrangement& first = comparison.arrangements[comparison.ranked.front()];
  if (!first.laid_out) {
    return "No arrangement can be laid out. The first says: " + first.problems.front().text + ".";
  }
  if (!first.problems.empty()) {
    return "No arrangement can be vouched for. The first, " + nameOf(first.choice) + ": " +
           first.problems.front().pointer + ": " + first.problems.front().text + ".";
  }
  return "Nothing fits: the nearest, " + nameOf(first.choice) + ", is " + mm(-*first.margin_mm) +
         " short of the " + mm(*comparison.spec.site.room_mm) + " given, and the " +
         std::string(ruleOf(first.binding).name) + " binds. It needs " + mm(first.room_total_mm) +
         " of room.";
}

/// "panel 1's stile overloaded, and 2 reasons more".
std::string unreadyText(const Arrangement& one) {
  const std::vector<ArrangementVerdict::Reason>& reasons = one.verdict->reasons;
  const std::size_t more = reasons.size() - 1;
  return reasons.front().text + (more == 0   ? ""
                                 : more == 1 ? ", and one reason more"
                                             : ", and " + std::to_string(more) + " reasons more");
}

/// What keeps all arrangements that `wanted` picks from being taken: that they are not ready, too
/// weak a motor, or how short the nearest is; empty where none does.
template <typename Wanted>
std::string hindranceOf(const SiteComparison& comparison, const Wanted& wanted) {
  bool any_weak = false;
  for (const int index : comparison.ranked) {
    const Arrangement& one = comparison.arrangements[index];
    if (!one.fits || !wanted(one)) {
      continue;
    }
    if (one.isUnready()) {
      return "what fits is not ready (" + unreadyText(one) + ")";
    }
    if (!one.has(Hazard::kMotorWeak)) {
      return "";
    }
    any_weak = true;
  }
  if (any_weak) {
    return "motors that fit are too weak";
  }
  const Arrangement* one = nearest(comparison, wanted);
  return one == nullptr ? "" : mm(-*one->margin_mm) + " are lacking at best";
}

/// Why none with fewer panels.
std::string fewerText(const SiteComparison& comparison, const Arrangement& best) {
  const std::string hindrance = hindranceOf(comparison, [&](const Arrangement& one) {
    return one.choice.panels == best.choice.panels - 1;
  });
  if (hindrance.empty()) {
    return "";
  }
  return (best.choice.panels == 2 ? "; with a single panel " : "; with one panel less ") +
         hindrance;
}

/// Where no room is given, and the fewest panels come first but for the single one.
std::string roomlessText(const SiteComparison& comparison, const Arrangement& best) {
  const std::string others =
      comparison.is_judged ? "it is not ready" : "motors are too weak or it cannot be laid out";
  switch (best.choice.panels) {
    case 1:
      return "; with more panels " + others;
    case 2:
      return ", with the fewest panels that park in less than the opening";
    default:
      return "; with fewer panels " + others;
  }
}

std::string weakText(const Arrangement& best) {
  return "None of the motors that fit can start it, though: it takes " +
         shown(best.drive.required_force_N, 0) + " N, this one gives " +
         shown(*best.drive.motor_force_N, 0) + " N.";
}

/// "2310 EUR", "at least 2310 EUR".
std::string priceOf(const SiteComparison& comparison, const Cost& cost) {
  return (cost.is_complete() ? "" : "at least ") + shown(inUnits(cost.total()), 0) +
         (comparison.currency.empty() ? "" : " " + comparison.currency);
}

/// What has no price, where that is known.
std::string missingText(const Cost& cost) {
  std::string out;
  for (const std::string& one : cost.unpriced) {
    out += (out.empty() ? " (no price for " : ", ") + one;
  }
  return out.empty() ? out : out + ")";
}

/// That nothing of what fits lacks a price, so that costs may be compared.
bool hasAllPrices(const SiteComparison& comparison) {
  return std::all_of(
      comparison.arrangements.begin(), comparison.arrangements.end(),
      [](const Arrangement& one) { return !one.fits || !one.cost || one.cost->is_complete(); });
}

std::string moneyText(const SiteComparison& comparison, const Arrangement& best, int fitting) {
  const std::string those = "the " + std::to_string(fitting) +
                            (comparison.is_judged ? " that are ready" : " that fit and start");
  const std::string sum = priceOf(comparison, *best.cost) + missingText(*best.cost);
  if (!hasAllPrices(comparison)) {
    return "Which of " + those +
           " is the cheapest cannot be said, and cost ranks none of them: prices are missing. It "
           "comes to " +
           sum + ".";
  }
  std::string text = "It is the cheapest of " + those + ", " + sum;
  if (fitting > 1) {
    const Arrangement& next = comparison.arrangements[comparison.ranked[1]];
    text += "; the next, " + nameOf(next.choice) + ", comes to " + priceOf(comparison, *next.cost);
  }
  return text + ".";
}

std::string mountText(const SiteComparison& comparison, const Arrangement& best) {
  if (best.choice.mount == GuideMount::kPost) {
    return "A guide post is the simplest mount.";
  }
  std::string text =
      best.choice.mount == GuideMount::kOverhead ? "The overhead bracket" : "The reach-over arm";
  text += " moves the motor to the driveway's edge";
  const std::string hindrance = hindranceOf(comparison, [&](const Arrangement& one) {
    return one.choice.panels == best.choice.panels && one.choice.mount == GuideMount::kPost;
  });
  if (!hindrance.empty()) {
    text += ": with as many panels and a guide post " + hindrance;
  }
  if (best.choice.mount == GuideMount::kOverhead) {
    text += best.bracketShows() ? ", though the bracket shows over the fence"
                                : "; the fence hides the bracket";
  }
  return text + ".";
}

std::string whyBest(const SiteComparison& comparison, const Arrangement& best, int fitting) {
  std::string text = "Take " + nameOf(best.choice) + ": ";
  if (!best.margin_mm) {
    text += "it needs " + mm(best.room_total_mm) + " of room" + roomlessText(comparison, best);
  } else {
    text += "it needs " + mm(best.room_total_mm) + " of room and leaves " + mm(*best.margin_mm) +
            " of the " + mm(*comparison.spec.site.room_mm) + " given";
    if (!best.cost) {
      text += fewerText(comparison, best);
    }
  }
  text += ". ";
  if (best.has(Hazard::kMotorWeak)) {
    return text + weakText(best);
  }
  return text + (best.cost ? moneyText(comparison, best, fitting) : mountText(comparison, best));
}

/// Where verdicts were looked for and the best has none that is good.
std::string whyNoneReady(const Arrangement& first) {
  if (!first.verdict) {
    return "Nothing that was looked at is ready, and not everything that fits was looked at: see "
           "what check says of " +
           nameOf(first.choice) + ".";
  }
  return "Nothing that fits is ready as it is. The first, " + nameOf(first.choice) + ": " +
         unreadyText(first) + ". Check says what cures it.";
}

}  // namespace

int mountSteps(GuideMount mount, bool bracket_shows) {
  switch (mount) {
    case GuideMount::kPost:
      return 0;
    case GuideMount::kOverhead:
      return bracket_shows ? 3 : 1;
    case GuideMount::kReachOver:
      return 2;
  }
  return 0;
}

Standing standingOf(const GateSpec& spec, const Arrangement& arrangement) {
  Standing standing;
  standing.fits = arrangement.fits;
  standing.laid_out = arrangement.laid_out;
  standing.room_known = arrangement.margin_mm.has_value();
  standing.readiness = arrangement.isReady() ? 0 : arrangement.isUnready() ? 2 : 1;
  standing.motor_weak = arrangement.has(Hazard::kMotorWeak);
  if (standing.motor_weak) {
    standing.motor_force_N = arrangement.choice.motor.force_N.value_or(0);
  }
  standing.short_mm = std::max(0.0, -arrangement.margin_mm.value_or(0));
  if (arrangement.cost) {
    standing.cost = arrangement.cost->total();
  }
  standing.panels = arrangement.choice.panels;
  standing.mount_steps = mountSteps(arrangement.choice.mount, arrangement.bracketShows());
  standing.motor_changed = arrangement.choice.motor.name != spec.drive.motor.name;
  standing.stacking_changed =
      arrangement.choice.panels >= 3 && arrangement.choice.stacking != spec.gate.stacking;
  standing.room_mm = arrangement.room_total_mm;
  return standing;
}

bool ranksBefore(const Standing& one, const Standing& other) {
  if (one.fits != other.fits) {
    return one.fits;
  }
  return one.fits ? fittingKey(one) < fittingKey(other) : misfitKey(one) < misfitKey(other);
}

void rankArrangements(SiteComparison& comparison) {
  std::vector<Standing> standings;
  standings.reserve(comparison.arrangements.size());
  int fitting = 0;
  for (const Arrangement& arrangement : comparison.arrangements) {
    standings.push_back(standingOf(comparison.spec, arrangement));
    fitting += arrangement.fits && (comparison.is_judged ? arrangement.isReady()
                                                         : !arrangement.has(Hazard::kMotorWeak));
  }
  if (!hasAllPrices(comparison)) {
    for (Standing& standing : standings) {
      standing.cost.reset();
    }
  }
  comparison.ranked.resize(standings.size());
  std::iota(comparison.ranked.begin(), comparison.ranked.end(), 0);
  std::stable_sort(comparison.ranked.begin(), comparison.ranked.end(),
                   [&](int a, int b) { return ranksBefore(standings[a], standings[b]); });
  int rank = 0;
  for (const int index : comparison.ranked) {
    comparison.arrangements[index].rank = ++rank;
  }
  const Arrangement& best = comparison.arrangements[comparison.ranked.front()];
  comparison.recommended.reset();
  if (best.fits && (!comparison.is_judged || best.isReady())) {
    comparison.recommended = comparison.ranked.front();
  }
  comparison.why = !best.fits               ? whyNone(comparison)
                   : comparison.recommended ? whyBest(comparison, best, fitting)
                                            : whyNoneReady(best);
}

}  // namespace leafstack
