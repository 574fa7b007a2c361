// The program as its user meets it: exit codes, streams, and what is left on the disk.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "exporters/bytes/sha256.h"
#include "tests/support/run_program.h"

namespace leafstack {
namespace {

using Json = nlohmann::json;

class Cli : public InAFolder {
 protected:
  void SetUp() override {
    InAFolder::SetUp();
    write("gate.json", R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1}})");
  }

  /// Printed text with its line ends and indents as single spaces.
  static std::string unwrapped(const std::string& text) {
    std::string out;
    for (const char c : text) {
      const bool is_space = c == ' ' || c == '\n';
      if (!is_space || (!out.empty() && out.back() != ' ')) {
        out += is_space ? ' ' : c;
      }
    }
    return out;
  }
};

long lines(const std::string& text) {
  return std::count(text.begin(), text.end(), '\n');
}

TEST_F(Cli, WrongUsageIsTwo) {
  for (const char* arguments :
       {"frobnicate", "check", "check gate.json --no-such-option", "build gate.json",
        "build gate.json -o out --only step,pdf", "build gate.json -o out --timestamp yesterday",
        "check gate.json --set opening_mm=3000", "check gate.json --set /site/opening_mm",
        "new no-such-gate", "check gate.json extra.json"}) {
    const ProgramRun outcome = run(arguments);
    EXPECT_EQ(outcome.code, 2) << arguments;
    EXPECT_FALSE(outcome.err.empty()) << arguments;
    EXPECT_TRUE(outcome.out.empty()) << arguments;
  }
  EXPECT_EQ(run("build gate.json -o out", "SOURCE_DATE_EPOCH=noon").code, 2);
  EXPECT_EQ(names(), std::set<std::string>{"gate.json"});
}

TEST_F(Cli, HelpAndVersionAreAnswers) {
  for (const char* arguments : {"", "help", "help check", "--help", "--version", "build --help"}) {
    const ProgramRun outcome = run(arguments);
    EXPECT_EQ(outcome.code, 0) << arguments;
    EXPECT_FALSE(outcome.out.empty()) << arguments;
    EXPECT_TRUE(outcome.err.empty()) << arguments;
  }
  EXPECT_EQ(run("--version").out, std::string("leafstack ") + LEAFSTACK_VERSION + "\n");
}

TEST_F(Cli, InvalidInputIsThreeOneLineEach) {
  write("broken.json", R"({"site": {"opening_mm": 1, "rooom_mm": 5}, "gate": {"panels": 9}})");
  const ProgramRun broken = run("build broken.json -o out");
  EXPECT_EQ(broken.code, 3);
  EXPECT_EQ(lines(broken.err), 3) << broken.err;
  EXPECT_TRUE(broken.out.empty());
  for (const char* arguments :
       {"check missing.json", "check .", "check gate.json --set /a/b=1",
        "check gate.json --set /site/opening_mm=wide", "new --set /site/opening_mm=-1"}) {
    const ProgramRun outcome = run(arguments);
    EXPECT_EQ(outcome.code, 3) << arguments;
    EXPECT_EQ(lines(outcome.err), 1) << outcome.err;
    EXPECT_TRUE(outcome.out.empty()) << arguments;
  }
  EXPECT_EQ(names(), (std::set<std::string>{"broken.json", "gate.json"}));
}

TEST_F(Cli, WhatDoesNotFitIsFourAndNothingIsWritten) {
  const ProgramRun json = run("check gate.json --json --set '/site/room_mm=100 mm'");
  EXPECT_EQ(json.code, 4);
  EXPECT_FALSE(json.err.empty());
  const Json report = Json::parse(json.out);
  EXPECT_EQ(report["layout"]["fits"], false);
  EXPECT_EQ(report["layout"]["room_given_mm"], 100);
  EXPECT_GT(report["layout"]["room_mm"].get<double>(), 100);
  EXPECT_TRUE(report["clash"].is_null());
  const ProgramRun built = run("build gate.json -o out --set '/site/room_mm=100 mm'");
  EXPECT_EQ(built.code, 4);
  EXPECT_EQ(built.err, json.err.substr(0, json.err.find('\n') + 1));
  EXPECT_TRUE(built.out.starts_with("NOT READY: it does not fit the site")) << built.out;
  EXPECT_NE(built.out.find("no arrangement of one to four panels fits"), std::string::npos);
  EXPECT_EQ(run("build gate.json -o out --quiet --set '/site/room_mm=100 mm'").err, json.err);
  EXPECT_EQ(names(), std::set<std::string>{"gate.json"});
}

TEST_F(Cli, CheckPrintsOnStdoutOnly) {
  const ProgramRun text = run("check gate.json");
  EXPECT_EQ(text.code, 0) << text.out << text.err;
  EXPECT_NE(text.out.find("3000 mm opening, 1 panel"), std::string::npos) << text.out;
  EXPECT_NE(text.out.find("Cautions"), std::string::npos);
  EXPECT_TRUE(text.err.empty());
  const ProgramRun full = run("check gate.json --full");
  EXPECT_GT(lines(full.out), lines(text.out));
  EXPECT_NE(full.out.find("licensed practitioners"), std::string::npos) << full.out;
  const ProgramRun quiet = run("check gate.json --quiet");
  EXPECT_TRUE(quiet.out.starts_with("READY: ") && quiet.err.empty()) << quiet.out << quiet.err;
  EXPECT_EQ(lines(quiet.out), 1) << "one panel reaches past no other";
  const ProgramRun timed = run("check gate.json --quiet --json --timings");
  EXPECT_TRUE(timed.err.empty());
  EXPECT_TRUE(Json::accept(timed.out));
  EXPECT_NE(run("check gate.json --timings").err.find(" ms  solids"), std::string::npos);
  EXPECT_EQ(names(), std::set<std::string>{"gate.json"});
}

TEST_F(Cli, ReportHasWhatTheContractNames) {
  const Json report = Json::parse(run("check gate.json --json").out);
  EXPECT_EQ(report["leafstack"], LEAFSTACK_VERSION);
  EXPECT_EQ(report["input_sha256"], sha256Hex(read(base_ / "gate.json")));
  for (const char* key : {"travel_mm", "drive_travel_mm", "room_mm", "fits", "extension_mm",
                          "binding", "pinion_mm", "guide_mm"}) {
    EXPECT_TRUE(report["layout"].contains(key)) << key;
  }
  EXPECT_TRUE(report["layout"]["room_given_mm"].is_null());
  EXPECT_TRUE(report["layout"]["slack_mm"]["rope-ground"].is_null()) << "one panel has no ropes";
  EXPECT_TRUE(report["layout"]["slack_mm"]["rack"].is_number());
  EXPECT_EQ(report["layout"]["panels"].size(), 1U);
  EXPECT_FALSE(report["clash"]["designed_contacts"].empty());
  EXPECT_FALSE(report["cautions"].empty());
  for (const Json& part : report["parts"]) {
    const double expected_kg =
        part["volume_mm3"].get<double>() * 1e-9 * part["density_kg_m3"].get<double>();
    EXPECT_NEAR(part["mass_kg"].get<double>(), expected_kg, 1e-5) << part["mark"];
    EXPECT_GT(part["area_mm2"].get<double>(), 0) << part["mark"];
    EXPECT_TRUE(part["files"].empty()) << "check writes none";
  }
}

TEST_F(Cli, HardwareIsJudgedWithTheExitCodesOfCheck) {
  write("thin.json", R"({"leafstack_hardware": 1, "name": "thin", "wheel": {"width_mm": 16}})");
  EXPECT_EQ(run("hardware medium --check").code, 0);
  const ProgramRun thin = run("hardware thin.json --check");
  EXPECT_EQ(thin.code, 3) << thin.err;
  EXPECT_NE(thin.out.find("FAILS  /hardware/wheel/width_mm"), std::string::npos) << thin.out;
  const Json on_gate = Json::parse(run("hardware medium --check gate.json --json").out);
  EXPECT_EQ(on_gate["fits"], true);
  EXPECT_NE(on_gate["clash"].get<std::string>().find("Nothing meets"), std::string::npos);
  EXPECT_EQ(run("hardware medium --check - --json", "cat gate.json |").code, 0);
  EXPECT_EQ(run("hardware medium --check gate.json --set \"/gate/bottom_rail=RHS 60x50x3\"").code,
            4);
  for (const char* wrong : {"hardware --check", "hardware -o out", "hardware medium --json",
                            "hardware medium -o out --check"}) {
    EXPECT_EQ(run(wrong).code, 2) << wrong;
  }
  EXPECT_EQ(names(), (std::set<std::string>{"gate.json", "thin.json"}));
}

// A printed set is there to be edited: what all motors share is changed in one place.
TEST_F(Cli, APrintedSetIsChangedWhereItIsShared) {
  for (const char* set : {"light", "medium", "heavy"}) {
    Json printed = Json::parse(run(std::string("hardware ") + set).out);
    EXPECT_EQ(printed["motors"]["narrow"]["length_mm"], 150);
    write("same.json", printed.dump());
    EXPECT_EQ(Json::parse(run("hardware same.json").out)["motors"], printed["motors"]) << set;
    printed["motor"]["pinion_up_mm"] = 95;
    printed["motor"]["offset_mm"] = 50;
    write("mine.json", printed.dump());
    ASSERT_EQ(run("build gate.json --hardware mine.json -o out --force --only report").code, 0);
    std::map<std::string, Json> values;
    const Json resolved = Json::parse(read(base_ / "out" / "resolved.json"));
    for (const Json& row : resolved.at("values")) {
      values[row["pointer"]] = row["value"];
    }
    EXPECT_EQ(values["/hardware/motor/pinion_up_mm"], 95) << set;
    EXPECT_EQ(values["/hardware/motor/offset_mm"], 50) << set;
  }
}

// Rules that hold are no word for parts that meet.
TEST_F(Cli, HardwareThatClashesDoesNotFit) {
  write("two.json", R"({"site": {"opening_mm": 4800}, "guides": {"packing_mm": 0},
                        "gate": {"panels": 2, "cladding": {"kind": "boards", "thickness_mm": 60}}})");
  write("clash.json",
        R"({"leafstack_hardware": 1, "name": "clash", "bracket": {"face_gap_mm": 4}})");
  const ProgramRun told = run("hardware clash.json --check two.json");
  ASSERT_EQ(told.code, 5) << told.out;
  EXPECT_NE(told.out.find("two.json: does not fit"), std::string::npos) << told.out;
  EXPECT_EQ(Json::parse(run("hardware clash.json --check two.json --json").out)["fits"], false);
}

// No gate named is no reason to say that all is well.
TEST_F(Cli, HardwareAloneIsJudgedOnAPlainGate) {
  const std::pair<const char*, int> wrong[] = {{R"("terminal": {"length_mm": 25})", 4},
                                               {R"("motor": {"pinion_offset_mm": 60})", 3},
                                               {R"("guide": {"block_height_mm": 200})", 3}};
  for (const auto& [size, code] : wrong) {
    write("wrong.json", R"({"leafstack_hardware": 1, "name": "wrong", )" + std::string(size) + "}");
    const ProgramRun told = run("hardware wrong.json --check");
    EXPECT_EQ(told.code, code) << told.out;
    EXPECT_NE(told.out.find("mm: does not fit\n"), std::string::npos) << told.out;
    EXPECT_NE(told.out.find("a plain gate of two panels for 6000 mm"), std::string::npos);
  }
  const ProgramRun right = run("hardware medium --check");
  EXPECT_EQ(right.code, 0) << right.out;
  EXPECT_NE(right.out.find("mm: fits\n"), std::string::npos) << right.out;
}

// Only compare puts shelves beside each other.
TEST_F(Cli, OneShelfAtATime) {
  EXPECT_EQ(run("check gate.json --hardware light --hardware heavy").code, 2);
}

TEST_F(Cli, HardwareIsDrawnWholeOrNotAtAll) {
  const ProgramRun drawn = run("hardware light -o sheets");
  EXPECT_EQ(drawn.code, 0) << drawn.err;
  for (const char* file : {"hardware.pdf", "hardware.svg", "hardware.dxf", "manifest.json"}) {
    EXPECT_FALSE(read(base_ / "sheets" / file).empty()) << file;
  }
  EXPECT_EQ(run("hardware light -o sheets").code, 6) << "it stands there already";
  EXPECT_EQ(run("hardware light -o other --set /ropes/bracket_clearance_mm=20").code, 4);
  EXPECT_FALSE(names().contains("other"));
}

TEST_F(Cli, StandardInputIsAGateFile) {
  const ProgramRun piped = run("check - --json", "cat gate.json |");
  EXPECT_EQ(piped.code, 0);
  EXPECT_EQ(piped.out, run("check gate.json --json").out);
  EXPECT_EQ(run("check -", "head -c 40000000 /dev/zero |").code, 3);
}

TEST_F(Cli, OverridesCountInTheHash) {
  const Json plain = Json::parse(run("check gate.json --json").out);
  const Json wider = Json::parse(
      run("check gate.json --json --set /site/opening_mm=3200 --set /site/opens=left").out);
  EXPECT_EQ(wider["layout"]["opening_mm"], 3200);
  EXPECT_EQ(wider["layout"]["opens"], "left");
  EXPECT_NE(wider["input_sha256"], plain["input_sha256"]);
}

TEST_F(Cli, NewGatesAreValid) {
  const ProgramRun fresh = run("new");
  EXPECT_EQ(fresh.code, 0);
  EXPECT_EQ(run("new -o starter.json").code, 0);
  EXPECT_EQ(read(base_ / "starter.json"), fresh.out);
  EXPECT_EQ(run("check starter.json --quiet").code, 0);
  EXPECT_EQ(run("new -o starter.json").code, 6) << "exists";
  EXPECT_EQ(run("new -o starter.json --force --set /site/opening_mm=4321").code, 0);
  EXPECT_EQ(Json::parse(read(base_ / "starter.json"))["site"]["opening_mm"], 4321);
  // About ten keys are given, and the rest stay defaults.
  const Json every = Json::parse(run("new --all").out);
  EXPECT_EQ(every["site"]["fence_post_mm"], 100);
  const Json given = Json::parse(fresh.out, nullptr, true, /*ignore_comments=*/true).flatten();
  EXPECT_TRUE(given.size() >= 8 && given.size() <= 12) << given.size();
  EXPECT_LT(given.size() * 5, every.flatten().size());
  EXPECT_NE(run("new --list").out.find("two-panel-pickets"), std::string::npos);
  EXPECT_NE(run("new two-panel-picket").err.find("did you mean two-panel-pickets?"),
            std::string::npos);
}

TEST_F(Cli, ForceKeepsWhatOthersDid) {
  EXPECT_EQ(run("new -o starter.json").code, 0);
  write("starter.json", read(base_ / "starter.json") + "\n");
  EXPECT_EQ(run("new -o starter.json --force").code, 6) << "edited since";
  const std::string build = "build gate.json -o out --force --only tables --quiet";
  ASSERT_EQ(run(build).code, 0);
  write("out/tables/bill.csv", "corrected by hand");
  const ProgramRun again = run(build);
  EXPECT_EQ(again.code, 0);
  EXPECT_NE(again.err.find("out.before: "), std::string::npos) << again.err;
  EXPECT_NE(again.err.find("tables/bill.csv"), std::string::npos) << again.err;
  EXPECT_EQ(read(base_ / "out.before/tables/bill.csv"), "corrected by hand");
  EXPECT_NE(read(base_ / "out/tables/bill.csv"), "corrected by hand");
  EXPECT_EQ(run(build).err, "") << "nothing to keep";
  // What is read is not replaced, wherever it lies.
  fs::rename(base_ / "gate.json", base_ / "out/gate.json");
  EXPECT_EQ(run("build out/gate.json -o out --force --only tables").code, 6);
  EXPECT_EQ(run("build - -o out --force --only tables <out/gate.json").code, 6);
  EXPECT_TRUE(fs::exists(base_ / "out/gate.json"));
}

TEST_F(Cli, NothingPrintedIsObeyedByATerminal) {
  const std::string escape = "\x1b[31m", line = "\xE2\x80\xA8", turned = "\xE2\x80\xAE";
  const std::string bad = escape + "\n" + line + turned;
  write("old.json", R"({"clash": {"findings": [{"id": "X1", "text": "gone \u001b[31m \u202e"}]}})");
  const std::string quoted = "'" + bad + "'";
  const std::vector<std::string> lines_typed = {
      "build gate.json --only tables -o " + quoted,
      "build gate.json --only tables -o " + quoted,
      "build gate.json --only tables --dry-run --force -o " + quoted,
      "check " + quoted,
      quoted,
      "check gate.json --set " + quoted,
      "check gate.json --set /job/title=" + quoted,
      "check gate.json --set /a" + quoted + "=1",
      "check gate.json --" + quoted,
      "new " + quoted,
      "new -o x/" + quoted,
      "check gate.json --against " + quoted,
      "check gate.json --against old.json",
      "check gate.json --against old.json --json",
      "build gate.json -o o --timestamp " + quoted,
      "compare gate.json --sweep " + quoted,
      "compare gate.json --prices " + quoted,
      "compare gate.json --shard " + quoted};
  for (const std::string& arguments : lines_typed) {
    const ProgramRun told = run(arguments);
    for (const std::string& text : {told.out, told.err}) {
      EXPECT_EQ(text.find(escape), std::string::npos) << arguments;
      EXPECT_EQ(text.find(line), std::string::npos) << arguments;
      EXPECT_EQ(text.find(turned), std::string::npos) << arguments;
    }
  }
  EXPECT_NE(run("check gate.json --against old.json").out.find("gone \\x1b[31m \\u202e"),
            std::string::npos);
  EXPECT_TRUE(fs::exists(base_ / bad)) << "the folder itself is called as asked";
}

TEST_F(Cli, UnwritableOutputIsSix) {
  EXPECT_EQ(run("build gate.json -o no/such/folder").code, 6);
  EXPECT_EQ(run("build gate.json -o gate.json --force").code, 6) << "a file is no folder";
  EXPECT_EQ(run("build gate.json -o . --force").code, 6);
  EXPECT_EQ(run("schema >/dev/full; exit $?;").code, 6);
  EXPECT_EQ(names(), std::set<std::string>{"gate.json"});
}

TEST_F(Cli, BuildWritesTheFolderWhole) {
  const ProgramRun built =
      run("build gate.json -o out --timestamp 2024-05-01T12:00:00Z --set /guides/rail_mm=35");
  ASSERT_EQ(built.code, 0) << built.out << built.err;
  EXPECT_TRUE(built.err.empty()) << built.err;
  EXPECT_EQ(built.out.rfind("READY: ", 0), 0u) << built.out;
  EXPECT_EQ(lines(built.out), 3) << "nothing of the kernel's on stdout: " << built.out;
  EXPECT_NE(built.out.find("Open summary.html"), std::string::npos) << built.out;
  auto written = files("out");
  const Json manifest = Json::parse(written.at("manifest.json"));
  EXPECT_EQ(manifest["timestamp"], "2024-05-01T12:00:00Z");
  EXPECT_EQ(manifest["files"].size() + 1, written.size());
  for (const Json& file : manifest["files"]) {
    const std::string& bytes = written.at(file["path"]);
    EXPECT_EQ(file["size_bytes"], bytes.size());
    EXPECT_EQ(file["sha256"], sha256Hex(bytes));
  }
  const Json report = Json::parse(written.at("report.json"));
  for (const Json& part : report["parts"]) {
    EXPECT_GE(part["files"].size(), 2U) << part["mark"];
    for (const Json& file : part["files"]) {
      EXPECT_TRUE(written.count(file)) << file;
    }
    EXPECT_GE(part["stl"]["deflection_mm"].get<double>(), 0);
  }
  for (const char* path :
       {"gate.step", "gate-open.step", "resolved.json", "tables/cut-list.csv", "tables/bill.csv",
        "tables/set-out.csv", "tables/clashes.csv", "tables/ropes.csv", "tables/profiles.csv",
        "summary.html", "gate.glb", "review.html", "tables/stock-plan.csv", "templates/wrap.pdf"}) {
    EXPECT_TRUE(written.count(path)) << path;
  }

  // Again, into another folder and with the time from the environment: the same bytes.
  EXPECT_EQ(run("build gate.json -o again --quiet --set /guides/rail_mm=35",
                "SOURCE_DATE_EPOCH=1714564800")
                .code,
            0);
  EXPECT_TRUE(files("again") == written);  // not EXPECT_EQ, which would compare megabytes by lines

  EXPECT_EQ(run("build gate.json -o out").code, 6) << "exists";
  EXPECT_EQ(run("build gate.json -o out --force --only tables --quiet").code, 0);
  for (const auto& [path, bytes] : files("out")) {
    EXPECT_TRUE(path.rfind("tables/", 0) == 0 || path == "manifest.json") << path;
  }
  EXPECT_TRUE(files("out").count("tables/cut-list.csv"));
  EXPECT_EQ(names(), (std::set<std::string>{"again", "gate.json", "out"}));
}

TEST_F(Cli, DryRunListsWhatWouldBeWritten) {
  const ProgramRun dry = run("build gate.json -o out --dry-run --only step,report");
  EXPECT_EQ(dry.code, 0);
  EXPECT_EQ(names(), std::set<std::string>{"gate.json"});
  ASSERT_EQ(run("build gate.json -o out --only step,report --quiet").code, 0);
  const auto written = files("out");
  EXPECT_EQ(static_cast<std::size_t>(lines(dry.out)), written.size());
  for (const auto& [path, bytes] : written) {
    EXPECT_NE(dry.out.find((base_ / "out" / path).string() + "\n"), std::string::npos) << path;
    EXPECT_FALSE(path.ends_with(".stl") || path.ends_with(".csv")) << path;
  }
}

TEST_F(Cli, ClashIsFiveAndTheFilesAreThere) {
  const ProgramRun built =
      run("build gate.json -o out --only report --set /site/setback_mm=0 "
          "--set /gate/cladding/kind=boards");
  EXPECT_EQ(built.code, 5) << built.out << built.err;
  const Json report = Json::parse(files("out").at("report.json"));
  EXPECT_EQ(report["clash"]["verdict"], "clash");
  ASSERT_FALSE(report["clash"]["findings"].empty());
  const Json finding = report["clash"]["findings"][0];
  for (const char* key : {"id", "class", "a", "b", "from_mm", "to_mm", "worst_at_mm",
                          "clearance_mm", "depth_mm", "volume_mm3", "points_mm"}) {
    EXPECT_TRUE(finding.contains(key)) << key;
  }
}

TEST_F(Cli, AgainstAnEarlierReport) {
  const std::string faults =
      "--set /site/setback_mm=0 --set /gate/cladding/kind=boards --set /gate/panels=2";
  const ProgramRun before = run("check gate.json --json --quiet " + faults);
  ASSERT_EQ(before.code, 5) << before.err;
  write("old.json", before.out);

  const ProgramRun same = run("check gate.json --json --quiet --against old.json " + faults);
  EXPECT_EQ(same.code, 5);
  const Json again = Json::parse(same.out)["clash"];
  EXPECT_EQ(again["against"]["new"], 0);
  EXPECT_EQ(again["against"]["still_there"], again["findings"].size());
  EXPECT_TRUE(again["against"]["resolved"].empty());

  const ProgramRun mended =
      run("check gate.json --json --quiet --against old.json --set /gate/panels=2");
  EXPECT_EQ(mended.code, 0);
  EXPECT_EQ(Json::parse(mended.out)["clash"]["against"]["resolved"].size(),
            again["findings"].size());
  EXPECT_NE(run("check gate.json --against old.json --set /gate/panels=2").out.find("resolved: "),
            std::string::npos);

  write("none.json", "{}");
  EXPECT_EQ(run("check gate.json --against none.json").code, 3);
  EXPECT_EQ(run("check gate.json --against no-such-file.json").code, 3);
  EXPECT_EQ(run("build gate.json -o out --against none.json").code, 3);
  EXPECT_FALSE(fs::exists(base_ / "out")) << "nothing is written";
}

TEST_F(Cli, BuildToleranceNamesTheTightestPair) {
  const ProgramRun drawn = run("check gate.json --json --quiet --set /gate/panels=3");
  EXPECT_TRUE(Json::parse(drawn.out)["clash"]["as_built"].is_null());
  const std::string three = "--set /gate/panels=3 --set /checks/build_tolerance_mm=3";
  const ProgramRun built = run("check gate.json --json --quiet " + three);
  const Json as_built = Json::parse(built.out)["clash"]["as_built"];
  EXPECT_EQ(as_built["build_tolerance_mm"], 3);
  const Json& tightest = as_built["tightest"][0];
  EXPECT_FALSE(tightest["a"]["mark"].get<std::string>().empty());
  EXPECT_LT(tightest["left_mm"], tightest["as_drawn_mm"]);
  const std::string told = run("check gate.json " + three).out;
  EXPECT_NE(told.find("Built within 3 mm"), std::string::npos) << told;
  EXPECT_NE(told.find(tightest["a"]["mark"].get<std::string>()), std::string::npos) << told;
}

/// A rail of 9 m, which no stock length gives, on a slope that a released gate runs down: every
/// command tells both, the hazard first and whole, and the full text every word.
TEST_F(Cli, EveryCommandTellsTheSameWarnings) {
  write("long.json", R"({"site": {"opening_mm": 9000, "grade": 0.05}, "gate": {"panels": 1},
                         "drive": {"motor": "standard"}, "checks": {"wind_speed_m_s": 8}})");
  const Json report = Json::parse(run("check long.json --json").out);
  int told = 0;
  const std::string text = unwrapped(run("check long.json --full").out);
  const std::string brief = unwrapped(run("check long.json").out);
  const std::string quiet = unwrapped(run("check long.json --quiet").out);
  const std::string built = unwrapped(run("build long.json -o out --only report").out);
  const Json written = Json::parse(read(base_ / "out/report.json"));
  EXPECT_EQ(report["warnings"], written["warnings"]);
  std::set<std::string> ids;
  for (const Json& warning : report["warnings"]) {
    const std::string words = warning["text"];
    EXPECT_NE(text.find(words), std::string::npos) << words;
    const bool is_hazard = words.starts_with("hazard: ");
    for (const std::string& short_one : {brief, built, quiet}) {
      EXPECT_EQ(short_one.find(words) != std::string::npos, is_hazard) << words;
    }
    ids.insert(warning["id"]);
    ++told;
  }
  EXPECT_GE(told, 2);
  EXPECT_EQ(report["warnings"][0]["id"], "runs-by-gravity");
  EXPECT_TRUE(ids.count("frame-soft") > 0) << report["warnings"].dump(1);
}

/// Parts that meet: the exit code says so, and verdict and findings even where all else is quiet.
TEST_F(Cli, QuietStillSaysThatPartsMeet) {
  write("clash.json", R"({"site": {"opening_mm": 3000, "setback_mm": 0}, "gate": {"panels": 1,
                          "cladding": {"kind": "boards"}}})");
  for (const std::string command :
       {"check clash.json --quiet", "build clash.json --quiet --only report -o out"}) {
    const ProgramRun outcome = run(command);
    EXPECT_EQ(outcome.code, 5) << command;
    EXPECT_TRUE(outcome.out.starts_with("NOT READY: ")) << outcome.out;
    EXPECT_NE(outcome.out.find("runs into"), std::string::npos) << outcome.out;
    EXPECT_EQ(outcome.err, "") << command;
  }
  const ProgramRun json = run("check clash.json --quiet --json");
  EXPECT_TRUE(json.err.starts_with("NOT READY: ")) << json.err;
  EXPECT_TRUE(Json::accept(json.out));
}

}  // namespace
}  // namespace leafstack
