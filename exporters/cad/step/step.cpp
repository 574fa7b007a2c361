#include "exporters/cad/step/step.h"

#include <gp_Pnt.hxx>
#include <gp_Trsf.hxx>
#include <gp_Vec.hxx>

#include <algorithm>
#include <utility>

#include "exporters/bytes/export_error.h"
#include "exporters/cad/panel_name.h"
#include "exporters/cad/step/step_entities.h"
#include "exporters/cad/step/step_move.h"
#include "exporters/cad/step/step_text.h"
#include "generator/geometry/in_parallel.h"
#include "generator/occt/checked.h"
#include "generator/shop/part_files.h"

namespace leafstack {
namespace {

/// The header's word where the gate file is silent.
constexpr const char* kNotGiven = "not given";

/// ISO 10303-21 shows its time stamps with a numeric offset.
std::string headerTime(const std::string& timestamp) {
  return timestamp.ends_with('Z') ? timestamp.substr(0, timestamp.size() - 1) + "+00:00"
                                  : timestamp;
}

std::string header(const std::string& file, const std::string& subject, const Model& model,
                   const Provenance& provenance, StepSchema schema) {
  const JobSpec& job = model.spec.job;
  const auto given = [](const std::string& text) {
    return part21String(text.empty() ? kNotGiven : text);
  };
  return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((" + part21String(subject) + ",\n  " +
         part21String("input sha256 " + provenance.input_sha256) + "),'2;1');\nFILE_NAME(" +
         part21String(file) + ",'" + headerTime(provenance.timestamp) + "',\n  (" +
         given(job.drawn_by) + "),(" + part21String(kNotGiven) + "),\n  " +
         part21String(programName()) + "," + part21String(programName()) + "," +
         given(job.checked_by) + ");\nFILE_SCHEMA(('" +
         (schema == StepSchema::kAp214
              ? "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"
              : "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 1 1 4 }") +
         "'));\nENDSEC;\nDATA;\n";
}

std::string file(const std::string& head, const StepAssembly& assembly) {
  return head + assembly.text() + "ENDSEC;\nEND-ISO-10303-21;\n";
}

std::string panelDescription(int panel) {
  return panel == 0 ? "what does not move" : "panel " + std::to_string(panel);
}

int panelCount(const Model& model) {
  return static_cast<int>(model.speed_ratio.size()) - 1;
}

double driveAt(const Model& model, GatePosition position) {
  return position == GatePosition::kOpen ? model.layout.drive_travel_mm : 0;
}

TopLoc_Location panelLocation(const Model& model, int panel, GatePosition position) {
  Instance still;
  still.body = panel;
  return locationAt(model, still, driveAt(model, position));
}

/// Within its panel's assembly; what floats in a panel does not stay where it was closed.
TopLoc_Location locationInPanel(const Model& model, const Instance& instance,
                                GatePosition position) {
  if (instance.body == instance.panel || position == GatePosition::kClosed) {
    return instance.at_closed;
  }
  return panelLocation(model, instance.panel, position).Inverted() *
         locationAt(model, instance, driveAt(model, position));
}

/// The parts of one gate file, by index into Model::parts.
struct PlacedParts {
  std::vector<StepProduct> products;
  std::vector<int> breps;
  std::vector<int> only_panel;  ///< that has it; kSeveralPanels
};
constexpr int kSeveralPanels = -1;

std::vector<int> onlyPanels(const Model& model) {
  constexpr int kNoneYet = -2;
  std::vector<int> only(model.parts.size(), kNoneYet);
  for (const Instance& instance : model.instances) {
    int& panel = only.at(instance.part);
    panel = panel == kNoneYet || panel == instance.panel ? instance.panel : kSeveralPanels;
  }
  return only;
}

std::array<double, 3> moved(const gp_Trsf& motion, const std::array<double, 3>& point) {
  const gp_Pnt at = gp_Pnt(point[0], point[1], point[2]).Transformed(motion);
  return {at.X(), at.Y(), at.Z()};
}

/// Panel assembly with its occurrences, and the layer of what it carries.
StepProduct addPanel(StepAssembly& assembly, const Model& model, int panel,
                     const PlacedParts& parts, GatePosition position) {
  std::vector<StepAssembly::Occurrence> children;
  std::vector<int> layer;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Instance& instance = model.instances[i];
    if (instance.panel == panel && !model.parts[instance.part].is_triangles) {
      children.push_back({parts.products.at(instance.part), model.instanceName(i),
                          locationInPanel(model, instance, position)});
      if (parts.only_panel.at(instance.part) == panel) {
        layer.push_back(parts.breps.at(instance.part));
      }
    }
  }
  const StepProduct product =
      assembly.addAssembly(panelName(panel), panelDescription(panel), children);
  std::sort(layer.begin(), layer.end());
  layer.erase(std::unique(layer.begin(), layer.end()), layer.end());
  if (!layer.empty()) {
    assembly.addLayer(panelName(panel), panelDescription(panel), layer);
  }
  return product;
}

}  // namespace

std::string gateTitle(const Model& model) {
  const JobSpec& job = model.spec.job;
  std::string text = job.title.empty() ? "telescopic sliding gate" : job.title;
  return job.number.empty() ? text : text + ", " + job.number;
}

std::string stepFileText(const StepFileName& name, const Model& model, const Provenance& provenance,
                         const StepAssembly& assembly) {
  return file(header(name.file, name.subject, model, provenance, StepSchema::kAp214), assembly);
}

StepExporter::StepExporter(const Model& model, Provenance provenance, StepSchema schema)
    : model_(model), provenance_(std::move(provenance)), schema_(schema) {
  closed_.resize(model.parts.size());
  open_.resize(model.parts.size());
  inParallel(static_cast<int>(model.parts.size()), [&](int i) {
    const Part& part = model.parts.at(i);
    if (!(part.volume_mm3 > 0)) {
      throw ExportError("STEP: " + part.mark + " encloses no volume");
    }
    if (!(part.area_mm2 > 0)) {
      throw ExportError("STEP: the surface of " + part.mark + " was not measured");
    }
    if (part.is_triangles) {
      return;
    }
    closed_.at(i) = stepSolid(part.solid, part.mark);
    if (!part.open_solid.IsNull()) {
      open_.at(i) = stepSolid(part.open_solid, part.mark);
    }
  });
}

const SolidText& StepExporter::solid(int part, GatePosition position) const {
  const auto& open = open_.at(part);
  return position == GatePosition::kOpen && open ? *open : closed_.at(part);
}

std::string StepExporter::partFile(int part) const {
  return fileOf(model_.parts.at(part), closed_.at(part));
}

std::string StepExporter::pieceFile(const Part& piece) const {
  return fileOf(piece, stepSolid(piece.solid, piece.mark));
}

void StepExporter::addDimensions(StepAssembly& assembly, const StepProduct& product,
                                 const Measured& what, const SolidText& text, int offset) const {
  if (schema_ == StepSchema::kAp214) {
    return;
  }
  std::vector<int> faces = faceNumbers(text.entities, what.solid, what.mark);
  for (int& number : faces) {
    number += offset;
  }
  assembly.addDimensions(product, dimensionsOf(what.solid, what.motion), faces);
}

std::string StepExporter::fileOf(Part what, const SolidText& text) const {
  const gp_Trsf motion = fileMotion(what, model_.opening_sign);
  what.centroid_mm = moved(motion, what.centroid_mm);
  StepAssembly assembly(text.tolerance_mm, model_.spec.job, schema_);
  const int offset = assembly.entities().addBlock(
      motion.Form() == gp_Identity ? text.entities : movedEntities(text.entities, motion),
      text.count);
  const StepProduct product = assembly.addPart(what, text.brep + offset);
  addDimensions(assembly, product, {what.solid, motion, what.mark}, text, offset);
  assembly.finish();
  return file(
      header(fileStem(model_.spec.job, what.mark) + ".step",
             what.mark + ", " + what.name + "; " + gateTitle(model_), model_, provenance_, schema_),
      assembly);
}

Part StepExporter::shown(int part, GatePosition position) const {
  Part what = model_.parts.at(part);
  if (position == GatePosition::kOpen && open_.at(part)) {
    const MassProperties open = massProperties(what.open_solid);
    what.volume_mm3 = open.volume_mm3;
    what.area_mm2 = surfaceArea(what.open_solid);
    what.centroid_mm = open.centroid_mm;
  }
  return what;
}

std::string StepExporter::gateFile(GatePosition position) const {
  return position == GatePosition::kOpen ? gateFile(position, {"gate-open.step", "open"})
                                         : gateFile(position, {"gate.step", "closed"});
}

std::string StepExporter::gateFile(GatePosition position, const StepFileName& name) const {
  const int part_count = static_cast<int>(model_.parts.size());
  double tolerance_mm = 0;
  for (int i = 0; i < part_count; ++i) {
    tolerance_mm = std::max(tolerance_mm, solid(i, position).tolerance_mm);
  }
  StepAssembly assembly(tolerance_mm, model_.spec.job, schema_);
  PlacedParts parts;
  parts.only_panel = onlyPanels(model_);
  for (int i = 0; i < part_count; ++i) {
    if (model_.parts[i].is_triangles) {
      parts.breps.emplace_back();
      parts.products.emplace_back();
      continue;
    }
    const SolidText& text = solid(i, position);
    const int offset = assembly.entities().addBlock(text.entities, text.count);
    parts.breps.push_back(text.brep + offset);
    parts.products.push_back(assembly.addPart(shown(i, position), parts.breps.back()));
    const Part& part = model_.parts[i];
    const bool is_open = position == GatePosition::kOpen && open_.at(i).has_value();
    addDimensions(assembly, parts.products.back(),
                  {is_open ? part.open_solid : part.solid, gp_Trsf(), part.mark}, text, offset);
  }
  std::vector<StepAssembly::Occurrence> panels;
  for (int panel = 0; panel <= panelCount(model_); ++panel) {
    const StepProduct product = addPanel(assembly, model_, panel, parts, position);
    panels.push_back({product, panelName(panel) + ".1", panelLocation(model_, panel, position)});
  }
  assembly.addAssembly("GATE", gateTitle(model_), panels);
  assembly.finish();
  return file(
      header(name.file, gateTitle(model_) + ", " + name.subject, model_, provenance_, schema_),
      assembly);
}

StepContents StepExporter::partContents(int part) const {
  return contentsOf(model_.parts.at(part));
}

StepContents StepExporter::contentsOf(const Part& part) const {
  return {1, {productName(model_.spec.job, part.mark, part.name)}, {}};
}

StepContents StepExporter::gateContents() const {
  StepContents contents;
  const JobSpec& job = model_.spec.job;
  contents.products.push_back(productName(job, "GATE"));
  for (int panel = 0; panel <= panelCount(model_); ++panel) {
    contents.products.push_back(productName(job, panelName(panel)));
    contents.occurrences.push_back(panelName(panel) + ".1");
  }
  for (const Part& part : model_.parts) {
    if (!part.is_triangles) {
      ++contents.solids;
      contents.products.push_back(productName(job, part.mark, part.name));
    }
  }
  for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
    if (!model_.parts[model_.instances[i].part].is_triangles) {
      contents.occurrences.push_back(model_.instanceName(i));
    }
  }
  return contents;
}

}  // namespace leafstack
