// The files a run reads, so that it never writes over one of them.
//
// They are told by what they are on the disk, so links and other names of the same file count too.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <string>
#include <vector>

namespace leafstack {

class InputFiles {
 public:
  /// A file by its name, or standard input by "-". What does not exist is not kept.
  void add(const std::string& name);

  /// The input that `path` is, links followed, by the name it was given; empty where it is none.
  std::string sameAs(const std::filesystem::path& path) const;

  /// An input that lies somewhere in `folder`, or is named through it; empty where none does.
  std::string within(const std::filesystem::path& folder) const;

 private:
  struct Input {
    std::string name;
    dev_t device;
    ino_t number;
  };

  std::vector<Input> inputs_;
};

}  // namespace leafstack
