#include "exporters/paper/blocks/lots.h"

#include <algorithm>

#include "exporters/paper/sheet/sheet_frame.h"

namespace leafstack {
namespace {

constexpr double kRoundingMm = 1e-9;

bool fits(const PaperBox& room, const PaperRoom& size) {
  return room.widthMm() >= size.width_mm - kRoundingMm &&
         room.heightMm() >= size.height_mm - kRoundingMm;
}

}  // namespace

bool FreeRoom::take(const PaperRoom& size, PaperBox& place) {
  const PaperBox* best = nullptr;
  for (const PaperBox& room : free_) {
    const bool is_better = best == nullptr || room.top_mm > best->top_mm ||
                           (room.top_mm == best->top_mm && room.left_mm < best->left_mm);
    if (fits(room, size) && is_better) {
      best = &room;
    }
  }
  if (best == nullptr) {
    return false;
  }
  place = {best->left_mm, best->top_mm - size.height_mm, best->left_mm + size.width_mm,
           best->top_mm};
  without(place);
  return true;
}

/// What is left of each box to either side of, above and below what is taken; none within another.
void FreeRoom::without(const PaperBox& taken) {
  std::vector<PaperBox> left;
  for (const PaperBox& room : free_) {
    if (!room.overlaps(taken)) {
      left.push_back(room);
      continue;
    }
    PaperBox part = room;
    part.right_mm = taken.left_mm;
    left.push_back(part);
    part = room;
    part.left_mm = taken.right_mm;
    left.push_back(part);
    part = room;
    part.top_mm = taken.bottom_mm;
    left.push_back(part);
    part = room;
    part.bottom_mm = taken.top_mm;
    left.push_back(part);
  }
  free_.clear();
  for (std::size_t i = 0; i < left.size(); ++i) {
    bool is_spare = left[i].widthMm() <= kRoundingMm || left[i].heightMm() <= kRoundingMm;
    for (std::size_t j = 0; j < left.size() && !is_spare; ++j) {
      // Of two alike the first is kept.
      is_spare = i != j && left[j].holds(left[i]) && !(i < j && left[i].holds(left[j]));
    }
    if (!is_spare) {
      free_.push_back(left[i]);
    }
  }
}

std::vector<LotPlace> placedLots(const std::vector<PaperRoom>& lots,
                                 const std::vector<PaperBox>& empty, std::vector<FreeRoom>& rooms) {
  std::vector<LotPlace> places;
  for (const PaperRoom& size : lots) {
    LotPlace place;
    while (place.sheet < rooms.size() && !rooms[place.sheet].take(size, place.box)) {
      ++place.sheet;
    }
    if (place.sheet == rooms.size()) {
      rooms.emplace_back(empty);
      rooms.back().take(size, place.box);
    }
    places.push_back(place);
  }
  return places;
}

namespace {

constexpr double kAroundLotMm = 5;      // from a lot's lines to its place's edge
constexpr double kFrameInsideMm = 1.5;  // from that edge to the frame drawn around it
constexpr double kFrameOutsideMm = 1;   // past it, where the lot itself reaches it

/// What may be drawn on: above the title block, and beside it.
std::vector<PaperBox> roomOf(const Sheet& sheet) {
  const DrawingSpace space = drawingSpace(sheet);
  return {
      space.above,
      {space.beside.left_mm, space.beside.bottom_mm, space.beside.right_mm, space.above.top_mm}};
}

class LotSheet {
 public:
  explicit LotSheet(Sheet empty) : sheet_(std::move(empty)), above_(drawingSpace(sheet_).above) {}

  void add(const DrawnLot& lot, const PaperBox& place) { lots_.push_back({&lot, place}); }
  void add(const DrawnTable& table, const PaperBox& place) {
    table_ = place;
    addMoved(sheet_, table.sheet, {place.left_mm, place.top_mm});
  }

  LotSheets::One made(std::size_t number) {
    draw();
    std::string letters;
    bool has_whole = false;
    for (const Placed& one : lots_) {
      has_whole = has_whole || one.lot->letter.empty();
      letters += (letters.empty() ? "" : ", ") + one.lot->letter;
    }
    sheet_.name += number > 0 ? "-" + std::to_string(number + 1) : std::string();
    if (!has_whole) {
      sheet_.title += (lots_.size() > 1 ? ": details " : ": detail ") + letters;
    }
    return {std::move(sheet_), lots_.front().lot->grid.mmPerMm()};
  }

 private:
  struct Placed {
    const DrawnLot* lot;
    PaperBox place;
  };

  void draw() {
    PaperBox left_over = above_;
    if (!table_.isEmpty()) {
      left_over.bottom_mm = std::max(left_over.bottom_mm, table_.top_mm + kAroundLotMm);
    }
    const DrawnGrid& first = lots_.front().lot->grid;
    if (lots_.size() == 1 && first.heightMm() <= left_over.heightMm()) {
      first.addTo(sheet_, left_over);
      return;
    }
    // About the middle of what is left, where nothing stands beside the title block.
    PaperBox used;
    for (const Placed& one : lots_) {
      used.include(one.place);
    }
    PaperPoint shift;
    if (used.bottom_mm >= left_over.bottom_mm) {
      shift = {(left_over.right_mm - used.right_mm) / 2,
               (left_over.bottom_mm - used.bottom_mm) / 2};
    }
    for (const Placed& one : lots_) {
      const PaperBox place = one.place.moved(shift.x_mm, shift.y_mm);
      one.lot->grid.addTo(sheet_, place.grown(-kAroundLotMm));
      if (lots_.size() > 1) {
        // What takes a sheet's whole height or width reaches to its place's edge.
        const bool is_tight = one.lot->grid.heightMm() > place.heightMm() - kAroundLotMm ||
                              one.lot->grid.widthMm() > place.widthMm() - kAroundLotMm;
        addFrame(place.grown(is_tight ? kFrameOutsideMm : -kFrameInsideMm));
      }
    }
  }

  void addFrame(const PaperBox& box) {
    sheet_.paths.push_back({LineRole::kTable,
                            {{box.left_mm, box.bottom_mm},
                             {box.right_mm, box.bottom_mm},
                             {box.right_mm, box.top_mm},
                             {box.left_mm, box.top_mm}},
                            true});
  }

  Sheet sheet_;
  PaperBox above_, table_;
  std::vector<Placed> lots_;
};

/// The lowest place of a sheet that the whole table fits into.
bool addTable(LotSheet& sheet, const FreeRoom& room, const TableBlock& table) {
  std::vector<PaperBox> boxes = room.boxes();
  std::sort(boxes.begin(), boxes.end(), [](const PaperBox& a, const PaperBox& b) {
    return a.bottom_mm != b.bottom_mm ? a.bottom_mm < b.bottom_mm : a.left_mm < b.left_mm;
  });
  for (const PaperBox& box : boxes) {
    const DrawnTable drawn = drawnTable(table, 0, {box.widthMm(), box.heightMm()});
    if (drawn.next_row >= table.rows.size() && drawn.box.widthMm() <= box.widthMm()) {
      const double top = box.bottom_mm + drawn.box.heightMm();
      sheet.add(drawn, {box.left_mm, box.bottom_mm, box.left_mm + drawn.box.widthMm(), top});
      return true;
    }
  }
  return false;
}

}  // namespace

std::optional<DrawnGrid> drawnForSheet(const Sheet& empty, const ViewGrid& grid,
                                       double largest_scale) {
  const PaperBox above = drawingSpace(empty).above;
  return DrawnGrid::fitted(grid, {above.widthMm(), above.heightMm()}, largest_scale);
}

LotSheets sheetsOfLots(const Sheet& empty, const std::vector<DrawnLot>& lots,
                       const TableBlock* table) {
  std::vector<PaperRoom> sizes;
  const PaperBox above = drawingSpace(empty).above;
  for (const DrawnLot& lot : lots) {
    // What takes all of a sheet does so to its edge.
    sizes.push_back({std::min(lot.grid.widthMm() + 2 * kAroundLotMm, above.widthMm()),
                     std::min(lot.grid.heightMm() + 2 * kAroundLotMm, above.heightMm())});
  }
  std::vector<FreeRoom> rooms;
  const std::vector<LotPlace> places = placedLots(sizes, roomOf(empty), rooms);
  std::vector<LotSheet> sheets(rooms.size(), LotSheet(empty));
  for (std::size_t i = 0; i < lots.size(); ++i) {
    sheets[places[i].sheet].add(lots[i], places[i].box);
  }
  LotSheets made;
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    made.has_table = made.has_table || (table != nullptr && addTable(sheets[i], rooms[i], *table));
  }
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    made.sheets.push_back(sheets[i].made(i));
  }
  return made;
}

}  // namespace leafstack
