// Which dimensions of a finished gate are worth taking, in which order, and what is drawn for each.
#pragma once

#include <string>
#include <vector>

#include "generator/layout/layout.h"

namespace leafstack {

struct Measure {
  std::string letter;  ///< in the picture
  std::string what, key;
  int panel = 0;  ///< 0: of the site
  double drawn_mm = 0;
};

/// The site's first, then every panel's from the back one, in the order of taking them.
std::vector<Measure> measuresOf(const GateSpec& spec, const Layout& drawn);

}  // namespace leafstack
