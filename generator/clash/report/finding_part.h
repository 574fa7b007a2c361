// The parts of a finding, as it names them.
#pragma once

#include "generator/clash/report/clash.h"
#include "generator/model/model.h"

namespace leafstack {

FindingPart describe(const Model& model, int instance);

}  // namespace leafstack
