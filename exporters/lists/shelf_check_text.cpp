#include "exporters/lists/shelf_check_text.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view kPlainGate = "a plain gate of two panels for 6000 mm";

std::string inThousandths(double value) {
  return shown(value, 3);
}

std::string withUnit(double value, const std::string& unit) {
  return inThousandths(value) + (unit.empty() ? "" : ' ' + unit);
}

/// Bounds in hundredths, rounded to the side that holds: what is printed does.
double inHundredths(double value, bool up) {
  constexpr double kPerMm = 100, kRounding = 1e-6;
  return (up ? std::ceil(value * kPerMm - kRounding) : std::floor(value * kPerMm + kRounding)) /
         kPerMm;
}

/// "92 to 110 mm", "at least 92 mm", "at most 110 mm".
std::string rangeOf(double exact_least, double exact_most, const std::string& unit) {
  const double least = inHundredths(exact_least, /*up=*/true);
  const double most = inHundredths(exact_most, /*up=*/false);
  if (std::isinf(least) && std::isinf(most)) {
    return "any";
  }
  if (std::isinf(most)) {
    return "at least " + withUnit(least, unit);
  }
  if (std::isinf(least)) {
    return "at most " + withUnit(most, unit);
  }
  return exact_least == exact_most ? withUnit(exact_least, unit)
                                   : inThousandths(least) + " to " + withUnit(most, unit);
}

std::string lineOf(const JudgedRule& rule) {
  std::string line = rule.fits ? "fits   " : "FAILS  ";
  if (rule.is_of_choices) {
    return line + rule.figure_name + (rule.fits ? "" : "; " + rule.why) + '\n';
  }
  if (!rule.sizes.empty()) {
    line += std::string(rule.sizes.front().pointer) + ' ';
  }
  line += (rule.figure_name.empty() ? "" : rule.figure_name + ' ') +
          withUnit(rule.figure, rule.unit) + ": " + rangeOf(rule.least, rule.most, rule.unit);
  for (std::size_t i = 1; i < rule.sizes.size(); ++i) {
    line += (i == 1 ? ", by " : ", ") + std::string(rule.sizes[i].pointer) + ' ' +
            inThousandths(rule.sizes[i].value);
  }
  return line + (rule.fits ? "" : "; " + rule.why) + '\n';
}

std::string rulesText(const ShelfCheck& check) {
  std::string text;
  for (const bool fits : {false, true}) {
    for (const JudgedRule& rule : check.rules) {
      text += rule.fits == fits ? lineOf(rule) : "";
    }
    for (const LayoutProblem& problem : check.problems) {
      text += fits ? "" : "FAILS  " + problem.pointer + ": " + problem.text + '\n';
    }
  }
  return text;
}

std::string rangesText(const ShelfCheck& check) {
  std::string text;
  for (const SizeRange& range : check.ranges) {
    if (!range.isLimited()) {
      continue;
    }
    text += std::string(range.row->pointer) + ' ' + withUnit(range.value, range.row->unit) +
            (range.is_auto ? " (auto)" : "") + " may be " +
            rangeOf(range.least, range.most, range.row->unit) + '\n';
    text += range.below.empty() ? "" : "  less: " + range.below + '\n';
    text += range.above.empty() ? "" : "  more: " + range.above + '\n';
  }
  return text;
}

/// Ratings are warnings in every command: here they are told, and judge nothing.
std::string loadsText(const std::vector<RatedLoad>& loads) {
  std::string text;
  for (const RatedLoad& one : loads) {
    text += one.isOver() ? "OVER   " : one.rated_N ? "holds  " : "?      ";
    text += std::string(one.pointer) + ' ' +
            (one.rated_N ? withUnit(*one.rated_N, "N") : "not given") + ": " +
            std::string(one.what) + " carries up to " + shown(one.load_N, 0) + " N\n";
  }
  return text;
}

Json loadJson(const RatedLoad& load) {
  Json out;
  out["pointer"] = load.pointer;
  out["what"] = load.what;
  out["load_N"] = load.load_N;
  if (load.rated_N) {
    out["rating_N"] = *load.rated_N;
    out["fits"] = !load.isOver();
  }
  return out;
}

Json ruleJson(const JudgedRule& rule) {
  Json out;
  out["fits"] = rule.fits;
  if (!rule.figure_name.empty()) {
    out["name"] = rule.figure_name;
  }
  out["figure"] = rule.figure;
  if (!std::isinf(rule.least)) {
    out["least"] = rule.least;
  }
  if (!std::isinf(rule.most)) {
    out["most"] = rule.most;
  }
  out["unit"] = rule.unit;
  out["sizes"] = Json::array();
  for (const SizeThere& size : rule.sizes) {
    out["sizes"].push_back({{"pointer", size.pointer}, {"value", size.value}});
  }
  if (!rule.fits) {
    out["text"] = rule.why;
  }
  return out;
}

}  // namespace

std::string shelfCheckText(const ShelfCheck& check, const ShelfCheckContext& context) {
  std::string text =
      "Hardware " + context.set +
      (context.gate.empty() ? " on " + std::string(kPlainGate) : " on the gate " + context.gate) +
      ": " + (context.fits(check) ? "fits" : "does not fit") + "\n\n" + rulesText(check);
  if (!context.loads.empty()) {
    text += "\nRatings:\n" + loadsText(context.loads);
  }
  if (!check.cures.empty()) {
    text += "\nOne of these alone would do:\n";
    for (const SizeCure& cure : check.cures) {
      text += std::string(cure.row->pointer) + ' ' + withUnit(cure.would, cure.row->unit) +
              ", not " + inThousandths(cure.value) + '\n';
    }
  }
  if (!check.ranges.empty()) {
    text += "\nHow far each size may go, all others as they are (" + std::to_string(kRangeSteps) +
            " places looked at to either side" +
            (context.ranges_drawn ? ", and the gate drawn at both ends"
                                  : "; whether parts meet there: --drawn") +
            "):\n" + rangesText(check);
  }
  if (!check.has_ranges && !context.gate.empty()) {
    text += "\nOn surveyed ground it is not worked out how far each size may go.\n";
  }
  if (context.clash) {
    text += '\n' + context.clash->line + '\n';
    for (const std::string& finding : context.clash->findings) {
      text += "  - " + finding + '\n';
    }
  }
  return text + (context.gate.empty()
                     ? "\nNo gate was named: yours may ask for more (--check GATE).\n"
                     : "");
}

std::string shelfCheckJson(const ShelfCheck& check, const ShelfCheckContext& context) {
  Json out;
  out["hardware"] = context.set;
  out["gate"] = context.gate.empty() ? std::string(kPlainGate) : context.gate;
  out["fits"] = context.fits(check);
  out["rules"] = Json::array();
  for (const JudgedRule& rule : check.rules) {
    out["rules"].push_back(ruleJson(rule));
  }
  out["problems"] = Json::array();
  for (const LayoutProblem& problem : check.problems) {
    out["problems"].push_back({{"pointer", problem.pointer}, {"text", problem.text}});
  }
  out["loads"] = Json::array();
  for (const RatedLoad& load : context.loads) {
    out["loads"].push_back(loadJson(load));
  }
  out["cures"] = Json::array();
  for (const SizeCure& cure : check.cures) {
    out["cures"].push_back(
        {{"pointer", cure.row->pointer}, {"value", cure.value}, {"would", cure.would}});
  }
  out["ranges"] = Json::array();
  for (const SizeRange& range : check.ranges) {
    if (!range.isLimited()) {
      continue;
    }
    Json one = {{"pointer", range.row->pointer},
                {"value", range.value},
                {"least", range.least},
                {"most", range.most}};
    if (range.is_auto) {
      one["auto"] = true;
    }
    if (!range.below.empty()) {
      one["below"] = range.below;
    }
    if (!range.above.empty()) {
      one["above"] = range.above;
    }
    out["ranges"].push_back(std::move(one));
  }
  if (context.clash) {
    out["clash"] = context.clash->line;
    out["findings"] = context.clash->findings;
  }
  return out.dump(2) + "\n";
}

}  // namespace leafstack
