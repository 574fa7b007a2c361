#include "exporters/desk/document/gate_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>
#include <system_error>

#include "exporters/bytes/export_error.h"
#include "exporters/folder/output_folder.h"
#include "params/read_gate.h"

namespace leafstack::desk {
namespace {

namespace fs = std::filesystem;
constexpr int kSlots = 9;

std::optional<std::string> bytesOf(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) {
    return std::nullopt;
  }
  std::string text(kMaxGateFileBytes + 1, '\0');
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(in.gcount()));
  return text;
}

/// Opens without waiting and without following a link that somebody put there.
int opened(const fs::path& path, bool create) {
  return open(path.c_str(), O_RDWR | O_CLOEXEC | O_NOFOLLOW | (create ? O_CREAT : 0),
              S_IRUSR | S_IWUSR);
}

/// A slot that nobody holds, by its descriptor; -1.
int unheld(const fs::path& path) {
  const int descriptor = opened(path, /*create=*/false);
  struct stat held {
  }, there{};
  if (descriptor >= 0 && flock(descriptor, LOCK_EX | LOCK_NB) == 0 &&
      fstat(descriptor, &held) == 0 && stat(path.c_str(), &there) == 0 &&
      held.st_ino == there.st_ino) {  // not one that its desk has just put another in place of
    return descriptor;
  }
  if (descriptor >= 0) {
    close(descriptor);
  }
  return -1;
}

}  // namespace

GateFile::GateFile(const fs::path& path)
    : path_(fs::exists(path) ? fs::canonical(path) : fs::absolute(path)) {
  if (!fs::is_directory(path_.parent_path())) {
    throw WriteError(path.string() + ": the folder it should stand in does not exist");
  }
  for (own_slot_ = 1; own_slot_ <= kSlots; ++own_slot_) {
    const int descriptor = opened(slot(own_slot_), /*create=*/true);
    if (descriptor < 0) {
      const int why = errno;
      throw WriteError(slot(own_slot_).string() + ": " + std::strerror(why));
    }
    struct stat about {};
    const bool is_free = flock(descriptor, LOCK_EX | LOCK_NB) == 0;
    // What somebody left stays where it is until it is taken or done away with.
    if (is_free && fstat(descriptor, &about) == 0 && about.st_size == 0) {
      descriptor_ = descriptor;
      return;
    }
    close(descriptor);
  }
  throw WriteError(path.string() + ": more desks than " + std::to_string(kSlots) +
                   " work on it, or left something");
}

GateFile::~GateFile() {
  struct stat about {};
  if (fstat(descriptor_, &about) == 0 && about.st_size == 0) {
    unlink(slot(own_slot_).c_str());
  }
  close(descriptor_);
}

fs::path GateFile::slot(int number) const {
  return path_.parent_path() /
         ("." + path_.filename().string() + ".desk-" + std::to_string(number));
}

std::optional<std::string> GateFile::onDisk() const {
  return fs::exists(path_) ? bytesOf(path_) : std::nullopt;
}

std::optional<std::string> GateFile::read() {
  known_ = onDisk();
  if (!known_ && fs::exists(path_)) {
    throw WriteError(path_.string() + ": cannot be read");
  }
  if (known_ && known_->size() > kMaxGateFileBytes) {
    throw WriteError(path_.string() + ": is larger than any gate file");
  }
  return known_;
}

bool GateFile::isAsKnown() const {
  return onDisk() == known_;
}

Saved GateFile::save(const std::string& text, bool over) {
  if (!over && !isAsKnown()) {
    return Saved::kChangedOnDisk;
  }
  FileRules rules;
  rules.force = over || known_.has_value();
  // Looked at once more under the folder's lock, just before it is replaced.
  rules.is_ours = [&](std::string_view bytes) { return over || bytes == known_; };
  writeWholeFile(path_, text, rules);
  known_ = text;
  keep("");
  return Saved::kDone;
}

void GateFile::keep(const std::string& text) {
  // Length first: a kill in between leaves what tells that it is not whole.
  const std::string bytes = text.empty() ? "" : std::to_string(text.size()) + "\n" + text;
  const fs::path own = slot(own_slot_);
  if (bytes.empty()) {
    if (ftruncate(descriptor_, 0) != 0) {
      throw WriteError(own.string() + ": " + std::strerror(errno));
    }
    return;
  }
  // The new one stands before the old one goes: written behind it, then taken to the front.
  const fs::path fresh = own.string() + "-new";
  const int descriptor = opened(fresh, /*create=*/true);
  const bool is_written =
      descriptor >= 0 && flock(descriptor, LOCK_EX | LOCK_NB) == 0 &&
      ftruncate(descriptor, 0) == 0 &&
      pwrite(descriptor, bytes.data(), bytes.size(), 0) == static_cast<ssize_t>(bytes.size()) &&
      fdatasync(descriptor) == 0 && rename(fresh.c_str(), own.c_str()) == 0;
  if (!is_written) {
    const int why = errno;
    if (descriptor >= 0) {
      close(descriptor);
    }
    throw WriteError(own.string() + ": " + std::strerror(why));
  }
  close(descriptor_);
  descriptor_ = descriptor;
}

std::optional<std::string> GateFile::left() const {
  std::optional<std::string> newest;
  fs::file_time_type when{};
  for (int number = 1; number <= kSlots; ++number) {
    const int descriptor = number == own_slot_ ? -1 : unheld(slot(number));
    if (descriptor < 0) {
      continue;
    }
    close(descriptor);
    const auto bytes = bytesOf(slot(number));
    const std::size_t line = bytes ? bytes->find('\n') : std::string::npos;
    if (line == std::string::npos ||
        bytes->substr(0, line) != std::to_string(bytes->size() - line - 1)) {
      continue;
    }
    std::error_code error;
    const auto written = fs::last_write_time(slot(number), error);
    if (!newest || written > when) {
      newest = bytes->substr(line + 1);
      when = written;
    }
  }
  return newest;
}

void GateFile::forgetLeft() {
  for (int number = 1; number <= kSlots; ++number) {
    const int descriptor = number == own_slot_ ? -1 : unheld(slot(number));
    if (descriptor >= 0) {
      unlink(slot(number).c_str());
      close(descriptor);
    }
  }
}

bool GateFile::hasCompany() const {
  for (int number = 1; number <= kSlots; ++number) {
    if (number == own_slot_) {
      continue;
    }
    const int descriptor = opened(slot(number), /*create=*/false);
    if (descriptor < 0) {
      continue;
    }
    const bool is_held = flock(descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK;
    close(descriptor);
    if (is_held) {
      return true;
    }
  }
  return false;
}

}  // namespace leafstack::desk
