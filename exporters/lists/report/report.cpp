#include "exporters/lists/report/report.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>

#include "exporters/bytes/json_numbers.h"
#include "exporters/bytes/rounding.h"
#include "exporters/lists/report/built/built_report.h"
#include "exporters/lists/report/clash_report.h"
#include "exporters/lists/report/lists_report.h"
#include "exporters/lists/report/loads_report.h"
#include "exporters/lists/report/structure_json.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/terminal.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kInterpolation =
    "a natural cubic spline through the points, straight beyond: a bar bent over them";
constexpr const char* kTravelParameter =
    "horizontal travel of panel 1; each panel's leading wheel goes its speed ratio times as far";

Json slack(const ExtensionDemand& demand) {
  return demand.applies ? Json(num(demand.slack_mm)) : Json(nullptr);
}

/// A body's rigid motion from closed to open: turned about the origin, then shifted.
Json motionJson(const Layout& layout, int body) {
  const Pose open = layout.ground.travels.at(body)->at(layout.drive_travel_mm);
  Json json;
  json["x_mm"] = num(open.x_mm);
  json["z_mm"] = num(open.z_mm);
  json["turn_rad"] = std::asin(open.sin);
  return json;
}

Json panelJson(const Layout& layout, const PanelLayout& panel, const Schedules* schedules) {
  Json json;
  json["number"] = panel.number;
  json["speed_ratio"] = num(panel.speed_ratio);
  json["travel_mm"] = num(panel.travel_mm);
  json["length_mm"] = num(panel.length_mm);
  json["frame_length_mm"] = num(panel.frame_length_mm);
  json["leading_closed_mm"] = num(panel.leading_closed_mm);
  json["trailing_closed_mm"] = num(panel.trailing_closed_mm);
  json["leading_open_mm"] = num(panel.leading_open_mm);
  json["trailing_open_mm"] = num(panel.trailing_open_mm);
  json["overlap_mm"] = num(panel.overlap_mm);
  json["stagger_mm"] = num(panel.stagger_mm);
  json["mass_kg"] = nullptr;
  if (schedules != nullptr) {
    json["mass_kg"] = num(schedules->panel_mass_kg.at(panel.number - 1));
  }
  json["rake_deg"] = num(std::atan(panel.grade) * kDegreesPerRadian);
  json["underside_mm"] = num(panel.underside_z_mm);
  json["top_mm"] = num(panel.top_z_mm);
  json["least_ground_clearance_mm"] = num(panel.least_ground_mm);
  json["most_lean_deg"] = num(panel.most_lean_deg);
  json["open_motion"] = motionJson(layout, panel.number);
  return json;
}

Json layoutJson(const GateSpec& spec, const Layout& layout, const Schedules* schedules) {
  Json json;
  json["opening_mm"] = num(layout.opening_mm);
  json["opens"] = spec.site.opens == Hand::kRight ? "right" : "left";
  json["panel_count"] = layout.panel_count;
  json["travel_mm"] = num(layout.travel_mm);
  json["drive_travel_mm"] = num(layout.drive_travel_mm);
  json["room_mm"] = num(layout.room_mm);
  json["room_total_mm"] = num(layout.room_total_mm);
  json["room_given_mm"] = layout.room_given ? Json(num(layout.room_given_mm)) : Json(nullptr);
  json["room_rule_of_thumb_mm"] =
      layout.room_rule_of_thumb_mm > 0 ? Json(num(layout.room_rule_of_thumb_mm)) : Json(nullptr);
  json["fits"] = layout.fits;
  json["extension_mm"] = num(layout.extension_mm);
  json["binding"] = ruleOf(layout.binding).id;
  for (const ExtensionRule& rule : kExtensionRules) {
    json["slack_mm"][std::string(rule.id)] = slack(layout.demands[rule.binding]);
  }
  json["pinion_mm"] = num(layout.pinion_mm);
  json["motor_start_mm"] = num(layout.motor_start_mm);
  json["guide_mm"] = num(layout.guide_mm);
  json["guide_post_mm"] = num(layout.guide_post_mm);
  json["ground_bracket_mm"] =
      layout.ropes.empty() ? Json(nullptr) : Json(num(layout.ground_bracket_mm));
  json["catch_in_opening_mm"] = num(layout.catch_in_opening_mm);
  json["panels"] = Json::array();
  for (const PanelLayout& panel : layout.panels) {
    json["panels"].push_back(panelJson(layout, panel, schedules));
  }
  return json;
}

Json stackJson(const Layout& layout) {
  Json json;
  json["gap_mm"] = num(layout.stack.gap_mm);
  json["packing_mm"] = num(layout.stack.packing_mm);
  json["setback_mm"] = num(layout.stack.setback_mm);
  json["cladding_max_mm"] = num(layout.stack.cladding_max_mm);
  json["post_gap_mm"] = num(layout.stack.post_gap_mm);
  json["frame_depth_mm"] = num(layout.stack.frame_depth_mm);
  json["panel_front_y_mm"] = Json::array();
  for (const PanelLayout& panel : layout.panels) {
    json["panel_front_y_mm"].push_back(num(panel.front_y_mm));
  }
  return json;
}

Json heightsJson(const Layout& layout) {
  const HeightLayout& heights = layout.heights;
  Json json;
  json["footing_top_mm"] = num(heights.footing_top_mm);
  json["underside_mm"] = num(heights.underside_mm);
  json["rail_height_mm"] = num(heights.rail_height_mm);
  json["top_mm"] = num(heights.top_mm);
  json["rope_up_mm"] = nums(heights.rope_heights_mm);
  json["cladding_bottom_up_mm"] = num(heights.cladding_bottom_up_mm);
  json["motor_packing_mm"] = num(heights.motor_packing_mm);
  json["motor_raise_mm"] = num(heights.motor_raise_mm);
  json["rack_lower_up_mm"] = num(heights.rack_lower_up_mm);
  return json;
}

Json guideJson(const GuideLayout& guide) {
  Json json;
  json["panel"] = guide.panel;
  json["channel_on"] = guide.panel - 1;
  json["drop_mm"] = num(guide.drop_mm);
  json["least_drop_mm"] = num(guide.least_drop_mm);
  json["float_mm"] = {num(guide.float_mm.low), num(guide.float_mm.high)};
  json["channel_length_mm"] = num(guide.channel_high_mm - guide.channel_low_mm);
  json["axis_mm"] = {num(guide.x_mm), num(guide.z_mm)};
  json["lean_deg"] = num(std::atan(guide.channel_grade) * kDegreesPerRadian);
  if (guide.is_pivoted) {
    json["turn_deg"] = num(guide.turn_deg);
  }
  json["why"] = guide.why;
  return json;
}

Json pocketJson(const PocketLayout& pocket) {
  Json json;
  json["room_mm"] = num(pocket.room_mm);
  json["width_mm"] = num(pocket.width_mm);
  json["section_m2"] = num(pocket.section_m2);
  json["volume_m3"] = num(pocket.volume_m3);
  json["end_face_m2"] = num(pocket.end_face_m2);
  json["side_face_m2"] = num(pocket.side_face_m2);
  return json;
}

Json layingJson(const GateSpec& spec, const GroundLayout& ground) {
  Json json;
  json["as"] = spec.site.track_laying == TrackLaying::kBent ? "bent" : "straight";
  json["tracks"] = Json::array();
  for (const LaidTrack& track : ground.laid) {
    Json row = {{"panel", track.panel},
                {"residual_mm", num(track.residual_mm)},
                {"straight_short_mm", num(track.straight_short_mm)},
                {"points", Json::array()}};
    for (const LaidPoint& point : track.points) {
      row["points"].push_back({{"x_mm", num(point.x_mm)},
                               {"slab_mm", num(point.slab_mm)},
                               {"shim_mm", num(point.shimMm())},
                               {"grind_mm", num(point.grindMm())},
                               {"straight_mm", num(point.straight_mm)}});
    }
    json["tracks"].push_back(std::move(row));
  }
  return json;
}

/// Of ground that is not even: nothing else has any.
void addUneven(const Layout& layout, Json& json) {
  json["track_rises"] = Json::array();
  for (const TrackRise& rise : layout.ground.track_rises) {
    json["track_rises"].push_back({{"high", rise.high},
                                   {"low", rise.low},
                                   {"rise_mm", num(rise.rise_mm)},
                                   {"x_mm", num(rise.x_mm)}});
  }
  json["rope_angles"] = Json::array();
  for (const RopeLayout& rope : layout.ropes) {
    json["rope_angles"].push_back(
        {{"panel", rope.carrier},
         {"fleet_deg", num(rope.fleetDeg())},
         {"fleet_limit_deg", num(mostFleetDeg(layout.hardware.pulley.throat_deg))},
         {"swivel_deg", num(rope.swivel_deg)},
         {"swivel_limit_deg", num(layout.hardware.terminal.swivel_deg)}});
  }
  json["uneven"] = Json::array();
  for (const PanelOnUneven& row : layout.ground.uneven) {
    const PanelLayout& panel = layout.panel(row.panel);
    json["uneven"].push_back({{"panel", row.panel},
                              {"lean_mm", num(row.lean_mm)},
                              {"lean_at_mm", num(row.lean_at_mm)},
                              {"gap_mm", num(panel.least_ground_mm)},
                              {"gap_at_mm", num(panel.least_ground_at_mm)},
                              {"gap_x_mm", num(panel.least_ground_x_mm)},
                              {"latch_play_mm", num(row.latch_play_mm)},
                              {"ahead_mm", {num(row.ahead_mm.low), num(row.ahead_mm.high)}},
                              {"ahead_open_mm", num(row.ahead_open_mm)},
                              {"rope_play_mm", num(row.rope_play_mm)}});
  }
}

Json groundJson(const GateSpec& spec, const Layout& layout) {
  const GroundLayout& ground = layout.ground;
  Json json;
  json["line"] = ground.is_surveyed ? "surveyed" : spec.site.grade != 0 ? "graded" : "level";
  json["interpolation"] = ground.is_surveyed ? Json(kInterpolation) : Json(nullptr);
  json["travel_parameter"] = kTravelParameter;
  json["guide_drop_mm"] = Json::array();
  json["block_float_mm"] = Json::array();
  json["guides"] = Json::array();
  for (const GuideLayout& guide : layout.guides) {
    json["guide_drop_mm"].push_back(num(guide.drop_mm));
    json["block_float_mm"].push_back({num(guide.float_mm.low), num(guide.float_mm.high)});
    json["guides"].push_back(guideJson(guide));
  }
  json["pocket_volume_m3"] = ground.pockets.empty() ? 0 : num(ground.pockets.front().volume_m3);
  json["pocket"] = ground.pockets.empty() ? Json(nullptr) : pocketJson(ground.pockets.front());
  json["pocket_by_panels"] = Json::array();
  for (std::size_t count = 1; count < ground.pockets.size(); ++count) {
    Json row = {{"panels", count}};
    row.update(pocketJson(ground.pockets[count]));
    json["pocket_by_panels"].push_back(row);
  }
  json["least_ground_clearance_mm"] = num(ground.least_clearance_mm);
  json["least_ground_clearance_panel"] = ground.least_clearance_panel;
  json["least_ground_clearance_at_mm"] = num(ground.least_clearance_at_mm);
  json["least_ground_clearance_x_mm"] = num(ground.least_clearance_x_mm);
  json["rack_rise_mm"] = {num(ground.rack_rise_mm.low), num(ground.rack_rise_mm.high)};
  json["rack_up_mm"] = Json::array();
  for (const double up : ground.rack_up_mm) {
    json["rack_up_mm"].push_back(num(up));
  }
  json["rack_off_mm"] = {num(ground.rack_off_mm.low), num(ground.rack_off_mm.high)};
  json["rope_error_mm"] = num(ground.most_rope_error_mm);
  json["lines"] = ground.is_surveyed ? std::max<std::size_t>(1, ground.track_lines.size()) : 0;
  json["laying"] = ground.is_surveyed ? layingJson(spec, ground) : Json(nullptr);
  addUneven(layout, json);
  return json;
}

Json stlJson(const PartOutputs& outputs) {
  if (!outputs.has_stl) {
    return nullptr;
  }
  return {{"deflection_mm", num(outputs.stl_deflection_mm)},
          {"volume_mm3", num(outputs.stl_volume_mm3)},
          {"triangles", outputs.stl_triangles}};
}

/// Where a part's files have their frame, in that of its product in gate.step.
Json frameJson(const gp_Trsf& frame) {
  const auto column = [&](int c) {
    return Json{num(frame.Value(1, c)), num(frame.Value(2, c)), num(frame.Value(3, c))};
  };
  return {{"origin_mm", column(4)}, {"x", column(1)}, {"z", column(3)}};
}

Json partJson(const PartRow& row, const PartOutputs& outputs) {
  Json json;
  json["mark"] = row.mark;
  json["name"] = row.name;
  json["panel"] = row.panel;
  json["quantity"] = row.quantity;
  json["per_panel"] = Json::array();
  for (const auto& [panel, quantity] : row.per_panel) {
    json["per_panel"].push_back({{"panel", panel}, {"quantity", quantity}});
  }
  json["material"] = row.material;
  json["section"] = row.section;
  json["supply"] = row.supply;
  json["length_mm"] = num(row.length_mm);
  json["mass_kg"] = num(row.mass_kg);
  if (row.mass_is_suppliers) {
    json["mass_from"] = "supplier";
  }
  json["density_kg_m3"] = num(row.density_kg_m3);
  json["volume_mm3"] = num(row.volume_mm3);
  json["area_mm2"] = num(row.area_mm2);
  json["face_count"] = row.face_count;
  json["centre_mm"] = {num(row.centre_mm[0]), num(row.centre_mm[1]), num(row.centre_mm[2])};
  json["file_frame"] = frameJson(row.file_motion.Inverted());
  addWords(json, row.words);
  json["files"] = outputs.files;
  json["stl"] = stlJson(outputs);
  return json;
}

/// Null where nobody looked for one.
Json cureJson(const Cure& cure) {
  if (cure.tried == 0) {
    return nullptr;
  }
  return {{"set", cure.sets},
          {"leaves", cure.leaves},
          {"tried", cure.tried},
          {"proved", cure.is_proved},
          {"tight", cure.is_tight}};
}

Json warningsJson(const std::vector<Warning>& warnings) {
  Json json = Json::array();
  for (const Warning& warning : warnings) {
    json.push_back({{"id", warning.id},
                    {"text", warning.text},
                    {"where", warning.where},
                    {"cure", cureJson(warning.cure)}});
  }
  return json;
}

Json chosenJson(const std::vector<ChosenValue>& chosen) {
  Json json = Json::array();
  for (const ChosenValue& one : chosen) {
    json.push_back({{"pointer", one.pointer}, {"value", one.value}, {"why", one.why}});
  }
  return json;
}

Json verdictJson(const GateVerdict& verdict) {
  Json json;
  json["ready"] = verdict.is_ready;
  json["clash"] = verdict.clash != nullptr ? Json(toString(verdict.clash->verdict)) : Json(nullptr);
  json["provided"] = verdict.provisos;
  json["strength"] = verdict.holds ? "holds" : "overloaded";
  json["track"] = verdict.stays ? "stays" : "leaves";
  json["drive"] = verdict.starts ? "starts" : "too-weak";
  json["makes"] = verdict.can_be_made ? "yes" : "no";
  if (verdict.clash == nullptr) {  // nothing was built, so nothing is known
    json["strength"] = json["track"] = json["drive"] = json["makes"] = nullptr;
  }
  json["reasons"] = Json::array();
  for (const VerdictReason& reason : verdict.reasons) {
    json["reasons"].push_back({{"id", reason.id}, {"text", reason.text}, {"where", reason.where}});
  }
  return json;
}

void addLists(const ReportContents& contents, Json& json) {
  json["parts"] = Json::array();
  if (contents.schedules != nullptr) {
    for (const PartRow& row : contents.schedules->parts) {
      const auto found = contents.outputs.find(row.mark);
      json["parts"].push_back(
          partJson(row, found != contents.outputs.end() ? found->second : PartOutputs{}));
    }
  }
  json["welds"] = contents.schedules != nullptr ? weldsJson(*contents.schedules) : Json(nullptr);
  json["fasteners"] =
      contents.schedules != nullptr ? fastenersJson(*contents.schedules) : Json(nullptr);
  json["lists"] = contents.schedules != nullptr ? listsJson(*contents.schedules) : Json(nullptr);
}

}  // namespace

std::string reportJson(const ReportContents& contents) {
  Json json;
  json["leafstack"] = LEAFSTACK_VERSION;
  json["input_sha256"] = contents.provenance.input_sha256;
  json["verdict"] = verdictJson(gateVerdict(contents.advice.warnings, contents.clash));
  json["verdict"]["cure"] = cureJson(contents.advice.together);
  json["layout"] = layoutJson(*contents.spec, *contents.layout, contents.schedules);
  json["chosen"] = chosenJson(contents.spec->chosen);
  json["stack"] = stackJson(*contents.layout);
  json["heights"] = heightsJson(*contents.layout);
  json["ground"] = groundJson(*contents.spec, *contents.layout);
  if (contents.schedules != nullptr) {
    const LoadReport& loads = contents.schedules->loads;
    json["ropes"] = ropesJson(loads);
    json["drive"] = driveJson(loads, *contents.layout);
    json["loads"] = loadsJson(loads);
    json["structure"] = structureJson(loads.structure);
  } else {
    json["ropes"] = json["drive"] = json["loads"] = json["structure"] = nullptr;
  }
  json["clash"] = contents.clash != nullptr ? clashJson(*contents.clash) : Json(nullptr);
  if (contents.as_built != nullptr) {
    json["as_built"] = builtJson(*contents.as_built);
  }
  if (!contents.without_lists) {
    addLists(contents, json);
  }
  json["warnings"] = warningsJson(contents.advice.warnings);
  json["cautions"] = cautions(contents.spec->hardware);
  if (!contents.remarks.is_null()) {
    json["remarks"] = contents.remarks;
  }
  return json.dump(2) + "\n";
}

}  // namespace leafstack
