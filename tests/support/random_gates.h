// Gates for the tests: from a few changed keys, and seeded random ones, always through the reader,
// so that a failing gate can be printed, saved and built by hand.
#pragma once

#include <gtest/gtest.h>

#include <initializer_list>
#include <nlohmann/json.hpp>
#include <random>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "generator/compare/arrangements.h"
#include "generator/layout/layout.h"
#include "params/read_gate.h"

namespace leafstack::gates {

using Json = nlohmann::json;
/// Pointer and value of one key that differs from its default.
using Changes = std::initializer_list<std::pair<const char*, Json>>;

/// Gate file with a 6000 opening and `changes`.
inline Json gateFile(Changes changes = {}) {
  Json file;
  file["site"]["opening_mm"] = 6000;
  for (const auto& [pointer, value] : changes) {
    file[Json::json_pointer(pointer)] = value;
  }
  return file;
}

inline GateSpec specOf(const Json& file) {
  const ReadResult result = readGate(file.dump(), "test gate");
  std::string complaints;
  for (const Diagnostic& problem : result.problems) {
    complaints += toString(problem) + "\n";
  }
  if (!result.gate) {
    throw std::invalid_argument(complaints + file.dump());
  }
  return result.gate->spec;
}

inline GateSpec specWith(Changes changes = {}) {
  return specOf(gateFile(changes));
}

/// Layout of a gate that has one.
inline Layout laidOut(const GateSpec& spec) {
  const LayoutResult result = layOut(withPanelsChosen(spec));
  for (const LayoutProblem& problem : result.problems) {
    throw std::invalid_argument(problem.pointer + ": " + problem.text);
  }
  return result.layout;
}

/// Seeded random gate files within what a fabricator would order. The same seed gives the same gate
/// on every machine: the engine's numbers are taken as they come, without library distributions.
class GateDice {
 public:
  explicit GateDice(unsigned seed) : engine_(seed) {}

  Json gate() {
    Json file = gateFile();
    site(file);
    panels(file);
    members(file);
    cladding(file);
    guides(file);
    ropes(file);
    motor(file);
    return file;
  }

 private:
  /// Whole number in [low, high] that is low plus a multiple of `step`.
  int whole(int low, int high, int step = 1) {
    return low + step * static_cast<int>(engine_() % ((high - low) / step + 1));
  }
  bool oneIn(int count) { return engine_() % count == 0; }
  std::string oneOf(std::initializer_list<const char*> choices) {
    return choices.begin()[engine_() % choices.size()];
  }

  void site(Json& file) {
    Json& site = file["site"];
    // Tenths of a millimetre, so that lengths are no round numbers.
    site["opening_mm"] = whole(30000, 90000) / 10.0;
    site["opens"] = oneOf({"right", "left"});
    site["fence_height_mm"] = whole(1200, 2500, 50);
    site["fence_post_mm"] = whole(80, 160, 10);
    site["fence_clearance_mm"] = whole(15, 30);
  }

  void panels(Json& file) {
    Json& gate = file["gate"];
    gate["panels"] = whole(1, 4);
    gate["stacking"] = oneOf({"flush", "staggered"});
    gate["height_mm"] = whole(1100, 2200, 10);
    gate["ground_clearance_mm"] = whole(40, 80, 5);
    gate["overlap_mm"] = whole(80, 200);
    gate["closing_overlap_mm"] = oneIn(3) ? whole(10, 60) : 0;
    gate["tuck_mm"] = oneIn(3) ? whole(10, 120) : 0;
    gate["return"] = !oneIn(4);
    gate["material"] = oneOf({"steel", "steel", "aluminium"});
  }

  void members(Json& file) {
    Json& gate = file["gate"];
    depth_ = 50;
    const std::string rail =
        oneOf({"RHS 100x50x3", "RHS 100x50x4", "RHS 100x60x4", "RHS 120x60x4"});
    gate["bottom_rail"] = rail;
    const bool deep = rail.find("x60x") != std::string::npos;
    depth_ = deep ? 60 : 50;
    gate["top_rail"] = deep ? oneOf({"SHS 60x60x3", "RHS 40x60x3", "RHS 40x60x4"})
                            : oneOf({"SHS 50x50x3", "SHS 50x50x2.5", "RHS 30x50x3"});
    gate["stile"] = deep ? oneOf({"SHS 60x60x3", "RHS 40x60x4"})
                         : oneOf({"SHS 50x50x3", "SHS 50x50x4", "RHS 40x50x3"});
    Json& infill = gate["infill"];
    infill["kind"] = oneOf({"pickets", "slats", "sheet", "open"});
    infill["section"] = oneOf({"SHS 25x25x2", "SHS 20x20x2", "RHS 40x20x2", "RHS 20x30x2"});
    infill["gap_mm"] = whole(60, 120);
    infill["thickness_mm"] = whole(2, 5);
  }

  void cladding(Json& file) {
    Json& clad = file["gate"]["cladding"];
    clad["kind"] = oneOf({"none", "boards", "battens"});
    clad["thickness_mm"] = whole(10, 60);
    clad["width_mm"] = whole(70, 200);
    clad["gap_mm"] = whole(0, 40);
  }

  void guides(Json& file) {
    Json& guides = file["guides"];
    guides["mount"] = oneOf({"post", "overhead", "reach-over"});
    guides["rail_mm"] = oneIn(3) ? whole(25, 40) : 32;
    guides["channel_width_mm"] = oneIn(3) ? whole(70, 110) : 80;
    guides["post_mm"] = whole(60, 120, 10);
    guides["margin_mm"] = whole(5, 40);
    guides["post_gap_mm"] = whole(10, 60);
    // Let-in channels leave 2 mm before the deepest infill above, 30 in a frame of 50.
    guides["recess_mm"] = oneIn(4) ? whole(5, 18) : 0;
  }

  void ropes(Json& file) {
    Json& ropes = file["ropes"];
    const int diameter = whole(3, 4);
    ropes["diameter_mm"] = diameter;
    ropes["construction"] = oneOf({"7x19", "7x7"});
    // The pulley stays inside its rail's end: half the automatic pitch, a flange and 2 mm.
    const int least_inset = depth_ / 2 + 9 + diameter + 4 + 2;
    ropes["pulley_inset_mm"] = std::max(44, whole(least_inset, least_inset + 20));
    // As far as the terminals of the thicker rope ask.
    ropes["bracket_clearance_mm"] = whole(51, 64);
    ropes["bracket_inset_mm"] = -whole(8, 24);
  }

  void motor(Json& file) {
    Json& drive = file["drive"];
    drive["motor"] = oneOf({"standard", "narrow"});
    if (oneIn(4)) {
      drive["motor"] = {{"length_mm", whole(120, 400)},
                        {"overrun_closed_mm", whole(10, 100)},
                        {"overrun_open_mm", whole(10, 100)}};
    }
    drive["motor_gap_mm"] = whole(5, 40);
    drive["rack_inset_mm"] = whole(10, 40);
  }

  std::mt19937 engine_;
  int depth_ = 50;
};

}  // namespace leafstack::gates
