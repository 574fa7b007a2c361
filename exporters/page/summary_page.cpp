#include "exporters/page/summary_page.h"

#include <cmath>
#include <initializer_list>
#include <utility>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/xml_text.h"
#include "exporters/lists/report/summary.h"
#include "exporters/page/compare_page.h"
#include "exporters/page/deflected_figure.h"
#include "exporters/paper/backends/svg.h"
#include "exporters/paper/sheets/travel_diagram.h"
#include "generator/geometry/numbers.h"
#include "generator/loads/sheet.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

constexpr std::string_view kStyle =
    "body{font:15px/1.45 \"DejaVu Sans\",Verdana,Arial,sans-serif;color:#1f2a31;margin:0 auto;"
    "max-width:1080px;padding:24px}\n"
    "h1{font-size:26px;margin:0;overflow-wrap:anywhere}h2{font-size:19px;margin:34px 0 8px;"
    "border-bottom:2px solid #b8701a;padding-bottom:4px}h3{font-size:16px;margin:22px 0 4px}\n"
    "p{margin:6px 0}.sub{color:#53616a}.note{color:#53616a;font-size:13.5px}\n"
    "figure{margin:14px 0;box-sizing:border-box;border:1px solid #d4dade}figure "
    "svg{display:block;width:100%;height:auto}figcaption{font-size:13.5px;color:#53616a;"
    "padding:2px 14px 8px}\n"
    "table{border-collapse:collapse;width:100%;margin:8px 0;font-size:13.5px}\n"
    "th,td{border-bottom:1px solid #d4dade;padding:4px 8px 4px 0;text-align:left;"
    "vertical-align:top}th{font-weight:600;color:#53616a}\n"
    "td.n,th.n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums}\n"
    "@media screen and (max-width:900px){table{display:block;overflow-x:auto}}\n"
    ".key{display:flex;flex-wrap:wrap;gap:10px;margin:14px 0}\n"
    ".key div{border:1px solid #d4dade;padding:8px 14px;min-width:150px}\n"
    ".key b{display:block;font-size:20px}.key span{font-size:13px;color:#53616a}\n"
    ".cure{margin:-4px 0 8px 24px;font-size:.92em;overflow-wrap:anywhere}\n"
    ".warn{border-left:5px solid #c0392b;background:#fbf1ef;padding:8px 14px;margin:8px 0}\n"
    ".ok{border-left:5px solid #2d7d46;background:#eff7f1;padding:8px 14px;margin:8px 0}\n"
    ".caution{border:2px solid #b8701a;padding:6px 18px}\n"
    "@media print{body{max-width:none;padding:0;font-size:11.5px}table{font-size:10.5px}"
    "h2,h3,h2+p,h3+p,thead{break-after:avoid}p,tr,figure,.warn{break-inside:avoid}"
    ".sheet th:first-child{width:23%}.sheet th:nth-child(2){width:37%}.sheet "
    "th:last-child{width:17%}"
    "figure svg{max-height:330px}}\n";

/// A cell that starts with '>' is set right in one line, as numbers are, unless it is long.
using Cells = std::vector<std::string>;
constexpr std::size_t kLongestNumber = 32;

std::string escaped(std::string_view text) {
  return xmlEscaped(text);
}

std::string row(const Cells& cells, const char* tag) {
  std::string out = "<tr>";
  for (const std::string& cell : cells) {
    const bool is_right = !cell.empty() && cell.front() == '>';
    const bool is_number = is_right && cell.size() <= kLongestNumber;
    out += "<" + std::string(tag) + (is_number ? " class=\"n\">" : ">") +
           escaped(is_right ? std::string_view(cell).substr(1) : std::string_view(cell)) + "</" +
           tag + ">";
  }
  return out + "</tr>\n";
}

std::string table(const Cells& head, const std::vector<Cells>& rows) {
  std::string out = "<table>\n<thead>" + row(head, "th") + "</thead>\n<tbody>\n";
  for (const Cells& cells : rows) {
    out += row(cells, "td");
  }
  return out + "</tbody>\n</table>\n";
}

std::string paragraph(std::string_view text, const char* kind = "") {
  return "<p" + (*kind == '\0' ? "" : " class=\"" + std::string(kind) + "\"") + ">" +
         escaped(text) + "</p>\n";
}

std::string heading(std::string_view text) {
  return "<h2>" + escaped(text) + "</h2>\n";
}

/// The picture without the prologue that only a file of its own needs.
std::string figure(const std::string& svg) {
  return "<figure>\n" + svg.substr(svg.find("<svg")) + "</figure>\n";
}

/// Where every panel goes.
std::string travelFigure(const Model& model, const Provenance& provenance) {
  return figure(drawingSvg(travelPicture(model), provenance));
}

std::string head(const Model& model, const Provenance& provenance) {
  const JobSpec& job = model.spec.job;
  const std::string title = job.title.empty() ? "Telescopic sliding gate" : job.title;
  std::string out = "<h1>" + escaped(title) + "</h1>\n";
  std::string about;
  const std::initializer_list<std::pair<const char*, const std::string*>> kFields = {
      {"number ", &job.number},
      {"for ", &job.client},
      {"drawn by ", &job.drawn_by},
      {"checked by ", &job.checked_by},
      {"", &job.date}};
  for (const auto& [words, value] : kFields) {
    if (!value->empty()) {
      about += (about.empty() ? "" : ", ") + std::string(words) + *value;
    }
  }
  if (!about.empty()) {
    out += paragraph(about, "sub");
  }
  return out +
         paragraph("Made by " + programName() + " at " + provenance.timestamp + " from input " +
                       provenance.input_sha256.substr(0, 12) + ". Lengths mm, forces N, masses kg.",
                   "note");
}

std::string key(const std::string& figure_text, const std::string& words) {
  return "<div><b>" + escaped(figure_text) + "</b><span>" + escaped(words) + "</span></div>\n";
}

std::string keyFigures(const Layout& layout, const LoadReport& loads) {
  const DriveRow& drive = loads.drive;
  std::string out = "<div class=\"key\">\n";
  out += key(shown(layout.opening_mm) + " mm", "opening");
  out += key(shown(layout.room_total_mm) + " mm", "room beyond it");
  out += key(std::to_string(layout.panel_count), layout.panel_count == 1 ? "panel" : "panels");
  out += key(shown(drive.moving_mass_kg, 0) + " kg", "moving");
  out += key(shown(drive.required_force_N, 0) + " N", "to start, at the pinion");
  if (layout.panel_count > 1) {
    out += key(shown(drive.ratio_to_single) + " x", "one panel of that mass");
  }
  out += key(shown(drive.time.total_s, 1) + " s", "to open");
  out += key(shown(drive.front_speed_mm_s, 0) + " mm/s", "front panel");
  return out + "</div>\n";
}

std::string warningsText(const Advice& advice, const ClashReport& clash) {
  const bool fine = clash.verdict == Verdict::kClear;
  std::string out = heading("Clash check and warnings");
  out += paragraph(clashLine(clash), fine ? "" : "warn");
  for (const Warning& warning : advice.warnings) {
    out += paragraph(inWords(warning), "warn");
    if (warning.cure.tried > 0) {
      out += paragraph(inWords(warning.cure), "cure");
    }
  }
  if (advice.together.tried > 0) {
    out += paragraph(
        "For " + std::string(advice.together.leaves.empty() ? "the whole gate" : "what meets") +
            ": " + inWords(advice.together),
        "cure");
  }
  return out;
}

std::string panelTable(const Layout& layout, const LoadReport& loads) {
  std::vector<Cells> rows;
  for (const PanelLayout& panel : layout.panels) {
    const PanelLoad& load = loads.panels.at(panel.number - 1);
    rows.push_back({">" + std::to_string(panel.number), ">" + shown(panel.length_mm, 1),
                    ">" + shown(panel.speed_ratio), ">" + shown(panel.travel_mm, 1),
                    ">" + shown(panel.overlap_mm, 1), ">" + fixedDecimals(load.mass.mass_kg, 1),
                    ">" + shown(load.leading_wheel_N, 0), ">" + shown(load.trailing_wheel_N, 0)});
  }
  return heading("Panels, back to front") +
         table({">panel", ">length mm", ">speed x", ">travel mm", ">overlap mm", ">mass kg",
                ">leading wheel N", ">trailing wheel N"},
               rows);
}

std::string orderText(const Schedules& schedules) {
  const LoadReport& loads = schedules.loads;
  const DriveRow& drive = loads.drive;
  std::string out = heading("What to order");
  std::vector<Cells> rows = {{"", "motor, " + drive.motor + " size",
                              "at least " + shown(drive.required_force_N, 0) +
                                  " N at the pinion, " + shown(drive.torque_Nm, 1) + " N m, " +
                                  shown(drive.pinion_rpm, 1) + " rpm, " +
                                  shown(drive.peak_power_W, 0) + " W; holds " +
                                  shown(drive.holding_force_N, 0) + " N when off",
                              ">1"}};
  for (const RopeRow& rope : loads.ropes) {
    rows.push_back({rope.mark, rope.opening ? "opening rope" : "closing rope",
                    rope.construction + " dia " + shown(rope.diameter_mm) + ", cut " +
                        shown(rope.order_length_mm, 0) + " mm, " + rope.termination +
                        ", adjuster of " + shown(rope.adjuster_mm) + " mm thread set mid-way",
                    ">1"});
  }
  for (const BillRow& bill : schedules.bill) {
    const bool is_rope = bill.material == "rope";
    if (bill.supply == "bought in" && !is_rope) {
      std::string what = bill.description;
      for (const std::string& words : {bill.words.item, bill.words.supplier, bill.words.finish}) {
        what += words.empty() ? "" : "; " + words;
      }
      rows.push_back({bill.mark, bill.name, what, ">" + std::to_string(bill.quantity)});
    }
  }
  return out + table({"mark", "part", "what", ">number"}, rows) +
         paragraph(
             "Tubes, bars and plates: tables/cut-list.csv. Everything bought or found on "
             "site: tables/bill.csv. Ropes in full: tables/ropes.csv.",
             "note");
}

std::string deflectedText(const Model& model, const StructureReport& structure) {
  const std::string figures = deflectedFigures(structure, model.opening_sign);
  if (figures.empty()) {
    return "";
  }
  return heading("How the wind moves it") +
         paragraph(
             "Members and posts of the frame, seen from the road, at the three positions that are "
             "judged and under the wind that moves it most there. Formulas: the calculation "
             "sheet's "
             "last section.",
             "note") +
         figures;
}

/// One row for each force and moment that some case of a state has; the cases side by side.
std::vector<Cells> reactionRows(const std::vector<const CaseReactions*>& cases) {
  struct Column {
    const char* words;
    double (*of)(const Reaction&);
  };
  constexpr double kLeast = 0.5;  // that is not written 0
  static constexpr Column kColumns[] = {
      {"across, N", [](const Reaction& one) { return one.force_N[1]; }},
      {"up, N", [](const Reaction& one) { return one.force_N[2]; }},
      {"along, N", [](const Reaction& one) { return one.force_N[0]; }},
      {"about the track, N m", [](const Reaction& one) { return one.moment_Nm[0]; }},
      {"about the line across, N m", [](const Reaction& one) { return one.moment_Nm[1]; }},
      {"twist, N m", [](const Reaction& one) { return one.moment_Nm[2]; }}};
  std::vector<Cells> rows;
  for (std::size_t place = 0; place < cases.front()->at.size(); ++place) {
    for (const Column& column : kColumns) {
      Cells cells = {cases.front()->at[place].what + ", " + column.words};
      bool is_any = false;
      for (const CaseReactions* one : cases) {
        const double value = column.of(one->at.at(place));
        is_any = is_any || std::abs(value) >= kLeast;
        cells.push_back(">" + shown(value, 0));
      }
      if (is_any) {
        rows.push_back(std::move(cells));
      }
    }
  }
  return rows;
}

std::string reactionsText(const StructureReport& structure) {
  if (structure.reactions.empty()) {
    return "";
  }
  std::string out =
      heading("What holds the gate, case by case") +
      paragraph(
          "The loads as they are, without factors. Across is from road to property, along in the "
          "opening direction. Wheels, posts and brackets: what track and ground do to them; guide "
          "blocks: what pulls on one; receivers: what they do to the front panel. A wheel that its "
          "groove does not hold leaves all that pushes it sideways to its track keeper.",
          "note");
  std::vector<std::pair<std::string, std::vector<const CaseReactions*>>> states;
  for (const CaseReactions& one : structure.reactions) {
    const std::string state = one.case_name.substr(0, one.case_name.find(','));
    if (states.empty() || states.back().first != state) {
      states.push_back({state, {}});
    }
    states.back().second.push_back(&one);
  }
  for (const auto& [state, cases] : states) {
    Cells head = {state};
    for (const CaseReactions* one : cases) {
      head.push_back(">" + one->case_name.substr(state.size() + 2));
    }
    out += table(head, reactionRows(cases));
  }
  return out;
}

std::string sheetText(const Model& model, const LoadReport& loads) {
  std::string out = "<div class=\"sheet\">" + heading("Calculation sheet");
  out += paragraph(
      "An aid to a competent person, to be checked line by line by a licensed engineer. Row ids of "
      "the sources: params/catalogue/SOURCES.md of the program, or the list below.",
      "note");
  for (const SheetSection& section : calculationSheet(model, loads)) {
    out += "<h3>" + escaped(section.title) + "</h3>\n";
    if (!section.note.empty()) {
      out += paragraph(section.note, "note");
    }
    std::vector<Cells> rows;
    for (const SheetLine& line : section.lines) {
      rows.push_back({line.what, line.formula, ">" + line.value, line.source});
    }
    out += table({"what", "formula", ">value", "source"}, rows);
  }
  return out + "</div>\n";
}

std::string safetyText() {
  std::string out = heading("Published figures for power-operated gates");
  std::vector<Cells> rows;
  for (const SafetyFigure& figure : safetyFigures()) {
    rows.push_back({figure.row, figure.text, figure.source});
  }
  out += table({"row", "figure", "source"}, rows);
  return out + paragraph(
                   "As the sources quote them; the standards themselves, your local code and "
                   "the measured gate decide.",
                   "note");
}

std::string sourcesText() {
  std::vector<Cells> rows;
  for (const SourceRow& source : sourceRows()) {
    rows.push_back({source.row, source.what, source.source});
  }
  return heading("Sources") + table({"row", "what", "source"}, rows);
}

std::string cautionsText(const HardwareSpec& shelf) {
  std::string out = heading("Cautions") + "<ul class=\"caution\">\n";
  for (const std::string& caution : cautions(shelf)) {
    out += "<li>" + escaped(caution) + "</li>\n";
  }
  return out + "</ul>\n";
}

}  // namespace

std::string summaryPage(const SummaryContents& contents, const Provenance& provenance) {
  const Model& model = contents.model;
  const Schedules& schedules = contents.schedules;
  const JobSpec& job = model.spec.job;
  const std::string title = job.title.empty() ? "Telescopic sliding gate" : job.title;
  std::string out =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
      escaped(title) + "</title>\n<style>\n" + std::string(kStyle) + "</style>\n</head>\n<body>\n";
  const GateVerdict verdict = gateVerdict(contents.advice.warnings, &contents.clash);
  out += head(model, provenance) +
         paragraph(inWords(verdict), verdict.is_ready && verdict.provisos.empty() ? "ok" : "warn");
  out += keyFigures(model.layout, schedules.loads);
  out += figure(contents.closed_picture) + figure(contents.open_picture);
  out += travelFigure(model, provenance);
  out += warningsText(contents.advice, contents.clash) + panelTable(model.layout, schedules.loads);
  out += orderText(schedules) + comparisonSection(model.spec, model.layout.panel_count);
  out += deflectedText(model, schedules.loads.structure);
  out += reactionsText(schedules.loads.structure) + sheetText(model, schedules.loads);
  out += safetyText() + cautionsText(model.spec.hardware) + sourcesText();
  return out + "</body>\n</html>\n";
}

}  // namespace leafstack
