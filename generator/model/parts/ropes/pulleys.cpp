#include "generator/model/parts/ropes/pulleys.h"

#include <array>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/bolts.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/terminal.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Groove by the rope maker's rule: radius 0.53 to 0.55 of the rope, throat 35 to 45 degrees.
constexpr double kGrooveRadiusPerRope = 0.54;
constexpr double kHalfThroatDeg = 20;
constexpr double kScrewsApartMm = 1;  // between the ends of a pin's two screws

double radians(double degrees) {
  return degrees * std::numbers::pi / 180;
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

TopoDS_Shape pinSolid(const HardwareSpec& shelf, const PulleyCradle& cradle) {
  return prism(Plane::kXY, Outline::circle({0, 0}, shelf.pulley.bolt_mm / 2),
               {Outline::circle({0, 0}, kTapPerThread * shelf.pulley.pin_screw_mm / 2)},
               {-cradle.cheek_low_mm, cradle.cheek_low_mm});
}

/// Where the cone of the pin's screws is `radius` wide, below the cheek's outer side.
double sunkDepthMm(const HardwareSpec& shelf, double radius) {
  return kSunkHeadPerThread * shelf.pulley.pin_screw_mm / 2 - radius;
}

TopoDS_Shape cheekSolid(const HardwareSpec& shelf, const PulleyCradle& c) {
  const double y = -c.rail_half_mm;
  const Outline plan = Outline::polygon({{-c.tongue_half_mm, y},
                                         {c.tongue_half_mm, y},
                                         {c.tongue_half_mm, c.tongue_from_mm},
                                         {c.rim_mm, c.tongue_from_mm},
                                         {c.rim_mm, c.front_mm},
                                         {-c.rim_mm, c.front_mm},
                                         {-c.rim_mm, c.tongue_from_mm},
                                         {-c.tongue_half_mm, c.tongue_from_mm}});
  const double hole = (shelf.pulley.pin_screw_mm + kSunkHoleOverThreadMm) / 2;
  const double head = kSunkHeadPerThread * shelf.pulley.pin_screw_mm / 2;
  const double high = c.cheek_high_mm;
  constexpr double kBeyondMm = 1;  // past the plate, so that no skin is left
  const Outline drill = Outline::polygon({{0, c.cheek_low_mm - kBeyondMm},
                                          {hole, c.cheek_low_mm - kBeyondMm},
                                          {hole, high - sunkDepthMm(shelf, hole)},
                                          {head + kBeyondMm, high + kBeyondMm},
                                          {0, high + kBeyondMm}});
  return cut(prism(Plane::kXY, plan, {c.cheek_low_mm, high}), {revolution(Plane::kXY, drill)});
}

/// Upright on the rail's side; its origin the pulley's axis and mid-plane.
TopoDS_Shape flangeSolid(const HardwareSpec& shelf, const PulleyCradle& c) {
  const double hole = boltSize(shelf.pulley.screw_mm).hole_mm / 2;
  return prism(Plane::kXZ,
               Outline::rectangle({-c.flange_half_mm, c.cheek_high_mm},
                                  {c.flange_half_mm, c.flange_high_mm}),
               {Outline::circle({-c.screw_x_mm, c.screw_up_mm}, hole),
                Outline::circle({c.screw_x_mm, c.screw_up_mm}, hole)},
               {c.rail_half_mm, c.front_mm});
}

TopoDS_Shape coverSolid(const PulleyCradle& c) {
  const double from = radians(c.mouth_deg), to = radians(c.root_deg), middle = (from + to) / 2;
  const auto at = [](double radius, double turn) {
    return Point2{radius * std::cos(turn), radius * std::sin(turn)};
  };
  Outline strip(at(c.cover_outer_mm, from));
  strip.arc(at(c.cover_outer_mm, middle), at(c.cover_outer_mm, to));
  strip.line(at(c.cover_inner_mm, to));
  strip.arc(at(c.cover_inner_mm, middle), at(c.cover_inner_mm, from)).close();
  return prism(Plane::kXY, strip, {-c.cheek_low_mm, c.cheek_low_mm});
}

/// Z 0 at the outer side of its cheek, flush with its head; the thread as thick as its hole.
TopoDS_Shape pinScrewSolid(const HardwareSpec& shelf, double length) {
  const double shank = shelf.pulley.pin_screw_mm / 2;
  const double core = kTapPerThread * shank;
  const double head = kSunkHeadPerThread * shank;
  const double cheek = shelf.pulley.cheek_mm;
  return revolution(Plane::kXY, Outline::polygon({{0, -length},
                                                  {core, -length},
                                                  {core, -cheek},
                                                  {shank, -cheek},
                                                  {shank, -sunkDepthMm(shelf, shank)},
                                                  {head, 0},
                                                  {0, 0}}));
}

/// Y 0 at the flange's outer side, its head beyond; the thread as thick as its hole.
TopoDS_Shape railScrewSolid(const HardwareSpec& shelf, double length) {
  const BoltSize& size = boltSize(shelf.pulley.screw_mm);
  const double shank = shelf.pulley.screw_mm / 2;
  const double core = size.form_mm / 2;
  const double head = size.across_mm / 2;
  const double flange = shelf.pulley.cheek_mm;
  return revolution(Plane::kXZ, Outline::polygon({{0, -length},
                                                  {core, -length},
                                                  {core, -flange},
                                                  {shank, -flange},
                                                  {shank, 0},
                                                  {head, 0},
                                                  {head, size.head_mm},
                                                  {0, size.head_mm}}));
}

struct CradleParts {
  int pulley = 0, pin = 0, cheek = 0, flange = 0, cover = 0, pin_screw = 0, rail_screw = 0;
};

int cheekPart(ModelBuilder& builder, const PulleyCradle& c) {
  const HardwareSpec& shelf = builder.hardware();
  const double hole = shelf.pulley.pin_screw_mm + kSunkHoleOverThreadMm;
  const double wide = 2 * c.rim_mm;
  const double deep = c.rail_half_mm + c.front_mm;
  return builder.part(
      {PartKind::kPulleyCheek,
       "plate " + sizes({wide, deep, shelf.pulley.cheek_mm}),
       wide,
       {},
       {sizes({2 * c.tongue_half_mm, c.rail_half_mm + c.tongue_from_mm}) + " tongue at one edge",
        "hole dia " + shown(hole) + " in line with the pulley's axis, " + shown(c.front_mm) +
            " from the other edge, countersunk 90 degrees to dia " +
            shown(kSunkHeadPerThread * shelf.pulley.pin_screw_mm) + " on one side"}},
      {c.rim_mm, c.tongue_half_mm, c.tongue_from_mm, c.rail_half_mm},
      [=] { return cheekSolid(shelf, c); });
}

int flangePart(ModelBuilder& builder, const PulleyCradle& c) {
  const HardwareSpec& shelf = builder.hardware();
  const double wide = 2 * c.flange_half_mm;
  return builder.part(
      {PartKind::kPulleyFlange,
       "plate " + sizes({wide, c.flange_high_mm - c.cheek_high_mm, shelf.pulley.cheek_mm}),
       wide,
       {},
       {"two holes dia " + shown(boltSize(shelf.pulley.screw_mm).hole_mm) + ", " +
        shown(2 * c.screw_x_mm) + " apart, " + shown(c.screw_up_mm - c.cheek_high_mm) +
        " from the edge that is welded to a cheek"}},
      {c.flange_half_mm, c.cheek_high_mm, c.flange_high_mm, c.rail_half_mm, c.screw_x_mm,
       c.screw_up_mm},
      [=] { return flangeSolid(shelf, c); });
}

CradleParts cradleParts(ModelBuilder& builder, const RopeLayout& rope, const PulleyCradle& c,
                        double rail_wall_mm) {
  const HardwareSpec& shelf = builder.hardware();
  const PulleyHardware& pulley = shelf.pulley;
  const double rope_mm = builder.spec().ropes.diameter_mm;
  CradleParts parts;
  parts.pulley = builder.part(PartSpec{PartKind::kPulley,
                                       "pitch dia " + shown(rope.pitch_mm) + ", outside " +
                                           shown(2 * c.rim_mm) + ", for rope " + shown(rope_mm),
                                       2 * c.rim_mm}
                                  .given({rope_mm}),
                              {rope.pitch_mm, c.rim_mm},
                              [=] { return pulleySolid(shelf, rope.pitch_mm, rope_mm, c.rim_mm); });
  parts.pin = builder.part({PartKind::kPulleyPin,
                            "round " + shown(pulley.bolt_mm),
                            c.pinLengthMm(),
                            {},
                            {"tapped M" + shown(pulley.pin_screw_mm) + " through"}},
                           {}, [=] { return pinSolid(shelf, c); });
  parts.cheek = cheekPart(builder, c);
  parts.flange = flangePart(builder, c);
  const double deg[] = {c.mouth_deg, c.root_deg};
  parts.cover = builder.part({PartKind::kPulleyCover,
                              "flat " + sizes({c.pinLengthMm(), pulley.cover_mm}) +
                                  " bent to radius " + shown(c.cover_inner_mm) + " inside",
                              c.coverLengthMm()},
                             {c.cover_inner_mm, deg[0], deg[1]}, [=] { return coverSolid(c); });
  const double in_pin = std::floor(pulley.cheek_mm + (c.pinLengthMm() - kScrewsApartMm) / 2);
  parts.pin_screw = builder.part(
      {PartKind::kPulleyScrew,
       "countersunk M" + shown(pulley.pin_screw_mm) + ", hexagon socket, locked in the pin",
       in_pin},
      {0, in_pin}, [=] { return pinScrewSolid(shelf, in_pin); });
  const double in_rail = pulley.cheek_mm + hw::kThreadWalls * rail_wall_mm;
  parts.rail_screw =
      builder.part({PartKind::kPulleyScrew, "hexagon M" + shown(pulley.screw_mm), in_rail},
                   {1, in_rail}, [=] { return railScrewSolid(shelf, in_rail); });
  return parts;
}

/// Places parts in a cradle's frame (cradle.h) as it stands in its rail.
class CradlePlace {
 public:
  CradlePlace(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope, bool opening)
      : builder_(builder), panel_(panel), opening_(opening) {
    const double inset = builder.layout().pulley_inset_mm;
    const double along = opening ? panel.length_mm - inset : inset;
    centre_ = panel.at(along, panel.depth_mm / 2, rope.heightOfMm(opening));
    out_ = comesOutInFront(builder.hardware(), opening) ? -1 : 1;
  }

  double inboard() const { return opening_ ? -1 : 1; }
  double out() const { return out_; }
  double flange() const { return opening_ ? -1 : 1; }

  /// What is alike to either side in X: Y and Z turned as said.
  int even(int part, double y, double z, const Point3& local = {}) const {
    const TurnedOver turn = y > 0 ? (z > 0 ? TurnedOver::kNot : TurnedOver::kAboutAcross)
                                  : (z > 0 ? TurnedOver::kAboutUp : TurnedOver::kAboutAlong);
    return place(part, local, turn);
  }
  /// What is alike to either side in Z: X and Y turned as said.
  int flat(int part, double x, double y) const {
    const TurnedOver turn = x > 0 ? (y > 0 ? TurnedOver::kNot : TurnedOver::kAboutAlong)
                                  : (y > 0 ? TurnedOver::kAboutAcross : TurnedOver::kAboutUp);
    return place(part, {}, turn);
  }

 private:
  /// `local`: along the rail, across and square to it from the pulley's middle.
  int place(int part, const Point3& local, TurnedOver turn) const {
    const Slope& slope = panel_.slope;
    const Point3 at = {centre_[0] + local[0] * slope.cosine - local[2] * slope.sine,
                       centre_[1] + local[1],
                       centre_[2] + local[0] * slope.sine + local[2] * slope.cosine};
    return builder_.placeTurned(part, panel_.number, at, slope, turn);
  }

  ModelBuilder& builder_;
  const PanelFrame& panel_;
  bool opening_ = false;
  double out_ = 1;
  Point3 centre_{};
};

/// Both cheeks with their screws in the pin, and the covers between them; returns the cheek that
/// the flange is welded to.
int addCheeks(ModelBuilder& builder, const CradlePlace& place, const CradleParts& parts,
              const PulleyCradle& c, int pin) {
  const int covers[] = {place.flat(parts.cover, place.inboard(), place.out()),
                        place.flat(parts.cover, place.inboard(), -place.out())};
  int welded = 0;
  for (const double side : {place.flange(), -place.flange()}) {
    const bool is_welded = side == place.flange();
    const int cheek = place.even(parts.cheek, place.out(), side);
    welded = is_welded ? cheek : welded;
    const int screw = place.even(parts.pin_screw, 1, side, {0, 0, side * c.cheek_high_mm});
    builder.contact(cheek, pin, ContactKind::kBolted, "the cheek is screwed to the pulley's pin");
    builder.contact(screw, cheek, ContactKind::kBolted, "the screw's head is sunk in the cheek");
    builder.contact(screw, pin, ContactKind::kBolted, "the screw's thread is in the pin");
    for (const int cover : covers) {
      builder.contact(
          cover, cheek, is_welded ? ContactKind::kWelded : ContactKind::kBolted,
          is_welded ? "the cover is welded to the cheek" : "the loose cheek lies on the cover");
    }
  }
  return welded;
}

void addFlange(ModelBuilder& builder, const CradlePlace& place, const CradleParts& parts,
               const PulleyCradle& c, const std::array<int, 2>& cheek_and_rail) {
  const auto [cheek, rail] = cheek_and_rail;
  const int flange = place.even(parts.flange, place.out(), place.flange());
  builder.contact(flange, cheek, ContactKind::kWelded, "the flange is welded to its cheek");
  builder.contact(flange, rail, ContactKind::kBolted,
                  "the cradle's flange is screwed to the rail's side");
  for (const double x : {-c.screw_x_mm, c.screw_x_mm}) {
    const int screw = place.even(parts.rail_screw, place.out(), 1,
                                 {x, place.out() * c.front_mm, place.flange() * c.screw_up_mm});
    builder.contact(screw, flange, ContactKind::kBolted, "the screw holds the cradle");
    builder.contact(screw, rail, ContactKind::kBolted, "the screw's thread is in the rail's wall");
  }
}

}  // namespace

int addPulley(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope,
              bool opening) {
  const PulleyCradle cradle = cradleOf(builder.spec());
  const CradleParts parts = cradleParts(builder, rope, cradle, panel.bottom_rail_wall_mm);
  const CradlePlace place(builder, panel, rope, opening);
  const int pulley = place.even(parts.pulley, 1, 1);
  const int pin = place.even(parts.pin, 1, 1);
  builder.contact(pulley, pin, ContactKind::kBearing, "turns on its pin", 2 * hw::kPulleyBoreGapMm);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  addFlange(builder, place, parts, cradle, {addCheeks(builder, place, parts, cradle, pin), rail});
  return pulley;
}

double pulleyGrooveRadiusMm(const GateSpec& spec) {
  return kGrooveRadiusPerRope * spec.ropes.diameter_mm;
}

}  // namespace leafstack
