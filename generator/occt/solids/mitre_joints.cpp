#include "generator/occt/solids/mitre_joints.h"

#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <TopoDS_Solid.hxx>
#include <cmath>

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

}  // namespace leafstack
