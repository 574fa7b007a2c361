#include "exporters/cad/swept/swept_step.h"

#include <algorithm>
#include <vector>

#include "exporters/cad/panel_name.h"
#include "exporters/cad/step/step.h"
#include "exporters/cad/step/step_entities.h"
#include "exporters/cad/step/step_solid.h"
#include "generator/model/swept/swept_space.h"
#include "generator/occt/checked.h"
#include "generator/shop/part_files.h"

namespace leafstack {
namespace {

constexpr Rgb kSweptColour = {0.95, 0.65, 0.1};

struct DrawnSpace {
  Part what;
  SolidText text;
};

DrawnSpace drawn(const SweptSpace& space) {
  const TopoDS_Shape solid = solidOf(space);
  DrawnSpace drawn;
  drawn.what.mark = panelName(space.panel) + "-swept";
  drawn.what.name = "what panel " + std::to_string(space.panel) + " takes up on its way";
  const MassProperties properties = massProperties(solid);
  drawn.what.volume_mm3 = properties.volume_mm3;
  drawn.what.centroid_mm = properties.centroid_mm;
  drawn.what.area_mm2 = surfaceArea(solid);
  drawn.text = stepSolid(solid, drawn.what.mark);
  return drawn;
}

}  // namespace

SweptStep sweptStep(const Model& model, const Provenance& provenance) {
  prepareStep();
  std::vector<DrawnSpace> spaces;
  double tolerance_mm = 0;
  for (const SweptSpace& space : sweptSpaces(model)) {
    spaces.push_back(drawn(space));
    tolerance_mm = std::max(tolerance_mm, spaces.back().text.tolerance_mm);
  }
  SweptStep made;
  StepAssembly assembly(tolerance_mm, model.spec.job);
  std::vector<StepAssembly::Occurrence> children;
  made.contents.products.push_back(productName(model.spec.job, "SWEPT"));
  for (const DrawnSpace& space : spaces) {
    const int offset = assembly.entities().addBlock(space.text.entities, space.text.count);
    children.push_back({assembly.addMarker(space.what, space.text.brep + offset, kSweptColour),
                        space.what.mark + ".1", TopLoc_Location()});
    made.contents.products.push_back(productName(model.spec.job, space.what.mark));
    made.contents.occurrences.push_back(space.what.mark + ".1");
  }
  made.contents.solids = static_cast<int>(spaces.size());
  const std::string description = gateTitle(model) + ", swept spaces of its panels";
  assembly.addAssembly("SWEPT", description, children);
  assembly.finish();
  made.text = stepFileText({"gate-swept.step", description}, model, provenance, assembly);
  return made;
}

}  // namespace leafstack
