// `leafstack compare` as its user meets it: table, JSON, sweeps in shards, charts, exit codes.
#include <gtest/gtest.h>

#include <cstdlib>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/run_program.h"
#include "tests/support/text_count.h"

namespace leafstack {
namespace {

using Json = nlohmann::json;

class CompareCli : public InAFolder {
 protected:
  void SetUp() override {
    InAFolder::SetUp();
    write("gate.json", R"({"site": {"opening_mm": 6000, "room_mm": 3221}})");
  }
};

std::vector<std::string> linesOf(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    lines.push_back(line);
  }
  return lines;
}

/// Rows of a CSV by column. No field of a sweep holds a comma.
std::vector<std::map<std::string, std::string>> csvOf(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  for (std::string line : linesOf(text)) {
    EXPECT_EQ(line.back(), '\r');
    line.pop_back();
    std::vector<std::string> fields(1);
    for (const char c : line) {
      if (c == ',') {
        fields.emplace_back();
      } else {
        fields.back() += c;
      }
    }
    rows.push_back(fields);
  }
  std::vector<std::map<std::string, std::string>> out;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    EXPECT_EQ(rows[i].size(), rows[0].size());
    for (std::size_t k = 0; k < rows[0].size(); ++k) {
      if (k == 0) {
        out.emplace_back();
      }
      out.back()[rows[0][k]] = rows[i].at(k);
    }
  }
  return out;
}

TEST_F(CompareCli, TableFitsATerminal) {
  write("prices.json", R"({"currency": "EUR", "per_kg": {"steel": 3}, "per_m3_dug": 90,
                           "per_hour": 50, "hours": {"panel": 8}})");
  for (const char* more :
       {"", " --set /site/room_mm=1000", " --set /site/room_mm=auto", " --set /site/bank=0.4",
        " --set /site/bank=0.4 --prices prices.json --set /site/grade=0.0513",
        " --set /site/opening_mm=19999.5 --set /site/bank=0.4 --prices prices.json",
        " --set /site/opening_mm=19999.333 --set /site/bank=0.4 --set /site/grade=0.0513",
        " --set /site/opening_mm=1100",
        " --set /guides/packing_mm=0 --set "
        "/gate/cladding/kind=boards --set /gate/cladding/thickness_mm=60"}) {
    const ProgramRun outcome = run(std::string("compare gate.json --all") + more);
    EXPECT_TRUE(outcome.code == 0 || outcome.code == 4) << more << outcome.err;
    EXPECT_GT(linesOf(outcome.out).size(), 35U) << more;
    for (const std::string& line : linesOf(outcome.out)) {
      const bool is_pasted = line.starts_with("  --set ");
      EXPECT_TRUE(is_pasted || line.size() <= 102U)
          << more << "\n"
          << line;  // the sign for "at least" has three bytes
    }
  }
}

/// The first five rows and a short text, unless all is asked for; what has no price makes it "at
/// least".
TEST_F(CompareCli, TellsTheBestFirstAndWhatHasNoPrice) {
  const std::string some = run("compare gate.json").out;
  EXPECT_TRUE(some.starts_with("READY: 2 panels, ")) << some;
  EXPECT_LT(linesOf(some).size(), 40U) << some;
  EXPECT_NE(some.find("--set /guides/mount="), std::string::npos) << some;
  EXPECT_LT(some.find("What to do"), some.find("n: panels")) << "the legend above the table";
  EXPECT_LT(some.find("n: panels"), some.find("start N ratio")) << some;
  EXPECT_NE(some.find("more rows: --all"), std::string::npos) << some;
  EXPECT_GT(linesOf(run("compare gate.json --all").out).size(), linesOf(some).size());
  write("prices.json", R"({"currency": "EUR", "per_kg": {"steel": 3}})");
  const std::string priced = run("compare gate.json --prices prices.json").out;
  EXPECT_NE(priced.find("at least "), std::string::npos) << priced;
  EXPECT_NE(priced.find("(no price for "), std::string::npos) << priced;
  EXPECT_NE(priced.find("\u2265"), std::string::npos) << priced;
  EXPECT_NE(priced.find("incomplete, at least"), std::string::npos) << priced;
}

TEST_F(CompareCli, JsonIsTheContract) {
  const ProgramRun outcome = run("compare gate.json --json --quiet");
  ASSERT_EQ(outcome.code, 0) << outcome.err;
  EXPECT_TRUE(outcome.err.empty());
  const Json json = Json::parse(outcome.out);
  EXPECT_EQ(json["site"]["opening_mm"], 6000);
  ASSERT_EQ(json["arrangements"].size(), 36U);
  const Json& best = json["arrangements"].at(json["recommended"].get<std::size_t>());
  EXPECT_EQ(best["panels"], 2);
  EXPECT_EQ(best["mount"], "overhead");
  EXPECT_EQ(best["motor"], "narrow");
  EXPECT_EQ(best["room_mm"], 3184);
  EXPECT_EQ(best["room_total_mm"], 3184 + 37);  // with the end stops
  EXPECT_EQ(best["margin_mm"], 0);
  EXPECT_EQ(best["fits"], true);
  EXPECT_EQ(best["binding"], "rope-ground");
  // Its overrides give check the same gate.
  std::string sets;
  for (const Json& set : best["set"]) {
    sets += " --set " + set.get<std::string>();
  }
  const ProgramRun check = run("check gate.json --json" + sets);
  EXPECT_EQ(check.code, 0) << check.err;
  const Json report = Json::parse(check.out);
  EXPECT_EQ(report["layout"]["room_mm"], 3184);
  EXPECT_EQ(report["layout"]["binding"], "rope-ground");
  EXPECT_EQ(report["clash"]["verdict"], "clear");
}

TEST_F(CompareCli, NothingFitsIsExitFour) {
  const ProgramRun outcome = run("compare gate.json --json --set /site/room_mm=1537");
  EXPECT_EQ(outcome.code, 4);
  EXPECT_TRUE(Json::parse(outcome.out)["recommended"].is_null());
  EXPECT_NE(outcome.err.find("392 mm short"), std::string::npos) << outcome.err;
}

TEST_F(CompareCli, ReadsStandardInput) {
  const ProgramRun file = run("compare gate.json");
  const ProgramRun piped = run("compare - < gate.json");
  EXPECT_EQ(piped.code, 0);
  EXPECT_EQ(piped.out, file.out);
}

TEST_F(CompareCli, ShardsMergeToTheWhole) {
  // More shards than sites as well.
  for (const auto& [format, count] : {std::pair("--csv", 20), std::pair("--json", 4)}) {
    const std::string sweep = std::string("compare gate.json ") + format +
                              " --sweep /site/opening_mm=3000:9000:1000 --sweep "
                              "/gate/stacking=flush,staggered";
    const ProgramRun whole = run(sweep);
    ASSERT_EQ(whole.code, 0) << whole.err;
    std::string merged;
    for (int i = 1; i <= count; ++i) {
      merged += run(sweep + " --shard " + std::to_string(i) + "/" + std::to_string(count)).out;
    }
    EXPECT_EQ(merged, whole.out) << format << count;
  }
}

TEST_F(CompareCli, SweepAsCsvAndJsonAgree) {
  const std::string sweep = "compare gate.json --sweep /site/opening_mm=5000:7000:1000";
  const auto rows = csvOf(run(sweep).out);
  const Json json = Json::parse(run(sweep + " --json").out);
  ASSERT_EQ(rows.size(), 3U * 36);
  ASSERT_EQ(json.size(), rows.size());
  int fitting = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    for (const auto& [name, text] : rows[i]) {
      const Json& value = json[i].at(name);
      if (value.is_number()) {
        EXPECT_EQ(std::stod(text), value.get<double>()) << name;
      } else if (value.is_string()) {
        EXPECT_EQ(text, value.get<std::string>()) << name;
      } else if (value.is_null()) {
        EXPECT_EQ(text, "") << name;
      } else {
        EXPECT_EQ(text, value.get<bool>() ? "true" : "false") << name;
      }
    }
    fitting += rows[i].at("/site/opening_mm") == "6000" && rows[i].at("panels") == "2" &&
               rows[i].at("fits") == "true";
  }
  EXPECT_EQ(fitting, 2);
}

TEST_F(CompareCli, ChartHoldsEveryCurve) {
  const std::string sweep =
      "compare gate.json --sweep /site/opening_mm=3000:9000:500 --chart chart.svg";
  ASSERT_EQ(run(sweep).code, 0);
  const std::string svg = read(base_ / "chart.svg");
  const ProgramRun again = run(sweep);
  EXPECT_EQ(again.code, 6) << "an existing chart is kept";
  EXPECT_TRUE(again.out.empty()) << "said before anything is compared";
  EXPECT_EQ(run(sweep + " --force").code, 0);
  EXPECT_EQ(read(base_ / "chart.svg"), svg);
  // Curves that differ, by hand from the constraints: four of one panel, four of two; flush three
  // have two (rack, rope bracket), staggered three three, flush four one, staggered four three;
  // and the room given.
  EXPECT_EQ(countOf(svg, "<path"), 4U + 4 + 2 + 3 + 1 + 3 + 1);
  EXPECT_NE(svg.find("2, overhead/reach-over narrow"), std::string::npos);
}

TEST_F(CompareCli, ChartReplacesNothingThatIsRead) {
  const std::string sweep = " --sweep /site/opening_mm=3000:4000:500 --force --chart ";
  const std::string gate = read(base_ / "gate.json");
  write("prices.json", "{}");
  write("notes.svg", "<svg/>");
  fs::create_symlink("gate.json", base_ / "link.json");
  fs::create_hard_link(base_ / "gate.json", base_ / "twin.json");
  for (const char* chart :
       {"gate.json", "prices.json", "link.json", "twin.json", "./gate.json", "notes.svg"}) {
    EXPECT_EQ(run("compare gate.json --prices prices.json" + sweep + chart).code, 6) << chart;
  }
  EXPECT_EQ(run("compare -" + sweep + "gate.json <gate.json").code, 6);
  EXPECT_EQ(run("compare link.json" + sweep + "gate.json").code, 6);
  EXPECT_EQ(read(base_ / "gate.json"), gate);
  EXPECT_EQ(read(base_ / "prices.json"), "{}");
  EXPECT_EQ(read(base_ / "notes.svg"), "<svg/>");
  // A chart somebody has drawn in.
  ASSERT_EQ(run("compare gate.json" + sweep + "chart.svg").code, 0);
  write("chart.svg", read(base_ / "chart.svg") + "<!-- mine -->");
  EXPECT_EQ(run("compare gate.json" + sweep + "chart.svg").code, 6);
}

TEST_F(CompareCli, WrongUsageAndInput) {
  for (const char* wrong :
       {"--sweep /site/opening_mm", "--sweep opening=1:2:1", "--shard 1/4", "--csv",
        "--sweep /site/opening_mm=3000:4000:500 --shard 5/4",
        "--sweep /site/opening_mm=3000:4000:500 --csv --json", "--chart a.svg",
        "--sweep /a=1,2 --sweep /b=1,2 --sweep /c=1,2", "--sweep /guides/drop_mm=[0,0]",
        "--sweep /site/opening_mm=3000:4000:500 --sweep /site/opening_mm=5000:6000:500",
        "--sweep /drive/motor=narrow,standard --sweep /drive/motor/length_mm=200,300",
        "--sweep /site/opening_mm=3000:4000:500 --shard ''", "--prices - --set /gate/panels=2",
        "--sweep /gate/top=raked,level --chart c.svg",
        "--sweep /site/room_mm=100,50,20 --chart c.svg",
        "--sweep /site/opening_mm=3000:3000:1 --chart c.svg",
        "--sweep /site/opening_mm=3000:4000:1 --sweep /site/room_mm=0:4000:1"}) {
    const bool from_input = std::string(wrong).starts_with("--prices -");
    const ProgramRun outcome =
        run(std::string(from_input ? "compare - " : "compare gate.json ") + wrong + " </dev/null");
    EXPECT_EQ(outcome.code, 2) << wrong;
    EXPECT_TRUE(outcome.out.empty()) << wrong;
    EXPECT_FALSE(outcome.err.empty()) << wrong;
  }
  write("prices.json", R"({"per_kg": {"steal": 3}})");
  for (const char* invalid :
       {"--prices prices.json", "--prices none.json", "--set /site/opening_mm=1",
        "--sweep /site/opening_mm=500:6000:500", "--sweep /site/opning_mm=5000:6000:500"}) {
    const ProgramRun outcome = run(std::string("compare gate.json ") + invalid);
    EXPECT_EQ(outcome.code, 3) << invalid;
    EXPECT_TRUE(outcome.out.empty()) << invalid;
    EXPECT_FALSE(outcome.err.empty()) << invalid;
  }
  const ProgramRun both = run("compare gate.json --set /site/opening_mm=1 --prices prices.json");
  EXPECT_NE(both.err.find("/site/opening_mm"), std::string::npos) << both.err;
  EXPECT_NE(both.err.find("steal"), std::string::npos) << both.err;
  const std::string full = "cd '" + base_.string() + "' && '" + LEAFSTACK_BINARY +
                           "' compare gate.json >/dev/full 2>/dev/null";
  const int status = std::system(full.c_str());
  EXPECT_EQ(WEXITSTATUS(status), 6);
}

}  // namespace
}  // namespace leafstack
