// A gate whose solids are made one by one, when they are asked for: for who looks at few of them.
#pragma once

#include <TopoDS_Shape.hxx>
#include <memory>

#include "generator/model/model.h"

namespace leafstack {

class ModelBuilder;

/// What buildModel() would make of a gate that layOut() accepted, its parts and where they stand,
/// but no solids, bounds or joints, no vents, and opening to the right. May be used by several
/// threads, each part by one of them.
class PlannedModel {
 public:
  PlannedModel(const GateSpec& spec, const Layout& layout);
  ~PlannedModel();
  PlannedModel(const PlannedModel&) = delete;
  PlannedModel& operator=(const PlannedModel&) = delete;

  const Model& model() const;
  /// Made the first time. Throws as buildModel().
  const TopoDS_Shape& solid(int part);

 private:
  std::unique_ptr<ModelBuilder> builder_;
};

}  // namespace leafstack
