#include "exporters/office/html.h"

#include "exporters/bytes/xml_text.h"

namespace leafstack::office {
namespace {

constexpr std::string_view kPaperStyle =
    "@page{size:A4;margin:16mm 15mm 18mm}\n"
    "body{font:14px/1.45 \"DejaVu Sans\",Verdana,Arial,sans-serif;color:#1f2a31;margin:0 auto;"
    "max-width:900px;padding:24px}\n"
    "h1{font-size:24px;margin:0 0 6px;overflow-wrap:anywhere}h2{font-size:17px;margin:26px 0 6px;"
    "border-bottom:2px solid #b8701a;padding-bottom:3px}h3{font-size:14.5px;margin:16px 0 4px}\n"
    "p{margin:6px 0}ul{margin:4px 0 4px 20px;padding:0}.note{color:#53616a;font-size:12.5px}\n"
    "figure{margin:12px 1px 12px 0;border:1px solid #d4dade}figure svg{display:block;width:100%;"
    "height:auto}figure img{display:block;width:100%}\n"
    "table{border-collapse:collapse;width:100%;margin:6px 0;font-size:12.5px}\n"
    "th,td{border-bottom:1px solid #d4dade;padding:4px 8px 4px 0;text-align:left;"
    "vertical-align:top;overflow-wrap:break-word}th{font-weight:600;color:#53616a}\n"
    "td.n,th.n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums}\n"
    "table.facts td:first-child{width:34%;color:#53616a}\n"
    "table.form{width:calc(100% - 2px)}table.form td,table.form th{border:1px solid "
    "#9aa6ad;padding:5px 6px;overflow-wrap:normal}\n"
    "table.form td:empty{min-width:44px}table.wide td:last-child{width:34%}\n"
    "table.plan td:nth-child(-n+2){width:20%}\n"
    "tr.sum td{font-weight:600;border-bottom:2px solid #53616a}\n"
    ".warn{border-left:5px solid #c0392b;background:#fbf1ef;padding:8px 14px;margin:8px 0}\n"
    ".sign{display:flex;gap:30px;margin-top:44px}.sign div{flex:1;border-top:1px solid #1f2a31;"
    "padding-top:4px;font-size:12px;color:#53616a}\n"
    "@media print{body{max-width:none;padding:0;font-size:11.5px}table,.note{font-size:10.5px}"
    "h2,h3,h2+p.note,h2+p{break-after:avoid}p,tr,figure,.warn,.sign,li{break-inside:avoid}"
    ".leaf+.leaf{break-before:page}.step{break-inside:auto}h2+p+figure{break-before:avoid}thead{"
    "display:table-header-group}.keep{break-inside:avoid}"
    "figure "
    "svg{max-height:300px}}\n"
    ".shot{position:relative}figure.shot svg{position:absolute;inset:0;height:100%;"
    "max-height:none}\n";

std::string rowOf(const Cells& cells, const char* tag) {
  const bool is_sum = !cells.empty() && cells.front().starts_with("=");
  std::string out = is_sum ? "<tr class=\"sum\">" : "<tr>";
  for (std::size_t i = 0; i < cells.size(); ++i) {
    std::string_view text = cells[i];
    text.remove_prefix(i == 0 && is_sum ? 1 : 0);
    const bool is_number = text.starts_with('>');
    text.remove_prefix(is_number ? 1 : 0);
    out += "<" + std::string(tag) + (is_number ? " class=\"n\">" : ">") + escaped(text) + "</" +
           tag + ">";
  }
  return out + "</tr>\n";
}

}  // namespace

std::string escaped(std::string_view text) {
  return xmlEscaped(text);
}

std::string paragraph(std::string_view text, const char* kind) {
  return "<p" + (*kind == '\0' ? "" : " class=\"" + std::string(kind) + "\"") + ">" +
         escaped(text) + "</p>\n";
}

std::string heading(std::string_view text) {
  return "<h2>" + escaped(text) + "</h2>\n";
}

std::string smallHeading(std::string_view text) {
  return "<h3>" + escaped(text) + "</h3>\n";
}

std::string table(const Cells& head, const std::vector<Cells>& rows, const char* kind) {
  std::string out =
      "<table" + (*kind == '\0' ? "" : " class=\"" + std::string(kind) + "\"") + ">\n";
  if (!head.empty()) {
    out += "<thead>" + rowOf(head, "th") + "</thead>\n";
  }
  out += "<tbody>\n";
  for (const Cells& cells : rows) {
    out += rowOf(cells, "td");
  }
  return out + "</tbody>\n</table>\n";
}

std::string facts(const std::vector<Cells>& rows) {
  return table({}, rows, "facts");
}

std::string list(const std::vector<std::string>& items) {
  std::string out = "<ul>\n";
  for (const std::string& item : items) {
    out += "<li>" + escaped(item) + "</li>\n";
  }
  return out + "</ul>\n";
}

std::string figure(const std::string& svg) {
  return "<figure>\n" + svg.substr(svg.find("<svg")) + "</figure>\n";
}

std::string signatures(const std::vector<std::string>& texts) {
  std::string out = "<div class=\"sign\">";
  for (const std::string& text : texts) {
    out += "<div>" + escaped(text) + "</div>";
  }
  return out + "</div>\n";
}

std::string page(const PaperWords& say, Say title, const JobSpec& job, const Provenance& provenance,
                 const std::string& body) {
  return page(say, say(title), job, provenance, body);
}

std::string page(const PaperWords& say, const std::string& title, const JobSpec& job,
                 const Provenance& provenance, const std::string& body) {
  const std::string gate = job.title.empty() ? say(Say::kGate) : job.title;
  std::string out =
      "<!DOCTYPE html>\n<html>\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
      escaped(title) + ": " + escaped(gate) + "</title>\n<style>\n" + std::string(kPaperStyle) +
      "</style>\n</head>\n<body>\n<h1>" + escaped(title) + ": " + escaped(gate) + "</h1>\n";
  std::vector<Cells> fields;
  const std::pair<Say, const std::string*> given[] = {{Say::kJobNumber, &job.number},
                                                      {Say::kClient, &job.client},
                                                      {Say::kCompany, &job.company},
                                                      {Say::kDate, &job.date}};
  for (const auto& [what, value] : given) {
    if (!value->empty()) {
      fields.push_back({say(what), *value});
    }
  }
  out += fields.empty() ? "" : facts(fields);
  return out + body +
         paragraph(say(Say::kMadeBy, {programName(), provenance.timestamp,
                                      provenance.input_sha256.substr(0, 12)}),
                   "note") +
         "</body>\n</html>\n";
}

std::string verdictOnTop(const GateVerdict& verdict, const PaperWords& say) {
  if (!verdict.is_ready) {
    return paragraph(say(Say::kNotReady, {inWords(verdict)}), "warn");
  }
  std::string all;
  for (const std::string& proviso : verdict.provisos) {
    all += (all.empty() ? "" : "; ") + proviso;
  }
  return all.empty() ? "" : paragraph(say(Say::kProvided, {all}), "warn");
}

std::string withCurrency(const std::string& sum, const std::string& currency) {
  return currency.empty() ? sum : sum + " " + currency;
}

}  // namespace leafstack::office
