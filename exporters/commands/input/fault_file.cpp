#include "exporters/commands/input/fault_file.h"

#include <exception>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "exporters/bytes/sha256.h"
#include "exporters/folder/output_folder.h"

namespace leafstack {

std::string withOverrides(const std::string& text, const std::vector<Override>& overrides) {
  using Json = nlohmann::ordered_json;
  Json json = Json::parse(text, nullptr, /*allow_exceptions=*/true, /*ignore_comments=*/true);
  for (const Override& one : overrides) {
    const Json value = Json::parse(one.value, nullptr, /*allow_exceptions=*/false);
    json[Json::json_pointer(one.pointer)] = value.is_discarded() ? Json(one.value) : value;
  }
  return json.dump(2) + "\n";
}

namespace {

/// Where the gate is kept. What is there by that name already goes first, a link itself and not
/// what it leads to: anybody may have put it into a common folder.
std::string keep(const std::string& gate) {
  namespace fs = std::filesystem;
  constexpr std::size_t kNameDigits = 12;
  const std::string name = "leafstack-fault-" + sha256Hex(gate).substr(0, kNameDigits) + ".json";
  FileRules rules;
  rules.is_private = true;  // the job's client and the like are nobody else's business
  std::error_code error;
  const fs::path temporary = fs::temp_directory_path(error);
  if (!error) {
    try {
      fs::remove(temporary / name);
      writeWholeFile(temporary / name, gate, rules);
      return (temporary / name).string();
    } catch (const std::exception&) {
      // In this folder, then.
    }
  }
  fs::remove(name);
  writeWholeFile(name, gate, rules);
  return name;
}

}  // namespace

std::vector<std::string> faultLines(const std::string& what, const FaultyRun& run) noexcept {
  std::vector<std::string> lines = {"internal fault: " + what};
  if (run.text.empty()) {
    return lines;
  }
  try {
    lines.push_back(
        "this is a fault of the program, not of the gate; the gate that shows it is kept: "
        "leafstack " +
        run.command + " " + keep(withOverrides(run.text, run.overrides)) + run.options);
  } catch (const std::exception& error) {
    lines.push_back(std::string("the gate that shows it could not be kept: ") + error.what());
  }
  return lines;
}

}  // namespace leafstack
