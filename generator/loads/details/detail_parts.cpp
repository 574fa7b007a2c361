#include "generator/loads/details/detail_parts.h"

#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/loads/frame/frame_metal.h"
#include "params/catalogue/catalogue.h"

namespace leafstack::detail_rows {

namespace {
constexpr double kScrewFactor = 1.25;  // gamma_M2 (EN 1993-1-8), from memory
}

double stripMoment_Nmm(double length_mm, double thickness_mm, double yield_N_mm2) {
  return length_mm * thickness_mm * thickness_mm / 4 * yield_N_mm2;
}

double yieldOf(const GateSpec& spec, const Part& part) {
  const MaterialClass metal = materialClass(part.material);
  const bool is_frame = part.material == frameMaterialName(spec) && part.tube;
  return (is_frame ? frameYield_N_mm2(spec) : metal.yield_N_mm2) / metal.partial_factor;
}

double weldedYieldOf(const GateSpec& spec, const Part& part) {
  const MaterialClass metal = materialClass(part.material);
  return yieldOf(spec, part) * metal.welded_yield_N_mm2 / metal.yield_N_mm2;
}

double tensileOf(std::string_view material) {
  return material == "aluminium" ? 195 : 360;
}

double screwPull_N(double thread_mm, bool is_sunk) {
  constexpr double kTensile = 800, kSunk = 0.63, kOther = 0.9;
  const double root = threadClass(thread_mm).root_mm;
  return (is_sunk ? kSunk : kOther) * kTensile * std::numbers::pi / 4 * root * root / kScrewFactor;
}

double threadPull_N(double thread_mm, double hold_mm, std::string_view material) {
  return 0.5 * std::numbers::pi * thread_mm * hold_mm * tensileOf(material) /
         (std::numbers::sqrt3 * kScrewFactor);
}

double wallPull_N(double wall_mm, double yield_N_mm2) {
  return 4 * std::numbers::pi * stripMoment_Nmm(1, wall_mm, yield_N_mm2);
}

std::string newtons(double value_N) {
  return shown(value_N, 0) + " N";
}

std::string ofPanel(int panel, std::string_view what) {
  return "panel " + std::to_string(panel) + "'s " + std::string(what);
}

void addRow(StructureReport& report, StructureDetail row) {
  constexpr double kOfNothing = 10;  // own choice: what weighs as much as it should in cures
  row.use = row.bears > 0 ? row.acts / row.bears : kOfNothing;
  report.details.push_back(std::move(row));
}

std::vector<int> instancesOf(const Model& model, PartKind kind, int panel) {
  std::vector<int> out;
  for (std::size_t i = 0; i < model.instances.size(); ++i) {
    const Instance& one = model.instances[i];
    if (one.panel == panel && model.parts[one.part].kind == kind) {
      out.push_back(static_cast<int>(i));
    }
  }
  return out;
}

}  // namespace leafstack::detail_rows
