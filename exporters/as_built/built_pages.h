// Two sheets for A4: what to measure of a finished gate, with boxes to write in; and what is then
// to be set, with boxes to tick.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "generator/as_built/corrected.h"

namespace leafstack {

/// Dimensions in the order in which they are taken, each with its key of the gate file, what is
/// drawn and an empty box, and a picture with its letters.
/// And before that, where it has to be made exact (budget.h). `model` is the drawn gate's.
std::string measuringPage(const Model& model, const Provenance& provenance);

/// What, where, which way, how much; re-cuts first, then tracks, posts, stops, panels and ropes, in
/// the order in which they are made.
std::string adjustmentPage(const GateSpec& spec, const Corrected& corrected,
                           const Provenance& provenance);

}  // namespace leafstack
