// manifest.json: every file of the folder, so that a receiver can see that all arrived unchanged.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "exporters/bytes/provenance.h"

namespace leafstack {

inline constexpr const char* kManifest = "manifest.json";

struct ManifestEntry {
  std::string path;  ///< relative to the folder, '/' between
  std::uintmax_t size_bytes = 0;
  std::string sha256;
};

/// Entries sorted by path; the manifest itself is not among them.
std::string manifestJson(std::vector<ManifestEntry> files, const Provenance& provenance);

/// What manifestJson() wrote, read back.
struct ManifestContents {
  bool is_ours = false;  ///< written by this program
  std::vector<ManifestEntry> files;
};
ManifestContents readManifest(const std::string& json);

}  // namespace leafstack
