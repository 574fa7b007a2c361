// What the review page knows of the gate besides its meshes, as one JSON object.
//
// Lengths mm, in the model's frame (model.h); positions are drive travel. `instances` are in the
// order of gate.glb's nodes, `parts` in that of its meshes, so that the two agree by number.
#pragma once

#include <nlohmann/json.hpp>

#include "exporters/bytes/provenance.h"
#include "generator/clash/curves.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// What its picture follows: bodies, parts, instances, ropes, dimensions.
nlohmann::ordered_json shownData(const Model& model);

nlohmann::ordered_json reviewData(const Model& model, const Schedules& schedules,
                                  const ClashReport& clash,
                                  const std::vector<ClearanceCurve>& curves,
                                  const Provenance& provenance);

}  // namespace leafstack
