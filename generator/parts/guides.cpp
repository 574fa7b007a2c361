// Guide rails, channels, blocks and packers; guide post, reach-over arm or overhead bracket.
#include <cmath>

#include "generator/builder.h"
#include "generator/numbers.h"
#include "generator/parts/shared.h"
#include "generator/sections.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kJawOverLegMm = 2;  // front jaw's end above the rail's horizontal leg
constexpr double kPostAboveChannelMm = 10;
constexpr double kPostWallMm = 4;
constexpr double kArmWallMm = 3;
constexpr double kPlateFrontMm = 30, kPlateBackMm = 50;  // base plate beyond the post, in Y
constexpr double kPlateHoleMm = 14;
constexpr double kWallPlateEarMm = 20;  // overhead bracket's plate beyond its tube, each side
constexpr double kWallPlateHoleMm = 11;

double channelDepthMm(const GateSpec& spec) {
  return spec.guides.channel_depth_mm - hw::kChannelLipGapMm;
}

/// Channel in its own frame: lips in front at Y = 0, web behind; X 0..width, Z 0..height.
TopoDS_Shape channelSolid(double width, double depth) {
  const double t = hw::kChannelWallMm;
  const double lip = hw::kChannelSlotMarginMm;
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
               {0, hw::kChannelHeightMm});
}

/// Block in the channel's frame, Z from its own lower end.
TopoDS_Shape blockSolid(double width, double depth, double rail) {
  const double run = hw::kBlockRunningGapMm;
  const double t = hw::kChannelWallMm;
  const double body_front = t + run;
  const TopoDS_Shape body =
      box({t + run, body_front, 0}, {width - t - run, depth - t - run, hw::kBlockHeightMm});
  // Across the track: the rail's leg stands at -gap-thickness .. -gap before the channel's lips.
  const double leg_back = -hw::kChannelLipGapMm;
  const double slot_back = leg_back + run;
  const double slot_front = leg_back - hw::kGuideRailThicknessMm - run;
  const double roof = hw::kBlockHeightMm - hw::kBlockRoofMm;
  const double jaw_low = std::max(0.0, roof - rail + hw::kGuideRailThicknessMm + kJawOverLegMm);
  const Outline neck = Outline::polygon({{slot_back, 0},
                                         {body_front, 0},
                                         {body_front, hw::kBlockHeightMm},
                                         {slot_front - hw::kBlockJawMm, hw::kBlockHeightMm},
                                         {slot_front - hw::kBlockJawMm, jaw_low},
                                         {slot_front, jaw_low},
                                         {slot_front, roof},
                                         {slot_back, roof}});
  const double lip = hw::kChannelSlotMarginMm;
  return fuse(body, prism(Plane::kYZ, neck, {lip + run, width - lip - run}));
}

int channelPart(ModelBuilder& builder) {
  const double width = builder.spec().guides.channel_width_mm;
  const double depth = channelDepthMm(builder.spec());
  return builder.part(
      {PartKind::kGuideChannel,
       Supply::kCutBar,
       "guide channel",
       "steel",
       "lipped channel " + sizes({width, depth, hw::kChannelWallMm}),
       hw::kChannelHeightMm,
       {},
       {"slot " + shown(width - 2 * hw::kChannelSlotMarginMm) + " between the lips"}},
      {width, depth}, [&] { return channelSolid(width, depth); });
}

int blockPart(ModelBuilder& builder) {
  const GuideSpec& guides = builder.spec().guides;
  const double depth = channelDepthMm(builder.spec());
  return builder.part(
      {PartKind::kGuideBlock, Supply::kBought, "guide block", "nylon",
       "for channel " + sizes({guides.channel_width_mm, depth}) + ", rail " + shown(guides.rail_mm),
       hw::kBlockHeightMm},
      {guides.channel_width_mm, depth, guides.rail_mm},
      [&] { return blockSolid(guides.channel_width_mm, depth, guides.rail_mm); });
}

int addGuideRail(ModelBuilder& builder, const PanelFrame& panel) {
  const double rail = builder.spec().guides.rail_mm;
  const double t = hw::kGuideRailThicknessMm;
  const double length = panel.frame_length_mm;
  const int part = builder.part(
      {PartKind::kGuideRail, Supply::kCutBar, "guide rail", builder.frameMaterial(),
       "angle " + sizes({rail, rail, t}), length},
      {rail, length}, [&] {
        return prism(
            Plane::kYZ,
            Outline::polygon(
                {{0, 0}, {rail, 0}, {rail, rail}, {rail - t, rail}, {rail - t, t}, {0, t}}),
            {0, length});
      });
  const int instance = builder.place(part, panel.number,
                                     {panel.origin_mm[0], panel.origin_mm[1] + panel.depth_mm,
                                      builder.layout().heights.guide_rail_z_mm});
  const char* reason = "the guide rail is welded to the panel's rear face";
  builder.joinTouching(instance, {PartKind::kStile, PartKind::kUpright}, ContactKind::kWelded,
                       reason);
  // The leg on the face lies low: it meets the flat of a top rail only where that reaches down.
  const HollowSection& top = builder.spec().gate.top_rail;
  const double flat_low =
      builder.layout().heights.top_mm - top.height_mm + cornerRadii(top).outer_mm - kLengthEqualMm;
  if (builder.layout().heights.guide_rail_z_mm + t >= flat_low) {
    builder.joinTouching(instance, {PartKind::kTopRail}, ContactKind::kWelded, reason);
  }
  return instance;
}

/// Channel and block on body `panel`, the channel's back at `back_y`; `rail` runs through the
/// block.
int addChannelAndBlock(ModelBuilder& builder, int panel, const Point2& at, int rail) {
  const HeightLayout& z = builder.layout().heights;
  const double front_y = at.b - channelDepthMm(builder.spec());
  const int channel =
      builder.place(channelPart(builder), panel, {at.a, front_y, z.channel_bottom_z_mm});
  const int block = builder.place(blockPart(builder), panel, {at.a, front_y, z.block_bottom_z_mm});
  builder
      .contact(channel, block, ContactKind::kSliding, "the block floats in its channel",
               hw::kBlockRunningGapMm)
      .engagements = {{block, kAlongZ, hw::kBlockHeightMm}};
  const Bounds& bounds = builder.instance(block).bounds;
  builder
      .contact(rail, block, ContactKind::kSliding, "the block rests on its guide rail",
               hw::kBlockRunningGapMm)
      .engagements = {{block, kAlongX, bounds.high[0] - bounds.low[0]}};
  return channel;
}

void addPanelGuide(ModelBuilder& builder, const PanelFrame& panel, int rail) {
  const double offset = panel.channel_offset_mm;
  const Point3& o = panel.origin_mm;
  const int channel = addChannelAndBlock(builder, panel.number, {o[0], o[1] - offset}, rail);
  const char* reason = "the guide channel is fixed to the panel's front face";
  if (offset > kLengthEqualMm) {
    const double width = builder.spec().guides.channel_width_mm;
    const int part = builder.part(
        {PartKind::kChannelPacker, Supply::kCutPlate, "channel packer", builder.frameMaterial(),
         "plate " + sizes({width, hw::kChannelHeightMm, offset}), hw::kChannelHeightMm},
        {width, offset}, [&] {
          return box({0, 0, 0}, {width, offset, hw::kChannelHeightMm});
        });
    const int packer = builder.place(
        part, panel.number, {o[0], o[1] - offset, builder.layout().heights.channel_bottom_z_mm});
    builder.joinTouching(packer, {PartKind::kStile, PartKind::kTopRail, PartKind::kUpright},
                         builder.steelOnFrame(), reason);
    builder.contact(packer, channel, builder.steelOnFrame(), reason);
    return;
  }
  builder.joinTouching(channel, {PartKind::kStile, PartKind::kTopRail, PartKind::kUpright},
                       builder.steelOnFrame(), reason);
}

HollowSection squareSection(double size, double wall) {
  return {size, size, wall, hollowName(size, size, wall)};
}

/// The plane the post guide's channel stands on.
double backingY(const ModelBuilder& builder) {
  const PanelFrame& panel = builder.panel(1);
  return panel.origin_mm[1] + panel.depth_mm + builder.layout().stack.post_gap_mm;
}

int addGuidePost(ModelBuilder& builder) {
  const Layout& layout = builder.layout();
  const double size = builder.spec().guides.post_mm;
  const double base = layout.heights.footing_top_mm;
  const double top = layout.heights.channel_top_z_mm + kPostAboveChannelMm;
  const HollowSection section = squareSection(size, kPostWallMm);
  const double height = top - base - hw::kBasePlateMm;
  const int part = builder.part(
      {PartKind::kGuidePost, Supply::kCutTube, "guide post", "steel", section.designation, height},
      {height}, [&] { return hollowSection(Plane::kXY, section, height); });
  const double x = layout.guide_post_mm - size / 2;
  const double y = backingY(builder);
  const int post = builder.place(part, 0, {x, y, base + hw::kBasePlateMm});
  const int plate_part = builder.part(
      {PartKind::kBasePlate, Supply::kCutPlate, "guide post base plate", "steel",
       "plate " + sizes({size + kPlateFrontMm + kPlateBackMm, size, hw::kBasePlateMm}),
       size + kPlateFrontMm + kPlateBackMm},
      {size, kPlateFrontMm, kPlateBackMm}, [&] {
        std::vector<Outline> holes;
        for (double hole_x : {kPlateHoleMm, size - kPlateHoleMm}) {
          holes.push_back(Outline::circle({hole_x, kPlateFrontMm / 2}, kPlateHoleMm / 2));
          holes.push_back(
              Outline::circle({hole_x, kPlateFrontMm + size + kPlateBackMm / 2}, kPlateHoleMm / 2));
        }
        return prism(Plane::kXY,
                     Outline::rectangle({0, 0}, {size, size + kPlateFrontMm + kPlateBackMm}), holes,
                     {0, hw::kBasePlateMm});
      });
  const int plate = builder.place(plate_part, 0, {x, y - kPlateFrontMm, base});
  builder.contact(post, plate, ContactKind::kWelded, "the post is welded to its base plate");
  return post;
}

int addReachOver(ModelBuilder& builder, int post) {
  const Layout& layout = builder.layout();
  const double size = builder.spec().guides.post_mm;
  const HollowSection section = squareSection(size, kPostWallMm);
  const double from = layout.guide_mm - builder.spec().guides.channel_width_mm / 2;
  const double length = layout.guide_post_mm - size / 2 - from;
  const int part =
      builder.part({PartKind::kGuideArm, Supply::kCutTube, "reach-over arm", "steel",
                    section.designation, length},
                   {length, 0}, [&] { return hollowSection(Plane::kYZ, section, length); });
  const double z = layout.heights.channel_top_z_mm - hw::kChannelHeightMm / 2 - size / 2;
  const int arm = builder.place(part, 0, {from, backingY(builder), z});
  builder.contact(arm, post, ContactKind::kWelded, "the arm is welded to the guide post");
  return arm;
}

/// Overhead bracket: reach across the gate, header along it where needed, drop behind it.
class Overhead {
 public:
  explicit Overhead(ModelBuilder& builder)
      : builder_(builder), tube_(squareSection(hw::kOverheadTubeMm, kArmWallMm)) {
    const double fence = builder.spec().site.fence_post_mm;
    const double half = hw::kOverheadTubeMm / 2;
    const double low = builder.layout().opening_mm + half;
    const double high = builder.layout().opening_mm + fence - half;
    const double guide = builder.layout().guide_mm;
    post_x_mm_ = guide >= low && guide <= high ? guide : builder.layout().opening_mm + fence / 2;
    low_z_mm_ = builder.layout().heights.top_mm + hw::kOverheadGapMm;
  }

  /// Returns the member the channel stands on.
  int build() {
    const double half = hw::kOverheadTubeMm / 2;
    const double back = backingY(builder_);
    const double guide = builder_.layout().guide_mm;
    const bool straight = std::abs(guide - post_x_mm_) < half;
    const double reach_end = straight ? back + hw::kOverheadTubeMm : back;
    const int plate = addWallPlate();
    const int reach = member(Plane::kXZ, "overhead reach", reach_end - hw::kBasePlateMm,
                             {post_x_mm_ - half, hw::kBasePlateMm, low_z_mm_});
    builder_.contact(plate, reach, ContactKind::kWelded, kReason);
    int above = reach;
    if (!straight) {
      const double from = std::min(post_x_mm_, guide) - half;
      const double to = std::max(post_x_mm_, guide) + half;
      above = member(Plane::kYZ, "overhead header", to - from, {from, back, low_z_mm_});
      builder_.contact(reach, above, ContactKind::kWelded, kReason);
    }
    const double drop_low = builder_.layout().heights.channel_bottom_z_mm - kPostAboveChannelMm;
    const int drop =
        member(Plane::kXY, "overhead drop", low_z_mm_ - drop_low, {guide - half, back, drop_low});
    builder_.contact(drop, above, ContactKind::kWelded, kReason);
    if (!straight && std::abs(guide - post_x_mm_) <= hw::kOverheadTubeMm) {
      builder_.contact(drop, reach, ContactKind::kWelded, kReason);  // they share an edge
    }
    return drop;
  }

 private:
  static constexpr const char* kReason = "the overhead bracket is welded together";

  int member(Plane along, const char* name, double length, const Point3& at) {
    const int part = builder_.part(
        {PartKind::kGuideArm, Supply::kCutTube, name, "steel", tube_.designation, length},
        {length, 1.0 + static_cast<double>(along)},
        [&] { return hollowSection(along, tube_, length); });
    return builder_.place(part, 0, at);
  }

  int addWallPlate() {
    const double half = hw::kOverheadTubeMm / 2 + kWallPlateEarMm;
    const int part = builder_.part(
        {PartKind::kBasePlate, Supply::kCutPlate, "overhead bracket plate", "steel",
         "plate " + sizes({2 * half, hw::kOverheadTubeMm, hw::kBasePlateMm}), 2 * half},
        {half, hw::kOverheadTubeMm}, [&] {
          const double hole_x = half - kWallPlateEarMm / 2;
          std::vector<Outline> holes;
          for (double z : {kWallPlateHoleMm, hw::kOverheadTubeMm - kWallPlateHoleMm}) {
            holes.push_back(Outline::circle({-hole_x, z}, kWallPlateHoleMm / 2));
            holes.push_back(Outline::circle({hole_x, z}, kWallPlateHoleMm / 2));
          }
          return prism(Plane::kXZ, Outline::rectangle({-half, 0}, {half, hw::kOverheadTubeMm}),
                       holes, {0, hw::kBasePlateMm});
        });
    return builder_.place(part, 0, {post_x_mm_, 0, low_z_mm_});
  }

  ModelBuilder& builder_;
  HollowSection tube_;
  double post_x_mm_ = 0, low_z_mm_ = 0;
};

void addPostGuide(ModelBuilder& builder, int rail) {
  int backing = 0;
  switch (builder.spec().guides.mount) {
    case GuideMount::kPost:
      backing = addGuidePost(builder);
      break;
    case GuideMount::kReachOver:
      backing = addReachOver(builder, addGuidePost(builder));
      break;
    case GuideMount::kOverhead:
      backing = Overhead(builder).build();
      break;
  }
  const double x = builder.layout().guide_mm - builder.spec().guides.channel_width_mm / 2;
  const int channel = addChannelAndBlock(builder, 0, {x, backingY(builder)}, rail);
  builder.contact(channel, backing, ContactKind::kBolted, "the guide channel is fixed to its post");
}

}  // namespace

void addGuides(ModelBuilder& builder) {
  const int back_rail = addGuideRail(builder, builder.panel(1));
  addPostGuide(builder, back_rail);
  for (int k = 1; k < builder.layout().panel_count; ++k) {
    const int rail = addGuideRail(builder, builder.panel(k + 1));
    addPanelGuide(builder, builder.panel(k), rail);
  }
}

}  // namespace leafstack
