// A gate tried with other values: read, laid out, built and loaded as any gate is.
#pragma once

#include <functional>
#include <limits>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "generator/clash/proof/proof_store.h"
#include "generator/clash/report/clash.h"
#include "generator/loads/load_report.h"
#include "generator/model/part_store.h"
#include "generator/verdict/warning.h"
#include "params/read_gate.h"

namespace leafstack {

/// Reads the gate with settings that come after all of its own. Always called from one thread.
using ReadGate = std::function<ReadResult(std::span<const Override>)>;

/// Settings of a trial, each pointer once.
using Settings = std::vector<Override>;

/// `more` over `settings`: what both set is as `more` says.
Settings merged(Settings settings, const Settings& more);
/// "/gate/stile=SHS 60x60x3".
std::string inText(const Override& setting);

/// How the clash check ended.
struct ClashOutcome {
  Verdict verdict = Verdict::kClear;
  int findings = 0;
  long pairs = 0;  ///< of parts that it took, as weighedPairs() has them
};

/// Pairs of a gate's made parts, screws left out; on surveyed ground, where a pair's check takes
/// many times as long, so many times as many.
long weighedPairs(const Model& model);

/// What came of one trial.
struct Outcome {
  std::string problem;                 ///< why nothing could be built; all but `spec` is empty then
  GateSpec spec;                       ///< as read; of no gate where it could not be read
  double rails_mm = 0, stiles_mm = 0;  ///< of one rail of every panel, and of all stiles
  StructureReport structure;
  std::vector<Warning> warnings;  ///< as warningsOf(model, loads) has them
  std::optional<ClashOutcome> clash;
  long instances = 0;

  bool isMade() const { return problem.empty(); }
  int count(const std::string& id) const;
  /// Ids of what tells against the gate, each once; "clash" where that was checked and found any.
  std::vector<std::string> reasons() const;
  /// Greatest of the warnings of this id; 0 where there is none.
  double timesAllowed(const std::string& id) const;
};

/// Parts and proofs that gates have in common.
struct TrialStores {
  PartStore parts;
  ProofStore proofs;
};

/// A gate that is laid out and fits, built and loaded; without the clash check. May be called from
/// several threads.
Outcome builtOutcome(const GateSpec& spec, const Layout& layout, PartStore& parts);

/// The clash check of such a gate.
ClashOutcome provedOutcome(const GateSpec& spec, const Layout& layout, TrialStores& stores);

/// Tries gates, and remembers what came of each. Everything is counted, nothing timed; the outcomes
/// are the same for any number of threads.
class Trials {
 public:
  /// With the stores of whoever built the gate as it is, where there are any.
  explicit Trials(ReadGate read,
                  std::shared_ptr<TrialStores> stores = std::make_shared<TrialStores>())
      : read_(std::move(read)), stores_(std::move(stores)) {}

  /// Without the clash check, side by side. In the order given.
  std::vector<Outcome> outcomes(const std::vector<Settings>& all);
  Outcome outcome(const Settings& settings) { return outcomes({settings}).front(); }
  /// With the clash check, where that may be made.
  Outcome proved(const Settings& settings);
  /// A check of as many pairs has been made, and none is made once one took more than `most`.
  void limitProofs(long most, long pairs_of_one) {
    most_pairs_of_one_ = most;
    dearest_proof_ = pairs_of_one;
  }
  bool mayProve() const { return dearest_proof_ <= most_pairs_of_one_; }
  /// Parts of all gates that were built, each as often as it stands in them, on surveyed ground by
  /// how many points that has.
  long builtInstances() const { return built_instances_; }
  /// Weighed pairs of all clash checks.
  long checkedPairs() const { return checked_pairs_; }

 private:
  ReadGate read_;
  std::shared_ptr<TrialStores> stores_;
  std::map<std::string, Outcome> known_;
  long built_instances_ = 0, checked_pairs_ = 0;
  long most_pairs_of_one_ = std::numeric_limits<long>::max(), dearest_proof_ = 0;
};

}  // namespace leafstack
