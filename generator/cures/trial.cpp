#include "generator/cures/trial.h"

#include <algorithm>
#include <utility>

#include "generator/compare/arrangements.h"
#include "generator/geometry/geometry_error.h"
#include "generator/geometry/in_parallel.h"
#include "generator/layout/layout.h"
#include "generator/loads/loads.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

std::string keyOf(const Settings& settings) {
  std::string key;
  for (const Override& one : settings) {
    key += inText(one) + '\n';
  }
  return key;
}

/// Measured (DEVELOPERS.md): how many times as long a pair takes on surveyed ground, and how many
/// surveyed points double that, and what a part takes to build.
constexpr long kSurveyed = 10;
constexpr long kPointsOfAWeight = 8;

long pointsOf(const GateSpec& spec) {
  std::size_t most = 0;
  for (const SurveyLine& line : spec.site.track_survey_mm) {
    most = std::max(most, line.size());
  }
  return static_cast<long>(most);
}

/// Instances that take time: of screws and the like few parts are built, and bounds settle all but
/// a few of their pairs.
long madeInstances(const Model& model) {
  return std::count_if(model.instances.begin(), model.instances.end(), [&](const Instance& one) {
    return !isFastener(model.parts[one.part].kind);
  });
}

/// A gate on its way through a trial.
struct Tried {
  Outcome outcome;
  Layout layout;
};

Tried laidOut(const ReadResult& read) {
  Tried tried;
  if (!read.gate) {
    tried.outcome.problem = toString(read.problems.front());
    return tried;
  }
  tried.outcome.spec = read.gate->spec;
  LayoutResult result = layOut(withPanelsChosen(read.gate->spec));
  if (!result.problems.empty()) {
    tried.outcome.problem = result.problems.front().text;
  } else if (!result.layout.fits) {
    tried.outcome.problem = "it does not fit the site";
  }
  tried.layout = std::move(result.layout);
  return tried;
}

}  // namespace

std::string inText(const Override& setting) {
  return setting.pointer + "=" + setting.value;
}

long weighedPairs(const Model& model) {
  const long made = madeInstances(model);
  const long weight = model.layout.ground.is_surveyed
                          ? kSurveyed * std::max(1L, pointsOf(model.spec) / kPointsOfAWeight)
                          : 1;
  return made * (made - 1) / 2 * weight;
}

Settings merged(Settings settings, const Settings& more) {
  for (const Override& one : more) {
    const auto same = std::find_if(settings.begin(), settings.end(), [&](const Override& other) {
      return other.pointer == one.pointer;
    });
    if (same == settings.end()) {
      settings.push_back(one);
    } else {
      same->value = one.value;
    }
  }
  return settings;
}

int Outcome::count(const std::string& id) const {
  return static_cast<int>(std::count_if(warnings.begin(), warnings.end(),
                                        [&](const Warning& warning) { return warning.id == id; }));
}

std::vector<std::string> Outcome::reasons() const {
  std::vector<std::string> ids;
  if (clash && clash->verdict != Verdict::kClear && clash->verdict != Verdict::kTight) {
    ids.emplace_back("clash");
  }
  for (const Warning& warning : warnings) {
    const bool is_new = std::find(ids.begin(), ids.end(), warning.id) == ids.end();
    if (warning.against != Against::kNothing && is_new) {
      ids.push_back(warning.id);
    }
  }
  return ids;
}

double Outcome::timesAllowed(const std::string& id) const {
  double most = 0;
  for (const Warning& warning : warnings) {
    most = warning.id == id ? std::max(most, warning.times_allowed) : most;
  }
  return most;
}

Outcome builtOutcome(const GateSpec& spec, const Layout& layout, PartStore& parts) {
  Outcome out;
  out.spec = spec;
  try {
    const Model model = buildModel(spec, layout, &parts);
    out.instances = madeInstances(model);
    LoadReport loads = findLoads(model, Frequencies::kLeftOut);
    out.warnings = warningsOf(model, loads);
    for (const PanelLayout& panel : model.layout.panels) {
      out.rails_mm += panel.frame_length_mm;
      out.stiles_mm += 2 * model.spec.gate.height_mm;
    }
    out.structure = std::move(loads.structure);
    out.structure.deflected.clear();
  } catch (const GeometryError& e) {
    out.problem = e.what();
  }
  return out;
}

ClashOutcome provedOutcome(const GateSpec& spec, const Layout& layout, TrialStores& stores) {
  const Model model = buildModel(spec, layout, &stores.parts);
  const ClashReport report = checkClashes(model, &stores.proofs);
  return {report.verdict, static_cast<int>(report.findings.size()), weighedPairs(model)};
}

std::vector<Outcome> Trials::outcomes(const std::vector<Settings>& all) {
  std::vector<Tried> tried(all.size());
  std::vector<int> unknown;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto found = known_.find(keyOf(all[i]));
    if (found != known_.end()) {
      tried[i].outcome = found->second;
    } else {
      tried[i] = laidOut(read_(all[i]));
      unknown.push_back(static_cast<int>(i));
    }
  }
  inParallel(static_cast<int>(unknown.size()), [&](int i) {
    Tried& one = tried[unknown[i]];
    if (one.outcome.isMade()) {
      one.outcome = builtOutcome(one.outcome.spec, one.layout, stores_->parts);
    }
  });
  for (const int i : unknown) {
    const GateSpec& spec = tried[i].outcome.spec;
    const long points = tried[i].layout.ground.is_surveyed ? pointsOf(spec) : 0;
    built_instances_ += tried[i].outcome.instances * (1 + points / kPointsOfAWeight);
    known_[keyOf(all[i])] = tried[i].outcome;
  }
  std::vector<Outcome> out;
  for (Tried& one : tried) {
    out.push_back(std::move(one.outcome));
  }
  return out;
}

Outcome Trials::proved(const Settings& settings) {
  Outcome out = outcome(settings);
  if (!out.isMade() || out.clash || !mayProve()) {
    return out;
  }
  const Tried tried = laidOut(read_(settings));
  out.clash = provedOutcome(tried.outcome.spec, tried.layout, *stores_);
  checked_pairs_ += out.clash->pairs;
  dearest_proof_ = std::max(dearest_proof_, out.clash->pairs);
  known_[keyOf(settings)] = out;
  return out;
}

}  // namespace leafstack
