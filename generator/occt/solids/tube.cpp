#include "generator/occt/solids/tube.h"

#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepTools.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <cmath>
#include <gp_Pln.hxx>
#include <gp_Trsf.hxx>

#include "generator/geometry/geometry_error.h"
#include "generator/occt/facing.h"
#include "generator/occt/solids/bored.h"

namespace leafstack {
namespace {

// A wall face lies in its plane to rounding; neighbouring planes are a wall's thickness apart.
constexpr double kInPlaneMm = 1e-6;

/// One plane of a wall: the coordinate axis it is square to (0 = X .. 2 = Z), and where.
struct WallPlane {
  int axis = 0;
  double at_mm = 0;
};

struct WallPlanes {
  WallPlane outside, inside;
  Plane drawing{};
};

WallPlanes planesOf(Wall wall, const HollowSection& section) {
  const double t = section.wall_mm;
  switch (wall) {
    case Wall::kFront:
      return {{1, 0}, {1, t}, Plane::kXZ};
    case Wall::kRear:
      return {{1, section.depth_mm}, {1, section.depth_mm - t}, Plane::kXZ};
    case Wall::kBottom:
      return {{2, 0}, {2, t}, Plane::kXY};
    case Wall::kTop:
      return {{2, section.height_mm}, {2, section.height_mm - t}, Plane::kXY};
  }
  return {};
}

bool liesIn(const TopoDS_Face& face, const WallPlane& plane) {
  const BRepAdaptor_Surface surface(face, /*restriction=*/false);
  if (surface.GetType() != GeomAbs_Plane) {
    return false;
  }
  const gp_Pln pln = surface.Plane();
  const gp_XYZ normal = pln.Axis().Direction().XYZ();
  return std::abs(std::abs(normal.Coord(plane.axis + 1)) - 1) < kInPlaneMm &&
         std::abs(pln.Location().Coord(plane.axis + 1) - plane.at_mm) < kInPlaneMm;
}

/// Direction the drawn outline winds about, anticlockwise.
gp_Dir windingNormal(Plane drawing) {
  return drawing == Plane::kXY ? gp::DZ() : gp_Dir(0, -1, 0);
}

gp_Pnt centreOf(const TopoDS_Shape& wire) {
  GProp_GProps properties;
  BRepGProp::LinearProperties(wire, properties);
  return properties.CentreOfMass();
}

class DrilledTube {
 public:
  DrilledTube(const HollowSection& section, double length_mm, const EndSlopes& ends)
      : section_(section) {
    const TopoDS_Shape tube = mitredSection(Plane::kYZ, section, length_mm, ends);
    for (TopExp_Explorer faces(tube, TopAbs_FACE); faces.More(); faces.Next()) {
      faces_.push_back(TopoDS::Face(faces.Current()));
    }
  }

  void drill(const WallHole& hole) {
    const WallPlanes planes = planesOf(hole.wall, section_);
    TopoDS_Shape wire = hole.outline.wire(planes.drawing);
    gp_Vec shift(0, 0, 0);
    gp_Vec through(0, 0, 0);
    gp_XYZ along;
    along.SetCoord(planes.outside.axis + 1, 1);
    shift = gp_Vec(along * planes.outside.at_mm);
    through = gp_Vec(along * (planes.inside.at_mm - planes.outside.at_mm));
    gp_Trsf move;
    move.SetTranslation(shift);
    wire = BRepBuilderAPI_Transform(wire, move, /*copy=*/true).Shape();
    BRepPrimAPI_MakePrism sides(wire, through);
    const gp_Dir winding = windingNormal(planes.drawing);
    replaceFace(planes.outside, sides.FirstShape(), winding);
    replaceFace(planes.inside, sides.LastShape(), winding);
    const TopoDS_Shape shell = sides.Shape();
    const TopoDS_Face first = TopoDS::Face(TopExp_Explorer(shell, TopAbs_FACE).Current());
    const bool inward = looksAtAxis(first, centreOf(wire), gp_Dir(through));
    for (TopExp_Explorer faces(shell, TopAbs_FACE); faces.More(); faces.Next()) {
      faces_.push_back(TopoDS::Face(inward ? faces.Current() : faces.Current().Reversed()));
    }
  }

  TopoDS_Shape solid() const { return enclosedBy(faces_); }

 private:
  void replaceFace(const WallPlane& plane, const TopoDS_Shape& wire, const gp_Dir& winding) {
    for (TopoDS_Face& face : faces_) {
      if (liesIn(face, plane)) {
        face = withHole(face, wire, winding);
        return;
      }
    }
    throw GeometryError("a hole was asked for in a wall without a flat");
  }

  HollowSection section_;
  std::vector<TopoDS_Face> faces_;
};

}  // namespace

TopoDS_Shape drilledSection(const HollowSection& section, double length_mm,
                            const std::vector<WallHole>& holes, const EndSlopes& ends) {
  DrilledTube tube(section, length_mm, ends);
  for (const WallHole& hole : holes) {
    tube.drill(hole);
  }
  return tube.solid();
}

}  // namespace leafstack
