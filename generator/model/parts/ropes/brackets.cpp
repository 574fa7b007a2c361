// Brackets that hold the ropes' ends: on the panels and on the footing.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/ground_foot.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/fasteners.h"
#include "generator/model/parts/ropes/rope_ends.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/bored.h"
#include "params/catalogue/bars.h"
#include "params/catalogue/holes.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kLeastWrapMm = 6;  // less overhang than this is not worth wrapping the end

double offFaceMm(const RopeLayout& rope, double depth_mm) {
  return rope.pitch_mm / 2 - depth_mm / 2;
}

double boreRadiusMm(const ModelBuilder& builder) {
  return terminalOf(builder.spec()).thread_mm / 2 + hw::kTerminalBoreGapMm;
}

/// The opening rope's above, the closing one's below.
std::vector<Outline> boresOf(const Point2& middle, double apart, double radius) {
  return {Outline::circle({middle.a, middle.b + apart / 2}, radius),
          Outline::circle({middle.a, middle.b - apart / 2}, radius)};
}

/// The same along X, through from one face to another.
std::vector<RoundHole> holesOf(const Point2& middle, double apart, double radius, Extent along) {
  std::vector<RoundHole> holes;
  for (const double up : {apart / 2, -apart / 2}) {
    holes.push_back(
        {{along.from, middle.a, middle.b + up}, {1, 0, 0}, radius, along.to - along.from});
  }
  return holes;
}

std::string boreWords(const RopeLayout& rope, double bore) {
  return "two bores dia " + shown(2 * bore) + " for the rope terminals, " + shown(rope.apart_mm) +
         " apart";
}

/// What a block is milled from, unless a bar is as thick as it is.
struct MilledBlock {
  std::string section, milled;

  MilledBlock(double one_mm, double other_mm) {
    const std::optional<SolidBar> bar = barFor(one_mm, other_mm);
    const std::string own = sizes({std::max(one_mm, other_mm), std::min(one_mm, other_mm)});
    if (!bar) {
      section = "block " + own;
      return;
    }
    const std::string bought = sizes({bar->larger_mm, bar->smaller_mm});
    section =
        bar->larger_mm == bar->smaller_mm ? "square " + shown(bar->larger_mm) : "flat " + bought;
    milled = bought == own ? "" : "milled to " + own;
  }
  std::vector<std::string> cutoutsAnd(const std::string& more) const {
    return milled.empty() ? std::vector{more} : std::vector{milled, more};
  }
};

/// What a bracket's solid depends on.
struct BracketShape {
  double inset_mm = 0;  ///< its centre from the panel's end, negative where it projects
  double reach_mm = 0, depth_mm = 0;
  Point2 bore;                         ///< across from the panel's face, and radius
  double height_mm = 0, apart_mm = 0;  ///< its own, and between its bores
  double lean = 0;                     ///< of the panel's plumb end, per mm square to the rail
};

/// Bracket in its own frame: origin at a panel's trailing end, rear face, rope height; `inset` from
/// the end (negative: projects) to the bracket's centre, Y out of the face up to `reach`.
TopoDS_Shape bracketSolid(const HardwareSpec& shelf, const BracketShape& b) {
  const double x0 = -b.inset_mm - shelf.bracket.length_mm / 2;
  const double x1 = -b.inset_mm + shelf.bracket.length_mm / 2;
  const double half = b.height_mm / 2;
  const std::vector<Outline> bores = boresOf({b.bore.a, 0}, b.apart_mm, b.bore.b);
  if (x1 < kLeastWrapMm) {
    return prism(Plane::kYZ, Outline::rectangle({0, -half}, {b.reach_mm, half}), bores, {x0, x1});
  }
  if (b.lean == 0) {
    const Outline plan = Outline::polygon(
        {{x0, 0}, {0, 0}, {0, -b.depth_mm}, {x1, -b.depth_mm}, {x1, b.reach_mm}, {x0, b.reach_mm}});
    return bored(prism(Plane::kXY, plan, {-half, half}),
                 holesOf({b.bore.a, 0}, b.apart_mm, b.bore.b, {x0, x1}));
  }
  constexpr double kBeyondMm = 1;
  std::vector<TopoDS_Shape> tools;
  for (const Outline& bore : bores) {
    tools.push_back(prism(Plane::kYZ, bore, {x0 - kBeyondMm, x1 + kBeyondMm}));
  }
  // The step lies against a plumb end: it leans in the bracket's own frame.
  const Outline wrap =
      Outline::polygon({{-half * b.lean, -half}, {x1, -half}, {x1, half}, {half * b.lean, half}});
  const TopoDS_Shape arm = box({x0, 0, -half}, {x1, b.reach_mm, half});
  return cut(fuse(arm, prism(Plane::kXZ, wrap, {-b.depth_mm, 0})), tools);
}

int bracketPart(ModelBuilder& builder, PartKind kind, const RopeLayout& rope, double inset,
                double lean) {
  const HardwareSpec& shelf = builder.hardware();
  const StackLayout& stack = builder.layout().stack;
  const double reach = stack.gap_mm - bracketFaceGapMm(builder.spec());
  const double strand = stack.gap_mm - offFaceMm(rope, stack.frame_depth_mm);
  const double bore = boreRadiusMm(builder);
  const double height = bracketHeightMm(builder.spec());
  const double length = shelf.bracket.length_mm;
  const bool wraps = shelf.bracket.length_mm / 2 - inset >= kLeastWrapMm;
  const MilledBlock block(length, height);
  PartSpec spec{kind,
                block.section,
                wraps ? reach + stack.frame_depth_mm : reach,
                {},
                block.cutoutsAnd(boreWords(rope, bore))};
  if (wraps && inset < length / 2) {
    spec.cutouts.push_back("step " + sizes({length / 2 + inset, stack.frame_depth_mm}) +
                           " cut out for the rail's end");
  }
  if (wraps && lean != 0) {
    spec.cutouts.push_back("step " + shown(std::abs(mitre(lean).angle_deg)) +
                           " degrees off square, to the rail's plumb end");
  }
  const BracketShape shape{inset,  reach,         stack.frame_depth_mm, {strand, bore},
                           height, rope.apart_mm, wraps ? lean : 0};
  return builder.part(spec,
                      {inset, reach, stack.frame_depth_mm, strand, bore, height, rope.apart_mm,
                       slopeKey(shape.lean)},
                      [=] { return bracketSolid(shelf, shape); });
}

int addFrontBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const PanelFrame& panel = builder.panel(rope.carrier + 1);
  const double inset = builder.spec().ropes.bracket_inset_mm;
  const int part = bracketPart(builder, PartKind::kFrontBracket, rope, inset, panel.slope.grade);
  const int bracket = builder.place(
      part, panel.number,
      {rope.front_bracket_mm + inset * panel.slope.cosine, panel.origin_mm[1] + panel.depth_mm,
       rope.front_bore_z_mm + inset * panel.slope.sine},
      panel.slope);
  builder.joinTouching(bracket, {PartKind::kBottomRail}, ContactKind::kWelded,
                       "the bracket is fixed to the bottom rail");
  return bracket;
}

int addRearBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const PanelFrame& panel = builder.panel(rope.carrier - 1);
  const double inset = (rope.rear_bracket_mm - panel.origin_mm[0]) / panel.slope.cosine;
  const int part = bracketPart(builder, PartKind::kRearBracket, rope, inset, -panel.slope.grade);
  const int bracket = builder.placeTurned(
      part, panel.number,
      {panel.origin_mm[0], panel.origin_mm[1], rope.rear_bore_z_mm - inset * panel.slope.sine},
      panel.slope);
  builder.joinTouching(bracket, {PartKind::kBottomRail}, ContactKind::kWelded,
                       "the bracket is fixed to the bottom rail");
  return bracket;
}

void addGroundFoot(ModelBuilder& builder, const Point3& at, const Slope& slope, int bracket,
                   double bracket_depth) {
  const HardwareSpec& shelf = builder.hardware();
  const auto [low, high] =
      groundFootMm(builder.spec(), builder.layout().stack.frame_depth_mm, bracket_depth);
  const double hole_x =
      shelf.bracket.foot_length_mm / 2 - leastHoleEdge_mm(shelf.bracket.foot_hole_mm);
  const int part = builder.part(
      PartSpec{PartKind::kBasePlate,
               "plate " + sizes({shelf.bracket.foot_length_mm, high - low, shelf.bracket.foot_mm}),
               shelf.bracket.foot_length_mm}
          .called("ground bracket foot"),
      {shelf.bracket.foot_length_mm / 2, low, high}, [=] {
        const double middle = (low + high) / 2;
        return prism(Plane::kXY,
                     Outline::rectangle({-shelf.bracket.foot_length_mm / 2, low},
                                        {shelf.bracket.foot_length_mm / 2, high}),
                     {Outline::circle({-hole_x, middle}, shelf.bracket.foot_hole_mm / 2),
                      Outline::circle({hole_x, middle}, shelf.bracket.foot_hole_mm / 2)},
                     {0, shelf.bracket.foot_mm});
      });
  const int foot = builder.place(part, 0, at, slope);
  builder.contact(foot, bracket, ContactKind::kWelded, "the ground bracket stands on its foot");
  const double thick = shelf.bracket.foot_mm;
  for (const double along : {-hole_x, hole_x}) {
    addAnchor(builder, {shelf.bracket.foot_hole_mm, thick, hole_x - shelf.bracket.length_mm / 2},
              {foot, -1, "the anchor holds the ground bracket"},
              {{at[0] + along * slope.cosine - thick * slope.sine, at[1] + (low + high) / 2,
                at[2] + along * slope.sine + thick * slope.cosine},
               {-slope.sine, 0, slope.cosine}});
  }
}

/// Stands on the footing, its bores along panel 1's rope.
int addGroundBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const HardwareSpec& shelf = builder.hardware();
  const PanelFrame& panel = builder.panel(1);
  const double depth = 2 * (offFaceMm(rope, panel.depth_mm) - shelf.bracket.face_gap_mm);
  const Slope slope = rearBracketSlope(builder, rope);
  const Slope ground = footingSlope(builder, 1, rope.rear_bracket_mm);
  // Square to the rope below the middle of both.
  const double foot_top = footingZ(builder.spec(), builder.layout(), 1, rope.rear_bracket_mm) +
                          shelf.bracket.foot_mm / ground.cosine;
  const double turn = slope.cosine + slope.sine * ground.grade;
  const double over = (rope.rear_bore_z_mm - foot_top) / turn;
  const double half = bracketHeightMm(builder.spec()) / 2;
  const double bore = boreRadiusMm(builder);
  // The footing as the bracket sees it.
  const double fall = std::tan(std::atan(ground.grade) - std::atan(slope.grade));
  const double x = shelf.bracket.length_mm / 2;
  const MilledBlock block(shelf.bracket.length_mm, depth);
  // Coated, it stands further off the pulley's flange that passes it, its bores on the ropes.
  const double face_gap = bracketFaceGapMm(builder.spec());
  const double across = depth / 2 - (face_gap - shelf.bracket.face_gap_mm);
  const int part = builder.part(
      {PartKind::kGroundBracket,
       block.section,
       over + half + std::abs(fall) * x,
       {},
       block.cutoutsAnd(boreWords(rope, bore))},
      {depth, across, over, half, bore, rope.apart_mm, slopeKey(fall)}, [=] {
        const TopoDS_Shape body =
            prism(Plane::kXZ,
                  Outline::polygon(
                      {{-x, -over - fall * x}, {x, -over + fall * x}, {x, half}, {-x, half}}),
                  {0, depth});
        return bored(body, holesOf({across, 0}, rope.apart_mm, bore, {-x, x}));
      });
  const double rear_face = panel.origin_mm[1] + panel.depth_mm;
  const int bracket = builder.place(
      part, 0, {rope.rear_bracket_mm, rear_face + face_gap, rope.rear_bore_z_mm}, slope);
  // Under the bracket's middle, along the footing.
  const double foot_x = rope.rear_bracket_mm + over * slope.sine;
  addGroundFoot(builder,
                {foot_x + shelf.bracket.foot_mm * ground.sine, rear_face,
                 rope.rear_bore_z_mm - over * slope.cosine - shelf.bracket.foot_mm * ground.cosine},
                ground, bracket, depth);
  return bracket;
}

}  // namespace

Slope rearBracketSlope(const ModelBuilder& builder, const RopeLayout& rope) {
  return builder.panel(std::max(1, rope.carrier - 1)).slope;
}

RopeBrackets addBrackets(ModelBuilder& builder, const RopeLayout& rope) {
  RopeBrackets brackets;
  brackets.front = addFrontBracket(builder, rope);
  brackets.rear =
      rope.carrier == 1 ? addGroundBracket(builder, rope) : addRearBracket(builder, rope);
  return brackets;
}

}  // namespace leafstack
