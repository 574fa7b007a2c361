#include "generator/occt/solids/bored.h"

#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepClass_FaceClassifier.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Plane.hxx>
#include <Precision.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Iterator.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Vertex.hxx>
#include <cmath>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>

#include "generator/geometry/geometry_error.h"
#include "generator/occt/facing.h"

namespace leafstack {

TopoDS_Face withHole(const TopoDS_Face& face, const TopoDS_Shape& hole, const gp_Dir& winding) {
  const TopAbs_Orientation orientation = face.Orientation();
  const TopoDS_Shape plain = face.Oriented(TopAbs_FORWARD);
  TopoDS_Face result = TopoDS::Face(plain.EmptyCopied());
  BRep_Builder builder;
  for (TopoDS_Iterator wires(plain); wires.More(); wires.Next()) {
    builder.Add(result, wires.Value());
  }
  const gp_Pln surface = BRepAdaptor_Surface(face, false).Plane();
  gp_Dir normal = surface.Axis().Direction();
  if (!surface.Direct()) {
    normal.Reverse();
  }
  // The wire turns against the face's own surface normal.
  builder.Add(result, normal.Dot(winding) > 0 ? hole.Oriented(TopAbs_REVERSED)
                                              : hole.Oriented(TopAbs_FORWARD));
  return TopoDS::Face(result.Oriented(orientation));
}

TopoDS_Shape enclosedBy(const std::vector<TopoDS_Face>& faces) {
  BRep_Builder builder;
  TopoDS_Shell shell;
  builder.MakeShell(shell);
  for (const TopoDS_Face& face : faces) {
    builder.Add(shell, face);
  }
  shell.Closed(BRep_Tool::IsClosed(shell));
  TopoDS_Solid solid;
  builder.MakeSolid(solid);
  builder.Add(solid, shell);
  return solid;
}

namespace {

class BoredSolid {
 public:
  explicit BoredSolid(const TopoDS_Shape& solid) {
    for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
      faces_.push_back(TopoDS::Face(faces.Current()));
    }
  }

  void bore(const RoundHole& bore) {
    const gp_Pnt from(bore.from_mm[0], bore.from_mm[1], bore.from_mm[2]);
    const gp_Dir into(bore.into[0], bore.into[1], bore.into[2]);
    const bool is_stepped = bore.wide_deep_mm > 0;
    TopoDS_Shape before;  // of the wide part's far end
    if (is_stepped) {
      const Rims wide = addWall(from, into, bore.wide_radius_mm, {0, bore.wide_deep_mm});
      pierce(from, into, wide.near);
      before = wide.far;
    }
    const double begins = is_stepped ? bore.wide_deep_mm : 0;
    const Rims rims = bore.sink_mm > 0
                          ? addSunkWall(from, into, bore)
                          : addWall(from, into, bore.radius_mm, {begins, bore.deep_mm});
    if (is_stepped) {
      addFloor(from, into, begins, before, rims.near);
    } else {
      pierce(from, into, rims.near);
    }
    if (bore.is_blind) {
      addFloor(from, into, bore.deep_mm, rims.far, {});
    } else {
      pierce(from.Translated(gp_Vec(into) * bore.deep_mm), into, rims.far);
    }
  }

  TopoDS_Shape solid() const { return enclosedBy(faces_); }

 private:
  /// A wall's ends, wound about the hole's direction.
  struct Rims {
    TopoDS_Shape near, far;
  };

  Rims addWall(const gp_Pnt& from, const gp_Dir& into, double radius,
               const std::array<double, 2>& along) {
    const gp_Pnt near = from.Translated(gp_Vec(into) * along[0]);
    const TopoDS_Shape rim =
        BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(near, into), radius)).Edge())
            .Wire();
    BRepPrimAPI_MakePrism wall(rim, gp_Vec(into) * (along[1] - along[0]));
    const TopoDS_Face face = TopoDS::Face(TopExp_Explorer(wall.Shape(), TopAbs_FACE).Current());
    faces_.push_back(looksAtAxis(face, near, into) ? face : TopoDS::Face(face.Reversed()));
    return {wall.FirstShape(), wall.LastShape()};
  }

  /// A cone that narrows to the wall proper.
  Rims addSunkWall(const gp_Pnt& from, const gp_Dir& into, const RoundHole& bore) {
    if (bore.sink_mm >= bore.deep_mm || bore.wide_deep_mm > 0) {
      throw GeometryError("a hole was asked to be sunk deeper than it goes");
    }
    const gp_Vec aside(gp_Ax2(from, into).XDirection());
    const auto corner = [&](double radius, double along) {
      return BRepBuilderAPI_MakeVertex(from.Translated(aside * radius + gp_Vec(into) * along))
          .Vertex();
    };
    const TopoDS_Vertex begins = corner(bore.radius_mm + bore.sink_mm, 0);
    const TopoDS_Vertex narrow = corner(bore.radius_mm, bore.sink_mm);
    const TopoDS_Vertex ends = corner(bore.radius_mm, bore.deep_mm);
    BRepPrimAPI_MakeRevol wall(
        BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(ends, narrow).Edge(),
                                BRepBuilderAPI_MakeEdge(narrow, begins).Edge())
            .Wire(),
        gp_Ax1(from, into.Reversed()));  // STEP has no cones that narrow along their axis
    for (TopExp_Explorer faces(wall.Shape(), TopAbs_FACE); faces.More(); faces.Next()) {
      const TopoDS_Face& face = TopoDS::Face(faces.Current());
      faces_.push_back(looksAtAxis(face, from, into) ? face : TopoDS::Face(face.Reversed()));
    }
    const auto rim = [&](const TopoDS_Vertex& turned) {
      const TopoDS_Shape circle = wall.Generated(turned).First().Oriented(TopAbs_REVERSED);
      return BRepBuilderAPI_MakeWire(TopoDS::Edge(circle)).Wire();
    };
    return {rim(begins), rim(ends)};
  }

  /// Flat, looking back out of the hole; `hole`: where it goes on.
  void addFloor(const gp_Pnt& from, const gp_Dir& into, double deep, const TopoDS_Shape& rim,
                const TopoDS_Shape& hole) {
    const gp_Pnt at = from.Translated(gp_Vec(into) * deep);
    BRep_Builder builder;
    TopoDS_Face floor;
    builder.MakeFace(floor, new Geom_Plane(gp_Pln(at, into.Reversed())), Precision::Confusion());
    builder.Add(floor, rim.Oriented(TopAbs_REVERSED));
    faces_.push_back(hole.IsNull() ? floor : withHole(floor, hole, into));
  }

  void pierce(const gp_Pnt& at, const gp_Dir& axis, const TopoDS_Shape& rim) {
    constexpr double kInPlaneMm = 1e-6, kSameWay = 1e-9;
    for (TopoDS_Face& face : faces_) {
      const BRepAdaptor_Surface surface(face, /*restriction=*/false);
      if (surface.GetType() != GeomAbs_Plane) {
        continue;
      }
      const gp_Pln plane = surface.Plane();
      if (plane.Distance(at) < kInPlaneMm &&
          std::abs(plane.Axis().Direction().Dot(axis)) > 1 - kSameWay &&
          BRepClass_FaceClassifier(face, at, kInPlaneMm).State() == TopAbs_IN) {
        face = withHole(face, rim, axis);
        return;
      }
    }
    throw GeometryError("a hole was asked for where there is no flat");
  }

  std::vector<TopoDS_Face> faces_;
};

}  // namespace

TopoDS_Shape bored(const TopoDS_Shape& solid, const std::vector<RoundHole>& bores) {
  BoredSolid made(solid);
  for (const RoundHole& bore : bores) {
    made.bore(bore);
  }
  return made.solid();
}

}  // namespace leafstack
