// Every broken gate in tests/broken/ reports exactly the problems that expected.json lists:
// pointer, line, column and a fragment of the text, in the order of the file. Binary and large
// inputs are made here.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "params/read_gate.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

const std::filesystem::path kBroken = std::filesystem::path(LEAFSTACK_SOURCE_DIR) / "tests/broken";

std::string contents(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  EXPECT_TRUE(file) << path;
  return {std::istreambuf_iterator<char>(file), {}};
}

nlohmann::json expectations() {
  return nlohmann::json::parse(contents(kBroken / "expected.json"));
}

std::string listed(const std::vector<Diagnostic>& problems) {
  std::string out;
  for (const Diagnostic& problem : problems) {
    out += toString(problem) + '\n';
  }
  return out;
}

/// The one problem of a text that has exactly one.
Diagnostic onlyProblem(const std::string& text) {
  const ReadResult result = readGate(text, "made.json");
  EXPECT_FALSE(result.gate);
  EXPECT_EQ(result.problems.size(), 1U) << listed(result.problems);
  return result.problems.empty() ? Diagnostic{} : result.problems.front();
}

TEST(BrokenGates, ReportExactlyTheExpectedProblems) {
  for (const auto& expected : expectations()) {
    const std::string name = expected.at("file");
    SCOPED_TRACE(name);
    const ReadResult result = readGate(contents(kBroken / name), name);
    EXPECT_FALSE(result.gate);
    const auto& problems = expected.at("problems");
    ASSERT_EQ(result.problems.size(), problems.size()) << listed(result.problems);
    for (std::size_t i = 0; i < problems.size(); ++i) {
      const Diagnostic& problem = result.problems[i];
      const std::string line = toString(problem);
      EXPECT_EQ(problem.source, name);
      EXPECT_EQ(problem.pointer, problems[i].at("pointer").get<std::string>()) << line;
      EXPECT_EQ(problem.line, problems[i].at("line").get<int>()) << line;
      EXPECT_EQ(problem.column, problems[i].at("column").get<int>()) << line;
      EXPECT_NE(line.find(problems[i].at("says").get<std::string>()), std::string::npos) << line;
      // One plain line, nothing of the libraries'.
      EXPECT_TRUE(std::none_of(line.begin(), line.end(), [](unsigned char c) { return c < 0x20; }))
          << name;
      EXPECT_EQ(line.find("exception"), std::string::npos) << line;
      EXPECT_EQ(line.find("parse_error"), std::string::npos) << line;
      EXPECT_LE(line.size(), 500U) << line;
    }
  }
}

TEST(BrokenGates, AreSixtyOrMoreAndAllExpected) {
  std::set<std::string> on_disk;
  for (const auto& entry : std::filesystem::directory_iterator(kBroken)) {
    on_disk.insert(entry.path().filename().string());
  }
  EXPECT_EQ(on_disk.erase("expected.json"), 1U);
  std::set<std::string> expected;
  for (const auto& item : expectations()) {
    expected.insert(item.at("file").get<std::string>());
  }
  EXPECT_EQ(on_disk, expected);
  EXPECT_GE(expected.size(), 60U);
}

TEST(BrokenGates, FortyMegabytesAreRefusedUnread) {
  std::string text = R"({"site": {"opening_mm": 6000}})";
  text.append(40'000'000, ' ');
  const Diagnostic problem = onlyProblem(text);
  EXPECT_EQ(problem.line, 0);
  EXPECT_NE(problem.message.find("more than 1000000 bytes"), std::string::npos) << problem.message;
  EXPECT_EQ(problem.allowed, "up to 1000000 bytes");
}

TEST(BrokenGates, TextsThatActOnTheirSurroundingsAreRefused) {
  const std::pair<const char*, const char*> cases[] = {
      {"\\u009b", "control"},     {"\\u007f", "control"},  {"\\u001b", "control"},
      {"\\u202e", "U+202E"},      {"\\u2066", "U+2066"},   {"\\u200f", "U+200F"},
      {"\\u061c", "U+061C"},      {"\\u2028", "U+2028"},   {"\\u2029", "U+2029"},
      {"\xE2\x80\xAE", "U+202E"}, {"\xC2\x9B", "control"}, {"\\uffff", "Unicode"}};
  for (const auto& [text, says] : cases) {
    for (const char* key : {"title", "client", "drawn_by", "date"}) {
      const Diagnostic problem = onlyProblem(R"({"site": {"opening_mm": 6000}, "job": {")" +
                                             std::string(key) + "\": \"a" + text + "b\"}}");
      EXPECT_EQ(problem.pointer, std::string("/job/") + key);
      EXPECT_NE(problem.message.find(says), std::string::npos) << problem.message;
      EXPECT_EQ(toString(problem).find("\xE2\x80\xAE"), std::string::npos) << "told as it was";
      EXPECT_EQ(toString(problem).find("\xC2\x9B"), std::string::npos);
    }
  }
  // What surrounds them in Unicode is text, as are the marks of other scripts.
  EXPECT_TRUE(
      readGate(
          "{\"site\": {\"opening_mm\": 6000}, \"job\": {\"client\": \"\u00A0\u2027\u202F\u05E9 "
          "\u0644 \U0001F6AA\"}}",
          "made.json")
          .gate);
}

TEST(BrokenGates, TheSizeLimitIsExact) {
  std::string text = R"({"site": {"opening_mm": 6000}})";
  text.append(kMaxGateFileBytes - text.size(), ' ');
  EXPECT_TRUE(readGate(text, "made.json").gate);
  EXPECT_FALSE(readGate(text + ' ', "made.json").gate);
}

TEST(BrokenGates, BytesThatAreNotUtf8) {
  struct Case {
    std::string bytes;
    std::string says;
  };
  const std::vector<Case> cases = {{"\xE4", "0xE4"},              // Latin-1
                                   {"\xC0\xAF", "0xC0"},          // overlong
                                   {"\xE0\x80\x80", "0xE0"},      // overlong
                                   {"\xED\xA0\x80", "0xED"},      // surrogate
                                   {"\xF4\x90\x80\x80", "0xF4"},  // beyond U+10FFFF
                                   {"\x80", "0x80"},              // stray continuation
                                   {"\xE2\x82", "0xE2"}};         // cut off
  for (const Case& item : cases) {
    const Diagnostic problem = onlyProblem("{\n  \"job\": {\"title\": \"" + item.bytes + "\"}}");
    EXPECT_EQ(problem.line, 2);
    EXPECT_EQ(problem.column, 21);
    EXPECT_EQ(problem.message, "byte " + item.says + " is not valid UTF-8");
  }
}

TEST(BrokenGates, Utf16IsNamed) {
  const Diagnostic problem = onlyProblem(std::string("\xFF\xFE{\0}\0", 6));
  EXPECT_NE(problem.message.find("UTF-16"), std::string::npos);
  EXPECT_EQ(problem.suggestion, "save it as UTF-8");
}

TEST(BrokenGates, NulBytesDoNotEndTheText) {
  std::string text = R"({"site": {"opening_mm": 6000}})";
  text += '\0';
  const Diagnostic after = onlyProblem(text + "garbage");
  EXPECT_NE(after.message.find("NUL"), std::string::npos);
  EXPECT_EQ(after.column, 31);
  EXPECT_EQ(onlyProblem(std::string(3, '\0')).column, 1);
}

TEST(BrokenGates, NestingHasALimit) {
  const std::string deep = "{\"a\": " + std::string(40, '[') + std::string(40, ']') + "}";
  const Diagnostic problem = onlyProblem(deep);
  EXPECT_NE(problem.message.find("deeper than 32 levels"), std::string::npos);
  EXPECT_EQ(problem.column, 7 + 31);  // the object is the first level
  const std::string just = "{\"a\": " + std::string(31, '[') + std::string(31, ']') + "}";
  for (const Diagnostic& other : readGate(just, "made.json").problems) {
    EXPECT_EQ(other.message.find("levels"), std::string::npos) << other.message;
  }
  EXPECT_EQ(onlyProblem(std::string(900'000, '[')).column, 33);
}

TEST(BrokenGates, EveryTruncationOfAGateIsRefused) {
  const std::string whole = starterGate();
  const std::size_t end = whole.rfind('}');
  for (std::size_t length = 0; length <= end; ++length) {
    const ReadResult result = readGate(whole.substr(0, length), "cut.json");
    ASSERT_FALSE(result.gate) << length;
    ASSERT_EQ(result.problems.size(), 1U) << length << '\n' << listed(result.problems);
    ASSERT_GE(result.problems.front().line, 1) << length;
  }
}

TEST(BrokenGates, EveryFlippedByteEitherReadsOrIsReported) {
  const std::string whole = starterGate();
  constexpr char kBytes[] = {'\0', '"', '}', ',', '9', '\\', '\xFF'};
  // Each byte by two of them, taken in turn; by hand by all.
  const int count = gates::rounds(2, std::size(kBytes));
  for (std::size_t i = 0; i < whole.size(); ++i) {
    for (int n = 0; n < count; ++n) {
      std::string text = whole;
      text[i] = kBytes[(i * 2 + static_cast<std::size_t>(n)) % std::size(kBytes)];
      const ReadResult result = readGate(text, "bent.json");
      ASSERT_EQ(result.gate.has_value(), result.problems.empty()) << i;
    }
  }
}

}  // namespace
}  // namespace leafstack
