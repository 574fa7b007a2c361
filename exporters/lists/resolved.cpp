#include "exporters/lists/resolved.h"

#include <map>
#include <nlohmann/json.hpp>

#include "exporters/bytes/rounding.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

/// Lists stay lists, and a single number given for a list-valued key ("heights_mm", "drop_mm") too.
Json computedJson(const std::string& pointer, const std::vector<double>& values) {
  const bool is_list =
      values.size() != 1 || pointer.ends_with("/heights_mm") || pointer.ends_with("/drop_mm");
  Json json = Json::array();
  for (const double value : values) {
    json.push_back(roundedToMillionth(value));
  }
  return is_list ? json : json.front();
}

}  // namespace

std::string resolvedJson(const ResolvedGate& gate, const Layout& layout, const LoadReport& loads,
                         const Provenance& provenance) {
  std::map<std::string, std::vector<double>> computed;
  for (const auto& [pointer, values] : computedValues(gate.spec, layout)) {
    computed[pointer] = values;
  }
  std::map<std::string, std::string> why;
  for (const ComputedLoad& one : computedLoads(gate.spec, loads)) {
    computed[one.pointer] = one.values;
    why[one.pointer] = one.why;
  }
  Json json;
  json["leafstack"] = LEAFSTACK_VERSION;
  json["input_sha256"] = provenance.input_sha256;
  json["values"] = Json::array();
  const auto add = [&](const std::string& pointer, const Json& value, Origin origin) {
    json["values"].push_back(
        {{"pointer", pointer}, {"value", value}, {"origin", toString(origin)}});
  };
  for (const ResolvedValue& row : gate.values) {
    const auto found = computed.find(row.pointer);
    if (found == computed.end()) {
      add(row.pointer, row.value, row.origin);
      if (!row.why.empty()) {
        json["values"].back()["why"] = row.why;
      }
      if (!row.set.empty()) {
        json["values"].back()["set"] = row.set;
      }
      if (!row.typed.empty()) {
        json["values"].back()["typed"] = row.typed;
      }
    } else {
      add(row.pointer, computedJson(row.pointer, found->second), Origin::kComputed);
      if (!why[row.pointer].empty()) {
        json["values"].back()["why"] = why[row.pointer];
      }
      computed.erase(found);
    }
  }
  for (const auto& [pointer, values] : computed) {
    add(pointer, computedJson(pointer, values), Origin::kComputed);
  }
  return json.dump(2) + "\n";
}

}  // namespace leafstack
