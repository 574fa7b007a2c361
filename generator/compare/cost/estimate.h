// What a gate is made of, weighed without solids: the same sections, spacings and hardware that the
// builders use, as lengths times areas. For comparing arrangements in microseconds.
//
// Counted: rails, stiles, uprights, infill, cladding and return by their sections; wheels, axles,
// pulleys, their cradles, rope brackets, guide rails, channels, packers, blocks, rack with its standoffs,
// ropes. Left out: holes and pockets, spacer sleeves, rope terminals, heads of bolts, pieces of
// cladding too narrow to be used, the corners that tapering slats lose.
//
// Property (tests/compare/compare_estimate_test.cpp):
//  E1  every panel's mass agrees with its solids' within kEstimateAgreement.
#pragma once

#include <array>
#include <vector>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

/// See E1. The worst of the tests' gates is 0.6 % out, which is its spacers, terminals and holes.
inline constexpr double kEstimateAgreement = 0.01;

/// What a fabricator orders, cuts or buys for the panels.
enum class Stock {
  kBottomRail,
  kTopRail,
  kStile,   ///< intermediate uprights and the return's upright too
  kInfill,  ///< pickets or slats, the return's too
  kSheet,
  kCladding,
  kGuideRail,
  kGuideChannel,  ///< with its packer
  kGuideBlock,
  kWheel,   ///< with its axle
  kPulley,  ///< with its cradle
  kRopeBracket,
  kRope,
  kRack
};
inline constexpr int kStockCount = static_cast<int>(Stock::kRack) + 1;

struct Quantity {
  double length_mm = 0, mass_kg = 0;
  int items = 0;

  void add(double length, double mass, int count = 1) {
    length_mm += length;
    mass_kg += mass;
    items += count;
  }
};

struct Bill {
  std::array<Quantity, kStockCount> rows;

  Quantity& of(Stock stock) { return rows[static_cast<std::size_t>(stock)]; }
  const Quantity& of(Stock stock) const { return rows[static_cast<std::size_t>(stock)]; }
  double massKg() const;
};

/// What does not change between the arrangements of one gate file.
class Estimator {
 public:
  explicit Estimator(const GateSpec& spec);

  /// Of every panel, panel 1 first. `spec` is the one the layout was made from; it differs from the
  /// constructor's in panels, stacking, mount and motor only.
  std::vector<Bill> panelsOf(const GateSpec& spec, const Layout& layout) const;

 private:
  struct Panel;
  void addFrame(const Panel& panel, Bill& bill) const;
  void addInfill(const Panel& panel, Bill& bill) const;
  void addCladding(const Panel& panel, Bill& bill) const;
  void addReturn(const Panel& panel, Bill& bill) const;
  void addGear(const Panel& panel, Bill& bill) const;
  void addRopes(const Panel& panel, Bill& bill) const;
  void addGuides(const Panel& panel, Bill& bill) const;

  double steel_ = 0, frame_ = 0, nylon_ = 0, timber_ = 0;  ///< kg per mm3
  double rope_kg_mm_ = 0;
  double bottom_mm2_ = 0, top_mm2_ = 0, stile_mm2_ = 0, infill_mm2_ = 0;
  double wheel_kg_ = 0;
};

}  // namespace leafstack
