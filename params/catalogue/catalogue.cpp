#include "params/catalogue/catalogue.h"

#include <algorithm>
#include <array>
#include <stdexcept>

#include "params/catalogue/catalogue_table.h"
#include "params/spec/section.h"

namespace leafstack {
namespace {

/// Row of a key that must be there.
int rowOf(const CatalogueTable& table, std::string_view key) {
  const int row = table.rowOf(key);
  if (row < 0) {
    throw std::logic_error("the catalogue has no " + std::string(key));
  }
  return row;
}

std::string_view nameOf(RopeTermination termination) {
  switch (termination) {
    case RopeTermination::kSwaged:
      return "swaged";
    case RopeTermination::kFerrule:
      return "ferrule";
    case RopeTermination::kClips:
      return "clips";
  }
  return "";
}

std::string_view nameOf(WindTerrain terrain) {
  switch (terrain) {
    case WindTerrain::kGust:
    case WindTerrain::k0:
      return "0";
    case WindTerrain::kI:
      return "I";
    case WindTerrain::kII:
      return "II";
    case WindTerrain::kIII:
      return "III";
    case WindTerrain::kIV:
      return "IV";
  }
  return "";
}

}  // namespace

double ropeGrade_N_mm2(const RopeSpec& spec) {
  constexpr double kGalvanised = 1770, kStainless = 1570;
  return spec.grade_N_mm2.value_or(spec.finish == RopeFinish::kGalvanised ? kGalvanised
                                                                          : kStainless);
}

std::optional<double> reachThrough_mm(double gap_mm) {
  const CatalogueTable& table = catalogueTable("reach");
  for (int row = 0; row < table.rowCount(); ++row) {
    if (gap_mm <= table.number(row, "opening_mm")) {
      return table.number(row, "slot_mm");
    }
  }
  return std::nullopt;
}

RopeClass ropeClass(const RopeSpec& spec) {
  const CatalogueTable& table = catalogueTable("ropes");
  const int row = rowOf(table, spec.construction == RopeConstruction::k7x19 ? "7x19" : "7x7");
  RopeClass rope;
  rope.breaking_factor = table.number(row, "breaking_factor");
  rope.mass_factor_kg_per_100m_mm2 = table.number(row, "mass_factor_kg_per_100m_mm2");
  rope.desired_bend_ratio = table.number(row, "desired_bend_ratio");
  rope.least_bend_ratio = table.number(row, "least_bend_ratio");
  rope.stiffness_N_mm2 =
      table.number(row, spec.finish == RopeFinish::kGalvanised ? "stiffness_galvanised_N_mm2"
                                                               : "stiffness_stainless_N_mm2");
  rope.source = table.text(row, "source");
  return rope;
}

Termination terminationOf(const RopeSpec& spec) {
  const CatalogueTable& table = catalogueTable("terminations");
  for (int row = rowOf(table, nameOf(spec.termination)); row < table.rowCount(); ++row) {
    if (spec.diameter_mm <= table.number(row, "to_diameter_mm")) {
      return {table.number(row, "efficiency"), table.number(row, "turn_back_mm"),
              static_cast<int>(table.number(row, "clips")), table.text(row, "source")};
    }
  }
  throw std::logic_error("the catalogue has no termination for this diameter");
}

double permanentStretchPercent(double safety) {
  const CatalogueTable& table = catalogueTable("permanent-stretch");
  const auto at = [&](int row, const char* column) { return table.number(row, column); };
  const int last = table.rowCount() - 1;
  if (safety <= at(0, "safety")) {
    return at(0, "stretch_percent");
  }
  for (int row = 1; row <= last; ++row) {
    if (safety <= at(row, "safety")) {
      const double share =
          (safety - at(row - 1, "safety")) / (at(row, "safety") - at(row - 1, "safety"));
      return at(row - 1, "stretch_percent") +
             share * (at(row, "stretch_percent") - at(row - 1, "stretch_percent"));
    }
  }
  return at(last, "stretch_percent");
}

BearingClass bearingClass(WheelBearing bearing) {
  const CatalogueTable& table = catalogueTable("bearings");
  const int row = rowOf(table, bearing == WheelBearing::kRolling ? "rolling" : "plain");
  return {table.number(row, "lever_mm"), table.number(row, "friction_factor"),
          table.number(row, "rim_factor"), table.text(row, "source")};
}

bool isInMaterials(std::string_view name) {
  return catalogueTable("materials").rowOf(name) >= 0;
}

MaterialClass materialClass(std::string_view name) {
  const CatalogueTable& table = catalogueTable("materials");
  const int row = rowOf(table, name);
  return {table.number(row, "density_kg_m3"),
          table.number(row, "elastic_modulus_N_mm2"),
          table.number(row, "shear_modulus_N_mm2"),
          table.number(row, "yield_N_mm2"),
          table.number(row, "welded_yield_N_mm2"),
          table.number(row, "partial_factor"),
          table.text(row, "source")};
}

const std::vector<WindWallRow>& windWallRows() {
  static const auto kRows = [] {
    const CatalogueTable& table = catalogueTable("wind-walls");
    std::vector<WindWallRow> rows;
    for (int row = 0; row < table.rowCount(); ++row) {
      rows.push_back({table.number(row, "length_over_height"),
                      {table.number(row, "zone_a"), table.number(row, "zone_b"),
                       table.number(row, "zone_c"), table.number(row, "zone_d")}});
    }
    return rows;
  }();
  return kRows;
}

double windClassPa(int wind_class) {
  const CatalogueTable& table = catalogueTable("wind-classes");
  return table.number(rowOf(table, std::to_string(wind_class)), "pressure_Pa");
}

TerrainClass terrainClass(WindTerrain terrain) {
  constexpr double kMmPerM = 1000;
  const CatalogueTable& table = catalogueTable("terrains");
  const int row = rowOf(table, nameOf(terrain));
  return {table.number(row, "roughness_mm") / kMmPerM,
          table.number(row, "least_height_mm") / kMmPerM};
}

double ratedLoad_N(std::string_view name) {
  const CatalogueTable& table = catalogueTable("ratings");
  return table.number(rowOf(table, name), "load_N");
}

const std::vector<SafetyFigure>& safetyFigures() {
  static const auto kFigures = [] {
    const CatalogueTable& table = catalogueTable("safety");
    std::vector<SafetyFigure> figures;
    for (int row = 0; row < table.rowCount(); ++row) {
      figures.push_back(
          {table.text(row, "row"), table.text(row, "figure"), table.text(row, "source")});
    }
    return figures;
  }();
  return kFigures;
}

const std::vector<SourceRow>& sourceRows() {
  static const auto kRows = [] {
    const CatalogueTable& table = catalogueTable("sources");
    std::vector<SourceRow> rows;
    for (int row = 0; row < table.rowCount(); ++row) {
      rows.push_back({table.text(row, "row"), table.text(row, "what"), table.text(row, "certainty"),
                      table.text(row, "source")});
    }
    return rows;
  }();
  return kRows;
}

const std::vector<ThreadClass>& threadClasses() {
  static const auto kThreads = [] {
    const CatalogueTable& table = catalogueTable("fasteners");
    std::vector<ThreadClass> threads;
    for (int row = 0; row < table.rowCount(); ++row) {
      const auto at = [&](const char* column) { return table.number(row, column); };
      threads.push_back({at("thread_mm"), at("root_mm"), at("nut_mm"), at("head_mm"),
                         at("across_flats_mm"), at("across_corners_mm"), at("hole_mm"),
                         at("form_mm"), at("tap_mm"), at("washer_hole_mm"), at("washer_mm"),
                         at("washer_thickness_mm"), at("socket_head_mm"), at("counterbore_mm"),
                         at("socket_key_mm"), at("sunk_key_mm"), static_cast<int>(at("per_box")),
                         at("torque_Nm")});
    }
    return threads;
  }();
  return kThreads;
}

const std::vector<HollowSection>& boughtSections() {
  static const auto kSections = [] {
    const CatalogueTable& table = catalogueTable("sections");
    std::vector<HollowSection> sections;
    for (int row = 0; row < table.rowCount(); ++row) {
      HollowSection section{table.number(row, "larger_mm"), table.number(row, "smaller_mm"),
                            table.number(row, "wall_mm"), ""};
      section.designation = designationOf(section);
      sections.push_back(section);
      if (section.height_mm != section.depth_mm) {
        std::swap(section.height_mm, section.depth_mm);
        section.designation = designationOf(section);
        sections.push_back(section);
      }
    }
    return sections;
  }();
  return kSections;
}

const ThreadClass& threadClass(double thread_mm) {
  const std::vector<ThreadClass>& all = threadClasses();
  const auto found = std::find_if(all.begin(), all.end(), [&](const ThreadClass& thread) {
    return thread.thread_mm >= thread_mm;
  });
  return found == all.end() ? all.back() : *found;
}

const ThreadClass& threadThrough(double hole_mm) {
  const std::vector<ThreadClass>& all = threadClasses();
  const auto wider = std::find_if(
      all.begin(), all.end(), [&](const ThreadClass& thread) { return thread.hole_mm > hole_mm; });
  return wider == all.begin() ? all.front() : *std::prev(wider);
}

namespace {

/// Rising.
const std::vector<double>& screwLengths_mm() {
  static const auto kLengths = [] {
    const CatalogueTable& table = catalogueTable("screw-lengths");
    std::vector<double> lengths;
    for (int row = 0; row < table.rowCount(); ++row) {
      lengths.push_back(table.number(row, "length_mm"));
    }
    return lengths;
  }();
  return kLengths;
}

constexpr double kSameLength_mm = 1e-6;

}  // namespace

double screwNoShorter_mm(double least_mm) {
  const std::vector<double>& all = screwLengths_mm();
  const auto found = std::lower_bound(all.begin(), all.end(), least_mm - kSameLength_mm);
  return found == all.end() ? all.back() : *found;
}

double screwNoLonger_mm(double most_mm) {
  const std::vector<double>& all = screwLengths_mm();
  const auto longer = std::upper_bound(all.begin(), all.end(), most_mm + kSameLength_mm);
  return longer == all.begin() ? all.front() : *std::prev(longer);
}

double leastFlange_mm(double thickness_mm) {
  // Steel; published by a bending shop.
  constexpr std::array<std::array<double, 2>, 9> kLeast = {
      {{1, 5.5}, {2, 9.5}, {3, 14}, {4, 18.5}, {5, 24}, {6, 30}, {8, 38}, {10, 45}, {12, 59}}};
  for (std::size_t i = 1; i < kLeast.size(); ++i) {
    const auto [t0, f0] = kLeast[i - 1];
    const auto [t1, f1] = kLeast[i];
    if (thickness_mm <= t1) {
      return f0 + (f1 - f0) * std::max(0.0, thickness_mm - t0) / (t1 - t0);
    }
  }
  return kLeast.back()[1];
}

}  // namespace leafstack
