#include "generator/model/builder.h"
#include "generator/model/model.h"
#include "generator/model/planned_model.h"
#include "params/table/hardware_rows.h"

namespace leafstack {
namespace {

/// A kept part may come from a gate with another supplier: masses are no part of its identity.
void takeSupplierMasses(Model& model) {
  const HardwareSpec& shelf = model.spec.hardware;
  for (Part& part : model.parts) {
    const PartKindRow& kind = rowOf(part.kind);
    const BoughtItem* item = kind.is_item ? boughtItem(shelf, kind.shelf) : nullptr;
    part.supplier_mass_kg = item == nullptr ? std::nullopt : item->mass_kg;
    if (part.supplier_mass_kg && part.kind == PartKind::kRack) {
      *part.supplier_mass_kg *= part.length_mm / shelf.rack.piece_mm;
    }
  }
}

void addAll(ModelBuilder& builder) {
  for (const PanelFrame& panel : builder.panels()) {
    addFrame(builder, panel);
    addInfill(builder, panel);
    addRunningGear(builder, panel);
    addCladding(builder, panel);
  }
  addReturn(builder);
  addGuides(builder);
  addRopes(builder);
  addDrive(builder);
  addSite(builder);
  builder.drillAll();
}

}  // namespace

Model buildModel(const GateSpec& spec, const Layout& layout, PartStore* store, Weighed weighed) {
  ModelBuilder builder(spec, layout, {store, weighed});
  addAll(builder);
  Model model = builder.finish();
  takeSupplierMasses(model);
  return model;
}

PlannedModel::PlannedModel(const GateSpec& spec, const Layout& layout)
    : builder_(std::make_unique<ModelBuilder>(spec, layout,
                                              ModelBuilder::Made{nullptr, Weighed::kNot})) {
  addAll(*builder_);
}

PlannedModel::~PlannedModel() = default;

const Model& PlannedModel::model() const {
  return builder_->model();
}

const TopoDS_Shape& PlannedModel::solid(int part) {
  return builder_->solidOf(part);
}

std::string Model::instanceName(int instance) const {
  const Instance& placed = instances.at(instance);
  return parts.at(placed.part).mark + "." + std::to_string(placed.serial);
}

TopLoc_Location locationAt(const Model& model, const Instance& instance, double drive_mm) {
  const Pose pose = model.poseAt(instance.body, drive_mm);
  if (pose.x_mm == 0 && pose.z_mm == 0 && !pose.turns()) {
    return instance.at_closed;
  }
  gp_Trsf move;
  if (pose.turns()) {
    move.SetValues(pose.cos, 0, -pose.sin, pose.x_mm, 0, 1, 0, 0, pose.sin, 0, pose.cos, pose.z_mm);
  } else {
    move.SetTranslation(gp_Vec(pose.x_mm, 0, pose.z_mm));
  }
  return TopLoc_Location(move * instance.at_closed.Transformation());
}

std::string_view toString(ContactKind kind) {
  switch (kind) {
    case ContactKind::kWelded:
      return "welded";
    case ContactKind::kBolted:
      return "bolted";
    case ContactKind::kBearing:
      return "bearing";
    case ContactKind::kRolling:
      return "rolling";
    case ContactKind::kSliding:
      return "sliding";
    case ContactKind::kRopeHeld:
      return "rope held";
    case ContactKind::kMesh:
      return "mesh";
    case ContactKind::kStop:
      return "stop";
    case ContactKind::kStandsOn:
      return "stands on";
  }
  return "";
}

}  // namespace leafstack
