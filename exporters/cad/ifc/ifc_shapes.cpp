#include "exporters/cad/ifc/ifc_shapes.h"

#include "exporters/bytes/rounding.h"
#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

/// A hollow section by its sizes, else the loops themselves. Square ends, drawn out along Z.
int profileOf(IfcEntities& entities, const Part& part, const std::vector<ProfileLoop>& loops) {
  const std::string name = part.section.empty() ? "$" : part21String(part.section);
  if (const auto hollow = part.tube ? hollowOutline(loops) : std::nullopt) {
    const int at = entities.add(
        "IFCAXIS2PLACEMENT2D",
        {ifcRef(entities.add("IFCCARTESIANPOINT", {"(" + part21Real(hollow->x_mm) + "," +
                                                   part21Real(hollow->y_mm) + ")"})),
         "$"});
    return entities.add("IFCRECTANGLEHOLLOWPROFILEDEF",
                        {ifcWord("AREA"), name, ifcRef(at), part21Real(hollow->wide_mm),
                         part21Real(hollow->high_mm), part21Real(hollow->wall_mm),
                         part21Real(hollow->inner_radius_mm), part21Real(hollow->outer_radius_mm)});
  }
  const int outline = entities.curve(loops.front());
  if (loops.size() == 1) {
    return entities.add("IFCARBITRARYCLOSEDPROFILEDEF", {ifcWord("AREA"), name, ifcRef(outline)});
  }
  std::vector<int> holes;
  for (std::size_t i = 1; i < loops.size(); ++i) {
    holes.push_back(entities.curve(loops[i]));
  }
  return entities.add("IFCARBITRARYPROFILEDEFWITHVOIDS",
                      {ifcWord("AREA"), name, ifcRef(outline), part21References(holes)});
}

int drawnOut(IfcEntities& entities, int profile, const gp_Ax2& base, double depth_mm) {
  return entities.add("IFCEXTRUDEDAREASOLID",
                      {ifcRef(profile), ifcRef(entities.placement(base)),
                       ifcRef(entities.direction({0, 0, 1})), part21Real(depth_mm)});
}

int triangles(IfcEntities& entities, const PartMesh& mesh) {
  std::string points = "(";
  for (const Vec3& point : mesh.points) {
    points += (points.size() > 1 ? "," : "") + part21Triple(roundedToMillionth(point[0]),
                                                            roundedToMillionth(point[1]),
                                                            roundedToMillionth(point[2]));
  }
  std::string corners = "(";
  for (const MeshTriangle& triangle : mesh.triangles) {
    corners += corners.size() > 1 ? ",(" : "(";
    for (int i = 0; i < 3; ++i) {
      corners += (i > 0 ? "," : "") + std::to_string(triangle.points[i] + 1);
    }
    corners += ')';
  }
  const int list = entities.add("IFCCARTESIANPOINTLIST3D", {points + ")"});
  return entities.add("IFCTRIANGULATEDFACESET",
                      {ifcRef(list), "$", ifcWord("T"), corners + ")", "$"});
}

}  // namespace

std::vector<IfcShape> ifcShapes(const Model& model) {
  std::vector<IfcShape> shapes(model.parts.size());
  inParallel(static_cast<int>(shapes.size()), [&](int i) {
    shapes[i].extrusion = extrusionOf(model.parts[i]);
    if (!shapes[i].extrusion) {
      shapes[i].mesh = partMesh(model.parts[i].solid, {kIfcDeflectionMm, kIfcTurnRad});
    }
  });
  return shapes;
}

IfcItem addShape(IfcEntities& entities, const Part& part, const IfcShape& shape) {
  if (shape.extrusion) {
    const int profile = profileOf(entities, part, shape.extrusion->loops);
    return {drawnOut(entities, profile, shape.extrusion->base, shape.extrusion->depth_mm),
            "SweptSolid"};
  }
  return {triangles(entities, shape.mesh), "Tessellation"};
}

IfcItem addSpace(IfcEntities& entities, const SweptSpace& space) {
  ProfileLoop outline;
  for (const auto& [x, z] : space.outline_mm) {
    outline.vertices.push_back({x, z, 0});
  }
  const int profile = entities.add("IFCARBITRARYCLOSEDPROFILEDEF",
                                   {ifcWord("AREA"), "$", ifcRef(entities.curve(outline))});
  // X of the profile along X, its Y along Z: drawn out towards -Y.
  const gp_Ax2 base(gp_Pnt(0, space.high_y_mm, 0), gp::DY().Reversed(), gp::DX());
  return {drawnOut(entities, profile, base, space.high_y_mm - space.low_y_mm), "SweptSolid"};
}

void addColour(IfcEntities& entities, int item, const Rgb& colour, double transparency) {
  const int rgb = entities.add(
      "IFCCOLOURRGB", {"$", part21Real(colour[0]), part21Real(colour[1]), part21Real(colour[2])});
  const int shading = entities.add(
      "IFCSURFACESTYLESHADING", {ifcRef(rgb), transparency > 0 ? part21Real(transparency) : "$"});
  const int style =
      entities.add("IFCSURFACESTYLE", {"$", ifcWord("BOTH"), part21References({shading})});
  entities.add("IFCSTYLEDITEM", {ifcRef(item), part21References({style}), "$"});
}

}  // namespace leafstack
