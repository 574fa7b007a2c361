// The rows of /as_built of the gate file's table.
#include "params/table/hardware_rows.h"

namespace leafstack {
namespace as_built_rows {  // the other tables have words of these names
namespace {

using enum Kind;

constexpr const char* kMeasured = "measured on site";
constexpr const char* kPractice = "common practice, no source";

// clang-format off
constexpr Parameter kTable[] = {
  {"/as_built", kGroup, "{}", "", kNoLimits, {},
   "What was measured on the finished gate and the slab; the rest stays as drawn", "", nowhere},
  {"/as_built/panels", kPanelsBuilt, "[]", "", {.most_items = 4}, {},
   "Measured panels, each with its number (1 is the back one)", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.panels; }},
  {"/as_built/tracks_mm", kSurvey, "[]", "mm",
   {.least = -50000, .most = 50000, .fewest_items = 0, .most_items = 200}, {},
   "Heights [x, z] measured along the laid track, or one such list for every track, back first: "
   "its upper edge over the height it is drawn at for X = 0", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.tracks_mm; }},
  {"/as_built/opening_mm", kAutoNumber, "\"auto\"", "mm", {900, 20500}, {},
   "Clear distance between the fence posts as built; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.opening_mm; }},
  {"/as_built/guide_mm", kAutoNumber, "\"auto\"", "mm", {900, 25000}, {},
   "Latch-side post to the middle of the fixed guide's channel; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.guide_mm; }},
  {"/as_built/guide_top_mm", kAutoNumber, "\"auto\"", "mm", {-2000, 6000}, {},
   "Upper end of that channel above the driveway at the latch-side post; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.guide_top_mm; }},
  {"/as_built/pinion_mm", kAutoNumber, "\"auto\"", "mm", {900, 25000}, {},
   "Latch-side post to the pinion's axis; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.pinion_mm; }},
  {"/as_built/pinion_up_mm", kAutoNumber, "\"auto\"", "mm", {-2000, 3000}, {},
   "Pinion's axis above the driveway at the latch-side post; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.pinion_up_mm; }},
  {"/as_built/ground_bracket_mm", kAutoNumber, "\"auto\"", "mm", {900, 25000}, {},
   "Latch-side post to the middle of the ground bracket; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.ground_bracket_mm; }},
  {"/as_built/catch_mm", kAutoNumber, "\"auto\"", "mm", {-1500, 1500}, {},
   "Latch-side post to the face of the catch post's buffer, negative behind it; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.catch_mm; }},
  {"/as_built/receiver_top_mm", kAutoNumber, "\"auto\"", "mm", {-2000, 6000}, {},
   "Upper edge of the top receiver above the driveway at the latch-side post; auto: as drawn", kMeasured,
   [](GateSpec& g) -> Slot { return &g.as_built.receiver_top_mm; }},
  {"/as_built/uncertainty_mm", kNumber, "1", "mm", {0, 20}, {},
   "How far each measurement may be out, either way, where a panel gives no other", kPractice,
   [](GateSpec& g) -> Slot { return &g.as_built.uncertainty_mm; }},
  {"/as_built/clearance_mm", kNumber, "1", "mm", {0, 50}, {},
   "Least clearance that build errors may leave; no more than the drawn gate has to keep", kPractice,
   [](GateSpec& g) -> Slot { return &g.as_built.clearance_mm; }},
  {"/as_built/stops_most_mm", kNumber, "15", "mm", {0, 200}, {},
   "How far end stops and catch post may be moved along the track to suit what was built", kPractice,
   [](GateSpec& g) -> Slot { return &g.as_built.stops_most_mm; }},
  {"/as_built/posts_most_mm", kNumber, "10", "mm", {0, 100}, {},
   "Most shims under the base plates of posts", kPractice,
   [](GateSpec& g) -> Slot { return &g.as_built.posts_most_mm; }},
};
// clang-format on

}  // namespace
}  // namespace as_built_rows

std::span<const Parameter> asBuiltRows() {
  return as_built_rows::kTable;
}

}  // namespace leafstack
