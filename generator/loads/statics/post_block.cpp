#include "generator/loads/statics/post_block.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace leafstack {
namespace {

constexpr double kGravity_m_s2 = 9.81;
constexpr double kMm3InM3 = 1e9;
constexpr double kPaPerN_mm2 = 1000;  // kPa in a N/mm2
constexpr double kWeightThatHelps = 0.9;
constexpr double kStepMm = 100, kLeastSideMm = 300, kMostSideMm = 3000;
constexpr double kDepthToOutstand = 2;

double atItsFoot(double moment_Nmm, double shear_N, const BlockSize& block) {
  return moment_Nmm + shear_N * block.depth_mm;
}

double stepUp(double length_mm) {
  constexpr double kRounding = 1e-6;  // a whole step stays one
  return std::ceil(length_mm / kStepMm - kRounding) * kStepMm;
}

/// Above 1: it does not hold.
double useOf(const BlockSize& block, const BlockWish& wish) {
  double use = 0;
  for (const FootLoad& load : wish.factored) {
    use = std::max(use, tippingOf(block, load).use());
  }
  if (wish.soil_kPa) {
    for (const FootLoad& load : wish.unfactored) {
      use = std::max(use, soilPressure_kPa(block, load) / *wish.soil_kPa);
    }
  }
  return use;
}

/// Its depths, the least first.
std::vector<double> depthsOf(const BlockSize& block, const BlockWish& wish) {
  if (wish.depth_mm) {
    return {*wish.depth_mm};
  }
  const double outstand =
      std::max(block.along_mm - wish.post_along_mm, block.across_mm - wish.post_across_mm) / 2;
  std::vector<double> depths = {stepUp(std::max(wish.slab_mm, kDepthToOutstand * outstand))};
  while (wish.along_mm && wish.across_mm && depths.back() + kStepMm <= kMostSideMm) {
    depths.push_back(depths.back() + kStepMm);
  }
  return depths;
}

}  // namespace

double BlockSize::weightN() const {
  return along_mm * across_mm * depth_mm / kMm3InM3 * density_kg_m3 * kGravity_m_s2;
}

Tipping tippingOf(const BlockSize& block, const FootLoad& load) {
  const double weight = kWeightThatHelps * block.weightN();
  const Tipping across{true, atItsFoot(load.moment_across_Nmm, load.shear_across_N, block),
                       weight * block.across_mm / 2};
  const Tipping along{false, atItsFoot(load.moment_along_Nmm, load.shear_along_N, block),
                      weight * block.along_mm / 2};
  return along.use() > across.use() ? along : across;
}

double soilPressure_kPa(const BlockSize& block, const FootLoad& load) {
  const double weight = block.weightN();
  const double off_across = atItsFoot(load.moment_across_Nmm, load.shear_across_N, block) / weight;
  const double off_along = atItsFoot(load.moment_along_Nmm, load.shear_along_N, block) / weight;
  const double across = block.across_mm - 2 * off_across, along = block.along_mm - 2 * off_along;
  if (across <= 0 || along <= 0) {
    return std::numeric_limits<double>::infinity();
  }
  return weight / (across * along) * kPaPerN_mm2;
}

BlockSize blockFor(const BlockWish& wish) {
  BlockSize best;
  double least = std::numeric_limits<double>::infinity();
  for (double side = kLeastSideMm; side <= kMostSideMm; side += kStepMm) {
    BlockSize block{wish.along_mm.value_or(side), wish.across_mm.value_or(side), 0,
                    wish.density_kg_m3};
    for (const double depth : depthsOf(block, wish)) {
      block.depth_mm = depth;
      const double use = useOf(block, wish);
      if (best.depth_mm == 0 || use < least) {
        best = block;
        least = use;
      }
      if (least <= 1) {
        return best;
      }
    }
    if (wish.along_mm && wish.across_mm) {
      break;
    }
  }
  return best;
}

}  // namespace leafstack
