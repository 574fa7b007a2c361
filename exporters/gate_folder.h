// Everything `build` writes, in one place: which files, in which order.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "exporters/drawing/sheet.h"
#include "exporters/output_folder.h"
#include "exporters/profiles.h"
#include "exporters/report.h"
#include "generator/model.h"
#include "params/read_gate.h"

namespace leafstack {

struct OutputChoice {
  bool step = true, stl = true, dxf = true, templates = true, glb = true;
  bool report = true, tables = true, drawings = true, review = true;
  bool pictures = false;  ///< on request: they take longer than all the rest
  bool bcf = false;       ///< on request: the findings as BCF 3.0 topics
  ProfileOptions profiles = {};
};

/// What has been found out about one gate, by the time it is written.
struct GateResults {
  const ResolvedGate& gate;
  const Model& model;
  const Schedules& schedules;
  const ClashReport& clash;
  std::vector<Sheet> drawings = {};  ///< gateSheets(), where they are to be written
};

/// Called when a stage begins, and after each file of it: files done so far, and in all.
using StageWatcher = std::function<void(std::string_view stage, int done, int total)>;

/// Paths writeGateFolder() writes, manifest.json included, in the order of writing. clashes.step is
/// among them only where there are findings.
std::vector<std::string> plannedFiles(const GateResults& results, const OutputChoice& choice);

/// Writes and commits. Every STEP file is checked against the model before it is written, every
/// file compared with what is on the disk after. Throws ExportError and WriteError; then the
/// target is as it was.
void writeGateFolder(OutputFolder& folder, const GateResults& results, const OutputChoice& choice,
                     const Provenance& provenance, const StageWatcher& watch);

}  // namespace leafstack
