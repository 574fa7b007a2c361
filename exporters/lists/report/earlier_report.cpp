#include "exporters/lists/report/earlier_report.h"

#include <nlohmann/json.hpp>

#include "params/reading/text.h"

namespace leafstack {

EarlierFindings earlierFindings(const std::string& text, const std::string& given_name) {
  using Json = nlohmann::json;
  const std::string name = escaped(given_name);
  const Json report = Json::parse(text, nullptr, /*allow_exceptions=*/false);
  if (report.is_discarded()) {
    throw ReportError(name + ": is not JSON; --against takes the report.json of an earlier run");
  }
  const Json* clash = nullptr;
  if (report.is_object() && report.contains("clash") && report["clash"].is_object()) {
    clash = &report["clash"];
  }
  if (clash == nullptr || !clash->contains("findings") || !(*clash)["findings"].is_array()) {
    throw ReportError(name +
                      ": /clash/findings: missing; is this the report.json of a gate that "
                      "was checked for clashes?");
  }
  EarlierFindings earlier;
  earlier.input_sha256 = report.value("input_sha256", Json("")).is_string()
                             ? report.value("input_sha256", Json("")).get<std::string>()
                             : std::string();
  std::string problems;
  int index = 0;
  for (const Json& finding : (*clash)["findings"]) {
    const std::string at = name + ": /clash/findings/" + std::to_string(index++);
    if (!finding.is_object() || !finding.contains("id") || !finding["id"].is_string()) {
      problems += (problems.empty() ? "" : "\n") + at + "/id: missing, or no text";
      continue;
    }
    const bool has_text = finding.contains("text") && finding["text"].is_string();
    earlier.findings.push_back({escaped(finding["id"].get<std::string>()),
                                has_text ? escaped(finding["text"].get<std::string>()) : ""});
  }
  if (!problems.empty()) {
    throw ReportError(problems);
  }
  return earlier;
}

}  // namespace leafstack
