#include "exporters/page/review_page.h"

#include <map>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/xml_text.h"
#include "exporters/page/review/bundle.h"
#include "exporters/page/review_data.h"
#include "generator/geometry/numbers.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

/// JSON that may stand in a script element: no '<' in it.
std::string inScript(const std::string& json) {
  std::string out;
  out.reserve(json.size());
  for (const char c : json) {
    if (c == '<') {
      out += "\\u003c";
    } else {
      out.push_back(c);
    }
  }
  return out;
}

std::string element(const char* tag, std::string_view text) {
  std::string out = "<" + std::string(tag);
  out += ">" + xmlEscaped(text) + "</";
  out += tag;
  return out + ">";
}

std::string titleOf(const Model& model) {
  const std::string& title = model.spec.job.title;
  return title.empty() ? "Telescopic sliding gate" : title;
}

std::string aboutText(const Model& model) {
  const JobSpec& job = model.spec.job;
  const Layout& layout = model.layout;
  std::string out;
  for (const auto& [words, value] : {std::pair<const char*, const std::string*>{"", &job.number},
                                     {"for ", &job.client},
                                     {"drawn by ", &job.drawn_by},
                                     {"checked by ", &job.checked_by},
                                     {"approved by ", &job.approved_by},
                                     {"revision ", &job.revision},
                                     {"", &job.date}}) {
    if (!value->empty()) {
      out += words + *value + " · ";
    }
  }
  out += shown(layout.opening_mm) + " mm opening · " + std::to_string(layout.panel_count);
  out += layout.panel_count == 1 ? " panel · " : " panels · ";
  out += "opens to the " + std::string(model.opening_sign > 0 ? "right" : "left") + " · ";
  return out + "needs " + shown(layout.room_total_mm) + " mm of room";
}

std::string cell(const char* head, double value_mm) {
  return "<td class=\"n\" data-head=\"" + std::string(head) + "\">" + shown(value_mm) + "</td>";
}

/// What build errors can bring together, of gates that name a tolerance.
std::string asBuiltTable(const AsBuilt& built) {
  if (!(built.tolerance_mm > 0)) {
    return "";
  }
  std::string out = "<p>With every panel out of place by the build tolerance of ";
  out += shown(built.tolerance_mm) + " mm, " + std::to_string(built.pairs_that_can_meet);
  out +=
      " pairs of parts can meet. The tightest:</p>\n<table><thead><tr><th>no.</th><th>what</th>"
      "<th>as drawn</th><th>left</th><th>tolerance allowed</th><th>at</th></tr></thead><tbody>\n";
  for (std::size_t i = 0; i < built.pairs.size(); ++i) {
    const BuiltPair& pair = built.pairs[i];
    out += "<tr data-built=\"" + std::to_string(i) + "\"><td>" + std::to_string(i + 1) + "</td>";
    out += element("td", inWords(pair.a) + " and " + inWords(pair.b));
    out += cell("as drawn", pair.as_drawn_mm) + cell("left", pair.left_mm);
    out += cell("allows", pair.allowed_mm) + cell("at", pair.at_mm) + "</tr>\n";
  }
  return out + "</tbody></table>\n";
}

std::string findingsTable(const ClashReport& clash) {
  if (clash.findings.empty()) {
    return "<p>As drawn, no two parts meet that should not.</p>\n";
  }
  std::string out =
      "<table><thead><tr><th>no.</th><th>what</th><th>from</th><th>to</th><th>measured at</th>"
      "<th>clearance</th><th>required</th><th>depth</th></tr></thead><tbody>\n";
  for (std::size_t i = 0; i < clash.findings.size(); ++i) {
    const Finding& finding = clash.findings[i];
    const std::string number = std::to_string(i + 1);
    out += "<tr data-finding=\"" + std::to_string(i) + "\"><td>" + number + "</td>";
    out += element("td", finding.text);
    out += cell("from", finding.fromMm()) + cell("to", finding.toMm());
    out += cell("measured at", finding.worst_at_mm) + cell("clearance", finding.clearance_mm);
    out += cell("required", finding.required_mm) + cell("depth", finding.depth_mm) + "</tr>\n";
  }
  return out + "</tbody></table>\n";
}

/// Whoever reads without scripts has them too.
std::string remarksTable(const nlohmann::ordered_json& remarks) {
  if (remarks.empty()) {
    return "<p id=\"no-remarks\">None were read (--remarks).</p>\n";
  }
  std::string out =
      "<table><thead><tr><th>no.</th><th>remark</th><th>about</th><th>by</th><th>status</th></tr>"
      "</thead><tbody>\n";
  for (std::size_t i = 0; i < remarks.size(); ++i) {
    const auto& one = remarks[i];
    const std::string description = one.at("description");
    std::string words = xmlEscaped(one.at("title").get<std::string>());
    if (const std::string title = one.at("title"); description.starts_with(
            title.ends_with(" \u2026") ? title.substr(0, title.rfind(" \u2026")) : title)) {
      words = xmlEscaped(description);  // which the title only begins
    } else if (!description.empty()) {
      words += "<br>" + xmlEscaped(description);
    }
    for (const auto& comment : one.at("comments")) {
      words += "<br>" + xmlEscaped(comment.at("author").get<std::string>() + ": " +
                                   comment.at("text").get<std::string>());
    }
    std::string about;
    for (const auto& part : one.at("parts")) {
      about += (about.empty() ? "" : ", ") + part.get<std::string>();
    }
    if (const int gone = one.at("parts_gone"); gone > 0) {
      about += about.empty() ? "" : "; ";
      about += std::to_string(gone) + (gone == 1 ? " part" : " parts") + " of before, gone";
    }
    out += "<tr data-remark=\"" + std::to_string(i) + "\"><td>" + std::to_string(i + 1) +
           "</td><td>" + words + "</td>" + element("td", about) +
           element("td", one.at("author").get<std::string>()) +
           element("td", one.at("status").get<std::string>()) + "</tr>\n";
  }
  return out + "</tbody></table>\n";
}

std::string listOf(const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& line : lines) {
    out += element("li", line) + "\n";
  }
  return out;
}

std::string warningsText(const Advice& advice) {
  if (advice.warnings.empty()) {
    return "<p>None.</p>";
  }
  std::vector<std::string> lines;
  for (const Warning& warning : advice.warnings) {
    lines.push_back(inWords(warning) +
                    (warning.cure.tried > 0 ? " " + inWords(warning.cure) : std::string()));
  }
  if (advice.together.tried > 0) {
    lines.push_back("For " +
                    std::string(advice.together.leaves.empty() ? "the whole gate" : "what meets") +
                    ": " + inWords(advice.together));
  }
  return "<ul>\n" + listOf(lines) + "</ul>";
}

std::string motionWords(double within_mm) {
  return within_mm > 0 ? "here, on a surveyed track, within " + shown(within_mm, 3) + " mm"
                       : std::string("exactly");
}

/// Puts each value in the place of its {{name}}. Values are not looked through again.
std::string filled(std::string_view text, const std::map<std::string, std::string>& values) {
  std::string out;
  std::size_t at = 0;
  while (true) {
    const std::size_t open = text.find("{{", at);
    if (open == std::string_view::npos) {
      return out + std::string(text.substr(at));
    }
    const std::size_t close = text.find("}}", open);
    const std::string name(text.substr(open + 2, close - open - 2));
    const auto value = values.find(name);
    if (value == values.end()) {
      throw ExportError("review.html: nothing to put in the place of " + name);
    }
    out += text.substr(at, open - at);
    out += value->second;
    at = close + 2;
  }
}

}  // namespace

std::string reviewPage(const ReviewContents& contents, const Provenance& provenance) {
  const Model& model = contents.model;
  nlohmann::ordered_json data =
      reviewData(model, contents.schedules, contents.clash, contents.curves, provenance);
  data["shapes"] = shapesData(model, contents.schedules.loads.structure);
  data["remarks"] = contents.remarks.is_null() ? nlohmann::ordered_json::array() : contents.remarks;
  if (contents.built != nullptr) {
    data["as_built"] = shownData(*contents.built, contents.schedules.set_out);
  }
  const GateVerdict verdict = gateVerdict(contents.advice.warnings, &contents.clash);
  const std::string made = "Made by " + programName() + " at " + provenance.timestamp +
                           " from input " + provenance.input_sha256.substr(0, 12) + ".";
  return filled(
      reviewTemplate(),
      {{"title", xmlEscaped(titleOf(model))},
       {"about", xmlEscaped(aboutText(model))},
       {"made", xmlEscaped(made)},
       {"verdict", !verdict.is_ready          ? "not-ready"
                   : verdict.provisos.empty() ? "ready"
                                              : "provided"},
       {"verdict line", xmlEscaped(inWords(verdict))},
       {"findings", findingsTable(contents.clash) + asBuiltTable(contents.clash.as_built)},
       {"remarks", remarksTable(data.at("remarks"))},
       {"warnings", warningsText(contents.advice)},
       {"cautions", listOf(cautions(model.spec.hardware))},
       {"motion within", motionWords(data.at("motion_within_mm").get<double>())},
       {"curve within", shown(kCurveWithinMm)},
       {"style", std::string(reviewStyle())},
       {"data", inScript(data.dump())},
       {"glb", base64(contents.glb)},
       {"built glb", contents.built_glb == nullptr ? "" : base64(*contents.built_glb)},
       {"script", std::string(reviewScript())},
       {"licences", xmlEscaped(reviewLicences())}});
}

}  // namespace leafstack
