#include "generator/shop/flat/unfold.h"
#include "generator/geometry/numbers.h"

#include <BRepAdaptor_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Pln.hxx>
#include <numbers>

#include "generator/occt/checked.h"
#include "generator/occt/loops.h"

namespace leafstack {
namespace {

constexpr double kSameMm = 1e-6;
constexpr double kParallel = 1e-9;

using Corner = ProfileVertex;

double lengthOf(const Corner& p, const Corner& q) {
  return std::hypot(q.x_mm - p.x_mm, q.y_mm - p.y_mm);
}

/// Turn at `q` from p-q to q-r, anticlockwise positive, radians.
double turnAt(const Corner& p, const Corner& q, const Corner& r) {
  const double ax = q.x_mm - p.x_mm, ay = q.y_mm - p.y_mm;
  const double bx = r.x_mm - q.x_mm, by = r.y_mm - q.y_mm;
  return std::atan2(ax * by - ay * bx, ax * bx + ay * by);
}

/// One side of a thin section from end to end, the longer one, and the thickness.
struct Chain {
  std::vector<Corner> corners;
  double thickness_mm = 0;
};

/// The outline with every bend drawn as the corner that its flats would meet in.
std::vector<Corner> sharpened(const std::vector<Corner>& outline) {
  const std::size_t count = outline.size();
  std::vector<Corner> sharp;
  for (std::size_t i = 0; i < count; ++i) {
    const Corner& before = outline[(i + count - 1) % count];
    const Corner& p = outline[i];
    const Corner& q = outline[(i + 1) % count];
    const Corner& after = outline[(i + 2) % count];
    if (before.bulge != 0) {
      continue;  // ends a bend, whose corner stands for it
    }
    if (p.bulge == 0) {
      sharp.push_back(p);
      continue;
    }
    const double ax = p.x_mm - before.x_mm, ay = p.y_mm - before.y_mm;
    const double bx = q.x_mm - after.x_mm, by = q.y_mm - after.y_mm;
    const double t = ((q.x_mm - p.x_mm) * by - (q.y_mm - p.y_mm) * bx) / (ax * by - ay * bx);
    sharp.push_back({p.x_mm + t * ax, p.y_mm + t * ay, 0});
  }
  return sharp;
}

/// Splits the section's outline into its two sides. The ends are a pair of edges, half the corners
/// apart, both square to their neighbours and as long as the section is thick.
std::optional<Chain> chainOf(const std::vector<Corner>& outline) {
  const std::size_t count = outline.size();
  const auto at = [&](std::size_t i) { return outline[i % count]; };
  if (count < 6 || count % 2 != 0) {
    return std::nullopt;
  }
  for (std::size_t first = 0; first < count / 2; ++first) {
    const std::size_t second = first + count / 2;
    const double thickness = lengthOf(at(first), at(first + 1));
    bool fits = std::abs(lengthOf(at(second), at(second + 1)) - thickness) < kSameMm;
    for (std::size_t i = 1; i < count / 2 && fits; ++i) {
      // Edge i after the first end runs back beside edge i before it, one thickness away.
      const Corner& p = at(first + i);
      const Corner& q = at(first + i + 1);
      const Corner& back = at(first + count + 1 - i);
      const double length = lengthOf(p, q);
      const double across =
          ((q.x_mm - p.x_mm) * (back.y_mm - p.y_mm) - (q.y_mm - p.y_mm) * (back.x_mm - p.x_mm)) /
          length;
      fits = std::abs(std::abs(across) - thickness) < kSameMm;
    }
    const double square = std::numbers::pi / 2;
    for (std::size_t end : {first, second}) {
      fits = fits &&
             std::abs(turnAt(at(end + count - 1), at(end), at(end + 1)) - square) < kSameMm &&
             std::abs(turnAt(at(end), at(end + 1), at(end + 2)) - square) < kSameMm;
    }
    if (!fits) {
      continue;
    }
    Chain one{{}, thickness}, other{{}, thickness};
    double one_mm = 0, other_mm = 0;
    for (std::size_t i = 0; i < count / 2; ++i) {
      one.corners.push_back(at(first + 1 + i));
      other.corners.push_back(at(second + 1 + i));
      one_mm += i > 0 ? lengthOf(at(first + i), at(first + 1 + i)) : 0;
      other_mm += i > 0 ? lengthOf(at(second + i), at(second + 1 + i)) : 0;
    }
    return one_mm >= other_mm ? one : other;
  }
  return std::nullopt;
}

/// One flat of the section in the blank.
struct Flange {
  Corner from, to;      ///< outside, in the section's plane
  double start_mm = 0;  ///< in the blank, of where the flat begins
  double cut_mm = 0;    ///< outside length that the bend before it takes
  double flat_mm = 0;
};

/// A planar end of the part, square to its length, and the axes to see it in.
struct Section {
  TopoDS_Face face;
  gp_Ax2 axes;
  double length_mm = 0;
};

std::vector<std::pair<TopoDS_Face, gp_Pln>> planes(const TopoDS_Shape& solid) {
  std::vector<std::pair<TopoDS_Face, gp_Pln>> all;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    const BRepAdaptor_Surface surface(face, /*restriction=*/false);
    if (surface.GetType() == GeomAbs_Plane) {
      all.emplace_back(face, surface.Plane());
    }
  }
  return all;
}

/// The end with the most corners: the others are flats.
std::optional<Section> sectionOf(const TopoDS_Shape& solid) {
  std::optional<Section> section;
  std::size_t most = 4;
  for (const auto& [face, plane] : planes(solid)) {
    const gp_Ax2 axes(plane.Location(), plane.Axis().Direction());
    const std::vector<ProfileLoop> loops = loopsOf(face, axes);
    if (loops.size() == 1 && loops[0].vertices.size() > most) {
      most = loops[0].vertices.size();
      section = Section{face, axes, 0};
    }
  }
  if (!section) {
    return std::nullopt;
  }
  for (const auto& [face, plane] : planes(solid)) {
    const double along =
        gp_Vec(section->axes.Location(), plane.Location()).Dot(gp_Vec(section->axes.Direction()));
    const double facing = std::abs(plane.Axis().Direction().Dot(section->axes.Direction()));
    if (facing > 1 - kParallel && std::abs(along) > std::abs(section->length_mm)) {
      section->length_mm = along;
    }
  }
  return section;
}

/// Bends between the flats: angles, what they take off the outside lengths, where they lie.
class Unfolding {
 public:
  Unfolding(Chain chain, const BendRule& rule) : chain_(std::move(chain)), rule_(rule) {}

  /// False where a flat is too short for its bends.
  bool run(FlatProfile& blank, double length_mm) {
    const auto& c = chain_.corners;
    double x = 0;
    for (std::size_t i = 0; i + 1 < c.size(); ++i) {
      const double before = i > 0 ? setbackAt(i) : 0;
      const double after = i + 2 < c.size() ? setbackAt(i + 1) : 0;
      const double flat = lengthOf(c[i], c[i + 1]) - before - after;
      if (flat <= 0) {
        return false;
      }
      flanges_.push_back({c[i], c[i + 1], x, before, flat});
      x += flat;
      if (i + 2 < c.size()) {
        const double angle = std::abs(turnAt(c[i], c[i + 1], c[i + 2])) * kDegreesPerRadian;
        const double allowance = bendAllowanceMm(angle, chain_.thickness_mm, rule_);
        blank.bends.push_back(
            {x + allowance / 2, 0, length_mm, angle, rule_.radius_mm, isOutside(i + 1)});
        x += allowance;
      }
    }
    blank.thickness_mm = chain_.thickness_mm;
    blank.loops.push_back({{{0, 0}, {x, 0}, {x, length_mm}, {0, length_mm}}});
    return true;
  }

  const std::vector<Flange>& flanges() const { return flanges_; }

 private:
  /// The chain runs anticlockwise round the section: it turns left where it lies outside a bend.
  bool isOutside(std::size_t i) const {
    const auto& c = chain_.corners;
    return turnAt(c[i - 1], c[i], c[i + 1]) > 0;
  }
  double setbackAt(std::size_t i) const {
    const auto& c = chain_.corners;
    const double half = std::abs(turnAt(c[i - 1], c[i], c[i + 1])) / 2;
    return (rule_.radius_mm + (isOutside(i) ? chain_.thickness_mm : 0)) * std::tan(half);
  }

  Chain chain_;
  BendRule rule_;
  std::vector<Flange> flanges_;
};

/// Holes of the flat that lies on the chain's side of a flange, in the blank.
void addHoles(const TopoDS_Shape& solid, const Section& section, const Flange& flange,
              FlatProfile& blank) {
  const gp_Ax2& axes = section.axes;
  const double sign = section.length_mm < 0 ? -1 : 1;
  const gp_Vec along = gp_Vec(axes.XDirection()) * ((flange.to.x_mm - flange.from.x_mm)) +
                       gp_Vec(axes.YDirection()) * ((flange.to.y_mm - flange.from.y_mm));
  const gp_Dir u(along);
  const gp_Dir v = sign > 0 ? axes.Direction() : axes.Direction().Reversed();
  const gp_Pnt origin = axes.Location().Translated(gp_Vec(axes.XDirection()) * flange.from.x_mm +
                                                   gp_Vec(axes.YDirection()) * flange.from.y_mm);
  const gp_Dir normal = u.Crossed(v);
  for (const auto& [face, plane] : planes(solid)) {
    const bool parallel = std::abs(plane.Axis().Direction().Dot(normal)) > 1 - kParallel;
    const double off = gp_Vec(origin, plane.Location()).Dot(gp_Vec(normal));
    if (!parallel || std::abs(off) > kSameMm) {
      continue;
    }
    std::vector<ProfileLoop> loops = loopsOf(face, gp_Ax2(origin, normal, u));
    for (std::size_t i = 1; i < loops.size(); ++i) {
      const double shift = flange.start_mm - flange.cut_mm;
      loops[i].x_mm += shift;
      for (ProfileVertex& vertex : loops[i].vertices) {
        vertex.x_mm += shift;
      }
      blank.loops.push_back(std::move(loops[i]));
    }
  }
}

}  // namespace

std::optional<FlatProfile> unfolded(const Part& part, const BendRule& rule) {
  const std::optional<Section> section = sectionOf(part.solid);
  if (!section) {
    return std::nullopt;
  }
  const std::optional<Chain> chain =
      chainOf(sharpened(loopsOf(section->face, section->axes).front().vertices));
  if (!chain) {
    return std::nullopt;
  }
  FlatProfile blank;
  blank.mark = part.mark;
  Unfolding unfolding(*chain, rule);
  if (!unfolding.run(blank, std::abs(section->length_mm))) {
    return std::nullopt;
  }
  for (const Flange& flange : unfolding.flanges()) {
    addHoles(part.solid, *section, flange, blank);
  }
  return blank;
}

}  // namespace leafstack
