// gate-swept.step: the space that each panel takes up on its way from closed to open, as solids
// (ISO 10303-21, AP214), for programs that test what stands around but know no motion.
//
// Tree: SWEPT -> "P1-swept" ... "Pn-swept", in the gate's frame. Same model and provenance, same
// bytes.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/cad/step/step_reread.h"
#include "generator/model/model.h"

namespace leafstack {

struct SweptStep {
  std::string text;
  StepContents contents;  ///< what a reader must find in it
};

/// Throws ExportError where a space cannot be written.
SweptStep sweptStep(const Model& model, const Provenance& provenance);

}  // namespace leafstack
