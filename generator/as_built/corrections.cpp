#include "generator/as_built/corrections.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "generator/as_built/adjustment_words.h"
#include "generator/as_built/correction_program.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

// What is further beyond what is asked than this takes no row until a proof says otherwise: within
// it stands all that moves of 20 mm, the most that is set, could bring together on one side. Own
// choice.
constexpr double kLookedAtMm = 12;
constexpr int kMostRounds = 8;

/// What is left unsure may make it tight; a clearance that is short does not do.
bool isClear(const ClashReport& report) {
  return report.findings.empty();
}

class Correction {
 public:
  Correction(const BuiltGate& gate, const CorrectionStores& stores)
      : gate_(gate), stores_(stores), rules_(rulesOf(gate)) {
    out_.set = BuiltSettings(gate.drawn->panel_count);
  }

  Corrected run() {
    const bool keeps_rules = keepsRules(out_.set);
    prove(/*with_unsure=*/keeps_rules);
    if (isClear(out_.proved) && keeps_rules) {
      out_.as_measured = out_.proved;
      finish(BuiltVerdict::kWorks);
      return std::move(out_);
    }
    out_.as_measured = out_.proved;
    if (findContradictions()) {
      finish(BuiltVerdict::kCannot);
      return std::move(out_);
    }
    addRows(nearPairs(out_.model, kLookedAtMm, stores_.proofs));
    addRows(pairsOf(out_.model, out_.proved.findings, /*off_ends=*/false));
    const BuiltSettings as_measured = out_.set;
    if (searched(/*remaking=*/false)) {
      finish(BuiltVerdict::kWorksAfter);
    } else {
      out_.set = as_measured;
      const bool found = searched(/*remaking=*/true);
      finish(found ? BuiltVerdict::kRemake : BuiltVerdict::kCannot);
    }
    return std::move(out_);
  }

 private:
  /// `with_unsure`: what measurements leave unsure, too, which only tells how tight it is.
  void prove(bool with_unsure) {
    out_.model = builtModel(gate_, out_.set, stores_.parts);
    if (!with_unsure) {
      out_.model.unsure_mm.assign(out_.model.unsure_mm.size(), {});
    }
    check(/*is_trial=*/true);
    ++out_.proofs;
  }

  void check(bool is_trial) {
    const std::vector<FixedGroup> groups = fixedGroups(out_.model);
    out_.proved = checkClashes(out_.model, stores_.proofs,
                               {[&](int a, int b) {
                                  return isForTheDrawing(out_.model, groups, a, b) ||
                                         isRopeEnd(out_.model, a, b);
                                },
                                is_trial});
  }

  /// Of what stands apart on the footing nothing can be in each other, whatever is set.
  bool findContradictions() {
    const std::vector<FixedGroup> groups = fixedGroups(out_.model);
    for (const Finding& finding : out_.as_measured.findings) {
      const auto body = [&](int instance) { return out_.model.instances[instance].body; };
      const bool can_give_way =
          !gate_.off->motor_is_measured && (groups[finding.instance_a].kind == FixedKind::kMotor ||
                                            groups[finding.instance_b].kind == FixedKind::kMotor);
      if (body(finding.instance_a) == body(finding.instance_b) && !can_give_way) {
        out_.contradictions.push_back(
            inWords(finding.a) + " would stand in " + inWords(finding.b) +
            (finding.depth_mm > 0 ? " by " + shown(finding.depth_mm, 1) + " mm" : "") +
            ": one of them is measured from elsewhere, or was cut since. Measure both again");
      }
    }
    return !out_.contradictions.empty();
  }

  bool keepsRules(const BuiltSettings& set) const {
    return std::all_of(rules_.begin(), rules_.end(),
                       [&](const BuiltRule& rule) { return rule.shortMm(set) == 0; });
  }

  void addRows(const std::vector<NearPair>& pairs) {
    const Movers movers(out_.model);
    for (const NearPair& pair : pairs) {
      ClearanceRow row = rowOf(gate_, movers, pair, out_.set);
      const bool any = std::any_of(row.per_knob.begin(), row.per_knob.end(), acts) ||
                       std::any_of(row.if_relaid.begin(), row.if_relaid.end(), acts);
      if (any) {
        rows_.push_back(std::move(row));
      }
    }
  }

  /// How rows are taken: at the measured gate; or at what each round has come to, since a row is a
  /// straight line and may forbid, a long way off, what does; and then along the travel where parts
  /// run into each other towards one of its ends (pairsOf()).
  enum class Taken { kAsMeasured, kWhereItCame, kOffEnds };

  /// BuiltSettings that are proved to do; false where there are none, or none was found in time.
  bool searched(bool remaking) {
    const std::vector<Choice> choices = choicesOf(gate_, remaking);
    const std::vector<ClearanceRow> as_measured = rows_;
    for (const Taken taken : {Taken::kAsMeasured, Taken::kWhereItCame, Taken::kOffEnds}) {
      if (approached(choices, taken)) {
        return true;
      }
      rows_.clear();
    }
    rows_ = as_measured;
    return false;
  }

  bool approached(const std::vector<Choice>& choices, Taken taken) {
    for (int round = 0; round < kMostRounds; ++round) {
      const std::optional<BuiltSettings> set = cheapest(gate_, rules_, rows_, choices);
      if (!set) {
        return false;
      }
      out_.set = *set;
      prove(/*with_unsure=*/true);
      if (isClear(out_.proved)) {
        return true;
      }
      if (taken != Taken::kAsMeasured) {
        rows_.clear();
        addRows(nearPairs(out_.model, kLookedAtMm, stores_.proofs));
      }
      const std::size_t before = rows_.size();
      addRows(pairsOf(out_.model, out_.proved.findings, /*off_ends=*/taken == Taken::kOffEnds));
      if (rows_.size() == before) {
        return false;  // what is found has no way apart that anything set could take
      }
    }
    return false;
  }

  void finish(BuiltVerdict verdict) {
    out_.verdict = verdict;
    if (!isClear(out_.proved)) {
      check(/*is_trial=*/false);
    }
    for (const Finding& finding : out_.as_measured.findings) {
      const bool stays = std::any_of(out_.proved.findings.begin(), out_.proved.findings.end(),
                                     [&](const Finding& after) { return after.id == finding.id; });
      out_.pairs.push_back({inWords(finding.a) + " and " + inWords(finding.b),
                            finding.depth_mm > 0 ? -finding.depth_mm : finding.clearance_mm,
                            finding.required_mm, !stays});
    }
    for (const BuiltRule& rule : rules_) {
      const double lacks = rule.shortMm(out_.set);
      if (lacks > 0) {
        out_.unmet.push_back(unmetInWords(rule, out_.set));
      }
    }
    if (!isClear(out_.proved) && out_.contradictions.empty()) {
      for (const Finding& finding : out_.proved.findings) {
        out_.unmet.push_back(finding.text);
      }
    }
    tellSettings(gate_, out_);
  }

  const BuiltGate& gate_;
  CorrectionStores stores_;
  std::vector<BuiltRule> rules_;
  std::vector<ClearanceRow> rows_;
  Corrected out_;
};

}  // namespace

std::string_view toString(BuiltVerdict verdict) {
  switch (verdict) {
    case BuiltVerdict::kWorks:
      return "works";
    case BuiltVerdict::kWorksAfter:
      return "works after correction";
    case BuiltVerdict::kRemake:
      return "works after re-cutting";
    case BuiltVerdict::kCannot:
      return "cannot work";
  }
  return "";
}

Corrected correct(const BuiltGate& gate, const CorrectionStores& stores) {
  return Correction(gate, stores).run();
}

}  // namespace leafstack
