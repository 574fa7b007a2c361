#include "exporters/paper/pictures/painted.h"

#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>
#include <iterator>
#include <limits>
#include <map>
#include <polyclipping/clipper.hpp>

#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

using ClipperLib::IntPoint;
using ClipperLib::Paths;

// A face nearer to edge-on than this (cosine) is seen as a line.
constexpr double kEdgeOnCosine = 1e-6;
// What lies no deeper than this behind a piece touches it: more than rounding, less than any gap.
constexpr double kTouchMm = 0.01;
// Clipper counts in whole numbers: a hundredth of a millimetre, far below a line's width.
constexpr double kPlacesPerMm = 100;

/// What a view is clipped in: level lines of the gate run level in it, upright ones upright, so
/// that boxes fit and few lines cross.
struct Shear {
  double rise = 0;  ///< of what runs level in it, for every mm to the right

  Vec3 in(const Vec3& seen) const { return {seen[0], seen[1] - rise * seen[0], seen[2]}; }
  ViewPoint out(double x, double y) const { return {x, y + rise * x}; }
};

struct Box {
  double left = std::numeric_limits<double>::infinity(), bottom = left;
  double right = -left, top = -left, deepest = left, nearest = -left;

  void include(const Vec3& p) {
    left = std::min(left, p[0]);
    right = std::max(right, p[0]);
    bottom = std::min(bottom, p[1]);
    top = std::max(top, p[1]);
    deepest = std::min(deepest, p[2]);
    nearest = std::max(nearest, p[2]);
  }
  Box moved(const Vec3& by) const {
    Box box;
    box.include({left + by[0], bottom + by[1], deepest + by[2]});
    box.include({right + by[0], top + by[1], nearest + by[2]});
    return box;
  }
  /// Meets `other` as seen, and reaches in front of its deepest point.
  bool mayHide(const Box& other) const {
    return left < other.right && right > other.left && bottom < other.top && top > other.bottom &&
           nearest > other.deepest + kTouchMm;
  }
};

/// Depth over the view: z + slope_x x + slope_y y.
struct Depth {
  double z = 0, slope_x = 0, slope_y = 0;

  double before(const Vec3& p) const { return p[2] - z - slope_x * p[0] - slope_y * p[1]; }
  Depth moved(const Vec3& by) const {
    return {z + by[2] - slope_x * by[0] - slope_y * by[1], slope_x, slope_y};
  }
};

enum class EdgeSide { kBehind, kBefore, kBoth };

EdgeSide sideOf(const Depth& depth, const std::vector<Vec3>& points) {
  bool any_behind = false;
  bool any_before = false;
  for (const Vec3& point : points) {
    const double before = depth.before(point);
    any_before |= before > kTouchMm;
    any_behind |= before < -kTouchMm;
    if (any_before && any_behind) {
      return EdgeSide::kBoth;
    }
  }
  return any_before ? EdgeSide::kBefore : EdgeSide::kBehind;
}

IntPoint gridPoint(double x, double y) {
  return {static_cast<ClipperLib::cInt>(std::llround(x * kPlacesPerMm)),
          static_cast<ClipperLib::cInt>(std::llround(y * kPlacesPerMm))};
}

/// What of a loop lies before `depth`.
ClipperLib::Path cutLoop(const std::vector<Vec3>& loop, const Depth& depth) {
  ClipperLib::Path kept;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Vec3& a = loop[i];
    const Vec3& b = loop[(i + 1) % loop.size()];
    const double before_a = depth.before(a);
    const double before_b = depth.before(b);
    if (before_a >= 0) {
      kept.push_back(gridPoint(a[0], a[1]));
    }
    if ((before_a > 0 && before_b < 0) || (before_a < 0 && before_b > 0)) {
      const Vec3 at = plus(a, minus(b, a), before_a / (before_a - before_b));
      kept.push_back(gridPoint(at[0], at[1]));
    }
  }
  return kept;
}

Paths clipped(ClipperLib::ClipType type, const Paths& subject, const Paths& clip) {
  ClipperLib::Clipper clipper;
  clipper.AddPaths(subject, ClipperLib::ptSubject, /*closed=*/true);
  clipper.AddPaths(clip, ClipperLib::ptClip, /*closed=*/true);
  Paths result;
  clipper.Execute(type, result, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
  return result;
}

/// Whether all of `paths` lies within `cover`, more than a place off its border: told of convex
/// outlines only.
bool liesWithin(const Paths& paths, const ClipperLib::Path& cover) {
  constexpr ClipperLib::cInt kPlacesOff = 2;
  for (std::size_t i = 0; i < cover.size(); ++i) {
    const IntPoint& from = cover[i];
    const IntPoint& to = cover[(i + 1) % cover.size()];
    const ClipperLib::cInt run_x = to.X - from.X;
    const ClipperLib::cInt run_y = to.Y - from.Y;
    const auto leftOf = [&](const IntPoint& p) {
      return run_x * (p.Y - from.Y) - run_y * (p.X - from.X);
    };
    const ClipperLib::cInt off = kPlacesOff * std::max(std::abs(run_x), std::abs(run_y));
    if (leftOf(cover[(i + 2) % cover.size()]) < 0) {
      return false;
    }
    for (const ClipperLib::Path& path : paths) {
      if (!std::all_of(path.begin(), path.end(), [&](const auto& p) { return leftOf(p) > off; })) {
        return false;
      }
    }
  }
  return cover.size() > 2;
}

/// A piece that faces the eye, and is not hidden whole by its own solid.
struct SeenPiece {
  int index = 0;
  Vec3 normal{};  ///< in the gate's frame
  Depth depth;
  Box box;
  std::vector<std::vector<Vec3>> loops;
  Paths seen;  ///< of it, before its own solid
};

/// A solid in one turn as one view sees it, its origin at the view's.
struct SeenShape {
  std::array<Vec3, 3> rows{};  ///< of the turn from the own frame to the gate's
  std::vector<Vec3> points;
  std::vector<SeenPiece> pieces;
  Box box;
  Paths silhouette;
};

/// Adds what of `hider` lies before `depth`.
void addHiding(const Depth& depth, const SeenPiece& hider, Paths& hiding) {
  Depth limit = depth;
  limit.z += kTouchMm;
  for (const std::vector<Vec3>& loop : hider.loops) {
    if (sideOf(depth, loop) != EdgeSide::kBehind) {
      hiding.push_back(cutLoop(loop, limit));
    }
  }
}

class ShapeReader {
 public:
  ShapeReader(const FlatPieces& solid, const std::array<Vec3, 3>& rows, const PictureView& view,
              const Shear& shear)
      : solid_(solid), view_(view), shear_(shear) {
    shape_.rows = rows;
  }

  SeenShape read() {
    for (const Vec3& own : solid_.points) {
      shape_.points.push_back(shear_.in(seen(view_, turned(own))));
      shape_.box.include(shape_.points.back());
    }
    for (int i = 0; i < static_cast<int>(solid_.pieces.size()); ++i) {
      addPiece(i);
    }
    if (!solid_.is_convex) {
      hideByItself();
    }
    Paths all;
    for (const SeenPiece& piece : shape_.pieces) {
      all.insert(all.end(), piece.seen.begin(), piece.seen.end());
    }
    shape_.silhouette = clipped(ClipperLib::ctUnion, all, {});
    return std::move(shape_);
  }

 private:
  Vec3 turned(const Vec3& own) const {
    return {dot(shape_.rows[0], own), dot(shape_.rows[1], own), dot(shape_.rows[2], own)};
  }

  void addPiece(int index) {
    const FlatPieces::Piece& piece = solid_.pieces[index];
    const Vec3 normal = seen(view_, turned(piece.normal));
    if (normal[2] < kEdgeOnCosine) {
      return;
    }
    SeenPiece added;
    added.index = index;
    added.normal = turned(piece.normal);
    for (const std::vector<int>& loop : piece.loops) {
      added.loops.emplace_back();
      added.seen.emplace_back();
      for (int point : loop) {
        const Vec3& at = shape_.points[point];
        added.box.include(at);
        added.loops.back().push_back(at);
        added.seen.back().push_back(gridPoint(at[0], at[1]));
      }
    }
    const Vec3& on_it = added.loops.front().front();
    added.depth.slope_y = -normal[1] / normal[2];
    added.depth.slope_x = -normal[0] / normal[2] + added.depth.slope_y * shear_.rise;
    added.depth.z = on_it[2] - added.depth.slope_x * on_it[0] - added.depth.slope_y * on_it[1];
    shape_.pieces.push_back(std::move(added));
  }

  /// Leaves what of every piece the others leave of it.
  void hideByItself() {
    std::vector<Paths> left;
    for (const SeenPiece& piece : shape_.pieces) {
      Paths hiding;
      for (const SeenPiece& other : shape_.pieces) {
        if (&other != &piece && other.box.mayHide(piece.box)) {
          addHiding(piece.depth, other, hiding);
        }
      }
      left.push_back(hiding.empty() ? piece.seen
                                    : clipped(ClipperLib::ctDifference, piece.seen, hiding));
    }
    for (std::size_t i = 0; i < left.size(); ++i) {
      shape_.pieces[i].seen = std::move(left[i]);
    }
    std::erase_if(shape_.pieces, [](const SeenPiece& piece) { return piece.seen.empty(); });
  }

  const FlatPieces& solid_;
  const PictureView& view_;
  const Shear& shear_;
  SeenShape shape_;
};

std::array<Vec3, 3> rowsOf(const gp_Trsf& motion) {
  // Turns that differ by less differ by rounding, and are one.
  constexpr double kSameTurn = 1e-9;
  std::array<Vec3, 3> rows{};
  for (int row = 0; row < 3; ++row) {
    for (int column = 0; column < 3; ++column) {
      rows[row][column] = std::round(motion.Value(row + 1, column + 1) / kSameTurn) * kSameTurn;
    }
  }
  return rows;
}

/// The slope, as seen, that half of all length runs flatter than, what stands upright apart.
Shear shearOf(const std::vector<PlacedPieces>& solids, const PictureView& view) {
  std::vector<std::pair<double, double>> runs;  // slope, length
  double whole = 0;
  for (const PlacedPieces& placed : solids) {
    const auto rows = rowsOf(placed.location.Transformation());
    for (const FlatPieces::Piece& piece : placed.solid->pieces) {
      for (const std::vector<int>& loop : piece.loops) {
        const Vec3 own = minus(placed.solid->points[loop[1]], placed.solid->points[loop[0]]);
        const Vec3 run = seen(view, {dot(rows[0], own), dot(rows[1], own), dot(rows[2], own)});
        if (std::abs(run[0]) > std::abs(run[1])) {
          runs.push_back({run[1] / run[0], std::abs(run[0])});
          whole += std::abs(run[0]);
        }
      }
    }
  }
  std::sort(runs.begin(), runs.end());
  double so_far = 0;
  for (const auto& [slope, length] : runs) {
    so_far += length;
    if (so_far >= whole / 2) {
      return {slope};
    }
  }
  return {};
}

class View {
 public:
  View(const std::vector<PlacedPieces>& solids, const PictureView& view)
      : shear_(shearOf(solids, view)) {
    for (const PlacedPieces& placed : solids) {
      const gp_Trsf motion = placed.location.Transformation();
      const auto rows = rowsOf(motion);
      const auto [known, is_new] = shapes_.try_emplace({placed.solid.get(), rows});
      if (is_new) {
        known->second = ShapeReader(*placed.solid, rows, view, shear_).read();
      }
      const gp_XYZ& shift = motion.TranslationPart();
      const Vec3 at = shear_.in(seen(view, {shift.X(), shift.Y(), shift.Z()}));
      stands_.push_back({&known->second, at, known->second.box.moved(at)});
    }
  }

  std::vector<SeenRegion> regions() const {
    std::vector<std::vector<SeenRegion>> of_stands(stands_.size());
    inParallel(static_cast<int>(stands_.size()), [&](int i) { of_stands[i] = regionsOf(i); });
    std::vector<SeenRegion> found;
    for (std::vector<SeenRegion>& of_one : of_stands) {
      std::move(of_one.begin(), of_one.end(), std::back_inserter(found));
    }
    return found;
  }

 private:
  std::vector<SeenRegion> regionsOf(int index) const {
    const Stand& stand = stands_[index];
    std::vector<const Stand*> near;
    for (const Stand& other : stands_) {
      if (&other != &stand && other.box.mayHide(stand.box)) {
        near.push_back(&other);
      }
    }
    std::vector<SeenRegion> found;
    for (const SeenPiece& piece : stand.shape->pieces) {
      const Paths seen = seenOf(stand, piece, near);
      if (!seen.empty()) {
        found.push_back(regionOf(index, piece, seen));
      }
    }
    return found;
  }

  /// A shape where an instance stands.
  struct Stand {
    const SeenShape* shape = nullptr;
    Vec3 at{};
    Box box;
  };

  static void addMoved(const Paths& paths, const Vec3& by, Paths& to) {
    const IntPoint shift = gridPoint(by[0], by[1]);
    for (const ClipperLib::Path& path : paths) {
      to.push_back(path);
      for (IntPoint& point : to.back()) {
        point.X += shift.X;
        point.Y += shift.Y;
      }
    }
  }

  /// What hides of one piece, and whether that is plainly all of it: most pieces of a gate stand
  /// behind one larger than they are.
  struct Hiding {
    const Paths& piece;
    Paths paths;
    bool is_all = false;

    /// `added` hides together: what lies within it and in none of its holes.
    void add(const Paths& added, const Vec3& by) {
      addMoved(added, by, paths);
      is_all = added.size() == 1 && liesWithin(piece, paths.back());
    }
  };

  /// In the frame of the piece's own shape.
  static Paths seenOf(const Stand& stand, const SeenPiece& piece,
                      const std::vector<const Stand*>& near) {
    Hiding hiding{piece.seen, {}};
    for (const Stand* other : near) {
      addHidingOf(*other, stand, piece, hiding);
      if (hiding.is_all) {
        return {};
      }
    }
    return hiding.paths.empty() ? piece.seen
                                : clipped(ClipperLib::ctDifference, piece.seen, hiding.paths);
  }

  static void addHidingOf(const Stand& other, const Stand& stand, const SeenPiece& piece,
                          Hiding& hiding) {
    const Box box = piece.box.moved(stand.at);
    if (!other.box.mayHide(box)) {
      return;
    }
    const Vec3 apart = minus(other.at, stand.at);
    const Depth depth = piece.depth.moved(minus({}, apart));
    const EdgeSide side = sideOf(depth, other.shape->points);
    if (side == EdgeSide::kBefore) {
      hiding.add(other.shape->silhouette, apart);
    } else if (side == EdgeSide::kBoth) {
      for (const SeenPiece& hider : other.shape->pieces) {
        if (!hiding.is_all && hider.box.moved(other.at).mayHide(box)) {
          Paths cut;
          addHiding(depth, hider, cut);
          hiding.add(cut, apart);
        }
      }
    }
  }

  SeenRegion regionOf(int index, const SeenPiece& piece, const Paths& seen) const {
    const Stand& stand = stands_[index];
    SeenRegion region{index, piece.index, piece.normal, {}};
    for (const ClipperLib::Path& path : seen) {
      region.loops.emplace_back();
      for (const IntPoint& point : path) {
        region.loops.back().push_back(
            shear_.out(static_cast<double>(point.X) / kPlacesPerMm + stand.at[0],
                       static_cast<double>(point.Y) / kPlacesPerMm + stand.at[1]));
      }
    }
    return region;
  }

  Shear shear_;
  std::map<std::pair<const FlatPieces*, std::array<Vec3, 3>>, SeenShape> shapes_;
  std::vector<Stand> stands_;
};

}  // namespace

std::vector<SeenRegion> painted(const std::vector<PlacedPieces>& solids, const PictureView& view) {
  return View(solids, view).regions();
}

}  // namespace leafstack
