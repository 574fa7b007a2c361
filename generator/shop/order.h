// What to buy for a gate, by supplier and item: bars, plates, boards, ropes, hardware, concrete.
#pragma once

#include <string>
#include <vector>

#include "generator/shop/schedules.h"

namespace leafstack {

/// One row of tables/order.csv.
struct OrderRow {
  std::string supplier;  ///< as the shelf says; "" where it says nothing
  std::string item;      ///< the supplier's reference; ""
  std::string what;      ///< "SHS 50x50x3, bars of 6000 mm", "plate 12", "rope pulley, dia 60"
  std::string material, finish;
  std::string unit;  ///< "bar", "board", "m2", "m", "piece", "m3", "box of 100"
  double quantity = 0;
  int per_box = 0;     ///< of a box
  double mass_kg = 0;  ///< of all of it as used; 0 where unknown
  /// Of whole bars, boards and boxes as delivered; of what is turned from its stock, and of all
  /// else, 0.
  double bought_kg = 0;
  std::string marks;  ///< of the parts that it is for
};

/// Hardware first, by supplier, then screws by the box, bars, boards, plates and concrete. Bars and
/// boards come from Schedules::stock, which must be planned. Plates are the area of their blanks'
/// bounding rectangles, without what nesting leaves over. What stands on site already (fence posts)
/// is not bought.
std::vector<OrderRow> orderRows(const Schedules& schedules);

}  // namespace leafstack
