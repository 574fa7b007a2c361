#include "exporters/paper/pictures/part_pictures.h"

#include <cairo/cairo.h>

#include <algorithm>
#include <numbers>
#include <utility>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/palette.h"
#include "generator/geometry/mesh/part_mesh.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

constexpr double kSagMm = 0.2;
constexpr Rgb kFirst = {0.85, 0.45, 0.10}, kSecond = {0.16, 0.44, 0.71},
              kOther = {0.80, 0.81, 0.82};
// Light falls from the eye's upper left.
constexpr double kAmbient = 0.65, kDirect = 0.4;
// What is in colour once more over all that hides it, this faintly.
constexpr double kThrough = 0.4;
constexpr double kRingPixels = 26, kRopePixels = 4;

struct Freed {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
};

/// Could any of the box be in the picture?
bool isSeen(const Bounds& box, const PictureView& view, const Vec3& middle, double half_wide,
            double half_high) {
  Vec3 low{1e300, 1e300, 0}, high{-1e300, -1e300, 0};
  for (int corner = 0; corner < 8; ++corner) {
    const Vec3 at =
        seen(view, {corner & 1 ? box.high[0] : box.low[0], corner & 2 ? box.high[1] : box.low[1],
                    corner & 4 ? box.high[2] : box.low[2]});
    for (int axis = 0; axis < 2; ++axis) {
      low[axis] = std::min(low[axis], at[axis] - middle[axis]);
      high[axis] = std::max(high[axis], at[axis] - middle[axis]);
    }
  }
  return low[0] < half_wide && high[0] > -half_wide && low[1] < half_high && high[1] > -half_high;
}

class Canvas {
 public:
  Canvas(int wide, int high)
      : surface_(cairo_image_surface_create(CAIRO_FORMAT_RGB24, wide, high)),
        context_(cairo_create(surface_.get())) {
    cairo_set_source_rgb(context_.get(), 1, 1, 1);
    cairo_paint(context_.get());
    cairo_set_fill_rule(context_.get(), CAIRO_FILL_RULE_WINDING);
    cairo_set_line_join(context_.get(), CAIRO_LINE_JOIN_ROUND);
  }

  void fill(const std::vector<std::vector<ViewPoint>>& loops, const Rgb& colour, bool has_outline,
            double alpha) {
    for (const auto& loop : loops) {
      for (std::size_t i = 0; i < loop.size(); ++i) {
        (i == 0 ? cairo_move_to : cairo_line_to)(context_.get(), loop[i][0], loop[i][1]);
      }
      cairo_close_path(context_.get());
    }
    cairo_set_source_rgba(context_.get(), colour[0], colour[1], colour[2], alpha);
    if (alpha < 1) {
      cairo_fill(context_.get());
      return;
    }
    cairo_fill_preserve(context_.get());
    // Under the outline of what is flat; else only over the hair's breadth to the next strip.
    const double ink = has_outline ? 0.55 : 1;
    cairo_set_source_rgb(context_.get(), ink * colour[0], ink * colour[1], ink * colour[2]);
    cairo_set_line_width(context_.get(), has_outline ? 0.9 : 0.7);
    cairo_stroke(context_.get());
  }

  /// A line as thick as this along every edge: what is thinner than a line is seen all the same.
  void trace(const std::vector<std::vector<ViewPoint>>& loops, const Rgb& colour, double pixels) {
    for (const auto& loop : loops) {
      for (std::size_t i = 0; i < loop.size(); ++i) {
        (i == 0 ? cairo_move_to : cairo_line_to)(context_.get(), loop[i][0], loop[i][1]);
      }
      cairo_close_path(context_.get());
    }
    cairo_set_source_rgb(context_.get(), colour[0], colour[1], colour[2]);
    cairo_set_line_width(context_.get(), pixels);
    cairo_stroke(context_.get());
  }

  void ring(double x, double y, double radius) {
    for (const auto& [width, grey] : {std::pair(4.0, 1.0), std::pair(1.8, 0.1)}) {
      cairo_new_path(context_.get());
      cairo_arc(context_.get(), x, y, radius, 0, 2 * std::numbers::pi);
      cairo_set_source_rgb(context_.get(), grey, grey, grey);
      cairo_set_line_width(context_.get(), width);
      cairo_stroke(context_.get());
    }
  }

  std::string png() {
    cairo_surface_flush(surface_.get());
    std::string bytes;
    const auto write = [](void* to, const unsigned char* data, unsigned size) {
      static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), size);
      return CAIRO_STATUS_SUCCESS;
    };
    if (cairo_surface_write_to_png_stream(surface_.get(), write, &bytes) != CAIRO_STATUS_SUCCESS) {
      throw ExportError("a picture could not be written as PNG");
    }
    return bytes;
  }

 private:
  std::unique_ptr<cairo_surface_t, Freed> surface_;
  std::unique_ptr<cairo_t, Freed> context_;
};

}  // namespace

std::shared_ptr<const FlatPieces> PartPictures::piecesOf(int part) {
  const std::lock_guard lock(mutex_);
  auto& pieces = known_[part];
  if (!pieces) {
    pieces = std::make_shared<const FlatPieces>(partMesh(model_.parts[part].solid, {kSagMm}));
  }
  return pieces;
}

std::string PartPictures::pngOf(const Finding& finding, const PictureCamera& camera) {
  std::vector<PicturedInstance> shown;
  for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
    const PictureRole role = i == finding.instance_a   ? PictureRole::kFirst
                             : i == finding.instance_b ? PictureRole::kSecond
                                                       : PictureRole::kAround;
    // Ropes are drawn where they were when closed: only where they are what it is about.
    if (model_.parts[model_.instances[i].part].kind != PartKind::kRope ||
        role != PictureRole::kAround) {
      shown.push_back({i, role});
    }
  }
  return drawn(shown, finding.worst_at_mm, camera, {}, true);
}

std::string PartPictures::pngOf(const std::vector<PicturedInstance>& shown, double drive_mm,
                                const PictureCamera& camera, const PicturePixels& pixels) {
  return drawn(shown, drive_mm, camera, pixels, false);
}

std::string PartPictures::drawn(const std::vector<PicturedInstance>& shown, double drive_mm,
                                const PictureCamera& camera, const PicturePixels& pixels,
                                bool has_ring) {
  const PictureView view{cross(camera.direction, camera.up), camera.up,
                         minus({0, 0, 0}, camera.direction)};
  const Vec3 middle = seen(view, camera.target_mm);
  const double half_wide = camera.half_height_mm * pixels.across / pixels.high;
  std::vector<PlacedPieces> solids, coloured;
  std::vector<PicturedInstance> roles, coloured_roles;
  for (const PicturedInstance& one : shown) {
    const auto& [index, role] = one;
    const Instance& instance = model_.instances[index];
    const Part& part = model_.parts[instance.part];
    const TopLoc_Location at = locationAt(model_, instance, drive_mm);
    const bool is_coloured = role != PictureRole::kAround;
    if (!is_coloured &&
        !isSeen(movedBounds(part.bounds, at), view, middle, half_wide, camera.half_height_mm)) {
      continue;
    }
    solids.push_back({piecesOf(instance.part), at});
    roles.push_back(one);
    if (is_coloured) {
      coloured.push_back(solids.back());
      coloured_roles.push_back(one);
    }
  }
  Canvas canvas(pixels.across, pixels.high);
  const double pixels_per_mm = pixels.high / (2 * camera.half_height_mm);
  const Vec3 light = {-0.4, 0.6, 0.7};  // right, up, to the eye
  const auto paint = [&](const std::vector<PlacedPieces>& what,
                         const std::vector<PicturedInstance>& whose, double alpha) {
    for (SeenRegion& region : painted(what, view)) {
      const PictureRole role = whose[region.solid].role;
      const Rgb base = role == PictureRole::kFirst    ? kFirst
                       : role == PictureRole::kSecond ? kSecond
                                                      : kOther;
      const double lit =
          std::min(1.0, kAmbient + kDirect * std::max(0.0, dot(seen(view, region.normal), light)));
      for (auto& loop : region.loops) {
        for (ViewPoint& point : loop) {
          point = {pixels.across / 2.0 + (point[0] - middle[0]) * pixels_per_mm,
                   pixels.high / 2.0 - (point[1] - middle[1]) * pixels_per_mm};
        }
      }
      const Part& part = model_.parts[model_.instances[whose[region.solid].instance].part];
      if (part.kind == PartKind::kRope && role != PictureRole::kAround) {
        canvas.trace(region.loops, base, kRopePixels);
      }
      canvas.fill(region.loops, {lit * base[0], lit * base[1], lit * base[2]},
                  !what[region.solid].solid->pieces[region.piece].is_curved, alpha);
    }
  };
  paint(solids, roles, 1);
  paint(coloured, coloured_roles, kThrough);
  if (has_ring) {
    canvas.ring(pixels.across / 2.0, pixels.high / 2.0, kRingPixels);
  }
  return canvas.png();
}

}  // namespace leafstack
