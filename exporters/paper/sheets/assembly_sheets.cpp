// Each assembly in views with every mark, every weld and where all of it sits, for who puts it
// together; and larger what stands close together in it.
#include <algorithm>
#include <cctype>

#include "exporters/paper/assemblies/assembly_views.h"
#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"

namespace leafstack {
namespace {

constexpr double kReadableScale = 5.001;  // small fittings are seen no smaller than 1:5
constexpr std::size_t kEndView = 2;
constexpr double kGoodScale = 2.001;  // and are left as they are at 1:2

class AssemblySheet {
 public:
  AssemblySheet(SheetMaker& maker, const Assembly& assembly)
      : maker_(maker),
        assembly_(assembly),
        views_(maker.views, maker.schedules, assembly),
        is_first_angle_(maker.model().spec.drawings.projection == ProjectionAngle::kFirst) {}

  void add() {
    const bool has_groups = !views_.groups().empty();
    const std::vector<ViewBlock> all = views_.whole(AssemblyViews::Told::kAll);
    if (views_.isInRail()) {
      addDetails();
      addLists();
    } else if (const double scale = scaleOf(all); scale > kReadableScale && has_groups) {
      addWhole(views_.whole(AssemblyViews::Told::kLong), views_.weldsOfNoDetail());
      addDetails();
    } else {
      addWhole(all, views_.welds());
    }
  }

 private:
  /// The end view beside the front view, on the side that the way of projection asks for.
  ViewGrid gridOf(const std::vector<ViewBlock>& blocks, int which = -1) const {
    const ViewBlock* end = blocks.size() > kEndView ? &blocks[kEndView] : nullptr;
    ViewGrid grid;
    if (end == nullptr) {
      grid.rows = {{&blocks[0]}, {&blocks[1]}};
    } else {
      // What leans is square on beside the plan.
      std::vector<const ViewBlock*> upper = {&blocks[0], end}, lower = {&blocks[1]};
      for (std::size_t i = kEndView + 1; i < blocks.size(); ++i) {
        lower.push_back(&blocks[i]);
      }
      lower.resize(std::max(lower.size(), upper.size()), nullptr);
      upper.resize(lower.size(), nullptr);
      if (views_.isLatchLeft(which) != is_first_angle_) {
        std::reverse(upper.begin(), upper.end());
        std::reverse(lower.begin(), lower.end());
      }
      grid.rows = {upper, lower};
    }
    if (!is_first_angle_) {
      std::swap(grid.rows[0], grid.rows[1]);
    }
    return grid;
  }

  /// What is tall stands larger beside its plan than above it.
  static ViewGrid inARow(const std::vector<ViewBlock>& blocks) {
    ViewGrid grid{{{}}};
    for (const ViewBlock& block : blocks) {
      grid.rows[0].push_back(&block);
    }
    grid.are_columns_aligned = false;
    return grid;
  }

  static bool isLarger(const MadeSheet& tried, const MadeSheet& best) {
    return tried.mm_per_mm > 0 && (best.mm_per_mm == 0 || tried.mm_per_mm < best.mm_per_mm);
  }

  double scaleOf(const std::vector<ViewBlock>& blocks) const {
    MadeSheet tried = empty("");
    return addGrid(tried.sheet, drawingSpace(tried.sheet).above, gridOf(blocks)).value_or(1e9);
  }

  /// With the list where it does not make the views smaller than they may be.
  /// `welds` where they need a sheet of their own.
  void addWhole(const std::vector<ViewBlock>& blocks, const std::vector<WeldGroup>& welds) {
    MadeSheet alone = empty("");
    MadeSheet both = alone;
    const PaperBox above = drawingSpace(alone.sheet).above;
    for (const ViewGrid& grid : {gridOf(blocks), inARow(blocks)}) {
      MadeSheet tried = empty("");
      tried.mm_per_mm = addGrid(tried.sheet, above, grid).value_or(0);
      if (isLarger(tried, alone)) {
        alone = std::move(tried);
      }
    }
    if (alone.mm_per_mm == 0) {  // a small sheet
      addOneByOne(welds);
      addLists();
      return;
    }
    const TableBlock table = listed();
    if (drawnTable(table, 0, {above.widthMm(), above.heightMm()}).next_row >= table.rows.size()) {
      for (const ViewGrid& grid : {gridOf(blocks), inARow(blocks)}) {
        MadeSheet tried = empty("");
        addAboveTable(tried, grid, table);
        if (isLarger(tried, both)) {
          both = std::move(tried);
        }
      }
    }
    if (both.mm_per_mm > 0 &&
        both.mm_per_mm <= std::max(kTableMayCost * alone.mm_per_mm, kReadableScale)) {
      push(std::move(both));
      return;
    }
    push(std::move(alone));
    addLists();
  }

  /// As many side by side on a sheet as stay as large as one alone, or 1:2.
  void addDetails() {
    const int count = static_cast<int>(views_.groups().size());
    std::vector<std::vector<ViewBlock>> drawn;
    for (int g = 0; g < count; ++g) {
      drawn.push_back(views_.detail(g));
    }
    for (int first = 0; first < count;) {
      std::optional<MadeSheet> best;
      int taken = 1;
      double alone = 0;
      for (int many = 1; first + many <= count; ++many) {
        MadeSheet tried = empty("");
        std::optional<double> scale = addTogether(tried.sheet, drawn, first, many);
        if (!scale && many == 1) {  // a small sheet: what the list has too is left to it
          tried = empty("");
          drawn[first] = views_.detail(first, false);
          scale = addTogether(tried.sheet, drawn, first, many);
        }
        tried.mm_per_mm = scale.value_or(0);
        alone = many == 1 ? tried.mm_per_mm : alone;
        const bool is_large =
            tried.mm_per_mm > 0 && (tried.mm_per_mm <= alone || tried.mm_per_mm <= kGoodScale);
        if (many > 1 && !is_large) {
          break;
        }
        best = std::move(tried);
        taken = many;
      }
      std::string letters = views_.groups()[first].letter;
      if (taken > 1) {
        letters += " to " + views_.groups()[first + taken - 1].letter;
      }
      push(std::move(*best), (taken > 1 ? "details " : "detail ") + letters);
      first += taken;
    }
  }

  /// In bands of so many.
  ViewGrid sideBySide(const std::vector<std::vector<ViewBlock>>& details, int first, int many,
                      int in_band) const {
    ViewGrid grid;
    for (int which = first; which < first + many; ++which) {
      if ((which - first) % in_band == 0) {
        grid.rows.resize(grid.rows.size() + 2);
      }
      const ViewGrid one = gridOf(details[which], which);
      for (std::size_t row = 0; row < 2; ++row) {
        auto& into = grid.rows[grid.rows.size() - 2 + row];
        into.insert(into.end(), one.rows[row].begin(), one.rows[row].end());
      }
    }
    return grid;
  }

  /// Side by side, or in two bands where that is larger.
  std::optional<double> addTogether(Sheet& sheet,
                                    const std::vector<std::vector<ViewBlock>>& details, int first,
                                    int many) const {
    const PaperBox above = drawingSpace(sheet).above;
    Sheet one = sheet, two = sheet;
    const std::optional<double> in_one =
        addGrid(one, above, sideBySide(details, first, many, many));
    std::optional<double> in_two;
    if (many > 1) {
      in_two = addGrid(two, above, sideBySide(details, first, many, (many + 1) / 2));
    }
    const bool has_bands = in_two && (!in_one || *in_two < *in_one);
    sheet = has_bands ? std::move(two) : std::move(one);
    return has_bands ? in_two : in_one;
  }

  MadeSheet empty(const std::string& suffix) const {
    return {maker_.empty(assembly_.name + suffix, assembly_.title), "workshop drawing"};
  }

  /// Sheets of one assembly are numbered, and say in their titles what they show.
  void push(MadeSheet made, const std::string& what = "") {
    made.sheet.title += what.empty() ? "" : ": " + what;
    if (++pushed_ > 1) {
      made.sheet.name = assembly_.name + "-" + std::to_string(pushed_);
    }
    maker_.sheets.push_back(std::move(made));
  }

  /// A sheet for every view, and others for the welds. What is seen from the end is in the details,
  /// where there are any.
  void addOneByOne(const std::vector<WeldGroup>& welds) {
    std::vector<ViewBlock> blocks = views_.whole(AssemblyViews::Told::kPlaces);
    if (!views_.groups().empty() && blocks.size() > kEndView) {
      blocks.erase(blocks.begin() + kEndView);
    }
    for (const ViewBlock& block : blocks) {
      MadeSheet one = empty("");
      one.mm_per_mm = addGrid(one.sheet, drawingSpace(one.sheet).above, {{{&block}}}).value_or(0);
      std::string seen = block.title();
      seen.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(seen.front())));
      push(std::move(one), seen);
    }
    addWeldSheets(maker_, {assembly_.name + "-welds", assembly_.title + ": welds"}, views_.bare(),
                  views_.seenFromFront(welds));
  }

  /// With what galvaniser, painter and shop are told of threads and holes.
  TableBlock listed() const {
    TableBlock table = views_.table();
    const std::vector<std::vector<std::string>> parts = table.rows;
    for (const CoatingRow& coat : maker_.schedules.coating) {
      const bool is_here = std::any_of(parts.begin(), parts.end(),
                                       [&](const auto& row) { return row.front() == coat.mark; });
      if (is_here && !coat.after.empty()) {
        table.rows.emplace_back(table.heads.size());
        table.rows.back()[0] = coat.mark;
        table.rows.back()[2] = "its finish";
        table.rows.back()[3] = coat.after;
      }
    }
    return table;
  }

  void addLists() { addTableSheets(maker_, {assembly_.name + "-list", assembly_.title}, listed()); }

  SheetMaker& maker_;
  const Assembly& assembly_;
  AssemblyViews views_;
  bool is_first_angle_;
  int pushed_ = 0;
};

}  // namespace

void addAssemblySheet(SheetMaker& maker, const Assembly& assembly) {
  AssemblySheet(maker, assembly).add();
}

}  // namespace leafstack
