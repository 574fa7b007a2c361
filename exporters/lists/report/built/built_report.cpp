#include "exporters/lists/report/built/built_report.h"

#include "exporters/bytes/json_numbers.h"
#include "exporters/lists/text/plain_text.h"
#include "generator/as_built/built_warnings.h"

namespace leafstack {
namespace {

using BuiltJson = nlohmann::ordered_json;

BuiltJson movesOf(const Corrected& corrected, bool remade) {
  BuiltJson json = BuiltJson::array();
  for (const Adjustment& one : corrected.adjustments) {
    if (one.is_remade == remade) {
      json.push_back({{"what", one.what},
                      {"where", one.where},
                      {"by_mm", num(one.by_mm)},
                      {"text", one.text}});
    }
  }
  return json;
}

}  // namespace

BuiltJson builtJson(const Corrected& corrected) {
  BuiltJson json;
  json["verdict"] = toString(corrected.verdict);
  json["text"] = inWords(corrected);
  json["clash"] = toString(corrected.proved.verdict);
  json["proofs"] = corrected.proofs;
  json["least_clearance_mm"] = num(corrected.proved.least_clearance_mm);
  json["least_clearance_between"] = corrected.proved.least_clearance_between;
  json["moves"] = movesOf(corrected, /*remade=*/false);
  json["remade"] = movesOf(corrected, /*remade=*/true);
  json["ropes"] = BuiltJson::array();
  for (const RopeSetting& rope : corrected.ropes) {
    json["ropes"].push_back({{"mark", rope.mark},
                             {"turn_mm", num(rope.longer_mm)},
                             {"turns", num(rope.turns)},
                             {"within_range", rope.isWithinRange()}});
  }
  json["shims"] = BuiltJson::array();
  for (const TrackShim& shim : corrected.shims) {
    json["shims"].push_back({{"where", "track " + std::to_string(shim.track)},
                             {"x_mm", num(shim.x_mm)},
                             {"track", shim.track},
                             {"thickness_mm", num(shim.shim_mm)},
                             {"grind_mm", num(shim.grind_mm)}});
  }
  json["pairs"] = BuiltJson::array();
  for (const BuiltPairVerdict& pair : corrected.pairs) {
    json["pairs"].push_back({{"pair", pair.pair},
                             {"clearance_mm", num(pair.clearance_mm)},
                             {"required_mm", num(pair.required_mm)},
                             {"verdict", pair.works_after ? "works after correction" : "cannot"}});
  }
  json["unmet"] = corrected.unmet;
  json["contradictions"] = corrected.contradictions;
  return json;
}

std::string builtText(const Corrected& corrected) {
  std::string out = "\nAs built\n" + wrapped(inWords(corrected) + ".", "  ", "  ");
  for (const Adjustment& one : corrected.adjustments) {
    out += wrapped(one.text + " (" + one.where + ")", "  - ", "    ");
  }
  return out + wrapped(
                   "Not looked at as built: ropes against their own ends. Tables and figures of "
                   "strength are of the gate as drawn.",
                   "  ", "  ");
}

}  // namespace leafstack
