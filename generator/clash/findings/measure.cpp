#include "generator/clash/findings/measure.h"

#include <algorithm>
#include <cmath>

#include "generator/clash/findings/depth.h"
#include "generator/clash/report/finding_part.h"
#include "generator/geometry/numbers.h"
#include "generator/occt/exact.h"

namespace leafstack {
namespace {

// Positions of a contact at which its depth is looked at.
constexpr int kPositions = 9, kTrialPositions = 3;
// Depths this much apart are the same: the one nearer the middle of the contact is shown.
constexpr double kSameDepthMm = 1e-3;

const Stretch& longest(const std::vector<Stretch>& stretches) {
  return *std::max_element(
      stretches.begin(), stretches.end(),
      [](const Stretch& p, const Stretch& q) { return p.to_mm - p.from_mm < q.to_mm - q.from_mm; });
}

/// Depths are measured on the coarse meshes: exact for flat parts, to their error for round ones.
PairQuery queryOf(const PairFinding& pair, Effort& effort) {
  return {.a = pair.a, .b = pair.b, .effort = &effort};
}

double errorOf(PlacedShapes& shapes, const PairFinding& pair) {
  double error = 0;
  for (int instance : {pair.a, pair.b}) {
    for (const Body& body : shapes.bodies(instance, Fineness::kCoarse)) {
      error = std::max(error, body.tree->errorMm());
    }
  }
  return 2 * error;
}

class Worst {
 public:
  Worst(PlacedShapes& shapes, const PairFinding& pair, Finding& finding, Effort& effort,
        bool is_trial)
      : shapes_(shapes),
        pair_(pair),
        finding_(finding),
        effort_(effort),
        is_trial_(is_trial),
        by_meshes_alone_(is_trial || isOfTriangles()) {}

  void measure() {
    finding_.worst_at_mm = pair_.least.at_mm;
    finding_.clearance_mm = pair_.least.clearance_mm;
    finding_.points_mm = {pair_.least.on_a, pair_.least.on_b};
    switch (pair_.fault) {
      case PairFault::kContactLost:
        return measureLost();
      case PairFault::kUnresolved:
        return leaveOpen(pair_.doubt.empty()
                             ? "the finest triangles leave open whether the clearance is kept"
                             : pair_.doubt);
      case PairFault::kShort:
      case PairFault::kTooDeep:
        break;
    }
    if (pair_.contact.empty()) {
      measureGap();
    } else {
      measureContact();
    }
    finding_.is_coarse = finding_.is_coarse || effort_.isCut();
  }

 private:
  TopoDS_Shape shapeOf(int instance) const {
    return shapes_.shapeAt(instance, finding_.worst_at_mm);
  }

  void measureLost() {
    finding_.finding_class = FindingClass::kContactLost;
    finding_.worst_at_mm = lostAtMm(shapes_, pair_.below);
    const Clearance least =
        leastBetween(shapes_, queryOf(pair_, effort_), {finding_.worst_at_mm, finding_.worst_at_mm},
                     {std::numeric_limits<double>::infinity()});
    finding_.clearance_mm = std::max(0.0, least.clearance_mm);
    finding_.points_mm = {least.on_a, least.on_b};
  }

  /// What was given as triangles is what they say, and the kernel knows nothing of it.
  bool isOfTriangles() const {
    const Model& model = shapes_.model();
    return model.parts[model.instances[pair_.a].part].is_triangles ||
           model.parts[model.instances[pair_.b].part].is_triangles;
  }

  void measureGap() {
    finding_.finding_class = FindingClass::kBelowClearance;
    if (by_meshes_alone_) {
      return;
    }
    const KernelApproach kernel = kernelApproach(shapeOf(pair_.a), shapeOf(pair_.b));
    const double doubt = pair_.least.error_mm + kClearanceToleranceMm;
    if (kernel.distance_mm < 0) {
      return leaveOpen("the kernel gives no distance");
    }
    if (std::abs(kernel.distance_mm - pair_.least.clearance_mm) > doubt) {
      return leaveOpen("the kernel says they are " + shown(kernel.distance_mm) +
                       " mm apart, the sweep " + shown(pair_.least.clearance_mm));
    }
    finding_.clearance_mm = kernel.distance_mm;
    finding_.points_mm = {kernel.on_a, kernel.on_b};
  }

  void measureContact() {
    finding_.worst_at_mm =
        deepestOf(shapes_, pair_, is_trial_ ? kTrialPositions : kPositions, effort_).at_mm;
    finding_.clearance_mm = 0;
    const double at = finding_.worst_at_mm;
    Clearance there = leastBetween(shapes_, queryOf(pair_, effort_), {at, at}, {kTouchMm});
    if (there.at_least_mm >= kTouchMm) {  // one inside the other: where surfaces are nearest
      there = leastBetween(shapes_, queryOf(pair_, effort_), {at, at},
                           {std::numeric_limits<double>::infinity()});
    }
    finding_.points_mm = {there.on_a, there.on_b};
    const PairQuery query = queryOf(pair_, effort_);
    const Escape escape = leastEscape(
        shapes_, query, at, is_trial_ ? alongAxes() : squareToFaces(shapes_, query, at));
    finding_.depth_mm = escape.shift_mm;
    finding_.depth_direction = escape.direction;
    if (!is_trial_) {
      finding_.depth_along_travel_mm =
          leastEscape(shapes_, query, at, alongTravel(shapes_, query, at)).shift_mm;
    }
    if (by_meshes_alone_) {
      const bool is_deep = finding_.depth_mm > errorOf(shapes_, pair_) + kClearanceToleranceMm;
      finding_.finding_class = is_deep ? FindingClass::kPenetration : FindingClass::kTouch;
      return;
    }
    const SharedSolid shared = shapes_.sharedAt(pair_.a, pair_.b, at);
    finding_.volume_mm3 = shared.volume_mm3;
    finding_.overlap = shared.solid;
    judge(shared.volume_mm3);
  }

  /// Meshes and kernel must tell the same story.
  void judge(double volume) {
    const double error = errorOf(shapes_, pair_) + kClearanceToleranceMm;
    if (volume >= kNoVolumeMm3) {
      finding_.finding_class = FindingClass::kPenetration;
      return;
    }
    finding_.volume_mm3 = 0;
    finding_.overlap = TopoDS_Shape();
    const KernelApproach kernel = kernelApproach(shapeOf(pair_.a), shapeOf(pair_.b));
    const bool touches = kernel.distance_mm >= 0 && kernel.distance_mm <= error;
    if (finding_.depth_mm > error) {
      return leaveOpen("the kernel finds nothing in common, the sweep an overlap of " +
                       shown(finding_.depth_mm) + " mm");
    }
    if (!touches) {
      return leaveOpen("the kernel says they are " + shown(kernel.distance_mm) +
                       " mm apart, the sweep that they meet");
    }
    finding_.finding_class = FindingClass::kTouch;
  }

  void leaveOpen(std::string why) {
    finding_.finding_class = FindingClass::kUnresolved;
    finding_.doubt = std::move(why);
  }

  PlacedShapes& shapes_;
  const PairFinding& pair_;
  Finding& finding_;
  Effort& effort_;
  bool is_trial_, by_meshes_alone_;
};

}  // namespace

double lostAtMm(const PlacedShapes& shapes, const std::vector<Stretch>& lost) {
  const Stretch& where = longest(lost);
  const bool until_open = where.to_mm >= shapes.model().layout.drive_travel_mm - kStretchEndMm;
  return until_open ? where.to_mm : where.from_mm;
}

Deepest deepestOf(PlacedShapes& shapes, const PairFinding& pair, int positions, Effort& effort) {
  if (pair.contact.empty()) {
    return {pair.least.at_mm, 0};
  }
  const Stretch& where = longest(pair.contact);
  const double middle = (where.from_mm + where.to_mm) / 2;
  const double half = (where.to_mm - where.from_mm) / 2;
  Deepest deepest{middle, 0};
  for (int i = 0; i < positions; ++i) {
    // From the middle outwards, so that the first of equal depths is the nearest to the middle.
    const double share = double((i + 1) / 2) / std::max(1, positions / 2);
    const double at = middle + (i % 2 == 0 ? half : -half) * share;
    const double depth = leastEscape(shapes, queryOf(pair, effort), at, alongAxes()).shift_mm;
    if (depth > deepest.depth_mm + kSameDepthMm) {
      deepest = {at, depth};
    }
    if (half == 0) {
      break;
    }
  }
  return deepest;
}

void measureWorst(PlacedShapes& shapes, const PairFinding& pair, Finding& finding, Effort& effort,
                  bool is_trial) {
  Worst(shapes, pair, finding, effort, is_trial).measure();
}

}  // namespace leafstack
