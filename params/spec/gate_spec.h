// The gate as its owner described it: every key of the gate file, typed, with its default.
//
// Units are in the names (mm, kg, N, degrees, m/s2). An empty optional means "auto": the generator
// computes the value and says why. Valid ranges, meanings and sources stand in
// params/table/table.cpp, the one table that drives reading, defaults, the JSON Schema and the
// documentation; the values initialised here are only what an untouched struct holds and a test
// checks that both agree.
#pragma once

#include <algorithm>
#include <array>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "params/spec/as_built_spec.h"
#include "params/spec/hardware_spec.h"

namespace leafstack {

enum class Hand { kRight, kLeft };
enum class TopShape { kRaked, kLevel, kStepped };
enum class Stacking { kFlush, kStaggered };
enum class FrameMaterial { kSteel, kAluminium };
enum class InfillKind { kPickets, kSlats, kSheet, kOpen };
enum class CladdingKind { kNone, kBoards, kBattens };
enum class GuideMount { kPost, kOverhead, kReachOver };
enum class RopeConstruction { k7x19, k7x7 };
enum class RopeFinish { kGalvanised, kStainless };
enum class RopeTermination { kSwaged, kFerrule, kClips };
enum class WheelBearing { kRolling, kPlain };
/// Terrain categories of EN 1991-1-4; kGust: the speed given is the gust's at the gate.
enum class WindTerrain { kGust, k0, kI, kII, kIII, kIV };
enum class WindEnds { kFree, kFence };
/// Of the steel that the workshop cuts and welds.
enum class ShopFinish { kNone, kPainted, kGalvanised, kGalvanisedPowder };
enum class PaperSize { kA4, kA3, kA2 };
/// Where views stand on a sheet (ISO 128): from above below (first) or above (third) the front.
enum class ProjectionAngle { kFirst, kThird };
enum class DxfSpace { kPaper, kModel };

/// A hollow section: of steel cold-formed to EN 10219-2, of aluminium extruded. "RHS 100x50x3" is
/// 100 high, 50 wide, 3 thick.
/// In a panel `height_mm` lies in the plane of the gate and `depth_mm` across the track (Y).
struct HollowSection {
  double height_mm = 0;
  double depth_mm = 0;
  double wall_mm = 0;
  std::string designation;   ///< as given, normalised: "RHS 100x50x3" or "SHS 50x50x3"
  bool is_auto = false;      ///< left to the program: the sizes are what choosing starts from
  bool is_extruded = false;  ///< with nearly sharp corners
};

struct JobSpec {
  std::string title, number, client, company, drawn_by, checked_by, approved_by, date, revision;
};

using SurveyLine = std::vector<std::pair<double, double>>;  ///< (x, z), x strictly increasing

/// How track bars are laid on surveyed ground: bent over it, or straight on shims at their anchors.
enum class TrackLaying { kBent, kStraight };

/// Something at the site that is not the gate's: nothing may come near it. Layout's frame.
struct Obstacle {
  std::string name;
  std::array<double, 3> low_mm{}, high_mm{};
};

/// Units that files without one of their own are drawn in.
struct DrawnUnit {
  const char* name;
  double mm;
};
inline constexpr std::array<DrawnUnit, 5> kDrawnUnits = {
    {{"mm", 1}, {"cm", 10}, {"m", 1000}, {"in", 25.4}, {"ft", 304.8}}};

class SurroundingShapes;  // generator/surroundings

/// The same as somebody else drew it. Its place is in the frame of the files that are written, which
/// opens towards -X where the gate opens to the left: nothing drawn is mirrored.
struct Surrounding {
  std::string file, name;
  std::string unit;  ///< "": what the file says, or that its format has
  std::array<double, 3> at_mm{};
  double turned_deg = 0;  ///< about the upright axis, to the left, before it goes to its place
  std::shared_ptr<const SurroundingShapes> shapes;
};

struct SiteSpec {
  double opening_mm = 0;  ///< clear distance between the fence posts; the only required value
  std::optional<double> room_mm;
  Hand opens = Hand::kRight;
  double fence_height_mm = 1800;
  double fence_post_mm = 100;
  double fence_clearance_mm = 15;
  std::optional<double> setback_mm;
  double grade = 0;
  double cross_grade = 0;
  /// Empty: not surveyed. One line, of the front track; or one for every track, back first, their
  /// heights from one datum.
  std::vector<SurveyLine> track_survey_mm;
  TrackLaying track_laying = TrackLaying::kBent;
  double shims_most_mm = 20, grinding_most_mm = 5;  ///< under a track, and off the slab
  double dowel_mm = 12;          ///< of bars welded under tracks; 0: held by other means
  double dowel_length_mm = 100;  ///< as far as the footing is deep enough
  double track_gap_mm = 0;       ///< between pieces of a track; 0: welded
  double anchor_apart_mm = 500;  ///< of a track
  double bank = 0;
  std::optional<double> pocket_width_mm;
  std::vector<Obstacle> obstacles;
  std::vector<Surrounding> surroundings;
  double obstacle_clearance_mm = 2;
  /// On the map: metres of the layout's origin; compass bearing of +Y, clockwise from north.
  double easting_m = 0, northing_m = 0, elevation_mm = 0, north_deg = 0;
};

struct InfillSpec {
  InfillKind kind = InfillKind::kPickets;
  HollowSection section;    ///< for pickets and slats
  double gap_mm = 50;       ///< greatest clear gap between neighbours
  double thickness_mm = 2;  ///< of a sheet
};

struct CladdingSpec {
  CladdingKind kind = CladdingKind::kNone;
  double thickness_mm = 20;
  double width_mm = 120;
  double gap_mm = 5;
  std::optional<double> bottom_mm;  ///< lower edge above the bottom rail's underside
  double density_kg_m3 = 420;
};

struct PanelSpec {
  std::optional<int> panels = 2;  ///< 1 to 4; empty = auto
  double height_mm = 1700;        ///< top of the panels above the driveway
  TopShape top = TopShape::kRaked;
  Stacking stacking = Stacking::kFlush;
  double overlap_mm = 80;
  double closing_overlap_mm = 0;
  double tuck_mm = 0;
  double ground_clearance_mm = 50;  ///< bottom rail's underside above the driveway
  FrameMaterial material = FrameMaterial::kSteel;
  std::optional<double> yield_N_mm2;
  HollowSection bottom_rail, top_rail, stile;
  double bay_mm = 2000;  ///< greatest distance of uprights, from middle to middle
  InfillSpec infill;
  CladdingSpec cladding;
  bool has_return = true;
};

struct GuideSpec {
  GuideMount mount = GuideMount::kPost;
  double rail_mm = 32;
  double channel_width_mm = 80;
  double channel_depth_mm = 49;
  double recess_mm = 0;
  std::optional<double> packing_mm;
  bool hide = true;
  double post_mm = 80;
  bool post_is_auto = false;  ///< left to the program: post_mm is what choosing starts from
  double margin_mm = 10;      ///< frame beyond the channel's edge at either end of the travel
  double post_gap_mm = 20;    ///< driveway edge to guide post
  std::optional<std::vector<double>> drop_mm;  ///< one per panel, panel 1 first
};

struct RopeSpec {
  double diameter_mm = 3;
  RopeConstruction construction = RopeConstruction::k7x19;
  std::optional<double> grade_N_mm2;  ///< tensile grade of the wires
  RopeFinish finish = RopeFinish::kGalvanised;
  RopeTermination termination = RopeTermination::kSwaged;
  double pulley_efficiency = 0.98;    ///< share of the pull that passes one pulley
  std::optional<double> adjuster_mm;  ///< take-up of each rope, both ends together
  std::optional<double> pulley_pitch_mm;
  std::optional<double> pulley_inset_mm, bracket_clearance_mm;
  double bracket_inset_mm = -12;
  std::optional<std::vector<double>> heights_mm;  ///< one per carrying panel, panel 1 first
};

struct DriveSpec {
  MotorSpec motor;
  double motor_gap_mm = 10;   ///< guide post, or driveway edge, to the motor
  double rack_inset_mm = 20;  ///< rack's start behind panel 1's leading end
  double speed_mm_s = 160;
  std::optional<double> packing_mm;
  std::optional<double> footing_drop_mm;  ///< footing behind the tracks below theirs
  WheelBearing wheel_bearing = WheelBearing::kRolling;
  double dirt_allowance = 0.005;             ///< added to the wheels' clean resistance
  std::optional<double> rolling_resistance;  ///< of the weight, dirt included
  double acceleration_mm_s2 = 200;
  double slow_speed_mm_s = 80;
  double slow_travel_mm = 100;  ///< at the end of the travel, of panel 1
};

/// Lengths that bars and tubes are kept in; common practice, no source.
inline constexpr std::array<double, 3> kUsualStock_mm = {6000, 6500, 8000};

/// What the workshop cuts, folds and welds with.
struct ShopSpec {
  std::optional<std::vector<double>> stock_lengths_mm, timber_lengths_mm;
  std::optional<std::vector<double>> sheet_mm;  ///< length, then width
  double sheet_gap_mm = 10;                     ///< between parts, and along a sheet's edges
  double kerf_mm = 3;
  double trim_mm = 10;
  std::optional<double> bend_radius_mm;  ///< inside; empty: as thick as the plate
  double bend_k_factor = 0.42;
  std::optional<double> weld_leg_mm;  ///< of fillets; empty: by the thicknesses
  double weld_piece_mm = 40;
  double weld_pitch_mm = 200;
  ShopFinish finish = ShopFinish::kNone;
  std::optional<std::vector<double>> bath_mm;  ///< of the galvaniser: length, then depth
  std::optional<double> coat_mm;               ///< on cut steel; empty: by the finish
  /// Of what travels: greatest length, then height of a panel as it stands; and mass lifted as one.
  std::optional<std::vector<double>> transport_mm;
  std::optional<double> lift_kg;

  /// What the finish adds to every face of what is cut and welded. Zinc of EN ISO 1461 is 0.07 and
  /// 0.085 at least and comes out thicker, powder 0.06 at least (EN 13438): from memory, with what
  /// comes on top common practice, no source.
  double coatMm() const {
    constexpr double kByFinish_mm[] = {0, 0.1, 0.15, 0.3};  // none, painted, zinc, zinc and powder
    return coat_mm.value_or(kByFinish_mm[static_cast<int>(finish)]);
  }

  /// What the longest bar gives once it is trimmed, as far as that travels.
  double longestPiece_mm() const {
    const double longest =
        stock_lengths_mm ? *std::max_element(stock_lengths_mm->begin(), stock_lengths_mm->end())
                         : kUsualStock_mm.back();
    const double piece = longest - trim_mm;
    return transport_mm ? std::min(piece, transport_mm->front()) : piece;
  }
  /// Frames and posts go through a zinc bath: hollows need vents.
  bool isDipped() const {
    return finish == ShopFinish::kGalvanised || finish == ShopFinish::kGalvanisedPowder;
  }
};

/// How the drawings are made.
struct DrawingSpec {
  PaperSize sheet = PaperSize::kA3;
  ProjectionAngle projection = ProjectionAngle::kFirst;
  DxfSpace dxf = DxfSpace::kPaper;
};

struct CheckSpec {
  double clearance_mm = 10;
  double guide_clearance_mm = 1;
  double hardware_clearance_mm = 2;
  double build_tolerance_mm = 0;
  double rope_safety = 5;
  std::optional<double> wind_Pa;
  std::optional<int> wind_class;  ///< of EN 12424, 1 to 4
  double wind_speed_m_s = 28;
  WindTerrain wind_terrain = WindTerrain::kGust;
  double wind_years = 50;  ///< return period of the speed
  WindEnds wind_ends = WindEnds::kFree;
  double wind_factor = 1.5;             ///< partial factor of the wind
  double push_N = 300;                  ///< of a person on the front panel's leading end
  std::optional<double> deflection_mm;  ///< that the wind may move the frame across the track
};

/// What posts stand on. What is not known is not checked.
struct FootingSpec {
  /// Block of concrete under each post, the footing's slab in it; none: the smallest that holds.
  std::optional<double> block_along_mm, block_across_mm, block_depth_mm;
  std::optional<double> concrete_N_mm2;   ///< characteristic cylinder strength
  std::optional<double> soil_kPa;         ///< pressure that the ground may bear, without factors
  std::optional<double> anchor_depth_mm;  ///< effective embedment
  std::optional<double> anchor_pull_N;    ///< design resistance of one anchor's steel or its hold
  std::optional<double> anchor_edge_mm, anchor_spacing_mm;  ///< least that its approval allows
};

/// A value that the gate file leaves to the program, and that was found by trying.
struct ChosenValue {
  std::string pointer, value;  ///< "/gate/stile", "SHS 60x60x3"
  std::string why;
};

struct GateSpec {
  JobSpec job;
  SiteSpec site;
  PanelSpec gate;
  GuideSpec guides;
  RopeSpec ropes;
  DriveSpec drive;
  CheckSpec checks;
  FootingSpec footing;
  ShopSpec shop;
  DrawingSpec drawings;
  HardwareSpec hardware;
  AsBuiltSpec as_built;
  std::shared_ptr<const std::vector<NamedMotor>> motors;  ///< of the shelf; shared by copies
  std::vector<ChosenValue> chosen;  ///< sections and post of an "auto"; the generator fills it in

  /// How far off the fence's face what passes it is drawn, bare: what is kept when coated.
  double offFenceMm() const { return site.fence_clearance_mm + shop.coatMm(); }
};

}  // namespace leafstack
