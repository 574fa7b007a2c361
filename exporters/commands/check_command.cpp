// The command check.
#include <CLI/CLI.hpp>

#include "exporters/commands/commands.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/lists/report/summary.h"
#include "generator/compare/misfit.h"

namespace leafstack {
namespace {

ExitCode runCheck(const Options& options) {
  Progress progress(options.quiet, options.timings);
  const Prepared prepared = prepare(options, progress);
  ReportContents contents;
  contents.spec = &prepared.gate.spec;
  contents.layout = &prepared.layout;
  contents.provenance = prepared.provenance;
  std::optional<Built> built;
  if (prepared.layout.fits) {
    built = buildAll(prepared, /*with_areas=*/options.json, progress);
    contents.schedules = &built->schedules;
    contents.clash = &built->clash;
  }
  if (options.json || !options.quiet) {
    const CureBudget& budget = options.cures ? kThoroughCures : kBriefCures;
    contents.advice =
        built ? adviceOn(prepared, *built, budget, progress) : adviceOn(prepared, budget, progress);
  }
  progress.finishStage();
  if (options.json) {
    print(reportJson(contents));
  } else if (!options.quiet) {
    print(summaryText(contents));
  }
  if (built && options.quiet) {
    tellIfNotReady(*built);
  }
  if (!built) {
    throw Stop{kDoesNotFit, explainMisfit(prepared.gate.spec, prepared.layout)};
  }
  return codeOf(built->clash);
}

}  // namespace

void declareCheck(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* check = app.add_subcommand("check", "validate, lay out, build and check for clashes");
  addGateOptions(*check, options);
  check->add_flag("--json", options.json, "print report.json instead of the summary");
  addCuresOption(*check, options);
  check->callback([&] { chosen = [&] { return runCheck(options); }; });
}

}  // namespace leafstack
