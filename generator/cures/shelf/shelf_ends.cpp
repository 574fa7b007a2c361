#include "generator/cures/shelf/shelf_ends.h"

#include <cmath>

#include "generator/geometry/geometry_error.h"
#include "generator/layout/layout.h"
#include "generator/shelf/measured_gate.h"

namespace leafstack {
namespace {

constexpr double kEndStep = 0.1;  // as finely as shelf_check.h finds its own

/// One size of a gate that is clear as it is.
class DrawnSizeTrial {
 public:
  DrawnSizeTrial(GateSpec spec, const Parameter& row, TrialStores& stores)
      : spec_(std::move(spec)), row_(row), stores_(stores), is_count_(*row.unit == '\0') {}

  /// What meets at that size; "" for nothing, or where nothing can be drawn.
  std::string meetsAt(double value) {
    GateSpec changed = spec_;
    setFigure(row_, changed, value);
    const LayoutResult result = layOut(changed);
    if (!result.problems.empty()) {
      return "";
    }
    try {
      const Model model = buildModel(changed, result.layout, &stores_.parts);
      const ClashReport report = checkClashes(model, &stores_.proofs);
      return report.findings.empty() ? "" : report.findings.front().text;
    } catch (const GeometryError& error) {
      return error.what();
    }
  }

  /// From `clear` towards `end`, where `meets` does: the last that is seen not to.
  double lastClear(double clear, double end, std::string& meets) {
    const double step = is_count_ ? 1 : kEndStep;
    for (int halving = 0; halving < kEndHalvings && std::abs(end - clear) > step * 1.01;
         ++halving) {
      const double middle = std::round((clear + end) / 2 / step) * step;
      std::string there = meetsAt(middle);
      if (there.empty()) {
        clear = middle;
      } else {
        end = middle;
        meets = std::move(there);
      }
    }
    return clear;
  }

  void shorten(double value, double& end, std::string& stops) {
    std::string meets = end == value ? "" : meetsAt(end);
    if (!meets.empty()) {
      end = lastClear(value, end, meets);
      stops = "drawn, " + meets;
    }
  }

 private:
  GateSpec spec_;
  const Parameter& row_;
  TrialStores& stores_;
  bool is_count_;
};

}  // namespace

void shortenRange(const GateSpec& spec, SizeRange& range, TrialStores& stores) {
  DrawnSizeTrial trial(spec, *range.row, stores);
  trial.shorten(range.value, range.least, range.below);
  trial.shorten(range.value, range.most, range.above);
}

}  // namespace leafstack
