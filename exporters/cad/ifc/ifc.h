// gate.ifc: the closed gate for coordination programs (ISO 16739-1, IFC4, for reference).
//
// Tree: project -> site -> GATE -> P0 ... Pn -> parts, as in gate.step: P0 is what does not move,
// Pk panel k. A part is one type with one shape however often it occurs; tubes, bars and plates
// that are profiles drawn out straight are written as that, all others as closed triangles (flat
// faces exact, round ones to kIfcDeflectionMm). Marks, sections, materials, lengths and masses are
// properties of the type, volumes and masses its quantities. Beside the gate, not in it, stands the
// space that each panel sweeps from closed to open. Millimetres, in the gate's frame: +X to the
// right as seen from the road, +Y away from it.
//
// Identifiers follow from the job's number, or its title, and the part's mark and serial: the same
// part of the same job keeps its own from build to build, and clashes.bcf has the same. Gates
// without number and title share theirs.
//
// Same model and provenance, same bytes.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "generator/model/model.h"

namespace leafstack {

/// The file's bytes.
std::string ifcFile(const Model& model, const Provenance& provenance);

}  // namespace leafstack
