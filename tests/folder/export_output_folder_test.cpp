// Outputs appear whole or not at all: properties O1 to O4 of output_folder.h.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/sha256.h"
#include "exporters/folder/output_folder.h"
#include "tests/support/run_program.h"

namespace leafstack {
namespace {

const Provenance kFolderProvenance = {"2024-05-01T12:00:00Z", "ab"};

class OutputFolderTest : public InAFolder {
 protected:
  void SetUp() override {
    InAFolder::SetUp();
    out_ = base_ / "out";
  }

  void makeOurs(const std::string& text) const {
    OutputFolder folder(out_, true);
    folder.write("parts/A1.step", text);
    folder.commit(kFolderProvenance);
  }

  fs::path out_;
};

TEST_F(OutputFolderTest, ForceReplacesWhatIsOurs) {
  makeOurs("old");
  OutputFolder folder(out_ / "", true);  // a trailing slash changes nothing
  folder.write("new.txt", "new");
  EXPECT_EQ(read(out_ / "parts/A1.step"), "old") << "untouched until commit";
  folder.commit(kFolderProvenance);
  EXPECT_EQ(read(out_ / "new.txt"), "new");
  EXPECT_FALSE(fs::exists(out_ / "parts"));
  EXPECT_EQ(names(), std::set<std::string>{"out"});
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
  EXPECT_EQ(names(), (std::set<std::string>{"out", "out.before", "out.before-2"}));
  EXPECT_EQ(read(base_ / "out.before/parts/A1.step"), "old");
  makeOurs("new");
  EXPECT_EQ(names().size(), 3U) << "nobody changed that one";
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
  EXPECT_EQ(names(), (std::set<std::string>{"out", ".out.leafstack-notes", ".outer.leafstack-19"}));
}

TEST_F(OutputFolderTest, AnOldFolderSetAsideByAKilledRunComesBack) {
  makeOurs("old");
  fs::rename(out_, base_ / ".out.leafstack-17-old");
  OutputFolder folder(out_, true);
  folder.write("a.txt", "a");
  EXPECT_EQ(read(out_ / "parts/A1.step"), "old");
  folder.commit(kFolderProvenance);
  EXPECT_EQ(names(), std::set<std::string>{"out"});
}

TEST_F(OutputFolderTest, WhatALiveRunWritesIsLeftAlone) {
  OutputFolder slow(out_, true);
  slow.write("a.txt", "slow");
  makeOurs("quick");
  slow.commit(kFolderProvenance);
  EXPECT_EQ(read(out_ / "a.txt"), "slow");
  EXPECT_EQ(names(), std::set<std::string>{"out"});
}

}  // namespace
}  // namespace leafstack
