#include "generator/layout/figures_that_do.h"

#include <cmath>
#include <functional>
#include <optional>

#include "generator/geometry/numbers.h"
#include "generator/layout/layout_parts.h"
#include "params/table/shelf_rules.h"

namespace leafstack {
namespace {

constexpr double kKeptToMm = 1e-6;

/// Is the gate free of the problem, and of any that it did not have before?
bool cures(const GateSpec& changed, const std::vector<LayoutProblem>& before,
           const LayoutProblem& problem) {
  for (const ShelfRule& rule : shelfRules(changed)) {
    if (rule.figure < rule.least - kKeptToMm || rule.figure > rule.most + kKeptToMm) {
      return false;
    }
  }
  for (const LayoutProblem& left : layOut(changed).problems) {
    bool was_there = false;
    for (const LayoutProblem& known : before) {
      was_there = was_there || (known.pointer == left.pointer && known.pointer != problem.pointer);
    }
    if (!was_there) {
      return false;
    }
  }
  return true;
}

/// The first that does, looked for closely at first and then in ever longer strides.
std::optional<double> figureThatDoes(const FigureToTry& tried,
                                     const std::function<bool(double)>& does) {
  constexpr int kCloselyLookedAt = 32;
  const int most = static_cast<int>(std::abs(tried.limit - tried.from) / tried.step);
  const auto at = [&](int i) {
    return tried.from + (tried.limit > tried.from ? i : -i) * tried.step;
  };
  int before = 0;
  for (int i = 1; i <= most; i += 1 + i / kCloselyLookedAt) {
    if (does(at(i))) {
      while (i - 1 > before && does(at(i - 1))) {
        --i;
      }
      return at(i);
    }
    before = i;
  }
  return std::nullopt;
}

}  // namespace

void tellFigures(const GateSpec& spec, LayoutResult& result) {
  // On surveyed ground a layout takes milliseconds.
  if (result.problems.empty() || result.layout.ground.is_surveyed) {
    return;
  }
  const std::vector<LayoutProblem> before = result.problems;
  for (const ProblemToCure& one : curableProblems(spec, result.layout)) {
    const LayoutProblem untried = one.untried();
    std::string figures;
    for (const FigureToTry& tried : one.tries) {
      const auto value = figureThatDoes(tried, [&](double figure) {
        GateSpec changed = spec;
        tried.set(changed, figure);
        return cures(changed, before, one.problem);
      });
      if (value) {
        figures += (figures.empty() ? "" : ", or ") + tried.before + shown(*value) + tried.after;
      }
    }
    for (LayoutProblem& problem : result.problems) {
      if (!figures.empty() && problem.pointer == untried.pointer && problem.text == untried.text) {
        problem.text = one.problem.text + figures;
      }
    }
  }
}

}  // namespace leafstack
