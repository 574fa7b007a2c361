// The command build.
#include <CLI/CLI.hpp>
#include <algorithm>

#include "exporters/commands/commands.h"
#include "exporters/commands/help.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/folder/gate_folder.h"
#include "exporters/lists/report/summary.h"
#include "generator/compare/misfit.h"
#include "generator/compare/prices.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

OutputChoice choiceFrom(const Options& options) {
  OutputChoice choice;
  choice.only = options.only;
  if (!options.remarks.empty()) {
    choice.besides.emplace_back("bcf");  // or they would end here
  }
  choice.profiles.version = options.dxf_version == "R12" ? DxfVersion::kR12 : DxfVersion::kR2000;
  choice.profiles.with_marks = options.dxf_marks;
  choice.step_schema = options.step_schema == "ap242" ? StepSchema::kAp242 : StepSchema::kAp214;
  return choice;
}

/// Of --prices, where there is one; throws Stop with everything that is wrong with it.
std::optional<PriceList> pricesFrom(const Options& options, const ResolvedGate& gate) {
  const bool asks =
      std::find(options.only.begin(), options.only.end(), "quote") != options.only.end();
  demand(!asks || !options.prices.empty(), "--only quote: takes --prices");
  if (options.prices.empty()) {
    return std::nullopt;
  }
  std::vector<std::string> motors;
  if (gate.spec.motors) {
    for (const NamedMotor& motor : *gate.spec.motors) {
      motors.push_back(motor.drive.name);
    }
  }
  const PriceResult read = readPrices(readInput(options.prices, kMaxGateFileBytes + 1),
                                      sourceName(options.prices), motors);
  demandNone(read.problems);
  return read.prices;
}

/// Even where all else is quiet: somebody's work is no longer where it was.
void tellWhatWasKept(const OutputFolder& folder) {
  if (folder.keptFor().empty()) {
    return;
  }
  const std::size_t more = folder.keptFor().size() - 1;
  tell(folder.kept().string() + ": the folder that was replaced, kept for " +
       folder.keptFor().front() +
       (more > 0 ? " and " + std::to_string(more) + " more files" : std::string()) +
       ", changed or added since leafstack wrote it");
}

/// Of what is there, what people look at first.
std::string whatToOpen(const OutputFolder& folder) {
  struct First {
    const char *path, *what;
  };
  constexpr First kFirst[] = {{"summary.html", "summary.html (figures, warnings, cautions)"},
                              {"review.html", "review.html (the gate in motion)"},
                              {"drawings.pdf", "drawings.pdf"}};
  std::vector<std::string> found;
  for (const First& one : kFirst) {
    const auto is_it = [&](const ManifestEntry& file) { return file.path == one.path; };
    if (std::any_of(folder.files().begin(), folder.files().end(), is_it)) {
      found.emplace_back(one.what);
    }
  }
  return found.empty() ? "manifest.json lists them." : "Open " + joined(found, "and") + ".";
}

/// A gate that does not fit: its verdict and what to do, as check says them.
[[noreturn]] void stopAtMisfit(const Prepared& prepared, const Options& options,
                               Progress& progress) {
  std::vector<std::string> misfit = explainMisfit(prepared.gate.spec, prepared.layout);
  if (options.quiet) {
    print(quietText(Advice{warningsOf(prepared.gate.spec, prepared.layout)}, nullptr));
  } else {
    const CureBudget& budget = options.cures ? kThoroughCures : kBriefCures;
    print(verdictAndTasks(adviceOn(prepared, budget, progress), nullptr, misfit) +
          "\nNothing was written.\n");
    misfit.resize(std::min<std::size_t>(misfit.size(), 1));  // the others stand in the text
  }
  throw Stop{kDoesNotFit, misfit};
}

ExitCode runBuild(const Options& options) {
  Progress progress(options.quiet, options.timings);
  const OutputChoice choice = choiceFrom(options);
  demand(options.input != "-" || options.prices != "-",
         "standard input is the gate file or the price list, not both");
  const Prepared prepared = prepare(options, progress);
  const std::optional<PriceList> prices = pricesFrom(options, prepared.gate);
  const std::optional<std::vector<Remark>> remarks = remarksFrom(options);
  if (!prepared.layout.fits) {
    stopAtMisfit(prepared, options, progress);
  }
  OutputFolder folder(options.output, options.force, inputsOf(options));
  const Built built =
      buildAll(prepared, /*with_areas=*/true, progress, nullptr, choice.tellsStock());
  const Advice advice =
      options.dry_run
          ? Advice{}
          : adviceOn(prepared, built, options.cures ? kThoroughCures : kBriefCures, progress);
  const GateResults results{prepared.gate,
                            built.model,
                            built.schedules,
                            built.clash,
                            advice,
                            prices ? &*prices : nullptr,
                            remarks ? &*remarks : nullptr,
                            built.as_built ? &*built.as_built : nullptr};
  if (options.dry_run) {
    for (const std::string& path : plannedFiles(results, choice)) {
      print(escaped((folder.target() / path).string()) + "\n");
    }
    return codeOf(built.clash);
  }
  const int written = writeGateFolder(
      folder, results, choice, prepared.provenance,
      [&](std::string_view stage, int done, int total) { progress.stage(stage, done, total); });
  progress.finishStage();
  tellWhatWasKept(folder);
  if (options.quiet) {
    print(quietText(advice, &built.clash));
  } else {
    print(verdictAndTasks(advice, &built.clash) + "\n" + escaped(options.output) + ": " +
          std::to_string(written) + " files. " + whatToOpen(folder) + "\n");
  }
  return codeOf(built.clash);
}

}  // namespace

void declareBuild(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* build = app.add_subcommand("build", "check, then write CAD files, report and lists");
  addGateOptions(*build, options);
  build->add_option("-o,--output", options.output, "folder to make")->required();
  addRemarksOption(*build, options);
  std::vector<std::string> names;
  for (const Output& output : outputs()) {
    names.emplace_back(output.name);
  }
  build
      ->add_option("--only", options.only,
                   "some of " + outputNames(/*on_request=*/false) + "; on request also " +
                       outputNames(/*on_request=*/true))
      ->delimiter(',')
      ->allow_extra_args(false)
      ->check(CLI::IsMember(names))
      ->transform(withoutBlanks);
  build->add_option("--prices", options.prices, "prices and hours (JSON): a quotation too")
      ->type_name("PRICES.json");
  build->add_flag("--force", options.force,
                  "replace a folder that leafstack wrote; what others changed in it is kept");
  build->add_option("--timestamp", options.timestamp,
                    "time written into the files (else SOURCE_DATE_EPOCH, else now)");
  build->add_option("--dxf", options.dxf_version, "version of the flat profiles: R2000 or R12")
      ->check(CLI::IsMember({"R2000", "R12"}));
  build
      ->add_option("--step", options.step_schema,
                   "schema of STEP files: ap214, or ap242, which has sizes, round holes and datums "
                   "as product data")
      ->check(CLI::IsMember({"ap214", "ap242"}));
  build->add_flag("--dxf-marks", options.dxf_marks,
                  "part marks and bend lines in layers of their own, beside CUT");
  addCuresOption(*build, options);
  build->add_flag("--dry-run", options.dry_run, "list the files, write nothing");
  build->callback([&] { chosen = [&] { return runBuild(options); }; });
}

}  // namespace leafstack
