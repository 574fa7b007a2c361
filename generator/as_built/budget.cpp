#include "generator/as_built/budget.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <random>

#include "generator/as_built/near_pairs.h"
#include "generator/as_built/rules.h"
#include "generator/layout/figures/terminal.h"
#include "generator/linear/linear_program.h"

namespace leafstack {
namespace {

constexpr double kEndless = std::numeric_limits<double>::infinity();
constexpr int kGates = 400;
constexpr unsigned kSeed = 20261130;
constexpr double kSharesWithin[] = {1, 2, 3};

struct Dimension {
  std::string what;
  std::function<void(Deviations&, double)> add;
  /// By which knobs a part goes along where it grows by 1, and how far each.
  std::vector<std::pair<Knob, double>> like = {};
  FixedKind moves_along = FixedKind::kOther;  ///< or the fixed group that goes along X
};

/// `least <= constant + sum of knobs + sum of dimensions <= most`.
struct Row {
  std::string what;
  double constant = 0;
  std::vector<double> knobs, dimensions;
  double least = -kEndless, most = kEndless;
};

class Budget {
 public:
  explicit Budget(const Model& model) : model_(model), nothing_(model.layout.panel_count) {
    drawn_off_.panels.resize(model.layout.panel_count);
    findDimensions();
    findKnobs();
    addRules();
    addPairs();
  }

  ToleranceBudget run() const {
    ToleranceBudget out;
    for (std::size_t i = 0; i < dimensions_.size(); ++i) {
      ToleranceRow row{dimensions_[i].what, reach(i, -1), reach(i, 1), ""};
      row.binds = binding(i, row);
      out.rows.push_back(std::move(row));
    }
    std::stable_sort(
        out.rows.begin(), out.rows.end(),
        [](const ToleranceRow& p, const ToleranceRow& q) { return p.tightMm() < q.tightMm(); });
    out.all_mm = allAtOnce();
    out.gates = kGates;
    std::mt19937 dice(kSeed);
    for (const double within : kSharesWithin) {
      int works = 0;
      for (int gate = 0; gate < kGates; ++gate) {
        std::vector<double> off;
        for (std::size_t i = 0; i < dimensions_.size(); ++i) {
          off.push_back(within * (2 * (static_cast<double>(dice()) / 4294967296.0) - 1));
        }
        works += canBeSet(off) ? 1 : 0;
      }
      out.shares.push_back({within, static_cast<double>(works) / kGates});
    }
    return out;
  }

 private:
  void findDimensions() {
    const Layout& layout = model_.layout;
    for (int k = 1; k <= layout.panel_count; ++k) {
      const std::string panel = "panel " + std::to_string(k);
      const bool has_tail = layout.panel(k).length_mm > layout.panel(k).frame_length_mm;
      dimensions_.push_back({panel + "'s length",
                             [k, has_tail](Deviations& off, double by) {
                               off.panels[k - 1].longer_mm += by;
                               off.panels[k - 1].frame_longer_mm += has_tail ? 0 : by;
                             },
                             {{{KnobKind::kShorten, k}, -1}}});
      dimensions_.push_back({panel + "'s height, by which its guide rail stands",
                             [k](Deviations& off, double by) {
                               off.panels[k - 1].higher_leading_mm += by;
                               off.panels[k - 1].higher_trailing_mm += by;
                             },
                             {{{KnobKind::kRailDown, k}, -1}, {{KnobKind::kChannelUp, k}, 1}}});
      dimensions_.push_back({"height of track " + std::to_string(k),
                             [k](Deviations& off, double by) { off.panels[k - 1].track_mm += by; },
                             {{{KnobKind::kRaise, k}, 1}}});
    }
    dimensions_.push_back({"height of the fixed guide's channel",
                           [](Deviations& off, double by) { off.guide_up_mm += by; },
                           {{{KnobKind::kGuideUp, 0}, 1}}});
    dimensions_.push_back({"place of the fixed guide along the track",
                           [](Deviations& off, double by) { off.guide_mm += by; },
                           {},
                           FixedKind::kGuide});
    if (layout.panel_count > 1) {
      dimensions_.push_back({"place of the ground bracket along the track",
                             [](Deviations& off, double by) { off.ground_bracket_mm += by; },
                             {},
                             FixedKind::kGroundBracket});
    }
    dimensions_.push_back({"place of the motor along the track",
                           [](Deviations& off, double by) { off.pinion_mm += by; },
                           {},
                           FixedKind::kMotor});
  }

  struct FreeKnob {
    Knob knob;
    double least_mm = 0, most_mm = 0;
  };

  void findKnobs() {
    const AsBuiltSpec& built = model_.spec.as_built;
    const double adjust = terminalOf(model_.spec).adjust_mm;
    knobs_.push_back({{KnobKind::kCatch, 0}, -built.stops_most_mm, built.stops_most_mm});
    knobs_.push_back({{KnobKind::kPinionUp, 0}, -kBudgetMostMm, kBudgetMostMm});
    knobs_.push_back({{KnobKind::kPinionAlong, 0}, 0, built.stops_most_mm});
    for (int k = 1; k <= model_.layout.panel_count; ++k) {
      const double along = k == 1 ? built.stops_most_mm : adjust;
      knobs_.push_back({{KnobKind::kAlong, k}, -along, along});
      knobs_.push_back({{KnobKind::kStop, k}, -built.stops_most_mm, built.stops_most_mm});
    }
  }

  void addRules() {
    const BuiltGate gate{&model_.spec, &model_.layout, &drawn_off_};
    const std::vector<BuiltRule> rules = rulesOf(gate);
    std::vector<Row> rows;
    for (const BuiltRule& rule : rules) {
      Row row{rule.what, rule.value_mm(nothing_), {}, {}, rule.least_mm, rule.most_mm};
      for (const FreeKnob& one : knobs_) {
        BuiltSettings set = nothing_;
        valueOf(set, one.knob) = 1;
        row.knobs.push_back(rule.value_mm(set) - row.constant);
      }
      rows.push_back(std::move(row));
    }
    for (const Dimension& dimension : dimensions_) {
      Deviations off = drawn_off_;
      dimension.add(off, 1);
      const std::vector<BuiltRule> moved = rulesOf({&model_.spec, &model_.layout, &off});
      for (std::size_t i = 0; i < rows.size(); ++i) {
        rows[i].dimensions.push_back(moved[i].value_mm(nothing_) - rows[i].constant);
      }
    }
    rows_ = std::move(rows);
  }

  void addPairs() {
    const Movers movers(model_);
    for (const NearPair& pair : nearPairs(model_, kBudgetMostMm / 2)) {
      const double required = std::min(pair.required_mm, model_.spec.as_built.clearance_mm);
      Row row{inWords(pair.a) + " and " + inWords(pair.b), pair.clearance_mm, {}, {}, required};
      for (const FreeKnob& one : knobs_) {
        row.knobs.push_back(movers.widens(pair, one.knob));
      }
      for (const Dimension& dimension : dimensions_) {
        row.dimensions.push_back(widens(movers, pair, dimension));
      }
      rows_.push_back(std::move(row));
    }
  }

  double widens(const Movers& movers, const NearPair& pair, const Dimension& dimension) const {
    double by = 0;
    for (const auto& [knob, times] : dimension.like) {
      by += times * movers.widens(pair, knob);
    }
    for (const int side : {0, 1}) {
      const bool goes = dimension.moves_along != FixedKind::kOther &&
                        movers.isOf(pair.instances[side], dimension.moves_along);
      by += goes ? (side == 1 ? 1 : -1) * pair.apart[0] : 0;
    }
    return by;
  }

  /// The program with each dimension between two bounds; gives its columns.
  std::vector<int> fill(LinearProgram& program, const std::vector<std::array<double, 2>>& bounds,
                        const std::vector<double>& costs) const {
    std::vector<int> columns;
    for (const FreeKnob& one : knobs_) {
      columns.push_back(program.column(one.least_mm, one.most_mm, 0));
    }
    for (std::size_t i = 0; i < dimensions_.size(); ++i) {
      columns.push_back(program.column(bounds[i][0], bounds[i][1], costs[i]));
    }
    for (const Row& row : rows_) {
      std::vector<std::pair<int, double>> factors;
      for (std::size_t i = 0; i < columns.size(); ++i) {
        const double factor = i < knobs_.size() ? row.knobs[i] : row.dimensions[i - knobs_.size()];
        if (std::abs(factor) > 1e-9) {
          factors.emplace_back(columns[i], factor);
        }
      }
      if (factors.empty()) {
        continue;
      }
      const auto bound = [&](double limit) {
        return limit == kEndless    ? LinearProgram::kNoBound
               : limit == -kEndless ? -LinearProgram::kNoBound
                                    : limit - row.constant;
      };
      program.row(factors, std::min(0.0, bound(row.least)), std::max(0.0, bound(row.most)));
    }
    return columns;
  }

  /// How far one dimension may go one way, what is set on site set to suit.
  double reach(std::size_t dimension, int way) const {
    LinearProgram program;
    std::vector<std::array<double, 2>> bounds(dimensions_.size(), {0, 0});
    std::vector<double> costs(dimensions_.size(), 0);
    bounds[dimension] = way > 0 ? std::array<double, 2>{0, kBudgetMostMm}
                                : std::array<double, 2>{-kBudgetMostMm, 0};
    costs[dimension] = -way;
    const std::vector<int> columns = fill(program, bounds, costs);
    const std::vector<double> at = program.solved();
    return at.empty() ? 0 : std::abs(at[columns[knobs_.size() + dimension]]);
  }

  bool canBeSet(const std::vector<double>& off) const {
    LinearProgram program;
    std::vector<std::array<double, 2>> bounds;
    for (const double one : off) {
      bounds.push_back({one, one});
    }
    fill(program, bounds, std::vector<double>(off.size(), 0));
    return !program.solved().empty();
  }

  /// The row without which the tighter side would go on furthest.
  std::string binding(std::size_t dimension, const ToleranceRow& found) const {
    const int way = found.less_mm < found.more_mm ? -1 : 1;
    double least = kBudgetMostMm;
    std::string what;
    for (const Row& row : rows_) {
      const double by = way * row.dimensions[dimension];
      const bool is_set = std::any_of(row.knobs.begin(), row.knobs.end(),
                                      [](double knob) { return std::abs(knob) > 1e-9; });
      const double room = by < 0 ? row.constant - row.least : row.most - row.constant;
      if (std::abs(by) < 1e-9 || (is_set && room / std::abs(by) < found.tightMm() - 1e-6)) {
        continue;
      }
      if (room / std::abs(by) < least) {
        least = room / std::abs(by);
        what = row.what;
      }
    }
    return what;
  }

  /// All dimensions within the same of the drawing: the least that breaks a row, each against it;
  /// what is set on site helps as far as it goes.
  double allAtOnce() const {
    double least = kBudgetMostMm;
    for (const Row& row : rows_) {
      double moves = 0, helps = 0;
      for (const double one : row.dimensions) {
        moves += std::abs(one);
      }
      for (std::size_t i = 0; i < knobs_.size(); ++i) {
        helps += std::abs(row.knobs[i]) * std::min(knobs_[i].most_mm, -knobs_[i].least_mm);
      }
      const double room = std::min(row.constant - row.least, row.most - row.constant);
      if (moves > 1e-9) {
        least = std::min(least, (std::max(0.0, room) + helps) / moves);
      }
    }
    return least;
  }

  const Model& model_;
  BuiltSettings nothing_;
  Deviations drawn_off_;
  std::vector<Dimension> dimensions_;
  std::vector<FreeKnob> knobs_;
  std::vector<Row> rows_;
};

}  // namespace

double ToleranceRow::tightMm() const {
  return std::min(less_mm, more_mm);
}

ToleranceBudget toleranceBudget(const Model& model) {
  return Budget(model).run();
}

}  // namespace leafstack
