// The command check.
#include <CLI/CLI.hpp>
#include <algorithm>

#include "exporters/commands/commands.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/lists/report/summary.h"
#include "generator/compare/misfit.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

/// The last one is kept until the program ends, which is then no more work (main.cpp).
std::optional<Built>& keptBuilt() {
  static std::optional<Built> kept;
  return kept;
}

ExitCode runCheck(const Options& options) {
  Progress progress(options.quiet, options.timings);
  const Prepared prepared = prepare(options, progress);
  ReportContents contents;
  contents.spec = &prepared.gate.spec;
  contents.layout = &prepared.layout;
  contents.provenance = prepared.provenance;
  std::optional<Built>& built = keptBuilt();
  built.reset();
  if (prepared.layout.fits) {
    built = buildAll(prepared, /*with_areas=*/options.json, progress);
    contents.schedules = &built->schedules;
    contents.clash = &built->clash;
    contents.as_built = built->as_built ? &*built->as_built : nullptr;
  }
  if (options.json || !options.quiet) {
    const CureBudget& budget = options.cures ? kThoroughCures : kBriefCures;
    contents.advice =
        built ? adviceOn(prepared, *built, budget, progress) : adviceOn(prepared, budget, progress);
  } else {
    contents.advice = built ? Advice{warningsOf(*built)}
                            : Advice{warningsOf(prepared.gate.spec, prepared.layout)};
  }
  std::vector<std::string> misfit;
  if (!built) {
    misfit = explainMisfit(prepared.gate.spec, prepared.layout);
  }
  progress.finishStage();
  if (options.json) {
    print(reportJson(contents));
  } else if (options.quiet) {
    print(quietText(contents.advice, contents.clash));
  } else if (options.full) {
    print(summaryText(contents));
  } else {
    print(briefText(contents, misfit));
    misfit.resize(std::min<std::size_t>(misfit.size(), 1));  // the others stand in the text
  }
  if (built && options.json && options.quiet) {
    tellIfNotReady(*built);
  }
  if (!built) {
    throw Stop{kDoesNotFit, misfit};
  }
  return codeOf(built->clash);
}

}  // namespace

void declareCheck(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* check = app.add_subcommand("check", "validate, lay out, build and check for clashes");
  addGateOptions(*check, options);
  check->add_flag("--full", options.full,
                  "print every figure, every warning with what was tried, and the cautions");
  check->add_flag("--json", options.json, "print report.json instead of the text");
  addCuresOption(*check, options);
  check->callback([&] { chosen = [&] { return runCheck(options); }; });
}

}  // namespace leafstack
