// The clash check: which pairs of parts come too near, where in the travel, and how badly.
//
// Sampled in this version: every pair whose swept boxes come within its required clearance is
// measured exactly at the ends and inside of the stretch of travel where its boxes are near.
// `proved_between_positions` is therefore false whenever a pair needed more than boxes.
// Positions are drive travel: 0 closed, layout.drive_travel_mm open.
#pragma once

#include <array>
#include <functional>
#include <string>
#include <vector>

#include "generator/model.h"

namespace leafstack {

enum class Verdict { kClear, kTight, kClash, kUnresolved };
enum class FindingClass { kPenetration, kTouch, kBelowClearance, kUnresolved };
std::string_view toString(Verdict verdict);
std::string_view toString(FindingClass finding_class);

/// One side of a finding: an instance of the model, or the group of alike ones it stands for.
struct FindingPart {
  std::string mark, name;
  int panel = 0;
};

struct Finding {
  std::string id;  ///< stable: class, marks and panels, e.g. "penetration:BD1@2:FP1@0"
  FindingClass finding_class{};
  FindingPart a, b;
  int pairs = 1;  ///< how many alike instance pairs this finding groups
  double from_mm = 0, to_mm = 0;
  double worst_at_mm = 0;
  double clearance_mm = 0;
  double required_mm = 0;
  std::string requirement;  ///< why that clearance is asked for
  double depth_mm = 0;
  std::string depth_method;  ///< how depth was measured
  double volume_mm3 = 0;
  std::array<std::array<double, 3>, 2> points_mm{};
  std::string text;  ///< plain words
};

/// One declared contact (grouped by marks), with how often it was met at the positions checked.
struct ContactReport {
  FindingPart a, b;
  std::string kind, reason;
  int pairs = 0, positions = 0, hits = 0;
  double permitted_gap_mm = 0, permitted_overlap_mm = 0;
};

struct ClashReport {
  Verdict verdict = Verdict::kClear;
  bool proved_between_positions = false;
  /// Over all undesigned pairs that move relative to each other; where the pair is not named, no
  /// pair comes nearer than this.
  double least_clearance_mm = 0;
  std::string least_clearance_between;
  int pairs_checked = 0;
  int pairs_exact = 0;  ///< of those, measured on the solids because boxes did not suffice
  std::vector<double> positions_mm;
  std::vector<Finding> findings;
  std::vector<ContactReport> designed_contacts;
};

ClashReport checkClashes(const Model& model);

}  // namespace leafstack
