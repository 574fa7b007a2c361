// The gallery's gate files, built into the program so that `new NAME` needs no folder beside it.
#pragma once

#include <string_view>
#include <vector>

namespace leafstack {

struct GalleryGate {
  std::string_view name;  ///< of its folder in gallery/
  std::string_view text;  ///< its gate.json
};

/// Sorted by name.
const std::vector<GalleryGate>& galleryGates();

}  // namespace leafstack
