// Rope pulleys, brackets, studs, and the ropes themselves.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/ground_foot.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/rope_solid.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kBoltShortMm = 2;  // bolt's top below the rail's top face: the stile stands there
constexpr double kLeastWrapMm = 6;  // less overhang than this is not worth wrapping the end
// Groove by the rope maker's rule: radius 0.53 to 0.55 of the rope, throat 35 to 45 degrees.
constexpr double kGrooveRadiusPerRope = 0.54;
constexpr double kHalfThroatDeg = 20;

double radians(double degrees) {
  return degrees * std::numbers::pi / 180;
}

double strandOffsetMm(const RopeLayout& rope, double depth_mm) {
  return rope.pitch_mm / 2 - depth_mm / 2;
}

double studRadiusMm(const GateSpec& spec) {
  return (spec.ropes.diameter_mm + spec.hardware.terminal.over_rope_mm) / 2;
}

TopoDS_Shape pulleySolid(const HardwareSpec& shelf, double pitch, double rope, double rim) {
  const double half = shelf.pulley.thickness_mm / 2;
  const double bore = shelf.pulley.bolt_mm / 2 + hw::kPulleyBoreGapMm;
  const double groove = kGrooveRadiusPerRope * rope;
  const double bottom = pitch / 2 - rope / 2;
  const double turn = radians(90 - kHalfThroatDeg);
  const Point2 flank{bottom + groove - groove * std::cos(turn), groove * std::sin(turn)};
  const double at_rim = flank.b + (rim - flank.a) * std::tan(radians(kHalfThroatDeg));
  Outline outline({bore, -half});
  outline.line({rim, -half}).line({rim, -at_rim}).line({flank.a, -flank.b});
  outline.arc({bottom, 0}, flank);
  outline.line({rim, at_rim}).line({rim, half}).line({bore, half}).close();
  return revolution(Plane::kXY, outline);
}

TopoDS_Shape boltSolid(const HardwareSpec& shelf, double rail_height) {
  const double shank = shelf.pulley.bolt_mm / 2;
  const double top = rail_height - kBoltShortMm;
  return revolution(Plane::kXY,
                    Outline::polygon({{0, -shelf.pulley.bolt_head_mm},
                                      {shelf.pulley.bolt_across_mm / 2, -shelf.pulley.bolt_head_mm},
                                      {shelf.pulley.bolt_across_mm / 2, 0},
                                      {shank, 0},
                                      {shank, top},
                                      {0, top}}));
}

/// A pulley's axis: square to the rail, through the rope's height at a station along it.
struct PulleyAxis {
  const PanelFrame& panel;
  double along_mm = 0, rope_height_mm = 0;

  Point3 at(double up) const {
    return panel.at(along_mm + (rope_height_mm - up) * panel.slope.grade, panel.depth_mm / 2, up);
  }
};

/// A spacer from `low` to `high` above the rail's underside; none where there is no room for one.
void addSpacer(ModelBuilder& builder, const PulleyAxis& axis, int bolt, double low, double high) {
  const HardwareSpec& shelf = builder.hardware();
  const double length = high - low - kSleeveEndGapMm;
  if (length < kSleeveEndGapMm) {
    return;
  }
  const int part = sleevePart(builder, Plane::kXY, length, shelf.pulley.bolt_mm);
  const int sleeve =
      builder.place(part, axis.panel.number, axis.at(low + kSleeveEndGapMm / 2), axis.panel.slope);
  builder.contact(sleeve, bolt, ContactKind::kBearing, "sits on the pulley bolt",
                  2 * hw::kPulleyBoreGapMm);
}

/// Pulley, bolt and spacers at `x` along the panel; returns the pulley's instance.
int addPulley(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope, double x) {
  const HardwareSpec& shelf = builder.hardware();
  const GateSpec& spec = builder.spec();
  const double rail_height = spec.gate.bottom_rail.height_mm;
  const double rim = pulleyRimMm(spec, rope);
  const int pulley_part =
      builder.part(PartSpec{PartKind::kPulley,
                            "pitch dia " + shown(rope.pitch_mm) + ", outside " + shown(2 * rim) +
                                ", for rope " + shown(spec.ropes.diameter_mm),
                            2 * rim}
                       .given({spec.ropes.diameter_mm}),
                   {rope.pitch_mm, rim},
                   [=] { return pulleySolid(shelf, rope.pitch_mm, spec.ropes.diameter_mm, rim); });
  const int bolt_part = builder.part(
      {PartKind::kPulleyBolt,
       "M" + shown(shelf.pulley.bolt_mm) + ", shank cut to length, screws into the top wall",
       rail_height - kBoltShortMm},
      {rail_height}, [=] { return boltSolid(shelf, rail_height); });
  const PulleyAxis axis{panel, x, rope.height_mm};
  const int pulley = builder.place(pulley_part, panel.number, axis.at(rope.height_mm), panel.slope);
  const int bolt = builder.place(bolt_part, panel.number, axis.at(0), panel.slope);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(rail, bolt, ContactKind::kBolted, "the pulley bolt is held by the bottom rail",
                  hw::kHardwareClearanceMm);
  builder.contact(pulley, bolt, ContactKind::kBearing, "turns on its bolt",
                  2 * hw::kPulleyBoreGapMm);
  const double wall = panel.bottom_rail_wall_mm;
  const double half = shelf.pulley.thickness_mm / 2;
  addSpacer(builder, axis, bolt, wall, rope.height_mm - half);
  addSpacer(builder, axis, bolt, rope.height_mm + half, rail_height - wall);
  return pulley;
}

/// What a bracket's solid depends on.
struct BracketShape {
  double inset_mm = 0;  ///< its centre from the panel's end, negative where it projects
  double reach_mm = 0, depth_mm = 0;
  Point2 bore;      ///< across from the panel's face, and radius
  double lean = 0;  ///< of the panel's plumb end, per mm square to the rail
};

/// Bracket in its own frame: origin at a panel's trailing end, rear face, rope height; `inset` from
/// the end (negative: projects) to the bracket's centre, Y out of the face up to `reach`.
TopoDS_Shape bracketSolid(const HardwareSpec& shelf, const BracketShape& b) {
  const double x0 = -b.inset_mm - shelf.bracket.length_mm / 2;
  const double x1 = -b.inset_mm + shelf.bracket.length_mm / 2;
  const double half = shelf.bracket.height_mm / 2;
  if (x1 < kLeastWrapMm) {
    return prism(Plane::kYZ, Outline::rectangle({0, -half}, {b.reach_mm, half}),
                 {Outline::circle({b.bore.a, 0}, b.bore.b)}, {x0, x1});
  }
  constexpr double kBeyondMm = 1;
  const TopoDS_Shape bore =
      prism(Plane::kYZ, Outline::circle({b.bore.a, 0}, b.bore.b), {x0 - kBeyondMm, x1 + kBeyondMm});
  if (b.lean == 0) {
    const Outline plan = Outline::polygon(
        {{x0, 0}, {0, 0}, {0, -b.depth_mm}, {x1, -b.depth_mm}, {x1, b.reach_mm}, {x0, b.reach_mm}});
    return cut(prism(Plane::kXY, plan, {-half, half}), {bore});
  }
  // The step lies against a plumb end: it leans in the bracket's own frame.
  const Outline wrap =
      Outline::polygon({{-half * b.lean, -half}, {x1, -half}, {x1, half}, {half * b.lean, half}});
  const TopoDS_Shape arm = box({x0, 0, -half}, {x1, b.reach_mm, half});
  return cut(fuse(arm, prism(Plane::kXZ, wrap, {-b.depth_mm, 0})), {bore});
}

int bracketPart(ModelBuilder& builder, PartKind kind, const RopeLayout& rope, double inset,
                double lean) {
  const HardwareSpec& shelf = builder.hardware();
  const StackLayout& stack = builder.layout().stack;
  const double reach = stack.gap_mm - shelf.bracket.face_gap_mm;
  const double strand = stack.gap_mm - strandOffsetMm(rope, stack.frame_depth_mm);
  const double bore = studRadiusMm(builder.spec()) + hw::kStudBoreGapMm;
  const double height = shelf.bracket.height_mm;
  const double length = shelf.bracket.length_mm;
  const bool wraps = shelf.bracket.length_mm / 2 - inset >= kLeastWrapMm;
  const std::string section = wraps
                                  ? "plate " + sizes({reach + stack.frame_depth_mm, length, height})
                                  : "flat " + sizes({length, height});
  PartSpec spec{kind,
                section,
                wraps ? reach + stack.frame_depth_mm : reach,
                {},
                {"bore dia " + shown(2 * bore) + " for the rope studs"}};
  if (wraps) {
    spec.supply = Supply::kCutPlate;
  }
  if (wraps && lean != 0) {
    spec.cutouts.push_back("step " + shown(std::abs(mitre(lean).angle_deg)) +
                           " degrees off square, to the rail's plumb end");
  }
  const BracketShape shape{inset, reach, stack.frame_depth_mm, {strand, bore}, wraps ? lean : 0};
  return builder.part(spec,
                      {inset, reach, stack.frame_depth_mm, strand, bore, slopeKey(shape.lean)},
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
  builder.joinTouching(bracket, {PartKind::kBottomRail}, builder.steelOnFrame(),
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
  builder.joinTouching(bracket, {PartKind::kBottomRail}, builder.steelOnFrame(),
                       "the bracket is fixed to the bottom rail");
  return bracket;
}

void addGroundFoot(ModelBuilder& builder, const Point3& at, const Slope& slope, int bracket,
                   double bracket_depth) {
  const HardwareSpec& shelf = builder.hardware();
  const auto [low, high] =
      groundFootMm(shelf, builder.layout().stack.frame_depth_mm, bracket_depth);
  const double hole_x = shelf.bracket.foot_length_mm / 2 - shelf.bracket.foot_hole_mm;
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
}

int addGroundBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const HardwareSpec& shelf = builder.hardware();
  const PanelFrame& panel = builder.panel(1);
  const double off = strandOffsetMm(rope, panel.depth_mm);
  const double depth = 2 * (off - shelf.bracket.face_gap_mm);
  const Slope slope = footingSlope(builder, rope.rear_bracket_mm);
  // Square below the bore.
  const double over =
      (rope.rear_bore_z_mm - footingZ(builder.spec(), builder.layout(), 1, rope.rear_bracket_mm)) *
      slope.cosine;
  const double height = over + shelf.bracket.height_mm / 2 - shelf.bracket.foot_mm;
  const double bore = studRadiusMm(builder.spec()) + hw::kStudBoreGapMm;
  const int part = builder.part(
      {PartKind::kGroundBracket,
       "flat " + sizes({shelf.bracket.length_mm, depth}),
       height,
       {},
       {"bore dia " + shown(2 * bore) + " for the rope studs"}},
      {depth, height, bore}, [=] {
        return prism(Plane::kYZ, Outline::rectangle({0, 0}, {depth, height}),
                     {Outline::circle({depth / 2, height - shelf.bracket.height_mm / 2}, bore)},
                     {-(shelf.bracket.length_mm / 2), shelf.bracket.length_mm / 2});
      });
  const double rear_face = panel.origin_mm[1] + panel.depth_mm;
  const auto below = [&](double y, double up) {
    return Point3{rope.rear_bracket_mm + (over - up) * slope.sine, y,
                  rope.rear_bore_z_mm - (over - up) * slope.cosine};
  };
  const int bracket = builder.place(
      part, 0, below(rear_face + shelf.bracket.face_gap_mm, shelf.bracket.foot_mm), slope);
  addGroundFoot(builder, below(rear_face, 0), slope, bracket, depth);
  return bracket;
}

struct RopeEnds {
  int front_bracket = 0, rear_bracket = 0;
  int front_panel = 0, rear_panel = 0;
};

int addStud(ModelBuilder& builder, int bracket, const Point3& at, const Slope& slope,
            bool towards_opening) {
  const HardwareSpec& shelf = builder.hardware();
  const double radius = studRadiusMm(builder.spec());
  const double rope_radius = builder.spec().ropes.diameter_mm / 2;
  const double end_gap = ropeEndGapMm(builder.spec());
  const double length = shelf.bracket.length_mm / 2 + shelf.terminal.projection_mm - end_gap;
  const int part =
      builder.part({PartKind::kRopeStud,
                    "dia " + shown(2 * radius) + " on rope " + shown(2 * rope_radius), length},
                   {length, radius}, [=] {
                     return prism(Plane::kYZ, Outline::circle({0, 0}, radius),
                                  {Outline::circle({0, 0}, rope_radius)}, {0, length});
                   });
  const double from = towards_opening ? end_gap : -end_gap - length;
  const int stud =
      builder.place(part, builder.instance(bracket).panel,
                    {at[0] + from * slope.cosine, at[1], at[2] + from * slope.sine}, slope);
  builder.contact(stud, bracket, ContactKind::kRopeHeld, "the stud is held in its bracket",
                  2 * hw::kStudBoreGapMm);
  return stud;
}

void addRope(ModelBuilder& builder, const RopeLayout& rope, bool opening, const RopeEnds& ends,
             int pulley) {
  const PanelFrame& panel = builder.panel(rope.carrier);
  RopeRun run;
  run.carrier = rope.carrier;
  run.opening = opening;
  const Layout& layout = builder.layout();
  const RopePath closed = ropePathAt(builder.spec(), layout, run, 0);
  const RopePath open = ropePathAt(builder.spec(), layout, run, layout.drive_travel_mm);
  const double length =
      closed.frontMm() + closed.rearMm() + std::numbers::pi * closed.pitch_radius_mm;
  const RopeSpec& spec = builder.spec().ropes;
  run.part = builder.ropePart(
      PartSpec{PartKind::kRope,
               std::string(spec.construction == RopeConstruction::k7x19 ? "7x19" : "7x7") +
                   " dia " + shown(spec.diameter_mm) + ", panel " + std::to_string(rope.carrier) +
                   ", length with its ends in their studs",
               length}
          .called(opening ? "opening rope" : "closing rope")
          .given(figuresOf(closed, open)),
      ropeBounds(closed), [closed] { return ropeSolid(closed); },
      [open] { return ropeSolid(open); });
  run.instance = builder.place(run.part, panel.number, panel.origin_mm, panel.slope);
  run.mark = builder.model().parts[run.part].mark;
  const double middle = panel.origin_mm[1] + panel.depth_mm / 2;
  const double half_pitch = rope.pitch_mm / 2;
  const int front_stud = addStud(builder, ends.front_bracket,
                                 {rope.front_bracket_mm, middle - half_pitch, rope.front_bore_z_mm},
                                 builder.panel(rope.carrier + 1).slope, opening);
  const Slope rear = rope.carrier == 1 ? footingSlope(builder, rope.rear_bracket_mm)
                                       : builder.panel(rope.carrier - 1).slope;
  const int rear_stud =
      addStud(builder, ends.rear_bracket,
              {rope.rear_bracket_mm, middle + half_pitch, rope.rear_bore_z_mm}, rear, opening);
  builder.contact(run.instance, pulley, ContactKind::kBearing, "the rope lies in its pulley",
                  kGrooveRadiusPerRope * spec.diameter_mm);
  for (int end : {front_stud, rear_stud}) {
    builder.contact(run.instance, end, ContactKind::kRopeHeld, "the rope is swaged into its stud");
  }
  for (int end : {ends.front_bracket, ends.rear_bracket}) {
    builder.contact(run.instance, end, ContactKind::kRopeHeld, "the rope ends in its bracket",
                    studRadiusMm(builder.spec()));
  }
  builder.addRope(run);
}

}  // namespace

void addRopes(ModelBuilder& builder) {
  for (const RopeLayout& rope : builder.layout().ropes) {
    const PanelFrame& panel = builder.panel(rope.carrier);
    const double inset = builder.spec().ropes.pulley_inset_mm;
    const int leading = addPulley(builder, panel, rope, inset);
    const int trailing = addPulley(builder, panel, rope, panel.length_mm - inset);
    RopeEnds ends;
    ends.front_bracket = addFrontBracket(builder, rope);
    ends.rear_bracket =
        rope.carrier == 1 ? addGroundBracket(builder, rope) : addRearBracket(builder, rope);
    addRope(builder, rope, /*opening=*/true, ends, trailing);
    addRope(builder, rope, /*opening=*/false, ends, leading);
  }
}

}  // namespace leafstack
