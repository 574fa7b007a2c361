#include "generator/occt/solids/mitre.h"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Geom2d_Line.hxx>
#include <Geom_Circle.hxx>
#include <Geom_CylindricalSurface.hxx>
#include <Geom_Ellipse.hxx>
#include <Geom_Plane.hxx>
#include <Precision.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Ax3.hxx>
#include <gp_Vec.hxx>

#include "generator/geometry/geometry_error.h"
#include "generator/geometry/numbers.h"
#include "generator/occt/solids/wave.h"

namespace leafstack {
namespace {

// A straight side or a bar shorter than this is none: the kernel's own confusion distance.
constexpr double kNoLengthMm = 1e-7;

/// One side of a profile, walked with the material on the left: straight, or a quarter turn.
struct Side {
  Point2 from, to;
  Point2 centre{};
  double radius_mm = 0;    ///< 0: straight
  bool turns_left = true;  ///< an arc's sense; right in a bore's corners
};
using Loop = std::vector<Side>;

/// Anticlockwise.
Loop polygonLoop(const std::vector<Point2>& corners) {
  Loop loop;
  double twice_area = 0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Point2& from = corners[i];
    const Point2& to = corners[(i + 1) % corners.size()];
    twice_area += from.a * to.b - from.b * to.a;
    loop.push_back({from, to});
  }
  if (!(twice_area > 0)) {
    throw GeometryError("a mitred bar's profile is not drawn anticlockwise");
  }
  return loop;
}

/// Anticlockwise rectangle with round corners.
Loop roundedLoop(const Point2& low, const Point2& high, double radius) {
  const double r = radius;
  if (high.a - low.a < 2 * r - kNoLengthMm || high.b - low.b < 2 * r - kNoLengthMm || !(r > 0)) {
    throw GeometryError("a mitred section is smaller than its corners");
  }
  // Each corner: its centre, and the two ends of its arc.
  const auto corner = [r](Point2 centre, Point2 from, Point2 to) {
    return Side{{centre.a + r * from.a, centre.b + r * from.b},
                {centre.a + r * to.a, centre.b + r * to.b},
                centre,
                r};
  };
  const std::array<Side, 4> corners = {corner({high.a - r, low.b + r}, {0, -1}, {1, 0}),
                                       corner({high.a - r, high.b - r}, {1, 0}, {0, 1}),
                                       corner({low.a + r, high.b - r}, {0, 1}, {-1, 0}),
                                       corner({low.a + r, low.b + r}, {-1, 0}, {0, -1})};
  Loop loop;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    Side arc = corners[i];
    const Point2 before = corners[(i + 3) % 4].to;
    if (std::hypot(arc.from.a - before.a, arc.from.b - before.b) > kNoLengthMm) {
      loop.push_back({before, arc.from});
    } else {
      arc.from = before;
    }
    loop.push_back(arc);
  }
  return loop;
}

/// The other way round: as a bore.
Loop reversed(const Loop& loop) {
  Loop back;
  for (auto side = loop.rbegin(); side != loop.rend(); ++side) {
    back.push_back(*side);
    std::swap(back.back().from, back.back().to);
    back.back().turns_left = false;
  }
  return back;
}

/// A plane across the bar: `at_mm` along the axis where the section's origin is, plus `slope` per
/// mm along the direction in which the ends rise.
struct EndPlane {
  double at_mm = 0, slope = 0;
};

class MitredBar {
 public:
  MitredBar(Plane along, double length_mm, const EndSlopes& slopes)
      : upright_(along == Plane::kXY), ends_{{{0, slopes.start}, {length_mm, slopes.end}}} {
    if (along == Plane::kXZ) {
      throw GeometryError("bars along Y have no mitred ends");
    }
    builder_.MakeShell(shell_);
    addEndFaces();
  }

  void add(const Loop& loop);
  TopoDS_Shape solid();

 private:
  /// Of one side: its edges in the end planes, in the direction it is walked, and the one along the
  /// bar where it starts.
  struct Edges {
    std::array<TopoDS_Edge, 2> across;  ///< by end
    TopoDS_Edge along;
  };

  gp_Dir axis() const { return upright_ ? gp::DZ() : gp::DX(); }
  /// The direction across the bar in which the ends rise.
  gp_Dir rise() const { return upright_ ? gp::DX() : gp::DZ(); }
  gp_Pnt inSpace(const Point2& p, double along) const {
    return upright_ ? gp_Pnt(p.a, p.b, along) : gp_Pnt(along, p.a, p.b);
  }
  double alongAt(int end, const Point2& p) const {
    return ends_[end].at_mm + ends_[end].slope * (upright_ ? p.a : p.b);
  }
  gp_Dir normalOf(int end) const { return gp_Vec(axis()) - ends_[end].slope * gp_Vec(rise()); }

  void addEndFaces();
  TopoDS_Vertex vertexAt(int end, const Point2& p);
  double turnOf(const Side& arc) const;
  TopoDS_Edge arcEdge(int end, const Side& arc, const std::array<TopoDS_Vertex, 2>& vertices);
  Edges edgesOf(const Side& side, const std::array<TopoDS_Vertex, 2>& from,
                const std::array<TopoDS_Vertex, 2>& to);
  void addSide(const Side& side, const Edges& edges, const TopoDS_Edge& along_to);
  TopoDS_Face planeSide(const Side& side) const;
  TopoDS_Face cylinderSide(const Side& arc, const Edges& edges, const TopoDS_Edge& along_to);

  bool upright_;
  std::array<EndPlane, 2> ends_;
  BRep_Builder builder_;
  TopoDS_Shell shell_;
  std::array<TopoDS_Face, 2> end_faces_;
};

void MitredBar::addEndFaces() {
  for (int end : {0, 1}) {
    const gp_Dir outward = end == 0 ? normalOf(end).Reversed() : normalOf(end);
    const gp_Pnt origin = inSpace({0, 0}, ends_[end].at_mm);
    builder_.MakeFace(end_faces_[end],
                      new Geom_Plane(gp_Ax3(origin, outward, axis().Crossed(rise()))),
                      Precision::Confusion());
  }
}

TopoDS_Vertex MitredBar::vertexAt(int end, const Point2& p) {
  TopoDS_Vertex vertex;
  builder_.MakeVertex(vertex, inSpace(p, alongAt(end, p)), Precision::Confusion());
  return vertex;
}

/// Where an arc starts anticlockwise, as an angle from rise(): 0, 1, 2 or 3 quarters, since the
/// kernel moves others into its curves' first period.
double MitredBar::turnOf(const Side& arc) const {
  const Point2& first = arc.turns_left ? arc.from : arc.to;
  const double a = first.a - arc.centre.a;
  const double b = first.b - arc.centre.b;
  const double turn = upright_ ? std::atan2(b, a) : std::atan2(-a, b);
  return kQuarter * static_cast<double>((std::lround(turn / kQuarter) + 4) % 4);
}

/// The edge in the direction the arc is walked. Its parameter is the angle from rise().
TopoDS_Edge MitredBar::arcEdge(int end, const Side& arc,
                               const std::array<TopoDS_Vertex, 2>& vertices) {
  const double slope = ends_[end].slope;
  const gp_Pnt centre = inSpace(arc.centre, alongAt(end, arc.centre));
  Handle(Geom_Curve) curve;
  if (slope == 0) {
    curve = new Geom_Circle(gp_Ax2(centre, axis(), rise()), arc.radius_mm);
  } else {
    const gp_Ax2 frame(centre, normalOf(end), gp_Vec(rise()) + slope * gp_Vec(axis()));
    curve = new Geom_Ellipse(frame, arc.radius_mm * std::hypot(1, slope), arc.radius_mm);
  }
  const double from = turnOf(arc);
  const int first = arc.turns_left ? 0 : 1;
  BRepBuilderAPI_MakeEdge made(curve, vertices[first], vertices[1 - first], from, from + kQuarter);
  if (!made.IsDone()) {
    throw GeometryError("the kernel could not make a mitred corner");
  }
  return TopoDS::Edge(made.Edge().Oriented(arc.turns_left ? TopAbs_FORWARD : TopAbs_REVERSED));
}

MitredBar::Edges MitredBar::edgesOf(const Side& side, const std::array<TopoDS_Vertex, 2>& from,
                                    const std::array<TopoDS_Vertex, 2>& to) {
  Edges edges;
  for (int end : {0, 1}) {
    edges.across[end] = side.radius_mm > 0 ? arcEdge(end, side, {from[end], to[end]})
                                           : BRepBuilderAPI_MakeEdge(from[end], to[end]).Edge();
  }
  edges.along = BRepBuilderAPI_MakeEdge(from[0], from[1]).Edge();
  return edges;
}

TopoDS_Face MitredBar::planeSide(const Side& side) const {
  const gp_Pnt from = inSpace(side.from, 0);
  const gp_Dir walk(gp_Vec(from, inSpace(side.to, 0)));
  TopoDS_Face face;
  builder_.MakeFace(face, new Geom_Plane(gp_Ax3(from, walk.Crossed(axis()), walk)),
                    Precision::Confusion());
  return face;
}

TopoDS_Face MitredBar::cylinderSide(const Side& arc, const Edges& edges,
                                    const TopoDS_Edge& along_to) {
  const gp_Pnt centre = inSpace(arc.centre, 0);
  const gp_Pnt first = inSpace(arc.turns_left ? arc.from : arc.to, 0);
  const Handle(Geom_Surface) surface =
      new Geom_CylindricalSurface(gp_Ax3(centre, axis(), gp_Vec(centre, first)), arc.radius_mm);
  TopoDS_Face face;
  builder_.MakeFace(face, surface, Precision::Confusion());
  const auto draw = [&](const TopoDS_Edge& edge, const Handle(Geom2d_Curve) & curve) {
    builder_.UpdateEdge(edge, curve, face, Precision::Confusion());
  };
  const double turn = turnOf(arc);
  for (int end : {0, 1}) {
    const double middle = alongAt(end, arc.centre);
    const double amplitude = ends_[end].slope * arc.radius_mm;
    draw(edges.across[end],
         amplitude == 0 ? Handle(Geom2d_Curve)(new Geom2d_Line(gp_Pnt2d(-turn, middle), gp::DX2d()))
                        : waveOnCylinder(turn, middle, amplitude));
  }
  // Lengths start at the start plane.
  const auto generator = [&](double u, const Point2& p) {
    return new Geom2d_Line(gp_Pnt2d(u, alongAt(0, p)), gp::DY2d());
  };
  draw(edges.along, generator(arc.turns_left ? 0 : kQuarter, arc.from));
  draw(along_to, generator(arc.turns_left ? kQuarter : 0, arc.to));
  return face;
}

void MitredBar::addSide(const Side& side, const Edges& edges, const TopoDS_Edge& along_to) {
  TopoDS_Wire wire;
  builder_.MakeWire(wire);
  builder_.Add(wire, edges.across[0]);
  builder_.Add(wire, along_to);
  builder_.Add(wire, edges.across[1].Reversed());
  builder_.Add(wire, edges.along.Reversed());
  wire.Closed(true);
  TopoDS_Face face = side.radius_mm > 0 ? cylinderSide(side, edges, along_to) : planeSide(side);
  // A bore's corner looks at its cylinder's axis, against the surface's own normal.
  const bool inward = side.radius_mm > 0 && !side.turns_left;
  builder_.Add(face, inward ? wire.Reversed() : wire);
  builder_.Add(shell_, inward ? face.Reversed() : face);
}

void MitredBar::add(const Loop& loop) {
  const std::size_t count = loop.size();
  std::vector<std::array<TopoDS_Vertex, 2>> vertices;
  for (const Side& side : loop) {
    // Ends are planes and arcs quarter turns, so that the bar is nowhere shorter than at a corner.
    if (!(alongAt(1, side.from) - alongAt(0, side.from) > kNoLengthMm)) {
      throw GeometryError("the ends of a mitred bar meet");
    }
    vertices.push_back({vertexAt(0, side.from), vertexAt(1, side.from)});
  }
  std::vector<Edges> edges;
  for (std::size_t i = 0; i < count; ++i) {
    edges.push_back(edgesOf(loop[i], vertices[i], vertices[(i + 1) % count]));
  }
  std::array<TopoDS_Wire, 2> rims;
  for (int end : {0, 1}) {
    builder_.MakeWire(rims[end]);
    for (std::size_t i = 0; i < count; ++i) {
      // The start is seen from behind.
      builder_.Add(rims[end], end == 0 ? edges[count - 1 - i].across[0].Reversed()
                                       : TopoDS_Shape(edges[i].across[1]));
    }
    rims[end].Closed(true);
    builder_.Add(end_faces_[end], rims[end]);
  }
  for (std::size_t i = 0; i < count; ++i) {
    addSide(loop[i], edges[i], edges[(i + 1) % count].along);
  }
}

TopoDS_Shape MitredBar::solid() {
  for (const TopoDS_Face& face : end_faces_) {
    builder_.Add(shell_, face);
  }
  shell_.Closed(BRep_Tool::IsClosed(shell_));
  TopoDS_Solid solid;
  builder_.MakeSolid(solid);
  builder_.Add(solid, shell_);
  return solid;
}

bool isSquare(const EndSlopes& ends) {
  return ends.start == 0 && ends.end == 0;
}

}  // namespace

TopoDS_Shape mitredSection(Plane along, const HollowSection& section, double length_mm,
                           const EndSlopes& ends) {
  if (isSquare(ends)) {
    return hollowSection(along, section, length_mm);
  }
  const bool upright = along == Plane::kXY;
  const Point2 size = upright ? Point2{section.height_mm, section.depth_mm}
                              : Point2{section.depth_mm, section.height_mm};
  const CornerRadii radii = cornerRadii(section);
  const double t = section.wall_mm;
  MitredBar bar(along, length_mm, ends);
  bar.add(roundedLoop({0, 0}, size, radii.outer_mm));
  bar.add(reversed(roundedLoop({t, t}, {size.a - t, size.b - t}, radii.inner_mm)));
  return bar.solid();
}

TopoDS_Shape mitredPrism(Plane along, const std::vector<Point2>& corners, double length_mm,
                         const EndSlopes& ends) {
  if (isSquare(ends)) {
    return prism(along, Outline::polygon(corners), {0, length_mm});
  }
  MitredBar bar(along, length_mm, ends);
  bar.add(polygonLoop(corners));
  return bar.solid();
}

}  // namespace leafstack
