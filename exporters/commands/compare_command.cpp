// The command compare: one site, or sweeps of it.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <set>

#include "exporters/commands/commands.h"
#include "exporters/folder/output_folder.h"
#include "exporters/lists/compare/compare_chart.h"
#include "exporters/lists/compare/compare_csv.h"
#include "exporters/lists/compare/compare_json.h"
#include "exporters/lists/compare/compare_table.h"
#include "generator/compare/sweep.h"
#include "generator/cures/judged.h"

namespace leafstack {
namespace {

/// `motors`: names of those that gates are compared with.
PriceResult pricesFrom(const Options& options, const std::vector<std::string>& motors) {
  if (options.prices.empty()) {
    return {};
  }
  const std::string name = sourceName(options.prices);
  return readPrices(readInput(options.prices, kMaxGateFileBytes + 1), name, motors);
}

/// Nothing of a gate that cannot be read.
void addMotors(const ReadResult& read, std::vector<std::string>& motors) {
  if (read.gate && read.gate->spec.motors) {
    for (const NamedMotor& motor : *read.gate->spec.motors) {
      motors.push_back(motor.drive.name);
    }
  }
}

FileRules chartRules(const Options& options) {
  FileRules rules;
  rules.force = options.force;
  rules.is_ours = isUnchangedChart;
  rules.inputs = inputsOf(options);
  return rules;
}

/// --sweep, --shard and what goes with them.
SweepInput sweepFrom(const Options& options) {
  SweepInput input;
  std::string problem;
  for (const std::string& text : options.sweeps) {
    const auto axis = parseAxis(text, problem);
    demand(axis.has_value(), "--sweep " + text + ": " + problem);
    input.axes.push_back(*axis);
  }
  demand(input.axes.size() <= kMostAxes, "--sweep: up to two at a time");
  demand(input.axes.size() < 2 || !areNested(input.axes[0].pointer, input.axes[1].pointer),
         "--sweep: " + input.axes.back().pointer + " twice");
  if (options.shard) {
    const auto shard = parseShard(*options.shard, problem);
    demand(shard.has_value(), "--shard " + *options.shard + ": " + problem);
    input.shard = *shard;
  }
  const PointRange range = pointsOf(pointCount(input.axes), input.shard);
  demand(range.end - range.first <= kMostPointsPerShard, "--sweep: more than " +
                                                             std::to_string(kMostPointsPerShard) +
                                                             " sites at once; take --shard I/N");
  if (!options.chart.empty()) {
    demand(input.axes.size() == 1 && !options.shard, "--chart: takes one --sweep, without --shard");
    problem = chartProblem(input.axes.front());
    demand(problem.empty(), "--chart: " + problem);
    demandWritable(options.chart, chartRules(options));
  }
  return input;
}

ExitCode runSweep(const Options& options) {
  SweepInput input = sweepFrom(options);
  demand(options.hardware.size() <= 1, "--sweep: one --hardware at a time");
  input.overrides = overridesFrom(options);
  input.hardware = hardwareFrom(options);
  input.text = readInput(options.input, kMaxGateFileBytes + 1);
  input.source_name = sourceName(options.input);
  std::vector<std::string> motors;
  addMotors(readGate(input.text, input.source_name, input.overrides, input.hardware), motors);
  const PriceResult prices = pricesFrom(options, motors);
  input.prices = prices.prices ? &*prices.prices : nullptr;
  if (!prices.problems.empty()) {
    demandNone(sweepProblems(input), prices.problems);
  }
  const SweepRows rows(options.json ? SweepFormat::kJson : SweepFormat::kCsv, input.axes,
                       prices.prices.has_value());
  RoomChart chart(input.axes.front().pointer);
  const std::vector<Diagnostic> problems = sweep(input, [&](const SweptSite& site) {
    print(rows.rows(site));
    if (!options.chart.empty()) {
      chart.add(site);
    }
  });
  demandNone(problems);
  if (!options.chart.empty()) {
    writeWholeFile(options.chart, chart.svg(), chartRules(options));
  }
  return kDone;
}

/// The arrangements with one hardware set; its name is empty where the command line names none.
struct ComparedSet {
  std::string name;
  SiteComparison comparison;
};

struct Compared {
  std::vector<ComparedSet> sets;
  std::string currency;
};

/// One comparison for each --hardware, or one with the gate file's.
Compared compareSets(const Options& options, const std::string& text) {
  const std::vector<Override> overrides = overridesFrom(options);
  std::vector<std::string> names = options.hardware;
  demand(std::set<std::string>(names.begin(), names.end()).size() == names.size(),
         "--hardware names the same set twice");
  if (names.empty()) {
    names.emplace_back();
  }
  std::vector<ReadResult> gates;
  std::vector<std::string> motors;
  for (const std::string& name : names) {
    gates.push_back(
        readGate(text, sourceName(options.input), overrides, hardwareFrom(options, name)));
    addMotors(gates.back(), motors);
  }
  const PriceResult prices = pricesFrom(options, motors);
  CompareOptions how;
  how.prices = prices.prices ? &*prices.prices : nullptr;
  Compared made;
  made.currency = prices.prices ? prices.prices->currency : "";
  for (std::size_t i = 0; i < gates.size(); ++i) {
    demandNone(gates[i].problems, prices.problems);
    options.gate_text = text;
    options.shelf = shelfOf(*gates[i].gate);
    SiteComparison comparison = compareArrangements(gates[i].gate->spec, how);
    JudgeOptions judging;
    judging.prices = how.prices;
    judging.read = [&, name = names[i]](std::span<const Override> more) {
      std::vector<Override> all = overrides;
      all.insert(all.end(), more.begin(), more.end());
      return readGate(text, sourceName(options.input), all, hardwareFrom(options, name));
    };
    judgeArrangements(comparison, judging);
    made.sets.push_back({names[i], std::move(comparison)});
  }
  return made;
}

std::string inTables(const std::vector<ComparedSet>& sets, const std::string& currency,
                     const Options& options) {
  std::string out;
  for (const ComparedSet& set : sets) {
    if (sets.size() > 1) {
      out += (out.empty() ? "" : "\n") + std::string("Hardware ") + set.name + "\n\n";
    }
    out += options.quiet ? compareVerdict(set.comparison)
                         : compareTable(set.comparison, currency, options.all);
  }
  return out;
}

std::string inJson(const std::vector<ComparedSet>& sets, const std::string& currency) {
  if (sets.size() == 1) {
    return compareJson(sets.front().comparison, currency);
  }
  auto list = nlohmann::ordered_json::array();
  for (const ComparedSet& set : sets) {
    list.push_back(
        {{"hardware", set.name},
         {"comparison", nlohmann::ordered_json::parse(compareJson(set.comparison, currency))}});
  }
  return list.dump(2) + "\n";
}

ExitCode runCompare(const Options& options) {
  demand(!options.json || !options.csv, "--json or --csv, not both");
  demand(options.input != "-" || options.prices != "-",
         "standard input is the gate file or the price list, not both");
  if (!options.sweeps.empty()) {
    return runSweep(options);
  }
  demand(!options.shard && options.chart.empty() && !options.csv,
         "--shard, --chart and --csv go with --sweep");
  const std::string text = readInput(options.input, kMaxGateFileBytes + 1);
  const auto [sets, currency] = compareSets(options, text);
  print(options.json ? inJson(sets, currency) : inTables(sets, currency, options));
  std::string why;
  for (const ComparedSet& set : sets) {
    const std::vector<Arrangement>& all = set.comparison.arrangements;
    if (std::any_of(all.begin(), all.end(), [](const Arrangement& one) { return one.fits; })) {
      return kDone;
    }
    why = set.comparison.why;
  }
  throw Stop{kDoesNotFit, {why}};
}

}  // namespace

void declareCompare(CLI::App& app, Options& options, Chosen& chosen) {
  CLI::App* compare = app.add_subcommand(
      "compare", "every arrangement for this site: which fit and are ready, ranked");
  compare->add_option("GATE", options.input, "gate file; - reads it from standard input")
      ->required();
  addCommonOptions(*compare, options);
  addHardwareOption(*compare, options, "; may be repeated: one comparison for each");
  compare->add_flag("--all", options.all, "tell of every arrangement, not of the first ones only");
  compare->add_flag("--json", options.json, "print JSON instead of the table");
  compare->add_option("--prices", options.prices, "price list (JSON): rank by cost")
      ->type_name("PRICES.json");
  compare
      ->add_option("--sweep", options.sweeps,
                   "compare over a range, e.g. /site/opening_mm=3000:9000:100; up to two; by "
                   "arithmetic alone: nothing is built")
      ->allow_extra_args(false)
      ->type_name("/POINTER=FROM:TO:STEP");
  compare->add_flag("--csv", options.csv, "print a sweep as CSV, which is the default");
  compare->add_option("--shard", options.shard, "the I-th of N parts of a sweep")->type_name("I/N");
  compare->add_option("--chart", options.chart, "draw a sweep's room into this SVG file")
      ->type_name("FILE.svg");
  compare->add_flag("--force", options.force, "replace a chart that nobody changed");
  compare->callback([&] { chosen = [&] { return runCompare(options); }; });
}

}  // namespace leafstack
