// Welds and tables by themselves, where a sheet has no room for them beside all else; the parts
// list.
#include <algorithm>
#include <cstdlib>
#include <map>

#include "exporters/paper/exploded/exploded_panel.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kTablesApartMm = 8;

ViewBlock withSigns(const ViewBlock& bare, const std::vector<WeldGroup>& groups) {
  ViewBlock block = bare;
  LabelRequest above{Side::kAbove, {}};
  LabelRequest below{Side::kBelow, {}};
  const double middle = (block.bounds().bottom_mm + block.bounds().top_mm) / 2;
  for (const WeldGroup& group : groups) {
    const bool is_low = seen(block.view(), group.at)[1] < middle;
    (is_low ? below : above).labels.push_back({group.at, "", group.signs});
  }
  block.labels(std::move(above));
  block.labels(std::move(below));
  return block;
}

constexpr const char* kSignsInWords =
    "Signs as in tables/welds.csv. z: fillet, by its leg, in the corner where one part's side "
    "stands back from the other's edge. s: butt weld, by its depth, where both sides are flush: "
    "two strokes with square edges, a curve in the groove at a tube's round corner, a half V or V "
    "with edges bevelled as the list says. n x l (e): pieces, their length, free between them, the "
    "first and the last at the ends. Signs over and under the line: the same on both sides. "
    "Circle: all round; a joint with both signs is welded all round, too.";

/// Halves what has no room on one sheet.
void addAll(SheetMaker& maker, const SheetNames& names, const ViewBlock& bare,
            const std::vector<WeldGroup>& groups, int& number) {
  const ViewBlock block = withSigns(bare, groups);
  const std::string suffix = number > 0 ? "-" + std::to_string(number + 1) : "";
  MadeSheet made{maker.empty(names.name + suffix, names.title), "workshop drawing"};
  const PaperBox space = addLowerLeft(
      made.sheet, drawnParagraphs({kSignsInWords}, drawingSpace(made.sheet).beside.widthMm()));
  made.mm_per_mm = addGrid(made.sheet, space, {{{&block}}}).value_or(0);
  if (made.mm_per_mm == 0 && groups.size() > 1) {
    const auto half = groups.begin() + static_cast<std::ptrdiff_t>(groups.size() / 2);
    addAll(maker, names, bare, {groups.begin(), half}, number);
    addAll(maker, names, bare, {half, groups.end()}, number);
    return;
  }
  ++number;
  maker.sheets.push_back(std::move(made));
}

/// As it is cut or bought.
double lengthOf(const Schedules& schedules, const PartRow& part) {
  const auto bought = std::find_if(schedules.bill.begin(), schedules.bill.end(),
                                   [&](const BillRow& row) { return row.mark == part.mark; });
  return bought == schedules.bill.end() ? part.length_mm : bought->length_mm;
}

/// Letters and number of a mark.
std::pair<std::string, int> markParts(const std::string& mark) {
  const std::size_t digit = mark.find_first_of("0123456789");
  return {mark.substr(0, digit), digit == std::string::npos ? 0 : std::atoi(mark.c_str() + digit)};
}

/// By itself, or as one of "PK1 to PK30".
bool isNamedIn(const std::string& mark, const std::string& label) {
  const std::size_t to = label.find(" to ");
  if (mark == label || to == std::string::npos) {
    return mark == label;
  }
  const auto [letters, number] = markParts(mark);
  const auto [first_letters, first] = markParts(label.substr(0, to));
  const auto [last_letters, last] = markParts(label.substr(to + 4));
  return letters == first_letters && letters == last_letters && number >= first && number <= last;
}

/// Numbers of the sheets that show a mark on a view: the first few, which locate it.
std::map<std::string, std::string> sheetsOfMarks(const MadeSheets& sheets,
                                                 const std::vector<PartRow>& parts) {
  constexpr std::size_t kMostSheets = 2;
  std::map<std::string, std::vector<int>> numbers, in_passing;
  int number = 0;
  for (const MadeSheet& one : sheets) {
    ++number;
    if (one.sheet.name.find("list") != std::string::npos) {
      continue;
    }
    for (const PartRow& part : parts) {
      if (one.sheet.title.find(" " + part.mark + ",") != std::string::npos) {
        numbers[part.mark].push_back(number);
      }
    }
    // Sections at a guide name what they cut.
    const bool is_section =
        one.sheet.name.starts_with("overlap-detail") || one.sheet.name.starts_with("guide-detail");
    for (const Lettering& words : one.sheet.letterings) {
      for (const PartRow& part : parts) {
        std::vector<int>& here = (is_section ? in_passing : numbers)[part.mark];
        if (isNamedIn(part.mark, words.text) && (here.empty() || here.back() != number)) {
          here.push_back(number);
        }
      }
    }
  }
  for (const auto& [mark, here] : in_passing) {
    if (numbers[mark].empty()) {
      numbers[mark] = here;
    }
  }
  std::map<std::string, std::string> words;
  for (const auto& [mark, here] : numbers) {
    for (std::size_t i = 0; i < std::min(here.size(), kMostSheets); ++i) {
      words[mark] += (i > 0 ? ", " : "") + std::to_string(here[i]);
    }
  }
  return words;
}

std::string panelText(int panel) {
  return panel == 0 ? std::string("site") : std::to_string(panel);
}

/// "made", "bought" or, of what the builder provides, "on site".
std::string waysOf(const PartRow& row) {
  return row.supply == toString(Supply::kBought) || row.supply == toString(Supply::kEnvelope)
             ? "bought"
         : row.supply == toString(Supply::kSite) ? "on site"
                                                 : "made";
}

/// What all of it comes to, then each material and each panel by itself.
void addTotals(TableBlock& table, const std::vector<PartRow>& parts) {
  struct Total {
    int pieces = 0;
    double kg = 0;
    void add(int quantity, double each_kg) {
      pieces += quantity;
      kg += quantity * each_kg;
    }
  };
  Total all;
  using Material = std::pair<std::string, std::string>;  // "on site" or "", and its name
  std::vector<std::pair<Material, Total>> of_material;   // in the order of the list
  std::map<int, Total> of_panel;
  for (const PartRow& row : parts) {
    all.add(row.quantity, row.mass_kg);
    const std::string way = waysOf(row);
    const Material material = {way == "on site" ? way : "", row.material};
    auto own = std::find_if(of_material.begin(), of_material.end(),
                            [&](const auto& one) { return one.first == material; });
    if (own == of_material.end()) {
      own = of_material.insert(of_material.end(), {material, {}});
    }
    own->second.add(row.quantity, row.mass_kg);
    for (const auto& [panel, quantity] : row.per_panel) {
      of_panel[panel].add(quantity, row.mass_kg);
    }
  }
  const auto add = [&](const std::string& what, const std::string& panels, const Material& material,
                       const Total& total) {
    table.rows.push_back({what, std::to_string(total.pieces), "pieces", panels, "", material.first,
                          material.second, "kg together", "", shown(total.kg, 1)});
  };
  add("all", "", {}, all);
  for (const auto& [material, total] : of_material) {
    if (total.kg > 0) {
      add("of it", "", material, total);
    }
  }
  for (const auto& [panel, total] : of_panel) {
    add("of it", panelText(panel), {}, total);
  }
}

/// With the sheets that locate each part, and what all of it comes to. Narrow enough for two
/// columns.
TableBlock partsTable(const Schedules& schedules, const MadeSheets& sheets) {
  TableBlock table;
  table.heads = {"mark",   "qty",    "name",     "panels",
                 "sheets", "is",     "material", "section or size",
                 "length", "kg each"};
  table.is_number = {false, true, false, false, false, false, false, false, true, true};
  table.most_mm = {0, 0, 22, 12, 12, 0, 0, 29, 0, 0};
  const std::map<std::string, std::string> sheets_of = sheetsOfMarks(sheets, schedules.parts);
  for (const PartRow& row : schedules.parts) {
    std::string panels;
    for (const auto& [panel, quantity] : row.per_panel) {
      panels += (panels.empty() ? "" : ", ") + panelText(panel);
    }
    std::string section = row.section;
    const std::string outside =
        row.supply == toString(Supply::kEnvelope) ? "its outside drawn" : "";
    for (const std::string& words :
         {outside, row.words.item, row.words.supplier, row.words.finish}) {
      section += words.empty() ? "" : (section.empty() ? "" : "; ") + words;
    }
    const auto on = sheets_of.find(row.mark);
    table.rows.push_back({row.mark, std::to_string(row.quantity), row.name, panels,
                          on == sheets_of.end() ? std::string("-") : on->second, waysOf(row),
                          row.material, section, lengthText(lengthOf(schedules, row)),
                          row.mass_kg > 0 ? shown(row.mass_kg, 3) : std::string("-")});
  }
  addTotals(table, schedules.parts);
  return table;
}

}  // namespace

void addWeldSheets(SheetMaker& maker, const SheetNames& names, const ViewBlock& bare,
                   const std::vector<WeldGroup>& groups) {
  if (!groups.empty()) {
    int number = 0;
    addAll(maker, names, bare, groups, number);
  }
}

void addTableSheets(SheetMaker& maker, const SheetNames& names, const TableBlock& table,
                    const char* document_type) {
  std::size_t row = 0;
  for (int page = 1; row < table.rows.size() || page == 1; ++page) {
    const std::string suffix = page > 1 ? "-" + std::to_string(page) : std::string();
    MadeSheet made{maker.empty(names.name + suffix, names.title), document_type};
    const PaperBox space = drawingSpace(made.sheet).above;
    double left = space.left_mm;
    do {
      const DrawnTable drawn = drawnTable(table, row, {space.widthMm(), space.heightMm()});
      if (left > space.left_mm && left + drawn.box.widthMm() > space.right_mm) {
        break;
      }
      addMoved(made.sheet, drawn.sheet, {left, space.top_mm});
      left += drawn.box.widthMm() + kTablesApartMm;
      row = std::max(drawn.next_row, row + 1);  // a row higher than the sheet is cut off
    } while (row < table.rows.size());
    maker.sheets.push_back(std::move(made));
  }
}

void addExplodedSheet(SheetMaker& maker, int panel) {
  const ExplodedPanel made = explodedPanel(maker.views, maker.schedules.welds, panel);
  const std::string number = std::to_string(panel);
  MadeSheet sheet{maker.empty("assembly-panel-" + number,
                              "Panel " + number + " taken apart, and its order of assembly"),
                  "assembly drawing"};
  const DrawingSpace whole = drawingSpace(sheet.sheet);
  const MadeSheet bare = sheet;
  PaperBox space = addLowerLeft(sheet.sheet, drawnParagraphs(made.steps, whole.beside.widthMm()));
  // The list in as many columns as it takes, the view beside it.
  for (std::size_t row = 0; row < made.items.rows.size();) {
    const DrawnTable drawn = drawnTable(made.items, row, {space.widthMm(), space.heightMm()});
    addMoved(sheet.sheet, drawn.sheet, {space.left_mm, space.top_mm});
    space.left_mm += drawn.box.widthMm() + kTablesApartMm;
    row = std::max(drawn.next_row, row + 1);
  }
  sheet.mm_per_mm = addGrid(sheet.sheet, space, {{{&made.view}}}).value_or(0);
  if (sheet.mm_per_mm > 0) {
    maker.sheets.push_back(std::move(sheet));
    return;
  }
  // A small sheet: the view, the list and the words each by itself.
  sheet = bare;
  sheet.mm_per_mm = addNeeded(sheet.sheet, whole.above, {{{&made.view}}});
  maker.sheets.push_back(std::move(sheet));
  TableBlock steps;
  steps.heads = {"order of assembly"};
  steps.is_number = {false};
  steps.most_mm = {whole.above.widthMm() / 2};
  for (const std::string& step : made.steps) {
    steps.rows.push_back({step});
  }
  addTableSheets(maker, {bare.sheet.name + "-list", bare.sheet.title}, made.items);
  addTableSheets(maker, {bare.sheet.name + "-order-list", bare.sheet.title}, steps);
}

void addPartsSheets(SheetMaker& maker) {
  addTableSheets(maker, {"parts-list", "Parts list"}, partsTable(maker.schedules, maker.sheets),
                 "list");
}

}  // namespace leafstack
