// Which length of the solids each size of the shelf is, so that it can be drawn there.
//
// Nobody lists where a row of the table is to be measured: it is found out. The row is changed by a
// hair, the gate is built again, and the row is the distance (or the diameter, or the angle between
// two flanks) that has its value and grew by that hair. So a new row is drawn without code, and
// what is drawn is what the row does to what is cut.
//
// Properties (tests/shelf/shelf_figures_test.cpp): F1 a drawn distance is its share of the row's
// value, in the model's solids; F2 no row is drawn twice; F3 same shelf, same figures.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "generator/layout/figures/layout_types.h"
#include "generator/model/model.h"
#include "generator/shelf/drawn_size.h"

namespace leafstack {

/// Some parts of one item, and what stands about them, with the sizes to be seen there.
struct ShelfFigure {
  std::shared_ptr<const Model> model;
  double drive_mm = 0;               ///< position
  std::vector<int> own, neighbours;  ///< instances; of these what they touch or are measured from
  Bounds window;                     ///< what is worth drawing of them
  std::vector<DrawnSize> sizes;      ///< in the table's order
};

/// A group of the shelf.
struct ShelfItem {
  const Parameter* group = nullptr;
  std::vector<ShelfFigure> figures;
};

struct ShelfFigures {
  std::vector<ShelfItem> items;  ///< in the table's order
  /// Why not even the plainest gate can be laid out with the shelf; no items then.
  std::vector<LayoutProblem> problems;
};

/// Of the shelf of `spec`, on small gates like `spec` with each mount. Throws as buildModel() does.
ShelfFigures shelfFigures(GateSpec spec);

/// Rows below a group of the shelf that can be lengths or angles: numbers with that unit.
bool canBeMeasured(const Parameter& row);

}  // namespace leafstack
