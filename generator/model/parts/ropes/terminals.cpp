// Rope terminals: hollow screws, studs or eye bolts, and the nuts that tension them.
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/model/builder.h"
#include "generator/model/parts/ropes/rope_ends.h"
#include "generator/model/parts/shared.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kNutBoreGapMm = 0.1;  // radial: threads are drawn as cylinders
constexpr double kRingsMeetMm = 0.5;   // eye and thimble are one solid where they hold each other

/// A terminal's frame: X along its rope towards the pulley, origin in its bracket's middle.
/// A step of what turns about X.
struct Step {
  double from_mm = 0, to_mm = 0, radius_mm = 0;
};

/// From behind to the mouth; adjusted by `back` away from and `forth` towards the pulley.
std::vector<Step> stepsOf(const Terminal& t, double back, double forth) {
  const double thread = t.thread_mm / 2;
  const double sleeve = t.sleeve_mm / 2;
  const double end = t.threadEndMm();
  switch (t.kind) {
    case TerminalKind::kScrew:
      return {{end - t.sleeve_length_mm - back, end + forth, sleeve},
              {end + forth, t.tipMm() + forth, thread}};
    case TerminalKind::kStud:
      return {{end - back, t.tipMm() - back, thread},
              {t.tipMm() - back, t.mouthMm() + forth, sleeve}};
    case TerminalKind::kEye:
      return {{end - back, t.tipMm() - back, thread}};
  }
  return {};
}

/// `bore`: of the rope, from the mouth inwards to `bored_to`.
TopoDS_Shape turned(const std::vector<Step>& steps, double bore, double bored_to) {
  const double mouth = steps.back().to_mm;
  const bool through = bored_to <= steps.front().from_mm;
  std::vector<Point2> outline;
  if (through) {
    outline = {{steps.front().from_mm, bore}, {mouth, bore}};
  } else {
    outline = {{steps.front().from_mm, 0}, {bored_to, 0}, {bored_to, bore}, {mouth, bore}};
  }
  for (auto step = steps.rbegin(); step != steps.rend(); ++step) {
    outline.push_back({step->to_mm, step->radius_mm});
    outline.push_back({step->from_mm, step->radius_mm});
  }
  return revolution(Plane::kYZ, Outline::polygon(outline));
}

/// A ring of the eye or the thimble.
TopoDS_Shape ring(Plane plane, double middle, const Terminal& t, double longer) {
  const double radius = t.eye_mm / 2;
  const double hole = radius - t.eye_plate_mm;
  const double half = t.eye_plate_mm / 2;
  if (longer == 0) {
    return prism(plane, Outline::circle({middle, 0}, radius), {Outline::circle({middle, 0}, hole)},
                 {-half, half});
  }
  return prism(plane, Outline::slot({middle, 0}, radius + longer, radius), {-half, half});
}

/// Eye bolt, and the rope's thimble and ferrule in its eye. `range`: half of the adjuster's, for
/// all that they take up; 0 for them as they are.
TopoDS_Shape eyeSolid(const Terminal& t, double bore, double range) {
  const double radius = t.eye_mm / 2;
  const double eye = t.tipMm() + radius;
  const double thimble = eye + 2 * (radius - t.eye_plate_mm) + kRingsMeetMm;
  const double ferrule = t.mouthMm() - t.sleeve_length_mm - kRingsMeetMm;
  const double rod_end = t.tipMm() + kRingsMeetMm + range;
  const TopoDS_Shape rod =
      turned({{t.threadEndMm() - range, rod_end, t.thread_mm / 2}}, 0, rod_end);
  const TopoDS_Shape sleeve =
      turned({{ferrule - range, t.mouthMm() + range, t.sleeve_mm / 2}}, bore, t.ropeEndMm());
  const TopoDS_Shape all = fuse(fuse(rod, ring(Plane::kXZ, eye, t, range)),
                                fuse(ring(Plane::kXY, thimble, t, range), sleeve));
  return range == 0 ? all
                    : cut(all, {prism(Plane::kYZ, Outline::circle({0, 0}, bore),
                                      {t.ropeEndMm(), t.mouthMm() + range + 1})});
}

TopoDS_Shape terminalSolid(const Terminal& t, double rope_radius) {
  return t.kind == TerminalKind::kEye ? eyeSolid(t, rope_radius, 0)
                                      : turned(stepsOf(t, 0, 0), rope_radius, t.ropeEndMm());
}

/// Wherever the adjuster stands. Its rope, which goes with it, lies in it all the way.
TopoDS_Shape terminalReach(const Terminal& t, double rope_radius) {
  const double half = t.adjust_mm / 2;
  if (t.kind == TerminalKind::kEye) {
    return eyeSolid(t, rope_radius, half);
  }
  const std::vector<Step> steps = stepsOf(t, half, half);
  return turned(steps, rope_radius, steps.front().from_mm);
}

std::string terminalWords(const Terminal& t, double rope_mm) {
  const std::string thread = "M" + shown(t.thread_mm) + "x" + shown(t.length_mm);
  const std::string sleeve = sizes({t.sleeve_mm, t.sleeve_length_mm});
  switch (t.kind) {
    case TerminalKind::kScrew:
      return "hollow screw " + thread + ", ferrule " + sleeve + " on rope " + shown(rope_mm);
    case TerminalKind::kStud:
      return "stud " + thread + ", swaged part " + sleeve + " on rope " + shown(rope_mm);
    case TerminalKind::kEye:
      return "eye bolt " + thread + " dia " + shown(t.eye_mm) + ", thimble and ferrule " + sleeve +
             " on rope " + shown(rope_mm);
  }
  return "";
}

/// Where a bracket's bore of one rope is.
struct Bore {
  int bracket = 0;
  Point3 middle{};
  Slope slope;
  double slants = 0;  ///< of the rope against its rail, at most, rise per mm
};

struct TerminalParts {
  int terminal = 0, nut = 0;
};

TerminalParts terminalParts(ModelBuilder& builder, const Terminal& t) {
  const double rope = builder.spec().ropes.diameter_mm;
  TerminalParts parts;
  const double greatest =
      t.mouthMm() - t.threadEndMm() + (t.kind == TerminalKind::kScrew ? t.sleeve_length_mm : 0);
  parts.terminal = builder.adjustablePart(
      PartSpec{PartKind::kTerminal, terminalWords(t, rope), greatest}.given({rope}), {t.adjust_mm},
      [=] { return terminalSolid(t, rope / 2); }, [=] { return terminalReach(t, rope / 2); });
  const double corner = t.nutRadiusMm();
  const double bore = t.thread_mm / 2 + kNutBoreGapMm;
  parts.nut = builder.part(
      {PartKind::kTerminalNut,
       "hexagon nut M" + shown(t.thread_mm) + ", " + shown(t.nut_across_mm) + " across flats",
       t.nut_mm},
      {t.thread_mm, t.nut_mm, t.nut_across_mm}, [=] {
        std::vector<Point2> hexagon;
        for (int side = 0; side < 6; ++side) {
          const double turn = std::numbers::pi / 3 * side;
          hexagon.push_back({corner * std::cos(turn), corner * std::sin(turn)});
        }
        return prism(Plane::kYZ, Outline::polygon(hexagon), {Outline::circle({0, 0}, bore)},
                     {0, t.nut_mm});
      });
  return parts;
}

int addTerminal(ModelBuilder& builder, const RopeRun& run, const Bore& bore) {
  const Terminal t = terminalOf(builder.spec());
  const TerminalParts parts = terminalParts(builder, t);
  const int panel = builder.instance(bore.bracket).panel;
  const auto along = [&](double by) {
    return Point3{bore.middle[0] + by * bore.slope.cosine, bore.middle[1],
                  bore.middle[2] + by * bore.slope.sine};
  };
  const int terminal = run.opening
                           ? builder.place(parts.terminal, panel, bore.middle, bore.slope)
                           : builder.placeTurned(parts.terminal, panel, bore.middle, bore.slope);
  builder.contact(terminal, bore.bracket, ContactKind::kRopeHeld,
                  "the terminal is held in its bracket", 2 * hw::kTerminalBoreGapMm);
  int before = bore.bracket;
  for (int nut = 1; nut <= 2; ++nut) {
    const double far = t.half_bracket_mm + nut * t.nut_mm;
    const double from = run.opening ? -far : far - t.nut_mm;
    const int placed = builder.place(parts.nut, panel, along(from), bore.slope);
    builder.contact(placed, before, ContactKind::kBolted,
                    nut == 1 ? "the nut bears on its bracket" : "the second nut locks the first");
    builder.contact(placed, terminal, ContactKind::kBolted, "the nuts hold the terminal",
                    2 * kNutBoreGapMm);
    before = placed;
  }
  Contact& swaged = builder.contact(run.instance, terminal, ContactKind::kRopeHeld,
                                    "the rope is swaged into its terminal");
  if (bore.slants > 0) {
    // On uneven ground the rope leaves its terminal aslant: bent at the mouth, as far as the
    // warnings allow. Drawn straight it lies in the sleeve's wall.
    swaged.permitted_overlap_mm =
        (std::max(t.sleeve_mm, t.thread_mm) + builder.spec().ropes.diameter_mm) / 2 +
        bore.slants * t.insideMm();
  }
  if (t.ropeEndMm() < t.half_bracket_mm) {
    builder.contact(run.instance, bore.bracket, ContactKind::kRopeHeld,
                    "the rope ends in its bracket", t.thread_mm / 2);
  }
  return terminal;
}

}  // namespace

void addTerminals(ModelBuilder& builder, const RopeRun& run, const RopeLayout& rope,
                  const RopeBrackets& brackets) {
  const PanelFrame& panel = builder.panel(rope.carrier);
  const double middle = panel.origin_mm[1] + panel.depth_mm / 2;
  const double up = rope.aboveMm(run.opening);
  const auto bore = [&](int bracket, double x, double y, double z, const Slope& slope) {
    return Bore{bracket, {x - up * slope.sine, y, z + up * slope.cosine}, slope, rope.steepest};
  };
  addTerminal(builder, run,
              bore(brackets.front, rope.front_bracket_mm, middle - rope.pitch_mm / 2,
                   rope.front_bore_z_mm, builder.panel(rope.carrier + 1).slope));
  addTerminal(builder, run,
              bore(brackets.rear, rope.rear_bracket_mm, middle + rope.pitch_mm / 2,
                   rope.rear_bore_z_mm, rearBracketSlope(builder, rope)));
}

}  // namespace leafstack
