// A block of concrete under a post, against being tipped over and against the ground's giving way.
// The post stands in its middle; its own weight, the slab beside the block and the ground round it
// are left out, which is on the safe side. An aid: soil, frost and what lies beside it are for
// those who know the site.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace leafstack {

/// What a post brings to the top of its block; each 0 or more. Across: that tips it about an edge
/// along the track.
struct FootLoad {
  std::string case_name;
  double moment_across_Nmm = 0, shear_across_N = 0;
  double moment_along_Nmm = 0, shear_along_N = 0;
};

struct BlockSize {
  double along_mm = 0, across_mm = 0, depth_mm = 0;  ///< each above 0
  double density_kg_m3 = 0;

  double weightN() const;
};

struct Tipping {
  bool is_across = true;
  double tipping_Nmm = 0;   ///< M + H x depth, of the loads given
  double righting_Nmm = 0;  ///< 0.9 W b / 2 (EN 1990, table A1.2(A), from memory)
  double use() const { return tipping_Nmm / righting_Nmm; }
};
/// About the worse of its lower edges; `load` with its unfavourable factors.
Tipping tippingOf(const BlockSize& block, const FootLoad& load);

/// Greatest pressure under it, even over the area about the resultant (EN 1997-1, annex D, from
/// memory); `load` without factors. Infinite where the resultant lies outside the block.
double soilPressure_kPa(const BlockSize& block, const FootLoad& load);

/// What is asked of a block.
struct BlockWish {
  std::optional<double> along_mm, across_mm, depth_mm;  ///< none: to be found
  double post_along_mm = 0, post_across_mm = 0;
  double slab_mm = 0;  ///< least depth
  double density_kg_m3 = 0;
  std::optional<double> soil_kPa;
  std::vector<FootLoad> factored, unfactored;
};

/// Sides in steps of 100 from 300 up to 3000, and depths that need no steel: twice what the block
/// stands out beyond the post (EN 1992-1-1, 12.9.3, from memory), deeper where both sides are
/// given and that does not hold. The first that holds; where none does, the one nearest to it.
BlockSize blockFor(const BlockWish& wish);

}  // namespace leafstack
