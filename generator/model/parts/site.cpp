// Fence posts, footing, end stops, catch post: what does not move.
#include <algorithm>

#include "generator/geometry/numbers.h"
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

/// Where an end stop's foot lies and how far its plate leans from square.
struct StopPlace {
  double x_mm = 0;
  Slope slope;
  double lean = 0;
};

/// How far the front rope bracket stands out past the ends of panels 2 and on; 0: it does not.
double bracketProjectionMm(const ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  return std::max(0.0, shelf.bracket.length_mm / 2 - builder.spec().ropes.bracket_inset_mm);
}

/// The square face of the front bracket where that projects, else the rail's plumb end.
PartKind metByStop(const ModelBuilder& builder, const PanelFrame& panel) {
  const bool bracket = panel.number > 1 && bracketProjectionMm(builder) > 0;
  return bracket ? PartKind::kFrontBracket : PartKind::kBottomRail;
}

StopPlace stopPlace(const ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const Layout& layout = builder.layout();
  const double grade = panel.slope.grade;
  double along = panel.length_mm + shelf.stop.gap_mm;
  double lean = grade;
  if (metByStop(builder, panel) == PartKind::kFrontBracket) {
    lean = 0;
    const RopeLayout& rope = layout.ropes.at(panel.number - 2);
    const double bore_up =
        (rope.front_bore_z_mm - panel.undersideZ(rope.front_bracket_mm)) * panel.slope.cosine;
    along += bracketProjectionMm(builder) + (bore_up + undersideOverFootingMm(shelf)) * grade;
  }
  const Point3 closed = panel.at(along, 0, -undersideOverFootingMm(shelf));
  const auto open =
      carried(layout.ground.travels[panel.number]->at(layout.drive_travel_mm), closed);
  return {open[0], footingSlope(builder, open[0]), lean};
}

void addEndStop(ModelBuilder& builder, const PanelFrame& panel) {
  const HardwareSpec& shelf = builder.hardware();
  const StopPlace place = stopPlace(builder, panel);
  const double up = std::min(shelf.stop.height_up_mm,
                             builder.layout().heights.rail_height_mm - kStopBelowRailTopMm);
  const double height = up + undersideOverFootingMm(shelf);
  const double t = shelf.stop.thickness_mm;
  const double depth = panel.depth_mm;
  const int part = builder.part(
      {PartKind::kEndStop,
       "bent plate " + sizes({depth, height, shelf.stop.foot_mm, t}),
       height,
       {},
       {"anchor hole dia " + shown(shelf.stop.foot_hole_mm) + " in the middle of the foot"}},
      {height, depth, slopeKey(place.lean)}, [=] {
        // The foot lies under the panel's end, so that nothing stands further out than the stop.
        const double inner = t - shelf.stop.foot_mm;
        const double lean = place.lean;
        const Outline side = Outline::polygon({{inner, 0},
                                               {t, 0},
                                               {t + height * lean, height},
                                               {height * lean, height},
                                               {t * lean, t},
                                               {inner, t}});
        const Outline hole = Outline::circle({inner / 2, depth / 2}, shelf.stop.foot_hole_mm / 2);
        return cut(prism(Plane::kXZ, side, {0, depth}), {prism(Plane::kXY, hole, {-1, t + 1})});
      });
  const double z = footingZ(builder.spec(), builder.layout(), panel.number, place.x_mm);
  const int stop = builder.place(part, 0, {place.x_mm, panel.origin_mm[1], z}, place.slope);
  for (int member : builder.instancesOf(metByStop(builder, panel), panel.number)) {
    builder.contact(stop, member, ContactKind::kStop,
                    "the stop meets the panel at the end of its travel", shelf.stop.gap_mm);
  }
}

int addCatchPost(ModelBuilder& builder, const PanelFrame& panel, double face_x, const Point2& y) {
  const HardwareSpec& shelf = builder.hardware();
  const HollowSection section{
      shelf.stop.catch_post_mm, y.b - y.a, shelf.stop.catch_wall_mm,
      hollowName(shelf.stop.catch_post_mm, y.b - y.a, shelf.stop.catch_wall_mm)};
  const double x = face_x - shelf.stop.catch_post_mm;
  const double plate_length = shelf.stop.catch_post_mm + 2 * shelf.stop.catch_foot_mm;
  const int plate_part = builder.part(
      PartSpec{PartKind::kBasePlate,
               "plate " + sizes({plate_length, y.b - y.a, shelf.post.plate_mm}), plate_length}
          .called("catch post base plate"),
      {plate_length, y.b - y.a}, [=] {
        const double middle = (y.b - y.a) / 2;
        return prism(
            Plane::kXY, Outline::rectangle({0, 0}, {plate_length, y.b - y.a}),
            {Outline::circle({shelf.stop.catch_foot_mm / 2, middle}, shelf.stop.catch_hole_mm / 2),
             Outline::circle({plate_length - shelf.stop.catch_foot_mm / 2, middle},
                             shelf.stop.catch_hole_mm / 2)},
            {0, shelf.post.plate_mm});
      });
  const int post = addPost(builder, {{PartKind::kCatchPost},
                                     section,
                                     x,
                                     y.a,
                                     panel.top_z_mm,
                                     panel.number,
                                     plate_part,
                                     plate_length,
                                     y.a});
  const int buffer_part = builder.part(
      {PartKind::kCatchBuffer,
       "block " + sizes({shelf.stop.buffer_mm, panel.depth_mm, shelf.stop.buffer_height_mm}),
       shelf.stop.buffer_height_mm},
      {panel.depth_mm}, [=] {
        return box({0, 0, 0}, {shelf.stop.buffer_mm, panel.depth_mm, shelf.stop.buffer_height_mm});
      });
  const int buffer = builder.place(
      buffer_part, 0, {face_x, panel.origin_mm[1], panel.origin_mm[2] + shelf.stop.buffer_up_mm});
  builder.contact(buffer, post, ContactKind::kBolted, "the buffer is fixed to the catch post");
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(buffer, rail, ContactKind::kStop, "the buffer stops the closed gate",
                  shelf.stop.gap_mm);
  return post;
}

void addCatch(ModelBuilder& builder) {
  const HardwareSpec& shelf = builder.hardware();
  const PanelFrame& panel = builder.panel(builder.layout().panel_count);
  const double front = panel.origin_mm[1];
  const double rear = front + panel.depth_mm;
  const double face_x = panel.origin_mm[0] - shelf.stop.gap_mm - shelf.stop.buffer_mm;
  const bool room_in_front = front >= shelf.stop.catch_gap_mm + shelf.stop.catch_plate_mm + 1;
  const double post_front = room_in_front ? front - shelf.stop.catch_gap_mm : front + 1;
  const int post =
      addCatchPost(builder, panel, face_x, {post_front, rear + shelf.stop.catch_gap_mm});
  const double height = shelf.stop.catch_high_up_mm - shelf.stop.catch_low_up_mm;
  const double from_x = face_x - shelf.stop.catch_on_post_mm;
  const double length = panel.origin_mm[0] + shelf.stop.catch_reach_mm - from_x;
  const int part =
      builder.part({PartKind::kCatchPlate,
                    "plate " + sizes({length, height, shelf.stop.catch_plate_mm}), length},
                   {length, height}, [=] {
                     return box({0, 0, 0}, {length, shelf.stop.catch_plate_mm, height});
                   });
  const double z = panel.origin_mm[2] + shelf.stop.catch_low_up_mm;
  // Without room before the panel the fence post itself is the front catch.
  std::vector<double> plates = {rear + shelf.stop.catch_gap_mm};
  if (room_in_front) {
    plates.push_back(front - shelf.stop.catch_gap_mm - shelf.stop.catch_plate_mm);
  }
  for (double y : plates) {
    const int plate = builder.place(part, 0, {from_x, y, z});
    builder.contact(plate, post, ContactKind::kWelded, "the plate is welded to the catch post");
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
  const auto& line = builder.layout().ground.line;
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
  std::vector<double> figures = lineFigures(builder.spec().site);
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
  if (layout.ground.cross_grade == 0 && layout.ground.rear_strip_z_mm == 0) {
    addSlab(builder, {extent.from_x_mm, extent.to_x_mm, extent.from_y_mm, extent.to_y_mm, 1});
    return;
  }
  const char* kSteps = "one footing, cast in steps";
  if (layout.ground.cross_grade == 0) {
    const double edge = layout.ground.rear_strip_y_mm;
    const int tracks =
        addSlab(builder, {extent.from_x_mm, extent.to_x_mm, extent.from_y_mm, edge, 1});
    const int rear =
        addSlab(builder, {extent.from_x_mm, extent.to_x_mm, edge, extent.to_y_mm, kRearStrip});
    builder.contact(tracks, rear, ContactKind::kStandsOn, kSteps);
    return;
  }
  // Across a slope every track has a level strip of its own; the last carries motor and post.
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

}  // namespace

Slope footingSlope(const ModelBuilder& builder, double x) {
  return Slope::of(builder.layout().ground.line.slope(x));
}

int addPost(ModelBuilder& builder, PostOnPlate post) {
  const HardwareSpec& shelf = builder.hardware();
  const Slope slope = footingSlope(builder, post.x_mm + post.section.height_mm / 2);
  const double base = footingZ(builder.spec(), builder.layout(), post.strip, post.x_mm);
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
  const double plate_x = post.x_mm + (width - post.plate_length_mm * slope.cosine) / 2;
  const double plate_z = base + (plate_x - post.x_mm) * slope.grade;
  const int plate = builder.place(post.plate_part, 0, {plate_x, post.plate_y_mm, plate_z}, slope);
  builder.contact(tube, plate, ContactKind::kWelded, "the post is welded to its base plate");
  return tube;
}

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
