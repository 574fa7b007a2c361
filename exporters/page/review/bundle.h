// The review page's own parts, bundled when the program is built and carried inside it.
#pragma once

#include <string_view>

namespace leafstack {

std::string_view reviewTemplate();  ///< page.html: where {{words in braces}} are filled in
std::string_view reviewStyle();     ///< style.css
std::string_view reviewScript();    ///< all modules and three.js, minified
std::string_view reviewLicences();  ///< of what is not ours in the script

}  // namespace leafstack
