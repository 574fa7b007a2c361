// Gates as solids for the tests: a matrix of choices, built once a test program.
#pragma once

#include <gtest/gtest.h>

#include <stdexcept>
#include <string>
#include <vector>

#include "generator/model/model.h"
#include "tests/support/random_gates.h"

namespace leafstack::gates {

inline constexpr const char* kHands[] = {"right", "left"};
inline constexpr const char* kStackings[] = {"flush", "staggered"};
inline constexpr const char* kMounts[] = {"post", "overhead", "reach-over"};
inline constexpr const char* kInfills[] = {"pickets", "slats", "sheet", "open"};
inline constexpr const char* kCladdings[] = {"none", "boards", "battens"};

/// Gate files that between them hold every choice of hand, stacking, mount, infill and cladding
/// with every number of panels. The strides are coprime to the choices, so no two choices run in
/// step.
inline std::vector<Json> matrix() {
  std::vector<Json> files;
  for (int i = 0; i < 24; ++i) {
    const int panels = 1 + i % 4;
    const int round = i / 4;
    files.push_back(gateFile({{"/site/opening_mm", 5000 + 200 * round},
                              {"/gate/panels", panels},
                              {"/site/opens", kHands[(round + panels) % 2]},
                              {"/gate/stacking", kStackings[(round / 2 + panels) % 2]},
                              {"/guides/mount", kMounts[(round + panels) % 3]},
                              {"/gate/infill/kind", kInfills[(round + 2 * panels) % 4]},
                              {"/gate/infill/gap_mm", 90},
                              {"/gate/cladding/kind", kCladdings[(round + 2 * panels) % 3]},
                              {"/gate/cladding/thickness_mm", 20 + 8 * (round % 4)}}));
  }
  return files;
}

struct Built {
  std::string text;
  Model model;
};

/// The matrix, built once for every test of the program.
inline const std::vector<Built>& builtMatrix() {
  static const std::vector<Built> all = [] {
    std::vector<Built> built;
    for (const Json& file : matrix()) {
      const GateSpec spec = specOf(file);
      built.push_back({file.dump(), buildModel(spec, laidOut(spec))});
    }
    return built;
  }();
  return all;
}

inline Model modelWith(Changes changes) {
  const GateSpec spec = specWith(changes);
  return buildModel(spec, laidOut(spec));
}

/// The model's one part of a kind.
inline const Part& onlyPart(const Model& model, PartKind kind) {
  const Part* found = nullptr;
  for (const Part& part : model.parts) {
    if (part.kind == kind) {
      EXPECT_EQ(found, nullptr) << "more than one " << part.name;
      found = &part;
    }
  }
  if (found == nullptr) {
    throw std::logic_error("no such part");
  }
  return *found;
}
const Part& onlyPart(Model&&, PartKind) = delete;  // of a model that is gone

}  // namespace leafstack::gates
