// A gate from its file to the verdict: what `check` and `build` share.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/commands/input/command_input.h"
#include "exporters/commands/input/progress.h"
#include "exporters/lists/report/earlier_report.h"
#include "generator/as_built/corrected.h"
#include "generator/clash/report/clash.h"
#include "generator/cures/cures.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "params/read_gate.h"

namespace leafstack {

/// Throws Stop with everything that is wrong.
ResolvedGate resolve(const std::string& text, const std::string& name,
                     const std::vector<Override>& overrides, const HardwareInput& hardware = {});

/// --timestamp, else SOURCE_DATE_EPOCH, else now; throws Stop where it is none.
std::string timestampFrom(const Options& options);

/// A gate that has been read and laid out.
struct Prepared {
  ResolvedGate gate;
  Layout layout;
  Provenance provenance;
  std::optional<EarlierFindings> earlier;
  ReadGate read;  ///< the same gate with other values; the options must outlive it
};

/// Throws Stop where it cannot be.
Prepared prepare(const Options& options, Progress& progress);

/// The same of a gate that is no file; the hardware's function must outlive what is prepared.
Prepared prepareText(const std::string& text, const Options& options, const HardwareInput& hardware,
                     Progress& progress);

/// Solids, lists and the clash check. Areas and stock are worked out only where they are told.
struct Built {
  Model model;
  Schedules schedules;
  ClashReport clash;
  std::optional<Corrected> as_built;  ///< of a gate that something was measured of
  std::shared_ptr<TrialStores> stores = std::make_shared<TrialStores>();
};

/// With the stores of an earlier gate, where there are any. Stock is planned with areas, and where
/// it is told.
Built buildAll(const Prepared& prepared, bool with_areas, Progress& progress,
               std::shared_ptr<TrialStores> stores = nullptr, bool tells_stock = true);

/// What is pointed out about it, and about what was measured of it.
std::vector<Warning> warningsOf(const Built& built);

/// Its warnings; for one that is not ready with cures, which takes a while.
Advice adviceOn(const Prepared& prepared, const Built& built, const CureBudget& budget,
                Progress& progress);
/// The same for a gate that does not fit.
Advice adviceOn(const Prepared& prepared, const CureBudget& budget, Progress& progress);

ExitCode codeOf(const ClashReport& clash);

/// Where nothing else is printed, that a gate is not ready is still told, and why.
void tellIfNotReady(const Built& built);

}  // namespace leafstack
