// Boards or battens on a panel's front face, cut clear of its guide channel.
#include <algorithm>
#include <cmath>
#include <optional>

#include "generator/builder.h"
#include "generator/numbers.h"
#include "generator/parts/shared.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kCutClearMm = 5;         // cladding off channel, packer and return
constexpr double kNarrowestStripMm = 30;  // narrower strips are not worth a screw

/// A rectangle in the panel's (X, Z): X from its leading end, Z in the gate's frame.
struct Field {
  double x0 = 0, x1 = 0, z0 = 0, z1 = 0;
};

/// One board or batten: its rectangle, perhaps with the leading upper corner notched.
struct Strip {
  Field field;
  std::optional<Point2> notch;  ///< corner of the notch: X and Z from the strip's low corner
};

/// Fits a strip round the corner taken by the channel: x < corner.a and z > corner.b is not ours.
std::optional<Strip> clearOf(const std::optional<Point2>& corner, Field field) {
  const bool free = !corner || field.x0 >= corner->a || field.z1 <= corner->b;
  if (!free && field.x1 <= corner->a + kNarrowestStripMm) {
    field.z1 = corner->b;
  } else if (!free && field.z0 >= corner->b - kNarrowestStripMm) {
    field.x0 = corner->a;
  } else if (!free) {
    return Strip{field, Point2{corner->a - field.x0, corner->b - field.z0}};
  }
  if (field.x1 - field.x0 < kNarrowestStripMm || field.z1 - field.z0 < kNarrowestStripMm) {
    return std::nullopt;
  }
  return Strip{field, std::nullopt};
}

/// Starts and widths of strips of `width` with `gap` between over [low, high]; the last is ripped
/// to what is left, and shares with the one before when less than half a width is left.
std::vector<std::pair<double, double>> courses(double low, double high, const CladdingSpec& clad) {
  std::vector<std::pair<double, double>> result;
  const double pitch = clad.width_mm + clad.gap_mm;
  double at = low;
  for (; high - at > clad.width_mm - kLengthEqualMm; at += pitch) {
    result.emplace_back(at, clad.width_mm);
  }
  const double rest = high - at;
  if (rest >= clad.width_mm / 2) {
    result.emplace_back(at, rest);
  } else if (rest > kLengthEqualMm && !result.empty()) {
    const double from = result.back().first;
    const double shared = (high - from - clad.gap_mm) / 2;
    result.back().second = shared;
    result.emplace_back(from + shared + clad.gap_mm, shared);
  } else if (rest < -kLengthEqualMm && !result.empty()) {
    // Only the gap before the edge is left over: the last strip takes it.
    result.back().second = high - result.back().first;
  }
  return result;
}

void placeStrip(ModelBuilder& builder, const PanelFrame& panel, const Strip& strip, bool upright) {
  const CladdingSpec& clad = builder.spec().gate.cladding;
  const double w = strip.field.x1 - strip.field.x0;
  const double h = strip.field.z1 - strip.field.z0;
  PartSpec spec{upright ? PartKind::kBoard : PartKind::kBatten,
                Supply::kCutTimber,
                upright ? "board" : "batten",
                "timber",
                "timber " + sizes({upright ? w : h, clad.thickness_mm}),
                upright ? h : w};
  const Point2 notch = strip.notch.value_or(Point2{0, 0});
  if (strip.notch) {
    spec.cutouts.push_back("leading upper corner notched " + sizes({notch.a, h - notch.b}) +
                           " for the guide channel");
  }
  const int part =
      builder.part(spec, {w, h, clad.thickness_mm, notch.a, notch.b}, [&]() -> TopoDS_Shape {
        if (!strip.notch) {
          return box({0, 0, 0}, {w, clad.thickness_mm, h});
        }
        return prism(Plane::kXZ,
                     Outline::polygon({{0, 0}, {w, 0}, {w, h}, {notch.a, h}, notch, {0, notch.b}}),
                     {0, clad.thickness_mm});
      });
  const int instance = builder.place(part, panel.number,
                                     {panel.origin_mm[0] + strip.field.x0,
                                      panel.origin_mm[1] - clad.thickness_mm, strip.field.z0});
  builder.joinTouching(
      instance, {PartKind::kBottomRail, PartKind::kTopRail, PartKind::kStile, PartKind::kUpright},
      ContactKind::kBolted, "cladding is screwed to the frame's front face");
  if (clad.gap_mm <= kLengthEqualMm) {
    builder.joinTouching(instance, {PartKind::kBoard, PartKind::kBatten}, ContactKind::kStandsOn,
                         "boards without a gap lie edge to edge");
  }
}

}  // namespace

void addCladding(ModelBuilder& builder, const PanelFrame& panel) {
  const GateSpec& spec = builder.spec();
  const CladdingSpec& clad = spec.gate.cladding;
  if (clad.kind == CladdingKind::kNone) {
    return;
  }
  const HeightLayout& heights = builder.layout().heights;
  Field all{0, panel.frame_length_mm, heights.underside_mm + heights.cladding_bottom_up_mm,
            heights.top_mm};
  if (panel.number == 1 && builder.layout().return_panel.applies) {
    all.x1 = builder.layout().return_start_mm - panel.origin_mm[0] - kCutClearMm;
  }
  std::optional<Point2> corner;
  if (panel.carries_channel) {
    corner = Point2{spec.guides.channel_width_mm + kCutClearMm,
                    heights.channel_bottom_z_mm - kCutClearMm};
  }
  const bool upright = clad.kind == CladdingKind::kBoards;
  const auto rows = upright ? courses(all.x0, all.x1, clad) : courses(all.z0, all.z1, clad);
  for (const auto& [at, width] : rows) {
    const Field field =
        upright ? Field{at, at + width, all.z0, all.z1} : Field{all.x0, all.x1, at, at + width};
    if (const auto strip = clearOf(corner, field)) {
      placeStrip(builder, panel, *strip, upright);
    }
  }
}

}  // namespace leafstack
