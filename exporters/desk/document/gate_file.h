// The gate file that a desk works on: read, saved whole or not at all, and what was not saved yet
// kept beside it in a journal.
//
// A desk holds a slot, ".gate.json.desk-1" and so on beside the file, locked for as long as it
// lives; its journal stands in it. A slot that holds something and that nobody holds was left by a
// desk that ended without saving.
//
// Properties (tests/desk): F1 a file that changed on the disk since it was read or saved is never
// replaced, unless that is asked for; F2 at every moment, also of a kill, the file is the old one
// or the new one; F3 whatever was kept is offered by the next desk; F4 desks on one file know of
// each other.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace leafstack::desk {

/// What became of saving.
enum class Saved { kDone, kChangedOnDisk };

class GateFile {
 public:
  /// `path` need not exist. Throws WriteError where its folder cannot be
  /// written to.
  explicit GateFile(const std::filesystem::path& path);
  ~GateFile();
  GateFile(const GateFile&) = delete;
  GateFile& operator=(const GateFile&) = delete;

  std::string name() const { return path_.filename().string(); }
  /// As it is on the disk now, and known from here on; nothing where it does not exist. Throws
  /// WriteError where it cannot be read, or is larger than any gate file.
  std::optional<std::string> read();
  /// Whether the disk has what was last read or saved.
  bool isAsKnown() const;
  /// `over`: also where it changed meanwhile. Throws WriteError.
  Saved save(const std::string& text, bool over);

  /// Keeps what is not saved; an empty text when all is.
  void keep(const std::string& text);
  /// What an earlier desk kept and did not save, the newest; nothing where there is none.
  std::optional<std::string> left() const;
  /// Does away with all that earlier desks left.
  void forgetLeft();
  /// Whether another desk works on the same file now.
  bool hasCompany() const;

 private:
  std::filesystem::path slot(int number) const;
  std::optional<std::string> onDisk() const;

  std::filesystem::path path_;
  std::optional<std::string> known_;
  int own_slot_ = 0, descriptor_ = -1;
};

}  // namespace leafstack::desk
