// Fence posts, footing, end stops, posts on base plates: what does not move.
#include <algorithm>

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/end_buffer.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bent.h"
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

/// Its foot lies under the panel's end, so that nothing stands further out than the stop.
int addStopPlate(ModelBuilder& builder, const PanelFrame& panel, const StopPlace& place) {
  const StopHardware& size = builder.hardware().stop;
  const double up =
      std::min(size.height_up_mm, builder.layout().heights.rail_height_mm - kStopBelowRailTopMm);
  const double height = up + undersideOverFootingMm(builder.hardware());
  const double depth = panel.depth_mm;
  const int part = builder.part(
      {PartKind::kEndStop,
       "bent plate " + sizes({depth, height, size.foot_mm, size.thickness_mm}),
       height,
       {},
       {"anchor hole dia " + shown(size.foot_hole_mm) + " in the middle of the foot"}},
      {height, depth, slopeKey(place.slope.grade)},
      [=, t = size.thickness_mm, lean = place.slope.grade] {
        const double inner = t - size.foot_mm;
        const Outline side = Outline::polygon({{inner, 0},
                                               {t, 0},
                                               {t + height * lean, height},
                                               {height * lean, height},
                                               {t * lean, t},
                                               {inner, t}});
        const Outline hole = Outline::circle({inner / 2, depth / 2}, size.foot_hole_mm / 2);
        return cut(prism(Plane::kXZ, side, {0, depth}), {prism(Plane::kXY, hole, {-1, t + 1})});
      });
  const double z = footingZ(builder.spec(), builder.layout(), panel.number, place.x_mm);
  return builder.place(part, 0, {place.x_mm, panel.origin_mm[1], z}, place.slope);
}

void addEndStop(ModelBuilder& builder, const PanelFrame& panel) {
  const EndBuffer buffer = endBuffer(builder.spec(), builder.layout(), panel.number);
  const StopPlace place = stopPlace(builder, panel, buffer);
  const int stop = addStopPlate(builder, panel, place);
  const double thick = buffer.thickness_mm;
  const double depth = panel.depth_mm;
  const double height = buffer.high_up_mm - buffer.low_up_mm;
  const int part = builder.part(
      PartSpec{PartKind::kCatchBuffer, "block " + sizes({thick, depth, height}), height}.called(
          "end buffer"),
      {thick, depth, height}, [=] {
        return box({0, 0, 0}, {thick, depth, height});
      });
  const int block =
      builder.place(part, 0, {place.x_mm - thick, panel.origin_mm[1], place.buffer_z_mm});
  builder.contact(block, stop, ContactKind::kBolted, "the buffer is fixed to the end stop");
  for (int rail : builder.instancesOf(PartKind::kBottomRail, panel.number)) {
    builder.contact(block, rail, ContactKind::kStop,
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
                       {PartKind::kTrack, PartKind::kBasePlate, PartKind::kMotor,
                        PartKind::kMotorPacker, PartKind::kEndStop},
                       ContactKind::kStandsOn, "stands on the footing");
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

}  // namespace

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
  const int part = builder.part(post.spec, {edge, slopeKey(slope.grade)}, [=] {
    return mitredSection(Plane::kXY, post.section, edge, {slope.grade, 0});
  });
  const int tube = builder.place(part, 0, {post.x_mm, post.y_mm, low});
  // The plate's middle lies under the post's.
  const double plate_x = post.x_mm + (width - post.plate.along_mm * slope.cosine) / 2;
  const double plate_z = base + (plate_x - post.x_mm) * slope.grade;
  const int plate = builder.place(plate_part, 0, {plate_x, post.plate.front_y_mm, plate_z}, slope);
  builder.contact(tube, plate, ContactKind::kWelded, "the post is welded to its base plate");
  return tube;
}

void addSite(ModelBuilder& builder) {
  for (const PanelFrame& panel : builder.panels()) {
    addTrack(builder, panel);
    addEndStop(builder, panel);
  }
  addLatch(builder);
  addFence(builder);
  addFooting(builder);
}

}  // namespace leafstack
