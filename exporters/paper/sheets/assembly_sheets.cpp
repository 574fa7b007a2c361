// Each assembly in views with every mark, every weld and where all of it sits, for who puts it
// together; and larger what stands close together in it.
#include <algorithm>
#include <cctype>
#include <limits>
#include "exporters/paper/assemblies/assembly_views.h"
#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"

namespace leafstack {
namespace {

constexpr double kReadableScale = 5.001;  // small fittings are seen no smaller than 1:5
constexpr std::size_t kEndView = 2;
constexpr double kGoodScale = 2;  // and no larger than 1:2

class AssemblySheet {
 public:
  AssemblySheet(SheetMaker& maker, const Assembly& assembly)
      : maker_(maker),
        assembly_(assembly),
        views_(maker.views, maker.schedules, assembly),
        is_first_angle_(maker.model().spec.drawings.projection == ProjectionAngle::kFirst),
        bare_(maker.empty(assembly.name, assembly.title)) {}

  void add() {
    const bool has_groups = !views_.groups().empty();
    if (views_.isInRail()) {
      addAll({});
      return;
    }
    const std::vector<ViewBlock> all = views_.whole(AssemblyViews::Told::kAll);
    if (const double scale = scaleOf(all); scale > kReadableScale && has_groups) {
      const std::vector<ViewBlock> whole = views_.whole(AssemblyViews::Told::kLong);
      std::vector<DrawnLot> lots;
      if (const auto drawn = drawnWhole(whole)) {
        lots.push_back({*drawn, ""});
        addAll(std::move(lots));
      } else {  // a small sheet
        addOneByOne(views_.weldsOfNoDetail());
        addAll({});
      }
    } else {
      addWhole(all);
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
    const auto drawn = drawnForSheet(bare_, gridOf(blocks), 1);
    return drawn ? drawn->mmPerMm() : std::numeric_limits<double>::infinity();
  }

  /// The larger of two ways.
  std::optional<DrawnGrid> drawnWhole(const std::vector<ViewBlock>& blocks) const {
    const auto in_grid = drawnForSheet(bare_, gridOf(blocks), kGoodScale);
    const auto in_row = drawnForSheet(bare_, inARow(blocks), kGoodScale);
    return in_row && (!in_grid || in_row->mmPerMm() < in_grid->mmPerMm()) ? in_row : in_grid;
  }

  /// With the list where it does not make the views smaller than they may be.
  void addWhole(const std::vector<ViewBlock>& blocks) {
    const std::optional<DrawnGrid> alone = drawnWhole(blocks);
    if (!alone) {  // a small sheet
      addOneByOne(views_.welds());
      addLists();
      return;
    }
    MadeSheet both = empty("");
    const PaperBox above = drawingSpace(both.sheet).above;
    const TableBlock table = listed();
    if (drawnTable(table, 0, {above.widthMm(), above.heightMm()}).next_row >= table.rows.size()) {
      for (const ViewGrid& grid : {gridOf(blocks), inARow(blocks)}) {
        MadeSheet tried = empty("");
        addAboveTable(tried, grid, table, kGoodScale);
        if (isLarger(tried, both)) {
          both = std::move(tried);
        }
      }
    }
    if (both.mm_per_mm > 0 &&
        both.mm_per_mm <= std::max(kTableMayCost * alone->mmPerMm(), kReadableScale)) {
      push(std::move(both));
      return;
    }
    addLots(maker_, names(), {{*alone, ""}}, &table);
  }

  /// What is given, and every detail as large as a sheet by itself has room for, up to 1:2.
  void addAll(std::vector<DrawnLot> lots) {
    const int count = static_cast<int>(views_.groups().size());
    for (int g = 0; g < count; ++g) {
      auto drawn = drawnForSheet(bare_, gridOf(views_.detail(g), g), kGoodScale);
      if (!drawn) {  // a small sheet: what the list has too is left to it
        drawn = drawnForSheet(bare_, gridOf(views_.detail(g, false), g), kGoodScale);
      }
      const std::string& letter = views_.groups()[g].letter;
      if (drawn) {
        lots.push_back({*std::move(drawn), letter});
        continue;
      }
      for (const ViewBlock& block : views_.detail(g, false)) {  // one by one
        lots.push_back({needed(drawnForSheet(bare_, {{{&block}}}, kGoodScale),
                               assembly_.name + ", detail " + letter),
                        letter});
      }
    }
    const TableBlock table = listed();
    if (lots.empty()) {
      addLists();
      return;
    }
    addLots(maker_, names(), lots, &table);
  }

  SheetNames names() const {
    const std::string number = pushed_ > 0 ? "-" + std::to_string(pushed_ + 1) : "";
    return {assembly_.name + number, assembly_.title};
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
      one.mm_per_mm = addNeeded(one.sheet, drawingSpace(one.sheet).above, {{{&block}}});
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
  Sheet bare_;
  int pushed_ = 0;
};

}  // namespace

void addAssemblySheet(SheetMaker& maker, const Assembly& assembly) {
  AssemblySheet(maker, assembly).add();
}

}  // namespace leafstack
