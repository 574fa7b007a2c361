#include "exporters/lists/report/structure_json.h"

#include <cmath>

#include "exporters/bytes/json_numbers.h"
#include "exporters/bytes/rounding.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kPerNm = 1000;

Json memberJson(const StructureMember& member) {
  Json json;
  json["panel"] = member.panel;
  json["name"] = member.name;
  json["mark"] = member.mark;
  json["section"] = member.section;
  json["case"] = member.case_name;
  json["at_mm"] = num(member.at_mm);
  json["use"] = num(member.use);
  json["stress_N_mm2"] = num(member.stress_N_mm2);
  json["yield_N_mm2"] = num(member.yield_N_mm2);
  json["normal_N_mm2"] = num(member.normal_N_mm2);
  json["shear_N_mm2"] = num(member.shear_N_mm2);
  json["pull_N"] = num(member.pull_N);
  json["shear_N"] = num(member.shear_N);
  json["twist_Nm"] = num(member.twist_Nmm / kPerNm);
  json["moment_across_Nm"] = num(member.across_Nmm / kPerNm);
  json["moment_upright_Nm"] = num(member.upright_Nmm / kPerNm);
  json["deflection_mm"] = num(member.deflection_mm);
  return json;
}

Json wheelJson(const StructureWheel& wheel) {
  Json json;
  json["panel"] = wheel.panel;
  json["end"] = wheel.leading ? "leading" : "trailing";
  json["case"] = wheel.case_name;
  json["lateral_N"] = num(wheel.lateral_N);
  json["vertical_N"] = num(wheel.vertical_N);
  json["ratio"] = std::isfinite(wheel.ratio) ? Json(num(wheel.ratio)) : Json(nullptr);
  json["limit"] = num(wheel.limit);
  json["keeper_use"] = num(wheel.keeper_use);
  json["keeper_catches"] = wheel.ratio <= wheel.keeper_limit;
  json["climbs_at_m_s"] = wheel.climbs_at_m_s ? Json(num(*wheel.climbs_at_m_s)) : Json(nullptr);
  return json;
}

Json vectorJson(const Vec3& vector) {
  return {num(vector[0]), num(vector[1]), num(vector[2])};
}

Json reactionsJson(const CaseReactions& one) {
  Json json;
  json["case"] = one.case_name;
  json["at"] = Json::array();
  for (const Reaction& reaction : one.at) {
    Json row = {{"what", reaction.what}, {"force_N", vectorJson(reaction.force_N)}};
    if (reaction.moment_Nm != Vec3{}) {
      row["moment_Nm"] = vectorJson(reaction.moment_Nm);
    }
    json["at"].push_back(std::move(row));
  }
  return json;
}

Json optional(const std::optional<double>& value) {
  return value && std::isfinite(*value) ? Json(num(*value)) : Json(nullptr);
}

Json anchorsJson(const PostAnchors& anchors) {
  Json json;
  json["row_N"] = num(anchors.row_N);
  json["edge_mm"] = num(anchors.edge_mm);
  json["spacing_mm"] = num(anchors.spacing_mm);
  json["pull_use"] = optional(anchors.pull_use);
  json["cone_N"] = optional(anchors.cone_N);
  json["cone_use"] = optional(anchors.cone_use);
  return json;
}

Json blockJson(const PostBlock& block) {
  Json json;
  json["case"] = block.case_name;
  json["along_mm"] = num(block.along_mm);
  json["across_mm"] = num(block.across_mm);
  json["depth_mm"] = num(block.depth_mm);
  json["weight_N"] = num(block.weight_N);
  json["tipping_Nm"] = num(block.tipping_Nm);
  json["righting_Nm"] = num(block.righting_Nm);
  json["use"] = num(block.use);
  json["soil_kPa"] = optional(block.soil_kPa);
  json["soil_use"] = optional(block.soil_use);
  json["reaches"] = Json::array();
  for (const BlockReach& reach : block.reaches) {
    json["reaches"].push_back({{"what", reach.what}, {"by_mm", num(reach.by_mm)}});
  }
  return json;
}

Json postJson(const StructurePost& post) {
  Json json;
  json["mark"] = post.mark;
  json["name"] = post.name;
  json["case"] = post.case_name;
  json["moment_Nm"] = num(post.moment_Nm);
  json["torque_Nm"] = num(post.torque_Nm);
  json["use"] = num(post.use);
  json["plate_use"] = post.plate_use ? Json(num(*post.plate_use)) : Json(nullptr);
  json["anchor_N"] = num(post.anchor_N);
  json["anchors"] = post.anchors ? anchorsJson(*post.anchors) : Json(nullptr);
  json["block"] = post.block ? blockJson(*post.block) : Json(nullptr);
  return json;
}

template <typename Rows, typename Make>
Json listed(const Rows& rows, const Make& make) {
  Json json = Json::array();
  for (const auto& row : rows) {
    json.push_back(make(row));
  }
  return json;
}

}  // namespace

Json structureJson(const StructureReport& structure) {
  Json json;
  json["problem"] = structure.problem.empty() ? Json(nullptr) : Json(structure.problem);
  json["members"] = listed(structure.members, memberJson);
  json["deflection_mm"] = num(structure.deflection_mm);
  json["deflection_limit_mm"] = num(structure.deflection_limit_mm);
  json["deflection_case"] = structure.deflection_case;
  json["frequencies_Hz"] = listed(structure.frequencies_Hz, [](double one) { return num(one); });
  json["wheels"] = listed(structure.wheels, wheelJson);
  json["axles"] = listed(structure.axles, [](const StructureAxle& axle) {
    return Json{{"panel", axle.panel},
                {"end", axle.leading ? "leading" : "trailing"},
                {"weight_N", num(axle.weight_N)},
                {"side_N", num(axle.side_N)},
                {"moment_Nmm", num(axle.moment_Nmm)},
                {"use", num(axle.use)}};
  });
  json["details"] = listed(structure.details, [](const StructureDetail& one) {
    return Json{{"id", one.id},           {"name", one.name},        {"case", one.case_name},
                {"formula", one.formula}, {"source", one.source},    {"unit", one.unit},
                {"acts", num(one.acts)},  {"bears", num(one.bears)}, {"use", num(one.use)}};
  });
  json["blocks"] = listed(structure.blocks, [](const StructureBlock& block) {
    return Json{{"panel", block.panel}, {"case", block.case_name}, {"force_N", num(block.force_N)}};
  });
  json["receivers"] = listed(structure.receivers, [](const StructureReceiver& one) {
    return Json{{"name", one.name},
                {"case", one.case_name},
                {"force_N", num(one.force_N)},
                {"play_mm", num(one.play_mm)}};
  });
  json["reactions"] = listed(structure.reactions, reactionsJson);
  json["posts"] = listed(structure.posts, postJson);
  json["plates"] = listed(structure.plates, [](const StructurePlate& plate) {
    return Json{{"name", plate.name},
                {"case", plate.case_name},
                {"force_N", num(plate.force_N)},
                {"lever_mm", num(plate.lever_mm)},
                {"width_mm", num(plate.width_mm)},
                {"thickness_mm", num(plate.thick_mm)},
                {"use", num(plate.use)}};
  });
  json["welds"] = listed(structure.welds, [](const StructureWeld& weld) {
    return Json{{"name", weld.name},
                {"case", weld.case_name},
                {"leg_mm", num(weld.leg_mm)},
                {"force_N_mm", num(weld.line_N_mm)},
                {"strength_N_mm2", num(weld.strength_N_mm2)},
                {"use", num(weld.use)}};
  });
  return json;
}

}  // namespace leafstack
