#include "exporters/cad/dxf/profiles.h"

#include <algorithm>
#include <utility>

#include "exporters/bytes/csv.h"
#include "exporters/bytes/rounding.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr const char* kCut = "CUT";
constexpr const char* kBend = "BEND";
constexpr const char* kMark = "MARK";
// Colour numbers of the format: white, red, green.
constexpr int kCutColour = 7, kBendColour = 1, kMarkColour = 3;

void addLoop(DxfDrawing& drawing, const ProfileLoop& loop) {
  if (loop.is_circle) {
    drawing.circle(kCut, loop.x_mm, loop.y_mm, loop.radius_mm);
    return;
  }
  std::vector<DxfVertex> vertices;
  for (const ProfileVertex& vertex : loop.vertices) {
    vertices.push_back({vertex.x_mm, vertex.y_mm, vertex.bulge});
  }
  drawing.closedPolyline(kCut, std::move(vertices));
}

void addMarks(DxfDrawing& drawing, const ProfileRow& row) {
  constexpr double kTextMm = 5, kInsideMm = 3, kTextShare = 0.12;
  const FlatProfile& profile = *row.profile;
  drawing.layer(kBend, kBendColour, "DASHED");
  drawing.layer(kMark, kMarkColour);
  for (const BendLine& bend : profile.bends) {
    drawing.line(kBend, bend.x_mm, bend.from_mm, bend.x_mm, bend.to_mm);
    drawing.text(kBend, bend.x_mm + 1, bend.from_mm + kInsideMm, kInsideMm,
                 std::string(bend.up ? "up " : "down ") + shown(bend.angle_deg, 1) + " r" +
                     shown(bend.radius_mm),
                 90);
  }
  const double height =
      std::min(kTextMm, kTextShare * std::min(profile.width_mm, profile.height_mm));
  drawing.text(kMark, kInsideMm, kInsideMm, height, row.mark);
}

}  // namespace

std::string profileDxf(const ProfileRow& row, const ProfileOptions& options) {
  DxfDrawing drawing;
  drawing.layer(kCut, kCutColour);
  for (const ProfileLoop& loop : row.profile->loops) {
    addLoop(drawing, loop);
  }
  if (options.with_marks) {
    addMarks(drawing, row);
  }
  return drawing.file(options.version);
}

std::string profilesCsv(const Schedules& schedules) {
  std::string csv =
      csvLine({"mark", "name", "material", "thickness_mm", "quantity", "width_mm", "height_mm",
               "cut_area_mm2", "holes", "smallest_hole_mm", "folds", "file", "note"});
  for (const ProfileRow& row : schedules.profiles) {
    if (!row.profile) {
      csv += csvLine({row.mark, row.name, row.material, "", std::to_string(row.quantity), "", "",
                      "", "", "", "", "", row.note});
      continue;
    }
    const FlatProfile& profile = *row.profile;
    const double hole = profile.smallestHoleMm();
    csv += csvLine({row.mark, row.name, row.material, shown(row.thickness_mm),
                    std::to_string(row.quantity), fixedDecimals(profile.width_mm, 3),
                    fixedDecimals(profile.height_mm, 3), fixedDecimals(profile.area_mm2, 1),
                    std::to_string(profile.loops.size() - 1), hole > 0 ? shown(hole) : "",
                    std::to_string(profile.bends.size()), row.file, row.note});
  }
  return csv;
}

}  // namespace leafstack
