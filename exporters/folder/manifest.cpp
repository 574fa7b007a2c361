#include "exporters/folder/manifest.h"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace leafstack {

std::string manifestJson(std::vector<ManifestEntry> files, const Provenance& provenance) {
  std::sort(files.begin(), files.end(),
            [](const ManifestEntry& a, const ManifestEntry& b) { return a.path < b.path; });
  nlohmann::ordered_json json;
  json["program"] = "leafstack";
  json["version"] = LEAFSTACK_VERSION;
  json["timestamp"] = provenance.timestamp;
  json["input_sha256"] = provenance.input_sha256;
  json["files"] = nlohmann::ordered_json::array();
  for (const ManifestEntry& file : files) {
    json["files"].push_back(
        {{"path", file.path}, {"size_bytes", file.size_bytes}, {"sha256", file.sha256}});
  }
  return json.dump(2) + "\n";
}

ManifestContents readManifest(const std::string& text) {
  ManifestContents contents;
  const auto json = nlohmann::json::parse(text, nullptr, /*allow_exceptions=*/false);
  if (!json.is_object() || json.value("program", nlohmann::json()) != "leafstack") {
    return contents;
  }
  contents.is_ours = true;
  const auto files = json.find("files");
  if (files == json.end() || !files->is_array()) {
    return contents;
  }
  for (const auto& file : *files) {
    if (file.is_object() && file.contains("path") && file["path"].is_string()) {
      const auto hash = file.value("sha256", nlohmann::json());
      contents.files.push_back({file["path"].get<std::string>(), 0,
                                hash.is_string() ? hash.get<std::string>() : std::string()});
    }
  }
  return contents;
}

}  // namespace leafstack
