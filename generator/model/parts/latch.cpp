// The catch post with its buffer, bottom plates and top receiver: what stops and holds the closed
// gate.
#include "generator/layout/ground/latch.h"

#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/shared.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

HollowSection postSection(const StopHardware& stop, const LatchLayout& latch) {
  const double depth = latch.post_rear_y_mm - latch.post_front_y_mm;
  const double along = latch.face_x_mm - latch.post_x_mm;
  return {along, depth, stop.catch_wall_mm, hollowName(along, depth, stop.catch_wall_mm)};
}

/// The stop buffer on the catch post's face, its corner at `at`.
struct StopBuffer {
  BufferBlock block;
  BufferScrews screws;
  Point3 at{};
};

StopBuffer stopBuffer(const ModelBuilder& builder, const PanelFrame& panel,
                      const LatchLayout& latch) {
  const StopHardware& stop = builder.hardware().stop;
  StopBuffer buffer;
  buffer.block = {stop.buffer_mm, panel.depth_mm, stop.buffer_height_mm};
  buffer.at = {latch.face_x_mm, panel.origin_mm[1], panel.origin_mm[2] + stop.buffer_up_mm};
  const HollowSection tube = postSection(stop, latch);
  const double round = cornerRadii(tube).outer_mm;
  constexpr double kAnywhereMm = 1e6;  // the post stands lower and higher than any buffer
  buffer.screws =
      bufferScrews(buffer.block, {/*is_plate=*/false,
                                  tube.wall_mm,
                                  {latch.post_front_y_mm + round - buffer.at[1], -kAnywhereMm},
                                  {latch.post_rear_y_mm - round - buffer.at[1], kAnywhereMm}});
  return buffer;
}

int addCatchPost(ModelBuilder& builder, const LatchLayout& latch, const StopBuffer& buffer) {
  PostOnPlate post{{PartKind::kCatchPost}, postSection(builder.hardware().stop, latch),
                   latch.post_x_mm,        latch.post_front_y_mm,
                   latch.post_top_z_mm,    catchPostPlate(builder.spec(), builder.layout()),
                   "catch post base plate"};
  if (buffer.screws.places.empty()) {
    return addPost(builder, post);
  }
  post.drilled = {PostFace::kFarX, {}, buffer.screws.threadHoleMm()};
  for (const Point2& place : buffer.screws.places) {
    post.drilled.at_mm.push_back({buffer.at[0], buffer.at[1] + place.a, buffer.at[2] + place.b});
  }
  post.spec.cutouts = drilledWords(post.drilled, buffer.screws.screw.thread_mm, "buffer");
  return addPost(builder, post);
}

void addStopBuffer(ModelBuilder& builder, const PanelFrame& panel, const StopBuffer& buffer,
                   int post) {
  const int placed =
      addBuffer(builder, buffer.block, buffer.screws,
                {buffer.at, /*faces_back=*/false, post, "the buffer is fixed to the catch post"});
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(placed, rail, ContactKind::kStop, "the buffer stops the closed gate",
                  builder.hardware().stop.gap_mm);
}

void addBottomPlates(ModelBuilder& builder, const ReceiverPlace& place, int post) {
  const double thick = builder.hardware().stop.catch_plate_mm;
  const double length = place.to_x_mm - place.from_x_mm;
  const double height = place.high_z_mm - place.low_z_mm;
  const int part =
      builder.part({PartKind::kCatchPlate, "plate " + sizes({length, height, thick}), length},
                   {length, height}, [=] {
                     return box({0, 0, 0}, {length, thick, height});
                   });
  std::vector<double> plates = {place.rear_y_mm};
  if (place.has_front) {
    plates.push_back(place.front_y_mm - thick);
  }
  for (const double y : plates) {
    const int plate = builder.place(part, 0, {place.from_x_mm, y, place.low_z_mm});
    builder.contact(plate, post, ContactKind::kWelded, "the plate is welded to the catch post");
  }
}

/// One leg of the receiver seen from above: along X from the back plate's inside at `back`, its
/// inner face on Y 0 and its plate beyond it; `opens`: the end is bent that far open.
struct Leg {
  double back_mm = 0, reach_mm = 0, thick_mm = 0;
  double lead_mm = 0;

  static constexpr double kOpensBy = 0.5;  ///< of its length: 27 degrees

  /// From the inside corner outwards, and back along the outside to the corner's height.
  std::vector<Point2> corners() const {
    if (lead_mm <= 0) {
      return {{back_mm, 0}, {reach_mm, 0}, {reach_mm, thick_mm}};
    }
    const double run = std::hypot(1, kOpensBy);
    const double bend = (run - 1) / kOpensBy;  // tangent of half the angle
    const double tip = kOpensBy * lead_mm;
    return {{back_mm, 0},
            {reach_mm - lead_mm, 0},
            {reach_mm, tip},
            {reach_mm - thick_mm * kOpensBy / run, tip + thick_mm / run},
            {reach_mm - lead_mm - thick_mm * bend, thick_mm}};
  }
};

/// How the opened ends are made, where they are shorter than what a press folds.
std::vector<std::string> openedWords(const ReceiverHardware& size) {
  const double long_mm = size.lead_mm * std::hypot(1, Leg::kOpensBy);
  const double least = leastFlange_mm(size.plate_mm);
  if (size.lead_mm <= 0 || long_mm >= least) {
    return {};
  }
  constexpr double kDegrees = 180 / std::numbers::pi;
  return {"ends opened by " + shown(std::atan(Leg::kOpensBy) * kDegrees, 1) + " degrees, " +
          shown(long_mm, 1) + " long: a press folds no less than " + shown(least) +
          " of this plate, so these folds are bent hot over an edge, or the ends are cut off the "
          "blank there and welded on"};
}

/// In plan, from the post's face (X 0) and the front leg's inner face, or the back plate's front
/// edge where there is no front leg (Y 0).
Outline receiverPlan(const Leg& rear, double rear_y, const Leg* front) {
  std::vector<Point2> plan;
  if (front != nullptr) {
    plan.push_back({0, -front->thick_mm});
    const std::vector<Point2> leg = front->corners();
    for (auto corner = leg.rbegin(); corner != leg.rend(); ++corner) {
      plan.push_back({corner->a, -corner->b});
    }
  } else {
    plan.push_back({0, 0});
    plan.push_back({rear.thick_mm, 0});
  }
  for (const Point2& corner : rear.corners()) {
    plan.push_back({corner.a, rear_y + corner.b});
  }
  plan.push_back({0, rear_y + rear.thick_mm});
  return Outline::polygon(plan);
}

void addTopReceiver(ModelBuilder& builder, const LatchLayout& latch, int post) {
  const ReceiverPlace& place = *latch.top;
  const ReceiverHardware& size = builder.hardware().receiver;
  const double t = size.plate_mm;
  const Leg rear{t, place.to_x_mm - place.from_x_mm, t, size.lead_mm};
  Leg front = rear;
  front.lead_mm = latch.top_opens_in_front ? size.lead_mm : 0;
  const double from_y = place.has_front ? place.front_y_mm : latch.post_front_y_mm;
  const double width = place.rear_y_mm - from_y;
  const double height = place.high_z_mm - place.low_z_mm;
  const int part = builder.part(
      {PartKind::kReceiver,
       "bent plate " + sizes({rear.reach_mm, width, height, t}),
       height,
       {},
       openedWords(size)},
      {rear.reach_mm, width, height, front.lead_mm, place.has_front ? 1.0 : 0.0},
      [=, has_front = place.has_front] {
        return prism(Plane::kXY, receiverPlan(rear, width, has_front ? &front : nullptr),
                     {0, height});
      });
  const int receiver = builder.place(part, 0, {place.from_x_mm, from_y, place.low_z_mm});
  builder.contact(receiver, post, ContactKind::kWelded,
                  "the top receiver is welded to the catch post");
}

}  // namespace

void addLatch(ModelBuilder& builder) {
  const LatchLayout latch = latchOf(builder.spec(), builder.layout());
  const PanelFrame& panel = builder.panel(builder.layout().panel_count);
  const StopBuffer buffer = stopBuffer(builder, panel, latch);
  const int post = addCatchPost(builder, latch, buffer);
  addStopBuffer(builder, panel, buffer, post);
  addBottomPlates(builder, latch.bottom, post);
  if (latch.top) {
    addTopReceiver(builder, latch, post);
  }
}

}  // namespace leafstack
