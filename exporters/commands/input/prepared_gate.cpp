#include "exporters/commands/input/prepared_gate.h"

#include <cstdlib>

#include "exporters/bytes/sha256.h"
#include "exporters/bytes/timestamp.h"
#include "exporters/lists/report/summary.h"
#include "generator/clash/report/comparison.h"
#include "generator/compare/arrangements.h"
#include "generator/compare/misfit.h"
#include "generator/geometry/in_parallel.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

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
  const std::vector<Override> overrides = overridesFrom(options);
  Prepared prepared;
  prepared.provenance.timestamp = timestampFrom(options);
  const std::string text = readInput(options.input, kMaxGateFileBytes + 1);
  const std::string name = sourceName(options.input);
  prepared.gate = resolve(text, name, overrides, hardwareFrom(options));
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
  prepared.provenance.input_sha256 = sha256Hex(hashed);
  prepared.earlier = earlierFrom(options);
  progress.stage("layout");
  LayoutResult result = layOut(withPanelsChosen(prepared.gate.spec));
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
  // Neither reads what the other finds, and much of either keeps one core alone.
  progress.stage(with_areas ? "clash check, stock plan" : "clash check");
  inParallel(with_areas ? 2 : 1, [&](int i) {
    if (i == 0) {
      built.clash = checkClashes(built.model);
    } else {
      planStock(built.model, built.schedules);
    }
  });
  if (prepared.earlier) {
    compareWith(built.clash, *prepared.earlier);
  }
  progress.finishStage();
  return built;
}

void tellIfNotReady(const Built& built) {
  const GateVerdict verdict = gateVerdict(warningsOf(built.model, built.schedules), &built.clash);
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
