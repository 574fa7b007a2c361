#include "exporters/as_built/built_pages.h"

#include <algorithm>

#include "exporters/as_built/budget_section.h"
#include "exporters/as_built/measuring_picture.h"
#include "exporters/office/html.h"
#include "generator/as_built/built/measures.h"
#include "generator/as_built/built_warnings.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr const char* kTickBox = "\u2610";

std::vector<office::Cells> measureRows(const std::vector<Measure>& measures, int panel) {
  std::vector<office::Cells> rows;
  for (const Measure& one : measures) {
    if (one.panel == panel) {
      rows.push_back({one.letter, one.what, one.key, ">" + shown(one.drawn_mm, 1), "", ""});
    }
  }
  return rows;
}

}  // namespace

std::string measuringPage(const Model& model, const Provenance& provenance) {
  const GateSpec& spec = model.spec;
  const Layout& layout = model.layout;
  const PaperWords& say = englishWords();
  const std::vector<Measure> measures = measuresOf(spec, layout);
  const office::Cells head = {"",          "what",        "key below /as_built",
                              ">drawn mm", "measured mm", "again"};
  std::string body = office::paragraph(
      "Measure with the gate closed, in the order of the list: the site first, then each panel "
      "from "
      "the back one. X is from the face of the latch-side post, heights from the driveway on the "
      "front track at that post. Write whole or half millimetres; what you do not measure is taken "
      "as drawn. Take each dimension twice.");
  body += office::paragraph(
      "Before anybody stands beside or between the panels the drive must be off, locked, and the "
      "gate held: it may run on a slope once it is released.",
      "warn");
  body += office::heading("Site") + office::figure(sitePicture(spec, layout)) +
          office::table(head, measureRows(measures, 0), "form");
  body += office::heading("Tracks") +
          office::paragraph(
              "Level along every track, on its upper edge, from one datum: at least both ends, the "
              "middle and every place that looks high or low, as [X, height] below "
              "/as_built/tracks_mm, back track first. A track is right where its height is what it "
              "is drawn with for X = 0, whatever the slope.") +
          trackTable(layout);
  for (int k = 1; k <= layout.panel_count; ++k) {
    body += "<section class=\"keep\">\n" + office::heading("Panel " + std::to_string(k)) +
            office::figure(panelPicture(layout, k)) +
            office::table(head, measureRows(measures, k), "form") + "</section>\n";
  }
  body += office::paragraph(
      "Instrument and how far it may be out, mm (as_built.uncertainty_mm): ______");
  body += office::signatures({"Measured by", "Date, temperature"});
  body += budgetSection(toleranceBudget(model));
  return office::page(say, "Measuring sheet", spec.job, provenance, body);
}

std::string adjustmentPage(const GateSpec& spec, const Corrected& corrected,
                           const Provenance& provenance) {
  std::string body =
      office::paragraph(inWords(corrected) + ".", corrected.verdict == BuiltVerdict::kRemake ||
                                                          corrected.verdict == BuiltVerdict::kCannot
                                                      ? "warn"
                                                      : "");
  std::vector<office::Cells> rows;
  for (const Adjustment& one : corrected.adjustments) {
    rows.push_back({">" + std::to_string(rows.size() + 1), one.what, one.where, one.text,
                    ">" + std::string(one.by_mm > 0 ? "+" : "") + shown(one.by_mm, 1), kTickBox});
  }
  if (!rows.empty()) {
    body +=
        office::table({">", "what", "where", "which way and how much", ">mm", ""}, rows, "form");
  }
  std::vector<office::Cells> shims;
  for (const TrackShim& one : corrected.shims) {
    shims.push_back({"track " + std::to_string(one.track), ">" + shown(one.x_mm, 0),
                     ">" + shown(one.shim_mm, 1), ">" + shown(one.grind_mm, 1), kTickBox});
  }
  if (!shims.empty()) {
    body += office::smallHeading("Shims under the tracks") +
            office::table({"", ">X mm", ">shim mm", ">ground off mm", ""}, shims, "form");
  }
  if (!corrected.contradictions.empty()) {
    body += office::smallHeading("To be measured again") + office::list(corrected.contradictions);
  }
  if (!corrected.unmet.empty()) {
    body += office::smallHeading("What nothing serves") + office::list(corrected.unmet);
  }
  body += office::paragraph(
      "Drive off and locked, gate held, nobody between the panels. Afterwards move the gate by "
      "hand "
      "through its whole travel, measure again what was set, and check that both stops hold and no "
      "panel can rise or fall. Nothing here judges strength: what was cut or moved may need the "
      "engineer's word.",
      "warn");
  body += office::signatures({"Set by", "Checked by, date"});
  return office::page(englishWords(), "Adjustment sheet", spec.job, provenance, body);
}

}  // namespace leafstack
