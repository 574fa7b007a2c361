// Fence posts, tracks, footing, end stops, catch post: what does not move.
#include <algorithm>

#include "generator/builder.h"
#include "generator/numbers.h"
#include "generator/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kTrackPastWheelMm = 100;
constexpr double kFootingPastMm = 100;   // beyond the outermost thing that stands on it
constexpr double kFootingFrontMm = 100;  // before the front track
constexpr double kFootingBehindMm = 60;
constexpr double kFootingOffFenceMm = 5;
constexpr double kStopHeightUpMm = 90;      // end stop's top above the rail's underside, at most
constexpr double kStopBelowRailTopMm = 10;  // the return passes over it
constexpr double kStopFootMm = 60;          // foot under the panel's end, along X
constexpr double kStopHoleMm = 14;
constexpr double kBufferThicknessMm = 20;
constexpr double kCatchPlateMm = 6;
constexpr double kCatchPlateOnPostMm = 40;
constexpr double kCatchLowUpMm = 5, kCatchHighUpMm = 40;
constexpr double kCatchWallMm = 3;
constexpr double kCatchFootMm = 40;  // base plate beyond the catch post, along X
constexpr double kCatchHoleMm = 14;
constexpr double kTallestOverheadMm = hw::kOverheadGapMm + hw::kOverheadTubeMm;

void addFencePost(ModelBuilder& builder, double x, double height) {
  const double size = builder.spec().site.fence_post_mm;
  const int part = builder.part(
      {PartKind::kFencePost, Supply::kSite, "fence post", "site", sizes({size, size}), height},
      {size, height}, [&] {
        return box({0, 0, 0}, {size, size, height});
      });
  const int post = builder.place(part, 0, {x, -size, 0});
  builder.joinTouching(post, {PartKind::kBasePlate}, ContactKind::kBolted,
                       "the overhead bracket is bolted to the fence post");
}

void addFence(ModelBuilder& builder) {
  const SiteSpec& site = builder.spec().site;
  double storage_height = site.fence_height_mm;
  if (builder.spec().guides.mount == GuideMount::kOverhead) {
    storage_height = std::max(storage_height, builder.layout().heights.top_mm + kTallestOverheadMm);
  }
  addFencePost(builder, -site.fence_post_mm, site.fence_height_mm);
  addFencePost(builder, builder.layout().opening_mm, storage_height);
}

void addTrack(ModelBuilder& builder, const PanelFrame& panel) {
  const PanelLayout& row = builder.layout().panel(panel.number);
  const double inset = wheelInsetMm(builder.spec(), builder.layout());
  const double from = row.leading_closed_mm + inset - kTrackPastWheelMm;
  const double length = row.trailing_open_mm - inset + kTrackPastWheelMm - from;
  const double radius = hw::kTrackBarMm / 2;
  const int part =
      builder.part({PartKind::kTrack, Supply::kCutBar, "track bar", "steel",
                    "round " + shown(hw::kTrackBarMm), length},
                   {length}, [&] {
                     return prism(Plane::kYZ, Outline::circle({0, 0}, radius), {0, length});
                   });
  const int track = builder.place(part, 0,
                                  {from, panel.origin_mm[1] + panel.depth_mm / 2,
                                   builder.layout().heights.footing_top_mm + radius});
  for (int wheel : builder.instancesOf(PartKind::kWheel, panel.number)) {
    builder
        .contact(track, wheel, ContactKind::kRolling, "the wheel runs on its track",
                 kWheelOnTrackMm)
        .engagements = {{wheel, kAlongX, 0}, {track, kAlongY, 0}};
  }
}

void addEndStop(ModelBuilder& builder, const PanelFrame& panel) {
  const PanelLayout& row = builder.layout().panel(panel.number);
  const double projection =
      panel.number == 1
          ? 0.0
          : std::max(0.0, hw::kBracketHalfLengthMm - builder.spec().ropes.bracket_inset_mm);
  const double base = builder.layout().heights.footing_top_mm;
  const double up =
      std::min(kStopHeightUpMm, builder.layout().heights.rail_height_mm - kStopBelowRailTopMm);
  const double height = panel.origin_mm[2] + up - base;
  const double t = hw::kEndStopThicknessMm;
  const double depth = panel.depth_mm;
  const int part = builder.part(
      {PartKind::kEndStop,
       Supply::kCutPlate,
       "end stop",
       "steel",
       "bent plate " + sizes({depth, height, kStopFootMm, t}),
       height,
       {},
       {"anchor hole dia " + shown(kStopHoleMm) + " in the middle of the foot"}},
      {height, depth}, [&] {
        // The foot lies under the panel's end, so that nothing stands further out than the stop.
        const double inner = t - kStopFootMm;
        const Outline side =
            Outline::polygon({{inner, 0}, {t, 0}, {t, height}, {0, height}, {0, t}, {inner, t}});
        const Outline hole = Outline::circle({inner / 2, depth / 2}, kStopHoleMm / 2);
        return cut(prism(Plane::kXZ, side, {0, depth}), {prism(Plane::kXY, hole, {-1, t + 1})});
      });
  const int stop = builder.place(
      part, 0, {row.trailing_open_mm + projection + hw::kEndStopGapMm, panel.origin_mm[1], base});
  const PartKind met = panel.number == 1 ? PartKind::kBottomRail : PartKind::kFrontBracket;
  for (int member : builder.instancesOf(met, panel.number)) {
    builder.contact(stop, member, ContactKind::kStop,
                    "the stop meets the panel at the end of its travel", hw::kEndStopGapMm);
  }
}

int addCatchPost(ModelBuilder& builder, const PanelFrame& panel, double face_x, const Point2& y) {
  const HollowSection section{hw::kCatchPostMm, y.b - y.a, kCatchWallMm,
                              hollowName(hw::kCatchPostMm, y.b - y.a, kCatchWallMm)};
  const double base = builder.layout().heights.footing_top_mm;
  const double height = builder.layout().heights.top_mm - base - hw::kBasePlateMm;
  const int part = builder.part(
      {PartKind::kCatchPost, Supply::kCutTube, "catch post", "steel", section.designation, height},
      {height}, [&] { return hollowSection(Plane::kXY, section, height); });
  const double x = face_x - hw::kCatchPostMm;
  const int post = builder.place(part, 0, {x, y.a, base + hw::kBasePlateMm});
  const double plate_length = hw::kCatchPostMm + 2 * kCatchFootMm;
  const int plate_part = builder.part(
      {PartKind::kBasePlate, Supply::kCutPlate, "catch post base plate", "steel",
       "plate " + sizes({plate_length, y.b - y.a, hw::kBasePlateMm}), plate_length},
      {plate_length, y.b - y.a}, [&] {
        const double middle = (y.b - y.a) / 2;
        return prism(Plane::kXY, Outline::rectangle({0, 0}, {plate_length, y.b - y.a}),
                     {Outline::circle({kCatchFootMm / 2, middle}, kCatchHoleMm / 2),
                      Outline::circle({plate_length - kCatchFootMm / 2, middle}, kCatchHoleMm / 2)},
                     {0, hw::kBasePlateMm});
      });
  const int plate = builder.place(plate_part, 0, {x - kCatchFootMm, y.a, base});
  builder.contact(post, plate, ContactKind::kWelded, "the post is welded to its base plate");
  const int buffer_part = builder.part(
      {PartKind::kCatchBuffer, Supply::kBought, "stop buffer", "rubber",
       "block " + sizes({kBufferThicknessMm, panel.depth_mm, kStopHeightUpMm - 10}),
       kStopHeightUpMm - 10},
      {panel.depth_mm}, [&] {
        return box({0, 0, 0}, {kBufferThicknessMm, panel.depth_mm, kStopHeightUpMm - 10});
      });
  const int buffer =
      builder.place(buffer_part, 0, {face_x, panel.origin_mm[1], panel.origin_mm[2] + 10});
  builder.contact(buffer, post, ContactKind::kBolted, "the buffer is fixed to the catch post");
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(buffer, rail, ContactKind::kStop, "the buffer stops the closed gate",
                  hw::kEndStopGapMm);
  return post;
}

void addCatch(ModelBuilder& builder) {
  const PanelFrame& panel = builder.panel(builder.layout().panel_count);
  const double front = panel.origin_mm[1];
  const double rear = front + panel.depth_mm;
  const double face_x = panel.origin_mm[0] - hw::kEndStopGapMm - kBufferThicknessMm;
  const bool room_in_front = front >= hw::kCatchGapMm + kCatchPlateMm + 1;
  const double post_front = room_in_front ? front - hw::kCatchGapMm : front + 1;
  const int post = addCatchPost(builder, panel, face_x, {post_front, rear + hw::kCatchGapMm});
  const double height = kCatchHighUpMm - kCatchLowUpMm;
  const double from_x = face_x - kCatchPlateOnPostMm;
  const double length = panel.origin_mm[0] + hw::kCatchReachMm - from_x;
  const int part = builder.part({PartKind::kCatchPlate, Supply::kCutPlate, "catch plate", "steel",
                                 "plate " + sizes({length, height, kCatchPlateMm}), length},
                                {length, height}, [&] {
                                  return box({0, 0, 0}, {length, kCatchPlateMm, height});
                                });
  const double z = panel.origin_mm[2] + kCatchLowUpMm;
  // Without room before the panel the fence post itself is the front catch.
  std::vector<double> plates = {rear + hw::kCatchGapMm};
  if (room_in_front) {
    plates.push_back(front - hw::kCatchGapMm - kCatchPlateMm);
  }
  for (double y : plates) {
    const int plate = builder.place(part, 0, {from_x, y, z});
    builder.contact(plate, post, ContactKind::kWelded, "the plate is welded to the catch post");
  }
}

void addFooting(ModelBuilder& builder) {
  const Layout& layout = builder.layout();
  const PanelFrame& front_panel = builder.panel(layout.panel_count);
  const PanelFrame& back_panel = builder.panel(1);
  const double track_y = front_panel.origin_mm[1] + front_panel.depth_mm / 2;
  const double front =
      std::max(track_y - kFootingFrontMm, std::min(kFootingOffFenceMm, track_y - hw::kTrackBarMm));
  const double behind = back_panel.origin_mm[1] + back_panel.depth_mm + layout.stack.post_gap_mm +
                        std::max(builder.spec().guides.post_mm, hw::kMotorDepthMm) +
                        kFootingBehindMm;
  const double from = front_panel.origin_mm[0] - kFootingPastMm;
  double to = layout.opening_mm + layout.room_mm;
  if (builder.spec().guides.mount == GuideMount::kReachOver) {
    to = std::max(to, layout.guide_post_mm);
  }
  to += kFootingPastMm;
  const double depth = hw::kFootingDepthMm;
  const int part = builder.part({PartKind::kFooting, Supply::kSite, "footing", "concrete",
                                 "depth " + shown(depth), to - from},
                                {to - from, behind - front, depth}, [&] {
                                  return box({0, 0, 0}, {to - from, behind - front, depth});
                                });
  const int footing = builder.place(part, 0, {from, front, layout.heights.footing_top_mm - depth});
  builder.joinTouching(footing,
                       {PartKind::kTrack, PartKind::kBasePlate, PartKind::kMotor,
                        PartKind::kMotorPacker, PartKind::kEndStop},
                       ContactKind::kStandsOn, "stands on the footing");
}

}  // namespace

void addSite(ModelBuilder& builder) {
  for (const PanelFrame& panel : builder.panels()) {
    addTrack(builder, panel);
    addEndStop(builder, panel);
  }
  addCatch(builder);
  addFence(builder);
  addFooting(builder);
}

}  // namespace leafstack
