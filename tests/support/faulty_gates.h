// Gates with faults for the tests of what is written about them: built and checked once a program.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "exporters/bytes/provenance.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"
#include "tests/support/random_gates.h"

namespace leafstack::gates {

struct Faulty {
  Model model;  ///< with its areas
  ClashReport clash;
};

using FaultyChanges = std::vector<std::pair<const char*, Json>>;

inline Faulty builtFaulty(const FaultyChanges& changes) {
  Json file = gateFile();
  for (const auto& [pointer, value] : changes) {
    file[Json::json_pointer(pointer)] = value;
  }
  const GateSpec spec = specOf(file);
  Faulty gate{buildModel(spec, laidOut(spec)), {}};
  measureAreas(gate.model);
  gate.clash = checkClashes(gate.model);
  return gate;
}

/// The panels scrape along the fence post: overlaps, touches and short clearances.
inline const FaultyChanges kNoSetback = {{"/gate/cladding/kind", "boards"},
                                         {"/site/setback_mm", 0}};
/// Boards thicker than the gap between panels take, cut by guide channels.
inline const FaultyChanges kNoPacking = {{"/gate/panels", 3},
                                         {"/gate/cladding/kind", "boards"},
                                         {"/guides/packing_mm", 0},
                                         {"/gate/cladding/thickness_mm", 60}};
/// Two rope sets at one height: a rope that has moved is cut.
inline const FaultyChanges kRopesAtOneHeight = {{"/gate/panels", 3},
                                                {"/ropes/heights_mm", {36, 36}}};
/// All of it, left-hand.
inline const FaultyChanges kLeftHand = {{"/site/opens", "left"},
                                        {"/gate/panels", 3},
                                        {"/gate/cladding/kind", "boards"},
                                        {"/guides/packing_mm", 0},
                                        {"/gate/cladding/thickness_mm", 60},
                                        {"/site/setback_mm", 0},
                                        {"/ropes/heights_mm", {36, 36}}};

inline constexpr std::size_t kFaultyGates = 4;
inline const char* faultyName(std::size_t gate) {
  static constexpr const char* kNames[kFaultyGates] = {"NoSetback", "NoPacking", "Ropes",
                                                       "LeftHand"};
  return kNames[gate];
}

inline const std::vector<Faulty>& faultyGates() {
  static const std::vector<Faulty> all = {builtFaulty(kNoSetback), builtFaulty(kNoPacking),
                                          builtFaulty(kRopesAtOneHeight), builtFaulty(kLeftHand)};
  return all;
}

inline const Provenance kFaultyProvenance = {"2024-05-01T12:34:56Z", std::string(64, 'a')};

}  // namespace leafstack::gates
