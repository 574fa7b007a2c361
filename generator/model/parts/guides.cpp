// Guide rails, channels, blocks and packers; guide post, reach-over arm or overhead bracket.
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/mitre.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kJawOverLegMm = 2;  // front jaw's end above the rail's horizontal leg
constexpr double kPostAboveChannelMm = 10;

double channelDepthMm(const GateSpec& spec) {
  return spec.guides.channel_depth_mm - spec.hardware.guide.lip_gap_mm;
}

/// What a guide channel may lie against.
const std::initializer_list<PartKind> kFrontMembers = {PartKind::kStile,   PartKind::kTopRail,
                                                       PartKind::kUpright, PartKind::kPicket,
                                                       PartKind::kSlat,    PartKind::kSheet};

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

/// Block in the channel's frame, Z from its own lower end.
TopoDS_Shape blockSolid(const HardwareSpec& shelf, double width, double depth, double rail) {
  const double run = shelf.guide.running_gap_mm;
  const double t = shelf.guide.channel_wall_mm;
  const double body_front = t + run;
  // In a folded channel its corners keep the running gap to the bends' insides.
  const double height = shelf.guide.block_height_mm;
  const Point2 low = {t + run, body_front};
  const Point2 high = {width - t - run, depth - t - run};
  const TopoDS_Shape body =
      shelf.guide.channel == ChannelKind::kFolded
          ? prism(Plane::kXY, Outline::roundedRectangle(low, high, std::max(0.0, t - run)),
                  {0, height})
          : box({low.a, low.b, 0}, {high.a, high.b, height});
  // Across the track: the rail's leg stands at -gap-thickness .. -gap before the channel's lips.
  const double leg_back = -shelf.guide.lip_gap_mm;
  const double slot_back = leg_back + run;
  const double slot_front = leg_back - shelf.guide.rail_thickness_mm - run;
  const double roof = shelf.guide.block_height_mm - shelf.guide.block_roof_mm;
  const double jaw_low = std::max(0.0, roof - rail + shelf.guide.rail_thickness_mm + kJawOverLegMm);
  const Outline neck =
      Outline::polygon({{slot_back, 0},
                        {body_front, 0},
                        {body_front, shelf.guide.block_height_mm},
                        {slot_front - shelf.guide.block_jaw_mm, shelf.guide.block_height_mm},
                        {slot_front - shelf.guide.block_jaw_mm, jaw_low},
                        {slot_front, jaw_low},
                        {slot_front, roof},
                        {slot_back, roof}});
  const double lip = shelf.guide.lip_mm;
  return fuse(body, prism(Plane::kYZ, neck, {lip + run, width - lip - run}));
}

int channelPart(ModelBuilder& builder, double height) {
  const HardwareSpec& shelf = builder.hardware();
  const double width = builder.spec().guides.channel_width_mm;
  const double depth = channelDepthMm(builder.spec());
  return builder.part({PartKind::kGuideChannel,
                       std::string(shelf.guide.channel == ChannelKind::kFolded ? "folded " : "") +
                           "lipped channel " + sizes({width, depth, shelf.guide.channel_wall_mm}),
                       height,
                       {},
                       {"slot " + shown(width - 2 * shelf.guide.lip_mm) + " between the lips"}},
                      {width, depth, height},
                      [=] { return channelSolid(shelf, width, depth, height); });
}

int blockPart(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  const GuideSpec& guides = builder.spec().guides;
  const double depth = channelDepthMm(builder.spec());
  return builder.part(
      {PartKind::kGuideBlock,
       "for channel " + sizes({guides.channel_width_mm, depth}) + ", rail " + shown(guides.rail_mm),
       shelf.guide.block_height_mm},
      {guides.channel_width_mm, depth, guides.rail_mm},
      [=] { return blockSolid(shelf, guides.channel_width_mm, depth, guides.rail_mm); });
}

/// Height of a guide rail's underside at X, closed.
double railZ(const GuideLayout& guide, double x) {
  return guide.z_mm + guide.grade * (x - guide.x_mm) - guide.rail_size_mm / 2 / guide.cosine();
}

void weldGuideRail(ModelBuilder& builder, const PanelFrame& panel, const GuideLayout& guide,
                   int instance) {
  const HardwareSpec& shelf = builder.hardware();
  const char* reason = "the guide rail is welded to the panel's rear face";
  builder.joinTouching(instance, {PartKind::kStile, PartKind::kUpright}, ContactKind::kWelded,
                       reason);
  // The leg on the face lies low: it meets a top rail only where that reaches down, and where the
  // rail is dropped solids are looked at.
  const HollowSection& top = builder.spec().gate.top_rail;
  const double cosine = guide.cosine();
  const double round = guide.drop_mm > 0 ? 0 : cornerRadii(top).outer_mm;
  const double low = panel.topZ(guide.x_mm) - (top.height_mm - round + kLengthEqualMm) / cosine;
  const double leg = railZ(guide, guide.x_mm) + shelf.guide.rail_thickness_mm / cosine;
  if (leg >= low) {
    builder.joinTouching(instance, {PartKind::kTopRail}, ContactKind::kWelded, reason);
  }
  // Lower down it lies before the infill, whose bars meet it or stand behind it.
  builder.joinTouching(instance, {PartKind::kPicket, PartKind::kSlat, PartKind::kSheet},
                       ContactKind::kWelded, reason);
}

int addGuideRail(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const GuideLayout& guide = builder.layout().guides.at(panel.number - 1);
  const double rail = builder.spec().guides.rail_mm;
  const double t = shelf.guide.rail_thickness_mm;
  const double length = panel.frame_length_mm / guide.cosine();
  PartSpec spec{PartKind::kGuideRail,
                "angle " + sizes({rail, rail, t}),
                extentMm(length, rail, guide.grade),
                {mitre(guide.grade), mitre(guide.grade)}};
  if (guide.grade != 0) {
    spec.cutouts.push_back(parallelEnds(length));
  }
  const int part = builder.part(spec, {rail, length, slopeKey(guide.grade)}, [=] {
    return mitredPrism(Plane::kYZ,
                       {{0, 0}, {rail, 0}, {rail, rail}, {rail - t, rail}, {rail - t, t}, {0, t}},
                       length, {guide.grade, guide.grade});
  });
  const double x = panel.origin_mm[0];
  const int instance =
      builder.place(part, panel.number, {x, panel.origin_mm[1] + panel.depth_mm, railZ(guide, x)},
                    Slope::of(guide.grade));
  weldGuideRail(builder, panel, guide, instance);
  return instance;
}

/// Channel and block of the guide `guide` on body `panel`, the channel's back at `back_y`; `rail`
/// runs through the block.
int addChannelAndBlock(ModelBuilder& builder, const GuideLayout& guide, double back_y, int rail) {
  const HardwareSpec& shelf = builder.hardware();
  const int panel = guide.panel - 1;
  const double front_y = back_y - channelDepthMm(builder.spec());
  const double half = builder.spec().guides.channel_width_mm / 2;
  const Slope slope = Slope::of(guide.grade);
  const double height = guide.channel_high_mm - guide.channel_low_mm;
  const int channel = builder.place(channelPart(builder, height), panel,
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
  const double width = builder.spec().guides.channel_width_mm -
                       2 * (shelf.guide.channel_wall_mm + shelf.guide.running_gap_mm);
  builder
      .contact(rail, block, ContactKind::kSliding, "the block rests on its guide rail",
               shelf.guide.running_gap_mm)
      .engagements = {{block, kAlongX, width}};
  addLiftKeepers(builder, guide, channel, front_y);
  return channel;
}

void addPanelGuide(ModelBuilder& builder, const PanelFrame& panel, int rail) {
  const GuideLayout& guide = builder.layout().guides.at(panel.number);
  const double offset = panel.channel_offset_mm;
  const double back = panel.origin_mm[1] - offset;
  const int channel = addChannelAndBlock(builder, guide, back, rail);
  const char* reason = "the guide channel is fixed to the panel's front face";
  if (offset > kLengthEqualMm) {
    const double width = builder.spec().guides.channel_width_mm;
    const double height = guide.channel_high_mm - guide.channel_low_mm;
    const int part =
        builder.part({PartKind::kChannelPacker, "plate " + sizes({width, height, offset}), height},
                     {width, offset, height}, [=] {
                       return box({0, 0, 0}, {width, offset, height});
                     });
    const int packer =
        builder.place(part, panel.number, onGuide(guide, -width / 2, back, guide.channel_low_mm),
                      Slope::of(guide.grade));
    builder.joinTouching(packer, kFrontMembers, builder.steelOnFrame(), reason);
    builder.contact(packer, channel, builder.steelOnFrame(), reason);
    return;
  }
  builder.joinTouching(channel, kFrontMembers, builder.steelOnFrame(), reason);
}

HollowSection squareSection(double size, double wall) {
  return {size, size, wall, hollowName(size, size, wall)};
}

/// The plane the post guide's channel stands on.
double backingY(const ModelBuilder& builder) {
  const PanelFrame& panel = builder.panel(1);
  return panel.origin_mm[1] + panel.depth_mm + builder.layout().stack.post_gap_mm;
}

/// Before and behind the post a row of anchors, as far from the edges as their holes are wide.
int guidePlatePart(ModelBuilder& builder) {
  const PostHardware& post = builder.hardware().post;
  const double size = builder.spec().guides.post_mm;
  const double length = size + 2 * post.plate_side_mm;
  const double depth = size + post.plate_front_mm + post.plate_back_mm;
  return builder.part(
      PartSpec{PartKind::kBasePlate, "plate " + sizes({depth, length, post.plate_mm}), depth}
          .called("guide post base plate"),
      {length, depth, post.plate_front_mm}, [=] {
        const double edge = post.plate_hole_mm;
        std::vector<Outline> holes;
        for (const double x : {edge, length - edge}) {
          for (const double y : {edge, depth - edge}) {
            holes.push_back(Outline::circle({x, y}, post.plate_hole_mm / 2));
          }
        }
        return prism(Plane::kXY, Outline::rectangle({0, 0}, {length, depth}), holes,
                     {0, post.plate_mm});
      });
}

int addGuidePost(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  const Layout& layout = builder.layout();
  const GuideLayout& guide = layout.guides.front();
  const double size = builder.spec().guides.post_mm;
  const HollowSection section = squareSection(size, shelf.post.wall_mm);
  const double y = backingY(builder);
  const double x = layout.guide_post_mm - size / 2;
  const double half = builder.spec().guides.channel_width_mm / 2;
  const double top = guide.z_mm + guide.channel_high_mm * guide.cosine() +
                     half * std::abs(guide.grade) * guide.cosine() + kPostAboveChannelMm;
  const int plate = guidePlatePart(builder);
  return addPost(builder, {{PartKind::kGuidePost},
                           section,
                           x,
                           y,
                           top,
                           kRearStrip,
                           plate,
                           size + 2 * shelf.post.plate_side_mm,
                           y - shelf.post.plate_front_mm});
}

int addReachOver(ModelBuilder& builder, int post) {
  const HardwareSpec& shelf = builder.hardware();
  const Layout& layout = builder.layout();
  const GuideLayout& guide = layout.guides.front();
  const double size = builder.spec().guides.post_mm;
  const HollowSection section = squareSection(size, shelf.post.wall_mm);
  const double from = layout.guide_mm - builder.spec().guides.channel_width_mm / 2;
  const double length = layout.guide_post_mm - size / 2 - from;
  const int part =
      builder.part(PartSpec{PartKind::kGuideArm, section, length}.called("reach-over arm"),
                   {length, 0}, [=] { return hollowSection(Plane::kYZ, section, length); });
  const double middle = (guide.channel_low_mm + guide.channel_high_mm) / 2;
  const double z = guide.z_mm + middle * guide.cosine() - size / 2;
  const int arm = builder.place(part, 0, {from, backingY(builder), z});
  builder.contact(arm, post, ContactKind::kWelded, "the arm is welded to the guide post");
  return arm;
}

/// Overhead bracket: reach across the gate, header along it where needed, drop behind it.
class Overhead {
 public:
  explicit Overhead(ModelBuilder& builder)
      : builder_(builder),
        shelf_(builder.hardware()),
        tube_(squareSection(shelf_.post.overhead_mm, shelf_.post.arm_wall_mm)) {
    post_x_mm_ = overheadXMm(builder.spec(), builder.layout());
    low_z_mm_ = overheadLowZ(builder.layout(), builder.spec(), post_x_mm_);
  }

  /// Returns the member the channel stands on.
  int build() {
    const double half = shelf_.post.overhead_mm / 2;
    const double back = backingY(builder_);
    const double guide = builder_.layout().guide_mm;
    const bool straight = std::abs(guide - post_x_mm_) < half;
    const double reach_end = straight ? back + shelf_.post.overhead_mm : back;
    const int plate = addWallPlate();
    const int reach = member(Plane::kXZ, "overhead reach", reach_end - shelf_.post.plate_mm,
                             {post_x_mm_ - half, shelf_.post.plate_mm, low_z_mm_});
    builder_.contact(plate, reach, ContactKind::kWelded, kReason);
    int above = reach;
    if (!straight) {
      const double from = std::min(post_x_mm_, guide) - half;
      const double to = std::max(post_x_mm_, guide) + half;
      above = member(Plane::kYZ, "overhead header", to - from, {from, back, low_z_mm_});
      builder_.contact(reach, above, ContactKind::kWelded, kReason);
    }
    const GuideLayout& held = builder_.layout().guides.front();
    const double tilt = builder_.spec().guides.channel_width_mm / 2 * std::abs(held.grade);
    const double drop_low =
        held.z_mm + (held.channel_low_mm - tilt) * held.cosine() - kPostAboveChannelMm;
    const int drop =
        member(Plane::kXY, "overhead drop", low_z_mm_ - drop_low, {guide - half, back, drop_low});
    builder_.contact(drop, above, ContactKind::kWelded, kReason);
    if (!straight && std::abs(guide - post_x_mm_) <= shelf_.post.overhead_mm) {
      // They share an edge, or nearly: towards its end both corners are round.
      builder_.contact(drop, reach, ContactKind::kWelded, kReason, cornerRadii(tube_).outer_mm);
    }
    return drop;
  }

 private:
  static constexpr const char* kReason = "the overhead bracket is welded together";

  int member(Plane along, const char* name, double length, const Point3& at) {
    const int part = builder_.part(PartSpec{PartKind::kGuideArm, tube_, length}.called(name),
                                   {length, 1.0 + static_cast<double>(along)}, [=, tube = tube_] {
                                     return hollowSection(along, tube, length);
                                   });
    return builder_.place(part, 0, at);
  }

  int addWallPlate() {
    const double half = shelf_.post.overhead_mm / 2 + shelf_.post.overhead_ear_mm;
    const int part = builder_.part(
        PartSpec{PartKind::kBasePlate,
                 "plate " + sizes({2 * half, shelf_.post.overhead_mm, shelf_.post.plate_mm}),
                 2 * half}
            .called("overhead bracket plate"),
        {half, shelf_.post.overhead_mm}, [=, shelf = shelf_] {
          const double hole_x = half - shelf.post.overhead_ear_mm / 2;
          std::vector<Outline> holes;
          for (double z : {shelf.post.overhead_hole_mm,
                           shelf.post.overhead_mm - shelf.post.overhead_hole_mm}) {
            holes.push_back(Outline::circle({-hole_x, z}, shelf.post.overhead_hole_mm / 2));
            holes.push_back(Outline::circle({hole_x, z}, shelf.post.overhead_hole_mm / 2));
          }
          return prism(Plane::kXZ, Outline::rectangle({-half, 0}, {half, shelf.post.overhead_mm}),
                       holes, {0, shelf.post.plate_mm});
        });
    return builder_.place(part, 0, {post_x_mm_, 0, low_z_mm_});
  }

  ModelBuilder& builder_;
  const HardwareSpec& shelf_;
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
  const int channel =
      addChannelAndBlock(builder, builder.layout().guides.front(), backingY(builder), rail);
  builder.contact(channel, backing, ContactKind::kBolted, "the guide channel is fixed to its post");
}

}  // namespace

Point3 onGuide(const GuideLayout& guide, double along, double y, double up) {
  const double c = guide.cosine();
  const double s = guide.grade * c;
  return {guide.x_mm + along * c - up * s, y, guide.z_mm + along * s + up * c};
}

void addGuides(ModelBuilder& builder) {
  const int back_rail = addGuideRail(builder, builder.panel(1));
  addPostGuide(builder, back_rail);
  for (int k = 1; k < builder.layout().panel_count; ++k) {
    const int rail = addGuideRail(builder, builder.panel(k + 1));
    addPanelGuide(builder, builder.panel(k), rail);
  }
}

}  // namespace leafstack
