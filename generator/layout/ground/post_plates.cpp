#include "generator/layout/ground/post_plates.h"

#include <algorithm>
#include <limits>

#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/latch.h"
#include "params/catalogue/holes.h"

namespace leafstack {

double PostPlate::standsOutMm() const {
  const double behind = front_y_mm + across_mm - post_front_y_mm - post_across_mm;
  return std::min({(along_mm - post_along_mm) / 2, post_front_y_mm - front_y_mm, behind});
}

double PostPlate::anchorOffPostMm() const {
  const double beside = (along_mm - post_along_mm) / 2;
  const double before = post_front_y_mm - front_y_mm;
  double least = std::numeric_limits<double>::infinity();
  for (const auto& [along, across] : anchors()) {
    const double off_along = std::max(beside - along, along - beside - post_along_mm);
    const double off_across = std::max(before - across, across - before - post_across_mm);
    least = std::min(least, std::max(off_along, off_across));
  }
  return least;
}

std::vector<std::array<double, 2>> PostPlate::anchors() const {
  std::vector<std::array<double, 2>> out;
  for (const double along : {edge_along_mm, along_mm - edge_along_mm}) {
    for (const double across : {edge_across_mm, across_mm - edge_across_mm}) {
      out.push_back({along, across});
    }
  }
  return out;
}

/// Before and behind the post a row of anchors, as near to the edges as holes may be.
std::optional<PostPlate> guidePostPlate(const GateSpec& spec, const Layout& layout) {
  if (spec.guides.mount == GuideMount::kOverhead) {
    return std::nullopt;
  }
  const PostHardware& shelf = spec.hardware.post;
  PostPlate plate;
  plate.middle_x_mm = layout.guide_post_mm;
  plate.post_along_mm = plate.post_across_mm = spec.guides.post_mm;
  plate.post_front_y_mm =
      layout.panel(1).front_y_mm + layout.stack.frame_depth_mm + layout.stack.post_gap_mm;
  plate.front_y_mm = plate.post_front_y_mm - shelf.plate_front_mm;
  plate.along_mm = spec.guides.post_mm + 2 * shelf.plate_side_mm;
  plate.across_mm = spec.guides.post_mm + shelf.plate_front_mm + shelf.plate_back_mm;
  plate.hole_mm = shelf.plate_hole_mm;
  plate.edge_along_mm = plate.edge_across_mm = leastHoleEdge_mm(plate.hole_mm);
  plate.lever_mm = std::max(shelf.plate_front_mm, shelf.plate_back_mm) - plate.edge_across_mm;
  plate.bent_mm = plate.along_mm;
  plate.strip = kRearStrip;
  return plate;
}

/// Beside the post along the track, since there is no room before it for a row.
PostPlate catchPostPlate(const GateSpec& spec, const Layout& layout) {
  const LatchLayout latch = latchOf(spec, layout);
  const StopHardware& stop = spec.hardware.stop;
  PostPlate plate;
  plate.middle_x_mm = (latch.post_x_mm + latch.face_x_mm) / 2;
  plate.post_along_mm = latch.face_x_mm - latch.post_x_mm;
  plate.post_across_mm = latch.post_rear_y_mm - latch.post_front_y_mm;
  plate.post_front_y_mm = latch.post_front_y_mm;
  plate.front_y_mm = latch.plate_front_y_mm;
  plate.along_mm = latch.plate_to_x_mm - latch.plate_from_x_mm;
  plate.across_mm = latch.plate_rear_y_mm - latch.plate_front_y_mm;
  plate.edge_along_mm = stop.catch_foot_mm / 2;
  plate.hole_mm = stop.catch_hole_mm;
  plate.edge_across_mm = leastHoleEdge_mm(plate.hole_mm);
  // Its anchors stand beside the post: each bends its corner towards the track.
  plate.lever_mm = plate.edge_along_mm;
  plate.bent_mm = plate.across_mm;
  plate.strip = layout.panel_count;
  return plate;
}

}  // namespace leafstack
