#include "exporters/lists/report/clash_report.h"

#include "exporters/bytes/csv.h"
#include "exporters/bytes/json_numbers.h"
#include "exporters/bytes/rounding.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

// A hundredth of a millimetre, as findings' ends are known.
constexpr int kLengthDecimals = 2;
constexpr int kVolumeDecimals = 1;

Json stretchesJson(const std::vector<Stretch>& stretches) {
  Json json = Json::array();
  for (const Stretch& one : stretches) {
    json.push_back({num(one.from_mm), num(one.to_mm)});
  }
  return json;
}

Json sideJson(const FindingPart& part) {
  return {{"mark", part.mark}, {"name", part.name}, {"panel", part.panel}};
}

Json findingJson(const Finding& finding) {
  Json json;
  json["id"] = finding.id;
  json["class"] = toString(finding.finding_class);
  json["a"] = sideJson(finding.a);
  json["b"] = sideJson(finding.b);
  json["pairs"] = finding.pairs;
  json["from_mm"] = num(finding.fromMm());
  json["to_mm"] = num(finding.toMm());
  json["stretches_mm"] = stretchesJson(finding.stretches_mm);
  json["below_required_mm"] = stretchesJson(finding.below_required_mm);
  json["ends_within_mm"] = num(finding.ends_within_mm);
  json["is_coarse"] = finding.is_coarse;
  json["worst_at_mm"] = num(finding.worst_at_mm);
  json["clearance_mm"] = num(finding.clearance_mm);
  json["required_mm"] = num(finding.required_mm);
  json["requirement"] = finding.requirement;
  json["depth_mm"] = num(finding.depth_mm);
  json["depth_direction"] = point(finding.depth_direction);
  json["depth_along_travel_mm"] = num(finding.depth_along_travel_mm);
  json["depth_method"] =
      "least shift of b that frees it of a at worst_at_mm: along the axes or square to the "
      "parts' largest faces; along the track only";
  json["volume_mm3"] = num(finding.volume_mm3);
  json["points_mm"] = {point(finding.points_mm[0]), point(finding.points_mm[1])};
  json["text"] = finding.text;
  if (finding.status != FindingStatus::kNotCompared) {
    json["status"] = toString(finding.status);
    json["was"] = finding.was_id.empty() ? Json(nullptr) : Json(finding.was_id);
  }
  return json;
}

Json againstJson(const std::optional<Comparison>& against) {
  if (!against) {
    return nullptr;
  }
  Json json;
  json["input_sha256"] = against->input_sha256;
  json["new"] = against->new_ones;
  json["still_there"] = against->still_there;
  json["resolved"] = Json::array();
  for (const EarlierFinding& one : against->resolved) {
    json["resolved"].push_back({{"id", one.id}, {"text", one.text}});
  }
  return json;
}

Json contactJson(const ContactReport& contact) {
  Json json;
  json["a"] = sideJson(contact.a);
  json["b"] = sideJson(contact.b);
  json["kind"] = contact.kind;
  json["reason"] = contact.reason;
  json["holds"] = contact.holds;
  json["pairs"] = contact.pairs;
  json["hits"] = contact.hits;
  json["held_mm"] = stretchesJson(contact.held_mm);
  json["permitted_gap_mm"] = num(contact.permitted_gap_mm);
  json["permitted_overlap_mm"] = num(contact.permitted_overlap_mm);
  return json;
}

Json countsJson(const PairCounts& counts) {
  return {{"by_bounds", counts.by_bounds}, {"by_sweep", counts.by_sweep},
          {"refined", counts.refined},     {"declared", counts.declared},
          {"short", counts.short_of},      {"unresolved", counts.unresolved}};
}

Json asBuiltJson(const AsBuilt& built) {
  if (!(built.tolerance_mm > 0)) {
    return nullptr;
  }
  Json json;
  json["build_tolerance_mm"] = num(built.tolerance_mm);
  json["pairs_that_can_meet"] = built.pairs_that_can_meet;
  json["is_coarse"] = built.is_coarse;
  json["least_left_mm"] =
      built.pairs.empty() ? Json(nullptr) : Json(num(built.pairs.front().left_mm));
  json["tightest"] = Json::array();
  for (const BuiltPair& pair : built.pairs) {
    json["tightest"].push_back({{"a", sideJson(pair.a)},
                                {"b", sideJson(pair.b)},
                                {"pairs", pair.pairs},
                                {"as_drawn_mm", num(pair.as_drawn_mm)},
                                {"left_mm", num(pair.left_mm)},
                                {"allowed_tolerance_mm", num(pair.allowed_mm)},
                                {"at_mm", num(pair.at_mm)}});
  }
  return json;
}

std::string stretchesText(const std::vector<Stretch>& stretches) {
  std::string text;
  for (const Stretch& one : stretches) {
    text += (text.empty() ? "" : "; ") + fixedDecimals(one.from_mm, kLengthDecimals) + " to " +
            fixedDecimals(one.to_mm, kLengthDecimals);
  }
  return text;
}

}  // namespace

Json clashJson(const ClashReport& clash) {
  Json json;
  json["verdict"] = toString(clash.verdict);
  json["proved_between_positions"] = clash.proved_between_positions;
  json["least_clearance_mm"] = num(clash.least_clearance_mm);
  json["least_clearance_between"] = clash.least_clearance_between;
  json["least_clearance_at_mm"] = num(clash.least_clearance_at_mm);
  json["pairs_checked"] = clash.pairs_checked;
  json["pairs"] = countsJson(clash.counts);
  json["as_built"] = asBuiltJson(clash.as_built);
  json["against"] = againstJson(clash.against);
  json["designed_contacts"] = Json::array();
  for (const ContactReport& contact : clash.designed_contacts) {
    json["designed_contacts"].push_back(contactJson(contact));
  }
  json["findings"] = Json::array();
  for (const Finding& finding : clash.findings) {
    json["findings"].push_back(findingJson(finding));
  }
  return json;
}

std::string clashesCsv(const ClashReport& clash) {
  const auto length = [](double mm) { return fixedDecimals(mm, kLengthDecimals); };
  std::string csv = csvLine({"id",
                             "class",
                             "a_mark",
                             "a_name",
                             "a_panel",
                             "b_mark",
                             "b_name",
                             "b_panel",
                             "pairs",
                             "from_mm",
                             "to_mm",
                             "stretches_mm",
                             "worst_at_mm",
                             "clearance_mm",
                             "required_mm",
                             "depth_mm",
                             "depth_along_travel_mm",
                             "volume_mm3",
                             "text",
                             "status"});
  for (const Finding& finding : clash.findings) {
    csv += csvLine({finding.id,
                    std::string(toString(finding.finding_class)),
                    finding.a.mark,
                    finding.a.name,
                    std::to_string(finding.a.panel),
                    finding.b.mark,
                    finding.b.name,
                    std::to_string(finding.b.panel),
                    std::to_string(finding.pairs),
                    length(finding.fromMm()),
                    length(finding.toMm()),
                    stretchesText(finding.stretches_mm),
                    length(finding.worst_at_mm),
                    length(finding.clearance_mm),
                    length(finding.required_mm),
                    length(finding.depth_mm),
                    length(finding.depth_along_travel_mm),
                    fixedDecimals(finding.volume_mm3, kVolumeDecimals),
                    finding.text,
                    std::string(toString(finding.status))});
  }
  return csv;
}

}  // namespace leafstack
