// Asks the system to show an address in a browser.
#pragma once

#include <string>

namespace leafstack::desk {

/// Quietly, and without waiting for it. False where there is nobody to ask: no display, or no
/// program that opens addresses.
bool showInBrowser(const std::string& address);

}  // namespace leafstack::desk
