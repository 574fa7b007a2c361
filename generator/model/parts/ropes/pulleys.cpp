#include "generator/model/parts/ropes/pulleys.h"

#include <array>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/terminal.h"
#include "generator/model/parts/fasteners.h"
#include "generator/occt/solids/bored.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kHeldPerThread =
    0.8;  // of a thread in its pin, at least. Common practice, no source
constexpr double kScrewsApartMm = 1;  // between the ends of a pin's two screws

double radians(double degrees) {
  return degrees * std::numbers::pi / 180;
}

/// Rope and radii that a pulley is turned to.
struct PulleyRadii {
  double pitch_mm = 0, rim_mm = 0, groove_mm = 0;
};

TopoDS_Shape pulleySolid(const HardwareSpec& shelf, double rope, const PulleyRadii& radii) {
  const double rim = radii.rim_mm;
  const double groove = radii.groove_mm;
  const double half_throat = radians(shelf.pulley.throat_deg / 2);
  const double half = shelf.pulley.thickness_mm / 2;
  const double bore = shelf.pulley.bolt_mm / 2 + hw::kPulleyBoreGapMm;
  const double bottom = radii.pitch_mm - rope / 2;
  const double turn = radians(90) - half_throat;
  const Point2 flank{bottom + groove - groove * std::cos(turn), groove * std::sin(turn)};
  const double at_rim = flank.b + (rim - flank.a) * std::tan(half_throat);
  Outline outline({bore, -half});
  outline.line({rim, -half}).line({rim, -at_rim}).line({flank.a, -flank.b});
  outline.arc({bottom, 0}, flank);
  outline.line({rim, at_rim}).line({rim, half}).line({bore, half}).close();
  return revolution(Plane::kXY, outline);
}

TopoDS_Shape pinSolid(const HardwareSpec& shelf, const PulleyCradle& cradle) {
  const SunkScrew screw{shelf.pulley.pin_screw_mm};
  return prism(Plane::kXY, Outline::circle({0, 0}, shelf.pulley.bolt_mm / 2),
               {Outline::circle({0, 0}, screw.tapRadiusMm())},
               {-cradle.cheek_low_mm, cradle.cheek_low_mm});
}

TopoDS_Shape cheekSolid(const SunkScrew& screw, const PulleyCradle& c) {
  const Outline plan = Outline::polygon({{-c.tongue_half_mm, -c.rail_half_mm},
                                         {c.tongue_half_mm, -c.rail_half_mm},
                                         {c.tongue_half_mm, c.tongue_from_mm},
                                         {c.rim_mm, c.tongue_from_mm},
                                         {c.rim_mm, c.rail_half_mm},
                                         {-c.rim_mm, c.rail_half_mm},
                                         {-c.rim_mm, c.tongue_from_mm},
                                         {-c.tongue_half_mm, c.tongue_from_mm}});
  return bored(prism(Plane::kXY, plan, {c.cheek_low_mm, c.cheek_high_mm}),
               {{.from_mm = {0, 0, c.cheek_high_mm},
                 .into = {0, 0, -1},
                 .radius_mm = screw.holeRadiusMm(),
                 .deep_mm = c.cheek_high_mm - c.cheek_low_mm,
                 .sink_mm = screw.sinkMm()}});
}

/// Upright on the rail's side; its origin the pulley's axis and mid-plane.
TopoDS_Shape flangeSolid(const SunkScrew& screw, const PulleyCradle& c) {
  const double half = c.flange_half_height_mm;
  std::vector<RoundHole> holes;
  for (const double up : {-c.screw_up_mm, c.screw_up_mm}) {
    holes.push_back({.from_mm = {c.screw_x_mm, c.front_mm, up},
                     .into = {0, -1, 0},
                     .radius_mm = screw.holeRadiusMm(),
                     .deep_mm = c.front_mm - c.rail_half_mm,
                     .sink_mm = screw.sinkMm()});
  }
  return bored(box({c.flange_from_mm, c.rail_half_mm, -half}, {c.flange_to_mm, c.front_mm, half}),
               holes);
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

/// Along `axis` 0 at the outer side of its plate, flush with its head; the thread, past the plate,
/// as thick as its hole.
struct SunkScrewLengths {
  double core_mm = 0, plate_mm = 0, length_mm = 0;
};

TopoDS_Shape screwSolid(Plane axis, const SunkScrew& screw, const SunkScrewLengths& lengths) {
  const double shank = screw.thread_mm / 2;
  const double head = screw.headRadiusMm();
  return revolution(axis, Outline::polygon({{0, -lengths.length_mm},
                                            {lengths.core_mm, -lengths.length_mm},
                                            {lengths.core_mm, -lengths.plate_mm},
                                            {shank, -lengths.plate_mm},
                                            {shank, shank - head},
                                            {head, 0},
                                            {0, 0}}));
}

struct CradleParts {
  int pulley = 0, pin = 0, cheek = 0, flange = 0, cover = 0, pin_screw = 0, rail_screw = 0;
  ScrewSizes pin_sizes, rail_sizes;
};

std::string sunkWords(const SunkScrew& screw) {
  return "dia " + shown(2 * screw.holeRadiusMm()) + " countersunk 90 degrees to dia " +
         shown(2 * screw.sinkRadiusMm());
}

int cheekPart(ModelBuilder& builder, const PulleyCradle& c) {
  const HardwareSpec& shelf = builder.hardware();
  const SunkScrew screw{shelf.pulley.pin_screw_mm, builder.spec().shop.coatMm()};
  const double wide = 2 * c.rim_mm;
  return builder.part({PartKind::kPulleyCheek,
                       "plate " + sizes({wide, 2 * c.rail_half_mm, shelf.pulley.cheek_mm}),
                       wide,
                       {},
                       {"one edge stepped to a tongue " +
                            sizes({2 * c.tongue_half_mm, c.rail_half_mm + c.tongue_from_mm}),
                        "hole " + sunkWords(screw) + " in the middle"}},
                      {c.rim_mm, c.tongue_half_mm, c.tongue_from_mm, c.rail_half_mm, screw.coat_mm},
                      [=] { return cheekSolid(screw, c); });
}

int flangePart(ModelBuilder& builder, const PulleyCradle& c) {
  const HardwareSpec& shelf = builder.hardware();
  const SunkScrew screw{shelf.pulley.screw_mm, builder.spec().shop.coatMm()};
  const double wide = c.flange_to_mm - c.flange_from_mm;
  const double high = 2 * c.flange_half_height_mm;
  return builder.part(
      {PartKind::kPulleyFlange,
       "plate " + sizes({high, wide, shelf.pulley.cheek_mm}),
       high,
       {},
       {"two holes " + sunkWords(screw) + ", " + shown(2 * c.screw_up_mm) + " apart, " +
        shown(c.flange_to_mm - c.screw_x_mm) + " from one edge; the other is welded to a cheek"}},
      {c.flange_from_mm, c.flange_to_mm, c.flange_half_height_mm, c.rail_half_mm, c.screw_x_mm,
       c.screw_up_mm, screw.coat_mm},
      [=] { return flangeSolid(screw, c); });
}

int screwPart(ModelBuilder& builder, Plane axis, double thread_mm, double core_mm,
              double length_mm) {
  const SunkScrewLengths lengths{core_mm, builder.hardware().pulley.cheek_mm, length_mm};
  return builder.part({PartKind::kPulleyScrew, sunkScrewWords(thread_mm, length_mm), length_mm},
                      {thread_mm, core_mm, length_mm},
                      [=] { return screwSolid(axis, {thread_mm}, lengths); });
}

CradleParts cradleParts(ModelBuilder& builder, const RopeLayout& rope, const PulleyCradle& c,
                        double rail_wall_mm) {
  const HardwareSpec& shelf = builder.hardware();
  const PulleyHardware& pulley = shelf.pulley;
  const double rope_mm = builder.spec().ropes.diameter_mm;
  CradleParts parts;
  const PulleyRadii radii{rope.pitch_mm / 2, c.rim_mm, pulleyGrooveRadiusMm(builder.spec())};
  parts.pulley = builder.part(PartSpec{PartKind::kPulley,
                                       "pitch dia " + shown(rope.pitch_mm) + ", outside " +
                                           shown(2 * c.rim_mm) + ", for rope " + shown(rope_mm),
                                       2 * c.rim_mm}
                                  .given({rope_mm}),
                              {rope.pitch_mm, c.rim_mm, radii.groove_mm},
                              [=] { return pulleySolid(shelf, rope_mm, radii); });
  parts.pin = builder.part({PartKind::kPulleyPin,
                            "round " + shown(pulley.bolt_mm),
                            c.pinLengthMm(),
                            {},
                            {"tapped M" + shown(pulley.pin_screw_mm) + " through"}},
                           {}, [=] { return pinSolid(shelf, c); });
  parts.cheek = cheekPart(builder, c);
  parts.flange = flangePart(builder, c);
  const double deg[] = {c.mouth_deg, c.root_deg};
  parts.cover =
      builder.part({PartKind::kPulleyCover,
                    "strip " + sizes({c.pinLengthMm(), pulley.cover_mm}) +
                        " of sheet, bent to radius " + shown(c.cover_inner_mm) + " inside",
                    c.coverLengthMm()},
                   {c.cover_inner_mm, deg[0], deg[1]}, [=] { return coverSolid(c); });
  const SunkScrew in_pin{pulley.pin_screw_mm}, in_rail{pulley.screw_mm};
  const double most = pulley.cheek_mm + (c.pinLengthMm() - kScrewsApartMm) / 2;
  double long_mm = screwNoLonger_mm(most);
  if (long_mm - pulley.cheek_mm < kHeldPerThread * in_pin.thread_mm || long_mm > most) {
    long_mm = std::floor(most);  // cut from a longer one
  }
  parts.pin_sizes = {ScrewKind::kCountersunk, in_pin.thread_mm, long_mm, pulley.cheek_mm,
                     /*is_tapped=*/true};
  parts.rail_sizes = {ScrewKind::kCountersunk, in_rail.thread_mm,
                      screwNoShorter_mm(pulley.cheek_mm + hw::kThreadWalls * rail_wall_mm),
                      pulley.cheek_mm};
  parts.pin_screw = screwPart(builder, Plane::kXY, in_pin.thread_mm, in_pin.tapRadiusMm(),
                              parts.pin_sizes.length_mm);
  parts.rail_screw = screwPart(builder, Plane::kXZ, in_rail.thread_mm, in_rail.formRadiusMm(),
                               parts.rail_sizes.length_mm);
  return parts;
}

/// Places parts in a cradle's frame (cradle.h) as it stands in its rail.
class CradlePlace {
 public:
  CradlePlace(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope, bool opening)
      : builder_(builder), panel_(panel) {
    const double inset = builder.layout().pulley_inset_mm;
    const double along = opening ? panel.length_mm - inset : inset;
    centre_ = panel.at(along, panel.depth_mm / 2, rope.heightOfMm(opening));
    inboard_ = opening ? -1 : 1;
    out_ = comesOutInFront(builder.hardware(), opening) ? -1 : 1;
  }

  /// `part`, drawn in the cradle's frame, its origin at `local` there.
  int place(int part, const Point3& local = {}) const { return turned(part, {1, 1}, local); }
  /// The same to the other side across, for what is alike above and below.
  int placeAcross(int part) const { return turned(part, {1, -1}, {}); }
  /// The same upside down, for what is alike inboard and outboard.
  int placeBelow(int part, const Point3& local = {}) const { return turned(part, {-1, 1}, local); }

 private:
  /// Signs of X and Y; Z follows, as no turn reflects.
  int turned(int part, const std::array<double, 2>& signs, const Point3& local) const {
    const double x = signs[0] * inboard_;
    const double y = signs[1] * out_;
    const TurnedOver turn = x > 0 ? (y > 0 ? TurnedOver::kNot : TurnedOver::kAboutAlong)
                                  : (y > 0 ? TurnedOver::kAboutAcross : TurnedOver::kAboutUp);
    const double along = inboard_ * local[0];
    const double up = inboard_ * out_ * local[2];
    const Slope& slope = panel_.slope;
    return builder_.placeTurned(
        part, panel_.number,
        {centre_[0] + along * slope.cosine - up * slope.sine, centre_[1] + out_ * local[1],
         centre_[2] + along * slope.sine + up * slope.cosine},
        slope, turn);
  }

  ModelBuilder& builder_;
  const PanelFrame& panel_;
  Point3 centre_{};
  double inboard_ = 1, out_ = 1;
};

/// Both cheeks with their screws in the pin, the covers between them, the flange before them. One
/// cheek is welded to flange and covers, the other is screwed on.
void addCradle(ModelBuilder& builder, const CradlePlace& place, const CradleParts& parts,
               const PulleyCradle& c, const std::array<int, 2>& pin_and_rail) {
  const auto [pin, rail] = pin_and_rail;
  const double coat = builder.spec().shop.coatMm();  // on the cones that heads are sunk in
  const int covers[] = {place.place(parts.cover), place.placeAcross(parts.cover)};
  const int flange = place.place(parts.flange);
  for (const bool is_welded : {true, false}) {
    const double high = c.cheek_high_mm;
    const int cheek = is_welded ? place.place(parts.cheek) : place.placeBelow(parts.cheek);
    const int screw = is_welded ? place.place(parts.pin_screw, {0, 0, high})
                                : place.placeBelow(parts.pin_screw, {0, 0, -high});
    builder.contact(cheek, pin, ContactKind::kBolted, "the cheek is screwed to the pulley's pin");
    builder.contact(screw, cheek, ContactKind::kBolted, "the screw's head is sunk in the cheek",
                    coat);
    builder.contact(screw, pin, ContactKind::kBolted, "the screw's thread is in the pin");
    noteScrew(builder, screw, {0, 0, 1}, parts.pin_sizes,
              {cheek, pin, "the cheek is screwed to the pulley's pin"});
    const ContactKind held = is_welded ? ContactKind::kWelded : ContactKind::kBolted;
    builder.contact(flange, cheek, held,
                    is_welded ? "the flange is welded to the cheek"
                              : "the loose cheek lies against the flange");
    for (const int cover : covers) {
      builder.contact(
          cover, cheek, held,
          is_welded ? "the cover is welded to the cheek" : "the loose cheek lies on the cover");
    }
  }
  builder.contact(flange, rail, ContactKind::kBolted,
                  "the cradle's flange is screwed to the rail's side");
  for (const double up : {-c.screw_up_mm, c.screw_up_mm}) {
    const int screw = place.place(parts.rail_screw, {c.screw_x_mm, c.front_mm, up});
    builder.contact(screw, flange, ContactKind::kBolted, "the screw holds the cradle", coat);
    builder.contact(screw, rail, ContactKind::kBolted, "the screw's thread is in the rail's wall");
    noteScrew(builder, screw, {0, 1, 0}, parts.rail_sizes,
              {flange, rail, "the cradle's flange is screwed to the rail's side"});
  }
}

}  // namespace

int addPulley(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope,
              bool opening) {
  const PulleyCradle cradle = cradleOf(builder.spec());
  const CradleParts parts = cradleParts(builder, rope, cradle, panel.bottom_rail_wall_mm);
  const CradlePlace place(builder, panel, rope, opening);
  const int pulley = place.place(parts.pulley);
  const int pin = place.place(parts.pin);
  builder.contact(pulley, pin, ContactKind::kBearing, "turns on its pin", 2 * hw::kPulleyBoreGapMm);
  const int rail = builder.instancesOf(PartKind::kBottomRail, panel.number).front();
  addCradle(builder, place, parts, cradle, {pin, rail});
  return pulley;
}

}  // namespace leafstack
