#include "params/table/table.h"

#include "params/table/hardware_rows.h"

namespace leafstack {
namespace {

using enum Kind;

// Sources said more than once.
constexpr const char* kOwner = "given by the job";
constexpr const char* kPractice = "common practice, no source";
constexpr const char* kHardware = "invented, generic hardware";
constexpr const char* kComputedHere = "computed by the layout";
constexpr const char* kSections = "EN 10219-2 section sizes";
// With which plain gates of two to four panels hold in the wind assumed: found by this program.
constexpr const char* kAluminiumRail = "\"RHS 100x80x3\"";
constexpr const char* kAluminiumFrame = "\"SHS 80x80x3\"";
constexpr const char* kAssumed = "assumed, no source";
constexpr const char* kCatalogue = "params/catalogue";
constexpr const char* kOnlyVersion = "this program reads version 1";
constexpr const char* kSteepest = "steeper tracks are not built: wheels and rack would not hold";

// Choices, in the order of the enums in gate_spec.h.
constexpr const char* kHands[] = {"right", "left"};
constexpr const char* kTops[] = {"raked", "level", "stepped"};
constexpr const char* kStackings[] = {"flush", "staggered"};
constexpr const char* kMaterials[] = {"steel", "aluminium"};
constexpr const char* kInfills[] = {"pickets", "slats", "sheet", "open"};
constexpr const char* kCladdings[] = {"none", "boards", "battens"};
constexpr const char* kLayings[] = {"bent", "straight"};
constexpr const char* kMounts[] = {"post", "overhead", "reach-over"};
constexpr const char* kRopes[] = {"7x19", "7x7"};
constexpr const char* kFinishes[] = {"galvanised", "stainless"};
constexpr const char* kTerminations[] = {"swaged", "ferrule", "clips"};
constexpr const char* kBearings[] = {"rolling", "plain"};
constexpr const char* kTerrains[] = {"gust", "coast", "I", "II", "III", "IV"};
constexpr const char* kWindEnds[] = {"free", "fence"};
constexpr const char* kMotors[] = {"standard", "narrow"};

constexpr Limits kTextLength = {0, 100};
// clang-format off
constexpr Parameter kTable[] = {
  {"/leafstack", kVersion, "1", "", {.least = 1, .most = 1, .reason = kOnlyVersion}, {},
   "Version of this file format", "project's own", nowhere},

  {"/job", kGroup, "{}", "", kNoLimits, {}, "Title block of the drawings and reports", "", nowhere},
  {"/job/title", kText, "\"\"", "", kTextLength, {},
   "What is built", kOwner, [](GateSpec& g) -> Slot { return &g.job.title; }},
  {"/job/number", kText, "\"\"", "", kTextLength, {},
   "Job or order number", kOwner, [](GateSpec& g) -> Slot { return &g.job.number; }},
  {"/job/client", kText, "\"\"", "", kTextLength, {},
   "Who ordered it", kOwner, [](GateSpec& g) -> Slot { return &g.job.client; }},
  {"/job/company", kText, "\"\"", "", kTextLength, {},
   "Whose drawings these are: the legal owner of ISO 7200", kOwner, [](GateSpec& g) -> Slot { return &g.job.company; }},
  {"/job/drawn_by", kText, "\"\"", "", kTextLength, {},
   "Who drew it", kOwner, [](GateSpec& g) -> Slot { return &g.job.drawn_by; }},
  {"/job/checked_by", kText, "\"\"", "", kTextLength, {},
   "Who checked it", kOwner, [](GateSpec& g) -> Slot { return &g.job.checked_by; }},
  {"/job/approved_by", kText, "\"\"", "", kTextLength, {},
   "Who approved it", kOwner, [](GateSpec& g) -> Slot { return &g.job.approved_by; }},
  {"/job/revision", kText, "\"\"", "", kTextLength, {},
   "Revision of the drawings, as it shall be printed", kOwner, [](GateSpec& g) -> Slot { return &g.job.revision; }},
  {"/job/date", kText, "\"\"", "", kTextLength, {},
   "Date of issue, as it shall be printed", kOwner, [](GateSpec& g) -> Slot { return &g.job.date; }},

  {"/site", kGroup, "{}", "", kNoLimits, {}, "The opening, its posts and its ground", "", nowhere},
  {"/site/opening_mm", kNumber, "6000", "mm", {1000, 20000}, {},
   "Clear distance between the two fence posts at the driveway", kOwner,
   [](GateSpec& g) -> Slot { return &g.site.opening_mm; }, true},
  {"/site/room_mm", kAutoNumber, "\"auto\"", "mm", {0, 30000}, {},
   "Length available beyond the opening, on the side the gate opens to; auto: as much as it needs",
   kOwner, [](GateSpec& g) -> Slot { return &g.site.room_mm; }},
  {"/site/opens", kChoice, "\"right\"", "", kNoLimits, kHands,
   "Side the gate opens to, as seen from the road", kOwner, [](GateSpec& g) -> Slot { return &g.site.opens; }},
  {"/site/fence_height_mm", kNumber, "1800", "mm", {300, 5000}, {},
   "Height of the fence above the driveway", kOwner, [](GateSpec& g) -> Slot { return &g.site.fence_height_mm; }},
  {"/site/fence_post_mm", kNumber, "100", "mm", {30, 600}, {},
   "Side of the square fence posts", kOwner, [](GateSpec& g) -> Slot { return &g.site.fence_post_mm; }},
  {"/site/fence_clearance_mm", kNumber, "15", "mm", {0, 500}, {},
   "Clear distance between the fence line and what moves in front", kPractice,
   [](GateSpec& g) -> Slot { return &g.site.fence_clearance_mm; }},
  {"/site/setback_mm", kAutoNumber, "\"auto\"", "mm", {0, 1000}, {},
   "Front panel's frame behind the fence line; auto: cladding and clearance", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.site.setback_mm; }},
  {"/site/grade", kNumber, "0", "mm/mm", {.least = -0.2, .most = 0.2, .reason = kSteepest}, {},
   "Rise of the track per mm in the opening direction", kOwner, [](GateSpec& g) -> Slot { return &g.site.grade; }},
  {"/site/cross_grade", kNumber, "0", "mm/mm", {.least = -0.1, .most = 0.1, .reason = kSteepest}, {},
   "Rise of the ground per mm from road to property", kOwner, [](GateSpec& g) -> Slot { return &g.site.cross_grade; }},
  {"/site/track_survey_mm", kSurvey, "[]", "mm",
   {.least = -100000, .most = 100000, .most_items = 200}, {},
   "Surveyed points [x, z] of the track, x increasing, instead of a grade; the track is bent over "
   "them (a natural cubic spline) and goes on straight beyond. Or a list of such lines, one for "
   "every track, back track first, heights from one datum: what the slab twists", kOwner,
   [](GateSpec& g) -> Slot { return &g.site.track_survey_mm; }},
  {"/site/track_laying", kChoice, "\"bent\"", "", kNoLimits, kLayings,
   "On surveyed ground, bent: bars follow it; straight: each track is one straight line, on shims at "
   "its anchors where the slab lies low and the slab ground down where it stands high, at least cost",
   kOwner, [](GateSpec& g) -> Slot { return &g.site.track_laying; }},
  {"/site/shims_most_mm", kNumber, "20", "mm", {0, 200}, {},
   "Highest stack of shims under a track", "common practice, no source",
   [](GateSpec& g) -> Slot { return &g.site.shims_most_mm; }},
  {"/site/grinding_most_mm", kNumber, "5", "mm", {0, 100}, {},
   "Deepest that the slab may be ground down under a track", "common practice, no source",
   [](GateSpec& g) -> Slot { return &g.site.grinding_most_mm; }},
  {"/site/anchor_apart_mm", kNumber, "500", "mm", {100, 2000}, {},
   "From dowel to dowel of a track, at most", "common practice, no source",
   [](GateSpec& g) -> Slot { return &g.site.anchor_apart_mm; }},
  {"/site/dowel_mm", kNumber, "12", "mm", {0, 30}, {},
   "Diameter of the round bars welded under a track and bonded into holes of its footing; 0: none, it is held "
   "by other means", "common practice, no source", [](GateSpec& g) -> Slot { return &g.site.dowel_mm; }},
  {"/site/dowel_length_mm", kNumber, "100", "mm", {30, 1000}, {},
   "Their length, in footings that are 30 deeper; else as much less", "common practice, no source",
   [](GateSpec& g) -> Slot { return &g.site.dowel_length_mm; }},
  {"/site/track_gap_mm", kNumber, "0", "mm", {0, 8}, {},
   "Between the pieces of a track, for heat; 0: welded end to end, and held by concrete that lengthens as steel does", kAssumed,
   [](GateSpec& g) -> Slot { return &g.site.track_gap_mm; }},
  {"/site/bank", kNumber, "0", "mm/mm", {0, 2}, {},
   "Rise per mm of the ground beyond the opening over the track, into which a parked gate's pocket "
   "is dug", kOwner, [](GateSpec& g) -> Slot { return &g.site.bank; }},
  {"/site/pocket_width_mm", kAutoNumber, "\"auto\"", "mm", {100, 20000}, {},
   "Width of that pocket; auto: the stack and working space", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.site.pocket_width_mm; }},
  {"/site/obstacles", kObstacles, "[]", "", {.least = -100000, .most = 100000, .most_items = 100}, {},
   "What stands around and is not the gate's: a name and two opposite corners of a box, X from the "
   "latch-side post's face in the opening direction, Y from the fence line's back, Z from the driveway",
   kOwner, [](GateSpec& g) -> Slot { return &g.site.obstacles; }},
  {"/site/surroundings", kSurroundings, "[]", "", {.least = -100000, .most = 100000, .most_items = 20}, {},
   "Files of what stands around, as others drew it (STEP, STL, GLB): their names, or objects with file, name, "
   "at_mm, turned_deg and unit; placed in the frame of gate.step, and kept clear of as obstacles are",
   kOwner, [](GateSpec& g) -> Slot { return &g.site.surroundings; }},
  {"/site/obstacle_clearance_mm", kNumber, "2", "mm", {0, 1000}, {},
   "Least clearance of what moves from an obstacle; gaps that trap people are another matter (cautions)",
   kPractice, [](GateSpec& g) -> Slot { return &g.site.obstacle_clearance_mm; }},
  {"/site/easting", kNumber, "0", "", {-1e7, 1e7}, {},
   "Of the latch-side post's face on the map's grid, in m, for coordination models", kOwner, [](GateSpec& g) -> Slot { return &g.site.easting_m; }},
  {"/site/northing", kNumber, "0", "", {-1e7, 1e7}, {},
   "Of the same point", kOwner, [](GateSpec& g) -> Slot { return &g.site.northing_m; }},
  {"/site/elevation_mm", kNumber, "0", "mm", {-1e6, 1e7}, {},
   "Of the driveway there, above the map's datum", kOwner, [](GateSpec& g) -> Slot { return &g.site.elevation_mm; }},
  {"/site/north_deg", kNumber, "0", "deg", {-360, 360}, {},
   "Compass bearing of the way from the road into the property, clockwise from north", kOwner, [](GateSpec& g) -> Slot { return &g.site.north_deg; }},

  {"/gate", kGroup, "{}", "", kNoLimits, {}, "The panels", "", nowhere},
  {"/gate/panels", kAutoInteger, "2", "", {1, 4}, {},
   "Number of panels; auto: the first that is ready, as compare ranks what fits the room", kOwner,
   [](GateSpec& g) -> Slot { return &g.gate.panels; }},
  {"/gate/height_mm", kNumber, "1700", "mm", {600, 4000}, {},
   "Top of the panels above the driveway", kOwner, [](GateSpec& g) -> Slot { return &g.gate.height_mm; }},
  {"/gate/top", kChoice, "\"raked\"", "", kNoLimits, kTops,
   "How the tops follow sloping ground; all alike where it is level", kPractice,
   [](GateSpec& g) -> Slot { return &g.gate.top; }},
  {"/gate/stacking", kChoice, "\"flush\"", "", kNoLimits, kStackings,
   "Parked panels with their leading ends in line, or each behind staggered past the post",
   kPractice, [](GateSpec& g) -> Slot { return &g.gate.stacking; }},
  {"/gate/overlap_mm", kNumber, "80", "mm", {0, 1000}, {},
   "Least overlap of neighbouring panels when closed", kPractice, [](GateSpec& g) -> Slot { return &g.gate.overlap_mm; }},
  {"/gate/closing_overlap_mm", kNumber, "0", "mm", {0, 300}, {},
   "How far the front panel closes past the latch-side post's face", kOwner,
   [](GateSpec& g) -> Slot { return &g.gate.closing_overlap_mm; }},
  {"/gate/tuck_mm", kNumber, "0", "mm", {0, 500}, {},
   "How far the front panel's leading end parks past the post", kOwner, [](GateSpec& g) -> Slot { return &g.gate.tuck_mm; }},
  {"/gate/ground_clearance_mm", kNumber, "50", "mm", {35, 150}, {},
   "Bottom rail's underside above the driveway", kHardware,
   [](GateSpec& g) -> Slot { return &g.gate.ground_clearance_mm; }},
  {"/gate/material", kChoice, "\"steel\"", "", kNoLimits, kMaterials,
   "Of the frames and the infill", kOwner, [](GateSpec& g) -> Slot { return &g.gate.material; }},
  {"/gate/yield_N_mm2", kAutoNumber, "\"auto\"", "N/mm2", {20, 1000}, {},
   "Yield strength of the frames' metal; auto: of common steel or aluminium", kCatalogue,
   [](GateSpec& g) -> Slot { return &g.gate.yield_N_mm2; }},
  {"/gate/bottom_rail", kAutoSection, "\"RHS 100x50x3\"", "", kNoLimits, {},
   "Hollow member that carries wheels and pulleys: height x depth x wall"
   "; auto: the lightest that holds", kSections,
   [](GateSpec& g) -> Slot { return &g.gate.bottom_rail; }, false, kAluminiumRail},
  {"/gate/top_rail", kAutoSection, "\"SHS 50x50x3\"", "", kNoLimits, {},
   "Top member: height x depth x wall; as deep as the bottom rail"
   "; auto: the lightest that holds", kSections,
   [](GateSpec& g) -> Slot { return &g.gate.top_rail; }, false, kAluminiumFrame},
  {"/gate/stile", kAutoSection, "\"SHS 50x50x3\"", "", kNoLimits, {},
   "End uprights: width x depth x wall; as deep as the bottom rail"
   "; auto: the lightest that holds", kSections,
   [](GateSpec& g) -> Slot { return &g.gate.stile; }, false, kAluminiumFrame},

  {"/gate/bay_mm", kNumber, "2000", "mm", {500, 20000}, {},
   "Greatest distance between uprights, from middle to middle; further apart, more are welded in", kPractice,
   [](GateSpec& g) -> Slot { return &g.gate.bay_mm; }},

  {"/gate/infill", kGroup, "{}", "", kNoLimits, {}, "What fills the frames", "", nowhere},
  {"/gate/infill/kind", kChoice, "\"pickets\"", "", kNoLimits, kInfills,
   "Upright pickets, level slats, a sheet, or nothing", kOwner,
   [](GateSpec& g) -> Slot { return &g.gate.infill.kind; }},
  {"/gate/infill/section", kSection, "\"SHS 25x25x2\"", "", kNoLimits, {},
   "Of pickets and slats: width x depth x wall", kSections,
   [](GateSpec& g) -> Slot { return &g.gate.infill.section; }},
  {"/gate/infill/gap_mm", kNumber, "50", "mm", {10, 200}, {},
   "Greatest clear gap between neighbouring pickets or slats", kPractice,
   [](GateSpec& g) -> Slot { return &g.gate.infill.gap_mm; }},
  {"/gate/infill/thickness_mm", kNumber, "2", "mm", {0.5, 10}, {},
   "Of a sheet", kPractice, [](GateSpec& g) -> Slot { return &g.gate.infill.thickness_mm; }},

  {"/gate/cladding", kGroup, "{}", "", kNoLimits, {},
   "Boards or battens on the panels' front faces", "", nowhere},
  {"/gate/cladding/kind", kChoice, "\"none\"", "", kNoLimits, kCladdings,
   "None, upright boards, or level battens", kOwner,
   [](GateSpec& g) -> Slot { return &g.gate.cladding.kind; }},
  {"/gate/cladding/thickness_mm", kNumber, "20", "mm", {5, 100}, {},
   "Thickness across the track", kOwner,
   [](GateSpec& g) -> Slot { return &g.gate.cladding.thickness_mm; }},
  {"/gate/cladding/width_mm", kNumber, "120", "mm", {40, 400}, {},
   "Width of a board or batten", kOwner,
   [](GateSpec& g) -> Slot { return &g.gate.cladding.width_mm; }},
  {"/gate/cladding/gap_mm", kNumber, "5", "mm", {0, 100}, {},
   "Clear gap between neighbours", kOwner,
   [](GateSpec& g) -> Slot { return &g.gate.cladding.gap_mm; }},
  {"/gate/cladding/bottom_mm", kAutoNumber, "\"auto\"", "mm", {0, 3900}, {},
   "Lower edge above the bottom rail's underside; auto: clear above pulleys, strands and brackets",
   kComputedHere, [](GateSpec& g) -> Slot { return &g.gate.cladding.bottom_mm; }},
  {"/gate/cladding/density_kg_m3", kNumber, "420", "kg/m3", {50, 3000}, {},
   "Density of the boards", "EN 338, mean density of C24 softwood",
   [](GateSpec& g) -> Slot { return &g.gate.cladding.density_kg_m3; }},
  {"/gate/return", kFlag, "true", "", kNoLimits, {},
   "Whether a narrow panel closes the gap between the back panel and the fence line", kPractice,
   [](GateSpec& g) -> Slot { return &g.gate.has_return; }},

  {"/guides", kGroup, "{}", "", kNoLimits, {},
   "Upper guides: rail, channel, block, and what holds them", "", nowhere},
  {"/guides/mount", kChoice, "\"post\"", "", kNoLimits, kMounts,
   "What holds panel 1's guide: a post at the driveway edge, a bracket overhead, or an arm from "
   "beyond the motor", kPractice, [](GateSpec& g) -> Slot { return &g.guides.mount; }},
  {"/guides/rail_mm", kNumber, "32", "mm", {20, 60}, {},
   "Leg of the equal angle that is the guide rail", kPractice, [](GateSpec& g) -> Slot { return &g.guides.rail_mm; }},
  {"/guides/channel_width_mm", kNumber, "80", "mm", {60, 200}, {},
   "Width of the guide channel along the track", kPractice, [](GateSpec& g) -> Slot { return &g.guides.channel_width_mm; }},
  {"/guides/channel_depth_mm", kNumber, "49", "mm", {35, 120}, {},
   "Frame face to guide rail, block included", kPractice, [](GateSpec& g) -> Slot { return &g.guides.channel_depth_mm; }},
  {"/guides/recess_mm", kNumber, "0", "mm", {0, 111}, {},
   "How far the channel is let into the frame", kPractice,
   [](GateSpec& g) -> Slot { return &g.guides.recess_mm; }},
  {"/guides/packing_mm", kAutoNumber, "\"auto\"", "mm", {0, 200}, {},
   "Packer behind the channel; auto: as much as thick cladding needs", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.guides.packing_mm; }},
  {"/guides/hide", kFlag, "true", "", kNoLimits, {},
   "Keep the channels below the top of the panel in front", kPractice,
   [](GateSpec& g) -> Slot { return &g.guides.hide; }},
  {"/guides/drop_mm", kAutoList, "\"auto\"", "mm",
   {.least = 0, .most = 2000, .fewest_items = 1, .most_items = 4}, {},
   "Guide rail below the highest place on its own panel, one per panel from the back; auto: as "
   "little as keeps every block in its channel", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.guides.drop_mm; }},
  {"/guides/post_mm", kChosenNumber, "80", "mm", {50, 200}, {},
   "Side of the square guide post; auto: the least that holds", kHardware,
   [](GateSpec& g) -> Slot { return ChosenNumber{&g.guides.post_mm, &g.guides.post_is_auto}; }},
  {"/guides/margin_mm", kNumber, "10", "mm", {0, 200}, {},
   "Frame beyond the channel's edge at either end of the travel", kHardware,
   [](GateSpec& g) -> Slot { return &g.guides.margin_mm; }},
  {"/guides/post_gap_mm", kNumber, "20", "mm", {0, 500}, {},
   "Driveway edge to guide post", kHardware,
   [](GateSpec& g) -> Slot { return &g.guides.post_gap_mm; }},

  {"/ropes", kGroup, "{}", "", kNoLimits, {}, "Ropes, pulleys and rope brackets", "", nowhere},
  {"/ropes/diameter_mm", kNumber, "3", "mm", {2, 6}, {},
   "Rope diameter", kHardware, [](GateSpec& g) -> Slot { return &g.ropes.diameter_mm; }},
  {"/ropes/construction", kChoice, "\"7x19\"", "", kNoLimits, kRopes,
   "Strands x wires; 7x19 bends more readily", kPractice,
   [](GateSpec& g) -> Slot { return &g.ropes.construction; }},
  {"/ropes/grade_N_mm2", kAutoNumber, "\"auto\"", "N/mm2", {1000, 2500}, {},
   "Tensile grade of the wires; auto: 1770, of stainless ones 1570", "usual rope grades, from memory",
   [](GateSpec& g) -> Slot { return &g.ropes.grade_N_mm2; }},
  {"/ropes/finish", kChoice, "\"galvanised\"", "", kNoLimits, kFinishes,
   "Of the ropes' wires; stainless stretches more", kOwner,
   [](GateSpec& g) -> Slot { return &g.ropes.finish; }},
  {"/ropes/termination", kChoice, "\"swaged\"", "", kNoLimits, kTerminations,
   "How the ropes' ends are held: terminals swaged on, or loops closed by ferrules or clips",
   kHardware, [](GateSpec& g) -> Slot { return &g.ropes.termination; }},
  {"/ropes/pulley_efficiency", kNumber, "0.98", "", {0.8, 1}, {},
   "Share of a rope's pull that passes a pulley", "a rope maker's figure, params/catalogue row W7",
   [](GateSpec& g) -> Slot { return &g.ropes.pulley_efficiency; }},
  {"/ropes/adjuster_mm", kAutoNumber, "\"auto\"", "mm", {2, 400}, {},
   "Take-up of each rope, half at either end, set mid-way; auto: what its terminals have",
   kComputedHere, [](GateSpec& g) -> Slot { return &g.ropes.adjuster_mm; }},
  {"/ropes/pulley_pitch_mm", kAutoNumber, "\"auto\"", "mm", {30, 250}, {},
   "Diameter of the rope's centre line round a pulley; auto: both strands miss the rail",
   kComputedHere, [](GateSpec& g) -> Slot { return &g.ropes.pulley_pitch_mm; }},
  {"/ropes/pulley_inset_mm", kAutoNumber, "\"auto\"", "mm", {20, 200}, {},
   "Pulley axis from the panel's end; auto: the pulley stays within the rail", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.ropes.pulley_inset_mm; }},
  {"/ropes/bracket_clearance_mm", kAutoNumber, "\"auto\"", "mm", {17, 400}, {},
   "Least distance of a rope bracket's centre from a pulley's axis; auto: bracket and terminals "
   "keep off the pulley all through their adjustment", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.ropes.bracket_clearance_mm; }},
  {"/ropes/bracket_inset_mm", kNumber, "-12", "mm", {-100, 200}, {},
   "Rope bracket's centre from its panel's end; negative: it projects", kHardware,
   [](GateSpec& g) -> Slot { return &g.ropes.bracket_inset_mm; }},
  {"/ropes/heights_mm", kAutoList, "\"auto\"", "mm",
   {.least = 15, .most = 185, .fewest_items = 1, .most_items = 3}, {},
   "Rope above the bottom rail's underside, one per carrying panel from the back; auto: low on odd "
   "panels, high on even ones", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.ropes.heights_mm; }},

  {"/drive", kGroup, "{}", "", kNoLimits, {}, "Motor, rack and running figures", "", nowhere},
  {"/drive/motor", kMotor, "\"standard\"", "", kNoLimits, kMotors,
   "A motor of the hardware set by its name, or an object with the sizes of another", kHardware,
   [](GateSpec& g) -> Slot { return &g.drive.motor; }},
  {"/drive/motor/length_mm", kNumber, "260", "mm", {50, 1000}, {},
   "Motor's length along the track", kHardware,
   [](GateSpec& g) -> Slot { return &g.drive.motor.length_mm; }},
  {"/drive/motor/overrun_closed_mm", kNumber, "60", "mm", {0, 1000}, {},
   "Rack needed past the pinion at the closed end", kHardware,
   [](GateSpec& g) -> Slot { return &g.drive.motor.overrun_closed_mm; }},
  {"/drive/motor/overrun_open_mm", kNumber, "60", "mm", {0, 1000}, {},
   "Rack needed past the pinion at the open end", kHardware,
   [](GateSpec& g) -> Slot { return &g.drive.motor.overrun_open_mm; }},
  {"/drive/motor/force_N", kAutoNumber, "\"auto\"", "N", {1, 50000}, {},
   "Greatest force of the motor at its pinion; auto: of the set's motor, unknown for another",
   kHardware, [](GateSpec& g) -> Slot { return &g.drive.motor.force_N; }},
  {"/drive/motor_gap_mm", kNumber, "10", "mm", {0, 500}, {},
   "Guide post, or driveway edge, to the motor", kHardware,
   [](GateSpec& g) -> Slot { return &g.drive.motor_gap_mm; }},
  {"/drive/rack_inset_mm", kNumber, "20", "mm", {0, 500}, {},
   "Rack's start behind panel 1's leading end", kHardware,
   [](GateSpec& g) -> Slot { return &g.drive.rack_inset_mm; }},
  {"/drive/speed_mm_s", kNumber, "160", "mm/s", {10, 1000}, {},
   "Speed of panel 1", kHardware, [](GateSpec& g) -> Slot { return &g.drive.speed_mm_s; }},
  {"/drive/packing_mm", kAutoNumber, "\"auto\"", "mm", {0, 200}, {},
   "Packer under the motor; auto: lifts the rack clear of panel 1's rope", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.drive.packing_mm; }},
  {"/drive/footing_drop_mm", kAutoNumber, "\"auto\"", "mm", {0, 500}, {},
   "Footing behind the tracks, which carries the motor, below theirs; auto: what a pinion too high "
   "over its feet takes to reach the rack", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.drive.footing_drop_mm; }},
  {"/drive/wheel_bearing", kChoice, "\"rolling\"", "", kNoLimits, kBearings,
   "Bearings of the track wheels", kHardware,
   [](GateSpec& g) -> Slot { return &g.drive.wheel_bearing; }},
  {"/drive/dirt_allowance", kNumber, "0.005", "", {0, 0.2}, {},
   "Added to the clean wheels' resistance for dirt on the track, as a fraction of the weight",
   "about what a dirty tram rail has, params/catalogue row F1",
   [](GateSpec& g) -> Slot { return &g.drive.dirt_allowance; }},
  {"/drive/rolling_resistance", kAutoNumber, "\"auto\"", "",
   {.least = 0, .most = 0.5, .least_excluded = true}, {},
   "Resistance of the wheels as a fraction of the weight, dirt on the track included; auto: from "
   "wheel, bearing and dirt", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.drive.rolling_resistance; }},
  {"/drive/acceleration_mm_s2", kNumber, "200", "mm/s2", {5, 5000}, {},
   "Of panel 1 when starting, and when slowing down", kAssumed,
   [](GateSpec& g) -> Slot { return &g.drive.acceleration_mm_s2; }},
  {"/drive/slow_speed_mm_s", kNumber, "80", "mm/s", {1, 1000}, {},
   "Speed of panel 1 at the end of its travel; no slow-down where it is not below the drive's",
   kAssumed, [](GateSpec& g) -> Slot { return &g.drive.slow_speed_mm_s; }},
  {"/drive/slow_travel_mm", kNumber, "100", "mm", {0, 5000}, {},
   "How much of panel 1's travel is gone at that speed", kAssumed,
   [](GateSpec& g) -> Slot { return &g.drive.slow_travel_mm; }},

  {"/checks", kGroup, "{}", "", kNoLimits, {}, "What the checks demand", "", nowhere},
  {"/checks/clearance_mm", kNumber, "10", "mm", {0, 100}, {},
   "Least clearance between panels that move past each other", kPractice,
   [](GateSpec& g) -> Slot { return &g.checks.clearance_mm; }},
  {"/checks/guide_clearance_mm", kNumber, "1", "mm", {0, 20}, {},
   "Least running clearance of guides past each other", kPractice,
   [](GateSpec& g) -> Slot { return &g.checks.guide_clearance_mm; }},
  {"/checks/hardware_clearance_mm", kNumber, "2", "mm", {0, 50}, {},
   "Least clearance of ropes, pulleys, brackets and wheels past each other", kPractice,
   [](GateSpec& g) -> Slot { return &g.checks.hardware_clearance_mm; }},
  {"/checks/build_tolerance_mm", kNumber, "0", "mm", {0, 50}, {},
   "How far a built panel may stand from its drawn place, and be out in length", kOwner,
   [](GateSpec& g) -> Slot { return &g.checks.build_tolerance_mm; }},
  {"/checks/rope_safety", kNumber, "5", "", {1, 20}, {},
   "Least ratio of breaking force to working tension", "design factor usual for lifting",
   [](GateSpec& g) -> Slot { return &g.checks.rope_safety; }},
  {"/checks/wind_Pa", kAutoNumber, "\"auto\"", "Pa", {0, 5000}, {},
   "Peak velocity pressure of the wind on the closed gate, before class and speed; auto: from those", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.checks.wind_Pa; }},
  {"/checks/wind_class", kAutoInteger, "\"auto\"", "", {1, 4}, {},
   "Class of EN 12424, whose pressure then acts, less by the infill's gaps; auto: speed and terrain decide",
   kCatalogue, [](GateSpec& g) -> Slot { return &g.checks.wind_class; }},
  {"/checks/wind_speed_m_s", kNumber, "28", "m/s", {.least = 0, .most = 90}, {},
   "Wind speed: the site's basic one where a terrain is given, else the gust's at the gate",
   kAssumed, [](GateSpec& g) -> Slot { return &g.checks.wind_speed_m_s; }},
  {"/checks/wind_terrain", kChoice, "\"gust\"", "", kNoLimits, kTerrains,
   "Terrain category of EN 1991-1-4 (coast: its category 0), or that the speed is the gust's own", kCatalogue,
   [](GateSpec& g) -> Slot { return &g.checks.wind_terrain; }},
  {"/checks/wind_years", kNumber, "50", "", {2, 1000}, {},
   "Return period in years that the basic speed is converted to", "EN 1991-1-4, note to 4.2",
   [](GateSpec& g) -> Slot { return &g.checks.wind_years; }},
  {"/checks/wind_ends", kChoice, "\"free\"", "", kNoLimits, kWindEnds,
   "Whether the closed gate stands free, or a fence as high and as dense goes on for four heights at "
   "both ends", kAssumed, [](GateSpec& g) -> Slot { return &g.checks.wind_ends; }},
  {"/checks/wind_factor", kNumber, "1.5", "", {1, 3}, {},
   "Partial factor of the wind in the strength checks; with a class of EN 12424 factors of 1.1 and 1.25 are "
   "told of too, 1.5 is on the safe side", "EN 1990, from memory; those of classes second-hand",
   [](GateSpec& g) -> Slot { return &g.checks.wind_factor; }},
  {"/checks/push_N", kNumber, "300", "N", {0, 5000}, {},
   "Push of a person across the front panel's top leading corner, at any point of the travel", kPractice,
   [](GateSpec& g) -> Slot { return &g.checks.push_N; }},
  {"/checks/deflection_mm", kAutoNumber, "\"auto\"", "mm", {1, 1000}, {},
   "How far the wind may move the frame across the track; auto: a fiftieth of its height, as no limit for gates is published",
   kPractice, [](GateSpec& g) -> Slot { return &g.checks.deflection_mm; }},

  {"/footing", kGroup, "{}", "", kNoLimits, {}, "Blocks of concrete under the posts, and the anchors in them", "", nowhere},
  {"/footing/block_along_mm", kAutoNumber, "\"auto\"", "mm", {200, 3000}, {},
   "Block under each post, along the track; auto: the smallest step of 100 that holds", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.footing.block_along_mm; }},
  {"/footing/block_across_mm", kAutoNumber, "\"auto\"", "mm", {200, 3000}, {},
   "The same across it, the post in its middle; auto: the smallest step of 100 that holds", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.footing.block_across_mm; }},
  {"/footing/block_depth_mm", kAutoNumber, "\"auto\"", "mm", {100, 3000}, {},
   "Its depth with the slab over it; auto: twice what it stands out beyond the post, which needs no steel in it", kComputedHere,
   [](GateSpec& g) -> Slot { return &g.footing.block_depth_mm; }},
  {"/footing/concrete_N_mm2", kAutoNumber, "\"auto\"", "N/mm2", {8, 90}, {},
   "Characteristic cylinder strength of the concrete; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.footing.concrete_N_mm2; }},
  {"/footing/soil_kPa", kAutoNumber, "\"auto\"", "kPa", {10, 2000}, {},
   "Pressure that the ground may bear under a block, without factors; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.footing.soil_kPa; }},
  {"/footing/anchor_depth_mm", kAutoNumber, "\"auto\"", "mm", {30, 500}, {},
   "Effective embedment of the base plates' anchors; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.footing.anchor_depth_mm; }},
  {"/footing/anchor_pull_N", kAutoNumber, "\"auto\"", "N", {100, 500000}, {},
   "Design resistance of one anchor to pull, by its approval; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.footing.anchor_pull_N; }},
  {"/footing/anchor_edge_mm", kAutoNumber, "\"auto\"", "mm", {10, 500}, {},
   "Least distance of an anchor from the concrete's edge, by its approval; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.footing.anchor_edge_mm; }},
  {"/footing/anchor_spacing_mm", kAutoNumber, "\"auto\"", "mm", {10, 500}, {},
   "Least distance of anchors from each other, by their approval; auto: not known, and not checked", kAssumed,
   [](GateSpec& g) -> Slot { return &g.footing.anchor_spacing_mm; }},
};
// clang-format on

}  // namespace

std::span<const Parameter> parameterTable() {
  static const auto kAll = [] {
    std::vector<Parameter> all(std::begin(kTable), std::end(kTable));
    all.insert(all.end(), workshopRows().begin(), workshopRows().end());
    all.insert(all.end(), hardwareRows().begin(), hardwareRows().end());
    all.insert(all.end(), itemRows().begin(), itemRows().end());
    all.insert(all.end(), asBuiltRows().begin(), asBuiltRows().end());
    return all;
  }();
  return kAll;
}

}  // namespace leafstack
