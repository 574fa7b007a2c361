// What is not the gate's: obstacles given as boxes, and as others drew them.
#include "generator/surroundings/surroundings.h"
#include "generator/geometry/mesh/given_mesh.h"
#include "generator/model/builder.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {
namespace {

/// Each is a part of its own, by its name.
void addBoxes(ModelBuilder& builder) {
  const std::vector<Obstacle>& obstacles = builder.spec().site.obstacles;
  for (std::size_t i = 0; i < obstacles.size(); ++i) {
    const Obstacle& one = obstacles[i];
    const Point3 size = {one.high_mm[0] - one.low_mm[0], one.high_mm[1] - one.low_mm[1],
                         one.high_mm[2] - one.low_mm[2]};
    PartSpec spec{PartKind::kObstacle, sizes({size[0], size[1]}), size[2]};
    spec.name = one.name;
    spec.within = {static_cast<double>(i)};
    const int part = builder.part(spec, {size[0], size[1], size[2]}, [size] {
      return box({0, 0, 0}, size);
    });
    builder.place(part, 0, one.low_mm);
  }
}

void addDrawn(ModelBuilder& builder, int index) {
  const Surrounding& one = builder.spec().site.surroundings[index];
  const std::size_t count = one.shapes->bodies.size();
  // finish() mirrors the whole of a left-hand gate; what was drawn is to stay as it was.
  const bool is_mirrored = builder.spec().site.opens == Hand::kLeft;
  for (std::size_t i = 0; i < count; ++i) {
    PartSpec spec{PartKind::kObstacle};
    spec.name = count == 1 ? one.name : one.name + " " + std::to_string(i + 1);
    spec.within = {static_cast<double>(one.shapes->serial), one.at_mm[0], one.at_mm[1],
                   one.at_mm[2], one.turned_deg};
    const int part =
        builder.part(spec, {-1.0 - index, static_cast<double>(i)}, [one, i, is_mirrored] {
          const TopoDS_Shape placed = placedBody(one, i);
          if (!is_mirrored) {
            return placed;
          }
          return isOfTriangles(placed) ? mirroredTriangles(placed) : mirroredInX(placed);
        });
    builder.place(part, 0, {});
  }
}

}  // namespace

void addSurroundings(ModelBuilder& builder) {
  addBoxes(builder);
  for (std::size_t i = 0; i < builder.spec().site.surroundings.size(); ++i) {
    addDrawn(builder, static_cast<int>(i));
  }
}

}  // namespace leafstack
