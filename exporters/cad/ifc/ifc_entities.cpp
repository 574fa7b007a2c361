#include "exporters/cad/ifc/ifc_entities.h"

#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>

namespace leafstack {
namespace {

std::string pair(double x, double y) {
  return "(" + part21Real(x) + "," + part21Real(y) + ")";
}

bool isAlong(const gp_Dir& one, const gp_Dir& other) {
  return one.X() == other.X() && one.Y() == other.Y() && one.Z() == other.Z();
}

}  // namespace

std::string ifcEntity(std::string_view name, const std::vector<std::string>& attributes) {
  std::string text(name);
  text += '(';
  for (const std::string& attribute : attributes) {
    text += (&attribute == &attributes.front() ? "" : ",") + attribute;
  }
  return text += ')';
}

std::string ifcWord(std::string_view name) {
  return "." + std::string(name) + ".";
}

int IfcEntities::add(std::string_view name, const std::vector<std::string>& attributes) {
  return entities_.add(ifcEntity(name, attributes));
}

int IfcEntities::once(const std::string& body) {
  const auto place = std::lower_bound(known_.begin(), known_.end(), body,
                                      [](const std::pair<std::string, int>& known,
                                         const std::string& text) { return known.first < text; });
  if (place != known_.end() && place->first == body) {
    return place->second;
  }
  const int id = entities_.add(body);
  known_.insert(place, {body, id});
  return id;
}

int IfcEntities::point(const std::array<double, 3>& at_mm) {
  return once("IFCCARTESIANPOINT(" + part21Triple(at_mm[0], at_mm[1], at_mm[2]) + ")");
}

int IfcEntities::direction(const std::array<double, 3>& unit) {
  return once("IFCDIRECTION(" + part21Triple(unit[0], unit[1], unit[2]) + ")");
}

int IfcEntities::placement(const gp_Ax2& axes) {
  const gp_Pnt& at = axes.Location();
  const gp_Dir &z = axes.Direction(), &x = axes.XDirection();
  const std::string origin = part21Reference(point({at.X(), at.Y(), at.Z()}));
  if (isAlong(z, gp::DZ()) && isAlong(x, gp::DX())) {
    return once(ifcEntity("IFCAXIS2PLACEMENT3D", {origin, "$", "$"}));
  }
  return once(
      ifcEntity("IFCAXIS2PLACEMENT3D", {origin, part21Reference(direction({z.X(), z.Y(), z.Z()})),
                                        part21Reference(direction({x.X(), x.Y(), x.Z()}))}));
}

int IfcEntities::placement(const TopLoc_Location& location) {
  gp_Ax2 axes(gp::Origin(), gp::DZ(), gp::DX());
  if (location.IsIdentity()) {
    return placement(axes);
  }
  const gp_Trsf motion = location.Transformation();
  const auto column = [&](int c) {
    return gp_Vec(motion.Value(1, c), motion.Value(2, c), motion.Value(3, c));
  };
  return placement(gp_Ax2(gp_Pnt(column(4).XYZ()), gp_Dir(column(3)), gp_Dir(column(1))));
}

int IfcEntities::localPlacement(int relative_to, const TopLoc_Location& location) {
  return add("IFCLOCALPLACEMENT", {relative_to == 0 ? "$" : part21Reference(relative_to),
                                   part21Reference(placement(location))});
}

int IfcEntities::curvePoint2(double x, double y) {
  return once("IFCCARTESIANPOINT(" + pair(x, y) + ")");
}

int IfcEntities::curve(const ProfileLoop& loop) {
  if (loop.is_circle) {
    const int at = once(ifcEntity("IFCAXIS2PLACEMENT2D",
                                  {part21Reference(curvePoint2(loop.x_mm, loop.y_mm)), "$"}));
    return add("IFCCIRCLE", {part21Reference(at), part21Real(loop.radius_mm)});
  }
  // Every piece ends at a corner; an arc has a point of its own midway.
  std::string points, pieces;
  int count = 0;
  const auto place = [&](double x, double y) {
    points += (count > 0 ? "," : "") + pair(x, y);
    return ++count;
  };
  const std::size_t corners = loop.vertices.size();
  int from = place(loop.vertices[0].x_mm, loop.vertices[0].y_mm);
  for (std::size_t i = 0; i < corners; ++i) {
    const ProfileVertex& a = loop.vertices[i];
    const ProfileVertex& b = loop.vertices[(i + 1) % corners];
    int middle = 0;
    if (a.bulge != 0) {
      // The sagitta is bulge times half the chord, to the right of the way for anticlockwise arcs.
      middle = place((a.x_mm + b.x_mm) / 2 + a.bulge * (b.y_mm - a.y_mm) / 2,
                     (a.y_mm + b.y_mm) / 2 - a.bulge * (b.x_mm - a.x_mm) / 2);
    }
    const int to = i + 1 == corners ? 1 : place(b.x_mm, b.y_mm);
    pieces += pieces.empty() ? "" : ",";
    pieces += middle > 0
                  ? "IFCARCINDEX((" + std::to_string(from) + "," + std::to_string(middle) + "," +
                        std::to_string(to) + "))"
                  : "IFCLINEINDEX((" + std::to_string(from) + "," + std::to_string(to) + "))";
    from = to;
  }
  const int list = add("IFCCARTESIANPOINTLIST2D", {"(" + points + ")"});
  return add("IFCINDEXEDPOLYCURVE", {part21Reference(list), "(" + pieces + ")", ifcWord("F")});
}

}  // namespace leafstack
