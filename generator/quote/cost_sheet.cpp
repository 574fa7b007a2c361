#include "generator/quote/cost_sheet.h"

#include <algorithm>
#include <map>
#include <set>

#include "generator/geometry/geometry_error.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "generator/shop/bar_area.h"
#include "generator/shop/order.h"
#include "generator/shop/strips.h"
#include "params/reading/json_tree.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

constexpr double kMm3PerM3 = 1e9;
constexpr std::string_view kEnvelopeWord = " (envelope)";

struct FoundPrice {
  Price price;
  std::string where;
};

class SheetMaker {
 public:
  SheetMaker(const PriceList& prices, const Schedules& schedules)
      : prices_(prices), lists_(schedules), order_(orderRows(schedules)) {
    sheet_.currency = prices.currency;
    sheet_.valid_until = prices.valid_until;
    sheet_.margin_percent = prices.margin_percent;
    sheet_.tax_percent = prices.tax_percent;
    for (const CutRow& row : schedules.cut_list) {
      cut_[row.mark] = &row;
    }
    for (const PartRow& row : schedules.parts) {
      density_[row.mark] = row.density_kg_m3;
    }
  }

  CostSheet made() {
    addSections();
    addPlates();
    addOrdered();
    addCoating();
    addWork();
    addUp();
    findIdle();
    return std::move(sheet_);
  }

 private:
  using List = PriceList::Prices;

  static std::optional<FoundPrice> in(const List& list, const char* at, std::string_view name) {
    const auto found = list.find(name);
    if (found == list.end()) {
      return std::nullopt;
    }
    return FoundPrice{found->second, childPointer(std::string("/") + at, name)};
  }

  void add(CostGroup group, std::string what, std::string marks, double quantity, std::string unit,
           const std::optional<FoundPrice>& found) {
    SheetCost line;
    line.group = group;
    line.what = std::move(what);
    line.marks = std::move(marks);
    line.quantity = amountOf(quantity);
    line.unit = std::move(unit);
    if (line.quantity.parts == 0) {
      return;
    }
    if (found) {
      line.price = found->price;
      line.priced_as = found->where;
      line.cost = costOf(line.quantity, found->price);
    }
    sheet_.lines.push_back(std::move(line));
  }

  /// Bars and boards as bought: by the metre of the section, else by the kg of the material, whole
  /// bars; of what is turned, a metre weighs what the finished pieces weigh a metre.
  void addSections() {
    for (const StockGroup& group : lists_.stock) {
      double bought_mm = group.plan.bought_mm, pieces_mm = 0, pieces_kg = 0;
      for (const StockPiece& piece : group.plan.too_long) {
        bought_mm += piece.length_mm * piece.quantity;
      }
      std::string marks;
      for (const StockPiece& piece : group.pieces) {
        marks += (marks.empty() ? "" : " ") + piece.mark;
        const auto row = cut_.find(piece.mark);
        if (row != cut_.end()) {
          pieces_mm += piece.length_mm * piece.quantity;
          pieces_kg += row->second->mass_kg * piece.quantity;
        }
      }
      const std::string what = group.section;
      auto by_metre = in(prices_.per_m, "per_m", group.section);
      if (!by_metre && group.section.starts_with("lipped channel ")) {
        by_metre = in(prices_.per_m, "per_m", "guide channel");
      }
      if (by_metre) {
        add(CostGroup::kSections, what, marks, bought_mm / kMmPerM, "m", by_metre);
      } else {
        const double finished_kg = pieces_mm > 0 ? bought_mm * pieces_kg / pieces_mm : 0;
        const double kg = std::max(
            finished_kg, bought_mm * barAreaMm2(group.section) / kMm3PerM3 * densityOf(group));
        add(CostGroup::kSections, what, marks, kg, "kg",
            in(prices_.per_kg, "per_kg", group.material));
      }
    }
  }

  double densityOf(const StockGroup& group) const {
    for (const StockPiece& piece : group.pieces) {
      const auto found = density_.find(piece.mark.substr(0, piece.mark.find('-')));
      if (found != density_.end()) {
        return found->second;
      }
    }
    return 0;
  }

  /// By the mass of the blanks' bounding rectangles, as tables/order.csv has their areas.
  void addPlates() {
    struct Blanks {
      double kg = 0;
      std::string marks;
    };
    std::map<std::pair<std::string, double>, Blanks> plates;
    for (const ProfileRow& row : lists_.profiles) {
      if (!row.profile || !ordered("m2", row.mark)) {
        continue;
      }
      Blanks& blanks = plates[{row.material, row.thickness_mm}];
      blanks.kg += row.profile->width_mm * row.profile->height_mm * row.thickness_mm / kMm3PerM3 *
                   density_[row.mark] * row.quantity;
      blanks.marks += (blanks.marks.empty() ? "" : " ") + row.mark;
    }
    for (const CutRow& row : lists_.cut_list) {
      if (!isStrip(row.section) || !ordered("m2", row.mark)) {
        continue;
      }
      const StripSizes strip = stripSizes(row.section);
      Blanks& blanks = plates[{row.material, strip.thick_mm}];
      blanks.kg += row.mass_kg * row.quantity;
      blanks.marks += (blanks.marks.empty() ? "" : " ") + row.mark;
    }
    for (const auto& [key, blanks] : plates) {
      const auto& [material, thickness_mm] = key;
      auto price = in(prices_.per_kg, "per_kg", "plate");
      add(CostGroup::kPlates, "plate " + shown(thickness_mm) + ", " + material, blanks.marks,
          blanks.kg, "kg", price ? price : in(prices_.per_kg, "per_kg", material));
    }
  }

  bool ordered(std::string_view unit, const std::string& mark) const {
    return std::any_of(order_.begin(), order_.end(), [&](const OrderRow& row) {
      return row.unit == unit &&
             (" " + row.marks + " ").find(" " + mark + " ") != std::string::npos;
    });
  }

  /// Under a name of the firm's own.
  std::optional<FoundPrice> item(const std::string& name) {
    asked_.insert(name);
    return in(prices_.items, "items", name);
  }

  /// Entries that nothing was asked under, with what may have been meant.
  void findIdle() {
    const std::vector<std::string> asked(asked_.begin(), asked_.end());
    for (const auto& [entry, price] : prices_.items) {
      if (asked_.contains(entry)) {
        continue;
      }
      // Further off it is another part, of another gate: a wheel's bolt and its axle.
      constexpr int kSlip = 2;
      const std::string nearest = nearestName(entry, asked);
      sheet_.idle.push_back({entry, editDistance(entry, nearest) <= kSlip ? nearest : ""});
    }
  }

  /// By the supplier's reference, else by the row's words, of which less and less is looked for:
  /// "screw M8x20, cylinder head, ISO 4762", "screw M8x20, cylinder head", "screw M8x20".
  std::optional<FoundPrice> itemPrice(const OrderRow& row) {
    if (!row.item.empty()) {
      if (auto found = item(row.item)) {
        return found;
      }
    }
    std::string words = row.what;
    while (true) {
      if (auto found = item(words)) {
        return found;
      }
      const std::size_t comma = words.rfind(", ");
      if (comma == std::string::npos) {
        break;
      }
      words.resize(comma);
    }
    // "screw M8x20" -> "screw": a size is left off, never a word.
    const std::size_t blank = words.rfind(' ');
    if (blank != std::string::npos &&
        words.find_first_of("0123456789", blank) != std::string::npos) {
      if (auto found = item(words.substr(0, blank))) {
        return found;
      }
    }
    if (words.ends_with(kEnvelopeWord)) {
      words.resize(words.size() - kEnvelopeWord.size());
      if (auto found = item(words)) {
        return found;
      }
    }
    if (row.unit == "m") {
      return in(prices_.per_m, "per_m", words.starts_with("wire rope") ? "rope" : words);
    }
    return in(prices_.per_item, "per_item", words);
  }

  /// Whatever else is ordered: hardware, ropes, boxes, pieces made of strip, concrete.
  void addOrdered() {
    for (const OrderRow& row : order_) {
      if (row.unit == "bar" || row.unit == "board" || row.unit == "m2") {
        continue;
      }
      const std::string first = row.marks.substr(0, row.marks.find(' '));
      if (row.unit == "m3") {
        add(CostGroup::kConcrete, row.what, row.marks, row.quantity, row.unit,
            in(prices_.per_m3, "per_m3", row.material));
        dug_m3_ += row.quantity;
        continue;
      }
      const auto item = itemPrice(row);
      if (!item && cut_.contains(first)) {
        auto price = in(prices_.per_kg, "per_kg", "plate");
        add(CostGroup::kPlates, row.what, row.marks, row.mass_kg, "kg",
            price ? price : in(prices_.per_kg, "per_kg", row.material));
        continue;
      }
      add(CostGroup::kBought, row.what, row.marks, row.quantity, row.unit, item);
    }
  }

  /// Zinc by the kg, else by the m2, of what is dipped; paint and powder by the m2 that shows.
  void addCoating() {
    double dipped_kg = 0, dipped_m2 = 0, painted_m2 = 0, powder_m2 = 0;
    for (const CoatingRow& row : lists_.coating) {
      if (row.zinc_um > 0) {
        dipped_kg += row.mass_kg * row.quantity;
        dipped_m2 += row.all_m2 * row.quantity;
      }
      painted_m2 += row.finish == "painted" ? row.outside_m2 * row.quantity : 0;
      powder_m2 += row.finish.ends_with("powder-coated") ? row.outside_m2 * row.quantity : 0;
    }
    const auto by_kg = in(prices_.per_kg, "per_kg", "galvanising");
    const auto by_m2 = in(prices_.per_m2, "per_m2", "galvanising");
    const bool takes_m2 = !by_kg && by_m2;
    add(CostGroup::kCoating, "galvanising", "", takes_m2 ? dipped_m2 : dipped_kg,
        takes_m2 ? "m2" : "kg", takes_m2 ? by_m2 : by_kg);
    add(CostGroup::kCoating, "powder coating", "", powder_m2, "m2",
        in(prices_.per_m2, "per_m2", "powder coating"));
    add(CostGroup::kCoating, "paint", "", painted_m2, "m2", in(prices_.per_m2, "per_m2", "paint"));
  }

  void addWorkOf(const char* what, double quantity, const char* unit) {
    SheetCost line;
    line.group = CostGroup::kWork;
    line.what = what;
    line.quantity = amountOf(quantity);
    line.unit = unit;
    if (line.quantity.parts == 0) {
      return;
    }
    const auto found = prices_.operations.find(what);
    if (found != prices_.operations.end()) {
      const Operation& operation = found->second;
      line.hours_each = operation.hours;
      line.price = operation.per_hour ? operation.per_hour : prices_.per_hour;
      line.priced_as = childPointer("/operations", what);
    }
    if (!line.isMissing()) {
      line.hours = times(line.quantity, *line.hours_each);
      line.cost = costOf(line.hours, *line.price);
    }
    sheet_.lines.push_back(std::move(line));
  }

  void addWork() {
    double cuts = 0, holes = 0, plates = 0, weld_mm = 0;
    for (const StockGroup& group : lists_.stock) {
      for (const StockPiece& piece : group.pieces) {
        cuts += piece.quantity;
      }
    }
    for (const CutoutRow& row : lists_.cutouts) {
      holes += row.quantity;
    }
    for (const ProfileRow& row : lists_.profiles) {
      plates += row.profile ? row.quantity : 0;
    }
    for (const WeldRow& row : lists_.welds) {
      weld_mm += row.allLengthMm();
    }
    const auto panels = static_cast<double>(lists_.panel_mass_kg.size());
    addWorkOf("cut", cuts, "piece");
    addWorkOf("drill", holes, "hole");
    addWorkOf("plate", plates, "piece");
    addWorkOf("weld", weld_mm / kMmPerM, "m");
    addWorkOf("assemble", panels, "panel");
    addWorkOf("rope", static_cast<double>(lists_.loads.ropes.size()), "rope");
    addWorkOf("install", panels, "panel");
    // Dug by the hour or for a price, not both.
    if (prices_.operations.contains("dig") || !prices_.per_m3_dug) {
      addWorkOf("dig", dug_m3_, "m3");
    } else {
      add(CostGroup::kConcrete, "digging, as much as the concrete", "", dug_m3_, "m3",
          FoundPrice{*prices_.per_m3_dug, "/per_m3_dug"});
    }
    addWorkOf("gate", 1, "gate");
  }

  void addUp() {
    std::stable_sort(sheet_.lines.begin(), sheet_.lines.end(),
                     [](const SheetCost& a, const SheetCost& b) { return a.group < b.group; });
    for (const SheetCost& line : sheet_.lines) {
      sheet_.sums[static_cast<std::size_t>(line.group)] += line.cost;
      sheet_.cost += line.cost;
      if (line.isMissing()) {
        const bool is_work = line.group == CostGroup::kWork;
        sheet_.missing.push_back(
            (is_work ? (line.hours_each ? "the hour of work: " : "hours of work: ") : "") +
            line.what);
      }
    }
    // A margin or a tax that is not given is none that is known: it is missing, 0 has to be said.
    if (!sheet_.margin_percent) {
      sheet_.missing.emplace_back("margin_percent");
    }
    if (!sheet_.tax_percent) {
      sheet_.missing.emplace_back("tax_percent");
    }
    sheet_.margin = shareOf(sheet_.cost, sheet_.margin_percent.value_or(Price{}));
    sheet_.net = sheet_.cost + sheet_.margin;
    sheet_.tax = shareOf(sheet_.net, sheet_.tax_percent.value_or(Price{}));
    sheet_.gross = sheet_.net + sheet_.tax;
  }

  const PriceList& prices_;
  const Schedules& lists_;
  std::vector<OrderRow> order_;
  std::map<std::string, const CutRow*> cut_;
  std::map<std::string, double> density_;
  double dug_m3_ = 0;
  std::set<std::string> asked_;  ///< names that an item's price was looked for under
  CostSheet sheet_;
};

}  // namespace

CostSheet costSheet(const PriceList& prices, const Schedules& schedules) {
  return SheetMaker(prices, schedules).made();
}

std::optional<CostSheet> costSheetOf(const PriceList& prices, const GateSpec& spec) {
  const LayoutResult laid = layOut(spec);
  if (!laid.problems.empty()) {
    return std::nullopt;
  }
  try {
    Model model = buildModel(spec, laid.layout);
    measureAreas(model);
    Schedules schedules = makeSchedules(model, Frequencies::kLeftOut);
    planStock(model, schedules);
    findWelds(model, schedules);
    findCutouts(model, schedules);
    return costSheet(prices, schedules);
  } catch (const GeometryError&) {
    return std::nullopt;
  }
}

}  // namespace leafstack
