// orders.html: a page for every supplier; packing.html: what leaves the shop, in which turn.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/office/words/words.h"
#include "generator/installing/installation.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// The rows of tables/order.csv, each on one page: by supplier, and where none is named by trade.
std::string ordersPage(const Model& model, const Schedules& schedules, const Provenance& provenance,
                       const PaperWords& say = englishWords());

/// Bundles in the order of loading with sizes, masses, centres of gravity and slings.
std::string packingPage(const Model& model, const Installation& plan, const Provenance& provenance,
                        const PaperWords& say = englishWords());

}  // namespace leafstack
