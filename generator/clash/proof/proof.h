// One pair of instances through the whole travel: proved clear, too near from here to there, or
// left open, never silently clear.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/requirements.h"

namespace leafstack {

/// A clearance this little short of the requirement is rounding, not a finding.
inline constexpr double kClearanceToleranceMm = 1e-3;
/// Solids this near touch, as far as any kernel can tell.
inline constexpr double kTouchMm = 1e-4;
/// Clearances below this are measured and reported even where less is required.
inline constexpr double kMeasureWithinMm = 3;

/// Stretches whose ends are less sure than this are looked for on finer meshes.
inline constexpr double kEndsWithinMm = 0.005;

enum class PairState {
  kProved,     ///< never nearer than required, at no position
  kShort,      ///< nearer than required over `below`, meeting over `contact`
  kUnresolved  ///< the finest mesh's error leaves it open
};

struct PairVerdict {
  PairState state = PairState::kProved;
  Clearance least;  ///< over the travel; its clearance is infinite where nothing was near
  std::vector<Stretch> contact, below;
  double ends_within_mm = 0;  ///< how closely the ends of the stretches are known
  bool is_contained = false;  ///< one lies wholly inside the other somewhere
  Fineness fineness = Fineness::kCoarse;
  /// The effort granted was used up: stretches may be longer than the truth, never shorter, and
  /// what was left open makes the pair unresolved.
  bool is_coarse = false;
};

/// Drive travel over which two instances' bounds come within `margin_mm`, `free_mm` out of place
/// included; none if never.
std::optional<Stretch> nearStretch(const PlacedShapes& shapes, int a, int b, double margin_mm,
                                   double free_mm = 0);

/// Where two instances are nearer than `limit_mm`, to be told. Where all bodies go straight that is
/// stretchesBetween(), exact. Where one turns, positions close together and `at_mm` are looked at
/// and the ends between them bisected: what is proved does not hang on it, but a second stretch
/// shorter than a position's distance from the next may go untold. Where the query's effort is used
/// up, what was not looked at counts as too near.
std::vector<Stretch> sampledStretches(PlacedShapes& shapes, const PairQuery& query,
                                      const Stretch& stretch, double limit_mm, double at_mm);

/// Two instances to be judged over `near`, outside of which their bounds are further apart than is
/// asked.
struct AskedPair {
  int a = 0, b = 0;
  double required_mm = 0;
  Stretch near;
  Vec3 free{};  ///< PairQuery::free
  /// Meshes are refined until ends of stretches are known this closely, or are the finest.
  double ends_within_mm = kEndsWithinMm;
  /// What is asked where that play cannot be told from a shorter distance, any way.
  double widestMm() const { return required_mm + norm(free); }
};

/// Judges a pair. One that keeps what is required with all its play is proved; else it is judged as
/// drawn, by widestMm(), so that kernel and sweep look at the same places.
PairVerdict judgePair(PlacedShapes& shapes, const AskedPair& pair, Effort& effort);

}  // namespace leafstack
