// install.html: how the gate is put up, step by step, each with a picture of what is there by then.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/office/words/words.h"
#include "generator/clash/report/clash.h"
#include "generator/installing/installation.h"
#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// What the page is made from.
struct InstallContents {
  const Model& model;
  const Schedules& schedules;
  const ClashReport& clash;
  const Advice& advice;
  const Installation& plan;
};

/// Figures are those of the lists. Throws
/// ExportError where a picture cannot be made.
std::string installPage(const InstallContents& contents, const Provenance& provenance,
                        const PaperWords& say = englishWords());

}  // namespace leafstack
