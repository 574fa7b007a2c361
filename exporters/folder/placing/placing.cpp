#include "exporters/folder/placing/placing.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstdio>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

namespace leafstack {
namespace {

namespace fs = std::filesystem;

constexpr const char* kOldSuffix = "-old";

std::error_code lastError() {
  return {errno, std::generic_category()};
}

std::string hiddenPrefix(const fs::path& target) {
  std::string prefix = ".";
  prefix += target.filename().string();
  prefix += ".leafstack-";
  return prefix;
}

/// Whether `name` is one that hiddenName() or replaceFolder() gives.
bool isHiddenName(std::string_view name, std::string_view prefix) {
  if (!name.starts_with(prefix)) {
    return false;
  }
  name.remove_prefix(prefix.size());
  if (name.ends_with(kOldSuffix)) {
    name.remove_suffix(std::string_view(kOldSuffix).size());
  }
  return !name.empty() && name.find_first_not_of("0123456789") == std::string_view::npos;
}

/// Neither the kernel nor the file system can: do it in other steps.
bool isUnsupported(int error) {
  return error == EINVAL || error == ENOSYS || error == ENOTSUP;
}

}  // namespace

PathLock::PathLock(const fs::path& path, Wait wait, bool (*is_over)())
    : descriptor_(open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK)) {
  if (descriptor_ < 0) {
    return;
  }
  using namespace std::chrono_literals;
  constexpr auto kLongest = 30s;
  constexpr auto kStep = 10ms;
  auto waited = 0ms;
  while (flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
    is_busy_ = errno == EWOULDBLOCK || errno == EINTR;
    const bool gives_up = wait == Wait::kNo || waited >= kLongest || (is_over && is_over());
    if (!is_busy_ || gives_up) {
      release();
      return;
    }
    std::this_thread::sleep_for(kStep);
    waited += kStep;
  }
  is_busy_ = false;
}

PathLock::~PathLock() {
  release();
}

PathLock::PathLock(PathLock&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)), is_busy_(other.is_busy_) {}

PathLock& PathLock::operator=(PathLock&& other) noexcept {
  if (this != &other) {
    release();
    descriptor_ = std::exchange(other.descriptor_, -1);
    is_busy_ = other.is_busy_;
  }
  return *this;
}

void PathLock::release() noexcept {
  if (descriptor_ >= 0) {
    close(std::exchange(descriptor_, -1));
  }
}

SignalsHeldBack::SignalsHeldBack() {
  sigset_t held;
  sigemptyset(&held);
  for (const int signal : kEndingSignals) {
    sigaddset(&held, signal);
  }
  sigprocmask(SIG_BLOCK, &held, &before_);
}

SignalsHeldBack::~SignalsHeldBack() {
  sigprocmask(SIG_SETMASK, &before_, nullptr);
}

void clearAbandoned(const fs::path& target) {
  const std::string prefix = hiddenPrefix(target);
  std::error_code error;
  std::vector<fs::path> candidates;
  for (const auto& entry : fs::directory_iterator(target.parent_path(), error)) {
    if (isHiddenName(entry.path().filename().string(), prefix)) {
      candidates.push_back(entry.path());
    }
  }
  for (const fs::path& path : candidates) {
    const PathLock lock(path, PathLock::Wait::kNo);
    if (!lock.isHeld()) {
      continue;
    }
    if (path.string().ends_with(kOldSuffix) && !fs::exists(fs::symlink_status(target))) {
      fs::rename(path, target, error);
    } else {
      fs::remove_all(path, error);
    }
  }
}

fs::path hiddenName(const fs::path& target) {
  for (int number = getpid();; ++number) {
    fs::path path = target.parent_path() / (hiddenPrefix(target) + std::to_string(number));
    if (!fs::exists(fs::symlink_status(path))) {
      return path;
    }
  }
}

std::error_code moveToNewName(const fs::path& from, const fs::path& target) {
  if (renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, target.c_str(), RENAME_NOREPLACE) == 0) {
    return {};
  }
  if (!isUnsupported(errno)) {
    return lastError();
  }
  if (fs::exists(fs::symlink_status(target))) {
    return std::make_error_code(std::errc::file_exists);
  }
  std::error_code error;
  fs::rename(from, target, error);
  return error;
}

std::error_code replaceFolder(const fs::path& from, const fs::path& target, fs::path& left) {
  left = from;
  if (renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, target.c_str(), RENAME_EXCHANGE) == 0) {
    return {};
  }
  if (!isUnsupported(errno)) {
    return lastError();
  }
  left += kOldSuffix;
  std::error_code error;
  fs::rename(target, left, error);
  if (error) {
    return error;
  }
  fs::rename(from, target, error);
  if (error) {
    std::error_code ignored;
    fs::rename(left, target, ignored);
  }
  return error;
}

}  // namespace leafstack
