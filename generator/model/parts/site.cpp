// Fence posts, footing, end stops, posts on base plates: what does not move.
#include <algorithm>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/end_buffer.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bent.h"
#include "generator/occt/solids/bored.h"
#include "generator/occt/solids/mitre.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kStopBelowRailTopMm = 10;  // the return passes over it

/// Plumb, from the lowest ground under it to `height` above the ground in its middle.
void addFencePost(ModelBuilder& builder, double x, double top_z) {
  const double size = builder.spec().site.fence_post_mm;
  const GroundLayout& ground = builder.layout().ground;
  double base = top_z;
  for (double corner_x : {x, x + size}) {
    for (double corner_y : {-size, 0.0}) {
      base = std::min(base, ground.heightMm(corner_x, corner_y));
    }
  }
  const double height = top_z - base;
  const int part =
      builder.part({PartKind::kFencePost, sizes({size, size}), height}, {size, height}, [=] {
        return box({0, 0, 0}, {size, size, height});
      });
  const int post = builder.place(part, 0, {x, -size, base});
  builder.joinTouching(post, {PartKind::kBasePlate}, ContactKind::kBolted,
                       "the overhead bracket is bolted to the fence post");
  builder.joinTouching(post, {PartKind::kAnchor}, ContactKind::kBolted,
                       "the anchor is set in the fence post");
}

void addFence(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  const GateSpec& spec = builder.spec();
  const Layout& layout = builder.layout();
  const double size = spec.site.fence_post_mm;
  const auto fenceTop = [&](double x) {
    return layout.ground.heightMm(x + size / 2, -size / 2) + spec.site.fence_height_mm;
  };
  double storage_top = fenceTop(layout.opening_mm);
  if (spec.guides.mount == GuideMount::kOverhead) {
    storage_top = std::max(storage_top, overheadLowZ(layout, spec, overheadXMm(spec, layout)) +
                                            shelf.post.overhead_mm);
  }
  addFencePost(builder, -size, fenceTop(-size));
  addFencePost(builder, layout.opening_mm, storage_top);
}

/// Where an end stop meets its panel: a buffer on its plate, and the rail's plumb end when open.
struct StopPlace {
  double x_mm = 0;         ///< of the plate's face
  double buffer_z_mm = 0;  ///< of the buffer's lower edge
  Slope slope;             ///< of the footing under it
};

StopPlace stopPlace(const ModelBuilder& builder, const PanelFrame& panel, const EndBuffer& buffer) {
  const Layout& layout = builder.layout();
  const Pose open = layout.ground.travels[panel.number]->at(layout.drive_travel_mm);
  // On surveyed ground its end may lean: what reaches furthest meets the buffer.
  const Point3 low = carried(open, panel.at(panel.length_mm, 0, buffer.low_up_mm));
  const Point3 high = carried(open, panel.at(panel.length_mm, 0, buffer.high_up_mm));
  const double end_x = std::max(low[0], high[0]);
  const double x = end_x + builder.hardware().stop.gap_mm + buffer.thickness_mm;
  return {x, low[2], footingSlope(builder, panel.number, x)};
}

/// Of an end stop's plate over the footing.
double stopHeightMm(const ModelBuilder& builder) {
  const double up = std::min(builder.hardware().stop.height_up_mm,
                             builder.layout().heights.rail_height_mm - kStopBelowRailTopMm);
  return up + undersideOverFootingMm(builder.hardware());
}

/// What an end stop's two plates follow from. Their frame: X along the footing, 0 at the upright's
/// face under the buffer, Z 0 on the footing.
struct StopPlates {
  double height_mm = 0, depth_mm = 0;
  StopHardware size;
  Slope slope;

  /// Of a plumb plate's faces, along the footing.
  double thickAlongMm() const { return size.thickness_mm / slope.cosine; }
  /// Nothing stands further out than the upright.
  double footToMm() const {
    return thickAlongMm() + std::min(0.0, size.thickness_mm * slope.grade);
  }
  /// The upright's longer face.
  double uprightMm() const {
    return (height_mm - size.thickness_mm) / slope.cosine +
           std::max(0.0, -slope.grade * size.thickness_mm);
  }
  /// Between the foot's free end and the upright.
  double holeMm() const { return (footToMm() - size.foot_mm) / 2; }
};

/// Under the panel's end, flat on the footing.
int addStopFoot(ModelBuilder& builder, const StopPlates& plates, const Point3& at) {
  const double thick = plates.size.thickness_mm;
  const double hole = plates.size.foot_hole_mm;
  const int part = builder.part(
      PartSpec{PartKind::kBasePlate,
               "plate " + sizes({plates.size.foot_mm, plates.depth_mm, thick}), plates.size.foot_mm}
          .called("end stop foot")
          .given({plates.holeMm(), plates.footToMm()}),
      {plates.size.foot_mm, plates.depth_mm, thick, hole}, [=] {
        const double to = plates.footToMm();
        return prism(
            Plane::kXY, Outline::rectangle({to - plates.size.foot_mm, 0}, {to, plates.depth_mm}),
            {Outline::circle({plates.holeMm(), plates.depth_mm / 2}, hole / 2)}, {0, thick});
      });
  const int foot = builder.place(part, 0, at, plates.slope);
  const double along = plates.holeMm();
  const double cosine = plates.slope.cosine, sine = plates.slope.sine;
  addAnchor(builder, {hole, thick, -along}, {foot, -1, "the anchor holds the end stop"},
            {{at[0] + along * cosine - thick * sine, at[1] + plates.depth_mm / 2,
              at[2] + along * sine + thick * cosine},
             {-sine, 0, cosine}});
  return foot;
}

/// Stands plumb on its foot; on a slope its lower edge is bevelled.
int addStopUpright(ModelBuilder& builder, const StopPlates& plates, const Point3& at,
                   double buffer_up_mm, const BufferScrews& screws) {
  const double thick = plates.size.thickness_mm;
  const double high = plates.height_mm;
  PartSpec spec{PartKind::kEndStop, "plate " + sizes({plates.uprightMm(), plates.depth_mm, thick}),
                plates.uprightMm()};
  std::vector<double> figures = {high, plates.depth_mm, slopeKey(plates.slope.grade)};
  for (const Point2& at_hole : screws.places) {
    figures.insert(figures.end(), {at_hole.a, buffer_up_mm + at_hole.b, screws.threadHoleMm()});
  }
  if (!screws.places.empty()) {
    spec.cutouts.push_back(std::to_string(screws.places.size()) + " dia " +
                           shown(screws.threadHoleMm()) + " tapped M" +
                           shown(screws.screw.thread_mm) + " through for the buffer");
  }
  if (plates.slope.grade != 0) {
    spec.cutouts.push_back("lower edge bevelled " +
                           shown(std::abs(mitre(plates.slope.grade).angle_deg)) +
                           " degrees, to its foot on the slope, the longer face " +
                           (plates.slope.grade > 0 ? "towards" : "away from") + " the panel");
  }
  const int part = builder.part(spec, figures, [=] {
    const double cosine = plates.slope.cosine, sine = plates.slope.sine;
    const double lean = plates.slope.grade;
    const Outline side = Outline::polygon({{thick * lean, thick},
                                           {plates.thickAlongMm() + thick * lean, thick},
                                           {high * lean + thick * cosine, high - thick * sine},
                                           {high * lean, high}});
    std::vector<RoundHole> bores;
    for (const Point2& hole : screws.places) {
      const double above = buffer_up_mm + hole.b;  // level, through faces that stand plumb
      bores.push_back({{above * sine, hole.a, above * cosine},
                       {cosine, 0, -sine},
                       screws.threadHoleMm() / 2,
                       thick});
    }
    return bored(prism(Plane::kXZ, side, {0, plates.depth_mm}), bores);
  });
  return builder.place(part, 0, at, plates.slope);
}

/// Its foot lies under the panel's end, so that nothing stands further out than the stop.
int addStopPlate(ModelBuilder& builder, const PanelFrame& panel, const StopPlace& place,
                 const BufferScrews& screws) {
  const StopPlates plates{stopHeightMm(builder), panel.depth_mm, builder.hardware().stop,
                          place.slope};
  const double z = footingZ(builder.spec(), builder.layout(), panel.number, place.x_mm);
  const Point3 at{place.x_mm, panel.origin_mm[1], z};
  const int stop = addStopUpright(builder, plates, at, place.buffer_z_mm - z, screws);
  const int foot = addStopFoot(builder, plates, at);
  builder.contact(stop, foot, ContactKind::kWelded, "the end stop is welded to its foot");
  return stop;
}

void addEndStop(ModelBuilder& builder, const PanelFrame& panel) {
  const EndBuffer buffer = endBuffer(builder.spec(), builder.layout(), panel.number);
  const StopPlace place = stopPlace(builder, panel, buffer);
  const BufferBlock block{buffer.thickness_mm, panel.depth_mm,
                          buffer.high_up_mm - buffer.low_up_mm};
  const StopHardware& size = builder.hardware().stop;
  const double foot = footingZ(builder.spec(), builder.layout(), panel.number, place.x_mm);
  const double up = place.buffer_z_mm - foot;
  // The flat ends at the foot, and somewhat below the top of a plate that leans.
  const double lean = std::abs(place.slope.sine) * size.thickness_mm;
  const BufferScrews screws = bufferScrews(
      block, {/*is_plate=*/true,
              size.thickness_mm,
              {0, size.thickness_mm + lean - up},
              {block.across_mm, stopHeightMm(builder) * place.slope.cosine - lean - up}});
  const int stop = addStopPlate(builder, panel, place, screws);
  const Point3 at = {place.x_mm - block.thick_mm, panel.origin_mm[1], place.buffer_z_mm};
  const int placed =
      addBuffer(builder, block, screws,
                {at, /*faces_back=*/true, stop, "the buffer is fixed to the end stop"});
  for (int rail : builder.instancesOf(PartKind::kBottomRail, panel.number)) {
    builder.contact(placed, rail, ContactKind::kStop,
                    "the stop meets the panel's bottom rail at the end of its travel",
                    builder.hardware().stop.gap_mm);
  }
}

/// Footing from X to X and Y to Y, its top following the ground.
struct Slab {
  double from_x_mm = 0, to_x_mm = 0, from_y_mm = 0, to_y_mm = 0;
  int strip = 0;
};

TopoDS_Shape slabSolid(const ModelBuilder& builder, const Slab& slab) {
  const HardwareSpec& shelf = builder.hardware();
  const double length = slab.to_x_mm - slab.from_x_mm;
  const double width = slab.to_y_mm - slab.from_y_mm;
  const double depth = shelf.post.footing_depth_mm;
  const GroundLine& line = builder.layout().ground.lineOf(slab.strip);
  if (!line.isStraight()) {
    return bentSlab(line, {slab.from_x_mm, slab.to_x_mm}, width, depth);
  }
  const double rise = line.heightMm(slab.to_x_mm) - line.heightMm(slab.from_x_mm);
  if (rise == 0) {
    return box({0, 0, 0}, {length, width, depth});
  }
  return prism(Plane::kXZ,
               Outline::polygon({{0, 0}, {length, rise}, {length, depth + rise}, {0, depth}}),
               {0, width});
}

int addSlab(ModelBuilder& builder, const Slab& slab) {
  const HardwareSpec& shelf = builder.hardware();
  const double length = slab.to_x_mm - slab.from_x_mm;
  const double width = slab.to_y_mm - slab.from_y_mm;
  const double depth = shelf.post.footing_depth_mm;
  std::vector<double> figures = lineFigures(builder, slab.strip);
  figures.insert(figures.end(), {slab.from_x_mm, slab.to_x_mm});
  const int part =
      builder.part(PartSpec{PartKind::kFooting, "depth " + shown(depth), length}.given(figures),
                   {length, width, depth}, [&builder, slab] { return slabSolid(builder, slab); });
  const double z = footingZ(builder.spec(), builder.layout(), slab.strip, slab.from_x_mm) - depth;
  const int footing = builder.place(part, 0, {slab.from_x_mm, slab.from_y_mm, z});
  builder.joinTouching(footing,
                       {PartKind::kTrack, PartKind::kTrackFlat, PartKind::kBasePlate,
                        PartKind::kMotor, PartKind::kMotorPacker, PartKind::kEndStop},
                       ContactKind::kStandsOn, "stands on the footing");
  builder.joinTouching(footing, {PartKind::kAnchor}, ContactKind::kBolted,
                       "the anchor is set in the footing");
  builder.joinTouching(footing, {PartKind::kTrackDowel}, ContactKind::kBolted,
                       "the dowel is bonded into the footing, whose hole is not drawn", depth);
  return footing;
}

void addFooting(ModelBuilder& builder) {
  const Layout& layout = builder.layout();
  const FootingExtent extent = footingExtent(builder.spec(), layout);
  const bool is_level_across = layout.ground.cross_grade == 0 && layout.ground.track_lines.empty();
  if (is_level_across && layout.ground.rear_strip_z_mm == 0) {
    addSlab(builder, {extent.from_x_mm, extent.to_x_mm, extent.from_y_mm, extent.to_y_mm, 1});
    return;
  }
  const char* kSteps = "one footing, cast in steps";
  if (is_level_across) {
    const double edge = layout.ground.rear_strip_y_mm;
    const int tracks =
        addSlab(builder, {extent.from_x_mm, extent.to_x_mm, extent.from_y_mm, edge, 1});
    const int rear =
        addSlab(builder, {extent.from_x_mm, extent.to_x_mm, edge, extent.to_y_mm, kRearStrip});
    builder.contact(tracks, rear, ContactKind::kStandsOn, kSteps);
    return;
  }
  // Across a slope, and where each has its line, every track has a strip of its own, level across;
  // the last carries motor and post.
  double from = extent.from_y_mm;
  int before = -1;
  for (int strip = layout.panel_count; strip >= kRearStrip; --strip) {
    const PanelFrame* panel = strip > kRearStrip ? &builder.panel(strip) : nullptr;
    const double to = strip > 1    ? panel->origin_mm[1] + panel->depth_mm + layout.stack.gap_mm / 2
                      : strip == 1 ? layout.ground.rear_strip_y_mm
                                   : extent.to_y_mm;
    const int slab = addSlab(builder, {extent.from_x_mm, extent.to_x_mm, from, to, strip});
    if (before >= 0) {
      builder.contact(before, slab, ContactKind::kStandsOn, kSteps);
    }
    before = slab;
    from = to;
  }
}

/// Flat, its corner at its own origin.
int platePart(ModelBuilder& builder, const PostPlate& plate, const char* name) {
  const double thick = builder.hardware().post.plate_mm;
  const double longer = std::max(plate.along_mm, plate.across_mm);
  const double shorter = std::min(plate.along_mm, plate.across_mm);
  return builder.part(
      PartSpec{PartKind::kBasePlate, "plate " + sizes({longer, shorter, thick}), longer}.called(
          name),
      {plate.along_mm, plate.across_mm, plate.edge_along_mm, plate.hole_mm}, [=] {
        std::vector<Outline> holes;
        for (const auto& [along, across] : plate.anchors()) {
          holes.push_back(Outline::circle({along, across}, plate.hole_mm / 2));
        }
        return prism(Plane::kXY, Outline::rectangle({0, 0}, {plate.along_mm, plate.across_mm}),
                     holes, {0, thick});
      });
}

/// `at` is the plate's corner.
void addPlateAnchors(ModelBuilder& builder, const PostPlate& plate, const Point3& at,
                     const Slope& slope, int instance) {
  const double thick = builder.hardware().post.plate_mm;
  const Joined joined{instance, -1, "the anchor holds its base plate"};
  for (const auto& [along, across] : plate.anchors()) {
    addAnchor(builder, {plate.hole_mm, thick, plate.anchorOffPostMm()}, joined,
              {{at[0] + along * slope.cosine - thick * slope.sine, at[1] + across,
                at[2] + along * slope.sine + thick * slope.cosine},
               {-slope.sine, 0, slope.cosine}});
  }
}

}  // namespace

WallDrilled WallDrilled::seenFrom(const Point3& corner) const {
  WallDrilled own = *this;
  for (Point3& at : own.at_mm) {
    for (int axis = 0; axis < 3; ++axis) {
      at[axis] -= corner[axis];
    }
  }
  return own;
}

std::vector<double> WallDrilled::figures() const {
  std::vector<double> figures;
  for (const Point3& at : at_mm) {
    figures.insert(figures.end(), at.begin(), at.end());
    figures.push_back(hole_mm);
  }
  return figures;
}

TopoDS_Shape drilled(const TopoDS_Shape& tube, const HollowSection& section,
                     const WallDrilled& holes) {
  std::vector<RoundHole> bores;
  for (const Point3& at : holes.at_mm) {
    RoundHole bore{{at[0], 0, at[2]}, {0, 1, 0}, holes.hole_mm / 2, section.wall_mm};
    if (holes.face == PostFace::kFarX) {
      bore.from_mm = {section.height_mm, at[1], at[2]};
      bore.into = {-1, 0, 0};
    }
    bores.push_back(bore);
  }
  return bored(tube, bores);
}

std::vector<std::string> drilledWords(const WallDrilled& holes, double thread_mm,
                                      const char* what) {
  if (holes.at_mm.empty()) {
    return {};
  }
  return {std::to_string(holes.at_mm.size()) + " holes dia " + shown(holes.hole_mm) +
          ", flow-drilled M" + shown(thread_mm) + ", for the " + what};
}

Slope footingSlope(const ModelBuilder& builder, int strip, double x) {
  return Slope::of(builder.layout().ground.lineOf(strip).slope(x));
}

int addPost(ModelBuilder& builder, PostOnPlate post) {
  const HardwareSpec& shelf = builder.hardware();
  const int plate_part = platePart(builder, post.plate, post.plate_name);
  const Slope slope =
      footingSlope(builder, post.plate.strip, post.x_mm + post.section.height_mm / 2);
  const double base = footingZ(builder.spec(), builder.layout(), post.plate.strip, post.x_mm);
  const double low = base + shelf.post.plate_mm / slope.cosine;
  const double edge = post.top_z_mm - low;
  const double width = post.section.height_mm;
  post.spec.section = post.section;
  post.spec.length_mm = edge + std::max(0.0, -slope.grade * width);
  post.spec.ends = {mitre(slope.grade), EndCut{}};
  std::vector<double> figures = {edge, slopeKey(slope.grade)};
  const WallDrilled holes = post.drilled.seenFrom({post.x_mm, post.y_mm, low});
  const std::vector<double> of_holes = holes.figures();
  figures.insert(figures.end(), of_holes.begin(), of_holes.end());
  const int part = builder.part(post.spec, figures, [=] {
    return drilled(mitredSection(Plane::kXY, post.section, edge, {slope.grade, 0}), post.section,
                   holes);
  });
  const int tube = builder.place(part, 0, {post.x_mm, post.y_mm, low});
  addCap(builder, tube, post.section, {{post.x_mm, post.y_mm, low}, Plane::kXY, edge});
  // The plate's middle lies under the post's.
  const double plate_x = post.x_mm + (width - post.plate.along_mm * slope.cosine) / 2;
  const double plate_z = base + (plate_x - post.x_mm) * slope.grade;
  const int plate = builder.place(plate_part, 0, {plate_x, post.plate.front_y_mm, plate_z}, slope);
  builder.contact(tube, plate, ContactKind::kWelded, "the post is welded to its base plate");
  addPlateAnchors(builder, post.plate, {plate_x, post.plate.front_y_mm, plate_z}, slope, plate);
  return tube;
}

void addSite(ModelBuilder& builder) {
  for (const PanelFrame& panel : builder.panels()) {
    addTrack(builder, panel);
    addEndStop(builder, panel);
  }
  addLatch(builder);
  addFence(builder);
  addSurroundings(builder);
  addFooting(builder);
}

}  // namespace leafstack
