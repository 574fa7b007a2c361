#include "exporters/lists/tables.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "exporters/bytes/csv.h"
#include "exporters/bytes/rounding.h"
#include "generator/shop/order.h"

namespace leafstack {
namespace {

// What a tape, a saw and a weighbridge can use.
constexpr int kSiteDecimals = 1;
constexpr int kSawDecimals = 2;
constexpr int kAngleDecimals = 2;
constexpr int kMassDecimals = 3;

std::string length(double mm) {
  return fixedDecimals(mm, kSiteDecimals);
}
std::string cutLength(double mm) {
  return fixedDecimals(mm, kSawDecimals);
}
/// Blank where the mass is not ours to know: envelopes, and what stands on site already.
std::string mass(double kg) {
  return kg > 0 ? fixedDecimals(kg, kMassDecimals) : std::string();
}

/// "square" or "4.57 in elevation".
std::string endText(const EndCut& end) {
  const std::string angle = fixedDecimals(end.angle_deg, kAngleDecimals);
  if (end.plane.empty() || fixedDecimals(0, kAngleDecimals) == angle) {
    return "0";
  }
  return angle + " in " + end.plane;
}

}  // namespace

std::string cutListCsv(const Schedules& schedules) {
  std::string csv = csvLine({"mark", "name", "section", "material", "panels", "quantity",
                             "length_mm", "leading_or_lower_end_deg", "trailing_or_upper_end_deg",
                             "mass_each_kg", "mass_total_kg", "cutouts", "file"});
  for (const CutRow& row : schedules.cut_list) {
    csv += csvLine({row.mark, row.name, row.section, row.material, row.panels,
                    std::to_string(row.quantity), cutLength(row.length_mm), endText(row.ends[0]),
                    endText(row.ends[1]), mass(row.mass_kg), mass(row.mass_kg * row.quantity),
                    row.cutouts, row.file});
  }
  return csv;
}

std::string stockPlanCsv(const Schedules& schedules) {
  std::string csv = csvLine({"material", "section", "bar", "stock_mm", "cut", "mark", "from_mm",
                             "length_mm", "offcut_mm"});
  for (const StockGroup& group : schedules.stock) {
    for (std::size_t bar = 0; bar < group.plan.bars.size(); ++bar) {
      const StockBar& stock = group.plan.bars[bar];
      for (std::size_t cut = 0; cut < stock.cuts.size(); ++cut) {
        const bool is_last = cut + 1 == stock.cuts.size();
        csv += csvLine({group.material, group.section, std::to_string(bar + 1),
                        cutLength(stock.stock_mm), std::to_string(cut + 1), stock.cuts[cut].mark,
                        cutLength(stock.cuts[cut].from_mm), cutLength(stock.cuts[cut].length_mm),
                        is_last ? cutLength(stock.offcut_mm) : ""});
      }
    }
    for (const StockPiece& piece : group.plan.too_long) {
      csv += csvLine({group.material, group.section, "none long enough", "", "", piece.mark, "",
                      cutLength(piece.length_mm), ""});
    }
  }
  return csv;
}

std::string sheetPlanCsv(const Schedules& schedules) {
  std::string csv =
      csvLine({"material", "thickness_mm", "sheet", "sheet_length_mm", "sheet_width_mm", "mark",
               "x_mm", "y_mm", "along_mm", "across_mm", "turned"});
  for (const SheetGroup& group : schedules.sheets) {
    const std::string thickness = length(group.thickness_mm);
    for (std::size_t sheet = 0; sheet < group.plan.sheets.size(); ++sheet) {
      for (const SheetCut& cut : group.plan.sheets[sheet]) {
        csv += csvLine({group.material, thickness, std::to_string(sheet + 1),
                        cutLength(group.sheet.length_mm), cutLength(group.sheet.width_mm), cut.mark,
                        cutLength(cut.x_mm), cutLength(cut.y_mm), cutLength(cut.along_mm),
                        cutLength(cut.across_mm), cut.is_turned ? "yes" : "no"});
      }
    }
    for (const SheetPiece& piece : group.plan.too_large) {
      csv += csvLine({group.material, thickness, "none large enough", "", "", piece.mark, "", "",
                      cutLength(piece.length_mm), cutLength(piece.width_mm), ""});
    }
  }
  return csv;
}

std::string coatingCsv(const Schedules& schedules) {
  constexpr int kAreaDecimals = 4;
  const auto area = [](double m2) { return fixedDecimals(m2, kAreaDecimals); };
  std::string csv = csvLine({"mark", "name", "section", "material", "quantity", "all_each_m2",
                             "all_total_m2", "outside_each_m2", "outside_total_m2", "mass_total_kg",
                             "finish", "zinc_um", "after_coating"});
  double all = 0, outside = 0, kg = 0;
  for (const CoatingRow& row : schedules.coating) {
    csv += csvLine({row.mark, row.name, row.section, row.material, std::to_string(row.quantity),
                    area(row.all_m2), area(row.all_m2 * row.quantity), area(row.outside_m2),
                    area(row.outside_m2 * row.quantity), mass(row.mass_kg * row.quantity),
                    row.finish, row.zinc_um > 0 ? fixedDecimals(row.zinc_um, 0) : "", row.after});
    all += row.all_m2 * row.quantity;
    outside += row.outside_m2 * row.quantity;
    kg += row.mass_kg * row.quantity;
  }
  return csv +
         csvLine({"", "total", "", "", "", "", area(all), "", area(outside), mass(kg), "", ""});
}

std::string weldsCsv(const Schedules& schedules) {
  constexpr int kMetreDecimals = 2;
  std::string csv = csvLine({"mark", "panel", "a", "b", "kind", "leg_or_thickness_mm",
                             "length_each_mm", "pieces_each", "sides", "gap_between_pieces_mm",
                             "all_round", "preparation", "joints", "length_total_mm",
                             "use_at_most_percent", "shop_or_site", "where", "what"});
  std::map<int, double> all_mm;
  for (const WeldRow& row : schedules.welds) {
    csv += csvLine({row.mark, std::to_string(row.panel), row.a, row.b,
                    std::string(toString(row.kind)), length(row.leg_mm), length(row.length_mm),
                    row.pieces > 0 ? std::to_string(row.pieces) : "", std::to_string(row.sides),
                    row.gap_mm > 0 ? length(row.gap_mm) : "", row.is_all_round ? "yes" : "",
                    std::string(toString(row.groove)), std::to_string(row.joints),
                    length(row.allLengthMm()), row.use ? fixedDecimals(*row.use * 100, 0) : "",
                    row.is_on_site ? "site" : "shop", row.where, row.what});
    all_mm[row.panel] += row.allLengthMm();
  }
  for (const auto& [panel, mm] : all_mm) {
    const std::string what = panel > 0 ? "panel " + std::to_string(panel) : "not moving";
    csv += csvLine({"", std::to_string(panel), "", "", "total", "", "", "", "", "", "", "", "",
                    length(mm), "", "", "",
                    what + ": " + fixedDecimals(mm / 1000, kMetreDecimals) + " m"});
  }
  return csv;
}

std::string fastenersCsv(const Schedules& schedules) {
  std::string csv = csvLine({"mark", "size", "head", "grade", "finish", "quantity", "panel",
                             "under_head", "holds_in", "washer", "nut", "clamps_mm",
                             "thread_holds_mm", "tool", "tool_meets", "what"});
  for (const FastenerRow& row : schedules.fasteners) {
    std::string met;
    for (const std::string& mark : row.blocked_by) {
      met += (met.empty() ? "" : " ") + mark;
    }
    csv += csvLine({row.mark, row.size, row.head, row.grade, row.finish,
                    std::to_string(row.quantity), std::to_string(row.panel), row.under_head,
                    row.holds_in, row.washer, row.nut, length(row.grip_mm),
                    row.hold_mm > 0 ? length(row.hold_mm) : "", row.tool, met, row.what});
  }
  return csv;
}

std::string packingCsv(const std::vector<LoadingRow>& rows) {
  std::string csv = csvLine({"what", "mark", "pieces", "length_mm", "depth_mm", "height_mm",
                             "mass_each_kg", "centre_from_leading_end_mm", "centre_from_front_mm",
                             "centre_up_mm", "install_step", "loose"});
  for (const LoadingRow& loading : rows) {
    const PackingRow& row = loading.load;
    csv += csvLine({row.what, row.marks, std::to_string(row.pieces), length(row.length_mm),
                    length(row.depth_mm), length(row.height_mm), mass(row.mass_kg),
                    length(row.centre_mm[0]), length(row.centre_mm[1]), length(row.centre_mm[2]),
                    std::to_string(loading.step), row.loose});
  }
  return csv;
}

std::string ropesCsv(const Schedules& schedules) {
  constexpr int kForceDecimals = 0, kRatioDecimals = 1;
  std::string csv = csvLine({"mark",
                             "carried_by_panel",
                             "does",
                             "construction",
                             "diameter_mm",
                             "order_length_mm",
                             "length_mm",
                             "between_terminations_mm",
                             "termination",
                             "clips_per_end",
                             "adjuster_thread_mm",
                             "working_tension_N",
                             "breaking_force_N",
                             "termination_efficiency",
                             "safety",
                             "bend_ratio",
                             "stretch_mm",
                             "permanent_stretch_mm",
                             "mass_kg",
                             "tension_order",
                             "each_end_each_way_mm",
                             "panel_in_front_leading_end_mm"});
  for (const RopeRow& row : schedules.loads.ropes) {
    csv += csvLine({row.mark,
                    std::to_string(row.carrier),
                    row.opening ? "opening" : "closing",
                    row.construction,
                    length(row.diameter_mm),
                    fixedDecimals(row.order_length_mm, 0),
                    length(row.length_mm),
                    length(row.free_length_mm),
                    row.termination,
                    std::to_string(row.clips_per_end),
                    length(row.adjuster_mm),
                    fixedDecimals(row.working_tension_N, kForceDecimals),
                    fixedDecimals(row.breaking_force_N, kForceDecimals),
                    fixedDecimals(row.termination_efficiency, 2),
                    row.safety ? fixedDecimals(*row.safety, kRatioDecimals) : "",
                    fixedDecimals(row.bend_ratio, kRatioDecimals),
                    length(row.stretch_mm),
                    length(row.permanent_stretch_mm),
                    mass(row.mass_kg),
                    std::to_string(row.tension_order),
                    length(row.each_way_mm),
                    length(row.draws_panel_to_mm)});
  }
  return csv;
}

std::string cutoutsCsv(const Schedules& schedules) {
  std::string csv = csvLine({"mark", "name", "quantity", "wall", "side_in_file", "kind",
                             "from_end_mm", "x_in_file_mm", "across_mm", "length_mm", "width_mm",
                             "corner_radius_mm", "what", "file"});
  for (const CutoutRow& row : schedules.cutouts) {
    csv += csvLine({row.mark, row.name, std::to_string(row.quantity), row.wall, row.outward,
                    row.kind, cutLength(row.from_end_mm), cutLength(row.x_mm),
                    cutLength(row.across_mm), cutLength(row.length_mm), cutLength(row.width_mm),
                    cutLength(row.corner_mm), row.what, row.file});
  }
  return csv;
}

std::string orderCsv(const Schedules& schedules) {
  constexpr int kAreaDecimals = 3;
  std::string csv = csvLine({"supplier", "item", "what", "material", "finish", "quantity", "unit",
                             "mass_total_kg", "marks"});
  for (const OrderRow& row : orderRows(schedules)) {
    const bool is_whole = row.quantity == std::round(row.quantity);
    csv += csvLine({row.supplier, row.item, row.what, row.material, row.finish,
                    fixedDecimals(row.quantity, is_whole ? 0 : kAreaDecimals), row.unit,
                    mass(row.mass_kg), row.marks});
  }
  return csv;
}

std::string setOutCsv(const Schedules& schedules) {
  std::string csv = csvLine({"item", "mark", "point", "x_mm", "y_mm", "z_mm", "note"});
  for (const SetOutRow& row : schedules.set_out) {
    csv += csvLine({row.item, row.mark, row.point, length(row.at_mm[0]), length(row.at_mm[1]),
                    length(row.at_mm[2]), row.note + row.hint});
  }
  return csv;
}

std::string shimsCsv(const GroundLayout& ground) {
  return shimsCsv(ground, {});
}

std::string shimsCsv(const GroundLayout& ground, const std::vector<TrackShim>& as_built) {
  // Only where something was measured: who has no use for this column has none.
  const auto line = [&](const char* what, std::vector<std::string> cells) {
    if (!as_built.empty()) {
      cells.insert(cells.begin(), what);
    }
    return csvLine(cells);
  };
  std::string csv = line("for", {"track", "x_mm", "slab_z_mm", "laid_z_mm", "shim_mm", "grind_mm",
                                 "if_straight_shim_mm", "if_straight_grind_mm"});
  for (const TrackShim& one : as_built) {
    csv += line("as built", {std::to_string(one.track), length(one.x_mm), length(one.found_mm),
                             length(one.found_mm + one.shim_mm - one.grind_mm), length(one.shim_mm),
                             length(one.grind_mm), "", ""});
  }
  for (const LaidTrack& track : ground.laid) {
    for (const LaidPoint& point : track.points) {
      const double straight = point.straight_mm - point.slab_mm;
      csv +=
          line("as drawn", {std::to_string(track.panel), length(point.x_mm), length(point.slab_mm),
                            length(point.laid_mm), length(point.shimMm()), length(point.grindMm()),
                            length(std::max(0.0, straight)), length(std::max(0.0, -straight))});
    }
  }
  return csv;
}

std::string billCsv(const Schedules& schedules) {
  std::vector<std::string> heads = {"mark",      "name",         "description",
                                    "material",  "supply",       "quantity",
                                    "length_mm", "mass_each_kg", "mass_total_kg"};
  // Only where the shelf says anything: who has no use for these columns has none.
  const bool has_words = std::any_of(schedules.bill.begin(), schedules.bill.end(),
                                     [](const BillRow& row) { return !row.words.isEmpty(); });
  if (has_words) {
    heads.insert(heads.end(), {"item", "supplier", "finish"});
  }
  std::string csv = csvLine(heads);
  for (const BillRow& row : schedules.bill) {
    std::vector<std::string> cells = {row.mark,
                                      row.name,
                                      row.description,
                                      row.material,
                                      row.supply,
                                      std::to_string(row.quantity),
                                      length(row.length_mm),
                                      mass(row.mass_kg),
                                      mass(row.mass_kg * row.quantity)};
    if (has_words) {
      cells.insert(cells.end(), {row.words.item, row.words.supplier, row.words.finish});
    }
    csv += csvLine(cells);
  }
  return csv;
}

}  // namespace leafstack
