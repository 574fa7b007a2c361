// The flat fronts of a panel's members, and where what lies on them is screwed.
#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/sections.h"
#include "generator/model/builder.h"
#include "generator/model/parts/shared.h"

namespace leafstack {
namespace {

Polygon turnedUp(const Polygon& polygon) {
  Polygon result;
  for (const Point2& p : polygon) {
    result.push_back({p.b, p.a});
  }
  return result;
}

}  // namespace

Polygon rightOf(const Polygon& polygon, double x) {
  return turnedUp(clipped(turnedUp(polygon), {0, x}, 0, /*above=*/true));
}

Polygon MemberFace::sharedWith(const Polygon& strip) const {
  Polygon shared = clipped(strip, low, low_grade, /*above=*/true);
  shared = clipped(shared, high, high_grade, /*above=*/false);
  shared = rightOf(shared, from_x);
  return turnedUp(clipped(turnedUp(shared), {0, to_x}, 0, /*above=*/false));
}

std::vector<MemberFace> facesOf(const ModelBuilder& builder, const PanelFrame& panel) {
  const GateSpec& spec = builder.spec();
  const double x0 = panel.origin_mm[0];
  const double x1 = x0 + panel.frame_length_mm;
  std::vector<MemberFace> faces;
  const auto addRail = [&](PartKind kind, const HollowSection& section, double low_z, double high_z,
                           const Slope& slope) {
    const double off = cornerRadii(section).outer_mm / slope.cosine;
    faces.push_back({builder.instancesOf(kind, panel.number).front(),
                     x0,
                     x1,
                     {x0, low_z + off},
                     {x0, high_z - off},
                     slope.grade,
                     slope.grade,
                     section.wall_mm});
  };
  addRail(PartKind::kBottomRail, spec.gate.bottom_rail, panel.undersideZ(x0), panel.railTopZ(x0),
          panel.slope);
  addRail(PartKind::kTopRail, spec.gate.top_rail, panel.underTopZ(x0), panel.topZ(x0),
          panel.topSlope());
  const HollowSection& stile = spec.gate.stile;
  const double off = cornerRadii(stile).outer_mm;
  std::vector<double> starts = {0, panel.frame_length_mm - stile.height_mm};  // as they are placed
  const std::vector<Bay> bays = baysOf(builder, panel);
  for (std::size_t bay = 1; bay < bays.size(); ++bay) {
    starts.push_back(bays[bay].from_mm - stile.height_mm);
  }
  const std::vector<int> stiles = builder.instancesOf(PartKind::kStile, panel.number);
  for (std::size_t i = 0; i < starts.size(); ++i) {
    const double x = x0 + starts[i];
    faces.push_back({stiles.at(i),
                     x + off,
                     x + stile.height_mm - off,
                     {x, panel.railTopZ(x)},
                     {x, panel.underTopZ(x)},
                     panel.slope.grade,
                     panel.top_grade,
                     stile.wall_mm});
  }
  return faces;
}

namespace {

/// Middle and width of a region where a line across it goes through, if it does.
std::optional<Point2> acrossAt(const Polygon& region, double at, bool along_x) {
  double low = 0, high = 0;
  bool is_first = true;
  for (std::size_t i = 0; i < region.size(); ++i) {
    Point2 p = region[i], q = region[(i + 1) % region.size()];
    if (!along_x) {
      std::swap(p.a, p.b);
      std::swap(q.a, q.b);
    }
    if ((p.a > at) != (q.a > at)) {
      const double z = p.b + (at - p.a) / (q.a - p.a) * (q.b - p.b);
      low = is_first ? z : std::min(low, z);
      high = is_first ? z : std::max(high, z);
      is_first = false;
    }
  }
  return is_first ? std::nullopt : std::optional<Point2>({(low + high) / 2, high - low});
}

constexpr double kLeastAcrossMm = 12;  // a screw's head and its play on the flat of a tube

/// The same place, or above what it would meet.
std::optional<Point2> movedUp(Point2 at, const Polygon& region, const std::vector<KeptFree>& free) {
  for (const KeptFree& one : free) {
    const double beside = at.a - one.middle.a;
    const double squared = one.radius_mm * one.radius_mm - beside * beside;
    const double up = squared > 0 ? std::sqrt(squared) : 0;
    if (squared > 0 && std::abs(at.b - one.middle.b) < up) {
      at.b = one.middle.b + up;
    }
  }
  const auto there = acrossAt(region, at.a, /*along_x=*/true);
  const bool has_room =
      there && std::abs(at.b - there->a) <= (there->b - kLeastAcrossMm) / 2 + kLengthEqualMm;
  return has_room ? std::optional(at) : std::nullopt;
}

}  // namespace

std::vector<Point2> screwsIn(const Polygon& region, const std::vector<KeptFree>& free) {
  constexpr double kOneBelowMm = 60, kOffEndMm = 40, kApartMm = 400;  // common practice, no source
  std::vector<Point2> places;
  if (region.size() < 3) {
    return places;
  }
  const Field field = extentOf(region);
  const bool along_x = field.width() >= field.height();
  const double from = along_x ? field.x0 : field.z0;
  const double length = std::max(field.width(), field.height());
  const double inset = std::min(length / 4, kOffEndMm);
  const int count =
      length < kOneBelowMm ? 1 : 2 + static_cast<int>((length - 2 * inset) / kApartMm);
  for (int i = 0; i < count; ++i) {
    const double at =
        count == 1 ? from + length / 2 : from + inset + (length - 2 * inset) * i / (count - 1);
    const auto across = acrossAt(region, at, along_x);
    if (!across || across->b < kLeastAcrossMm) {
      continue;
    }
    const Point2 place = along_x ? Point2{at, across->a} : Point2{across->a, at};
    if (const auto moved = free.empty() ? place : movedUp(place, region, free)) {
      places.push_back(*moved);
    }
  }
  return places;
}

}  // namespace leafstack
