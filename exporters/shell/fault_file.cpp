#include "exporters/shell/fault_file.h"

#include <exception>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "exporters/output_folder.h"
#include "exporters/sha256.h"

namespace leafstack {

std::string withOverrides(const std::string& text, const std::vector<Override>& overrides) {
  using Json = nlohmann::ordered_json;
  Json json = Json::parse(text);
  for (const Override& one : overrides) {
    const Json value = Json::parse(one.value, nullptr, /*allow_exceptions=*/false);
    json[Json::json_pointer(one.pointer)] = value.is_discarded() ? Json(one.value) : value;
  }
  return json.dump(2) + "\n";
}

std::vector<std::string> faultLines(const std::string& what, const std::string& text,
                                    const std::vector<Override>& overrides) noexcept {
  std::vector<std::string> lines = {"internal fault: " + what};
  if (text.empty()) {
    return lines;
  }
  try {
    constexpr std::size_t kNameDigits = 12;
    const std::string gate = withOverrides(text, overrides);
    std::string name = "leafstack-fault-" + sha256Hex(gate).substr(0, kNameDigits);
    const auto path = std::filesystem::temp_directory_path() / name.append(".json");
    writeWholeFile(path, gate, /*force=*/true);
    lines.push_back(
        "this is a fault of the program, not of the gate; the gate that shows it is kept: "
        "leafstack check " +
        path.string());
  } catch (const std::exception& error) {
    lines.push_back(std::string("the gate that shows it could not be kept: ") + error.what());
  }
  return lines;
}

}  // namespace leafstack
