// Zip files in memory, the same bytes for the same entries.
#pragma once

#include <string>
#include <vector>

namespace leafstack {

struct ZipEntry {
  std::string path, contents;
};

/// Entries in their order, stored as they are: compressed bytes would change with the compressor's
/// version. Every entry bears the day of `timestamp` ("2024-05-01T12:00:00Z") at noon; days a zip
/// file cannot hold, before 1980 or after 2107, become the first of 1980. Throws ExportError.
std::string zipFile(const std::vector<ZipEntry>& entries, const std::string& timestamp);

/// The files in a zip file's bytes, in its order, folders left out. Throws ExportError where it is
/// none, or its files are larger all told than `most_bytes`.
std::vector<ZipEntry> zipEntries(const std::string& bytes, std::size_t most_bytes);

}  // namespace leafstack
