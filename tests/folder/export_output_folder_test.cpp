// Outputs appear whole or not at all: properties O1 to O4 of output_folder.h.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/sha256.h"
#include "exporters/folder/output_folder.h"

namespace leafstack {
namespace {

namespace fs = std::filesystem;

const Provenance kFolderProvenance = {"2024-05-01T12:00:00Z", "ab"};

class OutputFolderTest : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "leafstack-folder-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    base_ = fs::canonical(pattern);
    out_ = base_ / "out";
  }
  void TearDown() override { fs::remove_all(base_); }

  static void write(const fs::path& path, const std::string& text) {
    fs::create_directories(path.parent_path());
    std::ofstream(path, std::ios::binary) << text;
  }

  static std::string read(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  }

  /// Names in the folder that holds the target, hidden ones included.
  std::set<std::string> neighbours() const {
    std::set<std::string> names;
    for (const auto& entry : fs::directory_iterator(base_)) {
      names.insert(entry.path().filename());
    }
    return names;
  }

  void makeOurs(const std::string& text) const {
    OutputFolder folder(out_, true);
    folder.write("parts/A1.step", text);
    folder.commit(kFolderProvenance);
  }

  fs::path base_, out_;
};

TEST_F(OutputFolderTest, AppearsWholeWithItsManifest) {
  OutputFolder folder(out_, false);
  folder.write("a.txt", "alpha");
  folder.write("parts/b.bin", std::string("\0\r\n\xFF", 4));
  EXPECT_FALSE(fs::exists(out_));
  folder.commit(kFolderProvenance);
  EXPECT_EQ(read(out_ / "a.txt"), "alpha");
  EXPECT_EQ(read(out_ / "parts/b.bin"), std::string("\0\r\n\xFF", 4));
  const auto manifest = nlohmann::json::parse(read(out_ / "manifest.json"));
  ASSERT_EQ(manifest["files"].size(), 2U);
  for (const auto& file : manifest["files"]) {
    const std::string contents = read(out_ / file["path"].get<std::string>());
    EXPECT_EQ(file["size_bytes"], contents.size());
    EXPECT_EQ(file["sha256"], sha256Hex(contents));
  }
  EXPECT_EQ(neighbours(), std::set<std::string>{"out"});
}

TEST_F(OutputFolderTest, ExistingFolderIsRefusedWithoutForce) {
  makeOurs("old");
  EXPECT_THROW(OutputFolder(out_, false), WriteError);
  fs::create_directory(base_ / "empty");
  EXPECT_THROW(OutputFolder(base_ / "empty", false), WriteError);
  EXPECT_EQ(read(out_ / "parts/A1.step"), "old");
}

TEST_F(OutputFolderTest, ForceReplacesWhatIsOurs) {
  makeOurs("old");
  OutputFolder folder(out_ / "", true);  // a trailing slash changes nothing
  folder.write("new.txt", "new");
  EXPECT_EQ(read(out_ / "parts/A1.step"), "old") << "untouched until commit";
  folder.commit(kFolderProvenance);
  EXPECT_EQ(read(out_ / "new.txt"), "new");
  EXPECT_FALSE(fs::exists(out_ / "parts"));
  EXPECT_EQ(neighbours(), std::set<std::string>{"out"});
}

TEST_F(OutputFolderTest, ForceReplacesAnEmptyFolder) {
  fs::create_directory(out_);
  makeOurs("new");
  EXPECT_EQ(read(out_ / "parts/A1.step"), "new");
}

TEST_F(OutputFolderTest, ForceRefusesForeignFolders) {
  write(out_ / "holiday.jpg", "precious");
  EXPECT_THROW(OutputFolder(out_, true), WriteError);
  write(out_ / "manifest.json", R"({"program":"something else"})");
  EXPECT_THROW(OutputFolder(out_, true), WriteError);
  EXPECT_EQ(read(out_ / "holiday.jpg"), "precious");
}

TEST_F(OutputFolderTest, WorkOfOthersInOursIsKept) {
  for (const auto& [path, text] :
       {std::pair("parts/notes.txt", "mine"), std::pair("parts/A1.step", "edited by hand")}) {
    fs::remove_all(out_);
    makeOurs("old");
    write(out_ / path, text);
    OutputFolder folder(out_, true);
    folder.write("a.txt", "a");
    write(out_ / "late.txt", "added while writing");
    folder.commit(kFolderProvenance);
    EXPECT_EQ(read(out_ / "a.txt"), "a");
    EXPECT_FALSE(fs::exists(out_ / "parts"));
    EXPECT_EQ(folder.keptFor(), (std::vector<std::string>{"late.txt", path}));
    EXPECT_EQ(read(folder.kept() / path), text);
  }
  EXPECT_EQ(neighbours(), (std::set<std::string>{"out", "out.before", "out.before-2"}));
  EXPECT_EQ(read(base_ / "out.before/parts/A1.step"), "old");
  makeOurs("new");
  EXPECT_EQ(neighbours().size(), 3U) << "nobody changed that one";
}

TEST_F(OutputFolderTest, FilesThatAreReadAreNeverReplaced) {
  write(base_ / "gate.json", "precious");
  fs::create_symlink("gate.json", base_ / "link");
  fs::create_hard_link(base_ / "gate.json", base_ / "twin");
  FileRules rules;
  rules.force = true;
  rules.is_ours = [](std::string_view) { return true; };
  rules.inputs.add((base_ / "gate.json").string());
  for (const char* name : {"gate.json", "link", "twin", "./gate.json"}) {
    EXPECT_THROW(writeWholeFile(base_ / name, "x", rules), WriteError) << name;
  }
  EXPECT_EQ(read(base_ / "twin"), "precious");
  // In a folder of ours: the file itself, another name of it, a link in it that leads to it.
  makeOurs("old");
  fs::create_hard_link(base_ / "gate.json", out_ / "twin.json");
  fs::create_symlink(base_ / "other.json", out_ / "link.json");
  write(base_ / "other.json", "{}");
  for (const fs::path& input : {out_ / "parts/A1.step", base_ / "gate.json", out_ / "link.json"}) {
    InputFiles inputs;
    inputs.add(input.string());
    EXPECT_THROW(OutputFolder(out_, true, inputs), WriteError) << input;
  }
}

TEST_F(OutputFolderTest, PathsAreCheckedBeforeWork) {
  EXPECT_THROW(OutputFolder(base_ / "no" / "such" / "folder", false), WriteError);
  write(base_ / "file", "x");
  EXPECT_THROW(OutputFolder(base_ / "file", false), WriteError);
  EXPECT_THROW(OutputFolder(base_ / "file", true), WriteError);
  EXPECT_THROW(OutputFolder(base_ / "file" / "out", false), WriteError);
  EXPECT_THROW(OutputFolder("/", true), WriteError);
  EXPECT_THROW(OutputFolder(".", true), WriteError) << "the folder this runs in";
  EXPECT_EQ(neighbours(), std::set<std::string>{"file"});
}

TEST_F(OutputFolderTest, LinksAreFollowed) {
  makeOurs("old");
  fs::create_directory_symlink(out_, base_ / "link");
  OutputFolder folder(base_ / "link", true);
  folder.write("new.txt", "new");
  folder.commit(kFolderProvenance);
  EXPECT_TRUE(fs::is_symlink(base_ / "link"));
  EXPECT_EQ(read(out_ / "new.txt"), "new");
}

TEST_F(OutputFolderTest, WhatKilledRunsLeftIsClearedAway) {
  makeOurs("zeroth");
  write(base_ / ".out.leafstack-17/parts/A1.step", "half");
  write(base_ / ".out.leafstack-18-old/manifest.json", "old");
  write(base_ / ".out.leafstack-notes/a.txt", "not ours");
  write(base_ / ".outer.leafstack-19/a.txt", "of another target");
  makeOurs("first");
  EXPECT_EQ(neighbours(),
            (std::set<std::string>{"out", ".out.leafstack-notes", ".outer.leafstack-19"}));
}

TEST_F(OutputFolderTest, AnOldFolderSetAsideByAKilledRunComesBack) {
  makeOurs("old");
  fs::rename(out_, base_ / ".out.leafstack-17-old");
  OutputFolder folder(out_, true);
  folder.write("a.txt", "a");
  EXPECT_EQ(read(out_ / "parts/A1.step"), "old");
  folder.commit(kFolderProvenance);
  EXPECT_EQ(neighbours(), std::set<std::string>{"out"});
}

TEST_F(OutputFolderTest, WhatALiveRunWritesIsLeftAlone) {
  OutputFolder slow(out_, true);
  slow.write("a.txt", "slow");
  makeOurs("quick");
  slow.commit(kFolderProvenance);
  EXPECT_EQ(read(out_ / "a.txt"), "slow");
  EXPECT_EQ(neighbours(), std::set<std::string>{"out"});
}

TEST_F(OutputFolderTest, WithoutForceTheFirstOfTwoStays) {
  OutputFolder one(out_, false), other(out_, false);
  one.write("a.txt", "one");
  other.write("a.txt", "other");
  one.commit(kFolderProvenance);
  EXPECT_THROW(other.commit(kFolderProvenance), WriteError);
  EXPECT_EQ(read(out_ / "a.txt"), "one");
}

TEST_F(OutputFolderTest, OneFileIsWholeAndNotOverwritten) {
  writeWholeFile(base_ / "gate.json", "first", {});
  EXPECT_THROW(writeWholeFile(base_ / "gate.json", "second", {}), WriteError);
  FileRules rules;
  rules.force = true;
  rules.is_ours = [](std::string_view text) { return text == "first"; };
  EXPECT_EQ(read(base_ / "gate.json"), "first");
  writeWholeFile(base_ / "gate.json", "second", rules);
  EXPECT_EQ(read(base_ / "gate.json"), "second");
  EXPECT_THROW(writeWholeFile(base_ / "gate.json", "third", rules), WriteError) << "not ours";
  EXPECT_EQ(read(base_ / "gate.json"), "second");
  EXPECT_THROW(writeWholeFile(base_, "x", rules), WriteError);
  EXPECT_THROW(writeWholeFile(base_ / "no" / "gate.json", "x", {}), WriteError);
  EXPECT_EQ(neighbours(), std::set<std::string>{"gate.json"});
}

}  // namespace
}  // namespace leafstack
