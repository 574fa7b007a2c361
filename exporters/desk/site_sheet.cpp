#include "exporters/desk/site_sheet.h"

#include <nlohmann/json.hpp>
#include <string_view>

#include "exporters/bytes/provenance.h"
#include "exporters/bytes/xml_text.h"
#include "exporters/desk/page/bundle.h"
#include "params/table/table.h"

namespace leafstack::desk {
namespace {

using Json = nlohmann::ordered_json;

/// What is asked for at a driveway, in the order in which one goes about it.
struct Asked {
  const char *group, *pointer, *label;
};

constexpr Asked kAsked[] = {
    {"Job", "/job/title", "Title"},
    {"Job", "/job/number", "Number"},
    {"Job", "/job/client", "Client"},
    {"Job", "/job/date", "Date"},
    {"Opening", "/site/opening_mm", "Opening, between the posts"},
    {"Opening", "/site/room_mm", "Room beside it, free along the fence"},
    {"Opening", "/site/opens", "Opens to the, seen from the road"},
    {"Fence and posts", "/site/fence_height_mm", "Fence's height"},
    {"Fence and posts", "/site/fence_post_mm", "Fence post"},
    {"Fence and posts", "/site/fence_clearance_mm", "Gap to the fence"},
    {"Fence and posts", "/site/setback_mm", "Setback from the fence"},
    {"Ground", "/site/grade", "Slope along the track (1:50, 2 %)"},
    {"Ground", "/site/cross_grade", "Slope across it"},
    {"Ground", "/site/bank", "Bank behind the track, rise per run"},
    {"Gate", "/gate/height_mm", "Height wanted"},
    {"Gate", "/gate/infill/kind", "Infill"},
    {"Gate", "/gate/material", "Material"},
};

/// In a script of type application/json no "<" may end it.
std::string inScript(std::string text) {
  for (std::size_t at = 0; (at = text.find('<', at)) != std::string::npos;) {
    text.replace(at, 1, "\\u003c");
  }
  return text;
}

std::string filledIn(std::string text, std::string_view name, const std::string& value) {
  return text.replace(text.find(name), name.size(), value);
}

}  // namespace

std::string siteSheet() {
  Json rows = Json::array();
  for (const Asked& asked : kAsked) {
    const Parameter* const row = findParameter(asked.pointer);
    if (row == nullptr) {
      throw std::logic_error(std::string("site sheet: no key ") + asked.pointer);
    }
    const bool is_number = row->kind == Kind::kNumber || row->kind == Kind::kAutoNumber;
    rows.push_back({{"group", asked.group},
                    {"pointer", asked.pointer},
                    {"label", asked.label},
                    {"field", is_number ? "number" : "text"},
                    {"unit", row->unit},
                    {"default", Json::parse(row->default_json, nullptr, false)},
                    {"required", row->required},
                    {"choices", choiceNames(*row)},
                    {"allowed", allowedText(*row)},
                    {"meaning", row->meaning},
                    {"least", is_number ? Json(row->limits.least) : Json()},
                    {"most", is_number ? Json(row->limits.most) : Json()}});
  }
  std::string page(siteSheetTemplate());
  page = filledIn(std::move(page), "{{made}}", xmlEscaped("Made by " + programName()));
  return filledIn(std::move(page), "{{rows}}", inScript(rows.dump()));
}

}  // namespace leafstack::desk
