#include "exporters/paper/shelf/hardware_sheets.h"

#include <algorithm>
#include <cctype>

#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "exporters/paper/shelf/item_views.h"
#include "generator/geometry/numbers.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

constexpr double kLargestScale = 0.2;  // 5:1; smaller items gain nothing by more
constexpr double kMeaningMm = 110;
constexpr double kBetweenPagesMm = 10;

std::vector<const Parameter*> rowsOf(const ShelfItem& item) {
  std::vector<const Parameter*> rows;
  const std::string prefix = std::string(item.group->pointer) + '/';
  for (const Parameter& row : parameterTable()) {
    if (std::string_view(row.pointer).starts_with(prefix) && row.kind != Kind::kGroup) {
      rows.push_back(&row);
    }
  }
  return rows;
}

const DrawnSize* sizeOf(const ShelfFigure& figure, const Parameter* row) {
  const auto found = std::find_if(figure.sizes.begin(), figure.sizes.end(),
                                  [&](const DrawnSize& size) { return size.row == row; });
  return found == figure.sizes.end() ? nullptr : &*found;
}

bool isDrawn(const ShelfItem& item, const Parameter* row) {
  return std::any_of(item.figures.begin(), item.figures.end(),
                     [&](const ShelfFigure& figure) { return sizeOf(figure, row) != nullptr; });
}

/// 0 -> "A", 26 -> "AA".
std::string letterOf(std::size_t index) {
  constexpr std::size_t kLetters = 26;
  const std::string last(1, static_cast<char>('A' + index % kLetters));
  return index < kLetters ? last : letterOf(index / kLetters - 1) + last;
}

Letters lettersOf(const ShelfItem& item) {
  Letters letters;
  for (const Parameter* row : rowsOf(item)) {
    if (isDrawn(item, row)) {
      const std::string letter = letterOf(letters.size());
      letters.emplace(row->pointer, letter);
    }
  }
  return letters;
}

std::string valueText(const Parameter& row, GateSpec spec) {
  const auto value = valueOf(row, spec);
  if (value.is_string()) {
    return value.get<std::string>();
  }
  const std::string number =
      value.is_number() ? shown(value.get<double>(), kShelfDecimals) : value.dump();
  return *row.unit == '\0' ? number : number + ' ' + row.unit;
}

/// "Wheel".
std::string nameOf(const ShelfItem& item) {
  std::string name(keyOf(*item.group));
  name.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(name.front())));
  return name;
}

class HardwareSheets {
 public:
  explicit HardwareSheets(const GateSpec& spec) : spec_(spec) {}

  std::vector<Sheet> made(const ShelfFigures& figures) {
    for (const ShelfItem& item : figures.items) {
      const Letters letters = lettersOf(item);
      for (std::size_t i = 0; i < item.figures.size(); ++i) {
        addFigure(item, i, letters);
      }
    }
    addRest(rowsWithoutLetter(figures));
    std::vector<Sheet> sheets;
    for (const MadeSheet& one : sheets_) {
      sheets.push_back(one.sheet);
      const std::string scale = one.mm_per_mm > 0 ? scaleText(one.mm_per_mm) : std::string();
      addTitleBlock(sheets.back(), spec_,
                    {one.document_type, scale, static_cast<int>(sheets.size()),
                     static_cast<int>(sheets_.size())});
    }
    return sheets;
  }

 private:
  MadeSheet empty(const std::string& name, const std::string& title) const {
    return {emptySheet(spec_.drawings, "hardware-" + name,
                       title + ", hardware set " + spec_.hardware.set),
            "hardware sheet"};
  }

  void addFigure(const ShelfItem& item, std::size_t index, const Letters& letters) {
    const ShelfFigure& figure = item.figures[index];
    const GateViews views(*figure.model);
    const std::array<ViewBlock, 2> blocks = itemViews(figure, views, letters);
    std::string name(keyOf(*item.group));
    std::string title = nameOf(item);
    if (item.figures.size() > 1) {
      name += '-' + std::to_string(index + 1);
      title += ' ' + std::to_string(index + 1) + " of " + std::to_string(item.figures.size());
    }
    TableBlock table{item.group->meaning,
                     {"letter", "key", "value", "meaning"},
                     {false, false, true, false},
                     {},
                     {0, 0, 0, kMeaningMm}};
    for (const Parameter* row : rowsOf(item)) {
      if (sizeOf(figure, row) != nullptr) {
        table.rows.push_back(
            {letters.at(row->pointer), row->pointer, drawnText(*row, *figure.model), row->meaning});
      }
    }
    MadeSheet made = empty(name, title);
    const ViewGrid grid{{{&blocks[0], &blocks[1]}}, false};
    addAboveTable(made, grid, table, kLargestScale);
    if (made.mm_per_mm > 0) {
      sheets_.push_back(std::move(made));
      return;
    }
    // Small paper: the table has a sheet of its own.
    made = empty(name, title);
    const PaperBox space = drawingSpace(made.sheet).above;
    made.mm_per_mm = addGrid(made.sheet, space, grid, kLargestScale).value_or(0);
    sheets_.push_back(std::move(made));
    MadeSheet letters_of = empty(name + "-letters-without-views", title + ", its letters");
    addMoved(letters_of.sheet, drawnTable(table, 0, {space.widthMm(), space.heightMm()}).sheet,
             {space.left_mm, space.top_mm});
    sheets_.push_back(std::move(letters_of));
  }

  /// As it is drawn, which of an "auto" is what it comes to.
  std::string drawnText(const Parameter& row, const Model& model) const {
    const std::string given = valueText(row, spec_);
    return given == "auto" ? valueText(row, model.spec) + " (auto)" : given;
  }

  void addRest(const std::vector<const Parameter*>& rows) {
    TableBlock table{"In the file, and not drawn",
                     {"key", "value", "meaning", "why"},
                     {false, true, false, false},
                     {},
                     {0, 0, kMeaningMm, 0}};
    for (const Parameter* row : rows) {
      table.rows.push_back({row->pointer, valueText(*row, spec_), row->meaning,
                            canBeMeasured(*row) ? "not to be seen on a gate with this shelf"
                                                : "nothing that could be measured"});
    }
    std::size_t next = 0;
    for (int page = 1; next < table.rows.size(); ++page) {
      MadeSheet made =
          empty("without-letters" + (page > 1 ? '-' + std::to_string(page) : std::string()),
                "Without letters");
      const PaperBox space = drawingSpace(made.sheet).above;
      const DrawnTable drawn = drawnTable(table, next, {space.widthMm(), space.heightMm()});
      addMoved(made.sheet, drawn.sheet, {space.left_mm, space.top_mm});
      next = drawn.next_row;
      sheets_.push_back(std::move(made));
    }
  }

  const GateSpec& spec_;
  MadeSheets sheets_;
};

}  // namespace

std::vector<const Parameter*> rowsWithoutLetter(const ShelfFigures& figures) {
  std::vector<const Parameter*> rows;
  for (const ShelfItem& item : figures.items) {
    for (const Parameter* row : rowsOf(item)) {
      if (!isDrawn(item, row)) {
        rows.push_back(row);
      }
    }
  }
  return rows;
}

std::vector<Sheet> hardwareSheets(const GateSpec& spec, const ShelfFigures& figures) {
  return HardwareSheets(spec).made(figures);
}

Sheet oneBelowAnother(const std::vector<Sheet>& sheets) {
  Sheet all;
  all.width_mm = all.height_mm = 0;
  for (const Sheet& sheet : sheets) {
    all.wide_mm = sheet.wide_mm;
    all.width_mm = std::max(all.width_mm, sheet.width_mm);
    all.height_mm += sheet.height_mm + (all.height_mm > 0 ? kBetweenPagesMm : 0);
  }
  double top = all.height_mm;
  for (const Sheet& sheet : sheets) {
    addMoved(all, sheet, {0, top - sheet.height_mm});
    top -= sheet.height_mm + kBetweenPagesMm;
  }
  all.name = "hardware";
  all.title = "Hardware sheets";
  return all;
}

}  // namespace leafstack
