#include "generator/occt/solids/mitre_joints.h"

#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <TopoDS_Solid.hxx>
#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

// Mitres flatter than this are square: the bar goes straight on.
constexpr double kNoMitre = 1e-12;

}  // namespace

gp_Dir alongDir(double turn_rad) {
  return {std::cos(turn_rad), 0, std::sin(turn_rad)};
}
gp_Dir upDir(double turn_rad) {
  return {-std::sin(turn_rad), 0, std::cos(turn_rad)};
}

TopoDS_Shape solidWithin(TopoDS_Shell& shell) {
  shell.Closed(BRep_Tool::IsClosed(shell));
  const BRep_Builder builder;
  TopoDS_Solid solid;
  builder.MakeSolid(solid);
  builder.Add(solid, shell);
  return solid;
}

std::vector<MitreJoint> mitreJoints(const GroundLine& line, const std::array<double, 2>& ends,
                                    double over_mm, double chord_mm) {
  std::vector<MitreJoint> joints;
  for (double x : line.stations(ends[0], ends[1], chord_mm)) {
    const double turn = std::atan(line.slope(x));
    MitreJoint joint;
    joint.centre =
        gp_Pnt(x - over_mm * std::sin(turn), 0, line.heightMm(x) + over_mm * std::cos(turn));
    joints.push_back(joint);
  }
  std::vector<double> turns;  // of the lengths between
  for (std::size_t i = 0; i + 1 < joints.size(); ++i) {
    const gp_XYZ way = joints[i + 1].centre.XYZ() - joints[i].centre.XYZ();
    turns.push_back(std::atan2(way.Z(), way.X()));
  }
  joints.front().turn_rad = turns.front();
  joints.back().turn_rad = turns.back();
  for (std::size_t i = 1; i + 1 < joints.size(); ++i) {
    const double half = (turns[i] - turns[i - 1]) / 2;
    joints[i].turn_rad = turns[i - 1] + half;
    joints[i].half_rad = std::abs(half) < kNoMitre ? 0 : half;
  }
  return joints;
}

SectionIntegrals SectionIntegrals::ofRound(double radius_mm) {
  SectionIntegrals all;
  all.area_mm2 = std::numbers::pi * radius_mm * radius_mm;
  all.uu_mm4 = all.area_mm2 * radius_mm * radius_mm / 4;
  all.round_mm = 2 * std::numbers::pi * radius_mm;
  return all;
}

SectionIntegrals SectionIntegrals::ofPolygon(const std::vector<Point2>& corners) {
  SectionIntegrals all;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Point2& p = corners[i];
    const Point2& q = corners[(i + 1) % corners.size()];
    // Of the triangle that the edge spans with the origin, twice.
    const double twice = p.a * q.b - q.a * p.b;
    all.area_mm2 += twice / 2;
    all.y_mm3 += twice * (p.a + q.a) / 6;
    all.u_mm3 += twice * (p.b + q.b) / 6;
    all.uu_mm4 += twice * (p.b * p.b + p.b * q.b + q.b * q.b) / 12;
    all.yu_mm4 += twice * (p.a * (2 * p.b + q.b) + q.a * (2 * q.b + p.b)) / 24;
    const double edge = std::hypot(q.a - p.a, q.b - p.b);
    all.round_mm += edge;
    all.round_u_mm2 += edge * (p.b + q.b) / 2;
  }
  return all;
}

MeasuredSolid measuredBar(const std::vector<MitreJoint>& joints, const SectionIntegrals& section,
                          const TopoDS_Shape& solid) {
  MeasuredSolid bar;
  bar.solid = solid;
  bar.area_mm2 = 2 * section.area_mm2;
  gp_XYZ moment(0, 0, 0);
  for (std::size_t i = 0; i + 1 < joints.size(); ++i) {
    const MitreJoint& from = joints[i];
    const MitreJoint& to = joints[i + 1];
    const double turn = from.turn_rad + from.half_rad;
    const double length = from.centre.Distance(to.centre);
    // At u the length begins at `begins` u and ends at length + `ends` u.
    const double begins = std::tan(from.half_rad);
    const double ends = -std::tan(to.half_rad);
    const double widens = ends - begins;
    const double volume = length * section.area_mm2 + widens * section.u_mm3;
    const double along = (length * length * section.area_mm2 + 2 * length * ends * section.u_mm3 +
                          (ends * ends - begins * begins) * section.uu_mm4) /
                         2;
    const double up = length * section.u_mm3 + widens * section.uu_mm4;
    const double across = length * section.y_mm3 + widens * section.yu_mm4;
    bar.volume_mm3 += volume;
    bar.area_mm2 += length * section.round_mm + widens * section.round_u_mm2;
    moment += volume * from.centre.XYZ() + along * alongDir(turn).XYZ() + up * upDir(turn).XYZ() +
              gp_XYZ(0, across, 0);
  }
  moment /= bar.volume_mm3;
  bar.centroid_mm = {moment.X(), moment.Y(), moment.Z()};
  return bar;
}

}  // namespace leafstack
