// The lines of a picture: which edges of a part are seen, and which stretches of them.
#pragma once

#include <cstdint>
#include <vector>

#include "exporters/paper/pictures/picture_buffer.h"
#include "exporters/paper/views/solids/picture_surface.h"
#include "exporters/paper/views/solids/picture_view.h"

namespace leafstack {

/// Closed set, thinnest first.
enum class LineKind {
  kCrease,   ///< both faces are seen
  kContour,  ///< one face is seen, the other turns away
  kRope      ///< a rope's centre line
};

/// One unbroken stretch.
struct PictureLine {
  int panel = 0;     ///< 0 = does not move
  int instance = 0;  ///< index into Model::instances
  LineKind kind{};
  SheetLoop points;  ///< open
};

/// Where the gate lies in the buffer: view coordinates (mm) to px.
struct PixelScale {
  double px_per_mm = 1;
  double left_mm = 0, top_mm = 0;  ///< of the buffer's top left corner, in view coordinates

  Vec3 pixel(const Vec3& in_view) const {
    return {(in_view[0] - left_mm) * px_per_mm, (top_mm - in_view[1]) * px_per_mm, in_view[2]};
  }
};

/// Where to look whether a stretch shows: a step into one of its faces, and that face's slope.
struct EdgeProbe {
  SheetPoint step{};   ///< unit vector, px
  SheetPoint slope{};  ///< depth gained per px, right and down
  double slack_mm = 0;
};

/// An edge that faces the eye, hidden or not: a chain in px with depth.
struct EdgeChain {
  LineKind kind{};
  std::vector<Vec3> pixels;
  /// For every stretch between two pixels; a stretch shows if any probe does. Without probes the
  /// line itself is looked for.
  std::vector<std::vector<EdgeProbe>> probes;
};

/// The edges of `surface` (in the gate's frame) with at least one face towards the eye, and the
/// outlines of its curved faces.
std::vector<EdgeChain> edgeChains(const PictureSurface& surface, const PictureView& view,
                                  const PixelScale& scale);

/// The stretches of `chain` that show in `buffer`, in px.
std::vector<SheetLoop> visibleStretches(const EdgeChain& chain, const PictureBuffer& buffer);

}  // namespace leafstack
