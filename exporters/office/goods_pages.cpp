#include "exporters/office/goods_pages.h"

#include <optional>
#include <set>
#include <utility>

#include "exporters/office/html.h"
#include "generator/geometry/numbers.h"
#include "generator/installing/loading.h"
#include "generator/shop/order.h"

namespace leafstack {
namespace {

using office::Cells;

/// Whom to ask where the shelf names no supplier.
Say tradeOf(const OrderRow& row, const std::set<std::string>& made) {
  const bool is_made = made.contains(row.marks.substr(0, row.marks.find(' ')));
  if (row.unit == "bar" || row.unit == "m2" || (row.unit == "piece" && is_made)) {
    return Say::kMetalMerchant;
  }
  if (row.unit == "board") {
    return Say::kTimberMerchant;
  }
  if (row.unit == "m3") {
    return Say::kConcretePlant;
  }
  return row.per_box > 0 ? Say::kFastenerMerchant : Say::kHardwareMerchant;
}

/// What else a supplier has to know of it.
std::string moreOf(const OrderRow& row, const Model& model, const Schedules& schedules,
                   const PaperWords& say) {
  if (row.unit == "m3") {
    const std::optional<double>& strength = model.spec.footing.concrete_N_mm2;
    return "; " + (strength ? say(Say::kStrength, {shown(*strength, 1)}) : say(Say::kStrengthOpen));
  }
  for (const Part& part : model.parts) {
    if (part.kind == PartKind::kMotor && part.mark == row.marks) {
      const DriveRow& drive = schedules.loads.drive;
      return "; " + say(Say::kMotorNeeds,
                        {shown(drive.required_force_N, 0), shown(drive.time.top_speed_mm_s, 0)});
    }
  }
  return "";
}

/// Everything that is coated outside the shop.
std::string coaterText(const Model& model, const Schedules& schedules, const PaperWords& say) {
  const ShopFinish finish = model.spec.shop.finish;
  if (finish != ShopFinish::kGalvanised && finish != ShopFinish::kGalvanisedPowder) {
    return "";
  }
  double all_kg = 0, all_m2 = 0;
  for (const CoatingRow& row : schedules.coating) {
    const bool is_coated = !row.finish.empty();
    all_kg += is_coated ? row.mass_kg * row.quantity : 0;
    all_m2 += is_coated ? row.all_m2 * row.quantity : 0;
  }
  return "<section class=\"leaf\">\n" + office::heading(say(Say::kOrderTo, {say(Say::kCoater)})) +
         office::paragraph(say(Say::kToCoat)) +
         office::facts({{say(Say::kJobNumber), model.spec.job.number},
                        {say(Say::kCompany), model.spec.job.company},
                        {say(Say::kFinish),
                         say(finish == ShopFinish::kGalvanised ? Say::kFinishGalvanised
                                                               : Say::kFinishGalvanisedPowder)},
                        {say(Say::kMassKg), shown(all_kg, 1)},
                        {say(Say::kAreaAll), shown(all_m2, 2)},
                        {say(Say::kDeliverTo), ""},
                        {say(Say::kDeliverBy), ""}}) +
         office::signatures({say(Say::kSignature)}) + "</section>\n";
}

std::string orderTable(const std::vector<const OrderRow*>& rows, const Model& model,
                       const Schedules& schedules, const PaperWords& say) {
  std::vector<Cells> cells;
  for (const OrderRow* row : rows) {
    std::string what = row->what;
    for (const std::string& more : {row->material, row->finish}) {
      what += more.empty() || more == "envelope" ? "" : "; " + more;
    }
    what += moreOf(*row, model, schedules, say);
    const double mass_kg = row->bought_kg > 0 ? row->bought_kg : row->mass_kg;
    cells.push_back({">" + std::to_string(cells.size() + 1), row->item, what,
                     ">" + shown(row->quantity, 3), row->unit,
                     mass_kg > 0 ? ">" + shown(mass_kg, 2) : "", row->marks});
  }
  return office::table({"", say(Say::kReference), say(Say::kWhat), ">" + say(Say::kQuantity),
                        say(Say::kUnit), ">" + say(Say::kMassKg), say(Say::kMarks)},
                       cells);
}

}  // namespace

std::string ordersPage(const Model& model, const Schedules& schedules, const Provenance& provenance,
                       const PaperWords& say) {
  const std::vector<OrderRow> rows = orderRows(schedules);
  std::vector<std::pair<std::string, std::vector<const OrderRow*>>> suppliers;
  std::set<std::string> made;  // in the shop
  for (const CutRow& row : schedules.cut_list) {
    made.insert(row.mark);
  }
  for (const OrderRow& row : rows) {
    const std::string name = row.supplier.empty() ? say(tradeOf(row, made)) : row.supplier;
    auto found = suppliers.begin();
    while (found != suppliers.end() && found->first != name) {
      ++found;
    }
    if (found == suppliers.end()) {
      found = suppliers.insert(found, {name, {}});
    }
    found->second.push_back(&row);
  }
  std::string body = office::paragraph(say(Say::kOrdersNote), "note");
  for (const auto& [name, of] : suppliers) {
    body += "<section class=\"leaf\">\n" + office::heading(say(Say::kOrderTo, {name})) +
            office::facts({{say(Say::kJobNumber), model.spec.job.number},
                           {say(Say::kCompany), model.spec.job.company},
                           {say(Say::kDeliverTo), ""},
                           {say(Say::kDeliverBy), ""}}) +
            orderTable(of, model, schedules, say) + office::signatures({say(Say::kSignature)}) +
            "</section>\n";
  }
  body += coaterText(model, schedules, say);
  return office::page(say, Say::kOrders, model.spec.job, provenance, body);
}

std::string packingPage(const Model& model, const Installation& plan, const Provenance& provenance,
                        const PaperWords& say) {
  std::vector<Cells> cells;
  double all_kg = 0;
  for (const LoadingRow& row : loadingRows(model, plan)) {
    const PackingRow& load = row.load;
    all_kg += load.mass_kg * load.pieces;
    const std::string slings =
        row.is_lifted ? say(Say::kSlings, {shown(row.sling_mm[0], 0), shown(row.sling_mm[1], 0)})
                      : say(Say::kByHand);
    cells.push_back({">" + std::to_string(cells.size() + 1),
                     load.what + (load.marks.empty() ? "" : " " + load.marks),
                     ">" + std::to_string(load.pieces), ">" + shown(load.length_mm, 0),
                     ">" + shown(load.depth_mm, 0), ">" + shown(load.height_mm, 0),
                     ">" + shown(load.mass_kg, 1), ">" + shown(row.centre_mm, 0), slings,
                     ">" + std::to_string(row.step), "\u2610"});
  }
  double box_kg = 0;
  std::vector<Cells> box;
  for (const BoxRow& row : boxRows(model, plan)) {
    box_kg += row.mass_kg;
    box.push_back({row.marks, row.is_assembled ? say(Say::kAssembled, {row.name}) : row.name,
                   row.section, ">" + std::to_string(row.quantity), ">" + shown(row.mass_kg, 2),
                   ">" + std::to_string(row.step), "\u2610"});
  }
  all_kg += box_kg;
  cells.push_back({">" + std::to_string(cells.size() + 1), say(Say::kBox), ">1", "", "", "",
                   ">" + shown(box_kg, 1), "", say(Say::kBoxLast), "", "\u2610"});
  const std::string body =
      office::paragraph(say(Say::kPackingNote)) +
      office::table({">" + say(Say::kTurn), say(Say::kBundle), ">" + say(Say::kNumber),
                     ">" + say(Say::kLength), ">" + say(Say::kDepth), ">" + say(Say::kHigh),
                     ">" + say(Say::kMassEach), ">" + say(Say::kCentre), say(Say::kLifting),
                     ">" + say(Say::kInstalledTurn), ""},
                    cells) +
      office::paragraph(say(Say::kLoadInAll, {shown(all_kg, 0)})) +
      office::smallHeading(say(Say::kBoxContents)) + office::paragraph(say(Say::kBoxNote), "note") +
      office::table(
          {say(Say::kMark), say(Say::kPart), say(Say::kDescription), ">" + say(Say::kNumber),
           ">" + say(Say::kMassKg), ">" + say(Say::kInstalledTurn), ""},
          box) +
      office::paragraph(say(Say::kPackingCaution), "warn") +
      office::signatures({say(Say::kLoaded) + ": " + say(Say::kSignature),
                          say(Say::kReceived) + ": " + say(Say::kSignature)});
  return office::page(say, Say::kPacking, model.spec.job, provenance, body);
}

}  // namespace leafstack
