// review.html: one page, whole in itself, that shows the gate move, its clearances and clashes.
//
// Properties (tested in a browser, tests/readers/page/review.mjs): R1 it asks for nothing over the
// network, and says so to the browser (a content security policy); R2 its meshes are gate.glb,
// byte for byte; R3 panel k goes k drive travels, and every body as BodyTravel says, to what the
// page states; R4 findings, cautions and warnings are in its text, scripts or not; R5 same input,
// same bytes.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "exporters/bytes/provenance.h"
#include "generator/clash/curves.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// What the page is made from. `glb` and `curves`: glbFile() and clearanceCurves() of the same
/// model.
struct ReviewContents {
  const Model& model;
  const Schedules& schedules;
  const ClashReport& clash;
  const Advice& advice;
  const std::string& glb;
  const std::vector<ClearanceCurve>& curves;
  const nlohmann::ordered_json& remarks;   ///< remarksJson(), or null
  const Model* built = nullptr;            ///< as it was built and set; none: nothing was measured
  const std::string* built_glb = nullptr;  ///< of that
};

/// The page's text. Throws ExportError for numbers that are none.
std::string reviewPage(const ReviewContents& contents, const Provenance& provenance);

}  // namespace leafstack
