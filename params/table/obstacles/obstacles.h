// What stands around the gate and is not its own, as the gate file has it: named boxes, and files
// of solids or triangles as somebody else drew it, each with its place.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

inline constexpr std::size_t kMostObstacles = 100;

/// Reads a list of { "name", "box_mm": [[x, y, z], [x, y, z]] }, any two opposite corners; lengths
/// may be texts with units. What is wrong is reported, all of it, and false returned.
bool readObstacles(const JsonNode& value, const std::string& pointer, Reporter& reporter,
                   std::vector<Obstacle>& obstacles);

nlohmann::ordered_json writtenObstacles(const std::vector<Obstacle>& obstacles);

/// What such a list is, for messages and help, and as JSON Schema.
const char* obstaclesInWords();
nlohmann::ordered_json obstaclesSchema(const nlohmann::ordered_json& length);

inline constexpr std::size_t kMostSurroundings = 20;

/// Reads a list of file names, or of objects { "file", "name", "at_mm": [x, y, z], "turned_deg",
/// "unit" } of which only the file must be there. The files themselves are not looked at. What is
/// wrong is reported, all of it, and false returned.
bool readSurroundings(const JsonNode& value, const std::string& pointer, Reporter& reporter,
                      std::vector<Surrounding>& surroundings);

nlohmann::ordered_json writtenSurroundings(const std::vector<Surrounding>& surroundings);

const char* surroundingsInWords();
nlohmann::ordered_json surroundingsSchema(const nlohmann::ordered_json& length);

}  // namespace leafstack
