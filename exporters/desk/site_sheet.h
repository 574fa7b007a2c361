// The site sheet: one file for any browser, without server or network, in which a driveway is
// measured, or which is printed on A4 and filled in by pen; it saves a gate file.
#pragma once

#include <string>

namespace leafstack::desk {

/// The page. Its keys, choices and ranges are those of the gate file's table.
std::string siteSheet();

}  // namespace leafstack::desk
