// The folder that `build` writes: the files of the outputs chosen (outputs.h), in their order.
//
// Files are made on all cores and written one after another, so that the folder is the same for any
// number of threads; not many more than are being made wait in memory.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "exporters/folder/output_folder.h"
#include "exporters/folder/outputs.h"

namespace leafstack {

/// Called when a stage begins, and after each file of it: files done so far, and in all. On any
/// thread, but never twice at once.
using StageWatcher = std::function<void(std::string_view stage, int done, int total)>;

/// Paths writeGateFolder() writes, manifest.json included, in the order of writing. clashes.step is
/// among them only where there are findings.
std::vector<std::string> plannedFiles(const GateResults& results, const OutputChoice& choice);

/// Writes and commits; returns the number of files, manifest.json included. Every STEP file is
/// checked against the model before it is written, every file compared with what is on the disk
/// after. Throws ExportError and WriteError, that of the first file of several; then the target is
/// as it was.
int writeGateFolder(OutputFolder& folder, const GateResults& results, const OutputChoice& choice,
                    const Provenance& provenance, const StageWatcher& watch);

}  // namespace leafstack
