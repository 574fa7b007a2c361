// Guide channels, and the blocks in them that hold the guide rails: of one piece with their jaws,
// or with jaws that turn on a bolt.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bored.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kJawOverLegMm = 2;  // front jaw's end above the rail's horizontal leg
constexpr double kNutRoomMm = 1;     // about and behind the nut in a pivoted block's back

double channelDepthMm(const GateSpec& spec) {
  return spec.guides.channel_depth_mm - spec.hardware.guide.lip_gap_mm;
}

/// The same section as a press folds it: inside radius as thick as the plate, outside twice that.
Outline foldedSection(double width, double depth, double t, double lip) {
  const double off = 2 * t;  // of the bends' centres from the outside faces
  const double out = off * (1 - std::numbers::sqrt2 / 2);
  const double in = off - t * std::numbers::sqrt2 / 2;
  Outline section({off, 0});
  section.line({lip, 0}).line({lip, t}).line({off, t}).arc({in, in}, {t, off});
  section.line({t, depth - off}).arc({in, depth - in}, {off, depth - t});
  section.line({width - off, depth - t}).arc({width - in, depth - in}, {width - t, depth - off});
  section.line({width - t, off}).arc({width - in, in}, {width - off, t});
  section.line({width - lip, t}).line({width - lip, 0}).line({width - off, 0});
  section.arc({width - out, out}, {width, off}).line({width, depth - off});
  section.arc({width - out, depth - out}, {width - off, depth}).line({off, depth});
  section.arc({out, depth - out}, {0, depth - off}).line({0, off});
  section.arc({out, out}, {off, 0});
  return section.close();
}

/// Channel in its own frame: lips in front at Y = 0, web behind; X 0..width, Z 0..height.
TopoDS_Shape channelSolid(const HardwareSpec& shelf, double width, double depth, double height) {
  const double t = shelf.guide.channel_wall_mm;
  const double lip = shelf.guide.lip_mm;
  if (shelf.guide.channel == ChannelKind::kFolded) {
    return prism(Plane::kXY, foldedSection(width, depth, t, lip), {0, height});
  }
  return prism(Plane::kXY,
               Outline::polygon({{0, 0},
                                 {lip, 0},
                                 {lip, t},
                                 {t, t},
                                 {t, depth - t},
                                 {width - t, depth - t},
                                 {width - t, t},
                                 {width - lip, t},
                                 {width - lip, 0},
                                 {width, 0},
                                 {width, depth},
                                 {0, depth}}),
               {0, height});
}

/// What block and jaws are made round, in the channel's frame.
struct BlockSizes {
  double width = 0, depth = 0, rail = 0;  ///< of channel and rail
  double run = 0, wall = 0, lip = 0;
  double leg_back = 0, leg_front = 0;  ///< Y of the slot that the rail's leg runs in
  double front = 0;                    ///< Y of the front jaw's face
};

BlockSizes blockSizes(const GateSpec& spec) {
  const GuideHardware& guide = spec.hardware.guide;
  BlockSizes sizes{spec.guides.channel_width_mm, channelDepthMm(spec),  spec.guides.rail_mm,
                   guide.running_gap_mm,         guide.channel_wall_mm, guide.lip_mm};
  // Across the track: the rail's leg stands at -gap-thickness .. -gap before the channel's lips.
  sizes.leg_back = -guide.lip_gap_mm + sizes.run;
  sizes.leg_front = -guide.lip_gap_mm - guide.rail_thickness_mm - sizes.run;
  sizes.front = sizes.leg_front - guide.block_jaw_mm;
  return sizes;
}

/// What is inside the channel; Z from its own lower end.
TopoDS_Shape bodySolid(const GuideHardware& guide, const BlockSizes& at) {
  // In a folded channel its corners keep the running gap to the bends' insides.
  const double in = at.wall + at.run;
  const Point2 low = {in, in};
  const Point2 high = {at.width - in, at.depth - in};
  return guide.channel == ChannelKind::kFolded
             ? prism(Plane::kXY,
                     Outline::roundedRectangle(low, high, std::max(0.0, at.wall - at.run)),
                     {0, guide.block_height_mm})
             : box({low.a, low.b, 0}, {high.a, high.b, guide.block_height_mm});
}

/// Across the slot between the channel's lips.
Extent neckOf(const BlockSizes& at) {
  return {at.lip + at.run, at.width - at.lip - at.run};
}

/// Of one piece; Z from its own lower end.
TopoDS_Shape blockSolid(const GuideHardware& guide, const BlockSizes& at) {
  const double high = guide.block_height_mm;
  const double roof = high - guide.block_roof_mm;
  const double jaw_low = std::max(0.0, roof - at.rail + guide.rail_thickness_mm + kJawOverLegMm);
  const Outline neck = Outline::polygon({{at.leg_back, 0},
                                         {at.wall + at.run, 0},
                                         {at.wall + at.run, high},
                                         {at.front, high},
                                         {at.front, jaw_low},
                                         {at.leg_front, jaw_low},
                                         {at.leg_front, roof},
                                         {at.leg_back, roof}});
  return fuse(bodySolid(guide, at), prism(Plane::kYZ, neck, neckOf(at)));
}

/// Half of the space that a pivoted block's nut lies in.
double nutRoomMm(const GuideHardware& guide) {
  return threadClass(guide.pivot_bolt_mm).across_corners_mm / 2 + kNutRoomMm;
}
double pivotBoreMm(const GuideHardware& guide) {
  return guide.pivot_bolt_mm / 2 + hw::kPulleyBoreGapMm;
}

/// Without jaws: a neck as far as these, a bore for the bolt, its nut let into the back.
TopoDS_Shape pivotedBlockSolid(const GuideHardware& guide, const BlockSizes& at) {
  const double high = guide.block_height_mm;
  const Extent across = neckOf(at);
  const TopoDS_Shape neck = box({across.from, -at.run, 0}, {across.to, at.wall + at.run, high});
  const double back = at.depth - at.wall - at.run;
  const double nut = threadClass(guide.pivot_bolt_mm).nut_mm + kNutRoomMm;
  const Point2 bolt = {at.width / 2, high - guide.pivot_roof_mm / 2};
  return cut(fuse(bodySolid(guide, at), neck),
             {prism(Plane::kXZ, Outline::circle(bolt, pivotBoreMm(guide)), {-at.run, back}),
              prism(Plane::kXZ, Outline::circle(bolt, nutRoomMm(guide)), {back - nut, back})});
}

/// Astride the rail, about the bolt: X along the rail, Z square to it.
TopoDS_Shape jawsSolid(const GuideHardware& guide, const BlockSizes& at) {
  const double roof = -guide.pivot_roof_mm / 2;
  const double back_low = roof - at.rail;
  const double front_low = back_low + guide.rail_thickness_mm + kJawOverLegMm;
  const Outline section = Outline::polygon({{at.leg_back, back_low},
                                            {-at.run, back_low},
                                            {-at.run, -roof},
                                            {at.front, -roof},
                                            {at.front, front_low},
                                            {at.leg_front, front_low},
                                            {at.leg_front, roof},
                                            {at.leg_back, roof}});
  const Extent across = neckOf(at);
  const double half = (across.to - across.from) / 2;
  return cut(prism(Plane::kYZ, section, {-half, half}),
             {prism(Plane::kXZ, Outline::circle({0, 0}, pivotBoreMm(guide)), {at.front, -at.run})});
}

/// Head before the jaws, nut in the block's back; about its own axis.
TopoDS_Shape pivotBoltSolid(const GuideHardware& guide, const BlockSizes& at) {
  const ThreadClass& bolt = threadClass(guide.pivot_bolt_mm);
  const double half = bolt.across_corners_mm / 2;
  const double shank = guide.pivot_bolt_mm / 2;
  const double nut = at.depth - at.wall - at.run - bolt.nut_mm - kNutRoomMm;
  return revolution(Plane::kXZ, Outline::polygon({{0, at.front - bolt.head_mm},
                                                  {half, at.front - bolt.head_mm},
                                                  {half, at.front},
                                                  {shank, at.front},
                                                  {shank, nut},
                                                  {half, nut},
                                                  {half, nut + bolt.nut_mm},
                                                  {0, nut + bolt.nut_mm}}));
}

/// With sunk holes in its back, in (X, Z).
TopoDS_Shape drilledChannel(const TopoDS_Shape& channel, const std::vector<Point2>& holes,
                            const SunkScrew& screw, const Extent& back) {
  std::vector<RoundHole> bores;
  for (const Point2& at : holes) {
    bores.push_back({.from_mm = {at.a, back.from, at.b},
                     .into = {0, 1, 0},
                     .radius_mm = screw.holeRadiusMm(),
                     .deep_mm = back.to - back.from,
                     .sink_mm = screw.sinkMm()});
  }
  return bored(channel, bores);
}

int channelPart(ModelBuilder& builder, const GuideLayout& guide, const ChannelScrews* screws) {
  const HardwareSpec& shelf = builder.hardware();
  const double width = builder.spec().guides.channel_width_mm;
  const double depth = channelDepthMm(builder.spec());
  const double height = guide.channel_high_mm - guide.channel_low_mm;
  PartSpec spec{PartKind::kGuideChannel,
                std::string(shelf.guide.channel == ChannelKind::kFolded ? "folded " : "") +
                    "lipped channel " + sizes({width, depth, shelf.guide.channel_wall_mm}),
                height,
                {},
                {"slot " + shown(width - 2 * shelf.guide.lip_mm) + " between the lips"}};
  if (shelf.guide.channel == ChannelKind::kBought) {
    spec.cutouts.emplace_back("drawn with sharp corners: its maker's radii are not known here");
  }
  std::vector<double> figures = {width, depth, height};
  if (screws == nullptr || screws->places().empty()) {
    return builder.part(spec, figures, [=] { return channelSolid(shelf, width, depth, height); });
  }
  const SunkScrew screw{screws->thread_mm, screws->coat_mm};
  std::vector<Point2> holes;
  for (const Point2& place : screws->places()) {
    holes.push_back({width / 2 + place.a, place.b - guide.channel_low_mm});
    figures.insert(figures.end(), {holes.back().a, holes.back().b, screw.thread_mm, screw.coat_mm});
  }
  spec.cutouts.push_back(
      std::to_string(holes.size()) + " holes dia " + shown(2 * screw.holeRadiusMm()) +
      " in its back, " + shown(2 * screws->half_along_mm) + " x " + shown(2 * screws->half_up_mm) +
      " apart, countersunk 90 degrees to dia " + shown(2 * screw.sinkRadiusMm()) + " from inside");
  const Extent back{depth - shelf.guide.channel_wall_mm, depth};
  return builder.part(spec, figures, [=] {
    return drilledChannel(channelSolid(shelf, width, depth, height), holes, screw, back);
  });
}

std::string blockWords(const BlockSizes& at) {
  return "for channel " + sizes({at.width, at.depth}) + ", rail " + shown(at.rail);
}

int blockPart(ModelBuilder& builder) {
  const GuideHardware& guide = builder.hardware().guide;
  const BlockSizes at = blockSizes(builder.spec());
  const bool is_pivoted = builder.layout().blocks_pivoted;
  return builder.part(
      PartSpec{PartKind::kGuideBlock, blockWords(at) + (is_pivoted ? ", pivoted" : ""),
               guide.block_height_mm}
          .given({is_pivoted ? 1.0 : 0.0}),
      {at.width, at.depth, at.rail},
      [=] { return is_pivoted ? pivotedBlockSolid(guide, at) : blockSolid(guide, at); });
}

}  // namespace

Point3 onGuide(const GuideLayout& guide, double along, double y, double up) {
  const double c = guide.channelCosine();
  const double s = guide.channel_grade * c;
  return {guide.x_mm + along * c - up * s, y, guide.z_mm + along * s + up * c};
}

namespace {

/// Jaws and bolt of a pivoted block, which stands in its channel with its front at `front_y`.
/// Returns the jaws.
int addJaws(ModelBuilder& builder, const GuideLayout& guide, double front_y, int block) {
  const GuideHardware& shelf = builder.hardware().guide;
  const BlockSizes at = blockSizes(builder.spec());
  const int panel = guide.panel - 1;
  const Extent across = neckOf(at);
  const int jaws_part =
      builder.part({PartKind::kGuideJaws, blockWords(at), across.to - across.from},
                   {at.width, at.depth, at.rail}, [=] { return jawsSolid(shelf, at); });
  const double length = at.depth - at.wall - at.run - at.front;
  const int bolt_part =
      builder.part({PartKind::kPivotBolt,
                    "M" + shown(shelf.pivot_bolt_mm) + "x" + shown(length) + ", with its lock nut" +
                        (screwNoShorter_mm(length) > length + kLengthEqualMm
                             ? ", cut from " + shown(screwNoShorter_mm(length))
                             : ""),
                    length},
                   {length}, [=] { return pivotBoltSolid(shelf, at); });
  const Point3 axis = onGuide(guide, 0, front_y, guide.pivotUpMm());
  const int jaws = builder.place(jaws_part, panel, axis, Slope::of(guide.grade));
  const int bolt = builder.place(bolt_part, panel, axis, Slope::of(guide.channel_grade));
  builder.floatOn(jaws, guide.jaw_body);
  builder.floatOn(bolt, guide.block_body);
  builder.contact(jaws, block, ContactKind::kBearing, "the jaws turn on the block's face",
                  hw::kPulleyBoreGapMm);
  builder.contact(jaws, bolt, ContactKind::kBearing, "the jaws turn on their bolt",
                  2 * hw::kPulleyBoreGapMm);
  builder.contact(bolt, block, ContactKind::kBolted, "the bolt's nut lies in the block");
  Fastening held;
  held.kind = ScrewKind::kHexagon;
  held.thread_mm = shelf.pivot_bolt_mm;
  held.length_mm = length;
  held.hold_mm = threadClass(shelf.pivot_bolt_mm).nut_mm;
  held.grip_mm = length - held.hold_mm;
  held.is_match_drilled = true;  // held by a nut of its own
  held.what = "the jaws turn on their bolt, its lock nut in the block";
  held.screw = bolt;
  held.under_head = jaws;
  held.holds_in = block;
  held.seat_mm = {axis[0], axis[1] + at.front, axis[2]};
  held.out = {0, -1, 0};
  builder.addFastening(std::move(held));
  return jaws;
}

}  // namespace

double ChannelScrews::threadHoleMm() const {
  return threadClass(thread_mm).form_mm;
}

std::vector<Point2> ChannelScrews::places() const {
  std::vector<Point2> places = found;
  if (!found.empty() || half_along_mm < 0 || half_up_mm < 0) {
    return places;
  }
  const auto apart = [&](double half) {
    // Nearer together their heads would meet: one, in the middle.
    return half > SunkScrew{thread_mm, coat_mm}.sinkRadiusMm() ? std::vector<double>{-half, half}
                                                               : std::vector<double>{0};
  };
  for (const double along : apart(half_along_mm)) {
    for (const double up : apart(half_up_mm)) {
      places.push_back({along, up_mm + up});
    }
  }
  return places;
}

ChannelScrews channelScrews(const GateSpec& spec, const GuideLayout& guide,
                            const HollowSection& tube, bool is_level) {
  constexpr double kLeftUnderHeadMm = 1;  // of the channel's back, under the sunk hole
  constexpr double kKeyBesideLipMm = 4;   // head's rim off the lip that the key passes
  constexpr double kOffEndMm = 20;        // of the channel
  constexpr double kOffCornerMm = 1;      // hole beside the round of the tube's corner
  const GuideHardware& shelf = spec.hardware.guide;
  ChannelScrews screws;
  screws.coat_mm = spec.shop.coatMm();
  for (const ThreadClass& thread : threadClasses()) {
    const bool is_sunk = SunkScrew{thread.thread_mm, screws.coat_mm}.sinkMm() <=
                         shelf.channel_wall_mm - kLeftUnderHeadMm;
    if (thread.form_mm > 0 && (screws.thread_mm == 0 || is_sunk)) {
      screws.thread_mm = thread.thread_mm;
    }
  }
  const SunkScrew screw{screws.thread_mm, screws.coat_mm};
  if (screw.sinkMm() > shelf.channel_wall_mm - kLengthEqualMm) {
    screws.half_along_mm = -1;  // too thin for any
    return screws;
  }
  screws.length_mm = screwNoShorter_mm(shelf.channel_wall_mm + hw::kThreadWalls * tube.wall_mm);
  const double flat =
      tube.height_mm / 2 - cornerRadii(tube).outer_mm - screws.threadHoleMm() / 2 - kOffCornerMm;
  const double slot = spec.guides.channel_width_mm / 2 - shelf.lip_mm;
  const double high = (guide.channel_high_mm - guide.channel_low_mm) / 2 - kOffEndMm;
  screws.up_mm = (guide.channel_low_mm + guide.channel_high_mm) / 2;
  // Of a channel that leans, what is apart along it is apart across the tube as well.
  const double lean = std::abs(guide.channel_grade) * guide.channelCosine();
  const double beside_lip = slot - screw.headRadiusMm() - kKeyBesideLipMm;
  screws.along_room_mm = beside_lip;
  if (is_level) {
    screws.half_along_mm = std::floor(beside_lip);
    screws.half_up_mm = std::floor(std::min(high, flat - std::max(0.0, beside_lip) * lean));
  } else {
    screws.half_up_mm = std::floor(high);
    const double aside = (std::max(0.0, high) + std::abs(screws.up_mm)) * lean;
    screws.half_along_mm = std::floor(std::min(beside_lip, flat - aside));
  }
  return screws;
}

WallDrilled channelHoles(const GuideLayout& guide, const ChannelScrews& screws, double y) {
  WallDrilled holes{PostFace::kFront, {}, screws.threadHoleMm()};
  for (const Point2& place : screws.places()) {
    holes.at_mm.push_back(onGuide(guide, place.a, y, place.b));
  }
  return holes;
}

void addChannelScrews(ModelBuilder& builder, const GuideLayout& guide, const ChannelScrews& screws,
                      double back_y, const std::array<int, 2>& channel_and_tube) {
  const double wall = builder.hardware().guide.channel_wall_mm;
  const ScrewSizes sizes{.kind = ScrewKind::kCountersunk,
                         .thread_mm = screws.thread_mm,
                         .length_mm = screws.length_mm,
                         .grip_mm = wall,
                         .sunk_coat_mm = screws.coat_mm};
  for (const Point2& place : screws.places()) {
    addScrew(builder, sizes,
             {channel_and_tube[0], channel_and_tube[1], "the guide channel is fixed to its post"},
             {onGuide(guide, place.a, back_y - wall, place.b), {0, -1, 0}});
  }
}

int addChannelAndBlock(ModelBuilder& builder, const GuideLayout& guide, double back_y, int rail,
                       const ChannelScrews* screws) {
  const HardwareSpec& shelf = builder.hardware();
  const int panel = guide.panel - 1;
  const double front_y = back_y - channelDepthMm(builder.spec());
  const double half = builder.spec().guides.channel_width_mm / 2;
  const Slope slope = Slope::of(guide.channel_grade);
  const int channel = builder.place(channelPart(builder, guide, screws), panel,
                                    onGuide(guide, -half, front_y, guide.channel_low_mm), slope);
  const double block_bottom = guide.blockTopMm() - shelf.guide.block_height_mm;
  const int block =
      builder.place(blockPart(builder), panel, onGuide(guide, -half, front_y, block_bottom), slope);
  builder.floatOn(block, guide.block_body);
  builder
      .contact(channel, block, ContactKind::kSliding, "the block floats in its channel",
               shelf.guide.running_gap_mm)
      .engagements = {{block, kAlongZ, shelf.guide.block_height_mm,
                       "guide block leaves the foot of its channel",
                       "guide block leaves the top of its channel"}};
  const BlockSizes at = blockSizes(builder.spec());
  const Extent neck = neckOf(at);
  const int jaws = guide.is_pivoted ? addJaws(builder, guide, front_y, block) : block;
  const double held = guide.is_pivoted ? neck.to - neck.from : at.width - 2 * (at.wall + at.run);
  builder
      .contact(rail, jaws, ContactKind::kSliding, "the block rests on its guide rail",
               shelf.guide.running_gap_mm)
      .engagements = {{jaws, kAlongX, held}};
  addLiftKeepers(builder, guide, channel, front_y);
  return channel;
}

}  // namespace leafstack
