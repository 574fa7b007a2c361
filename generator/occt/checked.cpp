#include "generator/occt/checked.h"

#include <BRepBndLib.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepGProp.hxx>
#include <BRep_Tool.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Solid.hxx>
#include <algorithm>

#include "generator/occt/moments.h"

namespace leafstack {

TopoDS_Shape closedSolid(const TopoDS_Shape& shape, const std::string& what) {
  if (shape.IsNull()) {
    throw GeometryError(what + ": the kernel returned nothing");
  }
  TopExp_Explorer solids(shape, TopAbs_SOLID);
  if (!solids.More()) {
    throw GeometryError(what + ": no solid");
  }
  TopoDS_Solid solid = TopoDS::Solid(solids.Current());
  solids.Next();
  if (solids.More()) {
    throw GeometryError(what + ": more than one solid");
  }
  for (TopExp_Explorer shells(solid, TopAbs_SHELL); shells.More(); shells.Next()) {
    if (!BRep_Tool::IsClosed(shells.Current())) {
      throw GeometryError(what + ": open shell");
    }
  }
  // An inside-out solid has negative volume; measuring it later is cheaper than classifying here.
  return solid;
}

TopoDS_Shape checkedSolid(const TopoDS_Shape& shape, const std::string& what) {
  const TopoDS_Shape solid = closedSolid(shape, what);
  if (!BRepCheck_Analyzer(solid).IsValid()) {
    throw GeometryError(what + ": invalid solid");
  }
  return solid;
}

MassProperties massProperties(const TopoDS_Shape& solid) {
  if (const std::optional<Moments> sum = flatAndRoundMoments(solid); sum && sum->volume_mm3 != 0) {
    const gp_XYZ centre = sum->first_mm4 / sum->volume_mm3;
    return {sum->volume_mm3, {centre.X(), centre.Y(), centre.Z()}};
  }
  GProp_GProps volume;
  BRepGProp::VolumeProperties(solid, volume);
  const gp_Pnt centre = volume.CentreOfMass();
  return {volume.Mass(), {centre.X(), centre.Y(), centre.Z()}};
}

double surfaceArea(const TopoDS_Shape& solid) {
  if (const std::optional<Moments> sum = flatAndRoundMoments(solid); sum && sum->area_mm2 > 0) {
    return sum->area_mm2;
  }
  GProp_GProps surface;
  BRepGProp::SurfaceProperties(solid, surface);
  return surface.Mass();
}

int faceCount(const TopoDS_Shape& solid) {
  int count = 0;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    ++count;
  }
  return count;
}

Bounds tightBounds(const TopoDS_Shape& solid) {
  Bnd_Box box;
  BRepBndLib::Add(solid, box, /*useTriangulation=*/false);
  box.SetGap(0);  // without the shapes' tolerances, which are far below a thousandth
  Bounds bounds;
  box.Get(bounds.low[0], bounds.low[1], bounds.low[2], bounds.high[0], bounds.high[1],
          bounds.high[2]);
  return bounds;
}

Bounds movedBounds(const Bounds& local, const TopLoc_Location& location) {
  if (location.IsIdentity()) {
    return local;
  }
  const gp_Trsf& motion = location.Transformation();
  Bounds result;
  for (int axis = 0; axis < 3; ++axis) {
    // Interval arithmetic on one row of the matrix: exact for quarter turns.
    double low = motion.Value(axis + 1, 4);
    double high = low;
    for (int column = 0; column < 3; ++column) {
      const double factor = motion.Value(axis + 1, column + 1);
      const double one = factor * local.low[column];
      const double other = factor * local.high[column];
      low += std::min(one, other);
      high += std::max(one, other);
    }
    result.low[axis] = low;
    result.high[axis] = high;
  }
  return result;
}

}  // namespace leafstack
