// The stock plan as a picture: every bar to scale, with its pieces and its offcut.
#pragma once

#include <string>
#include <vector>

#include "generator/shop/stock/stock_rows.h"

namespace leafstack {

/// SVG, sections one below the other, all bars at one scale. Equal bars are drawn once, with their
/// number. The same plan gives the same bytes.
std::string stockPictureSvg(const std::vector<StockGroup>& groups);

}  // namespace leafstack
