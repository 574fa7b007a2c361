#include "generator/occt/solids/outline.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRep_Builder.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <Geom_TrimmedCurve.hxx>
#include <Precision.hxx>
#include <ShapeUpgrade_UnifySameDomain.hxx>
#include <TopExp.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <cmath>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Ax3.hxx>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>
#include <gp_Trsf.hxx>
#include <numbers>

#include "generator/geometry/geometry_error.h"

namespace leafstack {
namespace {

// Two outline points nearer than this are the same point: the kernel's own confusion distance.
constexpr double kSamePointMm = 1e-7;

gp_Pnt inSpace(Plane plane, Point2 p, double along = 0) {
  switch (plane) {
    case Plane::kXY:
      return {p.a, p.b, along};
    case Plane::kXZ:
      return {p.a, along, p.b};
    case Plane::kYZ:
      return {along, p.a, p.b};
  }
  return {};
}

gp_Dir alongAxis(Plane plane) {
  switch (plane) {
    case Plane::kXY:
      return gp::DZ();
    case Plane::kXZ:
      return gp::DY();
    case Plane::kYZ:
      return gp::DX();
  }
  return gp::DZ();
}

/// Plane whose normal makes (a, b) anticlockwise.
gp_Pln drawingPlane(Plane plane, double along) {
  const gp_Pnt origin = inSpace(plane, {0, 0}, along);
  switch (plane) {
    case Plane::kXY:
      return gp_Pln(gp_Ax3(origin, gp::DZ(), gp::DX()));
    case Plane::kXZ:
      return gp_Pln(gp_Ax3(origin, gp_Dir(0, -1, 0), gp::DX()));
    case Plane::kYZ:
      return gp_Pln(gp_Ax3(origin, gp::DX(), gp::DY()));
  }
  return {};
}

bool same(Point2 p, Point2 q) {
  return std::hypot(p.a - q.a, p.b - q.b) < kSamePointMm;
}

}  // namespace

Outline& Outline::line(Point2 to) {
  if (!same(last_, to)) {
    segments_.push_back({{}, to, false});
    last_ = to;
  }
  return *this;
}

Outline& Outline::arc(Point2 through, Point2 to) {
  segments_.push_back({through, to, true});
  last_ = to;
  return *this;
}

Outline& Outline::close() {
  if (!same(last_, start_)) {
    segments_.push_back({{}, start_, false});
  } else if (!segments_.empty()) {
    segments_.back().to = start_;
  }
  last_ = start_;
  return *this;
}

Outline Outline::polygon(const std::vector<Point2>& corners) {
  Outline outline(corners.front());
  for (std::size_t i = 1; i < corners.size(); ++i) {
    outline.line(corners[i]);
  }
  return outline.close();
}

Outline Outline::rectangle(Point2 low, Point2 high) {
  return polygon({low, {high.a, low.b}, high, {low.a, high.b}});
}

Outline Outline::roundedRectangle(Point2 low, Point2 high, double radius) {
  if (radius <= 0) {
    return rectangle(low, high);
  }
  const double r = radius;
  const double inset = r * (1 - std::numbers::sqrt2 / 2);  // corner arc's mid point
  Outline outline({low.a + r, low.b});
  outline.line({high.a - r, low.b}).arc({high.a - inset, low.b + inset}, {high.a, low.b + r});
  outline.line({high.a, high.b - r}).arc({high.a - inset, high.b - inset}, {high.a - r, high.b});
  outline.line({low.a + r, high.b}).arc({low.a + inset, high.b - inset}, {low.a, high.b - r});
  outline.line({low.a, low.b + r}).arc({low.a + inset, low.b + inset}, {low.a + r, low.b});
  return outline.close();
}

Outline Outline::slot(Point2 centre, double half_length, double radius) {
  const double flat = half_length - radius;
  Outline outline({centre.a - flat, centre.b - radius});
  outline.line({centre.a + flat, centre.b - radius})
      .arc({centre.a + half_length, centre.b}, {centre.a + flat, centre.b + radius});
  outline.line({centre.a - flat, centre.b + radius})
      .arc({centre.a - half_length, centre.b}, {centre.a - flat, centre.b - radius});
  return outline.close();
}

Outline Outline::circle(Point2 centre, double radius) {
  Outline outline(centre);
  outline.is_circle_ = true;
  outline.centre_ = centre;
  outline.radius_ = radius;
  return outline;
}

TopoDS_Wire Outline::wire(Plane plane) const {
  if (is_circle_) {
    const gp_Pln frame = drawingPlane(plane, 0);
    const gp_Ax2 axis(inSpace(plane, centre_), frame.Axis().Direction(), frame.XAxis().Direction());
    return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(gp_Circ(axis, radius_)).Edge()).Wire();
  }
  // Corner by corner, where the kernel's own maker looks through all it has for each new edge.
  const BRep_Builder builder;
  TopoDS_Wire wire;
  builder.MakeWire(wire);
  const TopoDS_Vertex first = BRepBuilderAPI_MakeVertex(inSpace(plane, start_));
  TopoDS_Vertex from = first;
  Point2 at = start_;
  for (const Segment& segment : segments_) {
    const TopoDS_Vertex to = same(segment.to, start_)
                                 ? first
                                 : BRepBuilderAPI_MakeVertex(inSpace(plane, segment.to)).Vertex();
    if (segment.is_arc) {
      const Handle(Geom_TrimmedCurve) arc =
          GC_MakeArcOfCircle(inSpace(plane, at), inSpace(plane, segment.through),
                             inSpace(plane, segment.to))
              .Value();
      builder.Add(
          wire, BRepBuilderAPI_MakeEdge(arc, from, to, arc->FirstParameter(), arc->LastParameter())
                    .Edge());
    } else {
      builder.Add(wire, BRepBuilderAPI_MakeEdge(from, to).Edge());
    }
    from = to;
    at = segment.to;
  }
  if (!from.IsSame(first)) {
    throw GeometryError("an outline does not close");
  }
  wire.Closed(true);
  return wire;
}

double Outline::turnMm2() const {
  if (is_circle_) {
    return std::numbers::pi * radius_ * radius_;
  }
  double twice = 0;
  Point2 at = start_;
  const auto goTo = [&](const Point2& next) {
    twice += at.a * next.b - at.b * next.a;
    at = next;
  };
  for (const Segment& segment : segments_) {
    if (segment.is_arc) {
      goTo(segment.through);
    }
    goTo(segment.to);
  }
  return twice / 2;
}

TopoDS_Shape prism(Plane plane, const Outline& outer, const std::vector<Outline>& holes,
                   Extent extent) {
  TopoDS_Wire around = outer.wire(plane);
  if (outer.turnMm2() < 0) {
    around.Reverse();
  }
  // Its way round is known: the kernel would classify points to find it.
  BRepBuilderAPI_MakeFace face(drawingPlane(plane, 0), around, /*Inside=*/false);
  for (const Outline& hole : holes) {
    face.Add(TopoDS::Wire(hole.wire(plane).Reversed()));
  }
  if (!face.IsDone()) {
    throw GeometryError("an outline bounds no face");
  }
  TopoDS_Shape base = face.Face();
  const gp_Vec along(alongAxis(plane));
  if (extent.from != 0) {
    gp_Trsf shift;
    shift.SetTranslation(along * extent.from);
    base = BRepBuilderAPI_Transform(base, shift, /*copy=*/true).Shape();
  }
  return BRepPrimAPI_MakePrism(base, along * (extent.to - extent.from)).Shape();
}

TopoDS_Shape box(const std::array<double, 3>& low, const std::array<double, 3>& high) {
  return BRepPrimAPI_MakeBox(gp_Pnt(low[0], low[1], low[2]), gp_Pnt(high[0], high[1], high[2]))
      .Solid();
}

TopoDS_Shape revolution(Plane axis, const Outline& outline) {
  // Drawn in a plane that contains the axis: (X, Z) for Z, (X, Y) for Y and for X.
  const Plane drawing = axis == Plane::kXY ? Plane::kXZ : Plane::kXY;
  const TopoDS_Face face = BRepBuilderAPI_MakeFace(outline.wire(drawing)).Face();
  return BRepPrimAPI_MakeRevol(face, gp_Ax1(gp::Origin(), alongAxis(axis))).Shape();
}

TopoDS_Shape cut(const TopoDS_Shape& body, const std::vector<TopoDS_Shape>& tools) {
  if (tools.empty()) {
    return body;
  }
  TopTools_ListOfShape arguments;
  arguments.Append(body);
  TopTools_ListOfShape tool_list;
  for (const TopoDS_Shape& tool : tools) {
    tool_list.Append(tool);
  }
  BRepAlgoAPI_Cut operation;
  operation.SetArguments(arguments);
  operation.SetTools(tool_list);
  operation.SetRunParallel(false);
  operation.Build();
  if (!operation.IsDone() || operation.HasErrors()) {
    throw GeometryError("the kernel could not cut a part");
  }
  return operation.Shape();
}

TopoDS_Shape fuse(const TopoDS_Shape& body, const TopoDS_Shape& other) {
  BRepAlgoAPI_Fuse operation(body, other);
  if (!operation.IsDone() || operation.HasErrors()) {
    throw GeometryError("the kernel could not join two bodies");
  }
  ShapeUpgrade_UnifySameDomain unify(operation.Shape());
  unify.Build();
  return unify.Shape();
}

TopoDS_Shape moved(const TopoDS_Shape& shape, const std::array<double, 3>& by) {
  gp_Trsf shift;
  shift.SetTranslation(gp_Vec(by[0], by[1], by[2]));
  return BRepBuilderAPI_Transform(shape, shift, /*copy=*/true).Shape();
}

TopoDS_Shape mirroredInX(const TopoDS_Shape& solid) {
  gp_Trsf mirror;
  mirror.SetMirror(gp_Ax2(gp::Origin(), gp::DX()));
  return BRepBuilderAPI_Transform(solid, mirror, /*copy=*/true).Shape();
}

TopoDS_Shape hollowSection(Plane along, const HollowSection& section, double length_mm) {
  const bool upright = along == Plane::kXY;
  const Point2 size = upright ? Point2{section.height_mm, section.depth_mm}
                              : Point2{section.depth_mm, section.height_mm};
  const CornerRadii radii = cornerRadii(section);
  const double t = section.wall_mm;
  return prism(along, Outline::roundedRectangle({0, 0}, size, radii.outer_mm),
               {Outline::roundedRectangle({t, t}, {size.a - t, size.b - t}, radii.inner_mm)},
               {0, length_mm});
}

}  // namespace leafstack
