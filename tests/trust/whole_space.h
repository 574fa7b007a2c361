// Gate files from anywhere in the input space, not only from what a fabricator would order: every
// row of the parameter table, at its bounds, near them, in between, and now and then outside.
//
// A gate is a list of draws, each a row of the table and 32 random bits. Fewer draws give a shorter
// gate file and smaller bits a plainer value, so that whoever shrinks the list shrinks the file.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <random>
#include <string>
#include <vector>

#include "params/table/table.h"

namespace leafstack::whole_space {

using Json = nlohmann::ordered_json;

struct Draw {
  std::uint32_t row = 0;   ///< taken modulo the number of rows, and one for the frames' depth
  std::uint32_t bits = 0;  ///< 0: the plainest value
};

/// The bits as a number in [0, 1), their lowest three left out: those choose how it is used.
inline double share(std::uint32_t bits) {
  return (bits >> 3) / 536870912.0;
}

inline double numberOf(const Limits& limits, std::uint32_t bits) {
  const double span = limits.most - limits.least;
  const double between = limits.least + span * share(bits);
  switch (bits % 8) {
    case 0:  // whole numbers
    case 1:
      return std::clamp(std::round(between), limits.least, limits.most);
    case 2:
      return (bits >> 3) % 2 == 0 ? limits.least : limits.most;
    case 3:  // hard by the lower bound, by any order of magnitude
      return limits.least + span * std::pow(10, -12 * share(bits));
    case 4:
      return limits.most - span * std::pow(10, -12 * share(bits));
    case 5:
      return (bits >> 3) % 16 == 0 ? limits.most + span : between;
    default:
      return between;
  }
}

/// Frames need one depth throughout; other sections have one of their own.
inline std::string sectionOf(const Parameter& parameter, int depth_mm, std::uint32_t bits) {
  const std::string pointer = parameter.pointer;
  const bool is_frame = pointer.find("infill") == std::string::npos;
  const int walls = static_cast<int>((bits >> 3) % 10);
  const int side = 15 + static_cast<int>((bits >> 8) % 186);
  const int depth = is_frame ? depth_mm : 15 + static_cast<int>((bits >> 16) % 60);
  std::string text = "RHS ";
  text += std::to_string(side);
  constexpr const char* kFractions[] = {"", "", ".5", ".123"};
  text += kFractions[(bits >> 22) % 4];
  text += 'x';
  text += std::to_string(depth);
  text += 'x';
  text += bits % 8 < 6 ? std::to_string(2 + walls % 3) : std::to_string(1 + walls) + ".25";
  return text;
}

inline Json listOf(const Limits& limits, std::uint32_t bits) {
  std::mt19937 engine(bits);
  Json list = Json::array();
  const auto count = limits.fewest_items + engine() % (limits.most_items - limits.fewest_items + 1);
  for (std::size_t i = 0; i < count; ++i) {
    list.push_back(numberOf(limits, static_cast<std::uint32_t>(engine())));
  }
  return list;
}

/// Ground from smooth to as jagged as it may be, points from 1 um to some metres apart.
inline Json surveyOf(std::uint32_t bits) {
  std::mt19937 engine(bits);
  const auto unit = [&engine] { return static_cast<double>(engine()) / 4294967296.0; };
  const double steepest = 0.2 * std::pow(10, -4 * unit());
  const double step = std::pow(10, -3 + 7 * unit());
  Json points = Json::array();
  double x = -4000 + 2000 * unit();
  double z = bits % 2 == 0 ? 0 : 100 * unit();
  for (auto left = 2 + engine() % (bits % 8 == 7 ? 199 : 12); left > 0; --left) {
    points.push_back({x, z});
    const double run = step * (0.01 + unit());
    x += run;
    z += run * steepest * (2 * unit() - 1);
  }
  return points;
}

/// One line of ground, or up to five (one more than there can be tracks), mostly near the first as
/// slabs twist.
inline Json surveyLinesOf(std::uint32_t bits) {
  const Json first = surveyOf(bits);
  if ((bits >> 3) % 3 != 0) {
    return first;
  }
  std::mt19937 engine(bits ^ 0x5EED5U);
  Json lines = Json::array({first});
  for (auto left = engine() % 5; left > 0; --left) {
    if (engine() % 4 == 0) {
      lines.push_back(surveyOf(static_cast<std::uint32_t>(engine())));
      continue;
    }
    Json line = first;
    for (Json& point : line) {
      point[1] = point[1].get<double>() + static_cast<double>(engine() % 2001) / 100 - 10;
    }
    lines.push_back(line);
  }
  return lines;
}

/// Up to eight code points from anywhere, those that are no text included, as UTF-8.
inline std::string anyText(std::uint32_t bits) {
  std::mt19937 engine(bits);
  std::string text;
  for (auto left = engine() % 9; left > 0; --left) {
    constexpr unsigned kWithin[] = {0x80, 0x800, 0x10000, 0x110000};
    unsigned code = static_cast<unsigned>(engine()) % kWithin[engine() % 4];
    code = code >= 0xD800 && code < 0xE000 ? 0xFFFE : code;  // halves of pairs are no UTF-8
    const auto last = [&](int shift) {
      text += static_cast<char>(0x80U | ((code >> shift) & 0x3FU));
    };
    if (code < 0x80) {
      text += static_cast<char>(code);
    } else if (code < 0x800) {
      text += static_cast<char>(0xC0U | (code >> 6U));
      last(0);
    } else if (code < 0x10000) {
      text += static_cast<char>(0xE0U | (code >> 12U));
      last(6);
      last(0);
    } else {
      text += static_cast<char>(0xF0U | (code >> 18U));
      last(12);
      last(6);
      last(0);
    }
  }
  return text;
}

inline std::string textOf(std::uint32_t bits) {
  static const std::vector<std::string> kTexts = {"Gate",
                                                  "",
                                                  "<b>&amp;\"'</b>",
                                                  "Tor für Müller, 5 m",
                                                  "门 ворота 🚪",
                                                  "100 % \\ %s %n",
                                                  "\t\n\r",
                                                  std::string("nul\0byte", 8),
                                                  std::string(100, 'W'),
                                                  "=1+1,\"x\"",
                                                  "\u202Eright to left",
                                                  "a'b''c;--"};
  return bits % 3 == 0 ? anyText(bits) : kTexts[bits % kTexts.size()];
}

inline Json valueOf(const Parameter& parameter, int depth_mm, std::uint32_t bits) {
  switch (parameter.kind) {
    case Kind::kVersion:
    case Kind::kMotorSet:
    case Kind::kGroup:
      return Json::parse(parameter.default_json);
    case Kind::kShelf:
      return nullptr;  // sizes of its own may follow
    case Kind::kFlag:
      return bits % 2 == 0;
    case Kind::kText:
      return textOf(bits);
    case Kind::kChoice:
    case Kind::kMotor:
      return parameter.choices[bits % parameter.choices.size()];
    case Kind::kAutoSection:
      // A gate that is not chosen for is built with what choosing starts from.
      return bits % 16 == 0 ? Json("auto") : Json(sectionOf(parameter, depth_mm, bits));
    case Kind::kSection:
      return sectionOf(parameter, depth_mm, bits);
    case Kind::kSurroundings:  // files: surroundings_test.cpp has them
      return Json::array();
    case Kind::kObstacles: {  // about the gate, some of them in its way
      const double x = static_cast<int>(bits % 12000) - 3000,
                   y = static_cast<int>(bits >> 16 & 1023);
      return Json::array({{{"name", "wall"}, {"box_mm", {{x, y, 0}, {x + 200, y + 100, 900}}}}});
    }
    case Kind::kPanelsBuilt:
      return Json::array({{{"number", 1 + bits % 4}, {"length_mm", 2000 + bits % 4096}}});
    case Kind::kSurvey:
      return surveyLinesOf(bits);
    case Kind::kAutoList:
      return bits % 8 == 0 ? Json("auto") : listOf(parameter.limits, bits);
    case Kind::kAutoInteger: {
      const auto most = static_cast<std::uint32_t>(parameter.limits.most);
      return bits % 8 == 0 ? Json("auto") : Json(1 + (bits >> 3) % most);
    }
    case Kind::kChosenNumber:
    case Kind::kAutoNumber:
      return bits % 16 == 0 ? Json("auto") : Json(numberOf(parameter.limits, bits));
    case Kind::kNumber:
      return numberOf(parameter.limits, bits);
  }
  return nullptr;
}

/// The gate file of some draws; a row drawn twice counts once, as it was drawn last.
inline Json gateFile(const std::vector<Draw>& draws) {
  const auto table = parameterTable();
  int depth_mm = 50;
  for (const Draw& draw : draws) {
    if (draw.row % (table.size() + 1) == table.size()) {
      depth_mm = 30 + static_cast<int>(draw.bits % 91);
    }
  }
  Json file = {{"leafstack", 1}, {"site", {{"opening_mm", 6000}}}};
  if (depth_mm != 50) {
    for (const char* key : {"bottom_rail", "top_rail", "stile"}) {
      const std::string sides = std::string(key) == "bottom_rail" ? "RHS 100x" : "RHS 60x";
      file["gate"][key] = sides + std::to_string(depth_mm) + "x3";
    }
  }
  for (const Draw& draw : draws) {
    const std::size_t row = draw.row % (table.size() + 1);
    if (row == table.size() || table[row].kind == Kind::kGroup) {
      continue;
    }
    const Json::json_pointer pointer(table[row].pointer);
    if (pointer.parent_pointer() == Json::json_pointer("/drive/motor") &&
        !file.value(pointer.parent_pointer(), Json()).is_object()) {
      file[pointer.parent_pointer()] = Json::object();
    }
    file[pointer] = valueOf(table[row], depth_mm, draw.bits);
  }
  return file;
}

}  // namespace leafstack::whole_space
