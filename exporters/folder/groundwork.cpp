// What files are made from: worked out once, before any file (outputs.h).
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "exporters/cad/bcf/bcf.h"
#include "exporters/cad/bcf/remarks_json.h"
#include "exporters/cad/mesh/gltf.h"
#include "exporters/folder/outputs.h"
#include "exporters/paper/pictures/part_pictures.h"
#include "exporters/paper/pictures/picture.h"
#include "exporters/paper/sheets/drawings.h"
#include "generator/geometry/in_parallel.h"
#include "generator/shop/part_files.h"
#include "generator/verdict/gate_verdict.h"

namespace leafstack {
namespace {

/// Of every tube that is marked by hand.
std::vector<WrapTemplate> wrapTemplatesOf(const Model& model) {
  std::vector<std::optional<WrapTemplate>> made(model.parts.size());
  inParallel(static_cast<int>(made.size()),
             [&](int i) { made.at(i) = wrapTemplateOf(model.parts.at(i)); });
  std::vector<WrapTemplate> templates;
  for (auto& one : made) {
    if (one) {
      templates.push_back(std::move(*one));
    }
  }
  return templates;
}

std::vector<StlMesh> meshesOf(const Model& model) {
  std::vector<StlMesh> meshes(model.parts.size());
  inParallel(static_cast<int>(meshes.size()), [&](int i) {
    const Part& part = model.parts.at(i);
    if (part.is_triangles) {
      return;
    }
    meshes.at(i) = stlMesh(part, fileMotion(part, model.opening_sign));
  });
  return meshes;
}

}  // namespace

void OutputSource::lay(Groundwork work) {
  switch (work) {
    case Groundwork::kCurves:
      curves = clearanceCurves(results.model);
      return;
    case Groundwork::kPlan:
      plan = installationOf(results.model);
      return;
    case Groundwork::kSheets:
      sheets = gateSheets(results.model, results.schedules,
                          inTitle(gateVerdict(results.advice.warnings, &results.clash)));
      return;
    case Groundwork::kPictures:
      layPictures();
      return;
    case Groundwork::kSolids:
      step.emplace(results.model, provenance, step_schema);
      return;
    case Groundwork::kGlb:
      glb = glbFile(results.model, provenance);
      if (results.as_built != nullptr) {
        built_glb = glbFile(results.as_built->model, provenance);
      }
      return;
    case Groundwork::kMeshes:
      meshes = meshesOf(results.model);
      return;
    case Groundwork::kTemplates:
      templates = wrapTemplatesOf(results.model);
      return;
  }
}

void OutputSource::layPictures() {
  const GatePictures pictures(results.model);
  const SheetScale& scale = pictures.scale();
  picture_scale = {scale.units_per_mm, scale.left_mm, scale.top_mm};
  const std::pair<std::string*, double> wanted[] = {
      {&closed_picture, 0}, {&open_picture, results.model.layout.drive_travel_mm}};
  inParallel(2, [&](int i) { *wanted[i].first = pictures.svgAt(wanted[i].second); });
}

std::string OutputSource::report() const {
  ReportContents contents;
  contents.spec = &results.model.spec;
  contents.layout = &results.model.layout;
  contents.schedules = &results.schedules;
  contents.clash = &results.clash;
  contents.as_built = results.as_built;
  contents.outputs = by_mark;
  contents.advice = results.advice;
  for (std::size_t i = 0; i < meshes.size(); ++i) {
    const StlMesh& mesh = meshes[i];
    if (results.model.parts[i].is_triangles) {
      continue;
    }
    PartOutputs& outputs = contents.outputs[results.model.parts[i].mark];
    outputs.has_stl = true;
    outputs.stl_deflection_mm = mesh.deflection_mm;
    outputs.stl_volume_mm3 = mesh.volume_mm3;
    outputs.stl_triangles = mesh.triangles;
  }
  contents.provenance = provenance;
  contents.remarks = remarks();
  return reportJson(contents);
}

nlohmann::ordered_json OutputSource::remarks() const {
  return results.remarks != nullptr ? remarksJson(*results.remarks, results.model)
                                    : nlohmann::ordered_json(nullptr);
}

std::string OutputSource::bcf() const {
  PartPictures pictures(results.model);
  const double half_view = std::tan(kFieldOfViewDeg / 2 * std::numbers::pi / 180);
  return bcfFile(results.model, results.clash, provenance,
                 {results.remarks, [&](const Finding& finding, const BcfCamera& camera) {
                    const Vec3 target = plus(camera.eye_mm, camera.direction, camera.distance_mm);
                    return pictures.pngOf(finding, {target, camera.direction, camera.up,
                                                    camera.distance_mm * half_view});
                  }});
}

}  // namespace leafstack
