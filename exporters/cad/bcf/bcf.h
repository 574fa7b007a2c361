// clashes.bcf: what the clash check found, as issues for a coordination program (BIM Collaboration
// Format 3.0 by buildingSMART, a zip of XML files; elements in the order of its schemas).
//
// One topic a finding, in the report's order: title, priority, labels, figures in the description,
// and one viewpoint, where both parts are selected, a line joins their nearest points where they
// stand apart, and a camera outside the gate looks at the worst point. Coordinates are those of the
// gate's frame in metres, as the format asks; parts are named as in every other output.
//
// Identifiers of topics come from the input's hash, so the same gate always makes the same topics,
// and a changed gate makes new ones; those of parts are gate.ifc's. Same model, report and
// provenance, same bytes.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"

namespace leafstack {

/// The file's bytes. `clash` is of `model`. Throws ExportError.
std::string bcfFile(const Model& model, const ClashReport& clash, const Provenance& provenance);

}  // namespace leafstack
