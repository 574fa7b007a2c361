#include "generator/occt/round.h"

#include <BRepAdaptor_Surface.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <gp.hxx>
#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Pln.hxx>
#include <gp_Sphere.hxx>
#include <gp_Torus.hxx>

namespace leafstack {
namespace {

constexpr double kRoundingMm = 1e-9;
constexpr double kRoundingRad = 1e-12;

bool isAboutY(const gp_Ax1& axis) {
  return axis.Direction().IsParallel(gp::DY(), kRoundingRad) &&
         gp_Lin(gp::OY()).Distance(axis.Location()) <= kRoundingMm;
}

bool isRound(const BRepAdaptor_Surface& surface) {
  switch (surface.GetType()) {
    case GeomAbs_Plane:
      return surface.Plane().Axis().Direction().IsParallel(gp::DY(), kRoundingRad);
    case GeomAbs_Cylinder:
      return isAboutY(surface.Cylinder().Axis());
    case GeomAbs_Cone:
      return isAboutY(surface.Cone().Axis());
    case GeomAbs_Torus:
      return isAboutY(surface.Torus().Axis());
    case GeomAbs_Sphere:
      return gp_Lin(gp::OY()).Distance(surface.Sphere().Location()) <= kRoundingMm;
    case GeomAbs_SurfaceOfRevolution:
      return isAboutY(surface.AxeOfRevolution());
    default:
      return false;
  }
}

}  // namespace

bool isRoundAboutY(const TopoDS_Shape& shape) {
  TopExp_Explorer faces(shape, TopAbs_FACE);
  if (!faces.More()) {
    return false;
  }
  for (; faces.More(); faces.Next()) {
    const TopoDS_Face& face = TopoDS::Face(faces.Current());
    if (BRep_Tool::Surface(face).IsNull() || !isRound(BRepAdaptor_Surface(face, false))) {
      return false;
    }
  }
  return true;
}

}  // namespace leafstack
