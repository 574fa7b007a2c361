#include "exporters/cad/dxf/profiles.h"

#include <algorithm>
#include <utility>

#include "exporters/bytes/csv.h"
#include "exporters/bytes/rounding.h"
#include "exporters/cad/dxf/mark_place.h"
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

MarkLoop chordsOf(const ProfileLoop& loop) {
  if (loop.is_circle) {
    return circleLoop(loop.x_mm, loop.y_mm, loop.radius_mm);
  }
  MarkLoop chords;
  for (std::size_t i = 0; i < loop.vertices.size(); ++i) {
    const ProfileVertex& from = loop.vertices[i];
    const ProfileVertex& to = loop.vertices[(i + 1) % loop.vertices.size()];
    addChords(chords, {from.x_mm, from.y_mm}, from.bulge, {to.x_mm, to.y_mm});
  }
  return chords;
}

/// The mark on metal, off edges and folds.
void addMark(DxfDrawing& drawing, const ProfileRow& row) {
  constexpr double kOffEdgeMm = 2;
  const FlatProfile& profile = *row.profile;
  std::vector<MarkLoop> holes;
  for (std::size_t i = 1; i < profile.loops.size(); ++i) {
    holes.push_back(chordsOf(profile.loops[i]));
  }
  for (const BendLine& bend : profile.bends) {
    holes.push_back({{bend.x_mm, bend.from_mm}, {bend.x_mm, bend.to_mm}});
  }
  if (const auto at = placeMark(row.mark, chordsOf(profile.loops.front()), holes, kOffEdgeMm)) {
    drawing.text(kMark, at->x_mm, at->y_mm, at->height_mm, row.mark);
  }
}

void addMarks(DxfDrawing& drawing, const ProfileRow& row) {
  constexpr double kInsideMm = 3;
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
  addMark(drawing, row);
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
