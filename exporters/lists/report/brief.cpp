// The brief text: what one needs to know first (declared in summary.h).
#include <algorithm>
#include <cmath>

#include "exporters/bytes/rounding.h"
#include "exporters/lists/report/summary.h"
#include "exporters/lists/text/plain_text.h"
#include "generator/geometry/numbers.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

// So many that the whole stays under 40 lines.
constexpr std::size_t kBriefFindings = 4, kBriefReasons = 5, kBriefNotes = 3;
constexpr const char* kMore = "  - ... and ";

std::string item(const std::string& text) {
  return wrapped(text, "  - ", "    ");
}

std::string moreThan(std::size_t count, std::size_t shown_ones, const char* what) {
  return count > shown_ones ? kMore + std::to_string(count - shown_ones) + " more " + what + "\n"
                            : "";
}

std::string firstSentence(const std::string& text) {
  return text.substr(0, text.find(". "));
}

std::string withPlace(const std::string& text, const Warning& warning) {
  return text + (warning.where.empty() ? "" : " (" + warning.where + ")");
}

std::string findingItems(const ClashReport& clash, std::size_t most) {
  std::string out;
  for (std::size_t i = 0; i < std::min(clash.findings.size(), most); ++i) {
    const Finding& finding = clash.findings[i];
    out += item((finding.status == FindingStatus::kNew ? "new: " : "") + finding.text);
  }
  return out + moreThan(clash.findings.size(), most, "findings");
}

/// Up to `most` of the warnings that are wanted, as `words` puts them.
template <typename Wanted, typename Words>
std::string warningItems(const std::vector<Warning>& warnings, std::size_t most, const char* what,
                         const Wanted& wanted, const Words& words) {
  std::string out;
  std::size_t count = 0;
  for (const Warning& warning : warnings) {
    if (wanted(warning)) {
      out += ++count <= most ? item(words(warning)) : "";
    }
  }
  return out + moreThan(count, most, what);
}

std::string hazardItems(const std::vector<Warning>& warnings) {
  return warningItems(
      warnings, warnings.size(), "", [](const Warning& one) { return one.is_hazard; },
      [](const Warning& one) { return inWords(one); });
}

/// Of the whole gate; where nothing brings that, of what tells against it one by one.
std::string cureItems(const Advice& advice) {
  std::string out;
  if (advice.together.sets.empty()) {
    for (const Warning& warning : advice.warnings) {
      if (!warning.cure.sets.empty()) {
        out += item(warning.in_short + ":") + cureLines(warning.cure);
      }
    }
  }
  if (advice.together.tried > 0 && (out.empty() || !advice.together.sets.empty())) {
    out += item(advice.together.leaves.empty() ? "for the whole gate:" : "for what meets:") +
           cureLines(advice.together);
  } else if (out.empty()) {
    const auto tried = std::find_if(advice.warnings.begin(), advice.warnings.end(),
                                    [](const Warning& warning) { return warning.cure.tried > 0; });
    out += tried == advice.warnings.end() ? "" : cureLines(tried->cure);
  }
  return out;
}

std::string verdictLine(const Advice& advice, const ClashReport* clash) {
  return wrapped(inWords(gateVerdict(advice.warnings, clash)), "", "  ");
}

std::string tasks(const Advice& advice, const ClashReport* clash) {
  const std::vector<Warning>& all = advice.warnings;
  std::string out = clash == nullptr ? "" : findingItems(*clash, kBriefFindings);
  out += hazardItems(all);
  out += warningItems(
      all, kBriefReasons, "that tell against the gate",
      [](const Warning& one) { return !one.is_hazard && one.against != Against::kNothing; },
      [](const Warning& one) { return withPlace(one.in_short, one); });
  out += warningItems(
      all, kBriefNotes, "to note",
      [](const Warning& one) { return !one.is_hazard && one.against == Against::kNothing; },
      [](const Warning& one) { return withPlace(firstSentence(one.text), one); });
  return out + cureItems(advice);
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

std::string briefLoads(const LoadReport& loads) {
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
  std::string unchecked;
  for (const StructurePost& post : structure.posts) {
    if (post.block && !post.block->soil_use) {
      unchecked = "what the ground bears (footing.soil_kPa)";
    }
  }
  for (const StructurePost& post : structure.posts) {
    if (post.anchors && !(post.anchors->cone_use && post.anchors->pull_use)) {
      unchecked += (unchecked.empty() ? "" : ", ") + std::string("anchors in full (footing)");
      break;
    }
  }
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
  return wrapped(text + ".", "  ", "  ") + asBuiltText(clash.as_built) + againstText(clash.against);
}

}  // namespace

std::string verdictAndTasks(const Advice& advice, const ClashReport* clash,
                            const std::vector<std::string>& misfit) {
  std::string to_do;
  for (const std::string& line : misfit) {
    to_do += item(line);
  }
  to_do += tasks(advice, clash);
  return verdictLine(advice, clash) + (to_do.empty() ? "" : "\nWhat to do\n" + to_do);
}

std::string quietText(const Advice& advice, const ClashReport* clash) {
  return verdictLine(advice, clash) +
         (clash == nullptr ? "" : findingItems(*clash, clash->findings.size())) +
         hazardItems(advice.warnings);
}

std::string briefText(const ReportContents& contents, const std::vector<std::string>& misfit) {
  const Layout& layout = *contents.layout;
  std::string out = verdictAndTasks(contents.advice, contents.clash, misfit);
  out += "\nLayout\n" + briefGate(*contents.spec, layout) + briefRoom(layout);
  if (contents.schedules != nullptr) {
    out += briefLoads(contents.schedules->loads);
  }
  if (contents.clash != nullptr) {
    out += briefClash(*contents.clash);
  }
  out += panelTable(layout, contents.schedules);
  const std::size_t count = cautions(contents.spec->hardware).size();
  out += "\n" +
         wrapped("Cautions: automatic gates crush and shear. Read all " + std::to_string(count) +
                     " before building: check --full, which also has every figure.",
                 "", "  ");
  return out;
}

}  // namespace leafstack
