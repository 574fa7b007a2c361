// Rope pulleys, brackets, studs, and the ropes themselves.
#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRepTools.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Pln.hxx>
#include <numbers>

#include "generator/builder.h"
#include "generator/numbers.h"
#include "generator/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kBoltHeadMm = 8;  // pulley bolt's head, below the rail
constexpr double kBoltHeadRadiusMm = 9.5;
constexpr double kBoltShortMm = 2;   // bolt's top below the rail's top face: the stile stands there
constexpr double kFootHeightMm = 8;  // ground bracket's foot plate
constexpr double kFootHalfLengthMm = 60;
constexpr double kFootFromWheelMm = 6;
constexpr double kFootHoleMm = 11;
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
  return (spec.ropes.diameter_mm + hw::kStudOverRopeMm) / 2;
}

/// How far each rope ends short of its bracket's centre: the two ropes' ends keep apart.
double ropeEndGapMm(const GateSpec& spec) {
  constexpr double kLeastMm = 2;
  constexpr double kOverRadiusMm = 0.5;
  return std::max(kLeastMm, spec.ropes.diameter_mm / 2 + kOverRadiusMm);
}

TopoDS_Shape pulleySolid(double pitch, double rope, double rim) {
  const double half = hw::kPulleyThicknessMm / 2;
  const double bore = hw::kPulleyBoltMm / 2 + hw::kPulleyBoreGapMm;
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

TopoDS_Shape boltSolid(double rail_height) {
  const double shank = hw::kPulleyBoltMm / 2;
  const double top = rail_height - kBoltShortMm;
  return revolution(Plane::kXY, Outline::polygon({{0, -kBoltHeadMm},
                                                  {kBoltHeadRadiusMm, -kBoltHeadMm},
                                                  {kBoltHeadRadiusMm, 0},
                                                  {shank, 0},
                                                  {shank, top},
                                                  {0, top}}));
}

/// A spacer from `low` to `high` above the rail's underside; none where there is no room for one.
void addSpacer(ModelBuilder& builder, const PanelFrame& panel, const Point3& at, int bolt,
               double low, double high) {
  const double length = high - low - kSleeveEndGapMm;
  if (length < kSleeveEndGapMm) {
    return;
  }
  const int part = sleevePart(builder, Plane::kXY, length, hw::kPulleyBoltMm);
  const int sleeve =
      builder.place(part, panel.number, {at[0], at[1], at[2] + low + kSleeveEndGapMm / 2});
  builder.contact(sleeve, bolt, ContactKind::kBearing, "sits on the pulley bolt",
                  2 * hw::kPulleyBoreGapMm);
}

/// Pulley, bolt and spacers at `x` along the panel; returns the pulley's instance.
int addPulley(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope, double x) {
  const GateSpec& spec = builder.spec();
  const double rail_height = spec.gate.bottom_rail.height_mm;
  const double rim = pulleyRimMm(spec, rope);
  const int pulley_part =
      builder.part({PartKind::kPulley, Supply::kBought, "rope pulley", "steel",
                    "pitch dia " + shown(rope.pitch_mm) + ", outside " + shown(2 * rim) +
                        ", for rope " + shown(spec.ropes.diameter_mm),
                    2 * rim},
                   {rope.pitch_mm, rim},
                   [&] { return pulleySolid(rope.pitch_mm, spec.ropes.diameter_mm, rim); });
  const int bolt_part = builder.part(
      {PartKind::kPulleyBolt, Supply::kBought, "pulley bolt", "steel",
       "M" + shown(hw::kPulleyBoltMm) + ", shank cut to length, screws into the top wall",
       rail_height - kBoltShortMm},
      {rail_height}, [&] { return boltSolid(rail_height); });
  const Point3& o = panel.origin_mm;
  const Point3 foot{o[0] + x, o[1] + panel.depth_mm / 2, o[2]};
  const int pulley =
      builder.place(pulley_part, panel.number, {foot[0], foot[1], foot[2] + rope.up_mm});
  const int bolt = builder.place(bolt_part, panel.number, foot);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(rail, bolt, ContactKind::kBolted, "the pulley bolt is held by the bottom rail",
                  hw::kHardwareClearanceMm);
  builder.contact(pulley, bolt, ContactKind::kBearing, "turns on its bolt",
                  2 * hw::kPulleyBoreGapMm);
  const double wall = panel.bottom_rail_wall_mm;
  const double half = hw::kPulleyThicknessMm / 2;
  addSpacer(builder, panel, foot, bolt, wall, rope.up_mm - half);
  addSpacer(builder, panel, foot, bolt, rope.up_mm + half, rail_height - wall);
  return pulley;
}

/// Bracket in its own frame: origin at a panel's trailing end, rear face, rope height; `inset` from
/// the end (negative: projects) to the bracket's centre, Y out of the face up to `reach`.
TopoDS_Shape bracketSolid(double inset, double reach, double depth, const Point2& bore) {
  const double x0 = -inset - hw::kBracketHalfLengthMm;
  const double x1 = -inset + hw::kBracketHalfLengthMm;
  const double half = hw::kBracketHalfHeightMm;
  if (x1 < kLeastWrapMm) {
    return prism(Plane::kYZ, Outline::rectangle({0, -half}, {reach, half}),
                 {Outline::circle({bore.a, 0}, bore.b)}, {x0, x1});
  }
  const Outline plan =
      Outline::polygon({{x0, 0}, {0, 0}, {0, -depth}, {x1, -depth}, {x1, reach}, {x0, reach}});
  const TopoDS_Shape body = prism(Plane::kXY, plan, {-half, half});
  constexpr double kBeyondMm = 1;
  return cut(body, {prism(Plane::kYZ, Outline::circle({bore.a, 0}, bore.b),
                          {x0 - kBeyondMm, x1 + kBeyondMm})});
}

int bracketPart(ModelBuilder& builder, PartKind kind, const char* name, double inset,
                const RopeLayout& rope) {
  const StackLayout& stack = builder.layout().stack;
  const double reach = stack.gap_mm - hw::kBracketFaceGapMm;
  const double strand = stack.gap_mm - strandOffsetMm(rope, stack.frame_depth_mm);
  const double bore = studRadiusMm(builder.spec()) + hw::kStudBoreGapMm;
  const double height = 2 * hw::kBracketHalfHeightMm;
  const double length = 2 * hw::kBracketHalfLengthMm;
  const bool wraps = hw::kBracketHalfLengthMm - inset >= kLeastWrapMm;
  const std::string section = wraps
                                  ? "plate " + sizes({reach + stack.frame_depth_mm, length, height})
                                  : "flat " + sizes({length, height});
  return builder.part({kind,
                       wraps ? Supply::kCutPlate : Supply::kCutBar,
                       name,
                       "steel",
                       section,
                       wraps ? reach + stack.frame_depth_mm : reach,
                       {},
                       {"bore dia " + shown(2 * bore) + " for the rope studs"}},
                      {inset, reach, stack.frame_depth_mm, strand, bore}, [&] {
                        return bracketSolid(inset, reach, stack.frame_depth_mm, {strand, bore});
                      });
}

int addFrontBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const PanelFrame& panel = builder.panel(rope.carrier + 1);
  const int part = bracketPart(builder, PartKind::kFrontBracket, "front rope bracket",
                               builder.spec().ropes.bracket_inset_mm, rope);
  const Point3& o = panel.origin_mm;
  const int bracket = builder.place(
      part, panel.number, {o[0] + panel.length_mm, o[1] + panel.depth_mm, o[2] + rope.up_mm});
  builder.joinTouching(bracket, {PartKind::kBottomRail}, builder.steelOnFrame(),
                       "the bracket is fixed to the bottom rail");
  return bracket;
}

int addRearBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const PanelFrame& panel = builder.panel(rope.carrier - 1);
  const double inset = rope.rear_bracket_mm - panel.origin_mm[0];
  const int part = bracketPart(builder, PartKind::kRearBracket, "rear rope bracket", inset, rope);
  const Point3& o = panel.origin_mm;
  const int bracket = builder.placeTurned(part, panel.number, {o[0], o[1], o[2] + rope.up_mm});
  builder.joinTouching(bracket, {PartKind::kBottomRail}, builder.steelOnFrame(),
                       "the bracket is fixed to the bottom rail");
  return bracket;
}

void addGroundFoot(ModelBuilder& builder, const Point3& at, int bracket, double bracket_depth) {
  const double low =
      -(builder.layout().stack.frame_depth_mm / 2 - hw::kWheelThicknessMm / 2 - kFootFromWheelMm);
  const double high = hw::kBracketFaceGapMm + bracket_depth;
  const double hole_x = kFootHalfLengthMm - kFootHoleMm;
  const int part = builder.part(
      {PartKind::kBasePlate, Supply::kCutPlate, "ground bracket foot", "steel",
       "plate " + sizes({2 * kFootHalfLengthMm, high - low, kFootHeightMm}), 2 * kFootHalfLengthMm},
      {kFootHalfLengthMm, low, high}, [&] {
        const double middle = (low + high) / 2;
        return prism(Plane::kXY,
                     Outline::rectangle({-kFootHalfLengthMm, low}, {kFootHalfLengthMm, high}),
                     {Outline::circle({-hole_x, middle}, kFootHoleMm / 2),
                      Outline::circle({hole_x, middle}, kFootHoleMm / 2)},
                     {0, kFootHeightMm});
      });
  const int foot = builder.place(part, 0, at);
  builder.contact(foot, bracket, ContactKind::kWelded, "the ground bracket stands on its foot");
}

int addGroundBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const PanelFrame& panel = builder.panel(1);
  const double off = strandOffsetMm(rope, panel.depth_mm);
  const double depth = 2 * (off - hw::kBracketFaceGapMm);
  const double footing = builder.layout().heights.footing_top_mm;
  const double height =
      panel.origin_mm[2] + rope.up_mm + hw::kBracketHalfHeightMm - footing - kFootHeightMm;
  const double bore = studRadiusMm(builder.spec()) + hw::kStudBoreGapMm;
  const int part = builder.part(
      {PartKind::kGroundBracket,
       Supply::kCutBar,
       "ground rope bracket",
       "steel",
       "flat " + sizes({2 * hw::kBracketHalfLengthMm, depth}),
       height,
       {},
       {"bore dia " + shown(2 * bore) + " for the rope studs"}},
      {depth, height, bore}, [&] {
        return prism(Plane::kYZ, Outline::rectangle({0, 0}, {depth, height}),
                     {Outline::circle({depth / 2, height - hw::kBracketHalfHeightMm}, bore)},
                     {-hw::kBracketHalfLengthMm, hw::kBracketHalfLengthMm});
      });
  const double rear_face = panel.origin_mm[1] + panel.depth_mm;
  const Point3 at{rope.rear_bracket_mm, rear_face, footing};
  const int bracket =
      builder.place(part, 0, {at[0], at[1] + hw::kBracketFaceGapMm, at[2] + kFootHeightMm});
  addGroundFoot(builder, at, bracket, depth);
  return bracket;
}

/// Where a rope's straight strands end, along the carrier's own X.
struct RopePath {
  double front_end_mm = 0, rear_end_mm = 0, pulley_mm = 0;
  double pitch_radius_mm = 0, radius_mm = 0;
  double middle_y_mm = 0, up_mm = 0;
  bool opening = true;
};

RopePath pathAt(const GateSpec& spec, const Layout& layout, const std::vector<double>& ratio,
                const RopeRun& run, double drive_mm) {
  const RopeLayout& rope = layout.ropes.at(run.carrier - 1);
  const double leading = layout.panel(run.carrier).leading_closed_mm;
  const double own = ratio[run.carrier] * drive_mm;
  const double side = run.opening ? 1 : -1;
  RopePath path;
  path.front_end_mm = rope.front_bracket_mm + ratio[run.carrier + 1] * drive_mm - own - leading +
                      side * ropeEndGapMm(spec);
  path.rear_end_mm = rope.rear_bracket_mm + ratio[run.carrier - 1] * drive_mm - own - leading +
                     side * ropeEndGapMm(spec);
  path.pulley_mm = (run.opening ? rope.trailing_pulley_mm : rope.leading_pulley_mm) - leading;
  path.pitch_radius_mm = rope.pitch_mm / 2;
  path.radius_mm = spec.ropes.diameter_mm / 2;
  path.middle_y_mm = layout.stack.frame_depth_mm / 2;
  path.up_mm = rope.up_mm;
  path.opening = run.opening;
  return path;
}

/// A cylinder's face that bounds the material inside it.
TopoDS_Shape outwardRound(const TopoDS_Face& face) {
  const BRepAdaptor_Surface surface(face, /*restriction=*/false);
  return face.Oriented(surface.Cylinder().Position().Direct() ? TopAbs_FORWARD : TopAbs_REVERSED);
}

TopoDS_Shape outwardFlat(const TopoDS_Face& face, const gp_Dir& outward) {
  const gp_Pln plane = BRepAdaptor_Surface(face, /*restriction=*/false).Plane();
  const bool along = (plane.Axis().Direction().Dot(outward) > 0) == plane.Direct();
  return face.Oriented(along ? TopAbs_FORWARD : TopAbs_REVERSED);
}

/// Half a torus round the pulley: its round face, and the circles where the strands leave.
struct HalfTurn {
  TopoDS_Shape face;
  TopoDS_Wire front, rear;
};

HalfTurn halfTurn(const RopePath& path) {
  // Turning from the front strand (-Y) over the pulley's far side to the rear strand (+Y).
  const gp_Pnt centre(path.pulley_mm, path.middle_y_mm, path.up_mm);
  const gp_Ax2 axes(centre, path.opening ? gp::DZ() : -gp::DZ(), -gp::DY());
  BRepPrimAPI_MakeTorus torus(axes, path.pitch_radius_mm, path.radius_mm, std::numbers::pi);
  HalfTurn turn;
  for (TopExp_Explorer faces(torus.Shape(), TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    if (BRepAdaptor_Surface(face).GetType() == GeomAbs_Torus) {
      turn.face = face;
      continue;
    }
    GProp_GProps properties;
    BRepGProp::LinearProperties(face, properties);
    const bool is_front = properties.CentreOfMass().Y() < path.middle_y_mm;
    (is_front ? turn.front : turn.rear) = BRepTools::OuterWire(face);
  }
  return turn;
}

/// Strand, half turn and strand as one solid whose faces share their edges.
TopoDS_Shape ropeSolid(const RopePath& path) {
  const HalfTurn turn = halfTurn(path);
  BRepPrimAPI_MakePrism front(turn.front, gp_Vec(path.front_end_mm - path.pulley_mm, 0, 0));
  BRepPrimAPI_MakePrism rear(turn.rear, gp_Vec(path.rear_end_mm - path.pulley_mm, 0, 0));
  BRep_Builder builder;
  TopoDS_Shell shell;
  builder.MakeShell(shell);
  builder.Add(shell, turn.face);
  // Both ends look back along the strands, away from the pulley.
  const gp_Dir away = path.opening ? -gp::DX() : gp::DX();
  for (BRepPrimAPI_MakePrism* strand : {&front, &rear}) {
    for (TopExp_Explorer faces(strand->Shape(), TopAbs_FACE); faces.More(); faces.Next()) {
      builder.Add(shell, outwardRound(TopoDS::Face(faces.Current())));
    }
    const TopoDS_Wire end = TopoDS::Wire(strand->LastShape());
    builder.Add(shell, outwardFlat(BRepBuilderAPI_MakeFace(end, true).Face(), away));
  }
  shell.Closed(BRep_Tool::IsClosed(shell));
  TopoDS_Solid solid;
  builder.MakeSolid(solid);
  builder.Add(solid, shell);
  return solid;
}

Bounds ropeBounds(const RopePath& path) {
  const double across = path.pitch_radius_mm + path.radius_mm;
  const double turn = path.pulley_mm + (path.opening ? across : -across);
  Bounds bounds;
  bounds.low = {std::min({path.front_end_mm, path.rear_end_mm, turn}), path.middle_y_mm - across,
                path.up_mm - path.radius_mm};
  bounds.high = {std::max({path.front_end_mm, path.rear_end_mm, turn}), path.middle_y_mm + across,
                 path.up_mm + path.radius_mm};
  return bounds;
}

struct RopeEnds {
  int front_bracket = 0, rear_bracket = 0;
  int front_panel = 0, rear_panel = 0;
};

int addStud(ModelBuilder& builder, int bracket, const Point3& at, bool towards_opening) {
  const double radius = studRadiusMm(builder.spec());
  const double rope_radius = builder.spec().ropes.diameter_mm / 2;
  const double end_gap = ropeEndGapMm(builder.spec());
  const double length = hw::kBracketHalfLengthMm + hw::kStudProjectionMm - end_gap;
  const int part =
      builder.part({PartKind::kRopeStud, Supply::kBought, "rope stud", "steel",
                    "dia " + shown(2 * radius) + " on rope " + shown(2 * rope_radius), length},
                   {length, radius}, [&] {
                     return prism(Plane::kYZ, Outline::circle({0, 0}, radius),
                                  {Outline::circle({0, 0}, rope_radius)}, {0, length});
                   });
  const double from = towards_opening ? end_gap : -end_gap - length;
  const int stud =
      builder.place(part, builder.instance(bracket).panel, {at[0] + from, at[1], at[2]});
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
  const std::vector<double>& ratio = builder.model().speed_ratio;
  const RopePath closed = pathAt(builder.spec(), layout, ratio, run, 0);
  const RopePath open = pathAt(builder.spec(), layout, ratio, run, layout.drive_travel_mm);
  const double length = std::abs(closed.pulley_mm - closed.front_end_mm) +
                        std::abs(closed.pulley_mm - closed.rear_end_mm) +
                        std::numbers::pi * closed.pitch_radius_mm;
  const RopeSpec& spec = builder.spec().ropes;
  run.part = builder.ropePart(
      {PartKind::kRope, Supply::kBought, opening ? "opening rope" : "closing rope", "rope",
       std::string(spec.construction == RopeConstruction::k7x19 ? "7x19" : "7x7") + " dia " +
           shown(spec.diameter_mm) + ", panel " + std::to_string(rope.carrier) +
           ", length between stud ends: order longer for terminations",
       length},
      ropeSolid(closed), ropeSolid(open), ropeBounds(closed));
  run.instance = builder.place(run.part, panel.number, panel.origin_mm);
  run.mark = builder.model().parts[run.part].mark;
  const double z = panel.origin_mm[2] + rope.up_mm;
  const double middle = panel.origin_mm[1] + panel.depth_mm / 2;
  const double half_pitch = rope.pitch_mm / 2;
  const int front_stud = addStud(builder, ends.front_bracket,
                                 {rope.front_bracket_mm, middle - half_pitch, z}, opening);
  const int rear_stud =
      addStud(builder, ends.rear_bracket, {rope.rear_bracket_mm, middle + half_pitch, z}, opening);
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

TopoDS_Shape ropeSolidAt(const Model& model, const RopeRun& rope, double drive_mm) {
  const TopoDS_Shape solid =
      ropeSolid(pathAt(model.spec, model.layout, model.speed_ratio, rope, drive_mm));
  return model.opening_sign > 0 ? solid : mirroredInX(solid);
}

std::vector<std::array<double, 3>> ropeLineAt(const Model& model, const RopeRun& rope,
                                              double drive_mm) {
  constexpr int kTurnSteps = 144;
  const RopePath path = pathAt(model.spec, model.layout, model.speed_ratio, rope, drive_mm);
  const double mirror = model.opening_sign;
  const double side = path.opening ? 1 : -1;
  std::vector<std::array<double, 3>> line;
  const auto add = [&](double x, double y) { line.push_back({mirror * x, y, path.up_mm}); };
  add(path.front_end_mm, path.middle_y_mm - path.pitch_radius_mm);
  for (int i = 0; i <= kTurnSteps; ++i) {
    const double turn = std::numbers::pi * i / kTurnSteps;
    add(path.pulley_mm + side * path.pitch_radius_mm * std::sin(turn),
        path.middle_y_mm - path.pitch_radius_mm * std::cos(turn));
  }
  add(path.rear_end_mm, path.middle_y_mm + path.pitch_radius_mm);
  return line;
}

}  // namespace leafstack
