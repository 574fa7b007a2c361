// clashes.bcf: what the clash check found, as issues for a coordination program (BIM Collaboration
// Format 3.0 by buildingSMART, a zip of XML files; elements in the order of its schemas).
//
// One topic a finding, in the report's order: title, priority, labels, figures in the description,
// and one viewpoint, where both parts are selected, a line joins their nearest points where they
// stand apart, and a camera outside the gate looks at the worst point; a snapshot shows what it
// sees. Coordinates are those of the gate's frame in metres, as the format asks; parts are named as
// in every other output.
//
// Identifiers of topics come from the input's hash, so the same gate always makes the same topics,
// and a changed gate makes new ones; those of parts are gate.ifc's. Same model, report and
// provenance, same bytes.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "exporters/bytes/provenance.h"
#include "exporters/cad/bcf/bcf_view.h"
#include "exporters/cad/bcf/remark.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"

namespace leafstack {

/// What is written besides the findings, and how.
struct BcfMore {
  /// Topics that are kept, those about parts that are gone labelled so. A finding that somebody has
  /// commented on is the remark.
  const std::vector<Remark>* remarks = nullptr;
  /// PNG of a finding as the camera sees it; without it there are no snapshots.
  std::function<std::string(const Finding&, const BcfCamera&)> snapshot = {};
};

/// The file's bytes. `clash` is of `model`. Throws ExportError.
std::string bcfFile(const Model& model, const ClashReport& clash, const Provenance& provenance,
                    const BcfMore& more = {});

}  // namespace leafstack
