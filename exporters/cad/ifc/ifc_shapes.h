// Shapes of parts in an IFC file: drawn out profiles where they are that, closed triangles else.
#pragma once

#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include "exporters/cad/ifc/extrusion.h"
#include "exporters/cad/ifc/ifc_entities.h"
#include "generator/geometry/mesh/part_mesh.h"
#include "generator/model/model.h"
#include "generator/model/swept/swept_space.h"

namespace leafstack {

/// How far triangles may leave round faces. Flat faces are exact.
inline constexpr double kIfcDeflectionMm = 0.05;
inline constexpr double kIfcTurnRad = std::numbers::pi / 12;

/// What a part's shape is written from; made on all cores beforehand.
struct IfcShape {
  std::optional<Extrusion> extrusion;
  PartMesh mesh;  ///< empty where there is an extrusion
};
std::vector<IfcShape> ifcShapes(const Model& model);

/// A representation's item and its type: "SweptSolid", "Tessellation".
struct IfcItem {
  int item = 0;
  std::string type;
};

IfcItem addShape(IfcEntities& entities, const Part& part, const IfcShape& shape);
IfcItem addSpace(IfcEntities& entities, const SweptSpace& space);
/// Gives an item its colour, and how far one sees through it: 0 not, 1 wholly.
void addColour(IfcEntities& entities, int item, const Rgb& colour, double transparency);

}  // namespace leafstack
