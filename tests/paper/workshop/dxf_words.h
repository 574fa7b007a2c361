// What a drawing's DXF says, read without its writer: texts, dimensions and straight lines, each on
// its layer at its place. Group codes as the DXF reference of release 15 has them.
#pragma once

#include <array>
#include <cstdlib>
#include <sstream>
#include <string>
#include <vector>

namespace leafstack::dxf {

struct Entity {
  std::string kind, layer, text;
  double x = 0, y = 0;    ///< 10, 20; of a centred or right-aligned text 11, 21
  double x1 = 0, y1 = 0;  ///< 11, 21; of a dimension its first point, 13, 23
  double x2 = 0, y2 = 0;  ///< of a dimension its second point, 14, 24
  double turned_deg = 0;  ///< 50
  std::vector<std::array<double, 2>> vertices = {};
  bool is_closed = false;
};

/// Entities of the section of that name; each side of a polyline as a line besides.
inline std::vector<Entity> entitiesOf(const std::string& file) {
  std::istringstream lines(file);
  std::vector<Entity> all;
  std::string code, value, section;
  bool is_named = false;
  const auto trimmed = [](std::string text) {
    text.erase(0, text.find_first_not_of(" \t"));
    text.erase(text.find_last_not_of(" \t\r") + 1);
    return text;
  };
  while (std::getline(lines, code) && std::getline(lines, value)) {
    const int group = std::atoi(code.c_str());
    value = trimmed(value);
    if (group == 0) {
      is_named = value == "SECTION";
      if (section == "ENTITIES") {
        all.push_back(Entity{.kind = value, .layer = "", .text = ""});
      }
      continue;
    }
    if (group == 2 && is_named) {
      section = value;
      is_named = false;
      continue;
    }
    if (section != "ENTITIES" || all.empty()) {
      continue;
    }
    Entity& one = all.back();
    const double number = std::atof(value.c_str());
    const bool is_dimension = one.kind == "DIMENSION";
    switch (group) {
      case 1:
        one.text = value;
        break;
      case 8:
        one.layer = value;
        break;
      case 10:
        one.x = number;
        one.vertices.push_back({number, 0});
        break;
      case 20:
        one.y = number;
        one.vertices.back()[1] = number;
        break;
      case 70:
        one.is_closed = (std::atoi(value.c_str()) & 1) != 0;
        break;
      case 11:
        (is_dimension ? one.x : one.x1) = number;
        break;
      case 21:
        (is_dimension ? one.y : one.y1) = number;
        break;
      case 13:
        one.x1 = number;
        break;
      case 23:
        one.y1 = number;
        break;
      case 14:
        one.x2 = number;
        break;
      case 24:
        one.y2 = number;
        break;
      case 50:
        one.turned_deg = number;
        break;
      case 72:
        if (one.kind == "TEXT" && std::atoi(value.c_str()) != 0) {
          one.layer += "*";  // its place is the second point
        }
        break;
      default:
        break;
    }
  }
  std::vector<Entity> sides;
  for (const Entity& one : all) {
    const std::size_t count = one.kind == "LWPOLYLINE" ? one.vertices.size() : 0;
    for (std::size_t i = 0; i + (one.is_closed ? 0 : 1) < count; ++i) {
      const auto& a = one.vertices[i];
      const auto& b = one.vertices[(i + 1) % count];
      Entity side{"LINE", one.layer, ""};
      side.x = a[0];
      side.y = a[1];
      side.x1 = b[0];
      side.y1 = b[1];
      sides.push_back(side);
    }
  }
  all.insert(all.end(), sides.begin(), sides.end());
  for (Entity& one : all) {
    if (!one.layer.empty() && one.layer.back() == '*') {
      one.layer.pop_back();
      one.x = one.x1;
      one.y = one.y1;
    }
  }
  return all;
}

}  // namespace leafstack::dxf
