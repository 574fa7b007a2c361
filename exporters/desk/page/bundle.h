// The desk page's own files, bundled when the program is built and carried inside it.
#pragma once

#include <optional>
#include <string_view>

namespace leafstack::desk {

struct PageFile {
  std::string_view type, bytes;
};

/// site_sheet.html: where {{words in braces}} are filled in.
std::string_view siteSheetTemplate();

/// What is served under a target: "/", "/viewer.css" (the review page's style), "/desk.css",
/// "/desk.js", "/licences"; nothing for any other.
std::optional<PageFile> pageFile(std::string_view target);

}  // namespace leafstack::desk
