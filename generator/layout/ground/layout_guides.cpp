// Guides: where their rails, blocks and channels stand, and how far the blocks float.
#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

#include "generator/geometry/numbers.h"
#include "generator/geometry/vec.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/travel/panel_travel.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// The rail's middle below the panel's top, square to the rail.
double railBelowTop(const GateSpec& spec, const GuideLayout& guide) {
  return hw::kBlockBelowTopMm + guide.block_roof_mm + spec.guides.rail_mm / 2;
}

void placeOnAxis(const GateSpec& spec, const Layout& layout, GuideLayout& guide) {
  const PanelLayout& panel = layout.panel(guide.panel);
  // A plumb channel under a raked top: one of its edges stands higher below it.
  const double edge =
      std::abs(guide.grade - guide.channel_grade) * spec.guides.channel_width_mm / 2;
  guide.z_mm =
      panel.topZ(guide.x_mm) - (railBelowTop(spec, guide) + guide.drop_mm) / guide.cosine() - edge;
}

/// Where block and jaws are: on the bolt of a pivoted one.
FloatingBlock crossingOf(const GuideLayout& guide) {
  const double cosine = guide.cosine();
  const double upright = guide.channelCosine();
  const std::array<double, 2> up = {-guide.channel_grade * upright, upright};
  const double bolt = guide.pivotUpMm();
  return {
      {guide.x_mm + bolt * up[0], guide.z_mm + bolt * up[1]}, {cosine, guide.grade * cosine}, up};
}

/// What goes with the rail, and turns with it.
std::shared_ptr<const FloatingBlockTravel> rideOf(const Layout& layout, const GuideLayout& guide) {
  return std::make_shared<FloatingBlockTravel>(layout.ground.travels[guide.panel],
                                               layout.ground.travels[guide.panel - 1],
                                               crossingOf(guide));
}

/// What stays square in the channel: the same crossing, seen from there.
std::shared_ptr<const FloatingBlockTravel> rideInChannel(const Layout& layout,
                                                         const GuideLayout& guide) {
  const FloatingBlock block = crossingOf(guide);
  return std::make_shared<FloatingBlockTravel>(
      layout.ground.travels[guide.panel - 1], layout.ground.travels[guide.panel],
      FloatingBlock{block.at_mm, block.channel, block.rail});
}

/// How far rail and channel are out of square, at most, at positions over the travel: so far a
/// pivoted block's jaws turn.
double mostTurnDeg(const Layout& layout, const GuideLayout& guide) {
  constexpr int kTurnsLookedAt = 240;
  const auto angle = [&](int body, double grade, double drive_mm) {
    const Pose pose = layout.ground.travels[body]->at(drive_mm);
    return std::atan2(pose.sin, pose.cos) + std::atan(grade);
  };
  double most = 0;
  for (int i = 0; i <= (layout.ground.is_surveyed ? kTurnsLookedAt : 0); ++i) {
    const double drive = layout.drive_travel_mm * i / kTurnsLookedAt;
    most = std::max(most, std::abs(angle(guide.panel, guide.grade, drive) -
                                   angle(guide.panel - 1, guide.channel_grade, drive)));
  }
  return most * kDegreesPerRadian;
}

/// What the block's float demands of the rail's drop: see G1 and G2.
double leastDropMm(const GateSpec& spec, const GuideLayout& guide, double behind_mm,
                   double step_mm) {
  const double in_channel = guide.float_mm.high - behind_mm;
  const double hidden = spec.guides.hide ? guide.float_mm.high - guide.float_mm.low : 0;
  return std::max({0.0, in_channel, hidden, step_mm});
}

std::string leaning(const GuideLayout& guide) {
  return shown(std::abs(std::atan(guide.grade)) * kDegreesPerRadian) + " degrees";
}

std::string whyOf(const GateSpec& spec, const Layout& layout, const GuideLayout& guide) {
  const double moves = guide.float_mm.high - guide.float_mm.low;
  if (spec.gate.top == TopShape::kRaked && !layout.ground.is_surveyed) {
    const bool is_level = guide.grade == 0 && moves < kLengthEqualMm;
    if (is_level && guide.least_drop_mm <= kLengthEqualMm) {
      return "level track: the block does not float and the rail sits as high as its panel allows";
    }
    return is_level ? "level track: the block does not float; the rail sits " +
                          shown(guide.least_drop_mm) +
                          " mm lower because the panel behind stands lower across the slope"
           : guide.is_pivoted
               ? "raked: the rail runs with the slope, channel and block stand plumb, the block's "
                 "jaws turned by " +
                     leaning(guide) + " on their bolt; the block does not float"
               : "raked: the rail runs with the slope, channel and block stand square to it and " +
                     leaning(guide) +
                     " out of line with the plumb uprights; the block does not "
                     "float";
  }
  if (moves < kLengthEqualMm) {
    return "level track: the block does not float";
  }
  const std::string mostly = layout.ground.is_surveyed ? ", mostly " : " ";
  const std::string floats = "the block moves " + shown(moves) + " mm in its channel";
  const std::string drop = shown(guide.least_drop_mm) + " mm";
  const bool rises = guide.float_mm.high > -guide.float_mm.low;
  const std::string which =
      layout.ground.is_surveyed ? "surveyed track: "
      : spec.gate.top == TopShape::kStepped
          ? (rises ? "stepped top, opening uphill: " : "stepped top, opening downhill: ")
          : (rises ? "level top, opening uphill: " : "level top, opening downhill: ");
  std::string why = which + floats + mostly + (rises ? "up" : "down") +
                    " as the gate opens; the rail sits " + drop +
                    " below its highest place so "
                    "that the block stays in its channel";
  if (spec.guides.hide) {
    why += " and the channel out of sight behind the panel in front";
  }
  if (!rises && spec.guides.hide) {
    why += " (the rail could sit higher where that need not be: guides.hide false)";
  }
  return why;
}

void layOutGuide(const GateSpec& spec, Layout& layout, GuideLayout& guide) {
  const PanelLayout& panel = layout.panel(guide.panel);
  const bool on_post = guide.panel == 1;
  const double drive = layout.drive_travel_mm;
  const bool raked = spec.gate.top == TopShape::kRaked;
  guide.grade = raked ? panel.grade : 0;
  guide.is_pivoted = layout.blocks_pivoted;
  guide.channel_grade = guide.is_pivoted ? 0 : guide.grade;
  guide.rail_size_mm = spec.guides.rail_mm;
  guide.channel_width_mm = spec.guides.channel_width_mm;
  guide.block_roof_mm =
      guide.is_pivoted ? spec.hardware.guide.pivot_roof_mm : spec.hardware.guide.block_roof_mm;
  guide.x_mm =
      on_post ? layout.guide_mm
              : layout.panel(guide.panel - 1).leading_closed_mm +
                    (spec.guides.channel_width_mm / 2 + layout.lean_mm) * guide.channelCosine();
  placeOnAxis(spec, layout, guide);
  const bool floats = layout.ground.is_surveyed || (!raked && spec.site.grade != 0);
  if (floats) {
    guide.float_mm = rideOf(layout, guide)->floatRange(drive);
  }
  double behind = 0;
  double step = 0;
  if (!on_post) {
    const PanelLayout& carrier = layout.panel(guide.panel - 1);
    // Tops that are not parallel stand nearer at one of the channel's edges.
    const double edges =
        std::abs(carrier.top_grade - panel.top_grade) * spec.guides.channel_width_mm / 2;
    behind = (carrier.topZ(guide.x_mm) - panel.topZ(guide.x_mm)) * guide.channelCosine() - edges;
  }
  if (spec.gate.top == TopShape::kStepped && !layout.ground.is_surveyed) {
    const double stagger = on_post ? 0 : layout.panel(guide.panel - 1).stagger_mm;
    step = std::abs(spec.site.grade) * (drive + stagger);
  }
  guide.least_drop_mm = leastDropMm(spec, guide, behind, step);
  const auto& given = spec.guides.drop_mm;
  const std::size_t index = guide.panel - 1;
  guide.drop_mm = given && index < given->size() ? (*given)[index] : guide.least_drop_mm;
  placeOnAxis(spec, layout, guide);
  const double block_top = guide.blockTopMm();
  const double over_block = hw::kBlockBelowTopMm - hw::kChannelBelowTopMm;
  const double lowest_top = spec.guides.hide ? std::min(behind, guide.float_mm.low) : behind;
  guide.channel_high_mm =
      block_top + over_block + std::min(guide.float_mm.high, lowest_top + guide.drop_mm);
  guide.channel_low_mm = block_top + over_block - spec.hardware.guide.channel_height_mm +
                         std::min(0.0, guide.float_mm.low);
  guide.block_body = guide.panel - 1;
  if (floats) {
    guide.block_body = static_cast<int>(layout.ground.travels.size());
    layout.ground.travels.push_back(guide.is_pivoted ? rideInChannel(layout, guide)
                                                     : rideOf(layout, guide));
  }
  guide.jaw_body = guide.block_body;
  if (floats && guide.is_pivoted && layout.ground.is_surveyed) {
    guide.jaw_body = static_cast<int>(layout.ground.travels.size());
    layout.ground.travels.push_back(rideOf(layout, guide));
  }
  const double turn = mostTurnDeg(layout, guide);
  guide.aslant = std::tan(turn / kDegreesPerRadian);
  guide.turn_deg = guide.is_pivoted ? turn : 0;
  guide.why = whyOf(spec, layout, guide);
}

}  // namespace

double GuideLayout::pivotUpMm() const {
  return is_pivoted ? (rail_size_mm + block_roof_mm) / 2 / cosine() : 0;
}

double GuideLayout::blockTopMm() const {
  return is_pivoted ? pivotUpMm() + block_roof_mm / 2 : rail_size_mm / 2 + block_roof_mm;
}

double guidesShortByMm(const GateSpec& spec, const Layout& layout) {
  constexpr int kLookedAt = 240;
  constexpr double kSpareMm = 1;  // between positions looked at, and for the eye
  const GuideHardware& shelf = spec.hardware.guide;
  // All of the block that is in the channel.
  const double half =
      spec.guides.channel_width_mm / 2 - shelf.channel_wall_mm - shelf.running_gap_mm + kSpareMm;
  double most = 0;
  for (int i = 0; i <= kLookedAt && layout.ground.is_surveyed; ++i) {
    const double drive = layout.drive_travel_mm * i / kLookedAt;
    for (const GuideLayout& guide : layout.guides) {
      const PanelLayout& panel = layout.panel(guide.panel);
      const auto railEnd = [&](double x) {
        const double z = guide.z_mm + guide.grade * (x - guide.x_mm);
        return carried(layout.ground.travels[guide.panel]->at(drive), {x, 0, z});
      };
      const Vec3 from = railEnd(panel.leading_closed_mm);
      const Vec3 to = railEnd(panel.leading_closed_mm + panel.frame_length_mm);
      const Vec3 block =
          carried(layout.ground.travels[guide.jaw_body]->at(drive), {guide.x_mm, 0, guide.z_mm});
      const double length = norm(minus(to, from));
      const double along = dot(minus(block, from), minus(to, from)) / length;
      const double off = half + layout.ropePlayMm(guide.panel, guide.panel - 1);
      most = std::max({most, off - along, along + off - length});
    }
  }
  return most;
}

bool blocksJam(const GateSpec& spec, const Layout& layout) {
  constexpr double kSpareMm = 0.1;  // own choice: edges are broken, not sharp
  const GuideHardware& shelf = spec.hardware.guide;
  return layout.ground.is_surveyed &&
         std::any_of(layout.guides.begin(), layout.guides.end(), [&](const GuideLayout& guide) {
           // Turned about the rail's middle its far end goes aside most.
           const double top = guide.blockTopMm();
           const double reach = std::max(std::abs(top), std::abs(top - shelf.block_height_mm));
           return guide.aslant * reach > shelf.running_gap_mm - kSpareMm;
         });
}

void layOutGuides(const GateSpec& spec, Layout& layout) {
  layout.guides.clear();
  layout.guides.reserve(layout.panels.size());
  for (int k = 1; k <= layout.panel_count; ++k) {
    GuideLayout guide;
    guide.panel = k;
    layOutGuide(spec, layout, guide);
    layout.guides.push_back(std::move(guide));
  }
}

}  // namespace leafstack
