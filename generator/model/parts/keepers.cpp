// Track keepers under the bottom rail, and lift keepers on the guide channels.
#include "generator/layout/figures/keepers.h"

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// The plate across the rail that a pair is welded under; -1 where the rail takes the pair itself.
int addSaddle(ModelBuilder& builder, const PanelFrame& panel, double along_mm) {
  const double length = builder.hardware().keeper.length_mm;
  const TrackKeepers keepers = trackKeepers(builder.spec());
  if (keepers.saddle_mm == 0) {
    return -1;
  }
  const double width = 2 * keepers.outer_half_mm, thick = keepers.saddle_mm;
  const int part =
      builder.part({PartKind::kKeeperSaddle, "plate " + sizes({length, width, thick}), length},
                   {width, thick}, [=] {
                     return box({0, 0, -thick}, {length, width, 0});
                   });
  const int saddle = builder.place(
      part, panel.number,
      panel.at(along_mm - length / 2, panel.depth_mm / 2 - keepers.outer_half_mm, 0), panel.slope);
  builder.joinTouching(saddle, {PartKind::kBottomRail}, ContactKind::kWelded,
                       "the keepers' saddle is welded under the bottom rail");
  return saddle;
}

/// A plate on either side of the track, its middle `along_mm` from the panel's leading end.
void addPair(ModelBuilder& builder, const PanelFrame& panel, double along_mm) {
  const KeeperHardware& size = builder.hardware().keeper;
  const TrackKeepers keepers = trackKeepers(builder.spec());
  const int saddle = addSaddle(builder, panel, along_mm);
  const double height = keepers.height_mm;
  // Its own frame: leading end, near face, the edge that is welded.
  const int part =
      builder.part({PartKind::kTrackKeeper,
                    "plate " + sizes({size.length_mm, height, size.plate_mm}), size.length_mm},
                   {height}, [=] {
                     return box({0, 0, -height}, {size.length_mm, size.plate_mm, 0});
                   });
  const double middle = panel.depth_mm / 2;
  for (const double across : {middle - keepers.outer_half_mm, middle + keepers.inner_half_mm}) {
    const int plate = builder.place(
        part, panel.number, panel.at(along_mm - size.length_mm / 2, across, -keepers.saddle_mm),
        panel.slope);
    if (saddle < 0) {
      builder.joinTouching(plate, {PartKind::kBottomRail}, ContactKind::kWelded,
                           "the track keeper is welded under the bottom rail");
    } else {
      builder.contact(plate, saddle, ContactKind::kWelded,
                      "the track keeper is welded under its saddle");
    }
  }
}

}  // namespace

void addTrackKeepers(ModelBuilder& builder, const PanelFrame& panel) {
  const double inset =
      keeperInsetMm(builder.hardware(), wheelInsetMm(builder.spec(), builder.layout()));
  addPair(builder, panel, inset);
  addPair(builder, panel, panel.length_mm - inset);
}

void addLiftKeepers(ModelBuilder& builder, const GuideLayout& guide, int channel, double front_y) {
  const HardwareSpec& shelf = builder.hardware();
  const LiftKeeper keeper = liftKeeper(shelf, guide);
  const GuideHardware& size = shelf.guide;
  // Of a folded channel the flat of its lip.
  const double from = size.channel == ChannelKind::kFolded ? 2 * size.channel_wall_mm : 0;
  const double width = size.lip_mm - hw::kLugOffNeckMm - from;
  const double reach = size.lip_gap_mm + size.rail_thickness_mm;
  const double height = keeper.high_mm - keeper.low_mm;
  const int part =
      builder.part({PartKind::kLiftKeeper, "plate " + sizes({reach, width, height}), reach},
                   {reach, width}, [=] {
                     return box({0, 0, 0}, {width, reach, height});
                   });
  const double half = builder.spec().guides.channel_width_mm / 2;
  for (const double along : {-half + from, half - from - width}) {
    const int lug =
        builder.place(part, guide.panel - 1, onGuide(guide, along, front_y - reach, keeper.low_mm),
                      Slope::of(guide.channel_grade));
    builder.contact(lug, channel, ContactKind::kWelded,
                    "the lift keeper is welded to its channel's lip");
  }
}

}  // namespace leafstack
