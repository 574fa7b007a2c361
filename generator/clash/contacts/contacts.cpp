#include "generator/clash/contacts/contacts.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "generator/clash/contacts/engagement.h"
#include "generator/clash/contacts/shallow.h"
#include "generator/clash/contacts/turns.h"
#include "generator/clash/placed/ahead.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/proof/proof_store.h"
#include "generator/clash/report/finding_part.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

const Stretch kStanding{0, 0};
constexpr double kNever = -std::numeric_limits<double>::infinity();

bool covers(const std::vector<Stretch>& held, const Stretch& whole) {
  return held.size() == 1 && held.front().from_mm <= whole.from_mm + kStretchEndMm &&
         held.front().to_mm >= whole.to_mm - kStretchEndMm;
}

class ContactCheck {
 public:
  ContactCheck(PlacedShapes& shapes, ProofStore* store, const CheckScope& scope)
      : shapes_(shapes), store_(store), scope_(scope), model_(shapes.model()) {
    whole_ = {0, model_.layout.drive_travel_mm};
  }

  ContactsChecked run() {
    judgeAhead();
    for (const Contact& contact : model_.contacts) {
      if (scope_.leavesOut(contact.a, contact.b)) {
        continue;
      }
      const KeptContact& judged = judgedOf(contact);
      const std::vector<Stretch>& held = judged.held;
      count(contact, held);
      if (judged.is_cut) {
        addOpen(contact);
      } else if (!isInTurns(contact)) {
        Off off;
        for (const Engagement& engagement : contact.engagements) {
          addOff(engagement, outerOf(contact, engagement),
                 shapes_.ownBounds(outerOf(contact, engagement)), off);
        }
        reportLost(contact, held, std::move(off));
      }
      if (!judged.is_shallow && !judged.is_cut) {
        if (isBentRope(contact)) {
          addLost(contact, {whole_},
                  "the rope would bend by up to " + shown(bendDeg(contact), 1) +
                      " degrees where it is held, more than " + shown(mostBendDeg(), 1) + ": " +
                      contact.reason);
        } else {
          addTooDeep(contact);
        }
      }
    }
    checkTurns();
    checkRopes();
    return std::move(checked_);
  }

 private:
  static int outerOf(const Contact& contact, const Engagement& engagement) {
    return engagement.inner == contact.a ? contact.b : contact.a;
  }

  /// Of a rope that goes too far aside to be drawn straight up to what holds it: that is what there
  /// is to tell, not how deep the straight one would lie in it.
  bool isBentRope(const Contact& contact) const { return bendDeg(contact) > mostBendDeg(); }
  double mostBendDeg() const { return mostRopeBendDeg(model_.spec.ropes.diameter_mm / 2); }
  double bendDeg(const Contact& contact) const {
    double most = 0;
    for (const int one : {contact.a, contact.b}) {
      most = std::max(most, shapes_.isRope(one) ? shapes_.ropeBendDeg(one) : 0);
    }
    return most;
  }

  bool changes(const Contact& contact) const { return shapes_.changes(contact.a, contact.b); }
  Stretch stretchOf(const Contact& contact) const { return changes(contact) ? whole_ : kStanding; }

  /// The same two parts in the same relative place behave alike: what was found for the first.
  const KeptContact& judgedOf(const Contact& contact) {
    if (changes(contact)) {
      moving_ = judgeAnew(contact);
      return moving_;
    }
    const auto [at, is_new] = judged_.try_emplace(shapes_.placeKey(contact.a, contact.b));
    if (is_new) {
      at->second = judgeAnew(contact);
    }
    return at->second;
  }

  /// On all cores what judgedOf() will ask for.
  void judgeAhead() {
    std::set<PlacedShapes::PlaceKey> standing;
    std::vector<std::pair<const Contact*, const Contact*>> firsts;
    for (const Contact& contact : model_.contacts) {
      if (scope_.leavesOut(contact.a, contact.b)) {
        continue;
      }
      if (changes(contact) || standing.insert(shapes_.placeKey(contact.a, contact.b)).second) {
        firsts.push_back({&contact, &contact});
      }
    }
    searches_.expect(std::move(firsts));
  }

  KeptContact judgeAnew(const Contact& contact) { return searches_.inTurn(&contact, &contact); }

  KeptContact keptOrJudged(const Contact& contact, const Effort& granted) {
    std::string key = store_ != nullptr ? shapes_.exactKey(contact.a, contact.b) : "";
    if (key.empty()) {
      return judgeNow(contact, granted);
    }
    key += ExactKey()
               .add(contact.permitted_gap_mm)
               .add(contact.permitted_overlap_mm)
               .add(static_cast<double>(granted.left()))
               .bytes();
    if (const auto kept = store_->contacts.find(key)) {
      return *kept;
    }
    return *store_->contacts.keep(key, judgeNow(contact, granted));
  }

  KeptContact judgeNow(const Contact& contact, Effort effort) {
    KeptContact judged;
    judged.held = heldOver(contact, effort);
    judged.is_shallow = !effort.isCut() && isShallow(shapes_, contact, stretchOf(contact), effort);
    judged.is_cut = effort.isCut();
    if (judged.is_cut) {
      judged.held.clear();  // stretches of a search that was cut short may be too long
    }
    judged.effort = effort;
    return judged;
  }
  static PairQuery queryOf(const Contact& contact, Effort& effort) {
    return {.a = contact.a, .b = contact.b, .effort = &effort};
  }

  void addOpen(const Contact& contact) {
    PairFinding finding;
    finding.a = contact.a;
    finding.b = contact.b;
    finding.fault = PairFault::kUnresolved;
    finding.required = {contact.permitted_gap_mm, "designed contact: " + contact.reason};
    finding.below = {stretchOf(contact)};
    finding.ends_within_mm = finding.below.front().to_mm;
    finding.is_coarse = true;
    finding.doubt = kUsedUp;
    finding.least.clearance_mm = 0;
    checked_.findings.push_back(std::move(finding));
  }

  // ------------------------------------------------------------------ does it hold

  std::vector<Stretch> heldOver(const Contact& contact, Effort& effort) {
    const double limit = contact.permitted_gap_mm + kClearanceToleranceMm;
    if (changes(contact)) {
      return stretchesBetween(shapes_, queryOf(contact, effort), whole_, limit, Reading::kLeast);
    }
    const Clearance least = leastBetween(shapes_, queryOf(contact, effort), kStanding,
                                         {limit + kContactToleranceMm, kNever, limit});
    return least.at_least_mm <= limit ? std::vector<Stretch>{kStanding} : std::vector<Stretch>{};
  }

  void count(const Contact& contact, const std::vector<Stretch>& held) {
    const FindingPart a = describe(model_, contact.a);
    const FindingPart b = describe(model_, contact.b);
    const auto [at, is_new] = row_of_.try_emplace(
        {a.mark, a.panel, b.mark, b.panel, contact.reason}, static_cast<int>(checked_.rows.size()));
    if (is_new) {
      ContactReport row;
      row.a = a;
      row.b = b;
      row.kind = std::string(toString(contact.kind));
      row.reason = contact.reason;
      row.holds = std::string(toString(holdsOf(contact)));
      row.permitted_gap_mm = contact.permitted_gap_mm;
      row.permitted_overlap_mm = contact.permitted_overlap_mm;
      checked_.rows.push_back(row);
    }
    ContactReport& row = checked_.rows[at->second];
    ++row.pairs;
    row.hits += held.empty() ? 0 : 1;
    const bool stands = !changes(contact) && !held.empty();
    row.held_mm.insert(row.held_mm.end(), held.begin(), held.end());
    if (stands) {
      row.held_mm.push_back(whole_);
    }
    row.held_mm = united(std::move(row.held_mm));
  }

  /// Where it does not hold as it should, whether or not the parts are near each other.
  struct Off {
    std::vector<Stretch> unnamed;                       ///< of engagements that say nothing of it
    std::map<std::string, std::vector<Stretch>> named;  ///< by what they say
    std::vector<Stretch> all() const {
      std::vector<Stretch> all = unnamed;
      for (const auto& [words, where] : named) {
        all.insert(all.end(), where.begin(), where.end());
      }
      return united(std::move(all));
    }
  };

  void reportLost(const Contact& contact, const std::vector<Stretch>& held, Off off) {
    const Stretch whole = stretchOf(contact);
    if (holdsOf(contact) == ContactHolds::kAtAnEnd) {
      const bool at_an_end = !held.empty() && (held.front().from_mm <= kStretchEndMm ||
                                               held.back().to_mm >= whole_.to_mm - kStretchEndMm);
      if (!at_an_end) {
        addLost(contact, {whole_}, "neither end of the travel is stopped: " + contact.reason);
      }
      return;
    }
    std::vector<Stretch> lost = off.unnamed;
    if (!covers(held, whole)) {
      // What has left its hold by a named end is lost by that, and needs no second finding.
      const std::vector<Stretch> said = off.all();
      for (const Stretch& gap : gapsBetween(held, whole)) {
        const std::vector<Stretch> rest =
            off.named.empty() ? std::vector<Stretch>{gap} : gapsBetween(within(said, gap), gap);
        lost.insert(lost.end(), rest.begin(), rest.end());
      }
    }
    if (!lost.empty()) {
      addLost(contact, united(std::move(lost)),
              (off.unnamed.empty() ? "designed contact is lost: "
                                   : "designed contact leaves what holds it: ") +
                  contact.reason);
    }
    for (auto& [words, where] : off.named) {
      addLost(contact, united(std::move(where)), words);
    }
  }

  static std::vector<Stretch> within(const std::vector<Stretch>& stretches, const Stretch& whole) {
    std::vector<Stretch> parts;
    for (const Stretch& one : stretches) {
      const Stretch part{std::max(one.from_mm, whole.from_mm), std::min(one.to_mm, whole.to_mm)};
      if (part.from_mm <= part.to_mm) {
        parts.push_back(part);
      }
    }
    return parts;
  }

  void addLost(const Contact& contact, std::vector<Stretch> where, std::string why) {
    PairFinding finding;
    finding.a = contact.a;
    finding.b = contact.b;
    finding.fault = PairFault::kContactLost;
    finding.required = {contact.permitted_gap_mm, std::move(why)};
    finding.below = std::move(where);
    finding.ends_within_mm = kStretchEndMm;
    finding.fineness = Fineness::kFine;
    checked_.findings.push_back(std::move(finding));
  }

  // ------------------------------------------------------------------ does it stay on

  /// Both ends of the core against both ends of what holds it.
  void addOff(const Engagement& engagement, int outer, const Bounds& held_by, Off& off) const {
    const OffEnds ends = whereOff(shapes_, engagement, outer, held_by);
    const auto add = [&](const std::vector<Stretch>& where, const std::string& words) {
      if (!where.empty()) {
        std::vector<Stretch>& all = words.empty() ? off.unnamed : off.named[words];
        all.insert(all.end(), where.begin(), where.end());
      }
    };
    add(ends.low, engagement.leaves_low);
    add(ends.high, engagement.leaves_high);
  }

  // ------------------------------------------------------------------ in turns

  void checkTurns() {
    for (const TurnGroup& group : turnGroups(shapes_)) {
      std::vector<Stretch> held;
      bool is_cut = false;
      for (const Contact* contact : group.contacts) {
        const KeptContact& judged = judgedOf(*contact);
        is_cut = is_cut || judged.is_cut;
        held.insert(held.end(), judged.held.begin(), judged.held.end());
      }
      if (is_cut) {
        continue;  // told as open already
      }
      const Contact& first = *group.contacts.front();
      Off off;
      for (const Engagement& engagement : first.engagements) {
        if (engagement.inner == first.engagements.front().inner) {
          addOff(engagement, group.outer, group.held_by, off);
        } else {
          const int outer = outerOf(first, engagement);
          addOff(engagement, outer, shapes_.ownBounds(outer), off);
        }
      }
      const std::size_t known = checked_.findings.size();
      reportLost(first, united(std::move(held)), std::move(off));
      for (std::size_t i = known; i < checked_.findings.size(); ++i) {
        nameNearest(shapes_, group, checked_.findings[i]);
      }
    }
  }

  void checkRopes() {
    for (const Contact& contact : model_.contacts) {
      const bool a = shapes_.isRope(contact.a);
      const int rope = a ? contact.a : contact.b;
      if (contact.kind == ContactKind::kRopeHeld && shapes_.isRope(rope) &&
          !shapes_.ropeNeverRunsOut(rope)) {
        addLost(contact, {whole_}, "the bracket runs past its rope's pulley");
      }
    }
  }

  // ------------------------------------------------------------------ is it too deep

  void addTooDeep(const Contact& contact) {
    PairFinding finding;
    finding.a = contact.a;
    finding.b = contact.b;
    finding.fault = PairFault::kTooDeep;
    finding.required = {0, "designed contact: " + contact.reason};
    finding.fineness = Fineness::kFine;
    Effort effort = searches_.grant();
    finding.below = finding.contact = sampledStretches(
        shapes_, {.a = contact.a, .b = contact.b, .fineness = Fineness::kFine, .effort = &effort},
        stretchOf(contact), kTouchMm, 0);
    if (finding.contact.empty()) {
      finding.is_contained = true;
      finding.below = finding.contact = {stretchOf(contact)};
    }
    searches_.settle(effort);
    finding.is_coarse = effort.isCut();
    finding.ends_within_mm = effort.isCut() ? stretchOf(contact).to_mm : kContactToleranceMm;
    finding.least.clearance_mm = 0;
    checked_.findings.push_back(std::move(finding));
  }

  PlacedShapes& shapes_;
  ProofStore* store_;
  const CheckScope& scope_;
  const Model& model_;
  Stretch whole_;
  Searches<const Contact*, const Contact*, KeptContact> searches_{
      {.in_all = 300'000'000, .least = 60'000, .most = 60'000'000},
      [this](const Contact* contact, const Effort& granted) {
        return keptOrJudged(*contact, granted);
      }};
  ContactsChecked checked_;
  std::map<std::tuple<std::string, int, std::string, int, std::string>, int> row_of_;
  std::map<PlacedShapes::PlaceKey, KeptContact> judged_;
  KeptContact moving_;
};

}  // namespace

ContactsChecked checkContacts(PlacedShapes& shapes, ProofStore* store, const CheckScope& scope) {
  return ContactCheck(shapes, store, scope).run();
}

}  // namespace leafstack
