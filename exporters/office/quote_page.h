// quote.html for the client, cost.html and tables/cost-sheet.csv for the office.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/office/words/words.h"
#include "generator/clash/report/clash.h"
#include "generator/compare/prices.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// What the pages are made from. Picture: GatePictures::svgAt() of the same model.
struct QuoteContents {
  const Model& model;
  const Schedules& schedules;
  const ClashReport& clash;
  const Advice& advice;
  const PriceList& prices;
  const std::string& closed_picture;
};

/// What is offered, for how much, what else there is, what is left out. A gate that is not ready
/// and prices that are missing are told first.
std::string quotePage(const QuoteContents& contents, const Provenance& provenance,
                      const PaperWords& say = englishWords());

/// Line by line, missing prices on top.
std::string costPage(const QuoteContents& contents, const Provenance& provenance,
                     const PaperWords& say = englishWords());

/// The same lines; sums in the last ones, of which one says whether they are complete.
std::string costSheetCsv(const QuoteContents& contents, const Provenance& provenance = {},
                         const PaperWords& say = englishWords());

}  // namespace leafstack
