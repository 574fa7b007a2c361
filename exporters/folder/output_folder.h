// A folder of outputs that appears whole or not at all.
//
// Files are written into a hidden sibling of the target (placing.h), which commit() renames into
// place. Without commit() the sibling is removed again: on an exception, and on SIGINT, SIGTERM or
// SIGHUP (checked between files; after cleaning up the signal is raised again, so the caller of the
// program sees it). What a killed run leaves, the next one into the same target clears away.
//
// Properties (tests/folder/export_output_folder_test.cpp, tests/trust/writing.py): O1 an existing
// target is never touched unless `force`; O2 with `force`, only a folder with a leafstack manifest
// of its own, or an empty one, is replaced, and where anything in it was changed or added since, it
// is kept beside the new one; O3 until commit() the target is as before, and at every moment it is
// the old folder or the new one; O4 after a failure no sibling is left behind; O5 of several
// writers into one target each is whole, and without `force` the first one stays; O6 no file that
// the run reads is ever replaced or moved; O7 what takes the target's place is on the disk before
// it does.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "exporters/folder/input_files.h"
#include "exporters/folder/manifest.h"
#include "exporters/folder/placing/placing.h"

namespace leafstack {

/// What may be replaced by one file.
struct FileRules {
  /// Whether an existing file may be replaced at all; then it must be one that `is_ours` knows.
  bool force = false;
  /// Whether these bytes are what the program wrote once, and nobody changed since.
  std::function<bool(std::string_view)> is_ours = {};
  InputFiles inputs = {};   ///< never replaced, whatever they hold
  bool is_private = false;  ///< readable by its owner only
};

/// Throws WriteError where writeWholeFile() would, as far as that can be told beforehand.
void demandWritable(const std::filesystem::path& path, const FileRules& rules);

/// Writes one file beside `path`, flushes it to the disk, then renames it into place. Throws
/// WriteError.
void writeWholeFile(const std::filesystem::path& path, std::string_view contents,
                    const FileRules& rules);

class OutputFolder {
 public:
  /// Checks everything that can be known before any work; writes nothing. Throws WriteError.
  OutputFolder(const std::filesystem::path& target, bool force, InputFiles inputs = {});
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
  /// After commit(): the folder that stood there, where it was kept because files in it were
  /// changed or added by others than this program, and which; both empty otherwise.
  const std::filesystem::path& kept() const { return kept_; }
  const std::vector<std::string>& keptFor() const { return kept_for_; }

 private:
  void open();
  void checkReplaceable() const;
  void store(const std::string& path, std::string_view contents);
  void endIfSignalled();
  void replaceTarget();
  void keepReplaced();
  void discard() noexcept;

  std::filesystem::path target_, sibling_, kept_;
  std::vector<std::string> kept_for_;
  InputFiles inputs_;
  PathLock held_;  ///< on the sibling
  bool force_ = false;
  bool is_open_ = false;
  std::vector<ManifestEntry> files_;
};

}  // namespace leafstack
