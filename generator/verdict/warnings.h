// All that a careful colleague would point out, and the cautions that go with every gate.
#pragma once

#include <string>
#include <vector>

#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// Every warning of a built gate: of its layout, loads, flat work and stock; hazards first. All
/// commands tell these.
std::vector<Warning> warningsOf(const Model& model, const Schedules& schedules);

/// The same without those of flat work: what a trial needs.
std::vector<Warning> warningsOf(const Model& model, const LoadReport& loads);

/// Those of a gate that was only laid out.
std::vector<Warning> warningsOf(const GateSpec& spec, const Layout& layout);

/// "text (where)": a warning as every readable output words it.
std::string inWords(const Warning& warning);

/// "--set /gate/height_mm=1500 --set '/gate/stile=SHS 60x60x3'": as a shell takes it.
std::string settingsOf(const Cure& cure);
/// How it ended, without the settings: "tried, and it cures this:" ...
std::string resultInWords(const Cure& cure);
/// Both.
std::string inWords(const Cure& cure);

/// The cautions every report carries; the one about generic hardware as far as it holds of the
/// shelf.
std::vector<std::string> cautions(const HardwareSpec& shelf);

}  // namespace leafstack
