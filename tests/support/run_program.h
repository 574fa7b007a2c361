// Tests in a temporary folder of their own, and running the program there as its user does.
#pragma once

#include <gtest/gtest.h>
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <string>

namespace leafstack {

namespace fs = std::filesystem;

/// A file's bytes.
inline std::string bytesIn(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

struct ProgramRun {
  int code = -1;
  std::string out, err;
};

/// What a command prints on stdout, and its exit code.
inline ProgramRun outputOf(const std::string& command) {
  ProgramRun run;
  FILE* const pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) {
    ADD_FAILURE() << command;
    return run;
  }
  std::array<char, 4096> piece{};
  for (std::size_t got = 0; (got = fread(piece.data(), 1, piece.size(), pipe)) > 0;) {
    run.out.append(piece.data(), got);
  }
  const int status = pclose(pipe);
  run.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return run;
}

class InAFolder : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "leafstack-test-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    base_ = fs::canonical(pattern);
  }
  void TearDown() override { fs::remove_all(base_); }

  /// Paths are the folder's own unless they are absolute.
  void write(const fs::path& path, const std::string& text) const {
    fs::create_directories((base_ / path).parent_path());
    std::ofstream(base_ / path, std::ios::binary) << text;
  }
  std::string read(const fs::path& path) const { return bytesIn(base_ / path); }

  /// Runs `leafstack arguments` there; `before` stands in front (environment, a pipe).
  ProgramRun run(const std::string& arguments, const std::string& before = "") const {
    const std::string command = "cd '" + base_.string() + "' && " + before + " '" +
                                LEAFSTACK_BINARY + "' " + arguments + " >.out 2>.err";
    const int status = std::system(command.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, read(".out"), read(".err")};
  }

  /// Relative paths of all files in a folder, with their bytes.
  std::map<std::string, std::string> files(const std::string& folder) const {
    std::map<std::string, std::string> found;
    for (const auto& entry : fs::recursive_directory_iterator(base_ / folder)) {
      if (entry.is_regular_file()) {
        found[entry.path().lexically_relative(base_ / folder).generic_string()] =
            read(entry.path());
      }
    }
    return found;
  }

  /// Names in the folder, hidden ones too, but for the program's streams.
  std::set<std::string> names() const {
    std::set<std::string> found;
    for (const auto& entry : fs::directory_iterator(base_)) {
      found.insert(entry.path().filename());
    }
    found.erase(".out");
    found.erase(".err");
    return found;
  }

  fs::path base_;
};

}  // namespace leafstack
