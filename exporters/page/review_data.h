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

/// What its picture follows: bodies, parts, instances, ropes, dimensions, a person for scale.
/// `set_out`: setOutRows() of the gate as drawn; what is set out stays there as built.
nlohmann::ordered_json shownData(const Model& model, const std::vector<SetOutRow>& set_out);

/// How the wind moves the gate, closed, half open and parked: the frame's lines, six figures an end
/// (where it is, how it moves, unfactored), how often the movement is drawn, and its greatest in
/// mm. Empty where no frame could be made.
nlohmann::ordered_json shapesData(const Model& model, const StructureReport& structure);

nlohmann::ordered_json reviewData(const Model& model, const Schedules& schedules,
                                  const ClashReport& clash,
                                  const std::vector<ClearanceCurve>& curves,
                                  const Provenance& provenance);

}  // namespace leafstack
