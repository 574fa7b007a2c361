#include "generator/model/rope_play.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

std::vector<int> panelsOfBody(const Model& model, int body) {
  if (body <= model.layout.panel_count) {
    return {body};
  }
  // Blocks go with the channel along the track, with the rail in height.
  for (const GuideLayout& guide : model.layout.guides) {
    if (guide.block_body == body || guide.jaw_body == body) {
      return {guide.panel - 1, guide.panel};
    }
  }
  return {0, model.layout.panel_count};
}

}  // namespace

RopePlay::RopePlay(const Model& model) : model_(model) {
  const Layout& layout = model.layout;
  if (layout.ground.rope_play_mm.empty()) {
    return;
  }
  up_mm_.assign(layout.panel_count + 1, 0);
  for (const PanelLayout& panel : layout.panels) {
    const TravelRates rates = layout.ground.travels[panel.number]->rates(0, layout.drive_travel_mm);
    const auto size = [](const Range& range) {
      return std::max(std::abs(range.low), std::abs(range.high));
    };
    // What stands out of the panel reaches no further from its leading wheel than this.
    const double reach = std::hypot(panel.length_mm, panel.top_z_mm - panel.underside_z_mm) + 1000;
    const double per_mm = (size(rates.z) + size(rates.turn) * reach) / std::max(rates.x.low, 0.5);
    up_mm_[panel.number] = layout.ropePlayMm(panel.number, 0) * per_mm;
  }
  for (const Instance& instance : model.instances) {
    panels_of_.push_back(panelsOfBody(model, instance.body));
  }
  for (const RopeRun& run : model.ropes) {
    panels_of_[run.instance] = {run.rearBody(), run.carrier, run.frontBody()};
  }
}

Vec3 RopePlay::offBetween(int a, int b) const {
  Vec3 off{};
  const auto [one, other] = std::pair(model_.instances[a].body, model_.instances[b].body);
  for (const int body : {one, other}) {
    for (int axis = 0; axis < 3 && one != other && !model_.off_mm.empty(); ++axis) {
      off[axis] += model_.off_mm[body][axis];
    }
  }
  return off;
}

Vec3 RopePlay::between(int a, int b) const {
  Vec3 most = offBetween(a, b);
  if (up_mm_.empty()) {
    return most;
  }
  const Vec3 built = most;
  for (const int one : panels_of_[a]) {
    for (const int other : panels_of_[b]) {
      const double along = model_.layout.ropePlayMm(one, other);
      const double up = one == other ? 0 : up_mm_[one] + up_mm_[other];
      most[0] = std::max(most[0], built[0] + along + up);
      most[2] = std::max(most[2], built[2] + up);
    }
  }
  if (model_.instances[a].body == model_.instances[b].body) {
    most[0] = 0;  // a strand of the carrier's own rope only gets longer
  }
  return most;
}

}  // namespace leafstack
