// The rows of /shop and /drawings of the gate file's table.
#include "params/table/hardware_rows.h"

namespace leafstack {
namespace workshop_rows {  // the other tables have words of these names
namespace {

using enum Kind;

constexpr const char* kOwner = "given by the job";
constexpr const char* kPractice = "common practice, no source";
constexpr const char* kAssumed = "assumed, no source";

constexpr const char* kShopFinishes[] = {"none", "painted", "galvanised", "galvanised-powder"};
constexpr const char* kSheets[] = {"A4", "A3", "A2"};
constexpr const char* kAngles[] = {"first", "third"};
constexpr const char* kDxfSpaces[] = {"paper", "model"};

// clang-format off
constexpr Parameter kTable[] = {
  {"/shop", kGroup, "{}", "", kNoLimits, {}, "What the workshop cuts, folds and welds with", "", nowhere},
  {"/shop/stock_lengths_mm", kAutoList, "\"auto\"", "mm",
   {.least = 500, .most = 20000, .fewest_items = 1, .most_items = 20}, {},
   "Lengths that tubes and bars are bought in; auto: 6000, 6500 and 8000", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.stock_lengths_mm; }},
  {"/shop/timber_lengths_mm", kAutoList, "\"auto\"", "mm",
   {.least = 500, .most = 20000, .fewest_items = 1, .most_items = 20}, {},
   "Lengths that boards and battens are bought in; auto: 2400 to 5400 by 600", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.timber_lengths_mm; }},
  {"/shop/sheet_mm", kAutoList, "\"auto\"", "mm",
   {.least = 200, .most = 12000, .fewest_items = 2, .most_items = 2}, {},
   "Length and width of the sheets that plates are cut from; auto: 3000 and 1500", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.sheet_mm; }},
  {"/shop/sheet_gap_mm", kNumber, "10", "mm", {0, 100}, {},
   "Between parts on a sheet, and along its edges", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.sheet_gap_mm; }},
  {"/shop/kerf_mm", kNumber, "3", "mm", {0, 20}, {},
   "What a saw cut takes", kPractice, [](GateSpec& g) -> Slot { return &g.shop.kerf_mm; }},
  {"/shop/trim_mm", kNumber, "10", "mm", {0, 300}, {},
   "Cut off the start of every bar", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.trim_mm; }},
  {"/shop/bend_radius_mm", kAutoNumber, "\"auto\"", "mm", {0, 100}, {},
   "Inside radius of folds; auto: the plate's thickness", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.bend_radius_mm; }},
  {"/shop/bend_k_factor", kNumber, "0.42", "", {0.2, 0.5}, {},
   "Neutral axis of a fold from the inside, as a share of the thickness; take the press's own",
   kPractice, [](GateSpec& g) -> Slot { return &g.shop.bend_k_factor; }},
  {"/shop/weld_leg_mm", kAutoNumber, "\"auto\"", "mm", {1, 20}, {},
   "Leg of every fillet weld; auto: by the thicker part and no more than the thinner, but where "
   "forces ask for more, with a throat no thicker than that", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.weld_leg_mm; }},
  {"/shop/weld_piece_mm", kNumber, "40", "mm", {30, 500}, {},
   "Length of one piece of a weld that is laid in pieces", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.weld_piece_mm; }},
  {"/shop/weld_pitch_mm", kNumber, "200", "mm", {60, 2000}, {},
   "From piece to piece, at most; edges no longer than this are welded all along", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.weld_pitch_mm; }},
  {"/shop/finish", kChoice, "\"none\"", "", kNoLimits, kShopFinishes,
   "Of the steel that is cut and welded; both that are galvanised get vents and drains cut into closed hollows", kOwner,
   [](GateSpec& g) -> Slot { return &g.shop.finish; }},
  {"/shop/bath_mm", kAutoList, "\"auto\"", "mm",
   {.least = 500, .most = 30000, .fewest_items = 2, .most_items = 2}, {},
   "Usable length and depth of the galvaniser's bath; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.shop.bath_mm; }},
  {"/shop/coat_mm", kAutoNumber, "\"auto\"", "mm", {0, 2}, {},
   "Thickness of the finish on a face; auto: none 0, painted 0.1, zinc 0.15, zinc and powder 0.3", kPractice,
   [](GateSpec& g) -> Slot { return &g.shop.coat_mm; }},
  {"/shop/transport_mm", kAutoList, "\"auto\"", "mm",
   {.least = 500, .most = 30000, .fewest_items = 2, .most_items = 2}, {},
   "Greatest length and height of what travels; longer rails are joined on site; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.shop.transport_mm; }},
  {"/shop/lift_kg", kAutoNumber, "\"auto\"", "kg", {20, 5000}, {},
   "Greatest mass that is lifted as one; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.shop.lift_kg; }},

  {"/drawings", kGroup, "{}", "", kNoLimits, {}, "How the drawings are made", "", nowhere},
  {"/drawings/sheet", kChoice, "\"A3\"", "", kNoLimits, kSheets,
   "Size of the sheets, landscape", "ISO 216 sizes",
   [](GateSpec& g) -> Slot { return &g.drawings.sheet; }},
  {"/drawings/projection", kChoice, "\"first\"", "", kNoLimits, kAngles,
   "First- or third-angle arrangement of the views", "ISO 128",
   [](GateSpec& g) -> Slot { return &g.drawings.projection; }},
  {"/drawings/dxf", kChoice, "\"paper\"", "", kNoLimits, kDxfSpaces,
   "What the sheets' DXF files hold: the sheet as it is plotted, or its views alone, each 1:1", kAssumed,
   [](GateSpec& g) -> Slot { return &g.drawings.dxf; }},
};
// clang-format on

}  // namespace
}  // namespace workshop_rows

std::span<const Parameter> workshopRows() {
  return workshop_rows::kTable;
}

}  // namespace leafstack
