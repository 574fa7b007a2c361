#include "exporters/lists/compare/compare_json.h"

#include <nlohmann/json.hpp>

#include "exporters/bytes/rounding.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

Json plain(double value) {
  const double rounded = roundedToMillionth(value);
  const auto whole = static_cast<long long>(rounded);
  return static_cast<double>(whole) == rounded ? Json(whole) : Json(rounded);
}

Json plain(const std::optional<double>& value) {
  return value ? plain(*value) : Json(nullptr);
}

Json plainNumbers(const std::vector<double>& values) {
  Json list = Json::array();
  for (const double value : values) {
    list.push_back(plain(value));
  }
  return list;
}

Json siteJson(const GateSpec& spec) {
  const SiteSpec& site = spec.site;
  Json json;
  json["title"] = spec.job.title;
  json["opening_mm"] = plain(site.opening_mm);
  json["room_mm"] = plain(site.room_mm);
  json["opens"] = site.opens == Hand::kRight ? "right" : "left";
  json["fence_height_mm"] = plain(site.fence_height_mm);
  json["gate_height_mm"] = plain(spec.gate.height_mm);
  json["grade"] = plain(site.grade);
  json["cross_grade"] = plain(site.cross_grade);
  json["surveyed"] = !site.track_survey_mm.empty();
  json["bank"] = plain(site.bank);
  return json;
}

Json driveJson(const DriveNeed& drive) {
  Json json;
  json["force_N"] = plain(drive.force_N);
  json["required_force_N"] = plain(drive.required_force_N);
  json["ratio_to_single"] = plain(drive.ratio_to_single);
  json["motor_force_N"] = plain(drive.motor_force_N);
  json["opening_time_s"] = plain(drive.opening_time_s);
  json["front_speed_mm_s"] = plain(drive.front_speed_mm_s);
  json["rope_tension_N"] = plain(drive.rope_tension_N);
  json["rope_safety"] = plain(drive.rope_safety);
  return json;
}

Json costJson(const Cost& cost, const std::string& currency) {
  Json json;
  json["currency"] = currency;
  json["total"] = plain(inUnits(cost.total()));
  json["material"] = plain(inUnits(cost.material));
  json["items"] = plain(inUnits(cost.items));
  json["digging"] = plain(inUnits(cost.digging));
  json["labour"] = plain(inUnits(cost.labour));
  json["lines"] = Json::array();
  for (const CostLine& line : cost.lines) {
    json["lines"].push_back({{"what", line.what},
                             {"quantity", plain(inUnits(line.quantity))},
                             {"unit", line.unit},
                             {"price", plain(inUnits(line.price))},
                             {"cost", plain(inUnits(line.cost))}});
  }
  json["complete"] = cost.is_complete();
  json["unpriced"] = cost.unpriced;
  if (cost.carbon_kg) {
    json["carbon_kg"] = plain(inUnits(*cost.carbon_kg));
  }
  return json;
}

Json problemsJson(const Arrangement& made) {
  Json list = Json::array();
  for (const LayoutProblem& problem : made.problems) {
    list.push_back({{"pointer", problem.pointer}, {"text", problem.text}});
  }
  return list;
}

/// Null where it does not fit or nobody looked.
Json verdictJson(const Arrangement& made) {
  if (!made.verdict) {
    return nullptr;
  }
  Json json;
  json["ready"] = made.verdict->isReady();
  json["clashes_checked"] = made.verdict->is_proved;
  json["reasons"] = Json::array();
  for (const ArrangementVerdict::Reason& reason : made.verdict->reasons) {
    json["reasons"].push_back({{"id", reason.id}, {"text", reason.text}});
  }
  return json;
}

Json sectionsJson(const Arrangement& made) {
  Json list = Json::array();
  for (const ChosenValue& one : made.sections) {
    list.push_back({{"pointer", one.pointer}, {"value", one.value}, {"why", one.why}});
  }
  return list;
}

Json fixesJson(const Arrangement& made) {
  Json list = Json::array();
  for (const Fix& fix : made.fixes) {
    list.push_back({{"text", fix.text}, {"room_mm", plain(fix.room_mm)}, {"set", fix.overrides}});
  }
  return list;
}

Json arrangementJson(const GateSpec& spec, const Arrangement& made, const std::string& currency) {
  Json json;
  json["rank"] = made.rank;
  json["panels"] = made.choice.panels;
  json["stacking"] = toString(made.choice.stacking);
  json["mount"] = toString(made.choice.mount);
  json["motor"] = made.choice.motorName();
  json["room_mm"] = plain(made.room_mm);
  json["room_total_mm"] = plain(made.room_total_mm);
  json["fits"] = made.fits;
  json["verdict"] = verdictJson(made);
  json["margin_mm"] = made.laid_out ? plain(made.margin_mm) : Json(nullptr);
  json["binding"] = ruleOf(made.binding).id;
  for (const ExtensionRule& rule : kExtensionRules) {
    const ExtensionDemand& demand = made.demands[rule.binding];
    json["slack_mm"][std::string(rule.id)] =
        demand.applies ? plain(demand.slack_mm) : Json(nullptr);
  }
  json["panel_length_mm"] = plainNumbers(made.panel_length_mm);
  json["panel_mass_kg"] = plainNumbers(made.panel_mass_kg);
  json["mass_kg"] = plain(made.mass_kg);
  json["drive"] = driveJson(made.drive);
  json["ropes"] = made.ropes;
  json["pulleys"] = made.pulleys;
  json["pocket_volume_m3"] = plain(made.pocket_m3);
  json["bracket_in_view"] = made.bracketShows();
  json["bracket_over_fence_mm"] = plain(made.bracket_over_fence_mm);
  json["hazards"] = Json::array();
  for (const Hazard hazard : made.hazards) {
    json["hazards"].push_back({{"id", idOf(hazard)}, {"text", hazardText(spec, made, hazard)}});
  }
  json["problems"] = problemsJson(made);
  json["fixes"] = fixesJson(made);
  json["sections"] = sectionsJson(made);
  json["set"] = overridesOf(spec, made);
  if (made.cost) {
    json["cost"] = costJson(*made.cost, currency);
  }
  return json;
}

}  // namespace

std::string compareJson(const SiteComparison& comparison, const std::string& currency) {
  Json json;
  json["site"] = siteJson(comparison.spec);
  json["arrangements"] = Json::array();
  for (const int index : comparison.ranked) {
    json["arrangements"].push_back(
        arrangementJson(comparison.spec, comparison.arrangements[index], currency));
  }
  json["recommended"] = comparison.recommended ? Json(0) : Json(nullptr);  // the best stands first
  json["vouched"] = comparison.vouched;
  json["why"] = comparison.why;
  json["notes"] = comparison.notes;
  return json.dump(2) + "\n";
}

}  // namespace leafstack
