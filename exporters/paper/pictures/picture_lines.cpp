#include "exporters/paper/pictures/picture_lines.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "generator/geometry/triangles.h"

namespace leafstack {
namespace {

/// A face nearer to edge-on than this (cosine) counts as turned away.
constexpr double kEdgeOn = 1e-6;
/// A line lies on the faces it joins; single precision and a pixel's slope stay within this, and
/// the thinnest sheet is thicker.
constexpr double kOnSurfaceMm = 1.0;
/// Steps along a line, and the shortest stretch worth drawing.
constexpr double kStepPx = 0.7;
/// How far beside a line its faces are looked at: past the pixel the line itself runs through.
constexpr double kBesidePx = 1.2;
/// Steeper faces are too unsure to be looked at beside the line.
constexpr double kSteep = 0.08;
/// The middle of a rounding lies this share of its radius below the faces it joins (1 - cos 45).
constexpr double kRoundingSag = 0.3;
constexpr double kLeastStretchPx = 2.5;

std::optional<LineKind> kindOf(const Vec3& a, const Vec3& b, const Vec3& toward) {
  const bool a_faces = dot(a, toward) > kEdgeOn;
  const bool b_faces = dot(b, toward) > kEdgeOn;
  if (!a_faces && !b_faces) {
    return std::nullopt;
  }
  return a_faces && b_faces ? LineKind::kCrease : LineKind::kContour;
}

/// One side of a stretch of an edge: its face's normal, and the way into the face.
struct Side {
  Vec3 normal{}, into{};
};

std::optional<EdgeProbe> probeOf(const Side& side, double rounding_mm, const PictureView& view,
                                 double px_per_mm) {
  const double length = std::sqrt(dot(side.normal, side.normal));
  const Vec3 normal = seen(view, side.normal);
  const Vec3 into = seen(view, side.into);
  const double across = std::hypot(into[0], into[1]);
  if (normal[2] < kSteep * length || across == 0) {
    return std::nullopt;
  }
  EdgeProbe probe;
  probe.step = {into[0] / across, -into[1] / across};
  probe.slope = {-normal[0] / normal[2] / px_per_mm, normal[1] / normal[2] / px_per_mm};
  probe.slack_mm = kOnSurfaceMm + kRoundingSag * rounding_mm * length / normal[2];
  return probe;
}

/// Splits an edge where its kind changes, as a wheel's rim does.
void addEdge(std::vector<EdgeChain>& chains, const SurfaceEdge& edge, const PictureView& view,
             const PixelScale& scale) {
  std::optional<LineKind> last;
  for (std::size_t i = 0; i + 1 < edge.points.size(); ++i) {
    const Side a = {plus(edge.normals_a[i], edge.normals_a[i + 1]),
                    plus(edge.into_a[i], edge.into_a[i + 1])};
    const Side b = {plus(edge.normals_b[i], edge.normals_b[i + 1]),
                    plus(edge.into_b[i], edge.into_b[i + 1])};
    const auto kind = kindOf(a.normal, b.normal, view.toward);
    if (kind && kind != last) {
      chains.push_back({*kind, {scale.pixel(seen(view, edge.points[i]))}, {}});
    }
    if (kind) {
      EdgeChain& chain = chains.back();
      chain.pixels.push_back(scale.pixel(seen(view, edge.points[i + 1])));
      chain.probes.emplace_back();
      for (const Side& side : {a, b}) {
        if (const auto probe = probeOf(side, edge.rounding_mm, view, scale.px_per_mm)) {
          chain.probes.back().push_back(*probe);
        }
      }
    }
    last = kind;
  }
}

/// The outline across one triangle of a curved face: where the normal stands across the view.
void addOutline(std::vector<EdgeChain>& chains, const SurfaceTriangle& triangle,
                const PictureView& view, const PixelScale& scale) {
  std::array<double, 3> facing{};
  for (int i = 0; i < 3; ++i) {
    facing[i] = dot(triangle.normals[i], view.toward);
  }
  std::vector<Vec3> cuts;
  for (int i = 0; i < 3; ++i) {
    const int j = (i + 1) % 3;
    if ((facing[i] > 0) != (facing[j] > 0)) {
      const double share = facing[i] / (facing[i] - facing[j]);
      const Vec3 side = minus(triangle.corners[j], triangle.corners[i]);
      cuts.push_back(scale.pixel(seen(view, plus(triangle.corners[i], side, share))));
    }
  }
  if (cuts.size() == 2) {
    chains.push_back({LineKind::kContour, cuts, {}});
  }
}

double lengthOf(const SheetLoop& line) {
  double length = 0;
  for (std::size_t i = 1; i < line.size(); ++i) {
    length += std::hypot(line[i][0] - line[i - 1][0], line[i][1] - line[i - 1][1]);
  }
  return length;
}

/// Collects stretches while walking a chain.
class StretchWalker {
 public:
  explicit StretchWalker(const PictureBuffer& buffer) : buffer_(buffer) {}

  void step(const Vec3& at, const std::vector<EdgeProbe>& probes, bool is_corner) {
    if (!shows(at, probes)) {
      finish();
      return;
    }
    const SheetPoint here = {at[0], at[1]};
    if (current_.size() > 1 && !last_is_corner_) {
      current_.back() = here;  // straight on
    } else {
      current_.push_back(here);
    }
    last_is_corner_ = is_corner || current_.size() == 1;
  }

  void finish() {
    if (lengthOf(current_) >= kLeastStretchPx) {
      stretches_.push_back(current_);
    }
    current_.clear();
  }

  std::vector<SheetLoop> take() { return std::move(stretches_); }

 private:
  bool shows(const Vec3& at, const std::vector<EdgeProbe>& probes) const {
    for (const EdgeProbe& probe : probes) {
      const int x = static_cast<int>(std::floor(at[0] + kBesidePx * probe.step[0]));
      const int y = static_cast<int>(std::floor(at[1] + kBesidePx * probe.step[1]));
      const double face =
          at[2] + probe.slope[0] * (x + 0.5 - at[0]) + probe.slope[1] * (y + 0.5 - at[1]);
      if (buffer_.depth(x, y) <= face + probe.slack_mm) {
        return true;
      }
    }
    return probes.empty() && buffer_.shows(at, kOnSurfaceMm);
  }

  const PictureBuffer& buffer_;
  SheetLoop current_;
  bool last_is_corner_ = true;
  std::vector<SheetLoop> stretches_;
};

}  // namespace

std::vector<EdgeChain> edgeChains(const PictureSurface& surface, const PictureView& view,
                                  const PixelScale& scale) {
  std::vector<EdgeChain> chains;
  for (const SurfaceEdge& edge : surface.edges) {
    addEdge(chains, edge, view, scale);
  }
  for (const SurfaceTriangle& triangle : surface.triangles) {
    if (triangle.curved) {
      addOutline(chains, triangle, view, scale);
    }
  }
  return chains;
}

std::vector<SheetLoop> visibleStretches(const EdgeChain& chain, const PictureBuffer& buffer) {
  static const std::vector<EdgeProbe> kNone;
  StretchWalker walker(buffer);
  for (std::size_t i = 0; i + 1 < chain.pixels.size(); ++i) {
    const std::vector<EdgeProbe>& probes = chain.probes.empty() ? kNone : chain.probes[i];
    const Vec3& from = chain.pixels[i];
    const Vec3 run = minus(chain.pixels[i + 1], from);
    const int steps =
        std::max(1, static_cast<int>(std::ceil(std::hypot(run[0], run[1]) / kStepPx)));
    for (int step = i == 0 ? 0 : 1; step <= steps; ++step) {
      walker.step(plus(from, run, static_cast<double>(step) / steps), probes, step == steps);
    }
  }
  walker.finish();
  return walker.take();
}

}  // namespace leafstack
