// leafstack: commands. Parses, calls, prints, and turns every outcome into an exit code.
//
//  0 done · 1 internal fault · 2 wrong usage · 3 invalid input (a missing or unreadable gate file
//  included) · 4 the gate cannot be laid out or does not fit · 5 clash found · 6 output could not
//  be written (an existing folder without --force included)
//
// Data goes to stdout, messages to stderr.
#include <CLI/CLI.hpp>
#include <Standard_Failure.hxx>
#include <Standard_OutOfMemory.hxx>
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <iostream>
#include <optional>
#include <sstream>

#include "exporters/drawing/drawings.h"
#include "exporters/earlier_report.h"
#include "exporters/export_error.h"
#include "exporters/gallery.h"
#include "exporters/gate_folder.h"
#include "exporters/progress.h"
#include "exporters/sha256.h"
#include "exporters/shell/command_input.h"
#include "exporters/shell/command_list.h"
#include "exporters/shell/compare_command.h"
#include "exporters/shell/completion.h"
#include "exporters/shell/exit_codes.h"
#include "exporters/shell/fault_file.h"
#include "exporters/shell/man_page.h"
#include "exporters/summary.h"
#include "exporters/timestamp.h"
#include "generator/clash/clash.h"
#include "generator/clash/comparison.h"
#include "generator/layout.h"
#include "generator/model.h"
#include "generator/schedules.h"
#include "params/read_gate.h"
#include "params/text.h"

namespace leafstack {
namespace {

ResolvedGate resolve(const std::string& text, const std::string& name,
                     const std::vector<Override>& overrides) {
  ReadResult result = readGate(text, name, overrides);
  demandNone(result.problems);
  return std::move(*result.gate);
}

std::string timestampFrom(const Options& options) {
  if (!options.timestamp.empty()) {
    const auto time = normalTimestamp(options.timestamp);
    if (!time) {
      throw Stop{kWrongUsage,
                 {"--timestamp " + options.timestamp +
                  ": expected ISO 8601, as in "
                  "2024-05-01T12:00:00Z"}};
    }
    return *time;
  }
  const char* const epoch = std::getenv("SOURCE_DATE_EPOCH");
  if (epoch == nullptr || *epoch == '\0') {
    return timestampNow();
  }
  const auto time = timestampOfEpoch(epoch);
  if (!time) {
    throw Stop{kWrongUsage, {"SOURCE_DATE_EPOCH is not a number of seconds since 1970"}};
  }
  return *time;
}

std::optional<EarlierFindings> earlierFrom(const Options& options) {
  constexpr std::size_t kMostReportBytes = 32u << 20;  // many times the largest gate's
  if (options.against.empty()) {
    return std::nullopt;
  }
  const std::string text = readInput(options.against, kMostReportBytes + 1);
  if (text.size() > kMostReportBytes) {
    throw Stop{kInvalidInput, {options.against + ": is larger than any report, 32 MB at most"}};
  }
  return earlierFindings(text, options.against);
}

/// A gate that has been read and laid out.
struct Prepared {
  ResolvedGate gate;
  Layout layout;
  Provenance provenance;
  std::optional<EarlierFindings> earlier;
};

Prepared prepare(const Options& options, Progress& progress) {
  progress.stage("reading");
  const std::vector<Override> overrides = overridesFrom(options);
  Prepared prepared;
  prepared.provenance.timestamp = timestampFrom(options);
  const std::string text = readInput(options.input, kMaxGateFileBytes + 1);
  const std::string name = sourceName(options.input);
  prepared.gate = resolve(text, name, overrides);
  options.gate_text = text;
  std::string hashed = text;
  for (const Override& one : overrides) {
    hashed += "\n--set " + one.pointer + "=" + one.value;
  }
  prepared.provenance.input_sha256 = sha256Hex(hashed);
  prepared.earlier = earlierFrom(options);
  progress.stage("layout");
  LayoutResult result = layOut(prepared.gate.spec);
  if (!result.problems.empty()) {
    Stop stop{kDoesNotFit, {}};
    for (const LayoutProblem& problem : result.problems) {
      stop.lines.push_back(problem.pointer + ": " + problem.text);
    }
    throw stop;
  }
  prepared.layout = std::move(result.layout);
  return prepared;
}

/// Solids, lists and the clash check. Areas and stock are worked out only where they are told.
struct Built {
  Model model;
  Schedules schedules;
  ClashReport clash;
};

Built buildAll(const Prepared& prepared, bool with_areas, Progress& progress) {
  Built built;
  progress.stage("solids");
  built.model = buildModel(prepared.gate.spec, prepared.layout);
  if (with_areas) {
    progress.stage("areas");
    measureAreas(built.model);
  }
  progress.stage("lists");
  built.schedules = makeSchedules(built.model);
  if (with_areas) {
    progress.stage("stock plan");
    planStock(built.model, built.schedules);
  }
  progress.stage("clash check");
  built.clash = checkClashes(built.model);
  if (prepared.earlier) {
    compareWith(built.clash, *prepared.earlier);
  }
  progress.finishStage();
  return built;
}

ExitCode codeOf(const ClashReport& clash) {
  switch (clash.verdict) {
    case Verdict::kClear:
    case Verdict::kTight:
      return kDone;
    case Verdict::kClash:
    case Verdict::kUnresolved:
      return kClashFound;
  }
  return kInternalFault;
}

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
  progress.finishStage();
  if (options.json) {
    print(reportJson(contents));
  } else if (!options.quiet) {
    print(summaryText(contents));
  }
  if (!built) {
    throw Stop{kDoesNotFit, explainMisfit(prepared.gate.spec, prepared.layout)};
  }
  return codeOf(built->clash);
}

OutputChoice choiceFrom(const Options& options) {
  OutputChoice choice;
  const auto has = [&](const char* name) {
    return std::find(options.only.begin(), options.only.end(), name) != options.only.end();
  };
  if (!options.only.empty()) {
    choice.step = has("step");
    choice.stl = has("stl");
    choice.dxf = has("dxf");
    choice.templates = has("templates");
    choice.glb = has("glb");
    choice.report = has("report");
    choice.tables = has("tables");
    choice.drawings = has("drawings");
    choice.review = has("review");
    choice.pictures = has("pictures");
    choice.bcf = has("bcf");
  }
  choice.profiles.version = options.dxf_version == "R12" ? DxfVersion::kR12 : DxfVersion::kR2000;
  choice.profiles.with_marks = options.dxf_marks;
  return choice;
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

ExitCode runBuild(const Options& options) {
  Progress progress(options.quiet, options.timings);
  const OutputChoice choice = choiceFrom(options);
  const Prepared prepared = prepare(options, progress);
  if (!prepared.layout.fits) {
    throw Stop{kDoesNotFit, explainMisfit(prepared.gate.spec, prepared.layout)};
  }
  OutputFolder folder(options.output, options.force, inputsOf(options));
  const Built built = buildAll(prepared, /*with_areas=*/true, progress);
  GateResults results{prepared.gate, built.model, built.schedules, built.clash};
  if (choice.drawings) {
    progress.stage("views");
    results.drawings = gateSheets(built.model, built.schedules);
    progress.finishStage();
  }
  const std::vector<std::string> planned = plannedFiles(results, choice);
  if (options.dry_run) {
    for (const std::string& path : planned) {
      print(escaped((folder.target() / path).string()) + "\n");
    }
    return codeOf(built.clash);
  }
  writeGateFolder(
      folder, results, choice, prepared.provenance,
      [&](std::string_view stage, int done, int total) { progress.stage(stage, done, total); });
  progress.finishStage();
  tellWhatWasKept(folder);
  if (!options.quiet) {
    print(escaped(options.output) + ": " + std::to_string(planned.size()) + " files\n" +
          verdictLine(built.clash) + "\n");
  }
  return codeOf(built.clash);
}

std::string galleryText(const std::string& name) {
  std::string known;
  for (const GalleryGate& gate : galleryGates()) {
    if (gate.name == name) {
      return std::string(gate.text);
    }
    known += (known.empty() ? "" : ", ") + std::string(gate.name);
  }
  throw Stop{kWrongUsage,
             {"new: no gallery gate is called \"" + name + "\"" +
              (known.empty() ? std::string() : "; there are: " + known)}};
}

/// Whether a file is what `new` writes, as it writes it without --set.
bool isUnchangedGate(std::string_view text) {
  const auto is_same = [&](const GalleryGate& gate) { return gate.text == text; };
  const auto& gallery = galleryGates();
  return text == starterGate() || std::any_of(gallery.begin(), gallery.end(), is_same);
}

ExitCode runNew(const Options& options) {
  const std::vector<Override> overrides = overridesFrom(options);
  std::string text = options.name.empty() ? starterGate() : galleryText(options.name);
  if (!overrides.empty()) {
    resolve(text, options.name.empty() ? "starter gate" : options.name, overrides);
    text = withOverrides(text, overrides);
  }
  if (options.output.empty() || options.output == "-") {
    print(text);
    return kDone;
  }
  FileRules rules;
  rules.force = options.force;
  rules.is_ours = isUnchangedGate;
  writeWholeFile(options.output, text, rules);
  return kDone;
}

void addCommonOptions(CLI::App& command, Options& options) {
  command
      .add_option("--set", options.sets,
                  "override one value of the gate, e.g. /site/opening_mm=6000; may be repeated")
      ->allow_extra_args(false)
      ->type_name("/POINTER=VALUE");
  command.add_flag("--quiet", options.quiet, "print data and errors only");
}

void addGateOptions(CLI::App& command, Options& options) {
  command.add_option("GATE", options.input, "gate file; - reads it from standard input")
      ->required();
  addCommonOptions(command, options);
  command.add_flag("--timings", options.timings, "print what each stage took, on stderr");
  command
      .add_option("--against", options.against,
                  "report.json of an earlier run: mark findings as new or still there")
      ->type_name("REPORT.json");
}

/// Declares the commands; each leaves what to run in `chosen`.
void declareCommands(CLI::App& app, Options& options, std::function<ExitCode()>& chosen) {
  app.set_version_flag("--version", programName());
  app.require_subcommand(1);
  CLI::App* fresh = app.add_subcommand("new", "print a starter gate file, or one of the gallery");
  fresh->add_option("NAME", options.name, "gallery gate");
  fresh->add_option("-o,--output", options.output, "write to this file instead of stdout");
  fresh->add_flag("--force", options.force,
                  "replace the file, where new wrote it and nobody changed it");
  addCommonOptions(*fresh, options);
  fresh->callback([&] { chosen = [&] { return runNew(options); }; });

  CLI::App* check = app.add_subcommand("check", "validate, lay out, build and check for clashes");
  addGateOptions(*check, options);
  check->add_flag("--json", options.json, "print report.json instead of the summary");
  check->callback([&] { chosen = [&] { return runCheck(options); }; });

  CLI::App* build = app.add_subcommand("build", "check, then write CAD files, report and lists");
  addGateOptions(*build, options);
  build->add_option("-o,--output", options.output, "folder to make")->required();
  build
      ->add_option(
          "--only", options.only,
          "some of step, stl, dxf, templates, glb, report, tables, drawings, review, pictures, bcf")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->check(CLI::IsMember({"step", "stl", "dxf", "templates", "glb", "report", "tables",
                             "drawings", "review", "pictures", "bcf"}));
  build->add_flag("--force", options.force, "replace a folder that leafstack wrote; what others changed in it is kept");
  build->add_option("--timestamp", options.timestamp,
                    "time written into the files (else SOURCE_DATE_EPOCH, else now)");
  build->add_option("--dxf", options.dxf_version, "version of the flat profiles: R2000 or R12")
      ->check(CLI::IsMember({"R2000", "R12"}));
  build->add_flag("--dxf-marks", options.dxf_marks,
                  "part marks and bend lines in layers of their own, beside CUT");
  build->add_flag("--dry-run", options.dry_run, "list the files, write nothing");
  build->callback([&] { chosen = [&] { return runBuild(options); }; });

  CLI::App* compare =
      app.add_subcommand("compare", "every arrangement for this site: which fit, ranked");
  compare->add_option("GATE", options.input, "gate file; - reads it from standard input")
      ->required();
  addCommonOptions(*compare, options);
  compare->add_flag("--json", options.json, "print JSON instead of the table");
  compare->add_option("--prices", options.prices, "price list (JSON): rank by cost")
      ->type_name("PRICES.json");
  compare
      ->add_option("--sweep", options.sweeps,
                   "compare over a range, e.g. /site/opening_mm=3000:9000:100; up to two")
      ->allow_extra_args(false)
      ->type_name("/POINTER=FROM:TO:STEP");
  compare->add_flag("--csv", options.csv, "print a sweep as CSV, which is the default");
  compare->add_option("--shard", options.shard, "the I-th of N parts of a sweep")->type_name("I/N");
  compare->add_option("--chart", options.chart, "draw a sweep's room into this SVG file")
      ->type_name("FILE.svg");
  compare->add_flag("--force", options.force, "replace a chart that nobody changed");
  compare->callback([&] { chosen = [&] { return runCompare(options); }; });

  CLI::App* schema = app.add_subcommand("schema", "print the JSON Schema of the gate file");
  schema->add_flag("--quiet", options.quiet, "no effect: prints data only");
  schema->callback([&] {
    chosen = [] {
      print(gateSchema());
      return kDone;
    };
  });
}

/// What packages install beside the program.
void declareShellCommands(CLI::App& app, Options& options, std::function<ExitCode()>& chosen) {
  app.add_subcommand("man", "print the man page")->callback([&] {
    chosen = [&] {
      print(manPage(commandsOf(app), cautions()));
      return kDone;
    };
  });
  CLI::App* completion = app.add_subcommand("completion", "print a shell's completion script");
  completion->add_option("SHELL", options.shell, "bash, zsh or fish")
      ->required()
      ->check(CLI::IsMember({"bash", "zsh", "fish"}));
  completion->callback([&] {
    chosen = [&] {
      print(completionScript(options.shell, commandsOf(app)));
      return kDone;
    };
  });
}

/// An internal fault: says what it was, and keeps the gate.
ExitCode tellFault(const std::string& what, const CLI::App& app, const Options& options) {
  FaultyRun run{options.gate_text, overridesFrom(options),
                app.get_subcommands().front()->get_name(), ""};
  if (run.command == "build") {
    run.options = " -o NEW_FOLDER";
    for (const std::string& one : options.only) {
      run.options += (&one == &options.only.front() ? " --only " : ",") + one;
    }
  }
  for (const std::string& line : faultLines(what, run)) {
    tell(line);
  }
  return kInternalFault;
}

/// Neither the gate's fault nor the program's.
ExitCode tellNoMemory() {
  tell("out of memory: this run needs more than the computer lets it have; ask for fewer outputs "
       "with --only, or run it where there is more");
  return kInternalFault;
}

/// What the parser has to say, help included, with what it quotes of the command line escaped.
ExitCode tellParser(const CLI::App& app, const CLI::ParseError& error) {
  std::ostringstream out, complaints;
  const int code = app.exit(error, out, complaints);
  print(out.str());
  std::istringstream lines(complaints.str());
  for (std::string line; std::getline(lines, line);) {
    tell(line);
  }
  return code == 0 ? kDone : kWrongUsage;
}

/// The exit code, where there is nothing to run.
std::optional<ExitCode> parse(CLI::App& app, int argc, char** argv) {
  try {
    app.parse(argc, argv);
    return std::nullopt;
  } catch (const CLI::ParseError& error) {
    return tellParser(app, error);
  }
}

int run(int argc, char** argv) {
  CLI::App app("Solid models of telescopic sliding gates, from a gate file.", "leafstack");
  Options options;
  std::function<ExitCode()> chosen;
  declareCommands(app, options, chosen);
  declareShellCommands(app, options, chosen);
  try {
    if (const auto code = parse(app, argc, argv)) {
      return *code;
    }
    return chosen();
  } catch (const Stop& stop) {
    for (const std::string& line : stop.lines) {
      tell(line);
    }
    return stop.code;
  } catch (const ReportError& error) {
    std::cerr << error.what() << "\n";  // several lines, escaped by who wrote them
    return kInvalidInput;
  } catch (const WriteError& error) {
    tell(error.what());
    return kNotWritten;
  } catch (const std::filesystem::filesystem_error& error) {
    tell(error.what());
    return kNotWritten;
  } catch (const std::bad_alloc&) {
    return tellNoMemory();
  } catch (const Standard_OutOfMemory&) {  // the kernel's word for it
    return tellNoMemory();
  } catch (const std::exception& error) {
    return tellFault(error.what(), app, options);
  } catch (const Standard_Failure& error) {  // the kernel's own, no std::exception
    return tellFault(std::string("the kernel failed: ") + error.GetMessageString(), app, options);
  }
}

}  // namespace
}  // namespace leafstack

int main(int argc, char** argv) {
  try {
    return leafstack::run(argc, argv);
  } catch (const std::exception& error) {
    std::cerr << "internal fault: " << leafstack::escaped(error.what()) << "\n";
  } catch (...) {
    std::cerr << "internal fault\n";
  }
  return leafstack::kInternalFault;
}
