// A placed solid as one view sees it: the lines a draughtsman may draw, and what hides.
#pragma once

#include <TopLoc_Location.hxx>
#include <array>
#include <optional>
#include <vector>

#include "exporters/paper/views/solids/picture_view.h"
#include "exporters/paper/views/solids/view_solid.h"
#include "exporters/paper/views/solids/visibility.h"

namespace leafstack {

/// From a solid's own frame to the view's.
class ViewFrame {
 public:
  ViewFrame(const PictureView& view, const TopLoc_Location& location);

  Vec3 point(const Vec3& own) const { return plus(direction(own), shift_); }
  Vec3 direction(const Vec3& own) const {
    return {dot(rows_[0], own), dot(rows_[1], own), dot(rows_[2], own)};
  }
  SpacePiece piece(const SpacePiece& own) const;
  /// The point of the solid's own frame that is seen as `in_view`.
  Vec3 own(const Vec3& in_view) const {
    const Vec3 d = minus(in_view, shift_);
    return plus(plus(plus({}, rows_[0], d[0]), rows_[1], d[1]), rows_[2], d[2]);
  }
  /// To the eye, in the solid's frame.
  const Vec3& toward() const { return rows_[2]; }

 private:
  std::array<Vec3, 3> rows_{};
  Vec3 shift_{};
};

/// A line that faces the eye, or that its own solid hides at once.
struct SeenLine {
  SpacePiece piece;  ///< in the view's frame
  bool is_contour = false;
  bool is_away = false;
  std::array<OwnFace, 2> own;
};

struct SeenSolid {
  std::vector<SeenLine> lines;
  std::vector<SeenTriangle> triangles;
};

struct SeenWish {
  int first_face = 0;                ///< number of the solid's first face in the view
  bool lines = true;                 ///< any at all
  bool away_lines = false;           ///< those that the solid itself hides
  std::optional<double> nearest_mm;  ///< what is nearer to the eye has been cut away
};

/// Of a solid that is cut the faces turned away hide as well: from within the cut they bound the
/// material, so that no cap is needed.
SeenSolid seenSolid(const ViewSolid& solid, const ViewFrame& frame, const SeenWish& wish);

}  // namespace leafstack
