#include "exporters/folder/output_folder.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <exception>
#include <fstream>
#include <map>
#include <set>
#include <system_error>
#include <thread>
#include <utility>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/sha256.h"
#include "exporters/folder/placing/placing.h"

namespace leafstack {
namespace {

namespace fs = std::filesystem;

volatile std::sig_atomic_t pending_signal = 0;

extern "C" void rememberSignal(int signal) {
  pending_signal = signal;
}

/// Sets `handler` where the program was not started deaf to the signal (in the background).
void handleSignals(void (*handler)(int)) {
  for (const int signal : kEndingSignals) {
    if (std::signal(signal, handler) == SIG_IGN) {
      std::signal(signal, SIG_IGN);
    }
  }
}

void catchSignals() {
  handleSignals(rememberSignal);
  std::signal(SIGPIPE, SIG_IGN);  // nobody listens to the progress any more: the files are wanted
}

void releaseSignals() {
  handleSignals(SIG_DFL);
  std::signal(SIGPIPE, SIG_DFL);
}

[[noreturn]] void fail(const fs::path& path, const std::string& what) {
  throw WriteError(path.string() + ": " + what);
}

/// The folder itself, links followed, without a trailing slash.
fs::path resolvedTarget(const fs::path& given) {
  std::error_code error;
  const fs::path whole = fs::absolute(given, error);
  fs::path path = error ? whole : fs::weakly_canonical(whole, error);
  if (error) {
    fail(given.empty() ? fs::path("the output") : given,
         given.empty() ? "has no name" : error.message());
  }
  if (!path.has_filename()) {
    path = path.parent_path();
  }
  // It is made under a longer, hidden name beside it.
  constexpr std::size_t kLongestName = 230;
  if (path.filename().string().size() > kLongestName) {
    fail(given, "its name is too long: more than " + std::to_string(kLongestName) + " bytes");
  }
  return path;
}

std::string readAll(const fs::path& path) {
  std::ifstream in(path, std::ios::binary | std::ios::ate);
  const std::streamoff size = in.tellg();
  std::string text(static_cast<std::size_t>(std::max<std::streamoff>(size, 0)), '\0');
  in.seekg(0);
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(in.gcount()));
  return text;
}

/// A file or folder on the disk, not only in memory. Where the file system cannot, as it is.
/// Returns why not, or 0; takes no memory.
int whyNotFlushed(const fs::path& path) noexcept {
  const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
  if (descriptor < 0) {
    return errno;
  }
  const int reason = fsync(descriptor) == 0 ? 0 : errno;
  close(descriptor);
  return reason == EINVAL || reason == ENOTSUP ? 0 : reason;
}

void flush(const fs::path& path, const fs::path& shown) {
  if (const int reason = whyNotFlushed(path); reason != 0) {
    fail(shown, std::strerror(reason));
  }
}

/// whyNotFlushed() of each, many at once whatever the cores: each only waits for the disk, which
/// does in one go what it is asked for at the same time.
std::vector<int> flushedTogether(const std::vector<fs::path>& paths) {
  constexpr int kOthers = 15;
  std::vector<int> reasons(paths.size());
  std::atomic<std::size_t> next = 0;
  const auto take = [&] {
    for (std::size_t i = next++; i < paths.size(); i = next++) {
      reasons[i] = whyNotFlushed(paths[i]);
    }
  };
  std::vector<std::jthread> others;
  try {
    for (int i = 0; i < kOthers && next < paths.size(); ++i) {
      others.emplace_back(take);
    }
  } catch (const std::system_error&) {
    // As many as the computer allows will do.
  }
  take();
  others.clear();
  return reasons;
}

/// Everything in `folder`, itself last; messages call it `shown`.
void flushAll(const fs::path& folder, const fs::path& shown) {
  std::vector<fs::path> paths;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    paths.push_back(entry.path());
  }
  const std::vector<int> reasons = flushedTogether(paths);
  for (std::size_t i = 0; i < paths.size(); ++i) {
    if (reasons[i] != 0) {
      fail(shown / paths[i].lexically_relative(folder), std::strerror(reasons[i]));
    }
  }
  flush(folder, shown);
}

/// After a change of names in it. What changed is done; whether it lasts is the disk's affair.
void flushNames(const fs::path& folder) {
  const int descriptor = open(folder.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor >= 0) {
    fsync(descriptor);
    close(descriptor);
  }
}

/// Writes and reads back; messages call it `shown`.
void writeBytes(const fs::path& file, std::string_view contents, const fs::path& shown) {
  std::signal(SIGXFSZ, SIG_IGN);  // a file too large for the user's limit is an error like others
  errno = 0;
  std::ofstream out(file, std::ios::binary);
  out.write(contents.data(), static_cast<std::streamsize>(contents.size()));
  out.close();
  if (!out) {
    const int reason = errno;
    fail(shown, reason != 0 ? std::strerror(reason) : "could not be written");
  }
  if (readAll(file) != contents) {
    fail(shown, "what is on the disk is not what was written");
  }
}

/// An empty file for its owner's eyes, before anything is in it.
void makePrivateFile(const fs::path& file, const fs::path& shown) {
  const int descriptor =
      open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
  if (descriptor < 0) {
    fail(shown, std::strerror(errno));
  }
  close(descriptor);
}

/// The manifest in `folder`; not ours where there is none that can be read.
ManifestContents manifestOf(const fs::path& folder) {
  constexpr std::uintmax_t kLargestManifest = 64u << 20;
  const fs::path listed = folder / kManifest;
  const bool is_file = fs::is_regular_file(fs::symlink_status(listed));
  const bool is_readable = is_file && fs::file_size(listed) <= kLargestManifest;
  return is_readable ? readManifest(readAll(listed)) : ManifestContents{};
}

/// What others than this program changed or added in `folder`, folders included, by its manifest.
std::vector<std::string> workOfOthers(const fs::path& folder, const ManifestContents& manifest) {
  std::map<std::string, std::string> hashes = {{kManifest, ""}};
  std::set<std::string> folders;
  for (const ManifestEntry& file : manifest.files) {
    hashes[file.path] = file.sha256;
    for (fs::path parent = fs::path(file.path).parent_path(); !parent.empty();
         parent = parent.parent_path()) {
      folders.insert(parent.generic_string());
    }
  }
  std::vector<std::string> found;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    const std::string path = entry.path().lexically_relative(folder).generic_string();
    if (!entry.is_symlink() && entry.is_directory()) {
      if (!folders.contains(path)) {
        found.push_back(path);
      }
      continue;
    }
    const auto known = hashes.find(path);
    const bool is_as_written =
        known != hashes.end() && !entry.is_symlink() && entry.is_regular_file() &&
        (path == kManifest || sha256Hex(readAll(entry.path())) == known->second);
    if (!is_as_written) {
      found.push_back(path);
    }
  }
  std::sort(found.begin(), found.end());
  return found;
}

/// "out.before", or "out.before-2" and so on where there is one already.
fs::path nameForReplaced(const fs::path& target) {
  for (int number = 1;; ++number) {
    fs::path path = target;
    path += number == 1 ? ".before" : ".before-" + std::to_string(number);
    if (!fs::exists(fs::symlink_status(path))) {
      return path;
    }
  }
}

/// The first folder in `folder`, itself included, whose files may not be removed, or "".
fs::path lockedFolder(const fs::path& folder) {
  if (access(folder.c_str(), W_OK | X_OK) != 0) {
    return folder;
  }
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (!entry.is_symlink() && entry.is_directory() &&
        access(entry.path().c_str(), W_OK | X_OK) != 0) {
      return entry.path();
    }
  }
  return {};
}

bool holdsWorkingFolder(const fs::path& target) {
  const fs::path here = fs::current_path();
  const auto [end, ignored] = std::mismatch(target.begin(), target.end(), here.begin(), here.end());
  return end == target.end();
}

void demandFolderOf(const fs::path& path, const fs::path& shown_path) {
  const fs::path parent = path.parent_path();
  if (!fs::is_directory(parent)) {
    fail(shown_path, "the folder it should stand in does not exist");
  }
  if (access(parent.c_str(), W_OK | X_OK) != 0) {
    fail(shown_path, "no permission to write in " + parent.string());
  }
}

void demandNotBusy(const PathLock& parent, const fs::path& shown_path) {
  if (parent.isBusy()) {
    fail(shown_path, "another program keeps the folder it should stand in locked");
  }
}

}  // namespace

void demandWritable(const fs::path& path, const FileRules& rules) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (fs::is_directory(status)) {
    fail(path, "is a folder");
  }
  if (fs::exists(status) && !fs::is_regular_file(status)) {
    fail(path, "is no regular file");
  }
  if (const std::string input = rules.inputs.sameAs(path); !input.empty()) {
    fail(path, "is read by this run (" + input + "): never replaced");
  }
  if (fs::exists(fs::symlink_status(path)) && !rules.force) {
    fail(path, "exists; choose another name, or replace it with --force");
  }
  if (fs::exists(status) && !(rules.is_ours && rules.is_ours(readAll(path)))) {
    fail(path, "was not written by leafstack, or was changed since: not replaced");
  }
  demandFolderOf(resolvedTarget(path), path);
}

void writeWholeFile(const fs::path& path, std::string_view contents, const FileRules& rules) {
  demandWritable(path, rules);
  const fs::path target = resolvedTarget(path);
  // Locked before signals are held back: there is nothing to clean up yet.
  const PathLock parent(target.parent_path(), PathLock::Wait::kYes);
  demandNotBusy(parent, path);
  const SignalsHeldBack until_done;
  clearAbandoned(target);
  const fs::path whole = hiddenName(target);
  std::error_code error;
  try {
    if (rules.is_private) {
      makePrivateFile(whole, path);
    }
    writeBytes(whole, contents, path);
    if (fs::exists(target)) {
      demandWritable(path, rules);  // again: it may have changed meanwhile
      fs::permissions(whole, fs::status(target).permissions());
    }
    flush(whole, path);
    if (rules.force) {
      fs::rename(whole, target);
    } else if ((error = moveToNewName(whole, target))) {
      fail(path, error.message());
    }
    flushNames(target.parent_path());
  } catch (...) {
    fs::remove(whole, error);
    throw;
  }
}

OutputFolder::OutputFolder(const fs::path& target, bool force, InputFiles inputs)
    : target_(resolvedTarget(target)), inputs_(std::move(inputs)), force_(force) {
  if (!target_.has_filename()) {
    fail(target, "is not a folder that could be replaced");
  }
  demandFolderOf(target_, target);
  if (fs::exists(fs::symlink_status(target_))) {
    checkReplaceable();
  }
}

OutputFolder::~OutputFolder() {
  if (is_open_) {
    discard();
  }
}

void OutputFolder::checkReplaceable() const {
  if (!force_) {
    fail(target_, "exists; choose another folder, or replace it with --force");
  }
  if (!fs::is_directory(target_)) {
    fail(target_, "is not a folder");
  }
  if (holdsWorkingFolder(target_)) {
    fail(target_, "is the folder this runs in, or holds it");
  }
  if (const fs::path locked = lockedFolder(target_); !locked.empty()) {
    fail(target_, "no permission to replace what is in " + locked.string());
  }
  if (const std::string input = inputs_.within(target_); !input.empty()) {
    fail(target_, "holds " + input + ", which this run reads: not replaced");
  }
  if (!fs::is_empty(target_) && !manifestOf(target_).is_ours) {
    fail(target_, "was not written by leafstack (no manifest.json of its own): not replaced");
  }
}

void OutputFolder::open() {
  // Locked before signals are caught: there is nothing to clean up yet.
  const PathLock parent(target_.parent_path(), PathLock::Wait::kYes);
  demandNotBusy(parent, target_);
  pending_signal = 0;
  catchSignals();
  if (parent.isHeld()) {
    clearAbandoned(target_);
  }
  sibling_ = hiddenName(target_);
  std::error_code error;
  if (!fs::create_directory(sibling_, error)) {
    releaseSignals();
    fail(target_, "no folder can be made beside it: " +
                      (error ? error.message() : std::string("exists already")));
  }
  held_ = PathLock(sibling_, PathLock::Wait::kNo);
  is_open_ = true;
}

void OutputFolder::store(const std::string& path, std::string_view contents) {
  const fs::path file = sibling_ / fs::path(path);
  std::error_code error;
  fs::create_directories(file.parent_path(), error);
  if (error) {
    fail(target_ / path, error.message());
  }
  writeBytes(file, contents, target_ / path);
}

void OutputFolder::write(const std::string& path, std::string_view contents) {
  if (!is_open_) {
    open();
  }
  endIfSignalled();
  store(path, contents);
  files_.push_back({path, contents.size(), sha256Hex(contents)});
}

void OutputFolder::commit(const Provenance& provenance) {
  write(kManifest, manifestJson(files_, provenance));
  flushAll(sibling_, target_);
  endIfSignalled();
  replaceTarget();
  flushNames(target_.parent_path());
  is_open_ = false;
  releaseSignals();
}

void OutputFolder::endIfSignalled() {
  if (pending_signal != 0) {
    const int signal = pending_signal;
    discard();
    std::raise(signal);
    fail(target_, "interrupted");
  }
}

void OutputFolder::replaceTarget() {
  const PathLock parent(target_.parent_path(), PathLock::Wait::kYes,
                        [] { return pending_signal != 0; });
  if (parent.isBusy()) {
    endIfSignalled();
    demandNotBusy(parent, target_);
  }
  if (!fs::exists(fs::symlink_status(target_))) {
    if (const std::error_code error = moveToNewName(sibling_, target_)) {
      fail(target_, error.message());
    }
    return;
  }
  checkReplaceable();  // again: it may have appeared or changed meanwhile
  kept_for_ = workOfOthers(target_, manifestOf(target_));
  if (!kept_for_.empty()) {
    keepReplaced();
    return;
  }
  fs::path old;
  if (const std::error_code error = replaceFolder(sibling_, target_, old)) {
    fail(target_, error.message());
  }
  is_open_ = false;  // from here on it is the old folder that goes by the hidden name
  std::error_code error;
  fs::remove_all(old, error);
  if (error) {
    fail(old,
         "the new folder is in place, but the old one could not be removed: " + error.message());
  }
}

/// The new folder takes the name under which the old one is to stay, and then the two change
/// places. So a run that is killed in between loses neither.
void OutputFolder::keepReplaced() {
  const fs::path name = nameForReplaced(target_);
  if (const std::error_code error = moveToNewName(sibling_, name)) {
    fail(name, error.message());
  }
  sibling_ = name;
  fs::path old;
  if (const std::error_code error = replaceFolder(sibling_, target_, old)) {
    fail(target_, error.message());
  }
  is_open_ = false;  // from here on it is the old folder that goes by that name
  if (old != name) {
    fs::rename(old, name);
  }
  kept_ = name;
}

void OutputFolder::discard() noexcept {
  std::error_code ignored;
  fs::remove_all(sibling_, ignored);
  is_open_ = false;
  releaseSignals();
}

}  // namespace leafstack
