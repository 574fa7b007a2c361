// From pairs of instances to the findings a reviewer reads.
#pragma once

#include <vector>

#include "generator/clash/clash.h"
#include "generator/clash/exact.h"
#include "generator/clash/requirements.h"

namespace leafstack {

/// Overlap solids smaller than this are the kernel's rounding along a touching face.
inline constexpr double kNoVolumeMm3 = 1e-3;

/// One pair of instances that come too near.
struct PairFinding {
  int a = 0, b = 0;
  Requirement required;
  double from_mm = 0, to_mm = 0, worst_at_mm = 0;
  double clearance_mm = 0;
  bool disputed = false;
  std::array<Vec3, 2> points_mm{};
  SharedSolid shared;  ///< at the worst position
};

/// Same class, marks and panels become one finding; most severe first.
std::vector<Finding> groupFindings(const Model& model, std::vector<PairFinding> pairs);

struct ContactCount {
  const Contact* contact = nullptr;
  int positions = 0, hits = 0;
};
std::vector<ContactReport> groupContacts(const Model& model,
                                         const std::vector<ContactCount>& counts);

Verdict verdictOf(const std::vector<Finding>& findings);

}  // namespace leafstack
