// The command diff: two gates, built and checked, against each other.
#include <CLI/CLI.hpp>

#include "exporters/commands/commands.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/lists/compare/gate_diff.h"
#include "exporters/lists/report/report.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

/// A gate that does not fit has a layout and no parts. One that something was measured of is shown
/// as it was built and set, unless `as_drawn`.
DiffSide sideOf(const Options& options, bool as_drawn, Progress& progress) {
  const Prepared prepared = prepare(options, progress);
  std::string name = sourceName(options.input);
  ReportContents contents;
  contents.spec = &prepared.gate.spec;
  contents.layout = &prepared.layout;
  contents.provenance = prepared.provenance;
  std::optional<Built> built;
  if (prepared.layout.fits) {
    built = buildAll(prepared, /*with_areas=*/true, progress);
    contents.schedules = &built->schedules;
    contents.clash = &built->clash;
    contents.advice = Advice{warningsOf(*built)};
    if (built->as_built && !as_drawn) {
      name += ", as built";
      Model& model = built->as_built->model;
      built->schedules = makeSchedules(model);
      contents.layout = &model.layout;
      contents.clash = &built->as_built->proved;
    }
  } else {
    contents.advice = Advice{warningsOf(prepared.gate.spec, prepared.layout)};
  }
  return {name, prepared.gate.values, nlohmann::ordered_json::parse(reportJson(contents))};
}

ExitCode runDiff(const Options& options) {
  demand(options.input != "-" || options.other != "-",
         "diff: standard input is one of the gates, not both");
  const bool is_one = options.other.empty();
  Progress progress(options.quiet, /*timings=*/false);
  Options second = options;
  second.input = is_one ? options.input : options.other;
  const DiffSide a = sideOf(options, /*as_drawn=*/is_one, progress);
  const DiffSide b = sideOf(second, /*as_drawn=*/false, progress);
  if (is_one && b.name == a.name) {
    throw Stop{kWrongUsage,
               {"diff: " + a.name +
                " has nothing measured (/as_built): give the gate that it is to be "
                "compared with"}};
  }
  progress.finishStage();
  const auto diff = gateDiff(a, b);
  print(options.json    ? diff.dump(2) + "\n"
        : options.quiet ? gateDiffVerdicts(diff)
                        : gateDiffText(diff));
  return kDone;
}

}  // namespace

void declareDiff(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* diff = app.add_subcommand(
      "diff", "what differs between two gates: inputs, figures, parts by mark, findings");
  diff->add_option("A", options.input, "gate file; - reads it from standard input")->required();
  diff->add_option("B", options.other,
                   "the other gate file; left out, A as drawn against A as it was built and set");
  addCommonOptions(*diff, options);
  addHardwareOption(*diff, options, "");
  diff->get_option("--hardware")->multi_option_policy(CLI::MultiOptionPolicy::Throw)->expected(1);
  diff->add_flag("--json", options.json, "print JSON instead of the text");
  diff->callback([&] { chosen = [&] { return runDiff(options); }; });
}

}  // namespace leafstack
