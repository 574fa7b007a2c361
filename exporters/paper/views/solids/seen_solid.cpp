#include "exporters/paper/views/solids/seen_solid.h"

#include <algorithm>
#include <gp_Trsf.hxx>

namespace leafstack {
namespace {

// A face nearer to edge-on than this (cosine) neither faces the eye nor turns away.
constexpr double kEdgeOnCosine = 1e-6;
// A line along the line of sight is a point.
constexpr double kPointMm = 1e-3;
// A face that is hollow one way may come before its own lines, but not nearly before them: there it
// is its triangles that stray. Where they stray by e beyond the outline of a turn of radius r, they
// come before it by as much as sqrt(2 r e).
constexpr double kOwnErrorMm = 1.5 * kMeshDeflectionMm;
// Places along an arc where its faces are looked at, for a whole turn: each turns over twice at
// most.
constexpr int kFacingSamples = 24;
constexpr int kHalvings = 48;

enum class Facing { kToward, kEdgeOn, kAway };

Facing facingOf(const Vec3& normal, const Vec3& toward) {
  const double cosine = dot(normal, toward);
  return cosine > kEdgeOnCosine    ? Facing::kToward
         : cosine < -kEdgeOnCosine ? Facing::kAway
                                   : Facing::kEdgeOn;
}

class SolidReader {
 public:
  SolidReader(const ViewSolid& solid, const ViewFrame& frame, const SeenWish& wish)
      : solid_(solid), frame_(frame), wish_(wish) {}

  SeenSolid read() {
    readTriangles();
    if (wish_.lines) {
      for (const SolidEdge& edge : solid_.edges()) {
        readEdge(edge);
      }
      for (int face = 0; face < static_cast<int>(solid_.faces().size()); ++face) {
        for (const OutlinePiece& outline : solid_.outlines(face, frame_.toward())) {
          add(outline.piece, {true, outline.is_away}, {ownFace(face), {}});
        }
      }
    }
    return std::move(result_);
  }

 private:
  struct Traits {
    bool is_contour = false, is_away = false;
  };

  OwnFace ownFace(int index) const {
    const ViewFace& face = solid_.faces()[index];
    OwnFace own{wish_.first_face + index, face.isPlain(), 0};
    own.slack_mm = face.round ? std::sqrt(2 * face.round->greatestRadius() * kOwnErrorMm) : 0;
    return own;
  }

  // ---------------------------------------------------------------- triangles

  void readTriangles() {
    std::vector<Vec3> points;
    points.reserve(solid_.mesh().points.size());
    for (const Vec3& own : solid_.mesh().points) {
      points.push_back(frame_.point(own));
    }
    for (const MeshTriangle& triangle : solid_.mesh().triangles) {
      SeenTriangle seen;
      for (int i = 0; i < 3; ++i) {
        seen.corners[i] = points[triangle.points[i]];
      }
      seen.face = wish_.first_face + triangle.face;
      seen.error_mm = triangle.error_mm;
      const auto& [a, b, c] = seen.corners;
      const double twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
      if (wish_.nearest_mm) {
        addClipped(seen);
      } else if (twice > 0) {
        result_.triangles.push_back(seen);
      }
    }
  }

  /// What of a triangle lies beyond the plane: nothing, a triangle, or two.
  void addClipped(const SeenTriangle& triangle) {
    const double limit = *wish_.nearest_mm;
    std::vector<Vec3> kept;
    for (int i = 0; i < 3; ++i) {
      const Vec3& from = triangle.corners[i];
      const Vec3& to = triangle.corners[(i + 1) % 3];
      if (from[2] <= limit) {
        kept.push_back(from);
      }
      if ((from[2] <= limit) != (to[2] <= limit)) {
        kept.push_back(plus(from, minus(to, from), (limit - from[2]) / (to[2] - from[2])));
      }
    }
    for (std::size_t i = 2; i < kept.size(); ++i) {
      SeenTriangle part = triangle;
      part.corners = {kept[0], kept[i - 1], kept[i]};
      result_.triangles.push_back(part);
    }
  }

  // ---------------------------------------------------------------- edges

  void readEdge(const SolidEdge& edge) {
    if (!edge.piece.is_arc) {
      const Vec3 middle = plus(edge.piece.from, minus(edge.piece.to, edge.piece.from), 0.5);
      addEdge(edge, edge.piece, middle, minus(edge.piece.to, edge.piece.from));
      return;
    }
    const std::vector<double> cuts = turnovers(edge);
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
      const double middle = (cuts[i] + cuts[i + 1]) / 2;
      addEdge(edge, SpacePiece::arc(edge.piece.ring, {cuts[i], cuts[i + 1]}),
              edge.piece.ring.at(middle), edge.piece.ring.along(middle));
    }
  }

  /// The angles of an arc where one of its faces turns from the eye, and its ends.
  std::vector<double> turnovers(const SolidEdge& edge) const {
    const Interval& angles = edge.piece.angles;
    std::vector<double> cuts = {angles.from, angles.to};
    const int samples = std::max(
        2, static_cast<int>(std::ceil(kFacingSamples * (angles.to - angles.from) / kTurnRad)));
    for (const EdgeSide& side : edge.sides) {
      if (solid_.faces()[side.face].is_flat) {
        continue;
      }
      const auto facing = [&](double angle) {
        return dot(solid_.normalAt(side, edge.piece.ring.at(angle)), frame_.toward());
      };
      double before = facing(angles.from);
      for (int i = 1; i <= samples; ++i) {
        double high = std::lerp(angles.from, angles.to, static_cast<double>(i) / samples);
        double low = std::lerp(angles.from, angles.to, (i - 1.0) / samples);
        const double after = facing(high);
        if ((before > kEdgeOnCosine && after < -kEdgeOnCosine) ||
            (before < -kEdgeOnCosine && after > kEdgeOnCosine)) {
          for (int halving = 0; halving < kHalvings; ++halving) {
            const double middle = (low + high) / 2;
            ((facing(middle) > 0) == (before > 0) ? low : high) = middle;
          }
          cuts.push_back(low);
        } else if (std::abs(after) <= kEdgeOnCosine && i < samples) {
          cuts.push_back(high);
        }
        before = after;
      }
    }
    std::sort(cuts.begin(), cuts.end());
    return cuts;
  }

  void addEdge(const SolidEdge& edge, const SpacePiece& piece, const Vec3& middle,
               const Vec3& along) {
    const Vec3 a = solid_.normalAt(edge.sides[0], middle);
    const Vec3 b = solid_.normalAt(edge.sides[1], middle);
    const Facing facing_a = facingOf(a, frame_.toward());
    const Facing facing_b = facingOf(b, frame_.toward());
    const int toward_count = (facing_a == Facing::kToward) + (facing_b == Facing::kToward);
    Traits traits;
    traits.is_contour = toward_count < 2;
    // A face seen edge-on ends nearer to the eye than at its foot: it is drawn from there.
    const Vec3 into_a = edge.sides[0].is_forward ? cross(a, along) : cross(along, a);
    const bool is_hollow = dot(into_a, b) > 0;
    traits.is_away = toward_count == 0 || (toward_count == 1 && is_hollow);
    if (edge.is_shallow && !traits.is_contour) {
      return;
    }
    if (edge.is_shallow && toward_count == 0) {
      return;
    }
    add(piece, traits, {ownFace(edge.sides[0].face), ownFace(edge.sides[1].face)});
  }

  void add(const SpacePiece& own_piece, const Traits& traits, const std::array<OwnFace, 2>& own) {
    if (traits.is_away && !wish_.away_lines) {
      return;
    }
    for (const SpacePiece& piece : beyond(frame_.piece(own_piece))) {
      const bool is_point = !piece.is_arc && std::hypot(piece.to[0] - piece.from[0],
                                                        piece.to[1] - piece.from[1]) < kPointMm;
      if (!is_point) {
        result_.lines.push_back({piece, traits.is_contour, traits.is_away, own});
      }
    }
  }

  /// What of a line has not been cut away.
  std::vector<SpacePiece> beyond(const SpacePiece& piece) const {
    if (!wish_.nearest_mm) {
      return {piece};
    }
    const double limit = *wish_.nearest_mm;
    if (piece.is_arc) {
      return arcsBeyond(piece, limit);
    }
    const bool keeps_from = piece.from[2] <= limit;
    const bool keeps_to = piece.to[2] <= limit;
    if (keeps_from && keeps_to) {
      return {piece};
    }
    if (!keeps_from && !keeps_to) {
      return {};
    }
    const Vec3 at = plus(piece.from, minus(piece.to, piece.from),
                         (limit - piece.from[2]) / (piece.to[2] - piece.from[2]));
    return {keeps_from ? SpacePiece::straight(piece.from, at) : SpacePiece::straight(at, piece.to)};
  }

  static std::vector<SpacePiece> arcsBeyond(const SpacePiece& piece, double limit) {
    std::vector<double> cuts = {piece.angles.from, piece.angles.to};
    const double reach = std::hypot(piece.ring.p[2], piece.ring.q[2]);
    const double depth = limit - piece.ring.centre[2];
    if (reach > 0 && std::abs(depth) < reach) {
      const double middle = std::atan2(piece.ring.q[2], piece.ring.p[2]);
      for (double sign : {-1.0, 1.0}) {
        double angle = middle + sign * std::acos(depth / reach);
        angle += kTurnRad * std::ceil((piece.angles.from - angle) / kTurnRad);
        if (angle < piece.angles.to) {
          cuts.push_back(angle);
        }
      }
    }
    std::sort(cuts.begin(), cuts.end());
    std::vector<SpacePiece> kept;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
      if (piece.ring.at((cuts[i] + cuts[i + 1]) / 2)[2] <= limit) {
        kept.push_back(SpacePiece::arc(piece.ring, {cuts[i], cuts[i + 1]}));
      }
    }
    return kept;
  }

  const ViewSolid& solid_;
  const ViewFrame& frame_;
  const SeenWish& wish_;
  SeenSolid result_;
};

}  // namespace

ViewFrame::ViewFrame(const PictureView& view, const TopLoc_Location& location) {
  const gp_Trsf motion = location.Transformation();
  const std::array<Vec3, 3> axes = {view.right, view.up, view.toward};
  const gp_XYZ& origin = motion.TranslationPart();
  for (int row = 0; row < 3; ++row) {
    for (int column = 0; column < 3; ++column) {
      for (int k = 0; k < 3; ++k) {
        rows_[row][column] += axes[row][k] * motion.Value(k + 1, column + 1);
      }
    }
    shift_[row] = dot(axes[row], {origin.X(), origin.Y(), origin.Z()});
  }
}

SpacePiece ViewFrame::piece(const SpacePiece& own) const {
  if (!own.is_arc) {
    return SpacePiece::straight(point(own.from), point(own.to));
  }
  return SpacePiece::arc({point(own.ring.centre), direction(own.ring.p), direction(own.ring.q)},
                         own.angles);
}

SeenSolid seenSolid(const ViewSolid& solid, const ViewFrame& frame, const SeenWish& wish) {
  return SolidReader(solid, frame, wish).read();
}

}  // namespace leafstack
