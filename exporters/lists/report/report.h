// report.json: everything found out about the gate, for programs to read.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "exporters/bytes/provenance.h"
#include "generator/as_built/corrected.h"
#include "generator/clash/report/clash.h"
#include "generator/layout/layout.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// What was written of one part.
struct PartOutputs {
  std::vector<std::string> files;  ///< relative to the folder
  bool has_stl = false;
  double stl_deflection_mm = 0, stl_volume_mm3 = 0;
  int stl_triangles = 0;
};

/// What a report tells. `schedules` and `clash` are null for a gate that was only laid out (it does
/// not fit, so no solids were made).
struct ReportContents {
  const GateSpec* spec = nullptr;
  const Layout* layout = nullptr;
  const Schedules* schedules = nullptr;
  const ClashReport* clash = nullptr;
  const Corrected* as_built = nullptr;         ///< of a gate that something was measured of
  Advice advice;                               ///< warnings: warningsOf() the same
  std::map<std::string, PartOutputs> outputs;  ///< by mark; empty for `check`
  Provenance provenance;
  nlohmann::ordered_json remarks = nullptr;  ///< remarksJson(), where there were any to read
  bool without_lists = false;                ///< without parts, welds, fasteners and lists
};

/// Pretty-printed JSON, ends with newline. Numbers are rounded to a millionth; what is unknown or
/// does not apply is null. Throws ExportError for a number that is not finite.
std::string reportJson(const ReportContents& contents);

}  // namespace leafstack
