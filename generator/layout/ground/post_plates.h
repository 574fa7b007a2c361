// Base plates of the posts that stand on the footing, and where their anchors go. X and Y are the
// layout's; lengths along the track are those of the plate, which lies along the ground.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

/// Two rows of two anchors.
struct PostPlate {
  double middle_x_mm = 0;                        ///< of post and plate
  double front_y_mm = 0, post_front_y_mm = 0;    ///< of plate and post
  double post_along_mm = 0, post_across_mm = 0;  ///< the post's sides
  double along_mm = 0, across_mm = 0;            ///< the plate's
  double edge_along_mm = 0, edge_across_mm = 0;  ///< of anchors from the plate's edges
  double hole_mm = 0;
  int strip = 0;  ///< of the footing (ground.h)

  double rowsAcrossMm() const { return across_mm - 2 * edge_across_mm; }
  double rowsAlongMm() const { return along_mm - 2 * edge_along_mm; }
  /// From the post to the anchors that bend the plate, and its width that a row of them bends.
  double lever_mm = 0, bent_mm = 0;
  /// Least that it stands out beyond its post.
  double standsOutMm() const;
  /// Least from an anchor's axis to the post's face.
  double anchorOffPostMm() const;
  /// From the plate's own corner, along and across.
  std::vector<std::array<double, 2>> anchors() const;
};

/// None where the guide hangs on the fence post.
std::optional<PostPlate> guidePostPlate(const GateSpec& spec, const Layout& layout);
PostPlate catchPostPlate(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
