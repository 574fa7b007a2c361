#include "exporters/gate_folder.h"

#include <map>
#include <utility>

#include "exporters/bcf.h"
#include "exporters/clash_report.h"
#include "exporters/clash_step.h"
#include "exporters/drawing/drawing_dxf.h"
#include "exporters/drawing/pdf.h"
#include "exporters/drawing/svg.h"
#include "exporters/drawing/travel_diagram.h"
#include "exporters/gltf.h"
#include "exporters/picture.h"
#include "exporters/resolved.h"
#include "exporters/review/review_page.h"
#include "exporters/step.h"
#include "exporters/stl.h"
#include "exporters/stock_picture.h"
#include "exporters/summary_page.h"
#include "exporters/tables.h"
#include "exporters/wrap_sheets.h"
#include "generator/warnings.h"

namespace leafstack {
namespace {

std::string stepPath(const Part& part) {
  return "parts/" + part.mark + ".step";
}
std::string stlPath(const Part& part) {
  return "parts/" + part.mark + ".stl";
}

std::string templatePath(const std::string& mark) {
  return "templates/" + mark + "_wrap.dxf";
}
constexpr const char* kTemplatesPdf = "templates/wrap.pdf";
constexpr const char* kDrawingsPdf = "drawings.pdf";
constexpr const char* kTravelPicture = "pictures/travel.svg";

/// Without its extension.
std::string drawingPath(const Sheet& sheet) {
  return "drawings/" + sheet.name;
}

/// Of every tube that is marked by hand.
std::vector<WrapTemplate> wrapTemplatesOf(const Model& model) {
  std::vector<WrapTemplate> templates;
  for (const Part& part : model.parts) {
    if (auto made = wrapTemplateOf(part)) {
      templates.push_back(std::move(*made));
    }
  }
  return templates;
}

/// Pictures by path, with the share of the drive's travel they show.
constexpr std::pair<const char*, double> kPictures[] = {
    {"pictures/closed.svg", 0}, {"pictures/half.svg", 0.5}, {"pictures/open.svg", 1}};

/// One run of writeGateFolder().
class Writing {
 public:
  Writing(OutputFolder& folder, const GateResults& results, const Provenance& provenance)
      : folder_(folder), results_(results), provenance_(provenance) {}

  void run(const OutputChoice& choice, const StageWatcher& watch) {
    watch_ = watch;
    total_ = static_cast<int>(plannedFiles(results_, choice).size());
    if (choice.step) {
      writeStep();
    }
    if (choice.stl) {
      writeStl();
    }
    if (choice.glb) {
      begin("GLB");
      put("gate.glb", glb());
    }
    if (choice.dxf) {
      writeProfiles(choice.profiles);
    }
    if (choice.templates) {
      writeTemplates();
    }
    if (choice.tables) {
      begin("tables");
      put("tables/cut-list.csv", cutListCsv(results_.schedules));
      put("tables/bill.csv", billCsv(results_.schedules));
      put("tables/coating.csv", coatingCsv(results_.schedules));
      put("tables/profiles.csv", profilesCsv(results_.schedules));
      put("tables/ropes.csv", ropesCsv(results_.schedules));
      put("tables/set-out.csv", setOutCsv(results_.schedules));
      put("tables/stock-plan.csv", stockPlanCsv(results_.schedules));
      put("tables/stock-plan.svg", stockPictureSvg(results_.schedules.stock));
      put("tables/clashes.csv", clashesCsv(results_.clash));
    }
    if (choice.report) {
      writeReport();
    }
    if (choice.drawings) {
      writeDrawings();
    }
    if (choice.review) {
      begin("review page");
      put("review.html",
          reviewPage({results_.model, results_.schedules, results_.clash, glb()}, provenance_));
    }
    if (choice.pictures) {
      writePictures();
    }
    if (choice.bcf) {
      begin("BCF");
      put("clashes.bcf", bcfFile(results_.model, results_.clash, provenance_));
    }
    begin("manifest");
    folder_.commit(provenance_);
  }

 private:
  void begin(std::string_view stage) {
    stage_ = stage;
    watch_(stage_, done_, total_);
  }

  void put(const std::string& path, const std::string& contents) {
    folder_.write(path, contents);
    watch_(stage_, ++done_, total_);
  }

  /// Made once, for the file and the review page.
  const std::string& glb() {
    if (glb_.empty()) {
      glb_ = glbFile(results_.model, provenance_);
    }
    return glb_;
  }

  void putStep(const std::string& path, const std::string& text, const StepContents& expected) {
    checkStepFile(text, expected, path);
    put(path, text);
  }

  void writeStep() {
    begin("STEP");
    const StepExporter step(results_.model, provenance_);
    putStep("gate.step", step.gateFile(GatePosition::kClosed), step.gateContents());
    putStep("gate-open.step", step.gateFile(GatePosition::kOpen), step.gateContents());
    for (int i = 0; i < static_cast<int>(results_.model.parts.size()); ++i) {
      const Part& part = results_.model.parts[i];
      putStep(stepPath(part), step.partFile(i), step.partContents(i));
      outputs_[part.mark].files.push_back(stepPath(part));
    }
    if (!results_.clash.findings.empty()) {
      const ClashStep clashes = clashStep(results_.model, results_.clash, provenance_);
      putStep("clashes.step", clashes.text, clashes.contents);
    }
  }

  void writeStl() {
    begin("STL");
    for (const Part& part : results_.model.parts) {
      const StlMesh mesh = stlMesh(part);
      put(stlPath(part), mesh.file);
      PartOutputs& outputs = outputs_[part.mark];
      outputs.files.push_back(stlPath(part));
      outputs.has_stl = true;
      outputs.stl_deflection_mm = mesh.deflection_mm;
      outputs.stl_volume_mm3 = mesh.volume_mm3;
      outputs.stl_triangles = mesh.triangles;
    }
  }

  void writeProfiles(const ProfileOptions& options) {
    begin("DXF");
    for (const ProfileRow& row : results_.schedules.profiles) {
      if (row.profile) {
        put(profilePath(row), profileDxf(row, options));
        outputs_[row.mark].files.push_back(profilePath(row));
      }
    }
  }

  void writeTemplates() {
    const std::vector<WrapTemplate> templates = wrapTemplatesOf(results_.model);
    if (templates.empty()) {
      return;
    }
    begin("templates");
    for (const WrapTemplate& one : templates) {
      put(templatePath(one.mark), wrapDxf(one));
      outputs_[one.mark].files.push_back(templatePath(one.mark));
    }
    put(kTemplatesPdf, wrapPdf(templates, provenance_));
  }

  void writeReport() {
    begin("report");
    ReportContents report;
    report.spec = &results_.model.spec;
    report.layout = &results_.model.layout;
    report.schedules = &results_.schedules;
    report.clash = &results_.clash;
    report.warnings = warningsOf(results_.model, results_.schedules);
    report.outputs = outputs_;
    report.provenance = provenance_;
    put("report.json", reportJson(report));
    put("resolved.json",
        resolvedJson(results_.gate, results_.model.layout, results_.schedules.loads, provenance_));
    put("summary.html",
        summaryPage(results_.model, results_.schedules, results_.clash, provenance_));
  }

  void writePictures() {
    begin("pictures");
    const GatePictures gate(results_.model);
    for (const auto& [path, share] : kPictures) {
      put(path, gate.svgAt(share * results_.model.layout.drive_travel_mm));
    }
    put(kTravelPicture, drawingSvg(travelPicture(results_.model), provenance_));
  }

  void writeDrawings() {
    if (results_.drawings.empty()) {
      return;
    }
    begin("drawings");
    for (const Sheet& sheet : results_.drawings) {
      const std::string path = drawingPath(sheet);
      put(path + ".pdf", drawingPdf({sheet}, provenance_, sheet.title));
      put(path + ".svg", drawingSvg(sheet, provenance_));
      put(path + ".dxf", drawingDxf(sheet));
    }
    put(kDrawingsPdf, drawingPdf(results_.drawings, provenance_, "Drawings of a sliding gate"));
  }

  OutputFolder& folder_;
  const GateResults& results_;
  const Provenance& provenance_;
  StageWatcher watch_;
  std::string stage_;
  int done_ = 0, total_ = 0;
  std::map<std::string, PartOutputs> outputs_;
  std::string glb_;
};

}  // namespace

std::vector<std::string> plannedFiles(const GateResults& results, const OutputChoice& choice) {
  const Model& model = results.model;
  const Schedules& schedules = results.schedules;
  std::vector<std::string> paths;
  if (choice.step) {
    paths = {"gate.step", "gate-open.step"};
    for (const Part& part : model.parts) {
      paths.push_back(stepPath(part));
    }
    if (!results.clash.findings.empty()) {
      paths.emplace_back("clashes.step");
    }
  }
  if (choice.stl) {
    for (const Part& part : model.parts) {
      paths.push_back(stlPath(part));
    }
  }
  if (choice.glb) {
    paths.emplace_back("gate.glb");
  }
  if (choice.dxf) {
    for (const ProfileRow& row : schedules.profiles) {
      if (row.profile) {
        paths.push_back(profilePath(row));
      }
    }
  }
  if (choice.templates) {
    const std::vector<WrapTemplate> templates = wrapTemplatesOf(model);
    for (const WrapTemplate& one : templates) {
      paths.push_back(templatePath(one.mark));
    }
    if (!templates.empty()) {
      paths.emplace_back(kTemplatesPdf);
    }
  }
  if (choice.tables) {
    paths.insert(paths.end(),
                 {"tables/cut-list.csv", "tables/bill.csv", "tables/coating.csv",
                  "tables/profiles.csv", "tables/ropes.csv", "tables/set-out.csv",
                  "tables/stock-plan.csv", "tables/stock-plan.svg", "tables/clashes.csv"});
  }
  if (choice.report) {
    paths.insert(paths.end(), {"report.json", "resolved.json", "summary.html"});
  }
  if (choice.drawings && !results.drawings.empty()) {
    for (const Sheet& sheet : results.drawings) {
      for (const char* extension : {".pdf", ".svg", ".dxf"}) {
        paths.push_back(drawingPath(sheet) + extension);
      }
    }
    paths.emplace_back(kDrawingsPdf);
  }
  if (choice.review) {
    paths.emplace_back("review.html");
  }
  if (choice.pictures) {
    for (const auto& [path, share] : kPictures) {
      paths.emplace_back(path);
    }
    paths.emplace_back(kTravelPicture);
  }
  if (choice.bcf) {
    paths.emplace_back("clashes.bcf");
  }
  paths.push_back("manifest.json");
  return paths;
}

void writeGateFolder(OutputFolder& folder, const GateResults& results, const OutputChoice& choice,
                     const Provenance& provenance, const StageWatcher& watch) {
  Writing(folder, results, provenance).run(choice, watch);
}

}  // namespace leafstack
