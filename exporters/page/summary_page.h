// summary.html: one page about one gate that prints well and needs nothing but itself.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "generator/clash/report/clash.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// What the page is made from. Pictures: GatePictures::svgAt() of the same model.
struct SummaryContents {
  const Model& model;
  const Schedules& schedules;
  const ClashReport& clash;
  const Advice& advice;
  const std::string& closed_picture;
  const std::string& open_picture;
};

/// HTML 5: the gate in pictures, what to order, the figures with formulas and sources as a
/// calculation sheet, warnings, published safety figures, cautions. No scripts, nothing loaded
/// from elsewhere.
std::string summaryPage(const SummaryContents& contents, const Provenance& provenance);

}  // namespace leafstack
