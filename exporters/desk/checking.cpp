#include "exporters/desk/checking.h"

#include <Standard_Failure.hxx>
#include <nlohmann/json.hpp>

#include "exporters/bytes/sha256.h"
#include "exporters/cad/bcf/remarks_json.h"
#include "exporters/desk/figures.h"
#include "exporters/lists/compare/compare_json.h"
#include "exporters/lists/report/report.h"
#include "exporters/lists/resolved.h"
#include "exporters/page/review_data.h"
#include "generator/compare/misfit.h"
#include "generator/cures/judged.h"
#include "generator/geometry/cancel.h"
#include "generator/loads/sheet.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"
#include "params/reading/json_tree.h"

namespace leafstack::desk {
namespace {

using Json = nlohmann::ordered_json;

/// A long way back: 0.5 MB each, and some 1 MB for a picture.
constexpr std::size_t kGatesKept = 128, kPicturesKept = 8;

Json problemJson(const Diagnostic& one) {
  return {{"pointer", one.pointer},       {"message", one.message}, {"allowed", one.allowed},
          {"suggestion", one.suggestion}, {"line", one.line},       {"column", one.column}};
}

/// A line of Stop's: "/site/room_mm: too little".
Json problemJson(const std::string& line) {
  const std::size_t colon = line.starts_with("/") ? line.find(": ") : std::string::npos;
  const bool has_pointer = colon != std::string::npos;
  return {{"pointer", has_pointer ? line.substr(0, colon) : ""},
          {"message", has_pointer ? line.substr(colon + 2) : line},
          {"allowed", ""},
          {"suggestion", ""},
          {"line", 0},
          {"column", 0}};
}

Json cureJson(const Cure& cure) {
  return {{"sets", cure.sets},
          {"leaves", cure.leaves},
          {"tried", cure.tried},
          {"words", cure.tried > 0 ? inWords(cure) : ""}};
}

Json warningsJson(const Advice& advice) {
  Json json = Json::array();
  for (const Warning& one : advice.warnings) {
    json.push_back({{"id", one.id},
                    {"text", one.text},
                    {"where", one.where},
                    {"is_hazard", one.is_hazard},
                    {"tells_against", one.against != Against::kNothing},
                    {"in_short", one.in_short},
                    {"cure", cureJson(one.cure)}});
  }
  return json;
}

Json verdictJson(const Advice& advice, const ClashReport* clash) {
  const GateVerdict verdict = gateVerdict(advice.warnings, clash);
  return {{"is_ready", verdict.is_ready},
          {"is_provided", !verdict.provisos.empty()},
          {"line", inWords(verdict)}};
}

Json sheetJson(const Model& model, const LoadReport& loads) {
  Json sections = Json::array();
  for (const SheetSection& section : calculationSheet(model, loads)) {
    Json lines = Json::array();
    for (const SheetLine& line : section.lines) {
      lines.push_back({{"what", line.what},
                       {"formula", line.formula},
                       {"value", line.value},
                       {"source", line.source}});
    }
    sections.push_back({{"title", section.title}, {"note", section.note}, {"lines", lines}});
  }
  return sections;
}

/// What the gate file says itself, by pointer: "auto", or that it says something.
Json writtenJson(const std::string& text) {
  const JsonNode root = parseJson(text, "").root;
  Json json = Json::object();
  const auto add = [&](const auto& self, const JsonNode& node, const std::string& pointer) -> void {
    for (const JsonNode& child : node.children) {
      const std::string at = pointer + "/" + child.key;
      if (child.kind == JsonKind::kObject) {
        self(self, child, at);
      } else {
        json[at] =
            child.kind == JsonKind::kText && child.text == "auto" ? Json("auto") : Json(true);
      }
    }
  };
  add(add, root, "");
  return json;
}

/// By which the page knows a part's mesh again.
Json keysOf(const Model& model) {
  constexpr std::size_t kEnough = 16;
  Json keys = Json::array();
  for (const Part& part : model.parts) {
    keys.push_back(part.identity.empty() ? "" : sha256Hex(part.identity).substr(0, kEnough));
  }
  return keys;
}

/// `json` with one more member, whose text is JSON already.
std::string withMember(const Json& json, const std::string& key, std::string_view value) {
  std::string text = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  text.pop_back();
  text += (text.size() > 1 ? ",\"" : "\"") + key + "\":";
  text += value;
  return text += "}";
}

}  // namespace

Checking::Checking(const Options& options) : options_(options), remarks_(remarksFrom(options)) {}

HardwareInput Checking::hardware() const {
  HardwareInput input = hardwareFrom(options_);
  // The page can name no path: only what the file named when the desk began is read.
  input.read = [this, read = input.read](const std::string& path) {
    if (named_files_.contains(path)) {
      options_.hardware_files.clear();  // as it is now
      return read(path);
    }
    FileText file;
    file.fault =
        path + ": the desk reads only the hardware file that the gate file names as it begins";
    return file;
  };
  input.read_surroundings = [this, read = input.read_surroundings](const std::string& path,
                                                                   const std::string& unit) {
    return named_files_.contains(path)
               ? read(path, unit)
               : SurroundingFile{nullptr,
                                 path +
                                     ": the desk reads only the files that the gate file names "
                                     "as it begins",
                                 ""};
  };
  return input;
}

void Checking::allowFilesOf(const std::string& text) {
  HardwareInput input = hardwareFrom(options_);
  input.read = [this, read = input.read](const std::string& path) {
    named_files_.insert(path);
    return read(path);
  };
  input.read_surroundings = [this](const std::string& path, const std::string&) {
    named_files_.insert(path);
    return SurroundingFile{};
  };
  readGate(text, "", {}, input);
}

Checking::Gate& Checking::gateOf(const std::string& text) {
  const auto found =
      std::find_if(gates_.begin(), gates_.end(), [&](const Gate& one) { return one.text == text; });
  if (found != gates_.end()) {
    gates_.splice(gates_.begin(), gates_, found);
    return gates_.front();
  }
  gates_.push_front({text, "", "", "", "", "", ""});
  if (gates_.size() > kGatesKept) {
    gates_.pop_back();
  }
  return gates_.front();
}

Checking::Whole& Checking::wholeOf(const std::string& text) {
  if (whole_ && whole_->text == text) {
    return *whole_;
  }
  whole_.reset();
  Progress nobody(Progress::Watcher{});
  Whole whole;
  whole.text = text;
  whole.prepared = prepareText(text, options_, hardware(), nobody);
  endIfCancelled();
  if (whole.prepared.layout.fits) {
    whole.built = buildAll(whole.prepared, /*with_areas=*/false, nobody, stores_);
  }
  return whole_.emplace(std::move(whole));
}

std::string Checking::report(Whole& whole, Advice advice) const {
  ReportContents contents;
  contents.spec = &whole.prepared.gate.spec;
  contents.layout = &whole.prepared.layout;
  contents.provenance = whole.prepared.provenance;
  contents.without_lists = true;
  if (whole.built) {
    contents.schedules = &whole.built->schedules;
    contents.clash = &whole.built->clash;
    if (remarks_) {
      contents.remarks = remarksJson(*remarks_, whole.built->model);
    }
  }
  contents.advice = std::move(advice);
  return reportJson(contents);
}

std::string Checking::answer(const std::string& text) {
  Gate& gate = gateOf(text);
  if (!gate.answer.empty()) {
    return gate.answer;
  }
  Json json;
  json["problems"] = Json::array();
  const ReadResult read = readGate(text, options_.input, overridesFrom(options_), hardware());
  for (const Diagnostic& one : read.problems) {
    json["problems"].push_back(problemJson(one));
  }
  if (!read.gate) {
    return gate.answer = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  }
  try {
    Whole& whole = wholeOf(text);
    const Prepared& prepared = whole.prepared;
    const Built* const built = whole.built ? &*whole.built : nullptr;
    const Advice advice = built ? Advice{warningsOf(*built)}
                                : Advice{warningsOf(prepared.gate.spec, prepared.layout)};
    json["verdict"] = verdictJson(advice, built ? &built->clash : nullptr);
    json["warnings"] = warningsJson(advice);
    json["misfit"] =
        built ? std::vector<std::string>() : explainMisfit(prepared.gate.spec, prepared.layout);
    json["sheet"] = built ? sheetJson(built->model, built->schedules.loads) : Json::array();
    json["figures"] = figuresJson(prepared, built);
    json["written"] = writtenJson(text);
    json["reasons"] = reasonsJson(built);
    json["values"] = Json::parse(resolvedJson(prepared.gate, prepared.layout,
                                              built ? built->schedules.loads : LoadReport{},
                                              prepared.provenance))["values"];
    return gate.answer = withMember(json, "report", report(whole, advice));
  } catch (const Stop& stop) {
    for (const std::string& line : stop.lines) {
      json["problems"].push_back(problemJson(line));
    }
  }
  return gate.answer = json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string Checking::cures(const std::string& text) {
  Gate& gate = gateOf(text);
  if (!gate.cures.empty()) {
    return gate.cures;
  }
  Json json;
  json["warnings"] = Json::array();
  try {
    Whole& whole = wholeOf(text);
    Progress nobody(Progress::Watcher{});
    const Advice advice = whole.built ? adviceOn(whole.prepared, *whole.built, kBriefCures, nobody)
                                      : adviceOn(whole.prepared, kBriefCures, nobody);
    json["warnings"] = warningsJson(advice);
    json["together"] = cureJson(advice.together);
    return gate.cures = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  } catch (const Stop&) {
    return gate.cures = json.dump();  // what is wrong has been told
  }
}

void Checking::show(Gate& gate) {
  if (!gate.scene.empty()) {
    return;
  }
  std::size_t pictures = 0;
  for (Gate& one : gates_) {
    if (!one.scene.empty() && ++pictures >= kPicturesKept) {
      one.scene.clear();
      one.glb.clear();
    }
  }
  try {
    Whole& whole = wholeOf(gate.text);
    if (whole.built) {
      const Built& built = *whole.built;
      gate.glb = glbFile(built.model, whole.prepared.provenance, &meshes_);
      Json scene =
          reviewData(built.model, built.schedules, built.clash, {}, whole.prepared.provenance);
      scene["keys"] = keysOf(built.model);
      gate.scene = scene.dump();
    }
  } catch (const Stop&) {
    // No gate: nothing to show.
  }
}

const std::string& Checking::scene(const std::string& text) {
  Gate& gate = gateOf(text);
  show(gate);
  return gate.scene;
}

const std::string& Checking::glb(const std::string& text) {
  Gate& gate = gateOf(text);
  show(gate);
  return gate.glb;
}

const std::string& Checking::shapes(const std::string& text) {
  Gate& gate = gateOf(text);
  if (gate.shapes.empty()) {
    Json shapes = Json::array();
    try {
      const Whole& whole = wholeOf(text);
      if (whole.built) {
        shapes = shapesData(whole.built->model, whole.built->schedules.loads.structure);
      }
    } catch (const Stop&) {
      // No gate: nothing that moves.
    }
    gate.shapes = shapes.dump();
  }
  return gate.shapes;
}

std::string Checking::arrangements(const std::string& text) {
  Gate& gate = gateOf(text);
  if (!gate.arrangements.empty()) {
    return gate.arrangements;
  }
  const HardwareInput shelf = hardware();
  const std::vector<Override> overrides = overridesFrom(options_);
  const ReadGate read = [&](std::span<const Override> more) {
    std::vector<Override> all = overrides;
    all.insert(all.end(), more.begin(), more.end());
    return readGate(text, options_.input, all, shelf);
  };
  ReadResult gate_read = read({});
  if (!gate_read.gate) {
    return "";
  }
  SiteComparison comparison = compareArrangements(gate_read.gate->spec);
  JudgeOptions judge;
  judge.read = read;
  judgeArrangements(comparison, judge);
  return gate.arrangements = compareJson(comparison, "");
}

Checking::HandedOut Checking::handOut(const std::string& text, Progress& progress) {
  HandedOut out{prepareText(text, options_, hardware(), progress), {}, {}};
  if (!out.prepared.layout.fits) {
    throw Stop{kDoesNotFit, explainMisfit(out.prepared.gate.spec, out.prepared.layout)};
  }
  out.built = buildAll(out.prepared, /*with_areas=*/true, progress);
  out.advice = adviceOn(out.prepared, out.built, kBriefCures, progress);
  return out;
}

}  // namespace leafstack::desk
