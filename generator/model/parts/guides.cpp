// Guide rails and packers; guide post, reach-over arm or overhead bracket. Channels and blocks:
// guide_blocks.cpp.
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/mitre.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kPostAboveChannelMm = 10;

/// What a guide channel may lie against.
const std::initializer_list<PartKind> kFrontMembers = {
    PartKind::kStile, PartKind::kTopRail, PartKind::kPicket, PartKind::kSlat, PartKind::kSheet};

/// Height of a guide rail's underside at X, closed.
double railZ(const GuideLayout& guide, double x) {
  return guide.z_mm + guide.grade * (x - guide.x_mm) - guide.rail_size_mm / 2 / guide.cosine();
}

void weldGuideRail(ModelBuilder& builder, const PanelFrame& panel, const GuideLayout& guide,
                   int instance) {
  const HardwareSpec& shelf = builder.hardware();
  const char* reason = "the guide rail is welded to the panel's rear face";
  builder.joinTouching(instance, {PartKind::kStile}, ContactKind::kWelded, reason);
  // The leg on the face lies low: it meets a top rail only where that reaches down, and where the
  // rail is dropped solids are looked at.
  const HollowSection& top = builder.spec().gate.top_rail;
  const double cosine = guide.cosine();
  const double round = guide.drop_mm > 0 ? 0 : cornerRadii(top).outer_mm;
  const double low = panel.topZ(guide.x_mm) - (top.height_mm - round + kLengthEqualMm) / cosine;
  const double leg = railZ(guide, guide.x_mm) + shelf.guide.rail_thickness_mm / cosine;
  // Before the tube's rounded corner alone there is no flat for a weld.
  const double flat = low + cornerRadii(top).outer_mm / cosine;
  if (leg >= low) {
    const bool has_flat = guide.drop_mm <= 0 || leg >= flat;
    builder.joinTouching(instance, {PartKind::kTopRail},
                         has_flat ? ContactKind::kWelded : ContactKind::kStandsOn,
                         has_flat ? reason : "the guide rail lies at the top rail's round corner");
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

/// Screws of a steel channel on an aluminium frame, and what each holds in: which members lie
/// behind it, and where, differs from panel to panel.
struct PanelChannelScrews {
  ChannelScrews screws;
  std::vector<int> members;
  std::vector<double> walls_mm;
};

PanelChannelScrews panelChannelScrews(const ModelBuilder& builder, const PanelFrame& panel,
                                      const GuideLayout& guide) {
  constexpr double kOffEndMm = 15;  // of the channel, beside a screw's axis
  const GateSpec& spec = builder.spec();
  PanelChannelScrews found;
  if (spec.gate.material == FrameMaterial::kSteel || panel.channel_offset_mm < -kLengthEqualMm) {
    return found;  // welded; or let in, with no wall behind
  }
  found.screws = channelScrews(spec, guide, spec.gate.stile, /*is_level=*/false);
  const double half = found.screws.along_room_mm;
  if (half <= 0) {
    return found;
  }
  Polygon back;
  for (const auto& [along, up] : {Point2{-half, guide.channel_low_mm + kOffEndMm},
                                  Point2{half, guide.channel_low_mm + kOffEndMm},
                                  Point2{half, guide.channel_high_mm - kOffEndMm},
                                  Point2{-half, guide.channel_high_mm - kOffEndMm}}) {
    const Point3 at = onGuide(guide, along, 0, up);
    back.push_back({at[0], at[2]});
  }
  const Point3 axis = onGuide(guide, 0, 0, 0);
  const double c = guide.channelCosine(), s = guide.channel_grade * c;
  for (const MemberFace& face : facesOf(builder, panel)) {
    const PartKind kind = builder.model().parts[builder.instance(face.instance).part].kind;
    if (std::find(kFrontMembers.begin(), kFrontMembers.end(), kind) == kFrontMembers.end()) {
      continue;
    }
    for (const Point2& at : screwsIn(face.sharedWith(back))) {
      const double x = at.a - axis[0], z = at.b - axis[2];
      found.screws.found.push_back({x * c + z * s, z * c - x * s});
      found.members.push_back(face.instance);
      found.walls_mm.push_back(face.wall_mm);
    }
  }
  return found;
}

void addPanelChannelScrews(ModelBuilder& builder, const GuideLayout& guide,
                           const PanelChannelScrews& found, double back_y, double packing_mm,
                           const std::array<int, 2>& channel_and_packer) {
  const double wall = builder.hardware().guide.channel_wall_mm;
  const double grip = wall + packing_mm;
  std::map<int, std::vector<RoundHole>> holes;  // by member
  for (std::size_t i = 0; i < found.members.size(); ++i) {
    const Point2& at = found.screws.found[i];
    const ScrewSizes sizes{
        .kind = ScrewKind::kCountersunk,
        .thread_mm = found.screws.thread_mm,
        .length_mm = screwNoShorter_mm(grip + hw::kThreadWalls * found.walls_mm[i]),
        .grip_mm = grip,
        .sunk_coat_mm = found.screws.coat_mm};
    holes[found.members[i]].push_back({.from_mm = onGuide(guide, at.a, back_y + packing_mm, at.b),
                                       .into = {0, 1, 0},
                                       .radius_mm = found.screws.threadHoleMm() / 2,
                                       .deep_mm = found.walls_mm[i]});
    const int screw = addScrew(
        builder, sizes,
        {channel_and_packer[0], found.members[i], "the guide channel is fixed to its panel"},
        {onGuide(guide, at.a, back_y - wall, at.b), {0, -1, 0}});
    if (channel_and_packer[1] >= 0) {
      builder.contact(screw, channel_and_packer[1], ContactKind::kBolted,
                      "the screw goes through the packer", sizes.thread_mm);
    }
  }
  for (auto& [member, in_member] : holes) {
    const std::size_t count = in_member.size();
    builder.drill(member, std::move(in_member),
                  std::to_string(count) + (count == 1 ? " hole dia " : " holes dia ") +
                      shown(found.screws.threadHoleMm()) + ", flow-drilled M" +
                      shown(found.screws.thread_mm) + ", in the front for the guide channel");
  }
}

void addPanelGuide(ModelBuilder& builder, const PanelFrame& panel, int rail) {
  const GuideLayout& guide = builder.layout().guides.at(panel.number);
  const double offset = panel.channel_offset_mm;
  const double back = panel.origin_mm[1] - offset;
  const PanelChannelScrews screws = panelChannelScrews(builder, panel, guide);
  const int channel = addChannelAndBlock(builder, guide, back, rail,
                                         screws.members.empty() ? nullptr : &screws.screws);
  const char* reason = "the guide channel is fixed to the panel's front face";
  if (offset > kLengthEqualMm) {
    const double width = builder.spec().guides.channel_width_mm;
    const double height = guide.channel_high_mm - guide.channel_low_mm;
    std::vector<Outline> holes;
    std::vector<double> figures = {width, offset, height};
    const double radius = threadClass(screws.screws.thread_mm).hole_mm / 2 +
                          builder.spec().shop.coatMm();  // and what coats it
    for (const Point2& at : screws.screws.found) {
      const Point2 hole = {at.a + width / 2, at.b - guide.channel_low_mm};
      holes.push_back(Outline::circle(hole, radius));
      figures.insert(figures.end(), {hole.a, hole.b, radius});
    }
    const int part = builder.part(
        {PartKind::kChannelPacker, "plate " + sizes({width, height, offset}), height}, figures,
        [=] {
          return prism(Plane::kXZ, Outline::rectangle({0, 0}, {width, height}), holes, {0, offset});
        });
    const int packer =
        builder.place(part, panel.number, onGuide(guide, -width / 2, back, guide.channel_low_mm),
                      Slope::of(guide.channel_grade));
    builder.joinTouching(packer, kFrontMembers, ContactKind::kWelded, reason);
    builder.contact(packer, channel, builder.steelOnFrame(), reason);
    addPanelChannelScrews(builder, guide, screws, back, offset, {channel, packer});
    return;
  }
  builder.joinTouching(channel, kFrontMembers, builder.steelOnFrame(), reason);
  addPanelChannelScrews(builder, guide, screws, back, 0, {channel, -1});
}

HollowSection squareSection(double size, double wall) {
  return {size, size, wall, hollowName(size, size, wall)};
}

/// The plane the post guide's channel stands on.
double backingY(const ModelBuilder& builder) {
  const PanelFrame& panel = builder.panel(1);
  return panel.origin_mm[1] + panel.depth_mm + builder.layout().stack.post_gap_mm;
}

/// `screws`: of the channel that it gets holes for, if it stands on the post itself.
int addGuidePost(ModelBuilder& builder, ChannelScrews* screws) {
  const HardwareSpec& shelf = builder.hardware();
  const Layout& layout = builder.layout();
  const GuideLayout& guide = layout.guides.front();
  const double size = builder.spec().guides.post_mm;
  const HollowSection section = squareSection(size, shelf.post.wall_mm);
  const double y = backingY(builder);
  const double x = layout.guide_post_mm - size / 2;
  const double half = builder.spec().guides.channel_width_mm / 2;
  const double top =
      guide.z_mm +
      (guide.channel_high_mm + half * std::abs(guide.channel_grade)) * guide.channelCosine() +
      kPostAboveChannelMm;
  const PostPlate plate = *guidePostPlate(builder.spec(), layout);
  PostOnPlate post{{PartKind::kGuidePost}, section, x, y, top, plate, "guide post base plate"};
  if (screws != nullptr) {
    *screws = channelScrews(builder.spec(), guide, section, /*is_level=*/false);
    post.drilled = channelHoles(guide, *screws, y);
    post.spec.cutouts = drilledWords(post.drilled, screws->thread_mm, "guide channel");
  }
  return addPost(builder, post);
}

int addReachOver(ModelBuilder& builder, int post, ChannelScrews& screws) {
  const HardwareSpec& shelf = builder.hardware();
  const Layout& layout = builder.layout();
  const GuideLayout& guide = layout.guides.front();
  const double size = builder.spec().guides.post_mm;
  const HollowSection section = squareSection(size, shelf.post.wall_mm);
  const double from = layout.guide_mm - builder.spec().guides.channel_width_mm / 2;
  const double length = layout.guide_post_mm - size / 2 - from;
  const double middle = (guide.channel_low_mm + guide.channel_high_mm) / 2;
  const double z = guide.z_mm + middle * guide.channelCosine() - size / 2;
  const Point3 at = {from, backingY(builder), z};
  screws = channelScrews(builder.spec(), guide, section, /*is_level=*/true);
  const WallDrilled holes = channelHoles(guide, screws, at[1]).seenFrom(at);
  PartSpec spec = PartSpec{PartKind::kGuideArm, section, length}.called("reach-over arm");
  spec.cutouts = drilledWords(holes, screws.thread_mm, "guide channel");
  std::vector<double> figures = {length, 0};
  const std::vector<double> of_holes = holes.figures();
  figures.insert(figures.end(), of_holes.begin(), of_holes.end());
  const int part = builder.part(spec, figures, [=] {
    return drilled(hollowSection(Plane::kYZ, section, length), section, holes);
  });
  const int arm = builder.place(part, 0, at);
  builder.contact(arm, post, ContactKind::kWelded, "the arm is welded to the guide post");
  addCap(builder, arm, section, {at, Plane::kYZ, 0, /*is_far=*/false});
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

  /// Returns the member the channel stands on, with holes for `screws`.
  int build(ChannelScrews& screws) {
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
    const double tilt = builder_.spec().guides.channel_width_mm / 2 * std::abs(held.channel_grade);
    const double drop_low =
        held.z_mm + (held.channel_low_mm - tilt) * held.channelCosine() - kPostAboveChannelMm;
    screws = channelScrews(builder_.spec(), held, tube_, /*is_level=*/false);
    const WallDrilled holes = channelHoles(held, screws, back);
    const int drop =
        member(Plane::kXY, "overhead drop", low_z_mm_ - drop_low, {guide - half, back, drop_low},
               holes, drilledWords(holes, screws.thread_mm, "guide channel"));
    builder_.contact(drop, above, ContactKind::kWelded, kReason);
    if (!straight && std::abs(guide - post_x_mm_) <= shelf_.post.overhead_mm) {
      // They share an edge, or nearly: towards its end both corners are round.
      builder_.contact(drop, reach, ContactKind::kWelded, kReason, cornerRadii(tube_).outer_mm);
    }
    return drop;
  }

 private:
  static constexpr const char* kReason = "the overhead bracket is welded together";

  int member(Plane along, const char* name, double length, const Point3& at,
             const WallDrilled& drilled_at = {}, const std::vector<std::string>& cutouts = {}) {
    const WallDrilled holes = drilled_at.seenFrom(at);
    PartSpec spec = PartSpec{PartKind::kGuideArm, tube_, length}.called(name);
    spec.cutouts = cutouts;
    std::vector<double> figures = {length, 1.0 + static_cast<double>(along)};
    const std::vector<double> of_holes = holes.figures();
    figures.insert(figures.end(), of_holes.begin(), of_holes.end());
    const int part = builder_.part(spec, figures, [=, tube = tube_] {
      return drilled(hollowSection(along, tube, length), tube, holes);
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
          const double edge = overheadHoleEdgeMm(shelf.post);
          const double hole_x = half - edge;
          std::vector<Outline> holes;
          for (double z : {edge, shelf.post.overhead_mm - edge}) {
            holes.push_back(Outline::circle({-hole_x, z}, shelf.post.overhead_hole_mm / 2));
            holes.push_back(Outline::circle({hole_x, z}, shelf.post.overhead_hole_mm / 2));
          }
          return prism(Plane::kXZ, Outline::rectangle({-half, 0}, {half, shelf.post.overhead_mm}),
                       holes, {0, shelf.post.plate_mm});
        });
    const int plate = builder_.place(part, 0, {post_x_mm_, 0, low_z_mm_});
    addPlateAnchors(plate);
    return plate;
  }

  void addPlateAnchors(int plate) {
    const PostHardware& post = shelf_.post;
    const double edge = overheadHoleEdgeMm(post);
    const double beside = post.overhead_ear_mm - edge;
    const double off = post.overhead_mm / 2 + beside;
    for (const double x : {-off, off}) {
      for (const double z : {edge, post.overhead_mm - edge}) {
        addAnchor(
            builder_,
            {post.overhead_hole_mm, post.plate_mm, beside, /*short_mm=*/0, /*is_on_post=*/true},
            {plate, -1, "the anchor holds the overhead bracket"},
            {{post_x_mm_ + x, post.plate_mm, low_z_mm_ + z}, {0, 1, 0}});
      }
    }
  }

  ModelBuilder& builder_;
  const HardwareSpec& shelf_;
  HollowSection tube_;
  double post_x_mm_ = 0, low_z_mm_ = 0;
};

void addPostGuide(ModelBuilder& builder, int rail) {
  int backing = 0;
  ChannelScrews screws;
  switch (builder.spec().guides.mount) {
    case GuideMount::kPost:
      backing = addGuidePost(builder, &screws);
      break;
    case GuideMount::kReachOver:
      backing = addReachOver(builder, addGuidePost(builder, nullptr), screws);
      break;
    case GuideMount::kOverhead:
      backing = Overhead(builder).build(screws);
      break;
  }
  const GuideLayout& guide = builder.layout().guides.front();
  const double back = backingY(builder);
  const int channel = addChannelAndBlock(builder, guide, back, rail, &screws);
  builder.contact(channel, backing, ContactKind::kBolted, "the guide channel is fixed to its post");
  addChannelScrews(builder, guide, screws, back, {channel, backing});
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
