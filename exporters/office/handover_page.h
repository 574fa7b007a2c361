// handover.html: what the design knows of hazards, tests, maintenance and spare parts.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/office/marked_picture.h"
#include "exporters/office/words/words.h"
#include "generator/clash/report/clash.h"
#include "generator/compare/prices.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// What the page is made from.
struct HandoverContents {
  const Model& model;
  const Schedules& schedules;
  const ClashReport& clash;
  const Advice& advice;
  const ClosedPicture& picture;
  const PriceList* prices = nullptr;  ///< of which the intervals; none: left to be filled in
};

/// Claims no conformity; figures are the design's, blanks the installer's.
std::string handoverPage(const HandoverContents& contents, const Provenance& provenance,
                         const PaperWords& say = englishWords());

struct ForcePoint;
/// "A" for the points of the first height, "B" ...
std::string letterOf(const ForcePoint& point);

}  // namespace leafstack
