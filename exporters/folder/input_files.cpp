#include "exporters/folder/input_files.h"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <system_error>

namespace leafstack {
namespace {

namespace fs = std::filesystem;

/// `path` with the links on the way to it followed, itself not.
fs::path placeOf(const fs::path& path) {
  std::error_code error;
  const fs::path whole = fs::absolute(path, error);
  return fs::weakly_canonical(whole.parent_path(), error) / whole.filename();
}

bool liesIn(const fs::path& place, const fs::path& folder) {
  return std::mismatch(folder.begin(), folder.end(), place.begin(), place.end()).first ==
         folder.end();
}

}  // namespace

void InputFiles::add(const std::string& name) {
  struct stat found {};
  const bool is_there =
      name == "-" ? fstat(STDIN_FILENO, &found) == 0 : stat(name.c_str(), &found) == 0;
  if (is_there) {
    inputs_.push_back({name, found.st_dev, found.st_ino});
  }
}

std::string InputFiles::sameAs(const fs::path& path) const {
  struct stat found {};
  if (stat(path.c_str(), &found) != 0) {
    return {};
  }
  for (const Input& input : inputs_) {
    if (input.device == found.st_dev && input.number == found.st_ino) {
      return input.name;
    }
  }
  return {};
}

std::string InputFiles::within(const fs::path& folder) const {
  for (const Input& input : inputs_) {
    if (input.name != "-" && liesIn(placeOf(input.name), folder)) {
      return input.name;
    }
  }
  std::error_code error;
  if (inputs_.empty() || !fs::is_directory(folder, error)) {
    return {};
  }
  for (const auto& entry : fs::recursive_directory_iterator(folder, error)) {
    if (entry.is_symlink() || !entry.is_regular_file()) {
      continue;
    }
    if (std::string name = sameAs(entry.path()); !name.empty()) {
      return name;
    }
  }
  return {};
}

}  // namespace leafstack
