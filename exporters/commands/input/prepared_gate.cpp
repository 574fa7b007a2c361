#include "exporters/commands/input/prepared_gate.h"

#include <cstdlib>

#include "exporters/bytes/sha256.h"
#include "exporters/bytes/timestamp.h"
#include "exporters/lists/report/summary.h"
#include "generator/as_built/built_warnings.h"
#include "generator/as_built/corrections.h"
#include "generator/clash/report/comparison.h"
#include "generator/compare/arrangements.h"
#include "generator/cures/auto_sections.h"
#include "generator/cures/cures.h"
#include "generator/cures/judged.h"
#include "generator/geometry/in_parallel.h"
#include "generator/layout/figures_that_do.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"
#include "params/reading/json_tree.h"

namespace leafstack {
namespace {

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

/// The layout, or why there is none: throws Stop.
Layout laidOut(const GateSpec& spec) {
  const GateSpec chosen = withPanelsChosen(spec);
  LayoutResult result = layOut(chosen);
  if (!result.problems.empty()) {
    tellFigures(chosen, result);
    Stop stop{kDoesNotFit, {}};
    for (const LayoutProblem& problem : result.problems) {
      stop.lines.push_back(problem.pointer + ": " + problem.text);
    }
    throw stop;
  }
  return std::move(result.layout);
}

/// Measurements that cannot be are asked about: throws Stop with every question.
void demandBelievable(const GateSpec& spec, const Layout& layout, const std::string& text,
                      const std::string& name) {
  if (spec.as_built.isEmpty()) {
    return;
  }
  Stop stop{kInvalidInput, {}};
  const JsonNode root = parseJson(text, name).root;
  for (const LayoutProblem& question : deviationsOf(spec, layout).questions) {
    const TextPlace place = placeOf(root, question.pointer);
    stop.lines.push_back(toString(
        Diagnostic{name, place.line, place.column, question.pointer, question.text, "", ""}));
  }
  if (!stop.lines.empty()) {
    throw stop;
  }
}

/// Reads the gate again with values that were chosen for it, and lays it out.
void settle(Prepared& prepared, const std::vector<ChosenValue>& chosen) {
  Settings settings;
  for (const ChosenValue& one : chosen) {
    settings.push_back({one.pointer, one.value});
  }
  prepared.gate = std::move(*prepared.read(settings).gate);
  for (ResolvedValue& value : prepared.gate.values) {
    for (const ChosenValue& one : chosen) {
      if (value.pointer == one.pointer) {
        value.origin = Origin::kComputed;
        value.why = one.why;
      }
    }
  }
  prepared.layout = laidOut(prepared.gate.spec);
  prepared.read = [read = std::move(prepared.read), settings](std::span<const Override> more) {
    return read(merged(settings, {more.begin(), more.end()}));
  };
}

/// Chooses what the gate leaves to the program and only gates that are built can tell: the number
/// of panels, then sections.
void chooseFor(Prepared& prepared, Progress& progress) {
  std::vector<ChosenValue> all;
  if (!prepared.gate.spec.gate.panels) {
    progress.stage("panels");
    const PanelChoice choice = panelsByVerdict(prepared.gate.spec);
    all.push_back({"/gate/panels", std::to_string(choice.panels), choice.why});
    settle(prepared, all);
  }
  if (leavesSections(prepared.gate.spec) && prepared.layout.fits) {
    progress.stage("sections");
    Trials trials(prepared.read);
    SectionChoice choice = chooseSections(prepared.gate.spec, trials);
    if (!choice.problems.empty()) {
      throw Stop{kDoesNotFit, choice.problems};
    }
    all.insert(all.end(), choice.chosen.begin(), choice.chosen.end());
    settle(prepared, all);
    prepared.gate.spec.chosen = std::move(choice.chosen);
  }
}

}  // namespace

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

ResolvedGate resolve(const std::string& text, const std::string& name,
                     const std::vector<Override>& overrides, const HardwareInput& hardware) {
  ReadResult result = readGate(text, name, overrides, hardware);
  demandNone(result.problems);
  return std::move(*result.gate);
}

Prepared prepare(const Options& options, Progress& progress) {
  progress.stage("reading");
  timestampFrom(options);  // what is wrong with it is told before the gate is read
  const std::string text = readInput(options.input, kMaxGateFileBytes + 1);
  return prepareText(text, options, hardwareFrom(options), progress);
}

Prepared prepareText(const std::string& text, const Options& options, const HardwareInput& hardware,
                     Progress& progress) {
  progress.stage("reading");
  const std::vector<Override> overrides = overridesFrom(options);
  Prepared prepared;
  prepared.provenance.timestamp = timestampFrom(options);
  const std::string name = sourceName(options.input);
  prepared.gate = resolve(text, name, overrides, hardware);
  prepared.read = [text, name, overrides, hardware](std::span<const Override> more) {
    std::vector<Override> all = overrides;
    all.insert(all.end(), more.begin(), more.end());
    return readGate(text, name, all, hardware);
  };
  options.gate_text = text;
  options.shelf = shelfOf(prepared.gate);
  std::string hashed = text;
  for (const Override& one : overrides) {
    hashed += "\n--set " + one.pointer + "=" + one.value;
  }
  for (const std::string& set : options.hardware) {
    hashed += "\n--hardware " + set;
  }
  for (const auto& [path, file] : options.hardware_files) {
    hashed += '\n' + file.text;
  }
  for (const auto& [drawn, kept] : options.surrounding_files) {
    hashed += '\n' + kept.sha256;
  }
  prepared.provenance.input_sha256 = sha256Hex(hashed);
  prepared.earlier = earlierFrom(options);
  progress.stage("layout");
  prepared.layout = laidOut(prepared.gate.spec);
  if (prepared.layout.fits) {
    chooseFor(prepared, progress);
  }
  demandBelievable(prepared.gate.spec, prepared.layout, text, name);
  return prepared;
}

Built buildAll(const Prepared& prepared, bool with_areas, Progress& progress,
               std::shared_ptr<TrialStores> stores, bool tells_stock) {
  Built built;
  if (stores) {
    built.stores = std::move(stores);
  }
  progress.stage("solids");
  built.model = buildModel(prepared.gate.spec, prepared.layout, &built.stores->parts);
  if (with_areas) {
    progress.stage("areas");
    measureAreas(built.model, &built.stores->parts);
  }
  // Neither reads what the other finds, and much of either keeps one core alone.
  const bool has_stock = with_areas && tells_stock;
  progress.stage(has_stock ? "clash check, lists, stock plan" : "clash check, lists");
  inParallel(2, [&](int i) {
    if (i == 0) {
      built.clash = checkClashes(built.model, &built.stores->proofs);
      return;
    }
    built.schedules =
        makeSchedules(built.model, with_areas ? Frequencies::kFound : Frequencies::kLeftOut);
    if (has_stock) {
      planStock(built.model, built.schedules);
    }
    if (with_areas) {
      findWelds(built.model, built.schedules);
      findCutouts(built.model, built.schedules);
    }
  });
  if (prepared.earlier) {
    compareWith(built.clash, *prepared.earlier);
  }
  if (!prepared.gate.spec.as_built.isEmpty()) {
    progress.stage("as built");
    const Deviations off = deviationsOf(prepared.gate.spec, prepared.layout).off;
    built.as_built = correct({&prepared.gate.spec, &prepared.layout, &off, &built.model},
                             {&built.stores->parts, &built.stores->proofs});
    if (with_areas) {
      measureAreas(built.as_built->model, &built.stores->parts);
    }
  }
  progress.finishStage();
  return built;
}

std::vector<Warning> warningsOf(const Built& built) {
  std::vector<Warning> warnings = warningsOf(built.model, built.schedules);
  if (built.as_built) {
    const std::vector<Warning> more = builtWarnings(*built.as_built);
    warnings.insert(warnings.end(), more.begin(), more.end());
  }
  return warnings;
}

Advice adviceOn(const Prepared& prepared, const Built& built, const CureBudget& budget,
                Progress& progress) {
  Advice advice{warningsOf(built)};
  if (!gateVerdict(advice.warnings, &built.clash).is_ready) {
    progress.stage("cures");
    Trials trials(prepared.read, built.stores);
    addCures(advice, outcomeOf(built.model, built.schedules.loads, built.clash), trials, budget);
    progress.finishStage();
  }
  return advice;
}

Advice adviceOn(const Prepared& prepared, const CureBudget& budget, Progress& progress) {
  Advice advice{warningsOf(prepared.gate.spec, prepared.layout)};
  progress.stage("cures");
  Trials trials(prepared.read);
  addFittingCure(advice, prepared.gate.spec, prepared.layout, trials, budget);
  progress.finishStage();
  return advice;
}

void tellIfNotReady(const Built& built) {
  const GateVerdict verdict = gateVerdict(warningsOf(built), &built.clash);
  if (!verdict.is_ready) {
    tell(inWords(verdict));
  }
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

}  // namespace leafstack
