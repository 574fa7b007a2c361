// Rules between several parameters, each of which is fine alone.
#pragma once

#include <functional>
#include <string_view>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// What is known about a parameter's value besides the value.
struct ValueState {
  const JsonNode* node = nullptr;  ///< null if not given
  bool faulty = false;
};
using StateOf = std::function<ValueState(std::string_view pointer)>;

/// Reports every broken rule at the parameter that was given, where only one of several was. A rule
/// that involves a value already found faulty is not checked.
///  R1  height_mm leaves 300 between the rails (kLeastInfill_mm).
///  R2  bottom rail, top rail and stile are equally deep: guides and channels need flush faces.
///  R3  pickets and slats fit between the channel's recess and the rear face, 2 to spare.
///  R4  the recess is no deeper than the channel's body and leaves the frame its rear wall.
///  R5  heights_mm has one entry per carrying panel, each 15 from the bottom rail's top.
///  R6  cladding given a lower edge stays at least 50 high.
///  H1 and on: what fits what on the shelf (shelf_rules.h); only where `judges_shelf`.
void checkAcross(const GateSpec& spec, const StateOf& state_of, Reporter& reporter,
                 bool judges_shelf = true);

}  // namespace leafstack
