#include "generator/occt/loops.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepTools.hxx>
#include <BRepTools_WireExplorer.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Pnt.hxx>
#include <numbers>

#include "generator/geometry/geometry_error.h"

namespace leafstack {
namespace {

// Arcs of one circle have one centre, far below any machine's step.
constexpr double kSamePlaceMm = 1e-7;

struct PlanePoint {
  double x = 0, y = 0;
};

PlanePoint flattened(const gp_Pnt& point, const gp_Ax2& axes) {
  const gp_Vec from(axes.Location(), point);
  return {from.Dot(gp_Vec(axes.XDirection())), from.Dot(gp_Vec(axes.YDirection()))};
}

/// One edge in the direction the wire runs.
struct Piece {
  PlanePoint start, end;
  bool is_arc = false;
  double turn = 0;  ///< of an arc, anticlockwise positive
  PlanePoint centre;
  double radius = 0;
};

Piece pieceOf(const TopoDS_Edge& edge, bool reversed, const gp_Ax2& axes) {
  const BRepAdaptor_Curve curve(edge);
  double first = curve.FirstParameter();
  double last = curve.LastParameter();
  if (reversed) {
    std::swap(first, last);
  }
  Piece piece;
  piece.start = flattened(curve.Value(first), axes);
  piece.end = flattened(curve.Value(last), axes);
  if (curve.GetType() == GeomAbs_Line) {
    return piece;
  }
  if (curve.GetType() != GeomAbs_Circle) {
    throw GeometryError("a profile has an edge that is neither straight nor an arc");
  }
  const gp_Circ circle = curve.Circle();
  const gp_Dir normal = axes.Direction();
  piece.is_arc = true;
  piece.turn = (last - first) * (circle.Axis().Direction().Dot(normal) > 0 ? 1 : -1);
  piece.centre = flattened(circle.Location(), axes);
  piece.radius = circle.Radius();
  return piece;
}

/// All arcs about one centre that go once round.
bool isCircle(const std::vector<Piece>& pieces) {
  double turn = 0;
  for (const Piece& piece : pieces) {
    if (!piece.is_arc ||
        std::hypot(piece.centre.x - pieces[0].centre.x, piece.centre.y - pieces[0].centre.y) >
            kSamePlaceMm ||
        std::abs(piece.radius - pieces[0].radius) > kSamePlaceMm) {
      return false;
    }
    turn += piece.turn;
  }
  return std::abs(std::abs(turn) - 2 * std::numbers::pi) < kSamePlaceMm;
}

void reverse(std::vector<ProfileVertex>& vertices) {
  std::vector<ProfileVertex> back;
  const std::size_t count = vertices.size();
  for (std::size_t i = 0; i < count; ++i) {
    const ProfileVertex& vertex = vertices[count - 1 - i];
    back.push_back({vertex.x_mm, vertex.y_mm, -vertices[(2 * count - 2 - i) % count].bulge});
  }
  vertices = std::move(back);
}

ProfileLoop loopOf(const TopoDS_Wire& wire, const TopoDS_Face& face, const gp_Ax2& axes,
                   bool anticlockwise) {
  std::vector<Piece> pieces;
  for (BRepTools_WireExplorer edges(wire, face); edges.More(); edges.Next()) {
    pieces.push_back(pieceOf(edges.Current(), edges.Orientation() == TopAbs_REVERSED, axes));
  }
  ProfileLoop loop;
  if (isCircle(pieces)) {
    loop.is_circle = true;
    loop.x_mm = pieces[0].centre.x;
    loop.y_mm = pieces[0].centre.y;
    loop.radius_mm = pieces[0].radius;
    return loop;
  }
  for (const Piece& piece : pieces) {
    loop.vertices.push_back(
        {piece.start.x, piece.start.y, piece.is_arc ? std::tan(piece.turn / 4) : 0});
  }
  if ((signedAreaMm2(loop.vertices) > 0) != anticlockwise) {
    reverse(loop.vertices);
  }
  return loop;
}

}  // namespace

std::vector<ProfileLoop> loopsOf(const TopoDS_Face& face, const gp_Ax2& axes) {
  const TopoDS_Wire outer = BRepTools::OuterWire(face);
  std::vector<ProfileLoop> loops = {loopOf(outer, face, axes, true)};
  for (TopExp_Explorer wires(face, TopAbs_WIRE); wires.More(); wires.Next()) {
    if (!wires.Current().IsSame(outer)) {
      loops.push_back(loopOf(TopoDS::Wire(wires.Current()), face, axes, false));
    }
  }
  return loops;
}

}  // namespace leafstack
