// What the details' rows are made with; but for DetailWind, for this room alone.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// The wind that strips and sheets stand in.
struct DetailWind {
  double pressure_Pa = 0;        ///< velocity pressure
  bool is_class = false;         ///< of EN 12424: no zones
  std::vector<double> solidity;  ///< of each panel, panel 1 first
};

}  // namespace leafstack

namespace leafstack::detail_rows {

/// EN 1990's factor on weight where it does harm, from memory.
inline constexpr double kWeightFactor = 1.35;

/// Plastic moment of a strip of a wall or plate, l t^2 / 4 x yield.
double stripMoment_Nmm(double length_mm, double thickness_mm, double yield_N_mm2);

/// Design yield of a part's metal, and within 20 mm of a weld.
double yieldOf(const GateSpec& spec, const Part& part);
double weldedYieldOf(const GateSpec& spec, const Part& part);
/// Characteristic tensile strength: 360 (S235, EN 10025-2) or 195 (EN AW-6060 T66, EN 1999-1-1,
/// Table 3.2b); from memory.
double tensileOf(std::string_view material);

/// Design pull on a countersunk or hexagon screw of class 8.8, on its root (EN 1993-1-8,
/// Table 3.4).
double screwPull_N(double thread_mm, bool is_sunk);
/// Of a thread formed or cut in a wall: half of its cylinder sheared, 0.5 pi d l f_u / (sqrt 3 x
/// 1.25); from memory.
double threadPull_N(double thread_mm, double hold_mm, std::string_view material);
/// Of the wall about it: a fan of yield lines, 4 pi t^2 / 4 f_y.
double wallPull_N(double wall_mm, double yield_N_mm2);

/// "1234 N"
std::string newtons(double value_N);
/// "panel 2's guide rail"
std::string ofPanel(int panel, std::string_view what);

void addRow(StructureReport& report, StructureDetail row);

/// Of every instance of a kind on one panel.
std::vector<int> instancesOf(const Model& model, PartKind kind, int panel);

void addGuideDetails(const Model& model, StructureReport& report);
void addCladdingDetails(const Model& model, const DetailWind& wind, StructureReport& report);
void addWheelDetails(const Model& model, StructureReport& report);
void addTrackDetails(const Model& model, StructureReport& report);
void addBracketDetails(const Model& model, StructureReport& report);

}  // namespace leafstack::detail_rows
