#include "generator/clash/findings/exact.h"

#include <BRepAlgoAPI_Common.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <Standard_Failure.hxx>
#include <TopExp_Explorer.hxx>
#include <cmath>

#include "generator/occt/checked.h"

namespace leafstack {

KernelApproach kernelApproach(const TopoDS_Shape& a, const TopoDS_Shape& b) {
  KernelApproach found;
  BRepExtrema_DistShapeShape measure;
  try {
    measure.LoadS1(a);
    measure.LoadS2(b);
    measure.Perform();
  } catch (const Standard_Failure&) {
    return found;  // no answer
  }
  if (!measure.IsDone() || measure.NbSolution() < 1) {
    return found;
  }
  found.distance_mm = measure.Value();
  const gp_Pnt on_a = measure.PointOnShape1(1);
  const gp_Pnt on_b = measure.PointOnShape2(1);
  found.on_a = {on_a.X(), on_a.Y(), on_a.Z()};
  found.on_b = {on_b.X(), on_b.Y(), on_b.Z()};
  return found;
}

SharedSolid sharedSolid(const TopoDS_Shape& a, const TopoDS_Shape& b) {
  SharedSolid shared;
  TopoDS_Shape solid;
  try {
    BRepAlgoAPI_Common common(a, b);
    if (!common.IsDone() || common.HasErrors()) {
      return shared;
    }
    solid = common.Shape();
  } catch (const Standard_Failure&) {
    return shared;  // as silent as when it merely fails
  }
  if (!TopExp_Explorer(solid, TopAbs_SOLID).More()) {
    return shared;
  }
  shared.volume_mm3 = std::abs(massProperties(solid).volume_mm3);
  shared.bounds = tightBounds(solid);
  shared.solid = solid;
  return shared;
}

}  // namespace leafstack
