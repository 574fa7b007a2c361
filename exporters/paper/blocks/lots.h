// Several lots of views, each at a scale of its own, on as few sheets as they take.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"

namespace leafstack {

/// Free room of one sheet, out of which upright boxes are taken.
class FreeRoom {
 public:
  /// Boxes may overlap each other: what is taken is taken of all.
  explicit FreeRoom(std::vector<PaperBox> boxes) : free_(std::move(boxes)) {}

  /// Takes the place of a box of this size that is highest, then farthest left; false where there
  /// is none.
  bool take(const PaperRoom& size, PaperBox& place);
  const std::vector<PaperBox>& boxes() const { return free_; }

 private:
  void without(const PaperBox& taken);
  std::vector<PaperBox> free_;
};

/// A lot's sheet, from 0, and its place there.
struct LotPlace {
  std::size_t sheet = 0;
  PaperBox box;
};

/// Places for lots of these sizes, in their order, each on the first sheet that has room for it;
/// `rooms` grows by `empty` as often as it takes. Lots no larger than `empty`.
std::vector<LotPlace> placedLots(const std::vector<PaperRoom>& lots,
                                 const std::vector<PaperBox>& empty, std::vector<FreeRoom>& rooms);

/// Views that belong together, at a scale of their own.
struct DrawnLot {
  DrawnGrid grid;
  std::string letter;  ///< of a detail; "" for all of it
};
/// `grid` at the largest scale from `largest_scale` on that a sheet by itself has room for.
std::optional<DrawnGrid> drawnForSheet(const Sheet& empty, const ViewGrid& grid,
                                       double largest_scale);

/// Lots on as few sheets as they take, each framed where it does not stand alone.
struct LotSheets {
  struct One {
    Sheet sheet;
    double mm_per_mm = 0;  ///< of its first lot
  };
  std::vector<One> sheets;
  bool has_table = false;  ///< on one of them: the first that has room for all of it
};
/// Sheets are called as `empty`, NAME-2 and so on, and say in their titles which details they have.
LotSheets sheetsOfLots(const Sheet& empty, const std::vector<DrawnLot>& lots,
                       const TableBlock* table);

}  // namespace leafstack
