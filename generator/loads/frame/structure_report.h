// What the frame of the whole gate says of its members, wheels, blocks, receivers and posts. An aid
// to a competent person, not a structural design.
//
// N, mm, N/mm2; the worst of all cases unless a case is named. Strength cases carry the partial
// factors; deflections, wheels and the track are judged by the loads as they are.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack {

/// One member's worst place.
struct StructureMember {
  int panel = 0;  ///< 0: does not move
  std::string mark, name, section;
  std::string case_name;  ///< e.g. "closed, wind from the road"
  double at_mm = 0;       ///< of its length, from its leading or lower end
  double pull_N = 0, shear_N = 0, twist_Nmm = 0;
  double across_Nmm = 0, upright_Nmm = 0;  ///< moments that bend it across the gate, and in it
  double normal_N_mm2 = 0, shear_N_mm2 = 0;
  double stress_N_mm2 = 0;   ///< sqrt(normal^2 + 3 shear^2)
  double yield_N_mm2 = 0;    ///< that counts there: of the weld's zone where it is one, less gamma
  double use = 0;            ///< stress over yield
  double deflection_mm = 0;  ///< greatest across the gate, unfactored
};

struct StructureWheel {
  int panel = 1;
  bool leading = true;
  std::string case_name;
  double lateral_N = 0, vertical_N = 0;  ///< sideways on the track; weight on it, negative: lifts
  double ratio = 0;                      ///< lateral over vertical; infinite where it lifts
  double limit = 0;                      ///< that its groove holds by itself
  double keeper_use = 0;  ///< of its keeper's plate, bent by the whole sideways force, factored
  std::optional<double> climbs_at_m_s;  ///< gust at which it would climb; none where never
};

/// Whether the groove, or else the keeper, holds the wheel on its track.
bool isHeld(const StructureWheel& wheel);

struct StructureBlock {
  int panel = 1;
  std::string case_name;
  double force_N = 0;
};

struct StructureReceiver {
  std::string name, case_name;
  double force_N = 0, play_mm = 0;
};

struct StructurePost {
  std::string mark, name, case_name;
  double moment_Nm = 0, torque_Nm = 0;  ///< at the foot, factored
  double use = 0;
  double anchor_N = 0;              ///< pull on one anchor, factored; 0: none of ours
  std::optional<double> plate_use;  ///< of its base plate's plastic moment
};

/// How the gate moves in its worst unfactored case: points of the tubes, as they stand and moved.
struct DeflectedLine {
  int panel = 0;
  Vec3 from{}, to{};
  Vec3 from_moved{}, to_moved{};
};

struct StructureReport {
  std::vector<StructureMember> members;  ///< the worst of each panel and name, then the posts
  double deflection_mm = 0, deflection_limit_mm = 0;
  std::string deflection_case;
  std::vector<double> frequencies_Hz;
  std::vector<StructureWheel> wheels;
  std::vector<StructureBlock> blocks;
  std::vector<StructureReceiver> receivers;
  std::vector<StructurePost> posts;
  std::vector<DeflectedLine> deflected;
  std::string problem;  ///< why no frame could be made; all else is empty then

  double mostUse() const;
  bool holds() const { return problem.empty() && mostUse() <= 1; }
};

}  // namespace leafstack
