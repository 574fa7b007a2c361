#include "exporters/paper/blocks/arrange.h"

#include <cmath>

#include "exporters/bytes/export_error.h"

namespace leafstack {
namespace {

constexpr double kBetweenViewsMm = 6;  // between neighbouring views, dimensions included, at least

/// How far something reaches to either side of where its views have their origin.
struct Reach {
  double before_mm = 0, after_mm = 0;
  double sum() const { return before_mm + after_mm; }
};

}  // namespace

class DrawnGrid::Cells {
 public:
  Cells(const ViewGrid& grid, double mm_per_mm)
      : are_columns_aligned_(grid.are_columns_aligned), mm_per_mm_(mm_per_mm) {
    for (const auto& row : grid.rows) {
      std::vector<Cell> cells;
      for (const ViewBlock* view : row) {
        Cell cell;
        if (view != nullptr) {
          cell.sheet = view->drawnAt(mm_per_mm);
          cell.box = extentsOf(cell.sheet);
          if (!grid.are_columns_aligned) {
            centre(cell);
          }
        }
        cells.push_back(std::move(cell));
      }
      cells_.push_back(std::move(cells));
    }
  }

  double scale() const { return mm_per_mm_; }

  double height() const {
    double height = 0;
    for (std::size_t r = 0; r < cells_.size(); ++r) {
      height += rowReach(r).sum() + (r > 0 ? kBetweenViewsMm : 0);
    }
    return height;
  }

  double width() const {
    if (are_columns_aligned_) {
      return alignedWidth();
    }
    double width = 0;
    for (std::size_t r = 0; r < cells_.size(); ++r) {
      width = std::max(width, widthOf(r));
    }
    return width;
  }

  void add(Sheet& sheet, const PaperBox& box) const {
    double height = 0;
    for (std::size_t r = 0; r < cells_.size(); ++r) {
      height += rowReach(r).sum();
    }
    const Spare spare = spareOf(box.heightMm() - height, cells_.size());
    double top = box.top_mm - spare.before_mm;
    for (std::size_t r = 0; r < cells_.size(); ++r) {
      const Reach reach = rowReach(r);
      addRow(sheet, box, r, top - reach.after_mm);
      top -= reach.sum() + spare.between_mm;
    }
  }

 private:
  struct Cell {
    Sheet sheet;
    PaperBox box;
  };

  /// What is left over, before the first of `count` and between them.
  struct Spare {
    double before_mm = 0, between_mm = 0;
  };
  static Spare spareOf(double left_over_mm, std::size_t count) {
    const double evenly = left_over_mm / static_cast<double>(count + 1);
    const double between = std::max(evenly, kBetweenViewsMm);
    return {(left_over_mm - between * static_cast<double>(count - 1)) / 2, between};
  }

  static void centre(Cell& cell) {
    const PaperBox& box = cell.box;
    Sheet centred;
    addMoved(centred, cell.sheet,
             {-(box.left_mm + box.right_mm) / 2, -(box.bottom_mm + box.top_mm) / 2});
    cell.sheet = std::move(centred);
    cell.box = extentsOf(cell.sheet);
  }

  /// Below and above the row's origin.
  Reach rowReach(std::size_t r) const {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (const Cell& cell : cells_[r]) {
      if (!cell.box.isEmpty()) {
        low = std::min(low, cell.box.bottom_mm);
        high = std::max(high, cell.box.top_mm);
      }
    }
    return low > high ? Reach{} : Reach{-low, high};
  }

  Reach columnReach(std::size_t c) const {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (const auto& row : cells_) {
      if (c < row.size() && !row[c].box.isEmpty()) {
        low = std::min(low, row[c].box.left_mm);
        high = std::max(high, row[c].box.right_mm);
      }
    }
    return low > high ? Reach{} : Reach{-low, high};
  }

  std::size_t columns() const {
    std::size_t most = 0;
    for (const auto& row : cells_) {
      most = std::max(most, row.size());
    }
    return most;
  }

  double alignedWidth() const {
    double width = 0;
    for (std::size_t c = 0; c < columns(); ++c) {
      width += columnReach(c).sum() + (c > 0 ? kBetweenViewsMm : 0);
    }
    return width;
  }

  double widthOf(std::size_t r) const {
    double width = 0;
    for (const Cell& cell : cells_[r]) {
      width += cell.box.isEmpty() ? 0 : cell.box.widthMm() + (width > 0 ? kBetweenViewsMm : 0);
    }
    return width;
  }

  void addRow(Sheet& sheet, const PaperBox& box, std::size_t r, double origin_y) const {
    std::vector<Reach> reaches;
    double width = 0;
    for (std::size_t c = 0; c < cells_[r].size(); ++c) {
      const PaperBox& own = cells_[r][c].box;
      reaches.push_back(are_columns_aligned_ ? columnReach(c)
                        : own.isEmpty()      ? Reach{}
                                             : Reach{-own.left_mm, own.right_mm});
      width += reaches.back().sum();
    }
    const Spare spare = spareOf(box.widthMm() - width, reaches.size());
    double left = box.left_mm + spare.before_mm;
    for (std::size_t c = 0; c < reaches.size(); ++c) {
      PlacedView view;
      const auto bound = [&](std::size_t end) {
        view.paths[end] = sheet.paths.size();
        view.areas[end] = sheet.areas.size();
        view.letterings[end] = sheet.letterings.size();
        view.dimensions[end] = sheet.dimensions.size();
      };
      bound(0);
      addMoved(sheet, cells_[r][c].sheet, {left + reaches[c].before_mm, origin_y});
      bound(1);
      view.mm_per_mm = mm_per_mm_;
      if (!cells_[r][c].box.isEmpty()) {
        sheet.views.push_back(view);
      }
      left += reaches[c].sum() + spare.between_mm;
    }
  }

  bool are_columns_aligned_;
  double mm_per_mm_;
  std::vector<std::vector<Cell>> cells_;
};

const std::vector<double>& standardScales() {
  static const std::vector<double> kScales = {0.02, 0.05, 0.1, 0.2, 0.5, 1,    2,    5,   10,
                                              20,   50,   100, 200, 500, 1000, 2000, 5000};
  return kScales;
}

namespace {

/// By lines alone, which takes no drawing.
bool mayFit(const ViewGrid& grid, double mm_per_mm, const PaperRoom& room) {
  for (const auto& row : grid.rows) {
    for (const ViewBlock* view : row) {
      if (view != nullptr && !view->lineBounds().isEmpty() &&
          (view->lineBounds().widthMm() / mm_per_mm > room.width_mm ||
           view->lineBounds().heightMm() / mm_per_mm > room.height_mm)) {
        return false;
      }
    }
  }
  return true;
}

}  // namespace

std::optional<DrawnGrid> DrawnGrid::fitted(const ViewGrid& grid, const PaperRoom& room,
                                           double largest_scale) {
  for (const double scale : standardScales()) {
    if (scale < largest_scale || !mayFit(grid, scale, room)) {
      continue;
    }
    auto cells = std::make_shared<const Cells>(grid, scale);
    if (cells->width() <= room.width_mm && cells->height() <= room.height_mm) {
      return DrawnGrid(std::move(cells));
    }
  }
  return std::nullopt;
}

double DrawnGrid::mmPerMm() const {
  return cells_->scale();
}
double DrawnGrid::widthMm() const {
  return cells_->width();
}
double DrawnGrid::heightMm() const {
  return cells_->height();
}
void DrawnGrid::addTo(Sheet& sheet, const PaperBox& box) const {
  cells_->add(sheet, box);
}

std::optional<double> addGrid(Sheet& sheet, const PaperBox& box, const ViewGrid& grid,
                              double largest_scale) {
  const auto drawn = DrawnGrid::fitted(grid, {box.widthMm(), box.heightMm()}, largest_scale);
  if (!drawn) {
    return std::nullopt;
  }
  drawn->addTo(sheet, box);
  return drawn->mmPerMm();
}

DrawnGrid needed(std::optional<DrawnGrid> grid, const std::string& what) {
  if (!grid) {
    throw ExportError(what + " has no room on a sheet of this size");
  }
  return *std::move(grid);
}

double addNeeded(Sheet& sheet, const PaperBox& box, const ViewGrid& grid, double largest_scale) {
  const DrawnGrid drawn =
      needed(DrawnGrid::fitted(grid, {box.widthMm(), box.heightMm()}, largest_scale), sheet.name);
  drawn.addTo(sheet, box);
  return drawn.mmPerMm();
}

}  // namespace leafstack
