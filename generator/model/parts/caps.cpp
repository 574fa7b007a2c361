// Caps in the open ends of tubes, pressed in when all else is coated.
#include <algorithm>

#include "generator/layout/figures/sections.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

// All common practice, no source: off the walls (ribs hold it there), its thickness, and how far
// inside the end it sits, so that nothing stands out of the tube.
constexpr double kOffWallMm = 0.5, kThickMm = 4, kInsideMm = 1;

int capPart(ModelBuilder& builder, const HollowSection& tube, Plane along) {
  // A tube stands or lies as its section is laid: across a plane's first and second axis.
  const bool lies = along == Plane::kYZ;
  const double a = lies ? tube.depth_mm : tube.height_mm;
  const double b = lies ? tube.height_mm : tube.depth_mm;
  const double off = tube.wall_mm + kOffWallMm;
  // Thick walls leave an inside that is nearly round.
  constexpr double kLeastFlatMm = 1;
  const double round =
      std::min(cornerRadii(tube).inner_mm, (std::min(a, b) - kLeastFlatMm) / 2 - off);
  return builder.part(
      {PartKind::kTubeCap,
       "for " + tube.designation + ", " +
           sizes({tube.height_mm - 2 * tube.wall_mm, tube.depth_mm - 2 * tube.wall_mm}) +
           " inside, flush",
       std::max(a, b) - 2 * off},
      {a, b, off, round, static_cast<double>(along)}, [=] {
        const Point2 low{off, off}, high{a - off, b - off};
        return prism(
            along,
            round > 0 ? Outline::roundedRectangle(low, high, round) : Outline::rectangle(low, high),
            {0, kThickMm});
      });
}

}  // namespace

void addCap(ModelBuilder& builder, int tube, const HollowSection& section, const CapPlace& place) {
  const int part = capPart(builder, section, place.along);
  const double at = place.end_mm + (place.is_far ? -kInsideMm - kThickMm : kInsideMm);
  Point3 corner = place.corner_mm;
  switch (place.along) {
    case Plane::kXY:
      corner[2] += at;
      break;
    case Plane::kXZ:
      corner[1] += at;
      break;
    case Plane::kYZ:
      corner[0] += at * place.slope.cosine;
      corner[2] += at * place.slope.sine;
      break;
  }
  const int cap = builder.place(part, builder.instance(tube).panel, corner, place.slope);
  builder.contact(cap, tube, ContactKind::kBolted, "the cap is pressed into its tube's end",
                  2 * kOffWallMm);
}

void addCaps(ModelBuilder& builder, int rail, const HollowSection& section, const Point3& corner,
             const RailEnds& rail_ends) {
  const double lean = rail_ends.slope.grade * section.height_mm;  // of its plumb ends
  if (rail_ends.has_start) {
    addCap(builder, rail, section,
           {corner, Plane::kYZ, std::max(0.0, lean), /*is_far=*/false, rail_ends.slope});
  }
  if (rail_ends.has_end) {
    addCap(builder, rail, section,
           {corner, Plane::kYZ, rail_ends.length_mm + std::min(0.0, lean), /*is_far=*/true,
            rail_ends.slope});
  }
}

}  // namespace leafstack
