// How near every two parts that move past each other come, and what moves them apart.
#pragma once

#include <vector>

#include "generator/as_built/built/built_gate.h"
#include "generator/as_built/built/fixed_groups.h"
#include "generator/clash/proof/proof_store.h"
#include "generator/clash/report/clash.h"

namespace leafstack {

/// One thing that may be set, or made anew: what a column of the corrections' program stands for.
enum class KnobKind {
  kRaise,        ///< PanelSetting::raise_mm
  kAlong,        ///< PanelSetting::along_mm
  kStop,         ///< PanelSetting::stop_mm
  kGuideUp,      ///< BuiltSettings::guide_up_mm
  kPinionUp,     ///< BuiltSettings::pinion_up_mm
  kPinionAlong,  ///< BuiltSettings::pinion_along_mm
  kRackUp,       ///< BuiltSettings::rack_up_mm
  kCatch,        ///< BuiltSettings::catch_mm
  kCatchUp,      ///< BuiltSettings::catch_up_mm
  kShorten,      ///< PanelSetting::shorten_mm
  kRailDown,     ///< PanelSetting::rail_down_mm
  kChannelUp     ///< of none: the channel on a panel's front, higher as the panel is (budget.h)
};

struct Knob {
  KnobKind kind{};
  int panel = 0;  ///< 0: of none
};

/// Its value in a set.
double& valueOf(BuiltSettings& set, const Knob& knob);
double valueOf(const BuiltSettings& set, const Knob& knob);

/// How near a pair is, with all that it stands off, and which way what is set moves it apart.
struct NearPair {
  FindingPart a, b;
  double clearance_mm = 0;  ///< below 0 in each other
  double required_mm = 0;
  double at_mm = 0;
  Vec3 apart{};  ///< unit, from a to b, layout's X
  std::array<int, 2> instances{};
  std::array<Vec3, 2> points_mm{};  ///< gate's frame at closed, layout's X
  std::array<int, 2> bodies{};
};

/// Where a point of an instance goes, by mm of what is set. Layout's frame; `closed_mm` is the
/// point with the gate closed.
class Movers {
 public:
  explicit Movers(const Model& model);
  Vec3 moves(const Knob& knob, int instance, const Vec3& closed_mm) const;
  /// By how much a pair gets wider for every mm.
  double widens(const NearPair& pair, const Knob& knob) const;
  /// Of a group of what is fixed, the channel of a fixed guide with what is on it.
  bool isOf(int instance, FixedKind kind) const;

 private:
  const Model& model_;
  std::vector<FixedGroup> groups_;
};

/// A rope against what ends it: it is drawn straight, and how far its ends stand off it in height a
/// rule limits.
bool isRopeEnd(const Model& model, int a, int b);

/// All pairs that come within `within_mm` of what is required, the tightest of every two marks and
/// panels and of every way apart.
/// With a `store` meshes that it knows are not made again.
std::vector<NearPair> nearPairs(const Model& model, double within_mm, ProofStore* store = nullptr);
/// The same of a clash check's findings, where they tell a way apart.
std::vector<NearPair> pairsOf(const Model& model, const std::vector<Finding>& findings);

}  // namespace leafstack
