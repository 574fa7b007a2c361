// `leafstack build --prices` as its user meets it: exit codes, nothing written after a mistake, the
// sheet added up anew by another program.
#include <gtest/gtest.h>

#include <string>

#include "tests/support/run_program.h"

namespace leafstack {
namespace {

class QuoteCli : public InAFolder {
 protected:
  void SetUp() override {
    InAFolder::SetUp();
    write("gate.json", R"({"site": {"opening_mm": 5000}})");
  }
};

TEST_F(QuoteCli, AMistakeInThePricesIsToldAsInAGateFile) {
  for (const char* list : {R"({"per_kg": {"steel": -1}})", R"({"items": {"rack": 1e8}})",
                           R"({"per_hour": "dear"})", R"({"operations": {"weld": {"hour": 1}}})",
                           R"({"tax_percent": 20,})", "[]", "", R"({"valid_until": "soon"})"}) {
    write("prices.json", list);
    const ProgramRun made = run("build gate.json -o out --prices prices.json");
    EXPECT_EQ(made.code, 3) << list;
    EXPECT_NE(made.err.find("prices.json:1"), std::string::npos) << list << made.err;
    EXPECT_FALSE(fs::exists(base_ / "out")) << list;
  }
  EXPECT_EQ(run("build gate.json -o out --prices none.json").code, 3);
  EXPECT_EQ(run("build gate.json -o out --only quote").code, 2);
  EXPECT_EQ(run("build - -o out --prices - </dev/null").code, 2);
}

TEST_F(QuoteCli, AddsUpForAnotherProgram) {
  const std::string prices = LEAFSTACK_SOURCE_DIR "/tests/quote/invented_prices.json";
  ASSERT_EQ(
      run("build gate.json -o out --only tables,quote --quiet --prices '" + prices + "'").code, 0);
  const ProgramRun sums =
      outputOf("python3 '" LEAFSTACK_SOURCE_DIR "/tests/readers/cost_sheet.py' '" + prices + "' '" +
               (base_ / "out").string() + "'");
  EXPECT_EQ(sums.code, 0) << sums.out;
  EXPECT_NE(sums.out.find(", 0 missing, "), std::string::npos) << sums.out;
}

TEST_F(QuoteCli, WithoutPricesThereIsNoQuotation) {
  const ProgramRun plan = run("build gate.json -o out --dry-run");
  EXPECT_EQ(plan.out.find("quote.html"), std::string::npos);
  EXPECT_NE(plan.out.find("handover.html"), std::string::npos);
  const ProgramRun priced = run("build gate.json -o out --dry-run --prices prices.json");
  EXPECT_EQ(priced.code, 3);  // none there
  write("prices.json", "{}");
  const ProgramRun empty = run("build gate.json -o out --dry-run --prices prices.json");
  EXPECT_NE(empty.out.find("tables/cost-sheet.csv"), std::string::npos);
}

}  // namespace
}  // namespace leafstack
