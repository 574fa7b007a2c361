// The clash check: which pairs of parts come too near, where in the travel, and how badly.
//
// Every pair that moves is proved over the whole travel, not at samples of it: the two parts'
// meshes are swept past each other (sweep.h), with the mesh's own error taken off, and refined
// where the answer hangs on that error. A pair ends proved, or as a finding with the exact stretch
// of travel, or as unresolved; never silently clear. The kernel's exact solids judge what is found
// and may contradict it, which is unresolved too.
//
// Positions are drive travel: 0 closed, layout.drive_travel_mm open.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "generator/geometry/moving/sweep.h"
#include "generator/model/model.h"

namespace leafstack {

enum class Verdict { kClear, kTight, kClash, kUnresolved };
enum class FindingClass { kPenetration, kTouch, kContactLost, kBelowClearance, kUnresolved };
std::string_view toString(Verdict verdict);
std::string_view toString(FindingClass finding_class);

/// One side of a finding: an instance of the model, or the group of alike ones it stands for.
struct FindingPart {
  std::string mark, name;
  int panel = 0;
  bool floats = false;  ///< moves as a body of its own
};

/// "panel 2's board BD1", "the fixed fence post FP1", "the floating guide block GB1".
std::string inWords(const FindingPart& side);

/// Against an earlier run (comparison.h).
enum class FindingStatus { kNotCompared, kNew, kStillThere };
std::string_view toString(FindingStatus status);

struct EarlierFinding {
  std::string id, text;
};
struct EarlierFindings {
  std::string input_sha256;
  std::vector<EarlierFinding> findings;
};
struct Comparison {
  std::string input_sha256;  ///< of the earlier run
  int new_ones = 0, still_there = 0;
  std::vector<EarlierFinding> resolved;  ///< found then, not now
};

struct Finding {
  std::string id;  ///< stable: class, marks and panels, e.g. "penetration:BD1@2:FP1@0"
  FindingClass finding_class{};
  FindingPart a, b;
  int pairs = 1;  ///< how many alike instance pairs this finding groups
  /// Where the parts meet (penetration, touch), are too near, or have lost their contact.
  std::vector<Stretch> stretches_mm;
  /// Where the requirement is not kept: the same or more.
  std::vector<Stretch> below_required_mm;
  double ends_within_mm = 0;  ///< how closely the ends of the stretches are known
  /// The work allowed was used up (effort.h): stretches may be longer than the truth, not shorter.
  bool is_coarse = false;
  /// Where it was measured: the gap is least there, an overlap the deepest of the few positions
  /// looked at, so that another position may share more.
  double worst_at_mm = 0;
  double clearance_mm = 0;
  double required_mm = 0;
  std::string requirement;  ///< why that clearance is asked for
  double coats_mm = 0;      ///< of that, what finishes take of the gap between faces as drawn
  /// Least shift that frees the parts from each other at worst_at_mm, and which way.
  double depth_mm = 0;
  Vec3 depth_direction{};
  double depth_along_travel_mm = 0;  ///< the same along the relative motion only
  double volume_mm3 = 0;             ///< of what they share at worst_at_mm, by the kernel
  std::array<Vec3, 2> points_mm{};
  std::string doubt;  ///< why it is unresolved; "" where it is not
  std::string text;   ///< plain words
  FindingStatus status = FindingStatus::kNotCompared;
  std::string was_id;  ///< the earlier run's id of a finding that is still there
  /// For the overlap file: the worst pair, and what it shares (null where nothing).
  int instance_a = 0, instance_b = 0;
  TopoDS_Shape overlap;

  /// Apart as drawn, but not once both are coated.
  bool meetsCoated() const {
    return finding_class == FindingClass::kBelowClearance && coats_mm > 0 &&
           clearance_mm <= coats_mm;
  }
  double fromMm() const { return stretches_mm.front().from_mm; }
  double toMm() const { return stretches_mm.back().to_mm; }
};

/// One declared contact (grouped by marks and panels) through the travel.
struct ContactReport {
  FindingPart a, b;
  std::string kind, reason, holds;
  int pairs = 0, hits = 0;       ///< hits: pairs that meet somewhere
  std::vector<Stretch> held_mm;  ///< where at least one of the pairs meets
  double permitted_gap_mm = 0, permitted_overlap_mm = 0;
};

/// How pairs were settled.
struct PairCounts {
  int by_bounds = 0;  ///< their swept bounds stay further apart than is asked
  int by_sweep = 0;   ///< their meshes, swept
  int refined = 0;    ///< of those, on finer meshes
  int declared = 0;   ///< designed contacts, checked as such
  int short_of = 0;   ///< pairs with a finding
  int unresolved = 0;
};

/// What is left between two parts when every panel stands out of place by the build tolerance.
struct BuiltPair {
  FindingPart a, b;
  int pairs = 0;
  double as_drawn_mm = 0;
  double left_mm = 0;     ///< 0 where they can meet
  double allowed_mm = 0;  ///< build tolerance at which they first can
  double at_mm = 0;
};

struct AsBuilt {
  double tolerance_mm = 0;
  std::vector<BuiltPair> pairs;  ///< tightest first, at most kBuiltPairsShown
  int pairs_that_can_meet = 0;
  /// The work allowed was used up: what is left and allowed is at least what is said, and pairs
  /// that can meet are at most so many.
  bool is_coarse = false;
};
inline constexpr int kBuiltPairsShown = 20;

struct ClashReport {
  Verdict verdict = Verdict::kClear;
  bool proved_between_positions = false;  ///< no pair is unresolved
  /// Over all undesigned pairs that move relative to each other; where no pair is named, none comes
  /// nearer than this.
  double least_clearance_mm = 0;
  std::string least_clearance_between;
  double least_clearance_at_mm = 0;
  int pairs_checked = 0;
  PairCounts counts;
  std::vector<Finding> findings;
  std::vector<ContactReport> designed_contacts;
  AsBuilt as_built;  ///< empty unless checks.build_tolerance_mm > 0
  std::optional<Comparison> against;
};

struct ProofStore;

struct CheckScope {
  std::function<bool(int a, int b)> is_left_out;  ///< instances that are not judged; none: all are
  /// One of several, of which only the last is told: findings' stretches end, and their figures
  /// are, as the sweep comes by them, to its meshes' error and without the kernel; of what is left
  /// as built only how many pairs can meet is said, and nothing where anything is found.
  bool is_trial = false;

  bool leavesOut(int a, int b) const { return is_left_out && is_left_out(a, b); }
};

/// With a `store` (proof_store.h) only what it does not know is proved; the report is the same.
ClashReport checkClashes(const Model& model, ProofStore* store = nullptr,
                         const CheckScope& scope = {});

}  // namespace leafstack
