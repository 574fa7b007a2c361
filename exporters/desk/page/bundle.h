// The desk page's own files, bundled when the program is built and carried inside it.
#pragma once

#include <optional>
#include <string_view>

namespace leafstack::desk {

struct PageFile {
  std::string_view type, bytes;
};

/// What is served under a target: "/", "/viewer.css" (the review page's style), "/desk.css",
/// "/desk.js", "/licences"; nothing for any other.
std::optional<PageFile> pageFile(std::string_view target);

}  // namespace leafstack::desk
