// The outputs for people beside a desk or a bench: rows of outputs() (outputs.h).
#include "exporters/as_built/built_pages.h"
#include "exporters/folder/outputs.h"
#include "exporters/office/goods_pages.h"
#include "exporters/office/handover_page.h"
#include "exporters/office/install_page.h"
#include "exporters/office/quote_page.h"

namespace leafstack {
namespace {

using PaperFiles = std::vector<OutputFile>;

/// None without prices.
PaperFiles quoteFiles(const OutputSource& source) {
  const GateResults& gate = source.results;
  const auto file = [&](const char* path, auto make) {
    return OutputFile{path, [&, make] {
                        return make({gate.model, gate.schedules, gate.clash, gate.advice,
                                     *gate.prices, source.closed_picture},
                                    source.provenance, englishWords());
                      }};
  };
  return gate.prices == nullptr
             ? PaperFiles{}
             : PaperFiles{file("quote.html", quotePage), file("cost.html", costPage),
                          file("tables/cost-sheet.csv", costSheetCsv)};
}

PaperFiles paperFiles(const OutputSource& source) {
  const GateResults& gate = source.results;
  PaperFiles files = {
      {"handover.html",
       [&] {
         const ClosedPicture picture{source.closed_picture, source.picture_scale};
         return handoverPage(
             {gate.model, gate.schedules, gate.clash, gate.advice, picture, gate.prices},
             source.provenance);
       }},
      {"install.html",
       [&] {
         return installPage({gate.model, gate.schedules, gate.clash, gate.advice, source.plan},
                            source.provenance);
       }},
      {"orders.html", [&] { return ordersPage(gate.model, gate.schedules, source.provenance); }},
      {"packing.html", [&] { return packingPage(gate.model, source.plan, source.provenance); }}};
  if (gate.as_built != nullptr) {
    files.push_back({"adjustments.html", [&] {
                       return adjustmentPage(gate.model.spec, *gate.as_built, source.provenance);
                     }});
  }
  return files;
}

PaperFiles measuringFiles(const OutputSource& source) {
  return {{"measuring.html",
           [&source] { return measuringPage(source.results.model, source.provenance); }}};
}

}  // namespace

std::vector<Output> paperOutputs() {
  return {
      {"quote",
       "quotation",
       false,
       {Groundwork::kPictures},
       {//
        {"`quote.html`, `cost.html`, `tables/cost-sheet.csv`", "client, office",
         "only with `--prices`: what is offered, for how much, options, exclusions, validity; and "
         "the sheet behind it, operation by operation, which names what has no price on top"}},
       quoteFiles,
       /*tells_stock=*/true},
      {"papers",
       "papers",
       false,
       {Groundwork::kPlan, Groundwork::kPictures},
       {//
        {"`handover.html`, `install.html`, `orders.html`, `packing.html`",
         "installer, owner, buyer, haulier",
         "for A4: how it is put up, step by step, each with its picture and with ways in that are "
         "proved to be free; hazards at their places on the picture, what to measure, force-test "
         "form with "
         "speeds, maintenance, what wears by mark, no declaration of conformity; "
         "`tables/order.csv` as a sheet for each supplier; bundles in the order of loading. With "
         "`as_built` also `adjustments.html`: what to set, where, which way, how much, boxes to "
         "tick"}},
       paperFiles,
       /*tells_stock=*/true},
      {"measuring",
       "measuring sheet",
       true,
       {},
       {//
        {"`measuring.html`", "installer",
         "what to measure of the finished gate, in which order, drawn, with boxes to write in; and "
         "how exact it has to be made where"}},
       measuringFiles},
  };
}

}  // namespace leafstack
