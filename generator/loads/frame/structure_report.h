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
  /// "wheel pocket and axle": holes there, which its section is less by; "" where it is whole.
  std::string taken_off;
  double area_mm2 = 0, across_mm3 = 0, upright_mm3 = 0;  ///< that counts there
};

/// A plate that stands out and is bent, about the edge that it is welded by.
struct StructurePlate {
  std::string name, case_name;
  double force_N = 0, lever_mm = 0;  ///< factored, and how far from that edge it acts
  double width_mm = 0, thick_mm = 0, yield_N_mm2 = 0;
  double use = 0;  ///< F e over its plastic moment, b t^2 / 4 x yield
};

/// A fillet, by the force on each mm of it (EN 1993-1-8, 4.5.3.3).
struct StructureWeld {
  std::string name, case_name;
  std::string mark = {};  ///< of the post that stands on it; "" for others
  std::string formula;    ///< how the force on each mm comes about, with figures
  double leg_mm = 0, line_N_mm = 0, strength_N_mm2 = 0;
  double use = 0;  ///< of leg / sqrt 2 x strength
};

struct StructureWheel {
  int panel = 1;
  bool leading = true;
  std::string case_name;
  double lateral_N = 0, vertical_N = 0;  ///< sideways on the track; weight on it, negative: lifts
  double ratio = 0;                      ///< lateral over vertical; infinite where it lifts
  double limit = 0;                      ///< that its groove holds by itself
  double keeper_limit = 0;    ///< up to which its keeper catches it; infinite: whatever the ratio
  double keeper_use = 0;      ///< of its keeper's plate, bent by the whole sideways force, factored
  double most_lateral_N = 0;   ///< sideways, greatest of all cases, either way
  double most_vertical_N = 0;  ///< weight on it, greatest of all cases
  std::optional<double> climbs_at_m_s;  ///< gust at which it would climb; none where never
};

/// Its axle, bent as a pin between walls or cheeks; forces with their factors.
struct StructureAxle {
  int panel = 1;
  bool leading = true;
  double weight_N = 0, side_N = 0;
  double wall_mm = 0, hub_mm = 0, gap_mm = 0, diameter_mm = 0, yield_N_mm2 = 0;
  double moment_Nmm = 0;
  double use = 0;  ///< of 1.5 W f_y
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

/// What one place is held by, N, and at the feet of posts and brackets the moments that hold them,
/// N m: along the track in the opening direction, across from road to property, up.
struct Reaction {
  std::string what;  ///< "panel 1's leading wheel"
  Vec3 force_N{}, moment_Nm{};
};

/// One case's, the loads as they are. Wheels and feet hold the gate from outside; guide blocks and
/// receivers are between its parts: of a block what pulls it on its panel, of a receiver what it
/// does to the front panel. A wheel that its groove does not hold leaves all that pushes it
/// sideways to its track keeper.
struct CaseReactions {
  std::string case_name;
  std::vector<Reaction> at;
};

/// A post's anchors, two rows of two. Where the gate file says nothing of them, nothing is said
/// here.
struct PostAnchors {
  double row_N = 0;                        ///< pull on one row, factored
  double edge_mm = 0, spacing_mm = 0;      ///< least, to the concrete's edge and to the next anchor
  std::optional<double> pull_use;          ///< of one anchor's design resistance
  std::optional<double> cone_N, cone_use;  ///< one row's cone of concrete, design resistance
};

/// Where a block reaches to that is not its post's own place.
struct BlockReach {
  std::string what;  ///< "into the clear opening"
  double by_mm = 0;
};
/// Of a reach that takes the foot from under a bank.
inline constexpr const char* kPastPocket = "past the pocket, under the bank";

/// The block of concrete under a post. Its own; what stands beside it knows nothing of it.
struct PostBlock {
  std::string case_name;
  double along_mm = 0, across_mm = 0, depth_mm = 0;
  double weight_N = 0;
  bool tips_across = true;                  ///< about an edge along the track
  double tipping_Nm = 0, righting_Nm = 0;   ///< about its lower edge, factored (EN 1990, EQU)
  double use = 0;                           ///< the one over the other
  double soil_kPa = 0;                      ///< greatest, unfactored; infinite where it tips
  std::optional<double> soil_use;           ///< of what the ground may bear
  double middle_x_mm = 0, middle_y_mm = 0;  ///< the layout's
  double in_slab_mm3 = 0;                   ///< of its volume, what is the footing's slab as well
  std::vector<BlockReach> reaches;          ///< for whoever sets it out
};

struct StructurePost {
  std::string mark, name, case_name;
  bool is_guide_post = false;
  double moment_Nm = 0, torque_Nm = 0;  ///< at the foot, factored
  double use = 0;
  double anchor_N = 0;              ///< pull on one anchor, factored; 0: none of ours
  std::optional<double> plate_use;  ///< of its base plate's plastic moment
  std::optional<PostAnchors> anchors;
  std::optional<PostBlock> block;
};

/// What carries the gate and is no member: guide rails, channels, cladding, wheels' carriers, what
/// holds the tracks. One place, at its worst.
struct StructureDetail {
  const char* id = "";  ///< of its warning
  std::string name, case_name;
  std::string formula;  ///< with its figures
  const char* source = "";
  const char* unit = "N mm";
  double acts = 0, bears = 0;  ///< factored, in `unit`
  double use = 0;              ///< the one over the other; where nothing bears, 10
  const char* where = "";      ///< parameter that it hangs on
  std::string remedy;          ///< a sentence
};

/// What stands outside the gate file and has to bear it.
struct StructureProviso {
  const char* id = "";
  std::string text;     ///< a sentence
  std::string proviso;  ///< "its fence post bears ..."
  const char* where = "";
};

/// A piece of a tube as it stands, and moved.
struct DeflectedLine {
  int panel = 0;
  bool is_infill = false;
  Vec3 from{}, to{};
  Vec3 from_moved{}, to_moved{};
};

/// How the gate moves at one position of the drive, under the unfactored wind that moves it most.
struct DeflectedShape {
  std::string state, case_name;  ///< "closed"; "closed, wind from the road"
  double most_mm = 0;            ///< across the track, of a panel
  bool from_road = true;         ///< the wind pushes along +Y
  std::vector<DeflectedLine> lines;
};

struct StructureReport {
  std::vector<StructureMember> members;  ///< the worst of each panel and name, then the posts
  double deflection_mm = 0, deflection_limit_mm = 0;
  std::string deflection_case;
  std::vector<double> frequencies_Hz;
  std::vector<StructureWheel> wheels;
  std::vector<StructureAxle> axles;  ///< of the wheels, in their order
  std::vector<StructureBlock> blocks;
  std::vector<StructureReceiver> receivers;
  std::vector<StructurePost> posts;
  std::vector<StructurePlate> plates;     ///< of receivers and track keepers
  std::vector<StructureWeld> welds;       ///< of these, and of posts on their base plates
  std::vector<StructureDetail> details;
  std::vector<StructureProviso> provisos;
  std::vector<CaseReactions> reactions;   ///< of every case
  std::vector<DeflectedShape> deflected;  ///< closed, half open, parked
  std::string problem;                    ///< why no frame could be made; all else is empty then

  double mostUse() const;
  bool holds() const { return problem.empty() && mostUse() <= 1; }
};

}  // namespace leafstack
