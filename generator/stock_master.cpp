#include "generator/stock_master.h"

#include <glpk.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace leafstack::stock {
namespace {

/// Far more than any of these programs takes; against endless cycling.
constexpr int kMostSimplexSteps = 50000;
/// Columns of the whole-number program: more make its nodes slow for little gain.
constexpr std::size_t kMostColumns = 1500;

/// GLPK numbers from 1.
void setEntries(glp_prob* program, int column, const Pattern& pattern) {
  std::vector<int> rows{0};
  std::vector<double> counts{0};
  for (const auto& [type, count] : pattern.pieces) {
    rows.push_back(type + 1);
    counts.push_back(count);
  }
  glp_set_mat_col(program, column, static_cast<int>(pattern.pieces.size()), rows.data(),
                  counts.data());
}

/// What the search for whole numbers needs to know of itself.
struct NodeWatch {
  double target = 0;
  std::int64_t most_steps = 0;  ///< nodes and simplex steps together
  std::vector<double> start;    ///< a solution known beforehand; empty once handed over
};

void watchNodes(glp_tree* tree, void* info) {
  NodeWatch& watch = *static_cast<NodeWatch*>(info);
  int nodes = 0;
  glp_ios_tree_size(tree, nullptr, nullptr, &nodes);
  if (glp_ios_reason(tree) == GLP_IHEUR && !watch.start.empty()) {
    glp_ios_heur_sol(tree, watch.start.data());
    watch.start.clear();
  }
  glp_prob* program = glp_ios_get_prob(tree);
  constexpr double kHalfUnit = 0.5;
  const bool is_reached =
      glp_mip_status(program) == GLP_FEAS && glp_mip_obj_val(program) < watch.target + kHalfUnit;
  if (is_reached || nodes + glp_get_it_cnt(program) > watch.most_steps) {
    glp_ios_terminate(tree);
  }
}

/// False where no solution was found.
bool searchTree(glp_prob* program, NodeWatch& watch) {
  glp_smcp simplex;
  glp_init_smcp(&simplex);
  simplex.msg_lev = GLP_MSG_OFF;
  simplex.it_lim = kMostSimplexSteps;
  glp_adv_basis(program, 0);
  if (glp_simplex(program, &simplex) != 0 || glp_get_status(program) != GLP_OPT) {
    return false;
  }
  glp_iocp control;
  glp_init_iocp(&control);
  control.msg_lev = GLP_MSG_OFF;
  control.cb_func = watchNodes;
  control.cb_info = &watch;
  glp_intopt(program, &control);  // its status tells more than its answer
  const int status = glp_mip_status(program);
  return status == GLP_OPT || status == GLP_FEAS;
}

}  // namespace

struct Master::Program {
  Program() : lp(glp_create_prob()) {}
  ~Program() { glp_delete_prob(lp); }
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;

  glp_prob* lp;
  bool is_moved = false;  ///< demand changed since the last solution
  int steps_before = 0;
  std::int64_t effort = 0;
};

Master::Master(const Problem& problem) : problem_(problem), demand_(problem.demand) {
  glp_term_out(GLP_OFF);
  program_ = std::make_unique<Program>();
  Hundredths unit = 0;
  for (const Hundredths length : problem.stock) {
    unit = std::gcd(unit, length);
  }
  unit_ = static_cast<double>(unit);
  glp_set_obj_dir(program_->lp, GLP_MIN);
  glp_add_rows(program_->lp, static_cast<int>(problem.weight.size()));
  setDemand(problem.demand);
}

Master::~Master() = default;

bool Master::add(const Pattern& pattern) {
  if (pattern.pieces.empty() || !known_.insert(pattern).second) {
    return false;
  }
  patterns_.push_back(pattern);
  const int column = glp_add_cols(program_->lp, 1);
  glp_set_obj_coef(program_->lp, column,
                   static_cast<double>(problem_.stock[pattern.stock]) / unit_);
  setEntries(program_->lp, column, pattern);
  glp_set_col_bnds(program_->lp, column, isProper(pattern) ? GLP_LO : GLP_FX, 0, 0);
  return true;
}

bool Master::isProper(const Pattern& pattern) const {
  return std::all_of(pattern.pieces.begin(), pattern.pieces.end(),
                     [&](const TypeCount& p) { return p.count <= demand_[p.type]; });
}

void Master::setDemand(const std::vector<int>& demand) {
  demand_ = demand;
  for (std::size_t type = 0; type < demand.size(); ++type) {
    glp_set_row_bnds(program_->lp, static_cast<int>(type) + 1, GLP_LO, demand[type], 0);
  }
  for (std::size_t i = 0; i < patterns_.size(); ++i) {
    const int kind = isProper(patterns_[i]) ? GLP_LO : GLP_FX;
    glp_set_col_bnds(program_->lp, static_cast<int>(i) + 1, kind, 0, 0);
  }
  program_->is_moved = true;
}

bool Master::solve() {
  glp_prob* lp = program_->lp;
  glp_smcp control;
  glp_init_smcp(&control);
  control.msg_lev = GLP_MSG_OFF;
  control.it_lim = kMostSimplexSteps;
  // Another demand leaves the duals sound, another column the solution.
  control.meth = program_->is_moved ? GLP_DUALP : GLP_PRIMAL;
  program_->is_moved = false;
  int failed = glp_simplex(lp, &control);
  if (failed != 0) {  // a basis gone bad, mostly
    glp_adv_basis(lp, 0);
    failed = glp_simplex(lp, &control);
  }
  const int steps = glp_get_it_cnt(lp);
  program_->effort += static_cast<std::int64_t>(1 + std::max(0, steps - program_->steps_before)) *
                      (glp_get_num_rows(lp) + glp_get_num_cols(lp));
  program_->steps_before = steps;
  return failed == 0 && glp_get_status(lp) == GLP_OPT;
}

double Master::value() const {
  return glp_get_obj_val(program_->lp) * unit_;
}

double Master::dual(int type) const {
  return glp_get_row_dual(program_->lp, type + 1) * unit_;
}

double Master::times(int pattern) const {
  return glp_get_col_prim(program_->lp, pattern + 1);
}

std::int64_t Master::effort() const {
  return program_->effort;
}

std::vector<int> Master::promising(const std::vector<Pattern>& incumbent) const {
  const double room = (static_cast<double>(bought(problem_, incumbent)) - value()) / unit_;
  const std::set<Pattern> held(incumbent.begin(), incumbent.end());
  std::vector<std::pair<double, int>> found;
  for (int i = 0; i < static_cast<int>(patterns_.size()); ++i) {
    const double reduced_cost = glp_get_col_dual(program_->lp, i + 1);
    if (held.contains(patterns_[i])) {
      found.emplace_back(-1, i);
    } else if (isProper(patterns_[i]) && reduced_cost <= room) {
      found.emplace_back(reduced_cost, i);
    }
  }
  std::sort(found.begin(), found.end());
  found.resize(std::min(found.size(), std::max(kMostColumns, held.size())));
  std::vector<int> chosen;
  for (const auto& [reduced_cost, i] : found) {
    chosen.push_back(i);
  }
  return chosen;
}

void Master::fill(Program& whole, const std::vector<int>& chosen) const {
  glp_set_obj_dir(whole.lp, GLP_MIN);
  glp_add_rows(whole.lp, static_cast<int>(problem_.demand.size()));
  for (std::size_t type = 0; type < problem_.demand.size(); ++type) {
    glp_set_row_bnds(whole.lp, static_cast<int>(type) + 1, GLP_LO, problem_.demand[type], 0);
  }
  glp_add_cols(whole.lp, static_cast<int>(chosen.size()));
  for (int column = 1; column <= static_cast<int>(chosen.size()); ++column) {
    const Pattern& pattern = patterns_[chosen[column - 1]];
    glp_set_obj_coef(whole.lp, column, static_cast<double>(problem_.stock[pattern.stock]) / unit_);
    setEntries(whole.lp, column, pattern);
    glp_set_col_bnds(whole.lp, column, GLP_LO, 0, 0);
    glp_set_col_kind(whole.lp, column, GLP_IV);
  }
}

std::vector<Pattern> Master::wholeNumbers(const std::vector<Pattern>& incumbent, Hundredths target,
                                          std::int64_t most_effort) {
  for (const Pattern& bar : incumbent) {
    add(bar);
  }
  setDemand(problem_.demand);
  if (!solve()) {
    return {};
  }
  const std::vector<int> chosen = promising(incumbent);
  Program whole;
  fill(whole, chosen);
  const auto size = static_cast<std::int64_t>(problem_.demand.size() + chosen.size());
  NodeWatch watch{static_cast<double>(target) / unit_, 1 + most_effort / size, {0}};
  for (const int i : chosen) {
    watch.start.push_back(
        static_cast<double>(std::count(incumbent.begin(), incumbent.end(), patterns_[i])));
  }
  if (!searchTree(whole.lp, watch)) {
    return {};
  }
  std::vector<Pattern> bars;
  for (std::size_t column = 0; column < chosen.size(); ++column) {
    const double times = glp_mip_col_val(whole.lp, static_cast<int>(column) + 1);
    bars.insert(bars.end(), static_cast<std::size_t>(std::lround(std::max(0.0, times))),
                patterns_[chosen[column]]);
  }
  return tidied(problem_, bars);
}

}  // namespace leafstack::stock
