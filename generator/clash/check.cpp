#include <algorithm>
#include <iterator>
#include <limits>
#include <optional>

#include "generator/clash/contacts/as_built.h"
#include "generator/clash/contacts/contacts.h"
#include "generator/clash/findings/findings.h"
#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/alike.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/proof/proof_store.h"
#include "generator/clash/proof/requirements.h"
#include "generator/clash/report/clash.h"
#include "generator/clash/report/finding_part.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

class ClashCheck {
 public:
  ClashCheck(const Model& model, ProofStore* store, const CheckScope& scope)
      : model_(model),
        store_(store),
        scope_(scope),
        shapes_(model, store != nullptr ? &store->meshes : nullptr) {
    declared_with_.resize(model.instances.size());
    is_declared_.resize(model.instances.size());
    for (const Contact& contact : model.contacts) {
      declared_with_[contact.a].push_back(contact.b);
    }
    required_.resize(model.parts.size() * model.parts.size());
    one_body_.reason = "parts of one body must not meet unless they are joined";
    // A floating block beside the panel that its channel is let into.
    one_panel_ = leftAsBuilt({model.spec.checks.guide_clearance_mm,
                              "running clearance of guides (checks.guide_clearance_mm)"});
    report_.least_clearance_mm = kMeasureWithinMm;
  }

  ClashReport run() {
    const std::vector<Near> near = findNear();
    std::vector<AskedPair> asked;
    for (const Near& one : near) {
      asked.push_back(one.pair);
    }
    alike_.judgeAhead(asked);
    for (const Near& one : near) {
      judge(one);
    }
    ContactsChecked contacts = checkContacts(shapes_, store_, scope_);
    report_.designed_contacts = std::move(contacts.rows);
    std::move(contacts.findings.begin(), contacts.findings.end(), std::back_inserter(found_));
    report_.findings = groupFindings(shapes_, found_, scope_.is_trial);
    report_.verdict = verdictOf(report_.findings);
    if (tolerance_mm_ > 0 && (!scope_.is_trial || report_.findings.empty())) {
      report_.as_built =
          (scope_.is_trial ? countAsBuilt : leastAsBuilt)(shapes_, moving_, tolerance_mm_);
      const bool can_meet = report_.as_built.pairs_that_can_meet > 0;
      if (can_meet && report_.verdict == Verdict::kClear) {
        report_.verdict = Verdict::kTight;
      }
    }
    report_.proved_between_positions = std::none_of(
        report_.findings.begin(), report_.findings.end(),
        [](const Finding& finding) { return finding.finding_class == FindingClass::kUnresolved; });
    return std::move(report_);
  }

 private:
  struct Near {
    AskedPair pair;
    const Requirement* required = nullptr;
  };

  /// All pairs that bounds leave open, in order.
  std::vector<Near> findNear() {
    std::vector<Near> found;
    const int count = static_cast<int>(model_.instances.size());
    for (int a = 0; a < count; ++a) {
      for (int b : declared_with_[a]) {
        is_declared_[b] = true;
      }
      for (int b = a + 1; b < count; ++b) {
        addNear(a, b, found);
      }
      for (int b : declared_with_[a]) {
        is_declared_[b] = false;
      }
    }
    return found;
  }

  void addNear(int a, int b, std::vector<Near>& found) {
    ++report_.pairs_checked;
    if (is_declared_[b]) {
      ++report_.counts.declared;
      return;
    }
    const bool is_the_sites = isOfTheSite(a) && isOfTheSite(b);  // not the gate's to keep apart
    if (is_the_sites || scope_.leavesOut(a, b)) {
      ++report_.counts.declared;
      return;
    }
    const bool one_body = shapes_.isOneBody(a, b);
    const Requirement& required = requirementOf(a, b);
    if (!one_body && tolerance_mm_ > 0) {
      moving_.push_back({a, b});
    }
    // Bounds that keep the requirement prove it: many a gap is exactly what is asked.
    const double asked = required.clearance_mm - kClearanceToleranceMm;
    const double margin = one_body ? kTouchMm : std::max(asked, kMeasureWithinMm);
    const Vec3 free = shapes_.playBetween(a, b);
    const auto near = nearStretch(shapes_, a, b, margin, std::max({free[0], free[1], free[2]}));
    if (!near) {
      ++report_.counts.by_bounds;
      return;
    }
    found.push_back({{a, b, required.clearance_mm, *near, free}, &required});
    if (scope_.is_trial) {
      found.back().pair.ends_within_mm = std::numeric_limits<double>::infinity();
    }
  }

  /// An obstacle, with whatever of the site it stands on or in.
  bool isOfTheSite(int instance) const {
    const PartKind kind = shapes_.kindOf(instance);
    return has_obstacles_ && (kind == PartKind::kObstacle || kind == PartKind::kFooting ||
                              kind == PartKind::kFencePost);
  }

  /// Stays valid as long as this object.
  const Requirement& requirementOf(int a, int b) {
    if (shapes_.isOneBody(a, b)) {
      return one_body_;
    }
    const Instance& one = model_.instances[a];
    const Instance& other = model_.instances[b];
    if (one.panel == other.panel) {
      return one_panel_;
    }
    auto& required = required_[one.part * model_.parts.size() + other.part];
    if (!required) {
      required = withCoats(
          leftAsBuilt(requiredClearance(model_.spec, shapes_.kindOf(a), shapes_.kindOf(b))),
          model_.spec.shop, model_.parts[one.part], model_.parts[other.part]);
    }
    return *required;
  }

  /// What a gate is drawn to keep has room for build errors; as it was built they are known.
  Requirement leftAsBuilt(Requirement drawn) const {
    const double least = model_.spec.as_built.clearance_mm;
    return model_.unsure_mm.empty() || drawn.clearance_mm <= least
               ? drawn
               : Requirement{least, "least clearance as built (as_built.clearance_mm)"};
  }

  void judge(const Near& near) {
    const auto [a, b] = std::pair(near.pair.a, near.pair.b);
    const PairVerdict verdict = alike_.judge(near.pair);
    ++report_.counts.by_sweep;
    report_.counts.refined += verdict.fineness == Fineness::kCoarse ? 0 : 1;
    const bool moves = !shapes_.isOneBody(a, b);
    if (moves && verdict.least.clearance_mm < report_.least_clearance_mm) {
      report_.least_clearance_mm = std::max(0.0, verdict.least.clearance_mm);
      report_.least_clearance_at_mm = verdict.least.at_mm;
      report_.least_clearance_between =
          inWords(describe(model_, a)) + " and " + inWords(describe(model_, b));
    }
    if (verdict.state == PairState::kProved) {
      return;
    }
    const bool is_short = verdict.state == PairState::kShort;
    ++(is_short ? report_.counts.short_of : report_.counts.unresolved);
    PairFinding finding;
    finding.a = a;
    finding.b = b;
    finding.fault = is_short ? PairFault::kShort : PairFault::kUnresolved;
    finding.required = *near.required;
    const double play = near.pair.widestMm() - near.pair.required_mm;
    if (play > 0) {
      finding.required.clearance_mm += play;
      finding.required.reason +=
          ", and " + shown(play, 2) +
          (model_.off_mm.empty() ? " by which ropes may leave the panels off their places "
                                   "(ground.uneven, rope_play_mm)"
                                 : " by which what was measured leaves them off their places "
                                   "(as_built)");
    }
    finding.contact = verdict.contact;
    finding.below = verdict.below;
    finding.ends_within_mm = verdict.ends_within_mm;
    finding.least = verdict.least;
    finding.fineness = verdict.fineness;
    finding.is_contained = verdict.is_contained;
    finding.is_coarse = verdict.is_coarse;
    finding.doubt = verdict.is_coarse ? std::string(kUsedUp) : "";
    found_.push_back(std::move(finding));
  }

  const Model& model_;
  ProofStore* store_;
  const CheckScope& scope_;
  double tolerance_mm_ = toleranceOf(model_);
  PlacedShapes shapes_;
  AlikePairs alike_{shapes_, store_};
  std::vector<std::vector<int>> declared_with_;  ///< by a contact's first instance
  bool has_obstacles_ =
      !model_.spec.site.obstacles.empty() || !model_.spec.site.surroundings.empty();
  std::vector<char> is_declared_;  ///< with the first instance in hand
  Requirement one_body_, one_panel_;
  std::vector<std::optional<Requirement>> required_;  ///< by both parts
  std::vector<std::array<int, 2>> moving_;
  std::vector<PairFinding> found_;
  ClashReport report_;
};

}  // namespace

ClashReport checkClashes(const Model& model, ProofStore* store, const CheckScope& scope) {
  ClashReport report = ClashCheck(model, store, scope).run();
  if (store != nullptr) {
    store->endCheck();
  }
  return report;
}

}  // namespace leafstack
