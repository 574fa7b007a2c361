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

#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"

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

/// A pulley's axis: square to the rail, through the rope's height at a station along it.
struct PulleyAxis {
  const PanelFrame& panel;
  double along_mm = 0, rope_up_mm = 0;

  Point3 at(double up) const {
    return panel.at(along_mm + (rope_up_mm - up) * panel.slope.grade, panel.depth_mm / 2, up);
  }
};

/// A spacer from `low` to `high` above the rail's underside; none where there is no room for one.
void addSpacer(ModelBuilder& builder, const PulleyAxis& axis, int bolt, double low, double high) {
  const double length = high - low - kSleeveEndGapMm;
  if (length < kSleeveEndGapMm) {
    return;
  }
  const int part = sleevePart(builder, Plane::kXY, length, hw::kPulleyBoltMm);
  const int sleeve =
      builder.place(part, axis.panel.number, axis.at(low + kSleeveEndGapMm / 2), axis.panel.slope);
  builder.contact(sleeve, bolt, ContactKind::kBearing, "sits on the pulley bolt",
                  2 * hw::kPulleyBoreGapMm);
}

/// Pulley, bolt and spacers at `x` along the panel; returns the pulley's instance.
int addPulley(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope, double x) {
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
                   [&] { return pulleySolid(rope.pitch_mm, spec.ropes.diameter_mm, rim); });
  const int bolt_part = builder.part(
      {PartKind::kPulleyBolt,
       "M" + shown(hw::kPulleyBoltMm) + ", shank cut to length, screws into the top wall",
       rail_height - kBoltShortMm},
      {rail_height}, [&] { return boltSolid(rail_height); });
  const PulleyAxis axis{panel, x, rope.up_mm};
  const int pulley = builder.place(pulley_part, panel.number, axis.at(rope.up_mm), panel.slope);
  const int bolt = builder.place(bolt_part, panel.number, axis.at(0), panel.slope);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  builder.contact(rail, bolt, ContactKind::kBolted, "the pulley bolt is held by the bottom rail",
                  hw::kHardwareClearanceMm);
  builder.contact(pulley, bolt, ContactKind::kBearing, "turns on its bolt",
                  2 * hw::kPulleyBoreGapMm);
  const double wall = panel.bottom_rail_wall_mm;
  const double half = hw::kPulleyThicknessMm / 2;
  addSpacer(builder, axis, bolt, wall, rope.up_mm - half);
  addSpacer(builder, axis, bolt, rope.up_mm + half, rail_height - wall);
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
TopoDS_Shape bracketSolid(const BracketShape& b) {
  const double x0 = -b.inset_mm - hw::kBracketHalfLengthMm;
  const double x1 = -b.inset_mm + hw::kBracketHalfLengthMm;
  const double half = hw::kBracketHalfHeightMm;
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
                      [&] { return bracketSolid(shape); });
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
  const double low =
      -(builder.layout().stack.frame_depth_mm / 2 - hw::kWheelThicknessMm / 2 - kFootFromWheelMm);
  const double high = hw::kBracketFaceGapMm + bracket_depth;
  const double hole_x = kFootHalfLengthMm - kFootHoleMm;
  const int part = builder.part(
      PartSpec{PartKind::kBasePlate,
               "plate " + sizes({2 * kFootHalfLengthMm, high - low, kFootHeightMm}),
               2 * kFootHalfLengthMm}
          .called("ground bracket foot"),
      {kFootHalfLengthMm, low, high}, [&] {
        const double middle = (low + high) / 2;
        return prism(Plane::kXY,
                     Outline::rectangle({-kFootHalfLengthMm, low}, {kFootHalfLengthMm, high}),
                     {Outline::circle({-hole_x, middle}, kFootHoleMm / 2),
                      Outline::circle({hole_x, middle}, kFootHoleMm / 2)},
                     {0, kFootHeightMm});
      });
  const int foot = builder.place(part, 0, at, slope);
  builder.contact(foot, bracket, ContactKind::kWelded, "the ground bracket stands on its foot");
}

int addGroundBracket(ModelBuilder& builder, const RopeLayout& rope) {
  const PanelFrame& panel = builder.panel(1);
  const double off = strandOffsetMm(rope, panel.depth_mm);
  const double depth = 2 * (off - hw::kBracketFaceGapMm);
  const Slope slope = footingSlope(builder, rope.rear_bracket_mm);
  // Square below the bore.
  const double over =
      (rope.rear_bore_z_mm - footingZ(builder.spec(), builder.layout(), 1, rope.rear_bracket_mm)) *
      slope.cosine;
  const double height = over + hw::kBracketHalfHeightMm - kFootHeightMm;
  const double bore = studRadiusMm(builder.spec()) + hw::kStudBoreGapMm;
  const int part = builder.part(
      {PartKind::kGroundBracket,
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
  const auto below = [&](double y, double up) {
    return Point3{rope.rear_bracket_mm + (over - up) * slope.sine, y,
                  rope.rear_bore_z_mm - (over - up) * slope.cosine};
  };
  const int bracket =
      builder.place(part, 0, below(rear_face + hw::kBracketFaceGapMm, kFootHeightMm), slope);
  addGroundFoot(builder, below(rear_face, 0), slope, bracket, depth);
  return bracket;
}

/// Where a rope's straight strands end, in the carrier's own frame: X along its rail, Z square up.
struct RopePath {
  Point2 front_end, rear_end;  ///< X and Z
  double pulley_mm = 0;
  double pitch_radius_mm = 0, radius_mm = 0;
  double middle_y_mm = 0, up_mm = 0;
  bool opening = true;

  double frontMm() const { return std::hypot(front_end.a - pulley_mm, front_end.b - up_mm); }
  double rearMm() const { return std::hypot(rear_end.a - pulley_mm, rear_end.b - up_mm); }
};

/// All that a rope's two solids follow from.
std::vector<double> figuresOf(const RopePath& closed, const RopePath& open) {
  std::vector<double> figures;
  for (const RopePath* path : {&closed, &open}) {
    figures.insert(figures.end(),
                   {path->front_end.a, path->front_end.b, path->rear_end.a, path->rear_end.b,
                    path->pulley_mm, path->pitch_radius_mm, path->radius_mm, path->middle_y_mm,
                    path->up_mm, path->opening ? 1.0 : 0.0});
  }
  return figures;
}

/// A bore of body `of`, X and Z closed, as the carrier's own frame sees it at `drive_mm`.
Point2 seenBy(const Layout& layout, int carrier, int of, const Point2& bore, double drive_mm) {
  const PanelLayout& panel = layout.panel(carrier);
  const Travels& travels = layout.ground.travels;
  const auto there =
      carried(combined(inverse(travels.at(carrier)->at(drive_mm)), travels.at(of)->at(drive_mm)),
              {bore.a, 0, bore.b});
  const double c = panel.cosine();
  const double s = panel.grade * c;
  const double x = there[0] - panel.leading_closed_mm;
  const double z = there[2] - panel.underside_z_mm;
  return {x * c + z * s, -x * s + z * c};
}

/// A rope's end in its bracket, short of the bore's middle along the bracket's own rail; X and Z
/// closed. It moves with the bracket.
Point2 ropeEndAt(const GateSpec& spec, const Layout& layout, const RopeRun& run, const Point2& bore,
                 int body) {
  const Slope slope =
      Slope::of(body > 0 ? layout.panel(body).grade : layout.ground.line.slope(bore.a));
  const double off = (run.opening ? 1 : -1) * ropeEndGapMm(spec);
  return {bore.a + off * slope.cosine, bore.b + off * slope.sine};
}

RopePath pathAt(const GateSpec& spec, const Layout& layout, const RopeRun& run, double drive_mm) {
  constexpr double kStraightMm = 1e-7;  // on even ground strands leave the pulley dead straight
  const RopeLayout& rope = layout.ropes.at(run.carrier - 1);
  const PanelLayout& panel = layout.panel(run.carrier);
  RopePath path;
  path.front_end = seenBy(
      layout, run.carrier, run.frontBody(),
      ropeEndAt(spec, layout, run, {rope.front_bracket_mm, rope.front_bore_z_mm}, run.frontBody()),
      drive_mm);
  path.rear_end = seenBy(
      layout, run.carrier, run.rearBody(),
      ropeEndAt(spec, layout, run, {rope.rear_bracket_mm, rope.rear_bore_z_mm}, run.rearBody()),
      drive_mm);
  for (Point2* end : {&path.front_end, &path.rear_end}) {
    end->b = std::abs(end->b - rope.up_mm) < kStraightMm ? rope.up_mm : end->b;
  }
  const double station = run.opening ? rope.trailing_pulley_mm : rope.leading_pulley_mm;
  path.pulley_mm = (station - panel.leading_closed_mm) / panel.cosine() + rope.up_mm * panel.grade;
  path.pitch_radius_mm = rope.pitch_mm / 2;
  path.radius_mm = spec.ropes.diameter_mm / 2;
  path.middle_y_mm = layout.stack.frame_depth_mm / 2;
  path.up_mm = rope.up_mm;
  path.opening = run.opening;
  return path;
}

/// A strand's round face that bounds the material inside it; `centre` is any point of its axis.
TopoDS_Shape outwardRound(const TopoDS_Face& face, const gp_Pnt& centre, const gp_Dir& axis) {
  const BRepAdaptor_Surface surface(face);
  gp_Pnt point;
  gp_Vec du;
  gp_Vec dv;
  surface.D1((surface.FirstUParameter() + surface.LastUParameter()) / 2,
             (surface.FirstVParameter() + surface.LastVParameter()) / 2, point, du, dv);
  gp_XYZ out = point.XYZ() - centre.XYZ();
  out -= axis.XYZ() * out.Dot(axis.XYZ());
  const bool outward = du.Crossed(dv).XYZ().Dot(out) > 0;
  return face.Oriented(outward ? TopAbs_FORWARD : TopAbs_REVERSED);
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
  BRep_Builder builder;
  TopoDS_Shell shell;
  builder.MakeShell(shell);
  builder.Add(shell, turn.face);
  for (int side = 0; side < 2; ++side) {
    const bool front = side == 0;
    const Point2& end = front ? path.front_end : path.rear_end;
    const gp_Vec along(end.a - path.pulley_mm, 0, end.b - path.up_mm);
    const double y = path.middle_y_mm + (front ? -path.pitch_radius_mm : path.pitch_radius_mm);
    BRepPrimAPI_MakePrism strand(front ? turn.front : turn.rear, along);
    for (TopExp_Explorer faces(strand.Shape(), TopAbs_FACE); faces.More(); faces.Next()) {
      builder.Add(shell, outwardRound(TopoDS::Face(faces.Current()),
                                      gp_Pnt(path.pulley_mm, y, path.up_mm), gp_Dir(along)));
    }
    // Both ends look back along the strands, away from the pulley.
    const gp_Dir away = path.opening ? -gp::DX() : gp::DX();
    const TopoDS_Wire rim = TopoDS::Wire(strand.LastShape());
    builder.Add(shell, outwardFlat(BRepBuilderAPI_MakeFace(rim, true).Face(), away));
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
  bounds.low = {std::min({path.front_end.a, path.rear_end.a, turn}), path.middle_y_mm - across,
                std::min({path.front_end.b, path.rear_end.b, path.up_mm}) - path.radius_mm};
  bounds.high = {std::max({path.front_end.a, path.rear_end.a, turn}), path.middle_y_mm + across,
                 std::max({path.front_end.b, path.rear_end.b, path.up_mm}) + path.radius_mm};
  return bounds;
}

struct RopeEnds {
  int front_bracket = 0, rear_bracket = 0;
  int front_panel = 0, rear_panel = 0;
};

int addStud(ModelBuilder& builder, int bracket, const Point3& at, const Slope& slope,
            bool towards_opening) {
  const double radius = studRadiusMm(builder.spec());
  const double rope_radius = builder.spec().ropes.diameter_mm / 2;
  const double end_gap = ropeEndGapMm(builder.spec());
  const double length = hw::kBracketHalfLengthMm + hw::kStudProjectionMm - end_gap;
  const int part =
      builder.part({PartKind::kRopeStud,
                    "dia " + shown(2 * radius) + " on rope " + shown(2 * rope_radius), length},
                   {length, radius}, [&] {
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
  const RopePath closed = pathAt(builder.spec(), layout, run, 0);
  const RopePath open = pathAt(builder.spec(), layout, run, layout.drive_travel_mm);
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
      ropeBounds(closed), [&closed] { return ropeSolid(closed); },
      [&open] { return ropeSolid(open); });
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

TopoDS_Shape ropeSolidAt(const Model& model, const RopeRun& rope, double drive_mm) {
  const TopoDS_Shape solid = ropeSolid(pathAt(model.spec, model.layout, rope, drive_mm));
  return model.opening_sign > 0 ? solid : mirroredInX(solid);
}

std::vector<std::array<double, 3>> ropeLineAt(const Model& model, const RopeRun& rope,
                                              double drive_mm) {
  constexpr int kTurnSteps = 144;
  const RopePath path = pathAt(model.spec, model.layout, rope, drive_mm);
  const double mirror = model.opening_sign;
  const double side = path.opening ? 1 : -1;
  std::vector<std::array<double, 3>> line;
  const auto add = [&](double x, double y, double z) { line.push_back({mirror * x, y, z}); };
  add(path.front_end.a, path.middle_y_mm - path.pitch_radius_mm, path.front_end.b);
  for (int i = 0; i <= kTurnSteps; ++i) {
    const double turn = std::numbers::pi * i / kTurnSteps;
    add(path.pulley_mm + side * path.pitch_radius_mm * std::sin(turn),
        path.middle_y_mm - path.pitch_radius_mm * std::cos(turn), path.up_mm);
  }
  add(path.rear_end.a, path.middle_y_mm + path.pitch_radius_mm, path.rear_end.b);
  return line;
}

}  // namespace leafstack
