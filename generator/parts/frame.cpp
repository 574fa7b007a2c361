// Bottom rails, top rails, stiles and intermediate uprights of one panel.
#include <cmath>

#include "generator/builder.h"
#include "generator/numbers.h"
#include "generator/occt/tube.h"
#include "generator/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

const std::string kWeldReason = "frame members are welded where they meet";

/// Holes and the words for them on the cut list, gathered together.
struct DrilledWalls {
  std::vector<WallHole> holes;
  std::vector<std::string> words;
  std::vector<double> key;  ///< tells parts apart

  void both(Wall one, Wall other, const Outline& outline) {
    holes.push_back({one, outline});
    holes.push_back({other, outline});
  }
};

void addWheelHoles(const PanelFrame& panel, double inset_mm, DrilledWalls& walls) {
  const double pocket_radius = hw::kWheelThicknessMm / 2 + hw::kWheelPocketGapMm;
  // The pocket's round ends must clear the wheel's square corners in the bottom wall.
  const double wheel_half_chord = std::sqrt(std::pow(hw::kWheelOutsideMm / 2, 2) -
                                            std::pow(hw::kAxleUpMm - wallOfBottomRail(panel), 2));
  const double corner =
      std::sqrt(std::pow(pocket_radius, 2) - std::pow(hw::kWheelThicknessMm / 2, 2));
  const double half_pocket =
      std::ceil(wheel_half_chord + hw::kWheelPocketEndGapMm + pocket_radius - corner);
  for (double x : {inset_mm, panel.length_mm - inset_mm}) {
    walls.holes.push_back(
        {Wall::kBottom, Outline::slot({x, panel.depth_mm / 2}, half_pocket, pocket_radius)});
    walls.both(Wall::kFront, Wall::kRear, Outline::circle({x, hw::kAxleUpMm}, hw::kAxleHoleMm / 2));
    walls.words.push_back("wheel pocket " + sizes({2 * half_pocket, 2 * pocket_radius}) +
                          " in the underside, centre at " + shown(x));
    walls.words.push_back("axle hole dia " + shown(hw::kAxleHoleMm) + " through, at " + shown(x) +
                          ", " + shown(hw::kAxleUpMm) + " up");
  }
  walls.key.push_back(inset_mm);
}

void addPulleyHoles(const ModelBuilder& builder, const PanelFrame& panel, DrilledWalls& walls) {
  const RopeLayout& rope = builder.layout().ropes.at(panel.number - 1);
  const double rim = pulleyRimMm(builder.spec(), rope);
  const double half_height = hw::kPulleyThicknessMm / 2 + hw::kPulleySlotGapMm;
  // The front slot shows the pulley's chord at the wall's inner face; the rear one lets it in
  // whole.
  const double inner = panel.depth_mm / 2 - wallOfBottomRail(panel);
  const double front = std::sqrt(rim * rim - inner * inner) + hw::kPulleySlotGapMm;
  const double rear = rim + kPulleyEntryGapMm;
  const double inset = builder.spec().ropes.pulley_inset_mm;
  for (double x : {inset, panel.length_mm - inset}) {
    const auto slot = [&](double half) {
      return Outline::roundedRectangle({x - half, rope.up_mm - half_height},
                                       {x + half, rope.up_mm + half_height}, kSlotCornerMm);
    };
    walls.holes.push_back({Wall::kFront, slot(front)});
    walls.holes.push_back({Wall::kRear, slot(rear)});
    const Point2 axis{x, panel.depth_mm / 2};
    walls.holes.push_back({Wall::kBottom, Outline::circle(axis, kPulleyBoltHoleMm / 2)});
    walls.holes.push_back({Wall::kTop, Outline::circle(axis, hw::kPulleyBoltMm / 2)});
    walls.words.push_back("pulley slots " + sizes({2 * front, 2 * half_height}) + " in front, " +
                          sizes({2 * rear, 2 * half_height}) + " in the rear, corners R" +
                          shown(kSlotCornerMm) + ", centre at " + shown(x) + ", " +
                          shown(rope.up_mm) + " up");
    walls.words.push_back("pulley bolt: hole dia " + shown(kPulleyBoltHoleMm) +
                          " in the underside, flow-drilled M" + shown(hw::kPulleyBoltMm) +
                          " thread in the top, at " + shown(x));
  }
  walls.key.insert(walls.key.end(), {rope.up_mm, rim, inset});
}

int addBottomRail(ModelBuilder& builder, const PanelFrame& panel) {
  const HollowSection& section = builder.spec().gate.bottom_rail;
  DrilledWalls walls;
  addWheelHoles(panel, wheelInsetMm(builder.spec(), builder.layout()), walls);
  if (panel.carries_rope) {
    addPulleyHoles(builder, panel, walls);
  }
  std::vector<double> key = {panel.length_mm};
  key.insert(key.end(), walls.key.begin(), walls.key.end());
  const int part =
      builder.part({PartKind::kBottomRail,
                    Supply::kCutTube,
                    "bottom rail",
                    builder.frameMaterial(),
                    section.designation,
                    panel.length_mm,
                    {},
                    walls.words},
                   key, [&] { return drilledSection(section, panel.length_mm, walls.holes); });
  return builder.place(part, panel.number, panel.origin_mm);
}

/// The pocket a recessed guide channel takes out of a member; `low_z` is the member's own.
TopoDS_Shape channelPocket(const ModelBuilder& builder, const PanelFrame& panel, double low_z) {
  constexpr double kBeyondMm = 1;  // past the member's faces, so that no skin is left
  const HeightLayout& z = builder.layout().heights;
  return box({-kBeyondMm, -kBeyondMm, z.channel_bottom_z_mm - low_z},
             {builder.spec().guides.channel_width_mm, -panel.channel_offset_mm,
              z.top_mm - low_z + kBeyondMm});
}

bool isLetIn(const PanelFrame& panel) {
  return panel.carries_channel && panel.channel_offset_mm < 0;
}

std::string pocketWords(const ModelBuilder& builder, const PanelFrame& panel) {
  return "front face cut " + shown(-panel.channel_offset_mm) + " deep for the guide channel, " +
         shown(builder.spec().guides.channel_width_mm) + " along the panel";
}

void addTopRail(ModelBuilder& builder, const PanelFrame& panel) {
  const HollowSection& section = builder.spec().gate.top_rail;
  const double low_z = builder.layout().heights.top_mm - section.height_mm;
  const double length = panel.frame_length_mm;
  PartSpec spec{PartKind::kTopRail,      Supply::kCutTube,    "top rail",
                builder.frameMaterial(), section.designation, length};
  if (isLetIn(panel)) {
    spec.cutouts.push_back(pocketWords(builder, panel));
  }
  const int part = builder.part(spec, {length, isLetIn(panel) ? 1.0 : 0.0}, [&] {
    const TopoDS_Shape tube = hollowSection(Plane::kYZ, section, length);
    return isLetIn(panel) ? cut(tube, {channelPocket(builder, panel, low_z)}) : tube;
  });
  const int top =
      builder.place(part, panel.number, {panel.origin_mm[0], panel.origin_mm[1], low_z});
  builder.joinTouching(top, {PartKind::kStile, PartKind::kUpright}, ContactKind::kWelded,
                       kWeldReason);
}

struct UprightPlace {
  double x_mm = 0;  ///< from the panel's leading end
  bool turned = false;
  bool let_in = false;
};

void addUpright(ModelBuilder& builder, const PanelFrame& panel, PartKind kind,
                const UprightPlace& place) {
  const HollowSection& section = builder.spec().gate.stile;
  const InfillSpace space = infillSpace(builder, panel);
  PartSpec spec{kind,
                Supply::kCutTube,
                kind == PartKind::kStile ? "stile" : "intermediate upright",
                builder.frameMaterial(),
                section.designation,
                space.height_mm};
  if (place.let_in) {
    spec.cutouts.push_back(pocketWords(builder, panel));
  }
  const int part = builder.part(spec, {space.height_mm, place.let_in ? 1.0 : 0.0}, [&] {
    const TopoDS_Shape tube = hollowSection(Plane::kXY, section, space.height_mm);
    return place.let_in ? cut(tube, {channelPocket(builder, panel, space.low_z_mm)}) : tube;
  });
  const Point3& o = panel.origin_mm;
  const int upright =
      place.turned ? builder.placeTurned(part, panel.number,
                                         {o[0] + place.x_mm + section.height_mm,
                                          o[1] + panel.depth_mm, space.low_z_mm})
                   : builder.place(part, panel.number, {o[0] + place.x_mm, o[1], space.low_z_mm});
  builder.joinTouching(upright, {PartKind::kBottomRail}, ContactKind::kWelded, kWeldReason);
}

}  // namespace

double wallOfBottomRail(const PanelFrame& panel) {
  return panel.bottom_rail_wall_mm;
}

double pulleyRimMm(const GateSpec& spec, const RopeLayout& rope) {
  return rope.pitch_mm / 2 + std::max(hw::kPulleyFlangeMm, spec.ropes.diameter_mm);
}

InfillSpace infillSpace(const ModelBuilder& builder, const PanelFrame& panel) {
  const PanelSpec& gate = builder.spec().gate;
  InfillSpace space;
  space.low_z_mm = panel.origin_mm[2] + gate.bottom_rail.height_mm;
  space.height_mm = builder.layout().heights.top_mm - gate.top_rail.height_mm - space.low_z_mm;
  const double width = gate.stile.height_mm;
  const double between = panel.frame_length_mm - width;
  const int bays = std::max(1, static_cast<int>(std::ceil(between / kGreatestBayMm)));
  for (int bay = 0; bay < bays; ++bay) {
    const double from = bay * between / bays + width;
    space.bays.push_back({from, (bay + 1) * between / bays - from});
  }
  return space;
}

void addFrame(ModelBuilder& builder, const PanelFrame& panel) {
  addBottomRail(builder, panel);
  const double width = builder.spec().gate.stile.height_mm;
  addUpright(builder, panel, PartKind::kStile, {0, false, isLetIn(panel)});
  addUpright(builder, panel, PartKind::kStile, {panel.frame_length_mm - width, true, false});
  const InfillSpace space = infillSpace(builder, panel);
  for (std::size_t bay = 1; bay < space.bays.size(); ++bay) {
    addUpright(builder, panel, PartKind::kUpright, {space.bays[bay].from_mm - width, false, false});
  }
  addTopRail(builder, panel);
}

std::string hollowName(double height_mm, double depth_mm, double wall_mm) {
  const bool square = std::abs(height_mm - depth_mm) < kLengthEqualMm;
  return (square ? "SHS " : "RHS ") + sizes({height_mm, depth_mm, wall_mm});
}

}  // namespace leafstack
