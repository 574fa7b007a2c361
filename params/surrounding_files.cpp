#include "params/surrounding_files.h"

#include <filesystem>

#include "params/reading/text.h"

namespace leafstack {

void loadSurroundings(const JsonNode* list, const HardwareInput& files, Reporter& reporter,
                      std::vector<Surrounding>& surroundings) {
  namespace fs = std::filesystem;
  for (std::size_t i = 0; list != nullptr && i < surroundings.size(); ++i) {
    Surrounding& one = surroundings[i];
    const JsonNode& node = list->children.at(i);
    const std::string pointer = "/site/surroundings/" + std::to_string(i);
    if (!files.read_surroundings || (!files.gate_folder && !fs::path(one.file).is_absolute())) {
      reporter.add(pointer, &node,
                   {inQuotes(one.file) + " cannot be read: this text has no folder of its own", "",
                    "give the gate as a file beside it"});
      continue;
    }
    const fs::path path = (fs::path(files.gate_folder.value_or("")) / one.file).lexically_normal();
    SurroundingFile read = files.read_surroundings(path.string(), one.unit);
    if (!read.shapes) {
      reporter.add(pointer, &node, {std::move(read.fault), "", std::move(read.suggestion)});
    }
    one.shapes = std::move(read.shapes);
  }
}

}  // namespace leafstack
