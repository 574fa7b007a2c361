// Lists as CSV (csv.h), a header line with units first.
#pragma once

#include <string>
#include <vector>

#include "generator/as_built/corrected.h"
#include "generator/installing/loading.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// tables/cut-list.csv: what the saw makes.
std::string cutListCsv(const Schedules& schedules);

/// tables/cutouts.csv: every hole of every tube.
std::string cutoutsCsv(const Schedules& schedules);

/// tables/order.csv: what to buy, by supplier and item.
std::string orderCsv(const Schedules& schedules);

/// tables/bill.csv: what is bought or found on site.
std::string billCsv(const Schedules& schedules);

/// tables/stock-plan.csv: every piece with the bar it is cut from and where, offcuts with the last.
std::string stockPlanCsv(const Schedules& schedules);

/// tables/sheet-plan.csv: every plate with the sheet that it is cut from and where it lies on it.
std::string sheetPlanCsv(const Schedules& schedules);

/// tables/coating.csv: surfaces to galvanise or powder-coat, with the totals in the last line.
std::string coatingCsv(const Schedules& schedules);

/// tables/welds.csv: what the welder lays, with the metres by panel in the last lines.
std::string weldsCsv(const Schedules& schedules);

/// tables/fasteners.csv: every screw and anchor.
std::string fastenersCsv(const Schedules& schedules);

/// tables/ropes.csv: every rope with its length, terminations and strength.
std::string ropesCsv(const Schedules& schedules);

/// Columns: what, mark, pieces, overall sizes, mass of one, its centre of gravity.
std::string packingCsv(const std::vector<LoadingRow>& rows);

/// tables/set-out.csv: where everything on site stands, from one datum.
std::string setOutCsv(const Schedules& schedules);
/// What lies under the tracks at their anchors and surveyed points; the header alone on even
/// ground.
std::string shimsCsv(const GroundLayout& ground);
/// The same with what a gate as built is set on, in a column `for` before the others: heights of
/// its slab are those of the tracks as they were laid and measured.
std::string shimsCsv(const GroundLayout& ground, const std::vector<TrackShim>& as_built);

}  // namespace leafstack
