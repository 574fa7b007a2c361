// The layout's numbered properties (generator/layout/layout.h) as one question about one gate, for
// gates from the whole input space.
#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "generator/layout/layout.h"

namespace leafstack {

class LayoutJudge {
 public:
  LayoutJudge(const GateSpec& spec, const Layout& layout) : spec_(spec), layout_(layout) {}

  /// What does not hold, or "".
  std::string fault() {
    finite();
    if (fault_.empty()) {
      travels();
      overlaps();
      extension();
      room();
      motions();
      answers();
    }
    return fault_;
  }

 private:
  // Rounding of sums of lengths up to 100 m.
  static constexpr double kSameMm = 1e-7;

  void expect(bool holds, const std::string& what) {
    if (!holds && fault_.empty()) {
      fault_ = what;
    }
  }
  void expectSame(double a, double b, const std::string& what) {
    expect(std::abs(a - b) <= kSameMm, what + ": " + std::to_string(a) + ", " + std::to_string(b));
  }

  void finite() {
    std::vector<double> figures = {layout_.opening_mm,
                                   layout_.travel_mm,
                                   layout_.drive_travel_mm,
                                   layout_.extension_mm,
                                   layout_.room_mm,
                                   layout_.pinion_mm,
                                   layout_.motor_start_mm,
                                   layout_.guide_mm,
                                   layout_.guide_post_mm,
                                   layout_.return_start_mm,
                                   layout_.stack.gap_mm,
                                   layout_.stack.post_gap_mm,
                                   layout_.stack.packing_mm,
                                   layout_.stack.setback_mm,
                                   layout_.heights.motor_packing_mm,
                                   layout_.heights.top_mm,
                                   layout_.ground.rack_rise_mm.low};
    for (const PanelLayout& panel : layout_.panels) {
      figures.insert(figures.end(), {panel.length_mm, panel.frame_length_mm, panel.front_y_mm,
                                     panel.grade, panel.top_z_mm, panel.underside_z_mm,
                                     panel.least_ground_mm, panel.most_lean_deg});
      expect(panel.length_mm > 0 && panel.frame_length_mm > 0, "a panel has no length");
    }
    for (const GuideLayout& guide : layout_.guides) {
      figures.insert(figures.end(), {guide.x_mm, guide.z_mm, guide.drop_mm, guide.channel_low_mm,
                                     guide.channel_high_mm, guide.float_mm.low});
      expect(guide.channel_low_mm < guide.channel_high_mm, "a guide channel has no length");
    }
    for (const RopeLayout& rope : layout_.ropes) {
      figures.insert(figures.end(), {rope.height_mm, rope.pitch_mm, rope.front_bracket_mm,
                                     rope.rear_bracket_mm, rope.front_bore_z_mm});
    }
    for (const double figure : figures) {
      expect(std::isfinite(figure), "a figure of the layout is not finite");
    }
  }

  void travels() {  // L1
    const int n = layout_.panel_count;
    const double travel = layout_.opening_mm + spec_.gate.closing_overlap_mm + spec_.gate.tuck_mm;
    expectSame(layout_.drive_travel_mm, travel / n, "L1 drive travel");
    for (const PanelLayout& panel : layout_.panels) {
      // On surveyed ground ropes of fixed length take a panel ahead of that, as is told.
      double ahead = 0;
      for (const PanelOnUneven& uneven : layout_.ground.uneven) {
        ahead += uneven.panel == panel.number ? uneven.ahead_open_mm : 0;
      }
      expectSame(panel.travel_mm, panel.number * travel / n + ahead, "L1 travel");
      expectSame(panel.leading_open_mm - panel.leading_closed_mm, panel.travel_mm, "L1 leading");
      expectSame(panel.trailing_open_mm - panel.trailing_closed_mm, panel.travel_mm, "L1 trailing");
    }
    expectSame(layout_.panel(n).leading_closed_mm, -spec_.gate.closing_overlap_mm, "L1 cover");
    expect(layout_.panel(1).trailing_closed_mm >= layout_.opening_mm - kSameMm, "L1 cover of W");
  }

  void overlaps() {  // L2; lengths along a slope are shorter seen from above
    const double cosine = layout_.ground.is_surveyed ? 1 : 1 / std::hypot(1, spec_.site.grade);
    const double least = std::max({spec_.gate.overlap_mm, spec_.guides.channel_width_mm,
                                   layout_.reach_mm + spec_.ropes.bracket_inset_mm}) *
                         cosine;
    for (int k = 1; k < layout_.panel_count; ++k) {
      const PanelLayout& behind = layout_.panel(k);
      const PanelLayout& front = layout_.panel(k + 1);
      const double overlap = front.trailing_closed_mm - behind.leading_closed_mm;
      expectSame(overlap, behind.overlap_mm, "L2 overlap as told");
      expect(overlap >= least - kSameMm, "L2 least overlap: " + std::to_string(overlap));
      expect(behind.stagger_mm >= -kSameMm, "L2 stagger");
    }
  }

  void extension() {  // L4
    double least = layout_.extension_mm;
    for (const ExtensionDemand& demand : layout_.demands) {
      if (demand.applies) {
        expect(demand.slack_mm >= -kLengthEqualMm, "L4 a demand is not met");
        least = std::min(least, demand.slack_mm);
      }
    }
    expect(std::abs(least) <= kLengthEqualMm, "L4 nothing binds");
  }

  void room() {  // L5
    double room_mm = 0;
    for (const PanelLayout& panel : layout_.panels) {
      room_mm = std::max(room_mm, panel.trailing_open_mm - layout_.opening_mm);
    }
    expectSame(layout_.room_mm, room_mm, "L5 room");
    expect(layout_.fits == (!layout_.room_given || layout_.room_total_mm <= layout_.room_given_mm + 1e-6),
           "fits is told wrongly");
  }

  void motions() {
    constexpr int kPositions = 16;
    for (const auto& travel : layout_.ground.travels) {
      for (int i = 0; i <= kPositions; ++i) {
        const Pose pose = travel->at(layout_.drive_travel_mm * i / kPositions);
        expect(std::isfinite(pose.x_mm) && std::isfinite(pose.z_mm), "a body goes nowhere");
        expect(std::abs(std::hypot(pose.cos, pose.sin) - 1) < 1e-9, "a body is stretched");
      }
    }
  }

  void answers() {
    for (const auto& [pointer, values] : computedValues(spec_, layout_)) {
      for (const double value : values) {
        expect(std::isfinite(value), pointer + " was computed as no number");
      }
    }
  }

  const GateSpec& spec_;
  const Layout& layout_;
  std::string fault_;
};

/// What of L1, L2, L4, L5 does not hold, or which figure is not finite; "" where all is well.
inline std::string layoutFault(const GateSpec& spec, const Layout& layout) {
  return LayoutJudge(spec, layout).fault();
}

}  // namespace leafstack
