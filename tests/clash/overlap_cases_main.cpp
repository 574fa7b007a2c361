// overlap_cases DIR: writes every penetration found in a few gates with planted faults, one JSON
// file each: both parts as triangles of the kernel's mesher where they are at the worst position,
// and the volume that the finding states. Another library's booleans then say whether it is true.
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>

#include "generator/clash/placed/placed.h"
#include "generator/clash/report/clash.h"
#include "generator/compare/arrangements.h"
#include "tests/support/planted_faults.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using Json = nlohmann::json;

constexpr double kDeflectionMm = 0.02;
constexpr double kAngleRad = 0.2;
constexpr unsigned kGates = 24;

/// Triangles about `origin`, so that single precision loses nothing that matters.
Json meshOf(const TopoDS_Shape& shape, const Vec3& origin) {
  const TopoDS_Shape copy = BRepBuilderAPI_Copy(shape, true, false).Shape();
  BRepMesh_IncrementalMesh(copy, kDeflectionMm, false, kAngleRad);
  Json points = Json::array();
  Json triangles = Json::array();
  for (TopExp_Explorer faces(copy, TopAbs_FACE); faces.More(); faces.Next()) {
    TopLoc_Location location;
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    const auto mesh = BRep_Tool::Triangulation(face, location);
    const int base = static_cast<int>(points.size()) - 1;
    for (int i = 1; i <= mesh->NbNodes(); ++i) {
      const gp_Pnt at = mesh->Node(i).Transformed(location.Transformation());
      points.push_back({at.X() - origin[0], at.Y() - origin[1], at.Z() - origin[2]});
    }
    for (int i = 1; i <= mesh->NbTriangles(); ++i) {
      int a = 0;
      int b = 0;
      int c = 0;
      mesh->Triangle(i).Get(a, b, c);
      if (face.Orientation() == TopAbs_REVERSED) {
        std::swap(b, c);
      }
      triangles.push_back({base + a, base + b, base + c});
    }
  }
  return {{"points", points}, {"triangles", triangles}};
}

int writeCases(const Model& model, const std::string& prefix, const std::filesystem::path& folder) {
  const ClashReport report = checkClashes(model);
  const PlacedShapes shapes(model);
  int written = 0;
  for (const Finding& finding : report.findings) {
    if (finding.finding_class != FindingClass::kPenetration) {
      continue;
    }
    const Vec3& origin = finding.points_mm[0];
    Json file;
    file["id"] = finding.id;
    file["volume_mm3"] = finding.volume_mm3;
    file["deflection_mm"] = kDeflectionMm;
    file["a"] = meshOf(shapes.shapeAt(finding.instance_a, finding.worst_at_mm), origin);
    file["b"] = meshOf(shapes.shapeAt(finding.instance_b, finding.worst_at_mm), origin);
    std::ofstream(folder / (prefix + "-" + std::to_string(written++) + ".json")) << file;
  }
  return written;
}

int run(const std::filesystem::path& folder) {
  std::filesystem::create_directories(folder);
  int written = 0;
  for (unsigned seed = 1; seed <= kGates; ++seed) {
    const GateSpec spec = gates::specOf(gates::GateDice(seed).gate());
    const LayoutResult laid_out = layOut(withPanelsChosen(spec));
    if (!laid_out.problems.empty()) {
      continue;
    }
    Model model = buildModel(spec, laid_out.layout);
    faults::Planter(model, seed).plant(seed);
    written += writeCases(model, "gate-" + std::to_string(seed), folder);
  }
  std::cout << written << " cases\n";
  return written > 0 ? 0 : 1;
}

}  // namespace
}  // namespace leafstack

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: overlap_cases DIR\n";
    return 2;
  }
  return leafstack::run(argv[1]);
}
