#include "exporters/paper/pictures/picture.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "exporters/cad/palette.h"
#include "exporters/paper/sheet/window.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kMarginUnits = 36;
/// A short high gate is drawn smaller.
constexpr double kMostHeight = 1200;
/// Round faces are filled within this of their lines: a third of a contour's width.
constexpr double kFillSagUnits = 0.25;
/// What is smaller is not seen.
constexpr double kSpeckUnits2 = 0.25, kShortestUnits = 0.5;
constexpr int kFlatTones = 24, kCurvedTones = 4;
/// The footing's top shows; the driveway around lies a hair lower.
constexpr double kUnderFootingMm = 2;
constexpr Rgb8 kDrivewayColour = {240, 238, 233};
constexpr double kSiteHaze = 0.5;

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

/// Positive or negative by sense.
double areaOf(const SheetLoop& loop) {
  double twice = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const SheetPoint& p = loop[i];
    const SheetPoint& q = loop[(i + 1) % loop.size()];
    twice += p[0] * q[1] - p[1] * q[0];
  }
  return twice / 2;
}

/// X of the layout's frame in the model's.
Vec3 groundAt(const Model& model, double layout_x, double y) {
  return {model.opening_sign * layout_x, y, model.layout.ground.heightMm(layout_x, y)};
}

/// Front left, front right, back right, back left, in the layout's frame.
std::array<std::array<double, 2>, 4> drivewayOf(const Model& model) {
  double behind = 0;
  for (const Instance& instance : model.instances) {
    behind = std::max(behind, instance.bounds.high[1] + kDrivewayBehindMm);
  }
  const double opening = model.layout.opening_mm;
  return {{{0, -kDrivewayBeforeMm}, {opening, -kDrivewayBeforeMm}, {opening, behind}, {0, behind}}};
}

/// Where the driveway bends across: at the tracks where each has its line.
std::vector<double> drivewayRows(const Model& model, double from_y, double to_y) {
  const GroundLayout& ground = model.layout.ground;
  std::vector<double> rows{from_y};
  for (std::size_t track = 0; track < ground.track_lines.size(); ++track) {
    rows.push_back(ground.front_track_y_mm + static_cast<double>(track) * ground.track_apart_mm);
  }
  rows.push_back(to_y);
  return rows;
}

/// The driveway as flat pieces; bent ground in strips.
std::shared_ptr<const FlatPieces> drivewayPieces(const Model& model) {
  const auto corners = drivewayOf(model);
  const GroundLayout& ground = model.layout.ground;
  const int strips = ground.line.isStraight() && ground.track_lines.empty() ? 1 : kDrivewayStrips;
  const std::vector<double> rows = drivewayRows(model, corners[0][1], corners[2][1]);
  PartMesh mesh;
  for (int piece = 0; piece < strips * static_cast<int>(rows.size() - 1); ++piece) {
    const int strip = piece % strips;
    const std::size_t row = static_cast<std::size_t>(piece / strips);
    const int first = static_cast<int>(mesh.points.size());
    for (int i = 0; i < 4; ++i) {
      const double share = (strip + (i == 1 || i == 2 ? 1.0 : 0.0)) / strips;
      Vec3 corner = groundAt(model, share * model.layout.opening_mm, rows[row + (i > 1 ? 1 : 0)]);
      corner[2] += model.layout.heights.footing_top_mm - kUnderFootingMm;
      mesh.points.push_back(corner);
    }
    const int second = model.opening_sign > 0 ? first + 1 : first + 3;  // seen from above
    const int last = model.opening_sign > 0 ? first + 3 : first + 1;
    mesh.add({{first, second, first + 2}, mesh.face_count, 0}, nullptr);
    mesh.add({{first, first + 2, last}, mesh.face_count, 0}, nullptr);
    ++mesh.face_count;
  }
  return std::make_shared<const FlatPieces>(mesh);
}

/// What points span, as seen.
struct SeenExtent {
  PictureView view;
  std::array<double, 2> low{}, high{};
  bool is_empty = true;

  void include(const Vec3& point) {
    const Vec3 at = seen(view, point);
    for (int axis = 0; axis < 2; ++axis) {
      low[axis] = is_empty ? at[axis] : std::min(low[axis], at[axis]);
      high[axis] = is_empty ? at[axis] : std::max(high[axis], at[axis]);
    }
    is_empty = false;
  }
};

/// Every position of the travel, the driveway and the measures before it.
SeenExtent extentOf(const Model& model) {
  SeenExtent extent{roadView(model.opening_sign)};
  for (const Instance& instance : model.instances) {
    const Pose open = model.poseAt(instance.body, model.layout.drive_travel_mm);
    for (int corner = 0; corner < 8; ++corner) {
      Vec3 point{};
      for (int axis = 0; axis < 3; ++axis) {
        point[axis] =
            (corner >> axis & 1) != 0 ? instance.bounds.high[axis] : instance.bounds.low[axis];
      }
      extent.include(point);
      extent.include(carried(open, point));
    }
  }
  for (const auto& [x, y] : drivewayOf(model)) {
    extent.include(groundAt(model, x, y));
  }
  extent.include(
      groundAt(model, model.layout.opening_mm + model.layout.room_total_mm, -kMeasureBeforeMm));
  return extent;
}

/// Scale and sheet, the same for every position.
PictureDrawing frameOf(const Model& model) {
  const SeenExtent extent = extentOf(model);
  const double across_mm = extent.high[0] - extent.low[0];
  const double up_mm = extent.high[1] - extent.low[1];
  PictureDrawing frame;
  SheetScale& scale = frame.scale;
  scale.units_per_mm = std::min((kPictureWidth - 2 * kMarginUnits) / across_mm,
                                (kMostHeight - 2 * kMarginUnits) / up_mm);
  scale.left_mm = (extent.low[0] + extent.high[0] - kPictureWidth / scale.units_per_mm) / 2;
  scale.top_mm = extent.high[1] + kMarginUnits / scale.units_per_mm;
  frame.width = kPictureWidth;
  frame.height = std::ceil(up_mm * scale.units_per_mm + 2 * kMarginUnits);
  frame.is_mirrored = model.opening_sign < 0;
  return frame;
}

/// What a picture is made of: every instance but ropes, which are lines.
struct PictureScene {
  std::vector<int> instances;
  std::vector<PlacedPieces> pieces;  ///< one for each, and the driveway
  std::vector<PlacedViewSolid> solids;
};

class Painter {
 public:
  Painter(const Model& model, double drive_mm, PictureDrawing& drawing)
      : model_(model), drive_mm_(drive_mm), view_(roadView(model.opening_sign)), drawing_(drawing) {
    const double s = model.opening_sign;
    light_ = {-0.30 * s, -0.60, 0.74};
  }

  void paint(const PictureScene& scene) {
    takeFills(scene);
    takeLines(scene);
    takeMeasures();
  }

 private:
  SheetPoint onSheet(const Vec3& point) const {
    const Vec3 at = seen(view_, point);
    return drawing_.scale.at(at[0], at[1]);
  }

  /// Panels behind the front one pale a little with every row.
  double hazeOf(int panel) const {
    return panel == 0 ? 0 : 0.13 * (model_.layout.panel_count - panel);
  }

  Rgb8 toneOf(const Instance& instance, bool is_curved, const Vec3& normal) const {
    const Part& part = model_.parts[instance.part];
    const int tones = is_curved ? kCurvedTones : kFlatTones;
    const double lambert = std::round(std::max(0.0, dot(normal, light_)) * tones) / tones;
    const bool is_ground = part.kind == PartKind::kFooting || part.kind == PartKind::kFencePost ||
                           part.kind == PartKind::kObstacle;
    return colourOf(materialColour(part.material), 0.62 + 0.56 * lambert,
                    is_ground ? kSiteHaze : hazeOf(instance.panel));
  }

  void takeFills(const PictureScene& scene) {
    std::map<std::pair<int, Rgb8>, std::vector<SheetLoop>> fills;
    for (const SeenRegion& region : painted(scene.pieces, view_)) {
      std::pair<int, Rgb8> key = {0, kDrivewayColour};
      if (region.solid < static_cast<int>(scene.instances.size())) {
        const Instance& instance = model_.instances[scene.instances[region.solid]];
        const bool is_curved = scene.pieces[region.solid].solid->pieces[region.piece].is_curved;
        key = {instance.panel, toneOf(instance, is_curved, region.normal)};
      }
      for (const auto& loop : region.loops) {
        SheetLoop on_sheet;
        for (const auto& [right, up] : loop) {
          on_sheet.push_back(drawing_.scale.at(right, up));
        }
        if (std::abs(areaOf(on_sheet)) >= kSpeckUnits2) {
          fills[key].push_back(std::move(on_sheet));
        }
      }
    }
    for (auto& [key, loops] : fills) {
      drawing_.fills.push_back({key.first, key.second, std::move(loops)});
    }
  }

  void takeLines(const PictureScene& scene) {
    ViewOptions options;
    options.least_length_mm = kShortestUnits / drawing_.scale.units_per_mm;
    for (const RopeRun& rope : model_.ropes) {
      options.loose_lines.push_back(ropeLine(rope));
    }
    const FlatPieces& driveway = *scene.pieces.back().solid;
    for (const FlatPieces::Piece& strip : driveway.pieces) {
      const std::vector<int>& corners = strip.loops.front();
      for (std::size_t i = 2; i < corners.size(); ++i) {
        options.loose_triangles.push_back({driveway.points[corners[0]],
                                           driveway.points[corners[i - 1]],
                                           driveway.points[corners[i]]});
      }
    }
    for (const ViewCurve& curve : projected(scene.solids, view_, options)) {
      const int rope = curve.solid - static_cast<int>(scene.instances.size());
      const int instance = rope < 0 ? scene.instances[curve.solid] : model_.ropes[rope].instance;
      PictureLine line;
      line.instance = instance;
      line.panel = model_.instances[instance].panel;
      line.kind = rope >= 0          ? LineKind::kRope
                  : curve.is_contour ? LineKind::kContour
                                     : LineKind::kCrease;
      for (const PathVertex& vertex : withoutArcs(curve.vertices, curve.is_closed)) {
        line.points.push_back(drawing_.scale.at(vertex.x_mm, vertex.y_mm));
      }
      if (curve.is_closed) {
        line.points.push_back(line.points.front());
      }
      drawing_.lines.push_back(std::move(line));
    }
  }

  std::vector<Vec3> ropeLine(const RopeRun& rope) const {
    const TopLoc_Location location =
        locationAt(model_, model_.instances.at(rope.instance), drive_mm_);
    const gp_Trsf motion = location.Transformation();
    std::vector<Vec3> line;
    for (const auto& point : ropeLineAt(model_, rope, drive_mm_)) {
      gp_XYZ at(point[0], point[1], point[2]);
      motion.Transforms(at);
      line.push_back({at.X(), at.Y(), at.Z()});
    }
    return line;
  }

  void takeMeasures() {
    const Layout& layout = model_.layout;
    measure(0, layout.opening_mm, "opening " + shown(std::round(layout.opening_mm)));
    measure(layout.opening_mm, layout.opening_mm + layout.room_total_mm,
            "room " + shown(std::round(layout.room_total_mm)));
  }

  void measure(double from, double to, const std::string& text) {
    const double y = -kMeasureBeforeMm;
    const double post = -model_.spec.site.fence_post_mm;
    drawing_.measures.push_back(
        {onSheet(groundAt(model_, from, y)), onSheet(groundAt(model_, to, y)),
         onSheet(groundAt(model_, from, post)), onSheet(groundAt(model_, to, post)), text});
  }

  const Model& model_;
  double drive_mm_;
  PictureView view_;
  Vec3 light_{};
  PictureDrawing& drawing_;
};

}  // namespace

GatePictures::GatePictures(const Model& model)
    : model_(model), views_(model), frame_(frameOf(model)) {
  const double sag_mm = kFillSagUnits / frame_.scale.units_per_mm;
  for (const Part& part : model.parts) {
    pieces_.push_back(part.kind == PartKind::kRope
                          ? nullptr
                          : std::make_shared<const FlatPieces>(partMesh(part.solid, {sag_mm})));
  }
  pieces_.push_back(drivewayPieces(model));
}

PictureDrawing GatePictures::at(double drive_mm) const {
  PictureScene scene;
  for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
    const Instance& instance = model_.instances[i];
    if (model_.parts[instance.part].kind != PartKind::kRope) {
      scene.instances.push_back(i);
      scene.solids.push_back(views_.placed(i, drive_mm));
      scene.pieces.push_back({pieces_[instance.part], scene.solids.back().location});
    }
  }
  scene.pieces.push_back({pieces_.back(), {}});
  PictureDrawing drawing = frame_;
  Painter(model_, drive_mm, drawing).paint(scene);
  return drawing;
}

std::string GatePictures::svgAt(double drive_mm) const {
  return pictureSvg(model_, drive_mm, at(drive_mm));
}

std::string travelState(const Model& model, double drive_mm) {
  const Layout& layout = model.layout;
  if (drive_mm <= kLengthEqualMm) {
    return "closed";
  }
  if (drive_mm >= layout.drive_travel_mm - kLengthEqualMm) {
    return "open";
  }
  const double front_mm = layout.goneMm(layout.panel_count, drive_mm);
  return shown(std::round(front_mm)) + " of " + shown(std::round(layout.travel_mm)) + " mm open";
}

}  // namespace leafstack
