#include "generator/loads/frame/space_frame.h"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "generator/geometry/numbers.h"
#include "generator/loads/frame/member_matrices.h"

namespace leafstack::frame {
namespace {

using Sparse = Eigen::SparseMatrix<double>;
using Triplets = std::vector<Eigen::Triplet<double>>;

constexpr int kPerNode = 6;
/// A pivot this much less than its row's own stiffness has lost nearly all of its figures: what it
/// stands for is free to move.
constexpr double kFreePivot = 1e-11;
constexpr double kMmPerM = 1e3;

/// Number of each free movement among the unknowns; -1 for held ones.
std::vector<int> unknownsOf(const Frame& frame, int& count) {
  std::vector<int> numbers(frame.nodes.size() * kPerNode, -1);
  count = 0;
  std::vector<bool> turns(frame.nodes.size());
  for (const Member& member : frame.members) {
    if (!member.is_link) {
      turns[member.a] = turns[member.b] = true;
    }
  }
  for (std::size_t node = 0; node < frame.nodes.size(); ++node) {
    for (int i = 0; i < kPerNode; ++i) {
      // Where only links end, nothing resists a turn and nothing asks for one.
      if (!frame.nodes[node].held[i] && (i < 3 || turns[node])) {
        numbers[node * kPerNode + i] = count++;
      }
    }
  }
  return numbers;
}

std::array<int, 12> unknownsOf(const Member& member, const std::vector<int>& numbers) {
  std::array<int, 12> out{};
  for (int i = 0; i < kPerNode; ++i) {
    out[i] = numbers[member.a * kPerNode + i];
    out[i + kPerNode] = numbers[member.b * kPerNode + i];
  }
  return out;
}

void add(const Matrix12& matrix, const std::array<int, 12>& unknowns, Triplets& triplets) {
  for (int row = 0; row < 12; ++row) {
    for (int column = 0; column < 12; ++column) {
      if (unknowns[row] >= 0 && unknowns[column] >= 0 && matrix(row, column) != 0) {
        triplets.emplace_back(unknowns[row], unknowns[column], matrix(row, column));
      }
    }
  }
}

Sparse assembled(int size, const Triplets& triplets) {
  Sparse out(size, size);
  out.setFromTriplets(triplets.begin(), triplets.end());
  return out;
}

std::string placeOf(const Frame& frame, int node) {
  const Vec3& at = frame.nodes[node].at;
  return "(" + shown(at[0], 1) + ", " + shown(at[1], 1) + ", " + shown(at[2], 1) + ")";
}

}  // namespace

struct Solver::Ready {
  const Frame frame;
  int size = 0;
  std::vector<int> numbers;
  Sparse stiffness;
  Eigen::SimplicialLDLT<Sparse> factors;

  explicit Ready(const Frame& given) : frame(given), numbers(unknownsOf(frame, size)) {
    Triplets triplets;
    for (const Member& member : frame.members) {
      if (!(lengthMm(frame, member) > 0)) {
        throw std::domain_error("a member of no length at " + placeOf(frame, member.a));
      }
      add(stiffnessOf(frame, member), unknownsOf(member, numbers), triplets);
    }
    stiffness = assembled(size, triplets);
    factors.compute(stiffness);
    refuseFreeParts();
  }

  /// Pivots in the order they were found: what follows one that is nothing was never computed.
  void refuseFreeParts() const {
    const Eigen::VectorXd pivots = factors.vectorD();
    const auto& unknown_at = factors.permutationPinv().indices();
    for (int i = 0; i < size; ++i) {
      const int unknown = unknown_at[i];
      if (!(pivots[i] > kFreePivot * stiffness.coeff(unknown, unknown))) {
        const auto found = std::find(numbers.begin(), numbers.end(), unknown);
        throw std::domain_error(
            "free to move at " +
            placeOf(frame, static_cast<int>(found - numbers.begin()) / kPerNode));
      }
    }
  }

  Eigen::VectorXd gathered(const std::vector<Six>& by_node) const {
    Eigen::VectorXd out = Eigen::VectorXd::Zero(size);
    for (std::size_t i = 0; i < numbers.size(); ++i) {
      if (numbers[i] >= 0) {
        out[numbers[i]] += by_node[i / kPerNode][i % kPerNode];
      }
    }
    return out;
  }

  std::vector<Six> spread(const Eigen::VectorXd& unknowns) const {
    std::vector<Six> out(frame.nodes.size(), kFree);
    for (std::size_t i = 0; i < numbers.size(); ++i) {
      if (numbers[i] >= 0) {
        out[i / kPerNode][i % kPerNode] = unknowns[numbers[i]];
      }
    }
    return out;
  }
};

Solver::Solver(const Frame& frame) : ready_(std::make_unique<Ready>(frame)) {}
Solver::~Solver() = default;
Solver::Solver(Solver&&) noexcept = default;

Response Solver::solve(const Loads& loads) const {
  const Frame& frame = ready_->frame;
  Response out;
  out.held.assign(frame.nodes.size(), kFree);
  out.along.assign(frame.members.size(), Vec3{});
  std::vector<Six> forces(frame.nodes.size(), kFree);
  for (const auto& [node, force] : loads.on_nodes) {
    for (int i = 0; i < kPerNode; ++i) {
      forces[node][i] += force[i];
    }
  }
  std::vector<Vector12> fixed_ends(frame.members.size(), Vector12::Zero());
  for (const auto& [index, load] : loads.along_members) {
    const Member& member = frame.members[index];
    const Vec3 own = turned(axesOf(frame, member), load);
    out.along[index] = plus(out.along[index], own);
    fixed_ends[index] += evenLoad(frame, member, own);
  }
  for (std::size_t i = 0; i < frame.members.size(); ++i) {
    const Vector12 shared = toFrame(frame, frame.members[i], fixed_ends[i]);
    for (int k = 0; k < kPerNode; ++k) {
      forces[frame.members[i].a][k] += shared[k];
      forces[frame.members[i].b][k] += shared[k + kPerNode];
    }
  }
  const Eigen::VectorXd load = ready_->gathered(forces);
  Eigen::VectorXd moved = ready_->factors.solve(load);
  // Once more on what is left: stiff joints beside long members cost figures.
  moved += ready_->factors.solve(load - ready_->stiffness * moved);
  out.moved = ready_->spread(moved);
  out.work_Nmm = load.dot(moved) / 2;

  std::vector<Six> inner(frame.nodes.size(), kFree);
  for (std::size_t i = 0; i < frame.members.size(); ++i) {
    const Member& member = frame.members[i];
    const Vector12 own = toOwn(frame, member, out.moved[member.a], out.moved[member.b]);
    const Vector12 stretched = ownStiffness(frame, member) * own;
    out.energy_Nmm += own.dot(stretched) / 2;
    const Vector12 ends = stretched - fixed_ends[i];
    std::array<double, 12>& kept = out.ends.emplace_back();
    std::copy(ends.begin(), ends.end(), kept.begin());
    const Vector12 in_frame = toFrame(frame, member, stretched);
    for (int k = 0; k < kPerNode; ++k) {
      inner[member.a][k] += in_frame[k];
      inner[member.b][k] += in_frame[k + kPerNode];
    }
  }
  for (std::size_t node = 0; node < frame.nodes.size(); ++node) {
    for (int i = 0; i < kPerNode; ++i) {
      if (frame.nodes[node].held[i]) {
        out.held[node][i] = inner[node][i] - forces[node][i];
      }
    }
  }
  return out;
}

Inner Response::inside(const Frame& frame, int member, double share) const {
  const double x = share * lengthMm(frame, frame.members[member]);
  const std::array<double, 12>& e = ends[member];
  const Vec3& w = along[member];
  // The part from `a` to here: what its end a and the load bring is what the rest holds.
  Inner out;
  out.pull_N = -e[0] - w[0] * x;
  out.shear_y_N = -e[1] - w[1] * x;
  out.shear_z_N = -e[2] - w[2] * x;
  out.twist_Nmm = -e[3];
  out.about_y_Nmm = -e[4] - e[2] * x - w[2] * x * x / 2;
  out.about_z_Nmm = -e[5] + e[1] * x + w[1] * x * x / 2;
  return out;
}

std::vector<double> Solver::frequencies(int count, std::vector<std::vector<Six>>* shapes) const {
  const Frame& frame = ready_->frame;
  Triplets triplets;
  for (const Member& member : frame.members) {
    add(massOf(frame, member), unknownsOf(member, ready_->numbers), triplets);
  }
  for (std::size_t i = 0; i < ready_->numbers.size(); ++i) {
    const int unknown = ready_->numbers[i];
    if (unknown >= 0 && i % kPerNode < 3 && frame.nodes[i / kPerNode].mass_kg > 0) {
      triplets.emplace_back(unknown, unknown, frame.nodes[i / kPerNode].mass_kg);
    }
  }
  const Sparse mass = assembled(ready_->size, triplets);
  // Subspace iteration from fixed shapes, a few more than are asked for (Bathe and Wilson).
  constexpr int kSpare = 5, kTurns = 40;
  constexpr double kSettled = 1e-6;  // three digits are told
  const int wide = std::min(count + kSpare, ready_->size);
  count = std::min(count, ready_->size);
  Eigen::MatrixXd trial(ready_->size, wide);
  for (int column = 0; column < wide; ++column) {
    for (int row = 0; row < ready_->size; ++row) {
      trial(row, column) = std::sin(1.0 + row * (column + 1.618));
    }
  }
  Eigen::VectorXd values = Eigen::VectorXd::Zero(wide);
  for (int turn = 0; turn < kTurns; ++turn) {
    const Eigen::MatrixXd next = ready_->factors.solve(mass * trial);
    const Eigen::MatrixXd small_k = next.transpose() * (ready_->stiffness * next);
    const Eigen::MatrixXd small_m = next.transpose() * (mass * next);
    const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::MatrixXd> small(small_k, small_m);
    const Eigen::VectorXd found = small.eigenvalues();
    trial = next * small.eigenvectors();
    const double change = (found - values).head(count).cwiseAbs().maxCoeff();
    values = found;
    if (change <= kSettled * values[count - 1]) {
      break;
    }
  }
  std::vector<double> out;
  for (int i = 0; i < count; ++i) {
    // Stiffness is in N/mm, which is 1000 kg/s2.
    out.push_back(std::sqrt(values[i] * kMmPerM) / (2 * std::numbers::pi));
    if (shapes != nullptr) {
      shapes->push_back(ready_->spread(trial.col(i) / trial.col(i).cwiseAbs().maxCoeff()));
    }
  }
  return out;
}

}  // namespace leafstack::frame
