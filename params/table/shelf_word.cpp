#include "params/table/shelf_word.h"

#include <functional>

#include "params/table/hardware_rows.h"
#include "params/table/values.h"

namespace leafstack {

std::string shelfWord(GateSpec spec) {
  std::string figures;
  for (const Parameter& row : hardwareRows()) {
    if (row.kind != Kind::kGroup && row.kind != Kind::kShelf && row.kind != Kind::kText) {
      figures += valueOf(row, spec).dump() + ' ';
    }
  }
  const std::hash<std::string> hash;
  const std::size_t first = hash(figures);
  return std::to_string(first) + '-' + std::to_string(hash(figures + 'x'));
}

}  // namespace leafstack
