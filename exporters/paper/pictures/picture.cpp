#include "exporters/paper/pictures/picture.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>

#include "exporters/cad/palette.h"
#include "generator/geometry/numbers.h"
#include "generator/geometry/triangles.h"
#include "generator/occt/kernel_says.h"

namespace leafstack {
namespace {

constexpr double kMarginUnits = 36;
/// A short high gate is drawn smaller: bounds the memory too.
constexpr double kMostHeight = 1200;
/// Pixels of the buffer per sheet unit: a pixel is a third of a contour's width.
constexpr double kPxPerUnit = 4;
/// A straight side's steps lie half a pixel to either side of it.
constexpr double kTolerancePx = 1.05;
constexpr double kSpeckPx = 4;
constexpr int kFlatTones = 24, kCurvedTones = 4;
/// The footing's top shows; the driveway around lies a hair lower.
constexpr double kUnderFootingMm = 2;
constexpr Rgb8 kDrivewayColour = {240, 238, 233};
constexpr double kSiteHaze = 0.5;
constexpr double kSlenderLight = 0.7;

constexpr double kDrivewayBeforeMm = 900, kDrivewayBehindMm = 300;  // of the footing
constexpr double kMeasureBeforeMm = 480;
constexpr int kDrivewayStrips = 48;  // of bent ground

Rgb8 colourOf(const Rgb& material, double light, double haze) {
  Rgb8 colour{};
  for (int i = 0; i < 3; ++i) {
    const double lit = std::clamp(material[i] * light, 0.0, 1.0);
    colour[i] = static_cast<std::uint8_t>(std::lround(255 * (lit + (1 - lit) * haze)));
  }
  return colour;
}

class Painter {
 public:
  Painter(const Model& model, double drive_mm)
      : model_(model), drive_mm_(drive_mm), view_(roadView(model.opening_sign)) {
    for (int axis = 0; axis < 2; ++axis) {
      low_[axis] = std::numeric_limits<double>::infinity();
      high_[axis] = -low_[axis];
    }
    const double s = model.opening_sign;
    light_ = {-0.30 * s, -0.60, 0.74};
  }

  PictureDrawing paint() {
    frame();
    PictureBuffer buffer(static_cast<int>(std::ceil(drawing_.width * kPxPerUnit)),
                         static_cast<int>(std::ceil(drawing_.height * kPxPerUnit)));
    readSurfaces();
    fillDriveway(buffer);
    fillAll(buffer);
    takeFills(buffer);
    takeLines(buffer);
    takeRopes(buffer);
    takeMeasures();
    return std::move(drawing_);
  }

 private:
  /// X of the layout's frame in the model's.
  Vec3 ground(double layout_x, double y) const {
    return {model_.opening_sign * layout_x, y, model_.layout.ground.heightMm(layout_x, y)};
  }

  void include(const Vec3& point) {
    const Vec3 at = seen(view_, point);
    for (int axis = 0; axis < 2; ++axis) {
      low_[axis] = std::min(low_[axis], at[axis]);
      high_[axis] = std::max(high_[axis], at[axis]);
    }
  }

  /// Scale and sheet: room for every position of the travel, so that all share one frame.
  void frame() {
    for (const Instance& instance : model_.instances) {
      const Pose open = model_.poseAt(instance.body, model_.layout.drive_travel_mm);
      for (int corner = 0; corner < 8; ++corner) {
        Vec3 point{};
        for (int axis = 0; axis < 3; ++axis) {
          point[axis] =
              (corner >> axis & 1) != 0 ? instance.bounds.high[axis] : instance.bounds.low[axis];
        }
        include(point);
        include(carried(open, point));
      }
    }
    for (const Vec3& corner : driveway()) {
      include(corner);
    }
    include(ground(model_.layout.opening_mm + model_.layout.room_mm, -kMeasureBeforeMm));
    const double across_mm = high_[0] - low_[0];
    const double up_mm = high_[1] - low_[1];
    const double units_per_mm = std::min((kPictureWidth - 2 * kMarginUnits) / across_mm,
                                         (kMostHeight - 2 * kMarginUnits) / up_mm);
    drawing_.width = kPictureWidth;
    drawing_.height = std::ceil(up_mm * units_per_mm + 2 * kMarginUnits);
    drawing_.is_mirrored = model_.opening_sign < 0;
    drawing_.scale = {units_per_mm, (low_[0] + high_[0] - kPictureWidth / units_per_mm) / 2,
                      high_[1] + kMarginUnits / units_per_mm};
    scale_ = drawing_.scale;
    scale_.px_per_mm *= kPxPerUnit;
  }

  std::vector<Vec3> driveway() const {
    const double before = -kDrivewayBeforeMm;
    double behind = 0;
    for (const Instance& instance : model_.instances) {
      behind = std::max(behind, instance.bounds.high[1] + kDrivewayBehindMm);
    }
    const double opening = model_.layout.opening_mm;
    return {ground(0, before), ground(opening, before), ground(opening, behind), ground(0, behind)};
  }

  void readSurfaces() {
    surfaces_.resize(model_.parts.size());
    for (std::size_t i = 0; i < model_.parts.size(); ++i) {
      const Part& part = model_.parts[i];
      if (part.kind != PartKind::kRope) {
        kernelSays(part.in_words, [&] { surfaces_[i] = pictureSurface(part.solid); });
      }
    }
  }

  PictureSurface surfaceOf(const Instance& instance) const {
    return placed(surfaces_[instance.part], locationAt(model_, instance, drive_mm_));
  }

  /// Panels behind the front one pale a little with every row.
  double hazeOf(int panel) const {
    return panel == 0 ? 0 : 0.13 * (model_.layout.panel_count - panel);
  }

  std::uint16_t labelOf(const Instance& instance, const SurfaceTriangle& triangle) {
    const Part& part = model_.parts[instance.part];
    const int tones = triangle.curved ? kCurvedTones : kFlatTones;
    const double lambert =
        triangle.slender
            ? kSlenderLight
            : std::round(std::max(0.0, dot(triangle.shade_normal, light_)) * tones) / tones;
    const bool is_ground = part.kind == PartKind::kFooting || part.kind == PartKind::kFencePost;
    const Rgb8 colour = colourOf(materialColour(part.material), 0.62 + 0.56 * lambert,
                                 is_ground ? kSiteHaze : hazeOf(instance.panel));
    const auto [it, is_new] = labels_.try_emplace(
        {instance.panel, colour}, static_cast<std::uint16_t>(drawing_.fills.size() + 1));
    if (is_new) {
      drawing_.fills.push_back({instance.panel, colour, {}});
    }
    return it->second;
  }

  void fillAll(PictureBuffer& buffer) {
    for (const Instance& instance : model_.instances) {
      const PictureSurface surface = surfaceOf(instance);
      for (const SurfaceTriangle& triangle : surface.triangles) {
        const auto& c = triangle.corners;
        if (dot(cross(minus(c[1], c[0]), minus(c[2], c[0])), view_.toward) <= 0) {
          continue;
        }
        std::array<Vec3, 3> pixels{};
        for (int i = 0; i < 3; ++i) {
          pixels[i] = scale_.pixel(seen(view_, c[i]));
        }
        buffer.fill(pixels, labelOf(instance, triangle));
      }
    }
  }

  /// The driveway meets the footing's edges and hides its sides. It follows the ground in strips.
  void fillDriveway(PictureBuffer& buffer) {
    drawing_.fills.push_back({0, kDrivewayColour, {}});
    const auto label = static_cast<std::uint16_t>(drawing_.fills.size());
    labels_[{0, kDrivewayColour}] = label;
    const std::vector<Vec3> corners = driveway();
    const int strips = model_.layout.ground.line.isStraight() ? 1 : kDrivewayStrips;
    for (int strip = 0; strip < strips; ++strip) {
      std::array<Vec3, 4> pixels{};
      for (int i = 0; i < 4; ++i) {
        const bool far = i == 1 || i == 2;
        const double share = double(strip + (far ? 1 : 0)) / strips;
        const double y = corners[i][1];
        Vec3 corner = ground(share * model_.layout.opening_mm, y);
        corner[2] += model_.layout.heights.footing_top_mm - kUnderFootingMm;
        pixels[i] = scale_.pixel(seen(view_, corner));
      }
      buffer.fill({pixels[0], pixels[1], pixels[2]}, label);
      buffer.fill({pixels[0], pixels[2], pixels[3]}, label);
    }
  }

  SheetPoint onSheet(const SheetPoint& pixel) const {
    return {pixel[0] / kPxPerUnit, pixel[1] / kPxPerUnit};
  }
  SheetPoint onSheet(const Vec3& point) const {
    const Vec3 pixel = scale_.pixel(seen(view_, point));
    return onSheet(SheetPoint{pixel[0], pixel[1]});
  }
  SheetLoop onSheet(SheetLoop loop) const {
    for (SheetPoint& point : loop) {
      point = onSheet(point);
    }
    return loop;
  }

  void takeFills(const PictureBuffer& buffer) {
    const auto outlines = buffer.outlines(kTolerancePx, kSpeckPx);
    for (std::size_t label = 1; label < outlines.size(); ++label) {
      for (const SheetLoop& loop : outlines[label]) {
        drawing_.fills[label - 1].loops.push_back(onSheet(loop));
      }
    }
    std::erase_if(drawing_.fills, [](const PictureFill& fill) { return fill.loops.empty(); });
    std::stable_sort(drawing_.fills.begin(), drawing_.fills.end(),
                     [](const PictureFill& a, const PictureFill& b) { return a.panel < b.panel; });
  }

  void takeLines(const PictureBuffer& buffer) {
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      for (const EdgeChain& chain : edgeChains(surfaceOf(model_.instances[i]), view_, scale_)) {
        addLines(chain, i, buffer);
      }
    }
  }

  void takeRopes(const PictureBuffer& buffer) {
    for (const RopeRun& rope : model_.ropes) {
      const TopLoc_Location location =
          locationAt(model_, model_.instances.at(rope.instance), drive_mm_);
      const gp_Trsf motion = location.Transformation();
      EdgeChain chain{LineKind::kRope, {}, {}};
      for (const auto& point : ropeLineAt(model_, rope, drive_mm_)) {
        gp_XYZ at(point[0], point[1], point[2]);
        motion.Transforms(at);
        chain.pixels.push_back(scale_.pixel(seen(view_, {at.X(), at.Y(), at.Z()})));
      }
      addLines(chain, rope.instance, buffer);
    }
  }

  void addLines(const EdgeChain& chain, int instance, const PictureBuffer& buffer) {
    for (const SheetLoop& stretch : visibleStretches(chain, buffer)) {
      drawing_.lines.push_back(
          {model_.instances[instance].panel, instance, chain.kind, onSheet(stretch)});
    }
  }

  void takeMeasures() {
    const Layout& layout = model_.layout;
    measure(0, layout.opening_mm, "opening " + shown(std::round(layout.opening_mm)));
    measure(layout.opening_mm, layout.opening_mm + layout.room_mm,
            "room " + shown(std::round(layout.room_mm)));
  }

  void measure(double from, double to, const std::string& text) {
    const double y = -kMeasureBeforeMm;
    const double post = -model_.spec.site.fence_post_mm;
    drawing_.measures.push_back({onSheet(ground(from, y)), onSheet(ground(to, y)),
                                 onSheet(ground(from, post)), onSheet(ground(to, post)), text});
  }

  const Model& model_;
  double drive_mm_;
  PictureView view_;
  Vec3 light_{};
  std::array<double, 2> low_{}, high_{};
  PixelScale scale_;
  std::vector<PictureSurface> surfaces_;  ///< by part
  std::map<std::pair<int, Rgb8>, std::uint16_t> labels_;
  PictureDrawing drawing_;
};

}  // namespace

PictureDrawing drawPicture(const Model& model, double drive_mm) {
  return Painter(model, drive_mm).paint();
}

std::string travelState(const Model& model, double drive_mm) {
  const Layout& layout = model.layout;
  if (drive_mm <= kLengthEqualMm) {
    return "closed";
  }
  if (drive_mm >= layout.drive_travel_mm - kLengthEqualMm) {
    return "open";
  }
  const double front_mm = layout.panel(layout.panel_count).speed_ratio * drive_mm;
  return shown(std::round(front_mm)) + " of " + shown(std::round(layout.travel_mm)) + " mm open";
}

}  // namespace leafstack
