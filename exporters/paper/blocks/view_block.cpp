#include "exporters/paper/blocks/view_block.h"

#include <cmath>

#include "exporters/paper/blocks/annotator.h"
#include "generator/geometry/numbers.h"
#include "generator/geometry/triangles.h"

namespace leafstack {
namespace {

constexpr double kViewTitleMm = 3.5;  // capitals
constexpr double kOverViewMm = 4;     // title above everything else

std::vector<PathVertex> scaled(std::vector<PathVertex> vertices, double mm_per_mm) {
  for (PathVertex& vertex : vertices) {
    vertex.x_mm /= mm_per_mm;
    vertex.y_mm /= mm_per_mm;
  }
  return vertices;
}

std::vector<std::vector<PathVertex>> scaled(std::vector<std::vector<PathVertex>> loops,
                                            double mm_per_mm) {
  for (auto& loop : loops) {
    loop = scaled(std::move(loop), mm_per_mm);
  }
  return loops;
}

}  // namespace

std::string scaleText(double mm_per_mm) {
  return mm_per_mm >= 1 ? "1:" + shown(mm_per_mm) : shown(1 / mm_per_mm) + ":1";
}

void ViewBlock::curve(LineRole role, std::vector<PathVertex> vertices, bool is_closed) {
  Sheet one;
  one.paths.push_back({role, vertices, is_closed});
  line_bounds_.include(extentsOf(one));
  bounds_.include(line_bounds_);
  curves_.push_back({role, std::move(vertices), is_closed});
}

void ViewBlock::curves(const std::vector<ViewCurve>& curves,
                       const std::function<LineRole(const ViewCurve&)>& role_of) {
  for (const ViewCurve& one : curves) {
    curve(role_of(one), one.vertices, one.is_closed);
  }
}

void ViewBlock::area(std::vector<std::vector<PathVertex>> loops, double grey) {
  areas_.push_back({std::move(loops), grey});
}

void ViewBlock::cutFace(const std::vector<std::vector<PathVertex>>& loops, double spacing_mm,
                        double angle_deg) {
  for (const auto& loop : loops) {
    curve(LineRole::kVisible, loop, true);
  }
  hatch(loops, spacing_mm, angle_deg);
}

void ViewBlock::line(LineRole role, const Vec3& from, const Vec3& to) {
  const Vec3 a = seen(view_, from);
  const Vec3 b = seen(view_, to);
  curve(role, {{a[0], a[1]}, {b[0], b[1]}});
}

void ViewBlock::chain(Side side, const std::vector<Vec3>& points) {
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    linear({side, points[i], points[i + 1]});
  }
}

void ViewBlock::include(const Vec3& point) {
  const Vec3 at = seen(view_, point);
  bounds_.include(PaperPoint{at[0], at[1]});
}

Sheet ViewBlock::drawnAt(double mm_per_mm) const {
  Sheet sheet;
  for (const Shade& shade : areas_) {
    sheet.areas.push_back({scaled(shade.loops, mm_per_mm), shade.grey});
  }
  for (const Cut& cut : cuts_) {
    const auto lines = hatching(scaled(cut.loops, mm_per_mm), cut.spacing_mm, cut.angle_deg);
    sheet.paths.insert(sheet.paths.end(), lines.begin(), lines.end());
  }
  for (const Curve& one : curves_) {
    sheet.paths.push_back({one.role, scaled(one.vertices, mm_per_mm), one.is_closed});
  }
  const PaperBox outline{bounds_.left_mm / mm_per_mm, bounds_.bottom_mm / mm_per_mm,
                         bounds_.right_mm / mm_per_mm, bounds_.top_mm / mm_per_mm};
  Annotator annotator(sheet, view_, mm_per_mm, outline);
  for (const ViewRequest& request : requests_) {
    annotator.expect(request);
  }
  for (const ViewRequest& request : requests_) {
    annotator.place(request);
  }
  if (!title_.empty()) {
    PaperBox all = extentsOf(sheet);
    all.include(outline);
    std::string words = title_;
    if (says_scale_) {
      words += "  " + scaleText(mm_per_mm);
    }
    const double middle = (outline.left_mm + outline.right_mm) / 2;
    sheet.letterings.push_back(
        {words, {middle, all.top_mm + kOverViewMm}, kViewTitleMm, TextAnchor::kCentre, 0, true});
  }
  if (aligned_by_.x_mm == 0 && aligned_by_.y_mm == 0) {
    return sheet;
  }
  Sheet aligned;
  addMoved(aligned, sheet, {-aligned_by_.x_mm / mm_per_mm, -aligned_by_.y_mm / mm_per_mm});
  return aligned;
}

}  // namespace leafstack
