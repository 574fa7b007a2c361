// Boards or battens on a panel's front face, cut clear of its guide channel.
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kCutClearMm = 5;         // cladding off channel, packer and return
constexpr double kNarrowestStripMm = 30;  // narrower strips are not worth a screw

/// What a guide channel takes out of the cladding: X below `x`, Z above `z` of the gate.
struct Corner {
  double x = 0, z = 0;
};

/// Without repeated corners and corners on a straight line.
Polygon tidied(const Polygon& polygon) {
  constexpr double kStraightMm2 = 1e-3;  // twice the area of what a dropped corner cuts off
  Polygon result;
  const std::size_t count = polygon.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Point2& before = result.empty() ? polygon[count - 1] : result.back();
    const Point2& p = polygon[i];
    const Point2& after = polygon[(i + 1) % count];
    const double turn = (p.a - before.a) * (after.b - p.b) - (p.b - before.b) * (after.a - p.a);
    if (std::abs(turn) > kStraightMm2) {
      result.push_back(p);
    }
  }
  return result;
}

/// The polygon without its leading upper corner; it reaches both sides of the corner's lines.
Polygon notchedAt(const Polygon& polygon, const Corner& corner) {
  const Polygon low = clipped(polygon, {0, corner.z}, 0, /*above=*/false);
  const Polygon beyond = rightOf(clipped(polygon, {0, corner.z}, 0, /*above=*/true), corner.x);
  // Both meet along the corner's level line: round the low one, over the other, and back.
  Polygon result;
  for (const Polygon* part : {&low, &beyond}) {
    // Begin after the last corner on the level line, so that this line is left out.
    std::size_t start = 0;
    for (std::size_t i = 0; i < part->size(); ++i) {
      const auto on_line = [&](std::size_t k) {
        return std::abs((*part)[k % part->size()].b - corner.z) < kLengthEqualMm;
      };
      if (on_line(i) && !on_line(i + 1)) {
        start = i;
      }
    }
    for (std::size_t i = 0; i < part->size(); ++i) {
      result.push_back((*part)[(start + i) % part->size()]);
    }
  }
  return tidied(result);
}

/// One board or batten, perhaps with the leading upper corner notched.
struct Strip {
  Polygon outline;
  bool notched = false;
};

/// Fits a strip round the corner taken by the channel.
std::optional<Strip> clearOf(const std::optional<Corner>& corner, Polygon outline) {
  const Field field = extentOf(outline);
  const bool free = !corner || field.x0 >= corner->x || field.z1 <= corner->z;
  Strip strip{outline};
  if (!free && field.x1 <= corner->x + kNarrowestStripMm) {
    strip.outline = clipped(outline, {field.x0, corner->z}, 0, /*above=*/false);
  } else if (!free && field.z0 >= corner->z - kNarrowestStripMm) {
    strip.outline = rightOf(outline, corner->x);
  } else if (!free) {
    strip.outline = notchedAt(outline, *corner);
    strip.notched = true;
  }
  const Field left = extentOf(strip.outline);
  if (left.width() < kNarrowestStripMm || left.height() < kNarrowestStripMm) {
    return std::nullopt;
  }
  return strip;
}

/// Starts and widths of strips of `width` with `gap` between over [low, high]; the last is ripped
/// to what is left, and shares with the one before when less than half a width is left.
std::vector<std::pair<double, double>> courses(double low, double high, const CladdingSpec& clad) {
  std::vector<std::pair<double, double>> result;
  const double pitch = clad.width_mm + clad.gap_mm;
  double at = low;
  for (; high - at > clad.width_mm - kLengthEqualMm; at += pitch) {
    result.emplace_back(at, clad.width_mm);
  }
  const double rest = high - at;
  if (rest >= clad.width_mm / 2) {
    result.emplace_back(at, rest);
  } else if (rest > kLengthEqualMm && !result.empty()) {
    const double from = result.back().first;
    const double shared = (high - from - clad.gap_mm) / 2;
    result.back().second = shared;
    result.emplace_back(from + shared + clad.gap_mm, shared);
  } else if (rest < -kLengthEqualMm && !result.empty()) {
    // Only the gap before the edge is left over: the last strip takes it.
    result.back().second = high - result.back().first;
  }
  return result;
}

constexpr double kCladScrewMm = 5.5;
/// A screw and what it holds in.
struct CladScrew {
  Point2 at;
  int member = 0;
  double wall_mm = 0;
};

double cladScrewMm(const GateSpec& spec, double wall_mm) {
  constexpr double kPointMm = 12;  // drill point and two threads behind the wall. No source
  return screwNoShorter_mm(spec.gate.cladding.thickness_mm + wall_mm + kPointMm);
}

/// The wheels that turn in the bottom rail, where the screws' points reach as far back as they are.
std::vector<KeptFree> wheelsBehind(const ModelBuilder& builder, const PanelFrame& panel) {
  const GateSpec& spec = builder.spec();
  const WheelHardware& wheel = spec.hardware.wheel;
  const double off = spec.checks.hardware_clearance_mm;
  const double point =
      cladScrewMm(spec, panel.bottom_rail_wall_mm) - spec.gate.cladding.thickness_mm;
  if (isOnPlate(spec.hardware) || point + off <= (panel.depth_mm - wheel.width_mm) / 2) {
    return {};
  }
  const double inset = wheelInsetMm(spec, builder.layout());
  std::vector<KeptFree> free;
  for (const double along : {inset, panel.length_mm - inset}) {
    const auto [x, front, z] = panel.at(along, 0, wheel.axle_up_mm);
    free.push_back({{x, z}, wheel.outside_mm / 2 + kCladScrewMm / 2 + off});
  }
  return free;
}

/// From a point within to the nearest edge.
double offEdgesMm(const Polygon& outline, const Point2& at) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point2& p = outline[i];
    const Point2& q = outline[(i + 1) % outline.size()];
    const double a = q.a - p.a, b = q.b - p.b;
    const double share =
        std::clamp(((at.a - p.a) * a + (at.b - p.b) * b) / (a * a + b * b), 0.0, 1.0);
    least = std::min(least, std::hypot(at.a - p.a - share * a, at.b - p.b - share * b));
  }
  return least;
}

void screwOn(ModelBuilder& builder, int strip, double front_y,
             const std::vector<CladScrew>& screws) {
  const double thick = builder.spec().gate.cladding.thickness_mm;
  for (const CladScrew& screw : screws) {
    addScrew(
        builder,
        {ScrewKind::kDrilling, kCladScrewMm, cladScrewMm(builder.spec(), screw.wall_mm), thick},
        {strip, screw.member, "cladding is screwed to the frame"},
        {{screw.at.a, front_y, screw.at.b}, {0, -1, 0}});
  }
}

void placeStrip(ModelBuilder& builder, const PanelFrame& panel, const Strip& strip, bool upright,
                const std::optional<Corner>& corner) {
  const CladdingSpec& clad = builder.spec().gate.cladding;
  const Field field = extentOf(strip.outline);
  FlatPart flat;
  flat.grade = upright ? 0 : panel.top_grade;  // a batten lies along the top
  const Field lies = extentOf(turnedBack(strip.outline, Slope::of(flat.grade)));
  const double w = lies.width();
  const double h = lies.height();
  flat.spec = {upright ? PartKind::kBoard : PartKind::kBatten,
               "timber " + sizes({upright ? w : h, clad.thickness_mm}), upright ? h : w};
  flat.thickness_mm = clad.thickness_mm;
  flat.outline = strip.outline;
  const Slope low = panel.slope;
  if (!low.isLevel() && upright) {
    flat.spec.ends = {mitre(low.grade), mitre(panel.top_grade)};
  } else if (!low.isLevel() && !strip.notched && strip.outline.size() == 4 &&
             panel.top_grade == low.grade) {
    flat.spec.ends = {mitre(low.grade), mitre(low.grade)};
    flat.spec.cutouts.push_back("ends plumb, " + shown(mitre(low.grade).angle_deg) +
                                " degrees off square");
  }
  if (strip.notched) {
    flat.spec.cutouts.push_back("leading upper corner notched " +
                                sizes({corner->x - field.x0, field.z1 - corner->z}) +
                                " for the guide channel");
  }
  const SunkScrew sunk{kCladScrewMm};
  std::vector<CladScrew> screws;
  const std::vector<KeptFree> wheels = wheelsBehind(builder, panel);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  for (const MemberFace& face : facesOf(builder, panel)) {
    const bool has_wheels = face.instance == rail;
    for (const Point2& at :
         screwsIn(face.sharedWith(strip.outline), has_wheels ? wheels : std::vector<KeptFree>{})) {
      if (offEdgesMm(strip.outline, at) < sunk.headRadiusMm()) {
        continue;  // beside a notch
      }
      screws.push_back({at, face.instance, face.wall_mm});
      flat.holes.push_back(at);
    }
  }
  flat.hole_mm = 2 * sunk.holeRadiusMm();
  flat.sink_mm = sunk.sinkMm();
  if (!screws.empty()) {
    flat.spec.cutouts.push_back(std::to_string(screws.size()) + " dia " + shown(flat.hole_mm) +
                                ", sunk dia " + shown(2 * sunk.headRadiusMm()) +
                                " in front, for its screws");
  }
  const double front_y = panel.origin_mm[1] - clad.thickness_mm;
  const int instance = placeFlat(builder, panel.number, flat, front_y);
  screwOn(builder, instance, front_y, screws);
  builder.joinTouching(instance, {PartKind::kBottomRail, PartKind::kTopRail, PartKind::kStile},
                       ContactKind::kBolted, "cladding is screwed to the frame's front face");
  if (clad.gap_mm <= kLengthEqualMm) {
    builder.joinTouching(instance, {PartKind::kBoard, PartKind::kBatten}, ContactKind::kStandsOn,
                         "boards without a gap lie edge to edge");
  }
}

/// What the leaning channel of the guide on this panel takes, and a saw's width more.
Corner cornerOf(const ModelBuilder& builder, const PanelFrame& panel) {
  const GuideLayout& guide = builder.layout().guides.at(panel.number);
  const double c = guide.channelCosine();
  const double s = guide.channel_grade * c;
  const double half = builder.spec().guides.channel_width_mm / 2;
  const double ends[] = {guide.channel_low_mm, guide.channel_high_mm};
  return {guide.x_mm + half * c + std::max(-ends[0] * s, -ends[1] * s) + kCutClearMm,
          guide.z_mm + ends[0] * c - half * std::abs(s) - kCutClearMm};
}

/// Boards stand plumb, side by side; their ends follow the slopes of `all`.
std::vector<Polygon> boardsOf(const Polygon& all, const CladdingSpec& clad) {
  const double x0 = all[0].a;
  const double low = (all[1].b - all[0].b) / (all[1].a - x0);
  const double high = (all[2].b - all[3].b) / (all[2].a - x0);
  std::vector<Polygon> boards;
  for (const auto& [at, width] : courses(x0, all[1].a, clad)) {
    const double from = at - x0;
    const double to = from + width;
    boards.push_back({{at, all[0].b + low * from},
                      {at + width, all[0].b + low * to},
                      {at + width, all[3].b + high * to},
                      {at, all[3].b + high * from}});
  }
  return boards;
}

/// Battens lie along the top. Where the bottom rail rises towards it they are counted from the top
/// down and the lowest are cut to the slope.
std::vector<Polygon> battensOf(const Polygon& all, const CladdingSpec& clad) {
  const double run = all[1].a - all[0].a;
  const double low = (all[1].b - all[0].b) / run;
  const double high = (all[2].b - all[3].b) / run;
  std::vector<Polygon> battens;
  const auto lying = [&](double z, double width) {
    return Polygon{{all[0].a, z},
                   {all[1].a, z + high * run},
                   {all[1].a, z + high * run + width},
                   {all[0].a, z + width}};
  };
  const bool tapers = std::abs(low - high) * run > kLengthEqualMm;
  const double lowest = std::min(all[0].b, all[1].b - high * run);
  CladdingSpec plumb = clad;
  const double cosine = Slope::of(high).cosine;
  plumb.width_mm /= cosine;
  plumb.gap_mm /= cosine;
  for (const auto& [at, width] : courses(lowest, all[3].b, plumb)) {
    const double z = tapers ? all[3].b - (at - lowest) - width : at;
    const Polygon cut =
        tapers ? clipped(lying(z, width), all[0], low, /*above=*/true) : lying(z, width);
    if (!cut.empty()) {
      battens.push_back(cut);
    }
  }
  return battens;
}

}  // namespace

void addCladding(ModelBuilder& builder, const PanelFrame& panel) {
  const GateSpec& spec = builder.spec();
  const CladdingSpec& clad = spec.gate.cladding;
  if (clad.kind == CladdingKind::kNone) {
    return;
  }
  const HeightLayout& heights = builder.layout().heights;
  const double x0 = panel.origin_mm[0];
  double x1 = x0 + panel.frame_length_mm;
  if (panel.number == 1 && builder.layout().demands[Binding::kReturn].applies) {
    x1 = builder.layout().return_start_mm - kCutClearMm;
  }
  const double up = heights.cladding_bottom_up_mm / panel.slope.cosine;
  const Polygon all = {{x0, panel.undersideZ(x0) + up},
                       {x1, panel.undersideZ(x1) + up},
                       {x1, panel.topZ(x1)},
                       {x0, panel.topZ(x0)}};
  std::optional<Corner> corner;
  if (panel.carries_channel) {
    corner = cornerOf(builder, panel);
  }
  const bool upright = clad.kind == CladdingKind::kBoards;
  for (const Polygon& outline : upright ? boardsOf(all, clad) : battensOf(all, clad)) {
    if (const auto strip = clearOf(corner, outline)) {
      placeStrip(builder, panel, *strip, upright, corner);
    }
  }
}

}  // namespace leafstack
