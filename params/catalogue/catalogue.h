// Catalogue figures by what they are for. Sources: params/catalogue/SOURCES.md, and the `source`
// column of each table, whose ids the calculation sheet quotes.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "params/spec/gate_spec.h"

namespace leafstack {

/// One construction of rope. Breaking force in N: factor x grade x diameter squared (rows W1).
struct RopeClass {
  double breaking_factor = 0;
  double mass_factor_kg_per_100m_mm2 = 0;  ///< times the diameter squared
  double desired_bend_ratio = 0, least_bend_ratio = 0;
  double stiffness_N_mm2 = 0;  ///< EA in N: times the diameter squared
  std::string source;
};
RopeClass ropeClass(const RopeSpec& spec);
/// Tensile grade of the wires: as given, else what its finish is usually sold in (from memory).
double ropeGrade_N_mm2(const RopeSpec& spec);

/// How a rope's ends are held.
struct Termination {
  double efficiency = 1;    ///< share of the rope's breaking force
  double turn_back_mm = 0;  ///< rope past either end, for its loop
  int clips = 0;            ///< at either end
  std::string source;
};
Termination terminationOf(const RopeSpec& spec);

/// Permanent stretch in percent by safety factor: straight between the table's rows, constant
/// beyond its ends.
double permanentStretchPercent(double safety);

/// Drive inputs of a wheel: F = W ((2 / D) (mu d / 2 + f) + c).
struct BearingClass {
  double lever_mm = 0, friction_factor = 0, rim_factor = 0;
  std::string source;
};
BearingClass bearingClass(WheelBearing bearing);

struct MaterialClass {
  double density_kg_m3 = 0, elastic_N_mm2 = 0, shear_N_mm2 = 0, yield_N_mm2 = 0;
  double welded_yield_N_mm2 = 0;  ///< within 20 mm of a weld
  double partial_factor = 1;      ///< of the strength
  std::string source;
};
/// By name ("steel", "aluminium", "nylon", "rubber", "concrete"); throws std::logic_error else.
MaterialClass materialClass(std::string_view name);
bool isInMaterials(std::string_view name);

/// Net pressure coefficients of a solid free-standing wall without returns in its zones, for one
/// length over height.
struct WindWallRow {
  double length_over_height = 0;
  double zone[4] = {};  ///< A (at the end) to D
};
/// Rising by length over height.
const std::vector<WindWallRow>& windWallRows();

/// 1 to 4; throws std::logic_error else.
double windClassPa(int wind_class);

/// Terrain of EN 1991-1-4.
struct TerrainClass {
  double roughness_m = 0, least_height_m = 0;
};
TerrainClass terrainClass(WindTerrain terrain);

/// Cold-formed hollow sections that merchants keep, in the table's order; both ways round where the
/// sides differ.
const std::vector<HollowSection>& boughtSections();

/// Rated load of a bought part by name, N.
double ratedLoad_N(std::string_view name);

/// From how far behind an upright gap of `gap_mm` an arm reaches no further, mm; nothing where no
/// table row is as wide (row S6, persons from 14 years, long slots).
std::optional<double> reachThrough_mm(double gap_mm);

/// The published figures that go beside the results, and where every row id comes from.
struct SafetyFigure {
  std::string row, text, source;
};
const std::vector<SafetyFigure>& safetyFigures();
struct SourceRow {
  std::string row, what, certainty, source;
};
const std::vector<SourceRow>& sourceRows();

/// A coarse thread, its hexagon bolt and nut, and the holes that go with them.
struct ThreadClass {
  double thread_mm = 0, root_mm = 0;  ///< nominal diameter, and at the bolt's root
  double nut_mm = 0, head_mm = 0;     ///< heights
  double across_flats_mm = 0, across_corners_mm = 0;
  double hole_mm = 0;  ///< that the bolt passes, medium fit
  double form_mm = 0;  ///< flow-drilled for the thread in a wall; 0: too large for that
  double tap_mm = 0;   ///< drilled to be tapped
  double washer_hole_mm = 0, washer_mm = 0, washer_thickness_mm = 0;  ///< plain, normal series
  double socket_head_mm = 0;  ///< of a cylinder head, which is as high as the thread is thick
  double counterbore_mm = 0;  ///< that this head is sunk in
  double socket_key_mm = 0, sunk_key_mm = 0;  ///< hexagon keys of cylinder and countersunk heads
  int per_box = 0;                            ///< screws, nuts or washers in a merchant's box
  /// That tightens one of class 8.8 in threads of full depth, friction 0.12 to 0.14; 0: not told.
  double torque_Nm = 0;
};
/// All there are, rising.
const std::vector<ThreadClass>& threadClasses();
/// The least that is no thinner, or the largest.
const ThreadClass& threadClass(double thread_mm);

/// The thickest thread whose medium hole is no wider, or the thinnest there is.
const ThreadClass& threadThrough(double hole_mm);

/// Lengths under the head that screws are sold in: the shortest that is no shorter, or the longest
/// there is; and the longest that is no longer, or the shortest.
double screwNoShorter_mm(double least_mm);
double screwNoLonger_mm(double most_mm);

/// Shortest flange that a press folds of steel plate, outside, between the thicknesses that it is
/// known for.
double leastFlange_mm(double thickness_mm);

}  // namespace leafstack
