#include "exporters/lists/report/lists_report.h"

#include "exporters/bytes/json_numbers.h"
#include "exporters/bytes/rounding.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

Json endJson(const EndCut& end) {
  return {{"angle_deg", num(end.angle_deg)},
          {"plane", end.plane.empty() ? Json(nullptr) : Json(end.plane)}};
}

Json cutJson(const CutRow& row) {
  Json json;
  json["mark"] = row.mark;
  json["name"] = row.name;
  json["section"] = row.section;
  json["material"] = row.material;
  json["panels"] = row.panels;
  json["quantity"] = row.quantity;
  json["length_mm"] = num(row.length_mm);
  json["leading_or_lower_end"] = endJson(row.ends[0]);
  json["trailing_or_upper_end"] = endJson(row.ends[1]);
  json["mass_each_kg"] = num(row.mass_kg);
  json["cutouts"] = row.cutouts;
  json["file"] = row.file;
  return json;
}

Json billJson(const BillRow& row) {
  Json json;
  json["mark"] = row.mark;
  json["name"] = row.name;
  json["description"] = row.description;
  json["material"] = row.material;
  json["supply"] = row.supply;
  json["quantity"] = row.quantity;
  json["length_mm"] = num(row.length_mm);
  json["mass_each_kg"] = num(row.mass_kg);
  addWords(json, row.words);
  return json;
}

Json profileJson(const ProfileRow& row) {
  Json json;
  json["mark"] = row.mark;
  json["name"] = row.name;
  json["material"] = row.material;
  json["quantity"] = row.quantity;
  json["file"] = row.profile ? Json(row.file) : Json(nullptr);
  if (row.profile) {
    json["thickness_mm"] = num(row.thickness_mm);
    json["width_mm"] = num(row.profile->width_mm);
    json["height_mm"] = num(row.profile->height_mm);
    json["cut_area_mm2"] = num(row.profile->area_mm2);
    json["holes"] = row.profile->loops.size() - 1;
    json["smallest_hole_mm"] = num(row.profile->smallestHoleMm());
    json["folds"] = row.profile->bends.size();
  }
  json["note"] = row.note;
  return json;
}

Json coatingJson(const CoatingRow& row) {
  Json json;
  json["mark"] = row.mark;
  json["quantity"] = row.quantity;
  json["all_each_m2"] = num(row.all_m2);
  json["outside_each_m2"] = num(row.outside_m2);
  json["mass_each_kg"] = num(row.mass_kg);
  json["finish"] = row.finish;
  if (row.zinc_um > 0) {
    json["zinc_um"] = num(row.zinc_um);
  }
  if (!row.after.empty()) {
    json["after_coating"] = row.after;
  }
  return json;
}

/// Where each lies stands in tables/sheet-plan.csv.
Json sheetsJson(const SheetGroup& group) {
  Json too_large = Json::array();
  for (const SheetPiece& piece : group.plan.too_large) {
    too_large.push_back(piece.mark);
  }
  return {{"material", group.material},
          {"thickness_mm", num(group.thickness_mm)},
          {"sheet_mm", {num(group.sheet.length_mm), num(group.sheet.width_mm)}},
          {"sheets", group.plan.sheets.size()},
          {"least_sheets", group.plan.least_sheets},
          {"needed_mm2", num(group.plan.needed_mm2)},
          {"too_large", too_large}};
}

Json stockJson(const StockGroup& group) {
  Json json;
  json["material"] = group.material;
  json["section"] = group.section;
  json["bought_mm"] = num(group.plan.bought_mm);
  json["needed_mm"] = num(group.plan.needed_mm);
  json["waste_share"] = num(group.plan.waste_share);
  json["lower_bound_mm"] = num(group.plan.lower_bound_mm);
  json["gap_share"] = num(group.plan.gap_share);
  json["is_proved_least"] = group.plan.is_proved;
  json["bars"] = Json::array();
  for (const StockBar& bar : group.plan.bars) {
    Json cuts = Json::array();
    for (const StockCut& cut : bar.cuts) {
      cuts.push_back(
          {{"mark", cut.mark}, {"from_mm", num(cut.from_mm)}, {"length_mm", num(cut.length_mm)}});
    }
    json["bars"].push_back(
        {{"stock_mm", num(bar.stock_mm)}, {"cuts", cuts}, {"offcut_mm", num(bar.offcut_mm)}});
  }
  json["too_long"] = Json::array();
  for (const StockPiece& piece : group.plan.too_long) {
    json["too_long"].push_back(
        {{"mark", piece.mark}, {"length_mm", num(piece.length_mm)}, {"quantity", piece.quantity}});
  }
  return json;
}

template <typename Rows, typename ToJson>
Json list(const Rows& rows, ToJson to_json) {
  Json json = Json::array();
  for (const auto& row : rows) {
    json.push_back(to_json(row));
  }
  return json;
}

}  // namespace

void addWords(Json& json, const ItemWords& words) {
  for (const auto& [key, word] :
       {std::pair{"item", &words.item}, {"supplier", &words.supplier}, {"finish", &words.finish}}) {
    if (!word->empty()) {
      json[key] = *word;
    }
  }
}

Json weldsJson(const Schedules& schedules) {
  return list(schedules.welds, [](const WeldRow& row) {
    Json json;
    json["mark"] = row.mark;
    json["panel"] = row.panel;
    json["a"] = row.a;
    json["b"] = row.b;
    json["kind"] = toString(row.kind);
    json["leg_mm"] = num(row.leg_mm);
    json["length_mm"] = num(row.length_mm);
    json["edge_mm"] = num(row.edge_mm);
    json["pieces"] = row.pieces;
    json["sides"] = row.sides;
    json["gap_mm"] = num(row.gap_mm);
    json["all_round"] = row.is_all_round;
    json["preparation"] = toString(row.groove);
    json["count"] = row.joints;
    if (row.use) {
      json["use"] = num(*row.use);
    }
    json["site"] = row.is_on_site;
    json["where"] = row.where;
    json["what"] = row.what;
    json["at_mm"] = {num(row.at_mm[0]), num(row.at_mm[1]), num(row.at_mm[2])};
    return json;
  });
}

Json fastenersJson(const Schedules& schedules) {
  return list(schedules.fasteners, [](const FastenerRow& row) {
    Json json;
    json["mark"] = row.mark;
    json["size"] = row.size;
    json["length_mm"] = num(row.length_mm);
    json["grade"] = row.grade;
    json["finish"] = row.finish;
    json["what"] = row.what;
    json["quantity"] = row.quantity;
    json["where"] = row.panel > 0 ? "panel " + std::to_string(row.panel) : std::string("fixed");
    json["head"] = row.head;
    json["under_head"] = row.under_head;
    json["holds_in"] = row.holds_in;
    if (!row.washer.empty()) {
      json["washer"] = row.washer;
    }
    if (!row.nut.empty()) {
      json["nut"] = row.nut;
    }
    json["grip_mm"] = num(row.grip_mm);
    json["hold_mm"] = num(row.hold_mm);
    json["tool"] = row.tool;
    json["tool_meets"] = row.blocked_by;
    return json;
  });
}

Json listsJson(const Schedules& schedules) {
  Json json;
  json["cut_list"] = list(schedules.cut_list, cutJson);
  json["bill"] = list(schedules.bill, billJson);
  json["profiles"] = list(schedules.profiles, profileJson);
  json["coating"] = list(schedules.coating, coatingJson);
  json["stock_plan"] = list(schedules.stock, stockJson);
  json["sheet_plan"] = list(schedules.sheets, sheetsJson);
  return json;
}

}  // namespace leafstack
