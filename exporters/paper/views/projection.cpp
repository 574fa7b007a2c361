#include "exporters/paper/views/projection.h"

#include <algorithm>
#include <limits>

#include "exporters/paper/views/hidden/view_scene.h"
#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

// Chords for finding what hides an arc; what is found is drawn on the arc itself.
constexpr double kArcSagittaMm = 0.05;
// Between hidden stretches this is no gap, and between visible ones nothing hides: neighbouring
// faces' triangles part and overlap by as much where their chords differ. At any scale of a drawing
// it is less than a line's width.
constexpr double kSlitMm = 0.2;

/// The place on an arc, as a share of its angle, that a share of one of its chords stands for.
double shareOfArc(double share, double chord_turn, int chord, int chords) {
  const double half = chord_turn / 2;
  const double angle = std::atan2(std::sin(half) * (2 * share - 1), std::cos(half));
  return (chord + (angle + half) / chord_turn) / chords;
}

std::vector<Interval> hiddenShares(const SeenLine& line, const HidingTriangles& hiders,
                                   int& last_hider) {
  const SpacePiece& piece = line.piece;
  if (!piece.is_arc) {
    return hiders.hiddenStretches({piece.from, piece.to, line.own}, last_hider);
  }
  const double turn = piece.angles.to - piece.angles.from;
  const int chords = chordSteps(piece.ring.greatestRadius(), turn, kArcSagittaMm);
  std::vector<Interval> hidden;
  Vec3 from = piece.ring.at(piece.angles.from);
  for (int i = 0; i < chords; ++i) {
    const Vec3 to = piece.ring.at(piece.angles.from + turn * (i + 1) / chords);
    for (const Interval& share : hiders.hiddenStretches({from, to, line.own}, last_hider)) {
      hidden.push_back({shareOfArc(share.from, turn / chords, i, chords),
                        shareOfArc(share.to, turn / chords, i, chords)});
    }
    from = to;
  }
  return hidden;
}

double seenLength(const SpacePiece& piece) {
  if (!piece.is_arc) {
    return std::hypot(piece.to[0] - piece.from[0], piece.to[1] - piece.from[1]);
  }
  const Ring& ring = piece.ring;
  return (piece.angles.to - piece.angles.from) *
         std::max(std::hypot(ring.p[0], ring.p[1]), std::hypot(ring.q[0], ring.q[1]));
}

/// Hidden stretches of a line; gaps, ends and stretches too short to be seen are left out.
std::vector<Interval> hiddenOf(const SeenLine& line, const HidingTriangles& hiders,
                               int& last_hider) {
  if (line.is_away) {
    return {{0, 1}};
  }
  const double slit = kSlitMm / std::max(seenLength(line.piece), kSlitMm / 2);
  std::vector<Interval> hidden =
      united(hiddenShares(line, hiders, last_hider), std::min(slit, 1.0));
  if (!hidden.empty() && slit < 1) {
    hidden.front().from = hidden.front().from < slit ? 0 : hidden.front().from;
    hidden.back().to = hidden.back().to > 1 - slit ? 1 : hidden.back().to;
    std::erase_if(hidden,
                  [&](const Interval& stretch) { return stretch.to - stretch.from < slit; });
  }
  return hidden;
}

/// One solid's lines in turn.
struct StretchReader {
  const PlacedViewSolid& solid;
  int index = 0;
  const HidingTriangles& hiders;
  int last_hider = -1;
};

void addStretches(const SeenLine& line, StretchReader& reader,
                  std::vector<DrawnStretch>& stretches) {
  constexpr double kNoShare = 1e-12;
  const auto add = [&](const Interval& share, bool is_hidden) {
    if (share.to - share.from < kNoShare || (is_hidden && !reader.solid.shows_hidden)) {
      return;
    }
    for (DrawnStretch stretch : flattened(line.piece, share)) {
      stretch.solid = reader.index;
      stretch.is_contour = line.is_contour;
      stretch.is_hidden = is_hidden;
      stretches.push_back(stretch);
    }
  };
  double from = 0;
  for (const Interval& hidden : hiddenOf(line, reader.hiders, reader.last_hider)) {
    add({from, hidden.from}, false);
    add(hidden, true);
    from = hidden.to;
  }
  add({from, 1}, false);
}

double lengthOf(const ViewCurve& curve) {
  double length = 0;
  const std::size_t count = curve.vertices.size();
  for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < count; ++i) {
    const PathVertex& a = curve.vertices[i];
    const PathVertex& b = curve.vertices[(i + 1) % count];
    const double chord = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
    const double half = 2 * std::atan(std::abs(a.bulge));
    length += half > 0 ? chord * half / std::sin(half) : chord;
  }
  return length;
}

}  // namespace

std::vector<DrawnStretch> stretchesSeen(const std::vector<PlacedViewSolid>& solids,
                                        const PictureView& view, const CutDepth& cut_depth,
                                        const ViewOptions& options) {
  std::vector<std::vector<SeenLine>> lines(solids.size());
  std::vector<SeenTriangle> triangles;
  int first_face = 0;
  for (std::size_t i = 0; i < solids.size(); ++i) {
    const PlacedViewSolid& placed = solids[i];
    const auto depth = cut_depth(static_cast<int>(i));
    if (depth && *depth == -std::numeric_limits<double>::infinity()) {
      continue;
    }
    SeenSolid seen = seenSolid(*placed.solid, ViewFrame(view, placed.location),
                               {first_face, !placed.is_silent, placed.shows_hidden, depth});
    first_face += static_cast<int>(placed.solid->faces().size());
    triangles.insert(triangles.end(), seen.triangles.begin(), seen.triangles.end());
    lines[i] = std::move(seen.lines);
  }
  for (const auto& [a, b, c] : options.loose_triangles) {
    triangles.push_back({{seen(view, a), seen(view, b), seen(view, c)}, first_face, 0});
  }
  const HidingTriangles hiders(triangles);
  std::vector<std::vector<DrawnStretch>> of_solids(solids.size());
  inParallel(static_cast<int>(solids.size()), [&](int i) {
    StretchReader reader{solids[i], i, hiders};
    for (const SeenLine& line : lines[i]) {
      addStretches(line, reader, of_solids[i]);
    }
  });
  std::vector<DrawnStretch> stretches;
  for (const std::vector<DrawnStretch>& of_one : of_solids) {
    stretches.insert(stretches.end(), of_one.begin(), of_one.end());
  }
  const PlacedViewSolid none;
  for (std::size_t i = 0; i < options.loose_lines.size(); ++i) {
    StretchReader reader{none, static_cast<int>(solids.size() + i), hiders};
    for (std::size_t point = 0; point + 1 < options.loose_lines[i].size(); ++point) {
      const SpacePiece piece = SpacePiece::straight(seen(view, options.loose_lines[i][point]),
                                                    seen(view, options.loose_lines[i][point + 1]));
      addStretches({piece, /*is_contour=*/true, /*is_away=*/false, {}}, reader, stretches);
    }
  }
  return stretches;
}

std::vector<ViewCurve> finished(const std::vector<DrawnStretch>& stretches,
                                const ViewOptions& options) {
  std::vector<ViewCurve> curves = curvesOf(withoutDoubles(stretches));
  std::erase_if(curves,
                [&](const ViewCurve& curve) { return lengthOf(curve) < options.least_length_mm; });
  return curves;
}

std::vector<ViewCurve> projected(const std::vector<PlacedViewSolid>& solids,
                                 const PictureView& view, const ViewOptions& options) {
  const auto whole = [](int) -> std::optional<double> { return std::nullopt; };
  return finished(stretchesSeen(solids, view, whole, options), options);
}

}  // namespace leafstack
