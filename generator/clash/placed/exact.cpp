#include "generator/clash/placed/exact.h"

#include <BOPTools_AlgoTools3D.hxx>
#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Splitter.hxx>
#include <BRepBndLib.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepClass3d_SolidClassifier.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRepGProp_Face.hxx>
#include <BRepTools_WireExplorer.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Bnd_Box.hxx>
#include <IntTools_Context.hxx>
#include <Standard_Failure.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "generator/occt/checked.h"

namespace leafstack {
namespace {

// A boolean takes time that grows with the square of a solid's faces: beyond so many the kernel is
// given those alone that come near the other solid.
constexpr int kMostFacesWhole = 1000;

// So far within a piece it is asked whether that lies in the other solid: far beyond rounding, and
// too little to come out on the other side of anything with a volume.
constexpr double kJustWithinMm = 1e-5;

/// The kernel's own to change: a boolean widens tolerances of what it is given, and others may be
/// reading the same solid.
TopoDS_Shape copied(const TopoDS_Shape& shape) {
  return BRepBuilderAPI_Copy(shape, /*copyGeom=*/true, /*copyMesh=*/false).Shape();
}

int faceCount(const TopoDS_Shape& shape) {
  int count = 0;
  for (TopExp_Explorer faces(shape, TopAbs_FACE); faces.More(); faces.Next()) {
    ++count;
  }
  return count;
}

Bnd_Box boxOf(const TopoDS_Shape& shape) {
  Bnd_Box box;
  BRepBndLib::Add(shape, box);
  return box;
}

// A boolean takes time that grows with the square of a face's edges, too: of flat faces with more
// straight ones than that, only what lies near is taken.
constexpr std::size_t kMostEdgesWhole = 64;

/// Edges of a flat face with straight edges and no holes, in order; none of any other.
std::vector<TopoDS_Edge> straightEdges(const TopoDS_Face& face) {
  std::vector<TopoDS_Edge> found;
  TopExp_Explorer wires(face, TopAbs_WIRE);
  if (BRepAdaptor_Surface(face).GetType() != GeomAbs_Plane || !wires.More()) {
    return {};
  }
  const TopoDS_Wire outline = TopoDS::Wire(wires.Current());
  wires.Next();
  if (wires.More()) {
    return {};
  }
  for (BRepTools_WireExplorer edges(outline, face); edges.More(); edges.Next()) {
    if (BRepAdaptor_Curve(edges.Current()).GetType() != GeomAbs_Line) {
      return {};
    }
    found.push_back(edges.Current());
  }
  return found;
}

/// The face, or of a long strip so much as lies beside `box`: the same edges, so that it still
/// hangs together with its neighbours, closed by two across, outside the box.
TopoDS_Face besideBox(const TopoDS_Face& face, const Bnd_Box& box) {
  const std::vector<TopoDS_Edge> edges = straightEdges(face);
  if (edges.size() <= kMostEdgesWhole) {
    return face;
  }
  const gp_XYZ extent = boxOf(face).CornerMax().XYZ() - boxOf(face).CornerMin().XYZ();
  const int along = extent.X() >= std::max(extent.Y(), extent.Z()) ? 1
                    : extent.Y() >= extent.Z()                     ? 2
                                                                   : 3;
  const auto is_beside = [&](const TopoDS_Edge& edge) {
    const double from = BRep_Tool::Pnt(TopExp::FirstVertex(edge)).Coord(along);
    const double to = BRep_Tool::Pnt(TopExp::LastVertex(edge)).Coord(along);
    return std::max(from, to) >= box.CornerMin().Coord(along) &&
           std::min(from, to) <= box.CornerMax().Coord(along);
  };
  const std::size_t count = edges.size();
  std::vector<std::size_t> starts;  // of runs of edges beside the box
  for (std::size_t i = 0; i < count; ++i) {
    if (is_beside(edges[i]) && !is_beside(edges[(i + count - 1) % count])) {
      starts.push_back(i);
    }
  }
  if (starts.empty() || starts.size() > 2) {
    return face;
  }
  BRepBuilderAPI_MakeWire outline;
  for (std::size_t run = 0; run < starts.size(); ++run) {
    std::size_t i = starts[run];
    for (; is_beside(edges[i]); i = (i + 1) % count) {
      outline.Add(edges[i]);
    }
    const TopoDS_Edge& last = edges[(i + count - 1) % count];
    const TopoDS_Edge& next = edges[starts[(run + 1) % starts.size()]];
    outline.Add(BRepBuilderAPI_MakeEdge(TopExp::LastVertex(last, /*CumOri=*/true),
                                        TopExp::FirstVertex(next, /*CumOri=*/true))
                    .Edge());
  }
  BRepBuilderAPI_MakeFace part(BRepAdaptor_Surface(face).Plane(), outline.Wire());
  return part.IsDone() ? part.Face() : face;
}

/// Those of its faces that come near `box`, as they hang together.
TopoDS_Compound facesNear(const TopoDS_Shape& solid, const Bnd_Box& box) {
  TopoDS_Compound near;
  const BRep_Builder builder;
  builder.MakeCompound(near);
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    if (!box.IsOut(boxOf(faces.Current()))) {
      builder.Add(near, besideBox(TopoDS::Face(faces.Current()), box));
    }
  }
  return near;
}

/// A point just within `piece`, from a face of it.
std::optional<gp_Pnt> pointWithin(const TopoDS_Shape& piece,
                                  const Handle(IntTools_Context) & context) {
  for (TopExp_Explorer faces(piece, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face& face = TopoDS::Face(faces.Current());
    gp_Pnt on_face;
    gp_Pnt2d place;
    gp_Vec outward;
    if (BOPTools_AlgoTools3D::PointInFace(face, on_face, place, context) == 0) {
      BRepGProp_Face(face).Normal(place.X(), place.Y(), on_face, outward);
      if (outward.Magnitude() > 0) {
        return on_face.Translated(-kJustWithinMm * outward.Normalized());
      }
    }
  }
  return std::nullopt;
}

/// What `few` and `many` share, by cutting `few` along those faces of `many` that come near it;
/// null where the kernel fails.
TopoDS_Shape commonByFaces(const TopoDS_Shape& few, const TopoDS_Shape& many) {
  TopoDS_Shape pieces = few;
  const TopoDS_Compound near = facesNear(many, boxOf(few));
  if (near.NbChildren() > 0) {
    BRepAlgoAPI_Splitter splitter;
    TopTools_ListOfShape cut, along;
    cut.Append(copied(few));
    along.Append(copied(near));
    splitter.SetArguments(cut);
    splitter.SetTools(along);
    splitter.Build();
    if (!splitter.IsDone() || splitter.HasErrors()) {
      return {};
    }
    pieces = splitter.Shape();
  }
  TopoDS_Compound common;
  const BRep_Builder builder;
  builder.MakeCompound(common);
  BRepClass3d_SolidClassifier classifier(many);
  const Handle(IntTools_Context) context = new IntTools_Context;
  for (TopExp_Explorer solids(pieces, TopAbs_SOLID); solids.More(); solids.Next()) {
    const auto point = pointWithin(solids.Current(), context);
    if (!point) {
      return {};
    }
    classifier.Perform(*point, gp::Resolution());
    if (classifier.State() == TopAbs_IN) {
      builder.Add(common, solids.Current());
    }
  }
  return common;
}

Vec3 coordinates(const gp_Pnt& point) {
  return {point.X(), point.Y(), point.Z()};
}

/// A solid's one shell; any other shape as it is.
TopoDS_Shape surfaceOf(const TopoDS_Shape& shape) {
  TopoDS_Shape shell;
  int count = 0;
  for (TopExp_Explorer shells(shape, TopAbs_SHELL); shells.More(); shells.Next()) {
    shell = shells.Current();
    ++count;
  }
  return shape.ShapeType() == TopAbs_SOLID && count == 1 ? shell : shape;
}

/// A vertex of `inner`, where that lies in the solid `outer`. Their surfaces do not meet, so one
/// tells for all, where the kernel's own measuring asks them all.
std::optional<Vec3> pointInside(const TopoDS_Shape& inner, const TopoDS_Shape& outer) {
  const TopExp_Explorer vertices(inner, TopAbs_VERTEX);
  if (outer.ShapeType() != TopAbs_SOLID || !vertices.More()) {
    return std::nullopt;
  }
  const gp_Pnt point = BRep_Tool::Pnt(TopoDS::Vertex(vertices.Current()));
  if (boxOf(outer).IsOut(point)) {
    return std::nullopt;
  }
  BRepClass3d_SolidClassifier classifier(outer, point, gp::Resolution());
  return classifier.State() == TopAbs_IN ? std::optional(coordinates(point)) : std::nullopt;
}

TopoDS_Shape commonOf(const TopoDS_Shape& a, const TopoDS_Shape& b) {
  const int faces_a = faceCount(a);
  const int faces_b = faceCount(b);
  if (std::max(faces_a, faces_b) > kMostFacesWhole) {
    return faces_a < faces_b ? commonByFaces(a, b) : commonByFaces(b, a);
  }
  BRepAlgoAPI_Common common(copied(a), copied(b));
  return common.IsDone() && !common.HasErrors() ? common.Shape() : TopoDS_Shape();
}

}  // namespace

KernelApproach kernelApproach(const TopoDS_Shape& a, const TopoDS_Shape& b) {
  KernelApproach found;
  try {
    BRepExtrema_DistShapeShape measure;
    measure.LoadS1(surfaceOf(a));
    measure.LoadS2(surfaceOf(b));
    measure.Perform();
    if (!measure.IsDone() || measure.NbSolution() < 1) {
      return found;
    }
    found = {measure.Value(), coordinates(measure.PointOnShape1(1)),
             coordinates(measure.PointOnShape2(1))};
    for (const auto& [inner, outer] : {std::pair(a, b), std::pair(b, a)}) {
      if (const auto point = found.distance_mm > 0 ? pointInside(inner, outer) : std::nullopt) {
        found = {0, *point, *point};
      }
    }
  } catch (const Standard_Failure&) {
    return {};  // no answer
  }
  return found;
}

SharedSolid sharedSolid(const TopoDS_Shape& a, const TopoDS_Shape& b) {
  SharedSolid shared;
  TopoDS_Shape solid;
  try {
    solid = commonOf(a, b);
  } catch (const Standard_Failure&) {
    return shared;  // as silent as when it merely fails
  }
  if (solid.IsNull() || !TopExp_Explorer(solid, TopAbs_SOLID).More()) {
    return shared;
  }
  shared.volume_mm3 = std::abs(massProperties(solid).volume_mm3);
  shared.bounds = tightBounds(solid);
  shared.solid = solid;
  return shared;
}

}  // namespace leafstack
