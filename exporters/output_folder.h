// A folder of outputs that appears whole or not at all.
//
// Files are written into a hidden sibling of the target (placing.h), which commit() renames into
// place. Without commit() the sibling is removed again: on an exception, and on SIGINT, SIGTERM or
// SIGHUP (checked between files; after cleaning up the signal is raised again, so the caller of the
// program sees it). What a killed run leaves, the next one into the same target clears away.
//
// Properties (tests/export_output_folder_test.cpp, tests/trust/writing.py): O1 an existing target
// is never touched unless `force`; O2 with `force`, only a folder whose every file stands in its
// own leafstack manifest, or an empty one, is replaced; O3 until commit() the target is as before,
// and at every moment it is the old folder or the new one; O4 after a failure no sibling is left
// behind; O5 of several writers into one target each is whole, and without `force` the first one
// stays.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "exporters/manifest.h"
#include "exporters/placing.h"

namespace leafstack {

/// Throws WriteError where writeWholeFile() would, as far as that can be told beforehand.
void demandWritable(const std::filesystem::path& path, bool force);

/// Writes one file beside `path`, then renames it into place. An existing one is replaced with
/// `force` only. Throws WriteError.
void writeWholeFile(const std::filesystem::path& path, std::string_view contents, bool force);

class OutputFolder {
 public:
  /// Checks everything that can be known before any work; writes nothing. Throws WriteError.
  OutputFolder(const std::filesystem::path& target, bool force);
  ~OutputFolder();
  OutputFolder(const OutputFolder&) = delete;
  OutputFolder& operator=(const OutputFolder&) = delete;

  /// Writes one file, folders included, and reads it back. `path` is relative, '/' between.
  /// Throws WriteError, also where what is read back differs.
  void write(const std::string& path, std::string_view contents);

  /// Writes manifest.json, then puts the folder in its place. Throws WriteError.
  void commit(const Provenance& provenance);

  const std::vector<ManifestEntry>& files() const { return files_; }
  const std::filesystem::path& target() const { return target_; }

 private:
  void open();
  void checkReplaceable() const;
  void store(const std::string& path, std::string_view contents);
  void endIfSignalled();
  void replaceTarget();
  void discard() noexcept;

  std::filesystem::path target_, sibling_;
  PathLock held_;  ///< on the sibling
  bool force_ = false;
  bool is_open_ = false;
  std::vector<ManifestEntry> files_;
};

}  // namespace leafstack
