// The command hardware: the sets there are, what one of them holds, and its sheets.
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include "exporters/bytes/sha256.h"
#include "exporters/commands/commands.h"
#include "exporters/commands/input/prepared_gate.h"
#include "exporters/folder/output_folder.h"
#include "exporters/lists/report/summary.h"
#include "exporters/lists/shelf_check_text.h"
#include "exporters/paper/backends/drawing_dxf.h"
#include "exporters/paper/backends/pdf.h"
#include "exporters/paper/backends/svg.h"
#include "exporters/paper/shelf/hardware_sheets.h"
#include "generator/compare/arrangements.h"
#include "generator/cures/shelf/shelf_ends.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/layout.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

// Any gate will do: what a set holds does not depend on it. Also the plainest one that a set is
// judged on where no other is named; shelf_check_text says which.
constexpr const char* kAnyGate = R"({"site": {"opening_mm": 6000}, "gate": {"panels": 2}})";
// Small and bare: every item is on it, and little else.
constexpr const char* kSheetGate =
    R"({"site": {"opening_mm": 4000}, "gate": {"panels": 2, "infill": {"kind": "open"}}})";

ResolvedGate withSet(const Options& options, const std::string& name, const char* gate = kAnyGate) {
  return resolve(gate, "hardware", overridesFrom(options), hardwareFrom(options, name));
}

/// Of each motor what it does not share: what stands there wins over what all of them have, so that
/// a shared size repeated there could not be changed in its one place.
void dropShared(Json& file) {
  const Json shared = file.value("motor", Json::object());
  for (Json& motor : file["motors"]) {
    for (const auto& [key, value] : shared.items()) {
      if (motor.contains(key) && motor[key] == value) {
        motor.erase(key);
      }
    }
  }
}

/// Every size of the set, as a hardware file of its own.
std::string asFile(const ResolvedGate& gate, const std::string& name) {
  Json file;
  file["leafstack_hardware"] = 1;
  file["name"] = name;
  constexpr std::string_view kGroup = "/hardware";
  for (const ResolvedValue& value : gate.values) {
    if (value.pointer.starts_with("/hardware/") && value.pointer != "/hardware/set") {
      file[Json::json_pointer(value.pointer.substr(kGroup.size()))] = value.value;
    }
  }
  dropShared(file);
  return file.dump(2) + "\n";
}

std::string trackWords(const TrackHardware& track) {
  const std::string size = formatFigure(track.size_mm);
  if (track.kind == TrackKind::kRound) {
    return "bar " + size;
  }
  const std::string angle = "angle " + size + "x" + size + "x" + formatFigure(track.thickness_mm);
  return track.hasFlat() ? angle + " on a flat " + formatFigure(trackFlatWidth_mm(track)) + "x" +
                               formatFigure(track.flat_mm)
                         : angle;
}

std::string listed(const Options& options) {
  std::string out;
  for (const BuiltInSet& one : builtInSets()) {
    const HardwareSpec shelf = withSet(options, std::string(one.name)).spec.hardware;
    std::string line(one.name);
    line.resize(10, ' ');
    line += "wheels " + formatFigure(shelf.wheel.outside_mm) + "/" +
            formatFigure(shelf.wheel.running_mm) + " mm on " + trackWords(shelf.track) +
            ", underside " + shown(undersideOverFootingMm(shelf)) +
            " mm over the footing, rack module " + formatFigure(shelf.rack.module_mm) +
            ", pinion " + formatFigure(shelf.motor.pinion_up_mm) + " mm over its feet\n";
    out += line;
  }
  return out;
}

/// Sheets of the set, whole or not at all.
ExitCode drawSheets(const Options& options) {
  const ResolvedGate gate = withSet(options, options.name, kSheetGate);
  OutputFolder folder(options.output, options.force, inputsOf(options));
  const ShelfFigures figures = shelfFigures(gate.spec);
  if (!figures.problems.empty()) {
    Stop stop{kDoesNotFit, {"no gate to draw the hardware on: give it another with --set"}};
    for (const LayoutProblem& problem : figures.problems) {
      stop.lines.push_back(problem.pointer + ": " + problem.text);
    }
    throw stop;
  }
  Provenance provenance;
  provenance.timestamp = timestampFrom(options);
  provenance.input_sha256 = sha256Hex(asFile(gate, options.name));
  const std::vector<Sheet> sheets = hardwareSheets(gate.spec, figures);
  const Sheet all = oneBelowAnother(sheets);
  folder.write("hardware.pdf", drawingPdf(sheets, provenance, all.title));
  folder.write("hardware.svg", drawingSvg(all, provenance));
  folder.write("hardware.dxf", drawingDxf(all));
  folder.commit(provenance);
  if (!options.quiet) {
    print(escaped(options.output) + ": " + std::to_string(folder.files().size()) + " files, " +
          std::to_string(sheets.size()) + " sheets\n");
  }
  return kDone;
}

/// The gate with the set, whose sizes need not fit each other: that is what is asked.
ResolvedGate gateToCheck(const Options& options) {
  HardwareInput hardware = hardwareFrom(options, options.name);
  hardware.refuses_misfits = false;
  const std::vector<Override> overrides = overridesFrom(options);
  if (options.input.empty()) {
    return resolve(kAnyGate, "hardware", overrides, hardware);
  }
  const std::string text = readInput(options.input, kMaxGateFileBytes + 1);
  return resolve(text, sourceName(options.input), overrides, hardware);
}

void shortenRanges(const GateSpec& spec, ShelfCheck& check, Progress& progress) {
  TrialStores stores;
  const int total = static_cast<int>(check.ranges.size());
  for (int i = 0; i < total; ++i) {
    progress.stage("sizes", i, total);
    shortenRange(spec, check.ranges[i], stores);
  }
}

ExitCode checkSet(const Options& options) {
  Progress progress(options.quiet, /*timings=*/false);
  Prepared prepared;
  prepared.gate = gateToCheck(options);
  ShelfCheckContext context{options.name, options.input, std::nullopt, {}};
  ExitCode code = kDone;
  const GateSpec spec = withPanelsChosen(prepared.gate.spec);
  ShelfCheck check = checkShelfOnGate(spec);
  if (check.fits()) {
    prepared.layout = layOut(spec).layout;
    const Built built = buildAll(prepared, /*with_areas=*/false, progress);
    context.clash = ShelfClash{clashLine(built.clash), codeOf(built.clash) == kDone, {}};
    for (const Finding& finding : built.clash.findings) {
      context.clash->findings.push_back(finding.text);
    }
    context.loads = ratedLoads(spec, built.schedules.loads);
    code = codeOf(built.clash);
  }
  if (options.input.empty()) {
    check.ranges.clear();  // of a gate that nobody builds
  } else if (options.drawn && context.clash && context.clash->findings.empty()) {
    shortenRanges(spec, check, progress);
    context.ranges_drawn = true;
  }
  progress.finishStage();
  if (options.json) {
    print(shelfCheckJson(check, context));
  } else if (!options.quiet) {
    print(shelfCheckText(check, context));
  }
  return !check.shelfRulesHold() ? kInvalidInput : !check.fits() ? kDoesNotFit : code;
}

ExitCode runHardware(const Options& options) {
  demand(!options.checks || !options.name.empty(),
         "hardware: --check judges one SET, and none is named");
  demand(!options.checks || options.output.empty(), "hardware: either -o or --check");
  demand(!options.json || options.checks, "hardware: --json goes with --check");
  demand(!options.drawn || !options.input.empty(), "hardware: --drawn goes with --check GATE");
  if (options.checks) {
    return checkSet(options);
  }
  demand(options.output.empty() || !options.name.empty(),
         "hardware: -o draws the sheets of one SET, and none is named");
  if (!options.output.empty()) {
    return drawSheets(options);
  }
  print(options.name.empty() ? listed(options)
                             : asFile(withSet(options, options.name), options.name));
  return kDone;
}

}  // namespace

void declareHardware(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* hardware = app.add_subcommand(
      "hardware", "list the hardware sets, or print one with every size, as a file to edit");
  hardware->add_option("SET", options.name, "a set's name, or a hardware file");
  addCommonOptions(*hardware, options);
  hardware->add_option("-o,--output", options.output,
                       "folder to make: the set's sheets, with a letter at every size that a "
                       "hardware file holds, as PDF, SVG and DXF");
  hardware->add_flag("--force", options.force,
                     "replace a folder that leafstack wrote; what others changed in it is kept");
  hardware->add_option("--timestamp", options.timestamp,
                       "time written into the sheets (else SOURCE_DATE_EPOCH, else now)");
  CLI::Option* check = hardware->add_option("--check", options.input,
                                            "judge the set instead: what fits what, on a gate or "
                                            "else on a plain one; - reads that from standard "
                                            "input");
  check->expected(0, 1)->type_name("[GATE]");
  hardware->add_flag("--drawn", options.drawn,
                     "with --check GATE: draw the gate at both ends of each size's range too, and "
                     "see whether parts meet there; takes minutes");
  hardware->add_flag("--json", options.json, "print what --check finds as JSON");
  hardware->callback([&, check] {
    options.checks = check->count() > 0;
    chosen = [&] { return runHardware(options); };
  });
}

}  // namespace leafstack
