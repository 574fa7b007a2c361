#include "generator/shop/wrap/wrap_template.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include "generator/geometry/numbers.h"
#include "generator/occt/checked.h"
#include "generator/shop/wrap/wrap_curves.h"
#include "generator/shop/wrap/wrap_skin.h"

namespace leafstack {
namespace {

// An end that is out of square by less is square: far below what a saw does.
constexpr double kSquareMm = 1e-3;
// The paper's edge keeps this far from outlines: a scriber needs paper on both sides.
constexpr double kSeamGapMm = 3;
// Walls whose widths differ by less are equally good.
constexpr double kSameWidthMm = 1e-6;

struct Interval {
  double low_mm = 0, high_mm = 0;
};

WrapBox boxOfPieces(const std::vector<WrapPiece>& pieces) {
  WrapBox box{1e300, -1e300, 1e300, -1e300};
  const auto take = [&](double x, double y) {
    box = {std::min(box.x0_mm, x), std::max(box.x1_mm, x), std::min(box.y0_mm, y),
           std::max(box.y1_mm, y)};
  };
  for (const WrapPiece& piece : pieces) {
    take(piece.from.x_mm, piece.from.y_mm);
    take(piece.to.x_mm, piece.to.y_mm);
    if (!piece.isArc()) {
      continue;
    }
    // An arc's extremes: where it comes nearest to its circle's.
    const WrapCircle round = piece.circle();
    const double start = std::atan2(piece.from.y_mm - round.y_mm, piece.from.x_mm - round.x_mm);
    const double angle = 4 * std::atan(piece.from.bulge);
    const double low = std::min(start, start + angle);
    const double high = std::max(start, start + angle);
    for (double at = std::ceil(low / kQuarter) * kQuarter; at <= high; at += kQuarter) {
      take(round.x_mm + round.radius_mm * std::cos(at),
           round.y_mm + round.radius_mm * std::sin(at));
    }
  }
  return box;
}

std::vector<WrapPiece> piecesOf(const SkinLoop& loop, double girth_mm) {
  std::vector<WrapPiece> pieces;
  for (std::size_t i = 0; i < loop.points.size(); ++i) {
    const bool is_last = i + 1 == loop.points.size();
    WrapPiece piece{loop.points[i], loop.points[is_last ? 0 : i + 1]};
    piece.to.y_mm += is_last ? loop.turns * girth_mm : 0;
    pieces.push_back(piece);
  }
  return pieces;
}

/// Among equally good walls the one out of sight first.
int rankOf(const std::string& wall) {
  constexpr std::array<const char*, 6> kOrder = {"rear", "underside",    "trailing side",
                                                 "top",  "leading side", "front"};
  return static_cast<int>(std::find(kOrder.begin(), kOrder.end(), wall) - kOrder.begin());
}

struct Seam {
  double y_mm = 0;
  std::string words;
};

/// Where the paper's edges meet.
class SeamChoice {
 public:
  SeamChoice(const TubeSkin& skin, const std::vector<SkinLoop>& loops) : skin_(skin) {
    for (const SkinLoop& loop : loops) {
      if (loop.turns == 0) {
        const WrapBox box = boxOfPieces(piecesOf(loop, skin.girthMm()));
        taken_.push_back({box.y0_mm - kSeamGapMm, box.y1_mm + kSeamGapMm});
        continue;
      }
      // A corner of an end that lies within a flat belongs to a notch.
      for (const WrapPoint& point : loop.points) {
        const double y = inGirth(point.y_mm);
        for (const WrapWall& flat : skin.flats()) {
          if (y > flat.from_mm + kSquareMm && y < flat.to_mm - kSquareMm) {
            taken_.push_back({point.y_mm - kSeamGapMm, point.y_mm + kSeamGapMm});
          }
        }
      }
    }
    order_ = {0, 1, 2, 3};
    std::sort(order_.begin(), order_.end(), [&](int a, int b) {
      const double wider = widthOf(a) - widthOf(b);
      return std::abs(wider) > kSameWidthMm
                 ? wider > 0
                 : rankOf(skin_.flats()[a].name) < rankOf(skin_.flats()[b].name);
    });
  }

  Seam best() const {
    for (const int wall : order_) {
      if (isFree({skin_.flats()[wall].from_mm, skin_.flats()[wall].to_mm})) {
        return {middleOf(wall), "middle of the " + name(wall) + ", which has no cut-outs"};
      }
    }
    for (const int wall : order_) {
      if (isFree({middleOf(wall), middleOf(wall)})) {
        return {middleOf(wall), "middle of the " + name(wall) +
                                    ": every wall has cut-outs, none crosses this line"};
      }
    }
    return besideCutouts();
  }

 private:
  double inGirth(double y) const { return y - std::floor(y / skin_.girthMm()) * skin_.girthMm(); }
  double widthOf(int wall) const { return skin_.flats()[wall].to_mm - skin_.flats()[wall].from_mm; }
  double middleOf(int wall) const {
    return (skin_.flats()[wall].to_mm + skin_.flats()[wall].from_mm) / 2;
  }
  const std::string& name(int wall) const { return skin_.flats()[wall].name; }

  bool isFree(const Interval& band) const {
    return std::none_of(taken_.begin(), taken_.end(), [&](const Interval& taken) {
      const double girth = skin_.girthMm();
      for (int turn = -2; turn <= 2; ++turn) {
        if (taken.low_mm + turn * girth < band.high_mm + kSquareMm &&
            taken.high_mm + turn * girth > band.low_mm - kSquareMm) {
          return true;
        }
      }
      return false;
    });
  }

  /// The middle of the widest free band on a flat; where there is none, through cut-outs.
  Seam besideCutouts() const {
    constexpr double kStepMm = 0.5;
    Interval widest;
    int widest_wall = -1;
    for (const int wall : order_) {
      const WrapWall& flat = skin_.flats()[wall];
      for (double from = flat.from_mm; from <= flat.to_mm; from += kStepMm) {
        double to = from;
        while (to + kStepMm <= flat.to_mm && isFree({from, to + kStepMm})) {
          to += kStepMm;
        }
        if (to - from > widest.high_mm - widest.low_mm + kSameWidthMm) {
          widest = {from, to};
          widest_wall = wall;
        }
      }
    }
    if (widest_wall < 0) {
      const int wall = order_.front();
      return {middleOf(wall), "middle of the " + name(wall) +
                                  ", through its cut-outs: no line along the tube misses all"};
    }
    const double y = (widest.low_mm + widest.high_mm) / 2;
    const bool to_next = y > middleOf(widest_wall);
    const WrapWall& flat = skin_.flats()[widest_wall];
    const double from_face = (to_next ? flat.to_mm - y : y - flat.from_mm) + skin_.cornerMm();
    const int beside = (widest_wall + (to_next ? 1 : 3)) % 4;
    return {y, name(widest_wall) + ", " + shown(from_face) + " mm from the tube's " + name(beside) +
                   " face: cut-outs lie across the middle of every wall"};
  }

  const TubeSkin& skin_;
  std::vector<Interval> taken_;
  std::array<int, 4> order_{};
};

/// The flats from the seam on.
void layWalls(const TubeSkin& skin, double seam_mm, WrapTemplate& made) {
  const double girth = skin.girthMm();
  for (const WrapWall& flat : skin.flats()) {
    for (const double turn : {-girth, 0.0, girth}) {
      const double from = std::max(0.0, flat.from_mm + turn - seam_mm);
      const double to = std::min(girth, flat.to_mm + turn - seam_mm);
      if (from < to) {
        made.walls.push_back({flat.name, from, to});
      }
    }
  }
  std::sort(made.walls.begin(), made.walls.end(),
            [](const WrapWall& a, const WrapWall& b) { return a.from_mm < b.from_mm; });
  for (const WrapWall& wall : made.walls) {
    for (const double y : {wall.from_mm, wall.to_mm}) {
      if (y > 0 && y < girth) {
        made.fold_lines_mm.push_back(y);
      }
    }
  }
}

void addLoop(const SkinLoop& loop, double seam_mm, WrapTemplate& made) {
  std::vector<WrapPiece> pieces = piecesOf(loop, made.girth_mm);
  for (WrapPiece& piece : pieces) {
    piece.from.y_mm -= seam_mm;
    piece.to.y_mm -= seam_mm;
  }
  std::vector<WrapCurve> curves = cutAtGirths(pieces, made.girth_mm);
  if (loop.turns != 0) {
    made.ends.insert(made.ends.end(), curves.begin(), curves.end());
    return;
  }
  if (curves.size() > 1) {
    ++made.seam_crossings;
  } else if (loop.circle) {
    const WrapPoint centre{loop.circle->x_mm, loop.circle->y_mm - seam_mm};
    const double turns = std::floor(centre.y_mm / made.girth_mm);
    curves.front().points.clear();
    curves.front().circle = {
        {centre.x_mm, centre.y_mm - turns * made.girth_mm, loop.circle->radius_mm}};
  }
  made.cutouts.insert(made.cutouts.end(), curves.begin(), curves.end());
}

double leastX(const SkinLoop& loop) {
  double least = 1e300;
  for (const WrapPoint& point : loop.points) {
    least = std::min(least, point.x_mm);
  }
  return least;
}

bool isSquare(const SkinLoop& end) {
  return std::all_of(end.points.begin(), end.points.end(), [&](const WrapPoint& point) {
    return std::abs(point.x_mm - end.points.front().x_mm) < kSquareMm;
  });
}

const HollowSection& sectionOf(const Part& part) {
  if (!part.tube) {
    throw GeometryError(part.mark + ": a template is for hollow sections");
  }
  return *part.tube;
}

void measure(WrapTemplate& made) {
  WrapBox all{1e300, -1e300, 0, 0};
  for (const WrapCurve& end : made.ends) {
    const WrapBox box = boxOf(end);
    all.x0_mm = std::min(all.x0_mm, box.x0_mm);
    all.x1_mm = std::max(all.x1_mm, box.x1_mm);
  }
  made.from_mm = all.x0_mm;
  made.to_mm = all.x1_mm;
  made.length_mm = all.x1_mm - all.x0_mm;
}

}  // namespace

WrapBox boxOf(const WrapCurve& curve) {
  if (curve.circle) {
    const WrapCircle& circle = *curve.circle;
    return {circle.x_mm - circle.radius_mm, circle.x_mm + circle.radius_mm,
            circle.y_mm - circle.radius_mm, circle.y_mm + circle.radius_mm};
  }
  std::vector<WrapPiece> pieces;
  const std::size_t count = curve.points.size();
  for (std::size_t i = 0; i + (curve.is_closed ? 0 : 1) < count; ++i) {
    pieces.push_back({curve.points[i], curve.points[(i + 1) % count]});
  }
  return boxOfPieces(pieces);
}

std::optional<WrapTemplate> wrapTemplateOf(const Part& part) {
  if (part.supply != Supply::kCutTube) {
    return {};
  }
  const TubeSkin skin(part.solid, sectionOf(part), part.mark);
  std::vector<SkinLoop> loops = skin.loops();
  // Ends last, the datum's first; cut-outs from the datum on.
  std::stable_sort(loops.begin(), loops.end(), [](const SkinLoop& a, const SkinLoop& b) {
    return (a.turns == 0) != (b.turns == 0) ? a.turns == 0 : leastX(a) < leastX(b);
  });
  const auto first_end = std::find_if(loops.begin(), loops.end(),
                                      [](const SkinLoop& loop) { return loop.turns != 0; });
  if (loops.end() - first_end != 2 || first_end->turns + first_end[1].turns != 0 ||
      std::abs(first_end->turns) != 1) {
    throw GeometryError(part.mark + ": a tube without two ends");
  }
  if (first_end == loops.begin() && isSquare(first_end[0]) && isSquare(first_end[1])) {
    return {};
  }
  const Seam seam = SeamChoice(skin, loops).best();
  WrapTemplate made;
  made.mark = part.mark;
  made.section = part.section;
  made.girth_mm = skin.girthMm();
  made.datum = skin.datum();
  made.seam = seam.words;
  layWalls(skin, seam.y_mm, made);
  for (const SkinLoop& loop : loops) {
    addLoop(loop, seam.y_mm, made);
  }
  measure(made);
  return made;
}

}  // namespace leafstack
