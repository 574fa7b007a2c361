#include "generator/occt/facing.h"

#include <BRepAdaptor_Surface.hxx>
#include <gp_Vec.hxx>

namespace leafstack {

bool looksAtAxis(const TopoDS_Face& face, const gp_Pnt& centre, const gp_Dir& axis) {
  const BRepAdaptor_Surface surface(face);
  gp_Pnt point;
  gp_Vec du;
  gp_Vec dv;
  surface.D1((surface.FirstUParameter() + surface.LastUParameter()) / 2,
             (surface.FirstVParameter() + surface.LastVParameter()) / 2, point, du, dv);
  gp_Vec normal = du.Crossed(dv);
  if (face.Orientation() == TopAbs_REVERSED) {
    normal.Reverse();
  }
  const gp_Vec to_centre(point, centre);
  return normal.Dot(to_centre - gp_Vec(axis) * to_centre.Dot(gp_Vec(axis))) > 0;
}

}  // namespace leafstack
