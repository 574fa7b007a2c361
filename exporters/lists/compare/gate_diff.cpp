#include "exporters/lists/compare/gate_diff.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "exporters/lists/text/plain_text.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kSameWithin = 1e-3;  // mm, kg, N: below what any list shows
constexpr std::size_t kMostShown = 12;

/// Sections of a report whose numbers are told as figures.
constexpr const char* kFigures[] = {"layout", "stack", "heights", "ground", "drive", "structure"};
constexpr const char* kPartKeys[] = {"name",         "material", "section",    "length_mm",
                                     "thickness_mm", "mass_kg",  "volume_mm3", "quantity"};

bool isSame(const Json& a, const Json& b) {
  if (a.is_number() && b.is_number()) {
    return std::abs(a.get<double>() - b.get<double>()) <= kSameWithin;
  }
  return a == b;
}

Json inputsOf(const DiffSide& a, const DiffSide& b) {
  std::map<std::string, Json> others;
  for (const ResolvedValue& value : b.values) {
    others[value.pointer] = value.value;
  }
  Json out = Json::array();
  for (const ResolvedValue& value : a.values) {
    const auto other = others.find(value.pointer);
    if (other != others.end() && other->second != value.value) {
      out.push_back({{"pointer", value.pointer}, {"a", value.value}, {"b", other->second}});
    }
  }
  return out;
}

/// What is no list and no object, by its path.
void collect(const Json& json, const std::string& path, std::vector<std::string>& order,
             std::map<std::string, Json>& leaves) {
  if (json.is_structured()) {
    for (const auto& [key, value] : json.items()) {
      collect(value, path + "." + key, order, leaves);
    }
    return;
  }
  if (leaves.emplace(path, json).second) {
    order.push_back(path);
  }
}

/// What does not fit is laid out, and no more.
bool isBuilt(const Json& report) {
  return report.value("clash", Json()).is_object();
}

Json figuresOf(const Json& a, const Json& b) {
  std::vector<std::string> order;
  std::map<std::string, Json> of_a, of_b;
  const bool both_built = isBuilt(a) == isBuilt(b);
  for (const char* section : kFigures) {
    const Json one = a.value(section, Json()), other = b.value(section, Json());
    if (both_built || one.is_null() == other.is_null()) {
      collect(one, section, order, of_a);
      collect(other, section, order, of_b);
    }
  }
  Json out = Json::array();
  std::map<std::string, bool> told;
  for (const std::string& path : order) {
    const Json one = of_a.contains(path) ? of_a[path] : Json();
    const Json other = of_b.contains(path) ? of_b[path] : Json();
    if (!told[path] && !isSame(one, other)) {
      out.push_back({{"path", path}, {"a", one}, {"b", other}});
    }
    told[path] = true;
  }
  return out;
}

std::map<std::string, Json> byKey(const Json& list, const char* key) {
  std::map<std::string, Json> out;
  for (const Json& one : list) {
    out.emplace(one.at(key).get<std::string>(), one);
  }
  return out;
}

Json partsOf(const Json& a, const Json& b) {
  Json out = {
      {"same", 0}, {"changed", Json::array()}, {"new", Json::array()}, {"gone", Json::array()}};
  const auto of_a = byKey(a.value("parts", Json::array()), "mark");
  const auto of_b = byKey(b.value("parts", Json::array()), "mark");
  int same = 0;
  for (const auto& [mark, one] : of_a) {
    const auto found = of_b.find(mark);
    if (found == of_b.end()) {
      out["gone"].push_back({{"mark", mark}, {"name", one.value("name", "")}});
      continue;
    }
    Json changes = Json::object();
    for (const char* key : kPartKeys) {
      const Json was = one.value(key, Json()), is = found->second.value(key, Json());
      if (!isSame(was, is)) {
        changes[key] = {{"a", was}, {"b", is}};
      }
    }
    if (changes.empty()) {
      ++same;
    } else {
      out["changed"].push_back(
          {{"mark", mark}, {"name", found->second.value("name", "")}, {"changes", changes}});
    }
  }
  for (const auto& [mark, one] : of_b) {
    if (!of_a.contains(mark)) {
      out["new"].push_back({{"mark", mark}, {"name", one.value("name", "")}});
    }
  }
  out["same"] = same;
  return out;
}

Json listOf(const Json& report, const char* section, const char* key) {
  const Json found = report.value(section, Json());
  return found.is_object() ? found.value(key, Json::array()) : Json::array();
}

Json findingsOf(const Json& a, const Json& b) {
  const auto of_a = byKey(listOf(a, "clash", "findings"), "id");
  const auto of_b = byKey(listOf(b, "clash", "findings"), "id");
  Json out = {{"still_there", 0}, {"new", Json::array()}, {"gone", Json::array()}};
  int still = 0;
  for (const auto& [id, one] : of_a) {
    if (of_b.contains(id)) {
      ++still;
    } else {
      out["gone"].push_back({{"id", id}, {"text", one.value("text", "")}});
    }
  }
  for (const auto& [id, one] : of_b) {
    if (!of_a.contains(id)) {
      out["new"].push_back({{"id", id}, {"text", one.value("text", "")}});
    }
  }
  out["still_there"] = still;
  return out;
}

std::string shownValue(const Json& value) {
  if (value.is_number_float()) {
    constexpr double kPerUnit = 1e3;
    return formatNumber(std::round(value.get<double>() * kPerUnit) / kPerUnit);
  }
  return value.is_string() ? oneLine(value.get<std::string>())
         : value.is_null() ? "none"
                           : oneLine(value.dump());
}

std::string fromTo(const Json& row) {
  return shownValue(row.at("a")) + " -> " + shownValue(row.at("b"));
}

std::string changeRows(const Json& rows, const char* key) {
  std::string out;
  for (std::size_t i = 0; i < std::min(rows.size(), kMostShown); ++i) {
    out += wrapped(rows[i].at(key).get<std::string>() + ": " + fromTo(rows[i]), "  ", "    ");
  }
  return rows.size() > kMostShown ? out + "  ... and " + std::to_string(rows.size() - kMostShown) +
                                        " more; --json lists them all\n"
                                  : out;
}

std::string markRows(const char* what, const Json& rows) {
  std::string text;
  for (std::size_t i = 0; i < std::min(rows.size(), kMostShown); ++i) {
    text += (i == 0 ? "" : ", ") + rows[i].at("name").get<std::string>() + " " +
            rows[i].at("mark").get<std::string>();
  }
  text +=
      rows.size() > kMostShown ? " and " + std::to_string(rows.size() - kMostShown) + " more" : "";
  return rows.empty() ? "" : wrapped(std::string(what) + ": " + text, "  ", "    ");
}

std::string partsText(const Json& parts) {
  const auto count = [&](const char* key) { return std::to_string(parts.at(key).size()); };
  std::string out = "\nParts by mark: " + std::to_string(parts.at("same").get<int>()) + " same, " +
                    count("changed") + " changed, " + count("new") + " new, " + count("gone") +
                    " gone\n";
  const Json& changed = parts.at("changed");
  for (std::size_t i = 0; i < std::min(changed.size(), kMostShown); ++i) {
    std::string text =
        changed[i].at("name").get<std::string>() + " " + changed[i].at("mark").get<std::string>();
    const char* comma = ": ";
    for (const auto& [key, change] : changed[i].at("changes").items()) {
      if (key != "volume_mm3" || changed[i].at("changes").size() == 1) {
        text += comma + key + " " + fromTo(change);
        comma = ", ";
      }
    }
    out += wrapped(text, "  ", "    ");
  }
  if (changed.size() > kMostShown) {
    out += "  ... and " + std::to_string(changed.size() - kMostShown) + " more\n";
  }
  return out + markRows("new", parts.at("new")) + markRows("gone", parts.at("gone"));
}

std::string findingsText(const Json& findings) {
  std::string out = "\nFindings: " + std::to_string(findings.at("still_there").get<int>()) +
                    " still there, " + std::to_string(findings.at("new").size()) + " new, " +
                    std::to_string(findings.at("gone").size()) + " gone\n";
  for (const char* key : {"new", "gone"}) {
    const Json& rows = findings.at(key);
    for (std::size_t i = 0; i < std::min(rows.size(), kMostShown); ++i) {
      out += wrapped(std::string(key) + ": " + rows[i].at("text").get<std::string>(), "  ", "    ");
    }
  }
  return out;
}

std::string verdictOf(const Json& report) {
  const Json verdict = report.value("verdict", Json());
  if (verdict.value("ready", false)) {
    return "READY";
  }
  std::string out = "NOT READY";
  const char* comma = ": ";
  for (const Json& reason : verdict.value("reasons", Json::array())) {
    out += comma + reason.value("text", "");
    comma = ", ";
  }
  return out;
}

}  // namespace

Json gateDiff(const DiffSide& a, const DiffSide& b) {
  Json out;
  out["a"] = {{"gate", a.name}, {"verdict", verdictOf(a.report)}, {"is_built", isBuilt(a.report)}};
  out["b"] = {{"gate", b.name}, {"verdict", verdictOf(b.report)}, {"is_built", isBuilt(b.report)}};
  out["inputs"] = inputsOf(a, b);
  out["figures"] = figuresOf(a.report, b.report);
  const bool both_built = isBuilt(a.report) && isBuilt(b.report);
  out["parts"] = both_built ? partsOf(a.report, b.report) : Json();
  out["findings"] = both_built ? findingsOf(a.report, b.report) : Json();
  return out;
}

namespace {

std::string verdictsText(const Json& diff) {
  std::string out;
  for (const char* side : {"a", "b"}) {
    out += wrapped(oneLine(diff.at(side).at("gate").get<std::string>()) + ": " +
                       diff.at(side).at("verdict").get<std::string>(),
                   "", "  ");
  }
  return out;
}

std::string comparedText(const Json& diff) {
  if (!diff.at("parts").is_null()) {
    return partsText(diff.at("parts")) + findingsText(diff.at("findings"));
  }
  std::string names;
  for (const char* side : {"a", "b"}) {
    if (!diff.at(side).at("is_built").get<bool>()) {
      names +=
          (names.empty() ? "" : " and ") + oneLine(diff.at(side).at("gate").get<std::string>());
    }
  }
  return "\n" + wrapped("Not built, as it does not fit: " + names +
                            ". Parts and findings are not compared.",
                        "", "  ");
}

}  // namespace

std::string gateDiffVerdicts(const Json& diff) {
  return verdictsText(diff) +
         (diff.at("parts").is_null() ? comparedText(diff) : findingsText(diff.at("findings")));
}

std::string gateDiffText(const Json& diff) {
  std::string out = verdictsText(diff);
  const auto some = [](const Json& rows) { return rows.empty() ? ": none\n" : "\n"; };
  out +=
      "\nInputs" + std::string(some(diff.at("inputs"))) + changeRows(diff.at("inputs"), "pointer");
  out +=
      "\nFigures" + std::string(some(diff.at("figures"))) + changeRows(diff.at("figures"), "path");
  return out + comparedText(diff);
}

}  // namespace leafstack
