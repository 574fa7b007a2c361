// How an output that is whole takes its place, and what a run that was killed left behind.
//
// Outputs are made under a hidden name beside their target, "." + name + ".leafstack-" + a number,
// and held by a lock that ends with the process, however it ends. So a name nobody holds was
// abandoned, and the next run into the same target clears it away. Where the file system knows no
// such locks (some network ones), nothing is ever cleared away.
#pragma once

#include <csignal>
#include <filesystem>
#include <string>
#include <system_error>

namespace leafstack {

/// An exclusive lock on an existing file or folder, given up with the object or the process.
class PathLock {
 public:
  enum class Wait { kYes, kNo };

  PathLock() = default;
  /// Waits, if asked to, for half a minute at most, and no longer once `is_over` says so. Where the
  /// file system knows no locks it is neither held nor busy.
  PathLock(const std::filesystem::path& path, Wait wait, bool (*is_over)() = nullptr);
  ~PathLock();
  PathLock(PathLock&& other) noexcept;
  PathLock& operator=(PathLock&& other) noexcept;

  bool isHeld() const { return descriptor_ >= 0; }
  /// Somebody else held it all the time.
  bool isBusy() const { return is_busy_; }

 private:
  void release() noexcept;

  int descriptor_ = -1;
  bool is_busy_ = false;
};

/// Signals that end a run and leave it time to clean up.
inline constexpr int kEndingSignals[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGXCPU};

/// Holds the ending signals back for as long as it lives.
class SignalsHeldBack {
 public:
  SignalsHeldBack();
  ~SignalsHeldBack();
  SignalsHeldBack(const SignalsHeldBack&) = delete;
  SignalsHeldBack& operator=(const SignalsHeldBack&) = delete;

 private:
  sigset_t before_;
};

/// Clears away what killed runs left beside `target`; where one was stopped while it replaced the
/// target, the old one is put back first. To be called with the parent folder locked.
void clearAbandoned(const std::filesystem::path& target);

/// A free hidden name beside `target`. To be called with the parent folder locked.
std::filesystem::path hiddenName(const std::filesystem::path& target);

/// Renames, and fails with std::errc::file_exists where `target` exists.
std::error_code moveToNewName(const std::filesystem::path& from,
                              const std::filesystem::path& target);

/// Puts folder `from` in the place of `target`, in one step where the file system can; afterwards
/// the old one is called `from` or `from` + "-old", as `left` says.
std::error_code replaceFolder(const std::filesystem::path& from,
                              const std::filesystem::path& target, std::filesystem::path& left);

}  // namespace leafstack
