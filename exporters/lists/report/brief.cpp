// The brief text: what one needs to know first (declared in summary.h).
#include <algorithm>
#include <cmath>
#include <numeric>

#include "exporters/bytes/rounding.h"
#include "exporters/lists/report/built/built_report.h"
#include "exporters/lists/report/summary.h"
#include "exporters/lists/text/plain_text.h"
#include "generator/geometry/numbers.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

constexpr long kMostLines = 39;

std::string item(const std::string& text) {
  return wrapped(text, "  - ", "    ");
}

long linesOf(const std::string& text) {
  return std::count(text.begin(), text.end(), '\n');
}

struct Items {
  std::vector<std::string> all;
  const char* what;  ///< they are, where not all are told
};

/// Of a list that has to be cut short: an item, and how many more there are.
long leastLines(const Items& items) {
  return items.all.empty() ? 0 : linesOf(items.all.front()) + (items.all.size() > 1 ? 1 : 0);
}

/// As many as the lines hold, the first in any case; and how many more there are.
std::string fitting(const Items& items, long lines) {
  std::string out;
  std::size_t told = 0;
  for (; told < items.all.size(); ++told) {
    const bool is_last = told + 1 == items.all.size();
    if (told > 0 && linesOf(out + items.all[told]) + (is_last ? 0 : 1) > lines) {
      return out + "  - " + items.what +
             " not told here: " + std::to_string(items.all.size() - told) + "\n";
    }
    out += items.all[told];
  }
  return out;
}

std::string joined(const Items& items) {
  return std::accumulate(items.all.begin(), items.all.end(), std::string());
}

std::string firstSentence(const std::string& text) {
  return text.substr(0, text.find(". "));
}

std::string withPlace(const std::string& text, const Warning& warning) {
  return text + (warning.where.empty() ? "" : " (" + warning.where + ")");
}

bool grounds(const Warning& warning) {
  return warning.id == "grounds";
}

/// First where a panel would stand in the driveway: much of what else meets comes of that.
Items findingItems(const std::vector<Warning>& warnings, const ClashReport* clash) {
  Items items{{}, "findings"};
  for (const Warning& warning : warnings) {
    if (grounds(warning)) {
      items.all.push_back(item(withPlace(warning.text, warning)));
    }
  }
  if (clash != nullptr) {
    for (const Finding& finding : clash->findings) {
      items.all.push_back(
          item((finding.status == FindingStatus::kNew ? "new: " : "") + finding.text));
    }
  }
  return items;
}

/// The warnings that are wanted, as `words` puts them.
template <typename Wanted, typename Words>
Items warningItems(const std::vector<Warning>& warnings, const char* what, const Wanted& wanted,
                   const Words& words) {
  Items items{{}, what};
  for (const Warning& warning : warnings) {
    if (wanted(warning)) {
      items.all.push_back(item(words(warning)));
    }
  }
  return items;
}

/// What tells against the gate and is no hazard.
Items reasonItems(const std::vector<Warning>& warnings) {
  return warningItems(
      warnings, "reasons",
      [](const Warning& one) {
        return !one.is_hazard && one.against != Against::kNothing && !grounds(one);
      },
      [](const Warning& one) { return withPlace(one.in_short, one); });
}

/// Pairs that are clear as drawn and may meet as built.
std::string toleranceItem(const ClashReport* clash) {
  return clash == nullptr || clash->as_built.pairs_that_can_meet == 0
             ? ""
             : item(asBuiltSentence(clash->as_built) + " Build it closer, or give them more room.");
}

Items hazardItems(const std::vector<Warning>& warnings, bool in_short = false) {
  return warningItems(
      warnings, "hazards", [](const Warning& one) { return one.is_hazard; },
      [&](const Warning& one) {
        return in_short ? withPlace(firstSentence(one.text), one) : inWords(one);
      });
}

/// Of the whole gate; where nothing brings that, of what tells against it one by one.
Items cureItems(const Advice& advice) {
  std::vector<std::string> out;
  if (advice.together.sets.empty()) {
    for (const Warning& warning : advice.warnings) {
      if (!warning.cure.sets.empty()) {
        out.push_back(item(warning.in_short + ":") + cureLines(warning.cure));
      }
    }
  }
  if (advice.together.tried > 0 && (out.empty() || !advice.together.sets.empty())) {
    out.push_back(item(advice.together.leaves.empty() ? "for the whole gate:" : "for what meets:") +
                  cureLines(advice.together));
  } else if (out.empty()) {
    const auto tried = std::find_if(advice.warnings.begin(), advice.warnings.end(),
                                    [](const Warning& warning) { return warning.cure.tried > 0; });
    out.push_back(tried == advice.warnings.end() ? "" : cureLines(tried->cure));
  }
  return {out, "cures"};
}

std::string verdictLine(const Advice& advice, const ClashReport* clash) {
  return wrapped(inWords(gateVerdict(advice.warnings, clash)), "", "  ");
}

/// Every hazard, in one sentence each where all of it is too long; then cures, findings, reasons
/// and notes as the lines left allow.
std::string tasks(const Advice& advice, const ClashReport* clash, long lines) {
  const std::vector<Warning>& all = advice.warnings;
  const Items findings = findingItems(all, clash);
  const Items reasons = reasonItems(all);
  const Items notes = warningItems(
      all, "notes",
      [](const Warning& one) { return !one.is_hazard && one.against == Against::kNothing; },
      [](const Warning& one) { return withPlace(firstSentence(one.text), one); });
  const Items all_cures = cureItems(advice);
  const std::string tolerance = toleranceItem(clash);
  const long note_lines = notes.all.empty() ? 0 : 1;
  lines -= linesOf(tolerance);
  const long others = leastLines(findings) + leastLines(reasons) + note_lines;
  Items hazard_items = hazardItems(all);
  if (linesOf(joined(hazard_items)) > lines - others - leastLines(all_cures)) {
    hazard_items = hazardItems(all, /*in_short=*/true);
  }
  const std::string hazards = fitting(hazard_items, lines - others - leastLines(all_cures));
  lines -= linesOf(hazards);
  const std::string cures = fitting(all_cures, lines - others);
  lines -= linesOf(cures);
  std::string out = fitting(findings, lines - leastLines(reasons) - note_lines);
  lines -= linesOf(out);
  const std::string told = fitting(reasons, lines - note_lines);
  lines -= linesOf(told);
  const std::string noted =
      leastLines(notes) > lines && !notes.all.empty()
          ? "  - notes not told here: " + std::to_string(notes.all.size()) + "\n"
          : fitting(notes, lines);
  return out + tolerance + hazards + told + noted + cures;
}

std::string briefGate(const GateSpec& spec, const Layout& layout) {
  std::string text = spec.job.title.empty() ? "Telescopic sliding gate" : spec.job.title;
  text += ": " + shown(layout.opening_mm) + " mm opening, " + std::to_string(layout.panel_count) +
          (layout.panel_count == 1 ? " panel, opens to the " : " panels, opens to the ") +
          (spec.site.opens == Hand::kRight ? "right" : "left") + " as seen from the road; " +
          std::string(nameOf(spec.guides.mount)) + ", " + spec.drive.motor.name + " motor.";
  std::string out = wrapped(text, "  ", "  ");
  for (const ChosenValue& one : spec.chosen) {
    out += wrapped(one.pointer + " is " + one.value + ", chosen.", "  ", "    ");
  }
  return out;
}

std::string briefRoom(const Layout& layout) {
  std::string text = "Room beyond the opening: " + shown(layout.room_total_mm) + " mm, " +
                     shown(layout.room_total_mm - layout.room_mm) + " of them for the end stops";
  if (layout.room_given) {
    const double margin = layout.room_given_mm - layout.room_total_mm;
    text += "; " + shown(layout.room_given_mm) + " mm given, " + shown(std::abs(margin)) +
            (layout.fits ? " mm to spare" : " mm too little");
  }
  text += ". What binds is the " + std::string(ruleOf(layout.binding).name) + ".";
  return wrapped(text, "  ", "  ");
}

/// What of the wind's way into the ground nobody has judged.
std::string uncheckedOf(const GateSpec& spec, const StructureReport& structure) {
  std::vector<std::string> parts;
  if (spec.site.dowel_mm > 0) {
    parts.emplace_back("what bonds the tracks' dowels");
  }
  const auto any = [&](const auto& lacks) {
    return std::any_of(structure.posts.begin(), structure.posts.end(), lacks);
  };
  if (any([](const StructurePost& post) { return post.block && !post.block->soil_use; })) {
    parts.emplace_back("what the ground bears (footing.soil_kPa)");
  }
  if (any([](const StructurePost& post) {
        return post.anchors && !(post.anchors->cone_use && post.anchors->pull_use);
      })) {
    parts.emplace_back("anchors in full (footing)");
  }
  std::string text;
  for (const std::string& part : parts) {
    text += (text.empty() ? "" : ", ") + part;
  }
  return text;
}

std::string briefLoads(const GateSpec& spec, const LoadReport& loads) {
  const DriveRow& drive = loads.drive;
  std::string out = wrapped("The drive moves " + shown(drive.moving_mass_kg, 0) + " kg and takes " +
                                shown(drive.required_force_N, 0) + " N to start. It opens in " +
                                shown(drive.time.total_s, 1) + " s, the front panel at " +
                                shown(drive.front_speed_mm_s, 0) + " mm/s.",
                            "  ", "  ");
  const StructureReport& structure = loads.structure;
  if (structure.problem.empty() && !structure.members.empty()) {
    const auto most = std::max_element(
        structure.members.begin(), structure.members.end(),
        [](const StructureMember& a, const StructureMember& b) { return a.use < b.use; });
    out += wrapped(
        "In a wind of " + shown(loads.wind.velocity_pressure_Pa, 0) + " Pa (" + loads.wind.basis +
            ") " + (most->panel > 0 ? "panel " + std::to_string(most->panel) + "'s " : "the ") +
            most->name + " takes " + shown(100 * most->use, 0) +
            " % of what it bears. The frame moves " + shown(structure.deflection_mm, 0) +
            " mm across the track of " + shown(structure.deflection_limit_mm, 0) + " mm allowed.",
        "  ", "  ");
  }
  const std::string unchecked = uncheckedOf(spec, structure);
  return unchecked.empty() ? out : out + wrapped("Not checked: " + unchecked + ".", "  ", "  ");
}

std::string briefClash(const ClashReport& clash) {
  std::string text = std::to_string(clash.pairs_checked) +
                     " pairs of parts checked through the whole travel" +
                     (clash.proved_between_positions ? "" : ", not all of them proved");
  const bool nothing_meets = clash.verdict == Verdict::kClear || clash.verdict == Verdict::kTight;
  if (nothing_meets && !clash.least_clearance_between.empty()) {
    text += ". Nearest without touching: " + shown(clash.least_clearance_mm) + " mm, " +
            clash.least_clearance_between;
  }
  const std::string built =  // else it stands in what to do
      clash.as_built.pairs_that_can_meet == 0 ? asBuiltText(clash.as_built) : "";
  return wrapped(text + ".", "  ", "  ") + built + againstText(clash.against);
}

}  // namespace

std::string verdictAndTasks(const Advice& advice, const ClashReport* clash,
                            const std::vector<std::string>& misfit, long other_lines) {
  const std::string verdict = verdictLine(advice, clash) + "\nWhat to do\n";
  std::string to_do;
  for (const std::string& line : misfit) {
    to_do += item(line);
  }
  const long lines = kMostLines - other_lines;
  to_do += tasks(advice, clash, lines - linesOf(verdict) - linesOf(to_do));
  return to_do.empty() ? verdictLine(advice, clash) : verdict + to_do;
}

std::string quietText(const Advice& advice, const ClashReport* clash) {
  return verdictLine(advice, clash) + joined(findingItems(advice.warnings, clash)) +
         toleranceItem(clash) + joined(hazardItems(advice.warnings)) +
         joined(reasonItems(advice.warnings));
}

std::string briefText(const ReportContents& contents, const std::vector<std::string>& misfit) {
  const Layout& layout = *contents.layout;
  std::string out = "\nLayout\n" + briefGate(*contents.spec, layout) + briefRoom(layout);
  if (contents.schedules != nullptr) {
    out += briefLoads(*contents.spec, contents.schedules->loads);
  }
  if (contents.clash != nullptr) {
    out += briefClash(*contents.clash);
  }
  out += contents.as_built != nullptr ? builtText(*contents.as_built) : "";
  out += panelTable(layout, contents.schedules);
  const std::size_t count = cautions(contents.spec->hardware).size();
  out += "\n" +
         wrapped("Cautions: automatic gates crush and shear. Read all " + std::to_string(count) +
                     " before building: check --full, which also has every figure.",
                 "", "  ");
  return verdictAndTasks(contents.advice, contents.clash, misfit, linesOf(out)) + out;
}

}  // namespace leafstack
